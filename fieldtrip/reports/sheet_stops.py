"""The sheet's stops: when, where, in what light, toward what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from uuid import UUID

from fieldtrip.almanac.second_opinion import PROVES, opinion_words
from fieldtrip.almanac.sky_site import EVENT_WORDS, Seen, seen_from
from fieldtrip.almanac.spot_light import (
    SpotLight,
    SpotMoment,
    moments,
    spot_light,
)
from fieldtrip.almanac.spots import Skyline
from fieldtrip.coordinates import degrees_minutes_text, utm_text
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.geomagnetic import declination, magnetic_bearing_deg
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.reports.sheet import (
    NOT_KNOWN,
    SIGNALS,
    SIGNS,
    Fact,
    LightLine,
    Photo,
    StopPart,
)
from fieldtrip.reports.sheet_photo import kept_photo
from fieldtrip.reports.sheet_times import Teller, leave_by
from fieldtrip.safety.checklist import Checklist
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import DayEvents, Event, EventName, day_events
from fieldtrip.sky.second_opinion import second_opinion
from fieldtrip.times import local_date, local_day
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import StopFacts, TripFacts
from fieldtrip.trips.records import Stop
from fieldtrip.trips.sun_on_spot import SpotTime
from fieldtrip.wanted_words import wanted_text
from fieldtrip.wording import bearing_text, distance_text, height_text

_NEAR = timedelta(minutes=100)  # an event so near to a stay is told with it
_TOO_NEAR_M = 1.0
_ALWAYS = (EventName.SUNRISE, EventName.SUNSET)
_BODIES = {
    EventName.SUNRISE: Body.SUN,
    EventName.SUNSET: Body.SUN,
    EventName.MOONRISE: Body.MOON,
    EventName.MOONSET: Body.MOON,
}
_SAME = "the same"  # twilight knows no hills
_SPOT_UNKNOWN = NOT_KNOWN


def stop_parts(
    dossier: Dossier,
    facts: TripFacts,
    checklist: Checklist,
    settings: Settings,
    photos: Mapping[UUID, Photo],
    skylines: Mapping[UUID, Skyline],
) -> tuple[StopPart, ...]:
    """One part for each stop, in order; the sky of a spot is worked out once."""
    tell = Teller(facts, settings)
    skies: dict[tuple[UUID, date], tuple[DayEvents, str, bool]] = {}
    parts = []
    for stop in facts.stops:
        vantage = stop.vantage_point
        seen = seen_from(dossier, stop.stop.vantage_point_id, settings)
        day = local_date(stop.stop.arrive, dossier.location.zone)
        key = (stop.stop.vantage_point_id, day)
        if key not in skies:
            skies[key] = _sky(seen, day, dossier.location.zone)
        found, opinion, is_caution = skies[key]
        notes = vantage.notes.strip() if vantage is not None else ""
        span = local_day(day, dossier.location.zone)
        here = spot_light(skylines.get(stop.stop.vantage_point_id), span)
        there = (
            spot_light(skylines.get(stop.stop.subject_id), span)
            if stop.stop.subject_id
            else None
        )
        parts.append(
            StopPart(
                number=stop.stop.number,
                name=stop.name,
                time=tell.span(stop.stop.arrive, stop.stop.leave),
                facts=tuple(_facts(stop, seen, dossier, facts, checklist, tell)),
                light=(
                    *(_light(event, here, tell) for event in _events(found, stop)),
                    *(_on_subject(moment, tell) for moment in _sun_moments(there)),
                ),
                opinion=opinion,
                is_opinion_caution=is_caution,
                notes=notes or "Nothing was written down about this spot.",
                photo=_photo(stop, dossier, photos, settings),
            )
        )
    return tuple(parts)


def _photo(
    stop: StopFacts,
    dossier: Dossier,
    photos: Mapping[UUID, Photo],
    settings: Settings,
) -> Photo | None:
    """The photograph that is kept with the spot, unless another is given."""
    spot_id = stop.stop.vantage_point_id
    if spot_id in photos:
        return photos[spot_id]
    for photograph in dossier.photographs:
        if photograph.vantage_point_id == spot_id:
            return kept_photo(photograph, dossier.location.zone, settings)
    return None


def position_texts(position: Position) -> tuple[str, str]:
    """Degrees with decimal minutes, and UTM or why there is none."""
    try:
        utm = f"UTM {utm_text(position)}"
    except UserError as error:
        utm = f"UTM {NOT_KNOWN}: {error}"
    return degrees_minutes_text(position), utm


def _sky(seen: Seen, day: date, zone: str) -> tuple[DayEvents, str, bool]:
    found = day_events(seen.site, day, zone)
    text, is_caution = opinion_words(
        second_opinion(seen.site.position, day, zone, found.events)
    )
    text = text.removesuffix(PROVES).rstrip()  # said once, below the stops
    if found.sun_always is not None:
        text = f"No sunrise or sunset: the Sun stays {found.sun_always}. {text}"
    return found, text, is_caution


def _events(found: DayEvents, stop: StopFacts) -> Iterator[Event]:
    """Sunrise and sunset, and what happens near the stay."""
    first, last = stop.stop.arrive - _NEAR, stop.stop.leave + _NEAR
    for event in found.events:
        if event.name in _ALWAYS or first <= event.instant <= last:
            yield event


def _light(event: Event, here: SpotLight | None, tell: Teller) -> LightLine:
    body = _BODIES.get(event.name)
    on_the_spot = _SAME
    if body is not None:
        on_the_spot = _SPOT_UNKNOWN if here is None else _on_spot(event, here, tell)
    return LightLine(
        EVENT_WORDS[event.name],
        tell.at(event.instant),
        bearing_text(event.azimuth_deg),
        on_the_spot,
    )


def _on_spot(event: Event, here: SpotLight, tell: Teller) -> str:
    """When the body comes over the spot's own skyline, or goes behind it."""
    is_sun = _BODIES[event.name] is Body.SUN
    found = here.found.sun if is_sun else here.found.moon
    is_rise = event.name in (EventName.SUNRISE, EventName.MOONRISE)
    times = [each.rise if is_rise else each.set for each in found.appearances]
    known = [time for time in times if time is not None]
    if not known:
        return "not that day" if not found.appearances else "stays up"
    return ", ".join(_spot_time(time, is_rise, tell) for time in known)


