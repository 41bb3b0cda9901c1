"""Waves where somebody stands or walks at the water's edge."""

from __future__ import annotations

from dataclasses import dataclass

from fieldtrip.places.records import Leg, Shore, VantagePoint
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
    short_form,
)
from fieldtrip.safety.gaps import does_not_apply
from fieldtrip.safety.limits import SOURCE_SWELL, Limits
from fieldtrip.safety.standing_places import StandingPlace, all_places
from fieldtrip.tides.runup import run_up
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import SeaState
from fieldtrip.weather.hours import known_values, largest

_ONSHORE_DEG = 90.0  # waves from so far off seaward on either side run along the shore
_REMEDIES = {
    Reason.SWELL_LOW: Remedy.NOTHING,
    Reason.SWELL_AWAY: Remedy.NOTHING,
    Reason.SWELL_ON_ROCK: Remedy.WATCH_SEA,
    Reason.SWELL_NOT_KNOWN: Remedy.TYPE_WAVES,
    Reason.SWELL_SHORE_NOT_SAID: Remedy.SAY_SHORE,
}


@dataclass(frozen=True, slots=True)
class _Waves:
    """What is known of the waves at a place and time."""

    height_m: float | None  # the highest that is known
    period_s: float | None  # the longest that is known
    is_known: bool  # height and period, for the whole time
    is_onshore: bool  # unless every direction is known to come from the land
    is_direction_known: bool
    is_of_trip: bool  # typed for the trip rather than by the hour


