"""What the Light page says: the day's events, and the Sun and Moon at the minute."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fieldtrip.almanac.second_opinion import opinion_words
from fieldtrip.almanac.sky_site import EVENT_WORDS, Seen, seen_from
from fieldtrip.desktop.content.day_clock import MINUTE
from fieldtrip.geo import bearing_deg, distance_m
from fieldtrip.places.records import Subject
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import DayEvents, EventName, day_events
from fieldtrip.sky.light import light_of, light_on_subject, shadow
from fieldtrip.sky.moon import moon_phase
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.second_opinion import second_opinion
from fieldtrip.times import Span, local_day
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.wording import (
    altitude_text,
    bearing_text,
    clock_line,
    clock_text,
    date_text,
    distance_text,
    nearest_minute,
)

NO_LOCATION = "Choose a location on the left to see its light."
DOES_NOT_OCCUR = "does not occur"
_CLOSE = "\N{NO-BREAK SPACE}"  # keeps a number and its words on one line
_TOO_NEAR_M = 1.0  # no line of sight between two points so close


@dataclass(frozen=True, slots=True)
class EventRow:
    """One event of the day, or one that does not occur."""

    name: str
    time: str
    azimuth: str
    instant: datetime | None  # the minute to go to; None where it does not occur


@dataclass(frozen=True, slots=True)
class Named:
    """A record to choose, by its name."""

    record_id: UUID
    name: str


@dataclass(frozen=True, slots=True)
class LightDay:
    """What the page says of the whole day."""

    heading: str = ""
    rows: tuple[EventRow, ...] = ()
    opinion: str = ""
    is_opinion_caution: bool = False
    seen: str = ""
    message: str = ""  # in place of everything


@dataclass(frozen=True, slots=True)
class LightMinute:
    """What the page says of the chosen minute: names and facts, in order."""

    heading: str
    facts: tuple[tuple[str, str], ...]


def light_day(
    dossier: Dossier | None, vantage_id: UUID | None, day: date, settings: Settings
) -> LightDay:
    """Compute and word the day's events and how far a second opinion agrees.

    Raises `UserError` outside the years of the sky's table.
    """
    if dossier is None:
        return LightDay(message=NO_LOCATION)
    zone = dossier.location.zone
    seen = seen_from(dossier, vantage_id, settings)
    found = day_events(seen.site, day, zone)
    opinion = second_opinion(seen.site.position, day, zone, found.events)
    text, is_caution = opinion_words(opinion)
    return LightDay(
        heading=f"{date_text(day)}, times in {clock_line(day, zone)}",
        rows=_rows(found, day, zone, settings),
        opinion=text,
        is_opinion_caution=is_caution,
        seen=f"{seen.text} Times are for a level sea horizon; higher ground hides the "
        "Sun earlier and shows it later.",
    )


def light_minute(
    dossier: Dossier | None,
    vantage_id: UUID | None,
    subject_id: UUID | None,
    instant: datetime,
    settings: Settings,
) -> LightMinute | None:
    """Where Sun and Moon stand at a minute, and how the light falls on the subject.

    None without a location.  Raises `UserError` outside the sky's years.
    """
    if dossier is None:
        return None
    zone = dossier.location.zone
    seen = seen_from(dossier, vantage_id, settings)
    sun = sky_position(Body.SUN, seen.site, instant)
    moon = sky_position(Body.MOON, seen.site, instant)
    phase = moon_phase(seen.site, instant)
    subject = by_id(dossier.subjects, subject_id)
    percent = f"{phase.illuminated_fraction * 100.0:.0f}"
    lit = _CLOSE.join((percent, "%", "lit"))
    facts = [
        ("Light", str(light_of(sun.altitude_deg))),
        ("Sun", _where(sun)),
        ("Moon", f"{_where(moon)}; {phase.name}, {lit}"),
    ]
    facts += _subject_facts(dossier, seen, subject, sun, settings)
    return LightMinute(f"At {clock_text(instant, zone, settings)}", tuple(facts))


def subjects_of(dossier: Dossier | None) -> tuple[Named, ...]:
    """The subjects to choose from."""
    return tuple(Named(s.id, s.name) for s in dossier.subjects) if dossier else ()


def vantage_points_of(dossier: Dossier | None) -> tuple[Named, ...]:
    """The vantage points to choose from."""
    return tuple(Named(v.id, v.name) for v in dossier.vantage_points) if dossier else ()


def _rows(
    found: DayEvents, day: date, zone: str, settings: Settings
) -> tuple[EventRow, ...]:
    rows = [
        EventRow(
            EVENT_WORDS[event.name],
            clock_text(event.instant, zone, settings),
            bearing_text(event.azimuth_deg),
            _minute_within(event.instant, local_day(day, zone)),
        )
        for event in found.events
    ]
    rows += [
        EventRow(EVENT_WORDS[name], _absence(name, found), "", None)
        for name in found.missing
    ]
    return tuple(rows)


def _absence(name: EventName, found: DayEvents) -> str:
    if name in (EventName.SUNRISE, EventName.SUNSET) and found.sun_always:
        return f"{DOES_NOT_OCCUR}: the Sun stays {found.sun_always}"
    return DOES_NOT_OCCUR


def _minute_within(instant: datetime, day: Span) -> datetime:
    """The minute that is shown for an instant, unless that is the next day's first."""
    return min(nearest_minute(instant), day.stop - MINUTE)


