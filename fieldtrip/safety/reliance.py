"""How far what is known can be relied on: positions, the tide, sun times, the clock."""

from __future__ import annotations

from fieldtrip.safety.crossings import tidal_legs
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.gaps import does_not_apply
from fieldtrip.safety.levels import basis_of, no_curve_reason
from fieldtrip.safety.limits import (
    SOURCE_CLOCK,
    SOURCE_POSITION,
    SOURCE_SUN,
    SOURCE_TIDE_CONFIDENCE,
    Limits,
)
from fieldtrip.sky.second_opinion import second_opinion
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import local_day, zone_of
from fieldtrip.trips.door_to_door import door_to_door
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.tide_sources import FAR_M, is_out_of_reach

_TIDE_REMEDIES = {
    Reason.TIDE_SURE: Remedy.NOTHING,
    Reason.ODD_TIDE: Remedy.NOTHING,
    Reason.EXPOSURE_NOT_SAID: Remedy.RECORD_PORT,
    Reason.PORT_NOT_SAID: Remedy.RECORD_PORT,
    Reason.STATION_PLACE_NOT_SAID: Remedy.RECORD_PORT,
    Reason.STATION_FAR: Remedy.NEARER_STATION,
    Reason.STATION_TOO_FAR: Remedy.NEARER_STATION,
    Reason.STATION_BEYOND_HEADLAND: Remedy.NEARER_STATION,
}