def swell(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stop and walk at the water's edge, or that may be there.

    A rock platform is never clear.  Long swell counts from a period of 12 s on; waves
    whose direction is not known count as coming straight in.  High or long waves bend
    round to any shore: they are a caution even where they come from the land's side.
    """
    found = [
        _of_place(place, facts, limits)
        for place in all_places(facts)
        if _is_concerned(place, limits)
    ]
    by_key = {finding.key: finding for finding in found}  # what is unsaid, once
    return tuple(by_key.values()) or (does_not_apply(Rule.SWELL, facts, SOURCE_SWELL),)


def _is_concerned(place: StandingPlace, limits: Limits) -> bool:
    """High ground and dry legs are not; where nobody said what is there, it may be."""
    if place.shore is not None:
        return place.shore is not Shore.SHELTERED
    match place.record:
        case VantagePoint(ground_m=ground_m, flooded_above_m=flooded_m):
            is_low = ground_m is None or ground_m < limits.low_ground_m
            return is_low or flooded_m is not None
        case Leg(is_tidal=is_tidal, shut_above_m=shut_m):
            return is_tidal is not False or shut_m is not None


def _of_place(place: StandingPlace, facts: TripFacts, limits: Limits) -> Finding:
    waves = _waves(place, facts)
    severity, reason = _judge(place.shore, waves, facts, limits)
    numbers = [
        Number("swell_caution", limits.swell_caution_m, "m", is_limit=True),
        Number("swell_stop", limits.swell_stop_m, "m", is_limit=True),
        Number("long_period", limits.long_period_s, "s", is_limit=True),
    ]
    if waves.height_m is not None:
        numbers.append(Number("wave_height", waves.height_m, "m"))
    if waves.period_s is not None:
        numbers.append(Number("wave_period", waves.period_s, "s"))
    reach_m = _run_up_m(place, waves)
    if reach_m is not None:
        numbers.append(Number("wave_reach", reach_m, "m"))
    notes = (
        (
            Note.WAVES_FROM_NOT_KNOWN,
            waves.height_m is not None and not waves.is_direction_known,
        ),
        (Note.WAVES_OF_TRIP, waves.is_of_trip and waves.height_m is not None),
    )
    is_unsaid = reason is Reason.SWELL_SHORE_NOT_SAID
    return Finding(
        rule=Rule.SWELL,
        about=place.name,
        about_id=place.record_id if is_unsaid else place.plan_id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.KEEP_OFF_SHORE),
        source=SOURCE_SWELL,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=tuple(numbers),
        notes=tuple(note for note, is_so in notes if is_so),
        span=place.span,
        can_be_ticked=is_unsaid,
        stands_for=short_form(place.line) if is_unsaid else "",
    )


def _judge(
    shore: Shore | None, waves: _Waves, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then cautions."""
    height_m, period_s = waves.height_m, waves.period_s
    is_rock = shore is Shore.ROCK
    is_raised = height_m is not None and height_m >= limits.swell_caution_m
    is_long = period_s is not None and period_s >= limits.long_period_s
    if waves.is_onshore and shore is not None:
        if height_m is not None and height_m >= limits.swell_stop_m:
            return Severity.STOP, Reason.SWELL_HIGH
        if is_rock and is_raised and is_long:
            return Severity.STOP, Reason.SWELL_LONG_ON_ROCK
        if facts.trip.sea is SeaState.HEAVY:
            return Severity.STOP, Reason.SWELL_HEAVY
    if shore is None:
        return Severity.UNKNOWN, Reason.SWELL_SHORE_NOT_SAID
    if not waves.is_known or height_m is None:
        return Severity.UNKNOWN, Reason.SWELL_NOT_KNOWN
    if is_rock:
        return Severity.UNKNOWN, Reason.SWELL_ON_ROCK
    if is_long:  # which bends round headlands, so its direction is no comfort
        return Severity.CAUTION, Reason.SWELL_LONG
    if not waves.is_onshore:
        is_high = height_m >= limits.swell_stop_m or facts.trip.sea is SeaState.HEAVY
        if is_high:
            return Severity.CAUTION, Reason.SWELL_RAISED
        return Severity.CLEAR, Reason.SWELL_AWAY
    if is_raised or facts.trip.sea is SeaState.MODERATE:
        return Severity.CAUTION, Reason.SWELL_RAISED
    return Severity.CLEAR, Reason.SWELL_LOW


def _waves(place: StandingPlace, facts: TripFacts) -> _Waves:
    """By the forecast's hours; what they lack is taken from the trip, if typed there.

    Of an hour's height and the trip's the larger counts.
    """
    trip = facts.trip
    hours = () if facts.forecast is None else facts.forecast.hours
    height = largest(hours, place.span, lambda hour: hour.wave_height_m)
    period = largest(hours, place.span, lambda hour: hour.wave_period_s)
    heights = [m for m in (height.value, trip.wave_height_m) if m is not None]
    periods = [s for s in (period.value, trip.wave_period_s) if s is not None]
    is_height_known = height.is_complete or trip.wave_height_m is not None
    is_period_known = period.is_complete or trip.wave_period_s is not None
    is_onshore, is_direction_known = _direction(place, facts)
    return _Waves(
        height_m=max(heights, default=None),
        period_s=max(periods, default=None),
        is_known=is_height_known and is_period_known,
        is_onshore=is_onshore,
        is_direction_known=is_direction_known,
        is_of_trip=not (height.is_complete and period.is_complete),
    )


def _direction(place: StandingPlace, facts: TripFacts) -> tuple[bool, bool]:
    """Whether any wave may come in from the sea, and whether all that is known."""
    seaward_deg = place.record.seaward_deg
    if seaward_deg is None or facts.forecast is None:
        return True, False
    froms, is_known = known_values(
        facts.forecast.hours, place.span, lambda hour: hour.wave_from_deg
    )
    is_onshore = any(_apart_deg(deg, seaward_deg) < _ONSHORE_DEG for deg in froms)
    return is_onshore or not is_known, is_known


def _apart_deg(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def _run_up_m(place: StandingPlace, waves: _Waves) -> float | None:
    """How far up one wave in fifty runs on sand of a known slope; None elsewhere."""
    slope = place.record.beach_slope
    if slope is None or waves.height_m is None or waves.period_s is None:
        return None
    found = run_up(
        waves.height_m, waves.period_s, slope, is_sandy=place.shore is Shore.SAND
    )
    return None if found is None else found.two_percent_m
