"""What the Light page says: the day's events, and the Sun and Moon at the minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fieldtrip.almanac.second_opinion import opinion_words
from fieldtrip.almanac.sky_site import EVENT_WORDS, Seen, seen_from
from fieldtrip.almanac.spot_light import (
    SpotLight,
    SpotMoment,
    is_lit,
    moments,
    next_sun,
    spot_lights,
)
from fieldtrip.almanac.spots import Skyline, spot_of
from fieldtrip.desktop.content.day_clock import MINUTE
from fieldtrip.geo import bearing_deg, distance_m
from fieldtrip.places.records import Subject, VantagePoint
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
NO_HEIGHTS = (
    "No usable elevation file has heights here: add one with View ▸ Elevation files… "
    "to see when the Sun leaves this very spot."
)
_WORTH_A_WORD_MIN = 2  # of doubt
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
    on_the_spot: str = ""  # whence first and last sun come, and how sure they are
    lights: tuple[SpotLight, ...] = ()
    message: str = ""  # in place of everything


@dataclass(frozen=True, slots=True)
class LightMinute:
    """What the page says of the chosen minute: names and facts, in order."""

    heading: str
    facts: tuple[tuple[str, str], ...]


def light_day(
    dossier: Dossier | None,
    vantage_id: UUID | None,
    day: date,
    settings: Settings,
    skylines: Sequence[Skyline] = (),
) -> LightDay:
    """Compute and word the day's events and how far a second opinion agrees.

    Beside the almanac's stand first and last light over each of some skylines.

    Raises `UserError` outside the years of the sky's table.
    """
    if dossier is None:
        return LightDay(message=NO_LOCATION)
    zone = dossier.location.zone
    seen = seen_from(dossier, vantage_id, settings)
    found = day_events(seen.site, day, zone)
    lights = spot_lights(skylines, local_day(day, zone))
    opinion = second_opinion(seen.site.position, day, zone, found.events)
    text, is_caution = opinion_words(opinion)
    return LightDay(
        heading=f"{date_text(day)}, times in {clock_line(day, zone)}",
        rows=_rows(found, day, zone, settings, lights),
        opinion=text,
        is_opinion_caution=is_caution,
        seen=f"{seen.text} Times are for a level sea horizon; higher ground hides the "
        "Sun earlier and shows it later.",
        on_the_spot=_on_the_spot(skylines, lights),
        lights=lights,
    )


def light_minute(
    dossier: Dossier | None,
    vantage_id: UUID | None,
    subject_id: UUID | None,
    instant: datetime,
    settings: Settings,
    lights: Sequence[SpotLight] = (),
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
    facts += [
        _direct_light(light, instant, zone, settings)
        for light in lights
        if _is_of(light, seen.vantage, subject, instant)
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
    found: DayEvents,
    day: date,
    zone: str,
    settings: Settings,
    lights: Sequence[SpotLight],
) -> tuple[EventRow, ...]:
    span = local_day(day, zone)
    timed = [
        (
            event.instant,
            EventRow(
                EVENT_WORDS[event.name],
                clock_text(event.instant, zone, settings),
                bearing_text(event.azimuth_deg),
                _minute_within(event.instant, span),
            ),
        )
        for event in found.events
    ]
    for light in lights:
        timed += [
            (moment.time.instant, _moment_row(moment, span, zone, settings))
            for moment in moments(light)
        ]
    timed.sort(key=lambda row: row[0])
    rows = [row for _, row in timed]
    rows += [
        EventRow(f"sun on {light.spot.name}", "no direct sun on this day", "", None)
        for light in lights
        if not light.found.sun.appearances
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


def _moment_row(
    moment: SpotMoment, span: Span, zone: str, settings: Settings
) -> EventRow:
    clock = clock_text(moment.time.instant, zone, settings)
    return EventRow(
        moment.name,
        f"{clock} ±{moment.doubt_min} min",
        bearing_text(moment.time.azimuth_deg),
        _minute_within(moment.time.instant, span),
    )


def _on_the_spot(skylines: Sequence[Skyline], lights: Sequence[SpotLight]) -> str:
    """Whence the times over a skyline come, and what makes them uncertain."""
    if not skylines:
        return ""
    if not lights:
        if any(skyline.is_waiting for skyline in skylines):
            return "First and last sun on the spot are being worked out…"
        trouble = next((s.trouble for s in skylines if s.trouble), "")
        return trouble or NO_HEIGHTS
    reasons = [
        f"{moment.name}: {moment.why}"
        for light in lights
        for moment in moments(light)
        if moment.is_sun and moment.doubt_min > _WORTH_A_WORD_MIN
    ]
    text = (
        "Times with a place’s name are of the upper limb over the skyline there, from "
        "the elevation model; ± is one standard deviation."
    )
    if reasons:
        text += f" Uncertain: {'; '.join(reasons)}."
    return text


def _is_of(
    light: SpotLight,
    vantage: VantagePoint | None,
    subject: Subject | None,
    instant: datetime,
) -> bool:
    """Whether it is of the chosen places and day: it may be from just before."""
    chosen = [spot_of(record) for record in (vantage, subject) if record is not None]
    span = light.found.sun.span
    return light.spot in chosen and span.start <= instant < span.stop


def _direct_light(
    light: SpotLight, instant: datetime, zone: str, settings: Settings
) -> tuple[str, str]:
    """How long direct sunlight lasts at a spot, or when it comes."""
    name = f"Sun on {light.spot.name}"
    until = is_lit(light, instant)
    if until is not None:
        left = max(0, round((until - instant) / MINUTE))
        return name, f"{left} min left, until {clock_text(until, zone, settings)}"
    coming = next_sun(light, instant)
    if coming is None:
        return name, "none, and none comes again on this day"
    return name, f"none until {clock_text(coming, zone, settings)}"


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
        facts.append((subject.name, f"lies at {bearing_text(sight_deg)}, {away} away"))
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