def position_error(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: how exact the positions of its vantage points are."""
    points = {
        stop.vantage_point.id: stop.vantage_point
        for stop in facts.stops
        if stop.vantage_point is not None
    }
    if not facts.stops:
        return (does_not_apply(Rule.POSITION_ERROR, facts, SOURCE_POSITION),)
    unsaid = [p.name for p in points.values() if p.position_error_m is None]
    unsaid += [stop.name for stop in facts.stops if stop.vantage_point is None]
    errors = {p.name: p.position_error_m for p in points.values()}
    known = {name: m for name, m in errors.items() if m is not None}
    rough = [name for name, m in known.items() if m > limits.position_error_m]
    numbers = [Number("error_limit", limits.position_error_m, "m", is_limit=True)]
    if known:
        numbers.append(Number("largest_error", max(known.values()), "m"))
    if unsaid:
        severity, reason, named = Severity.UNKNOWN, Reason.POSITIONS_NOT_SAID, unsaid
    elif rough:
        severity, reason, named = Severity.CAUTION, Reason.POSITIONS_ROUGH, rough
    else:
        severity, reason, named = Severity.CLEAR, Reason.POSITIONS_GOOD, list(known)
    return (
        Finding(
            rule=Rule.POSITION_ERROR,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.NOTHING
            if severity is Severity.CLEAR
            else Remedy.MEASURE_AGAIN,
            source=SOURCE_POSITION,
            basis=", ".join(named),
            numbers=tuple(numbers),
            span=facts.span,
        ),
    )


def tide_confidence(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each tide source over the trip, where anything hangs on the tide.

    How well its curve tells the water there: see the margins of “Tide crossing”.
    """
    del limits  # its thresholds are the tide's own
    floods = [
        stop
        for stop in facts.stops
        if stop.vantage_point is not None
        and stop.vantage_point.flooded_above_m is not None
    ]
    if not tidal_legs(facts) and not floods:
        return (does_not_apply(Rule.TIDE_CONFIDENCE, facts, SOURCE_TIDE_CONFIDENCE),)
    covering = [s for s in facts.tide_sources if s.covers(facts.span)]
    if not covering:
        reason = Reason.OUTSIDE_TABLE if facts.tide_sources else Reason.NO_TABLE
        return (_tide_finding(None, Severity.UNKNOWN, reason, facts),)
    return tuple(
        _tide_finding(source, *_judge_tide(source, facts), facts) for source in covering
    )


def _judge_tide(source: TideSource, facts: TripFacts) -> tuple[Severity, Reason]:
    confidence = source.curve.confidence(facts.span)
    if confidence is Confidence.UNKNOWN:
        return Severity.UNKNOWN, no_curve_reason(source)
    if source.exposure is None:
        return Severity.UNKNOWN, Reason.EXPOSURE_NOT_SAID
    if source.is_station and source.away_m is None:
        return Severity.UNKNOWN, Reason.STATION_PLACE_NOT_SAID
    if is_out_of_reach(source):
        return Severity.UNKNOWN, Reason.STATION_TOO_FAR
    if confidence is Confidence.LOW:
        is_harmonic = isinstance(source.curve, HarmonicCurve)
        reason = Reason.ROUGH_CURVE if is_harmonic else Reason.ODD_TIDE
        return Severity.CAUTION, reason
    if source.is_station and source.away_m is not None and source.away_m > FAR_M:
        return Severity.CAUTION, Reason.STATION_FAR
    is_beyond = facts.location.is_station_beyond_headland
    if source.is_station and is_beyond is not False:
        return Severity.CAUTION, Reason.STATION_BEYOND_HEADLAND
    return Severity.CLEAR, Reason.TIDE_SURE


def _tide_finding(
    source: TideSource | None, severity: Severity, reason: Reason, facts: TripFacts
) -> Finding:
    numbers: tuple[Number, ...] = ()
    if source is not None and source.away_m is not None:
        numbers = (Number("station_distance", source.away_m, "m"),)
    return Finding(
        rule=Rule.TIDE_CONFIDENCE,
        about=facts.location.name if source is None else source.name,
        about_id=None,
        severity=severity,
        reason=reason,
        remedy=_TIDE_REMEDIES.get(reason, Remedy.TYPE_TIDES),
        source=SOURCE_TIDE_CONFIDENCE,
        basis="" if source is None else basis_of(source),
        numbers=numbers,
        notes=(Note.STATION,) if source is not None and source.is_station else (),
        span=facts.span,
    )


def sun_times(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: does a second computation give the same sun times?"""
    opinion = second_opinion(
        facts.location.position, facts.trip.day, facts.location.zone, facts.day_events
    )
    apart_s = opinion.largest_difference_s
    if opinion.missing or opinion.extra:
        severity, reason = Severity.CAUTION, Reason.SUN_DIFFERS
    elif apart_s is None:
        severity, reason = Severity.DOES_NOT_APPLY, Reason.SUN_NOT_COMPARED
    elif apart_s > limits.sun_difference_s:
        severity, reason = Severity.CAUTION, Reason.SUN_DIFFERS
    else:
        severity, reason = Severity.CLEAR, Reason.SUN_AGREES
    numbers = [Number("sun_limit", limits.sun_difference_s, "s", is_limit=True)]
    if apart_s is not None:
        numbers.append(Number("sun_difference", apart_s, "s"))
    is_caution = severity is Severity.CAUTION
    return (
        Finding(
            rule=Rule.SUN_TIMES,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.CHECK_SUN_TIMES if is_caution else Remedy.NOTHING,
            source=SOURCE_SUN,
            numbers=tuple(numbers),
            notes=(Note.SUN_ARITHMETIC,) if apart_s is not None else (),
            span=facts.span,
        ),
    )


def clock_change(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: does the place's clock change between home and home?

    From the start of the trip's day, or getting up if that is earlier, to being home.
    """
    del limits  # no threshold
    zone = zone_of(facts.location.zone)
    day = door_to_door(facts)
    midnight = local_day(facts.trip.day, facts.location.zone).start
    starts = (midnight, facts.span.start, day.wake)
    ends = (facts.span.stop, day.home, day.latest_home)
    start = min(each for each in starts if each is not None)
    end = max(each for each in ends if each is not None)
    before, after = start.astimezone(zone), end.astimezone(zone)
    steady = before.utcoffset() == after.utcoffset()
    offsets = [each.utcoffset() for each in (before, after)]
    known = [offset.total_seconds() / 60 for offset in offsets if offset is not None]
    return (
        Finding(
            rule=Rule.CLOCK_CHANGE,
            about=facts.trip.name,
            about_id=None,
            severity=Severity.CLEAR if steady else Severity.CAUTION,
            reason=Reason.CLOCK_STEADY if steady else Reason.CLOCK_CHANGES,
            remedy=Remedy.NOTHING if steady else Remedy.MIND_CLOCK,
            source=SOURCE_CLOCK,
            basis=facts.location.zone,
            numbers=()
            if steady
            else (Number("clock_step", known[-1] - known[0], "min"),),
            span=facts.span,
        ),
    )