def _spot_time(time: SpotTime, is_rise: bool, tell: Teller) -> str:
    """A time with how far it may be off; both rounded so that nothing is promised."""
    doubt = max(time.instant - time.earliest, time.latest - time.instant)
    minutes = max(1, -(-doubt // timedelta(minutes=1)))
    text = f"{tell.at(time.instant)} ±{minutes} min"
    if time.is_complete:
        return text
    # Higher ground may stand where the files of heights end.
    return f"{text}, or {'later' if is_rise else 'sooner'}"


def _sun_moments(light: SpotLight | None) -> list[SpotMoment]:
    return [] if light is None else [each for each in moments(light) if each.is_sun]


def _on_subject(moment: SpotMoment, tell: Teller) -> LightLine:
    is_rise = "hidden" not in moment.words and not moment.words.startswith("last")
    return LightLine(
        moment.name,
        "–",  # almanacs know no subject
        bearing_text(moment.time.azimuth_deg),
        _spot_time(moment.time, is_rise, tell),
    )


def _facts(
    stop: StopFacts,
    seen: Seen,
    dossier: Dossier,
    facts: TripFacts,
    checklist: Checklist,
    tell: Teller,
) -> Iterator[Fact]:
    plan = stop.stop
    yield Fact("Arrive", tell.at(plan.arrive))
    ready = plan.arrive + timedelta(minutes=plan.setup_min)
    if ready <= plan.leave:
        yield Fact("Set up by", tell.at(ready))
    else:
        yield Fact(
            "Set up by",
            f"{tell.at(ready)}, which is after leaving: the stay is too short",
            is_known=False,
        )
    by = leave_by(checklist, stop)
    if by is not None and plan.leave > by:
        late = f"{tell.at(plan.leave)}, which is later than the latest leaving"
        yield Fact("Leave", f"{SIGNS[Severity.STOP]} {late}")
    else:
        yield Fact("Leave", tell.at(plan.leave))
    yield _known("Latest leaving", tell.by(by) if by is not None else "")
    yield _known("Wanted light", _wanted(plan, dossier, tell.settings))
    yield from _subject(stop, dossier, facts, tell.settings)
    vantage = stop.vantage_point
    if vantage is None:
        yield Fact("Position", f"{NOT_KNOWN}: its record is gone", is_known=False)
        return
    yield from _position(vantage, seen, tell.settings)


def _wanted(stop: Stop, dossier: Dossier, settings: Settings) -> str:
    """What is hoped for, in the person's words and in those of the conditions."""
    parts = [stop.wanted.strip()]
    if stop.conditions:
        names = {route.id: route.name for route in dossier.routes}
        names |= {trip.id: trip.name for trip in dossier.trips}
        parts.append(wanted_text(stop.conditions, names, settings))
    return "; ".join(part for part in parts if part)


def _subject(
    stop: StopFacts, dossier: Dossier, facts: TripFacts, settings: Settings
) -> Iterator[Fact]:
    subject = by_id(dossier.subjects, stop.stop.subject_id)
    vantage = stop.vantage_point
    if subject is None:
        yield Fact("Subject", f"{NOT_KNOWN}: none was chosen", is_known=False)
        return
    if vantage is None:
        yield Fact("Subject", f"{subject.name}; its bearing is {NOT_KNOWN}", False)
        return
    away_m = distance_m(vantage.position, subject.position)
    if away_m < _TOO_NEAR_M:
        yield Fact("Subject", f"{subject.name}, where the camera stands")
        return
    yield Fact("Subject", _subject_text(subject, away_m, settings))
    true_deg = bearing_deg(vantage.position, subject.position)
    yield _bearing(vantage, true_deg, facts.trip.day)


def _subject_text(subject: Subject, away_m: float, settings: Settings) -> str:
    height = (
        f"{height_text(subject.height_m, settings, 0)} high"
        if subject.height_m is not None
        else f"height {NOT_KNOWN}"
    )
    return f"{subject.name}, {distance_text(away_m, settings)} away, {height}"


def _bearing(vantage: VantagePoint, true_deg: float, day: date) -> Fact:
    true = f"{bearing_text(true_deg)} true"
    here = declination(vantage.position, day)
    if here is None:
        return Fact("Bearing", f"{true}; magnetic {NOT_KNOWN} for this year", False)
    if here.is_blind:
        return Fact("Bearing", f"{true}; a compass is of no use here", False)
    magnetic = bearing_text(magnetic_bearing_deg(true_deg, here))
    side = "east" if here.east_deg >= 0.0 else "west"
    weak = "; the needle is weak here" if here.is_weak else ""
    return Fact(
        "Bearing",
        f"{true}, {magnetic} magnetic (declination {abs(here.east_deg):.1f}° {side}, "
        f"±{here.error_deg:.1f}°{weak})",
    )


def _position(vantage: VantagePoint, seen: Seen, settings: Settings) -> Iterator[Fact]:
    degrees, utm = position_texts(vantage.position)
    error = (
        f"±{height_text(vantage.position_error_m, settings, 0)}"
        if vantage.position_error_m is not None
        else f"its error is {NOT_KNOWN}"
    )
    yield Fact("Position", f"{degrees} · {utm} · {error}")
    if vantage.ground_m is None:
        yield Fact("Height", f"{NOT_KNOWN}; sea level is taken", is_known=False)
    else:
        yield Fact("Height", seen.text.partition(", ")[2].rstrip("."))
    signal = vantage.coverage
    yield Fact("Telephone", SIGNALS[signal], is_known=signal is not None)


def _known(name: str, text: str) -> Fact:
    return Fact(name, text or NOT_KNOWN, is_known=bool(text))