def _where(position: SkyPosition) -> str:
    azimuth = bearing_text(position.azimuth_deg)
    return f"azimuth {azimuth}, {altitude_text(position.apparent_altitude_deg)}"


def _subject_facts(
    dossier: Dossier,
    seen: Seen,
    subject: Subject | None,
    sun: SkyPosition,
    settings: Settings,
) -> list[tuple[str, str]]:
    if subject is None:
        hint = "Choose a subject" if dossier.subjects else "Add a subject"
        return [("Subject", f"{hint} to see how the light falls on it.")]
    facts: list[tuple[str, str]] = []
    if seen.vantage is None:
        facts.append((subject.name, "Choose a vantage point to see its line of sight."))
    elif distance_m(seen.vantage.position, subject.position) < _TOO_NEAR_M:
        facts.append((subject.name, "Stands where the camera does: no line of sight."))
    else:
        sight_deg = bearing_deg(seen.vantage.position, subject.position)
        away = distance_text(
            distance_m(seen.vantage.position, subject.position), settings
        )
        facts.append(
            (subject.name, f"seen along {bearing_text(sight_deg)}, {away} away")
        )
        facts.append(("Light on it", _light_words(sun, sight_deg)))
    facts.append(("Its shadow", _shadow_words(sun, subject, settings)))
    return facts


def _light_words(sun: SkyPosition, sight_deg: float) -> str:
    if sun.apparent_altitude_deg <= 0.0:
        return "no direct light: the Sun is down"
    light = light_on_subject(sun.azimuth_deg, sight_deg)
    where = "left" if light.sun_is_left else "right"
    angle = round(light.angle_deg)
    if angle in (0, 180):
        behind = "the subject" if angle == 0 else "the camera"
        return f"{light.side}, the Sun straight behind {behind}"
    return f"{light.side} from the {where}, the Sun {angle}° off the line of sight"


def _shadow_words(sun: SkyPosition, subject: Subject, settings: Settings) -> str:
    fallen = shadow(sun, subject.height_m)
    if fallen is None:
        return "none: the Sun is down"
    toward = f"falls toward {bearing_text(fallen.bearing_deg)}"
    if fallen.length_m is None:
        return f"{toward}; its length is not known, as the subject has no height"
    if fallen.length_m > 100_000.0:
        return f"{toward}, out of sight on level ground"
    return f"{toward}, {distance_text(fallen.length_m, settings)} on level ground"
