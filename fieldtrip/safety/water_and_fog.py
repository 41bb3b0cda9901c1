"""Rain on the way, streams and river mouths that it raises, and fog."""

from __future__ import annotations

from fieldtrip.places.records import Ground, Leg
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.gaps import does_not_apply, no_walks, walk_gone
from fieldtrip.safety.limits import SOURCE_FOG, SOURCE_RAIN, SOURCE_STREAMS, Limits
from fieldtrip.safety.together import told_together
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts, WalkFacts
from fieldtrip.weather.hours import Reading, largest, smallest, total

_NOTHING = Reading(None, is_complete=False)
_REMEDIES = {
    Reason.RAIN_LIGHT: Remedy.NOTHING,
    Reason.RAIN_HEAVY: Remedy.MIND_RAIN,
    Reason.STREAM_LOW: Remedy.NOTHING,
    Reason.STREAM_NOT_SAID: Remedy.RECORD_LEG,
    Reason.STREAM_RAIN_NOT_KNOWN: Remedy.SAY_RAIN,
    Reason.STREAM_RAISED: Remedy.KEEP_FROM_WATER,
    Reason.STREAM_HIGH: Remedy.KEEP_FROM_WATER,
    Reason.FOG_NONE: Remedy.NOTHING,
    Reason.FOG_PATH: Remedy.CARRY_MAP,
    Reason.FOG_THICK: Remedy.CARRY_MAP,
    Reason.FOG_GROUND_NOT_SAID: Remedy.RECORD_LEG,
}


def rain(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: does it rain heavily, which makes rock slippery?"""
    heaviest = _NOTHING
    if facts.forecast is not None:
        heaviest = largest(facts.forecast.hours, facts.span, lambda hour: hour.rain_mm)
    value = heaviest.value
    if facts.forecast is None:
        severity, reason = Severity.UNKNOWN, Reason.NO_FORECAST
    elif value is None or not heaviest.is_complete:
        severity, reason = Severity.UNKNOWN, Reason.RAIN_HOURS_NOT_KNOWN
    elif value >= limits.heavy_rain_mm_h:
        severity, reason = Severity.CAUTION, Reason.RAIN_HEAVY
    else:
        severity, reason = Severity.CLEAR, Reason.RAIN_LIGHT
    numbers = [Number("heavy_hour", limits.heavy_rain_mm_h, "mm", is_limit=True)]
    if value is not None:
        numbers.append(Number("rain", value, "mm"))
    return (
        Finding(
            rule=Rule.RAIN,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=_REMEDIES.get(reason, Remedy.TYPE_FORECAST),
            source=SOURCE_RAIN,
            basis=_basis(facts),
            numbers=tuple(numbers),
            span=facts.span,
        ),
    )


def streams(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """Is the water low enough on walks that cross a stream or river mouth, or may?

    One finding for the walks that share a state.  What counts is the rain of the 48
    hours before the trip, and what the forecast adds up to the end of the walk.
    """
    if not facts.walks:
        return (no_walks(Rule.STREAMS, facts, SOURCE_STREAMS),)
    found = []
    for walk in facts.walks:
        if walk.leg is None:
            found.append(walk_gone(Rule.STREAMS, walk, SOURCE_STREAMS))
        elif walk.leg.crosses_water is not False:
            found.append(_stream(walk, walk.leg, facts, limits))
    told = told_together(found, "fallen", is_high_worse=True)
    return told or (does_not_apply(Rule.STREAMS, facts, SOURCE_STREAMS),)


def fog(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """Does one see enough to find the way?

    One finding for the walks that share a state.
    """
    if not facts.walks:
        return (no_walks(Rule.FOG, facts, SOURCE_FOG),)
    found = [
        walk_gone(Rule.FOG, walk, SOURCE_FOG)
        if walk.leg is None
        else _fog(walk, walk.leg, facts, limits)
        for walk in facts.walks
    ]
    return told_together(found, "visibility", is_high_worse=False)


def _stream(walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits) -> Finding:
    before_mm = facts.trip.rain_48h_mm
    during = _NOTHING
    if facts.forecast is not None:
        span = Span(facts.span.start, walk.span.stop)
        during = total(facts.forecast.hours, span, lambda hour: hour.rain_mm)
    known = [mm for mm in (before_mm, during.value) if mm is not None]
    fallen_mm = sum(known) if known else None
    is_known = before_mm is not None and during.is_complete
    if (
        leg.crosses_water
        and fallen_mm is not None
        and fallen_mm >= limits.stream_stop_mm
    ):
        severity, reason = Severity.STOP, Reason.STREAM_HIGH
    elif leg.crosses_water is None:
        severity, reason = Severity.UNKNOWN, Reason.STREAM_NOT_SAID
    elif fallen_mm is None or not is_known:
        severity, reason = Severity.UNKNOWN, Reason.STREAM_RAIN_NOT_KNOWN
    elif fallen_mm >= limits.stream_caution_mm:
        severity, reason = Severity.CAUTION, Reason.STREAM_RAISED
    else:
        severity, reason = Severity.CLEAR, Reason.STREAM_LOW
    numbers = [
        Number("stream_caution", limits.stream_caution_mm, "mm", is_limit=True),
        Number("stream_stop", limits.stream_stop_mm, "mm", is_limit=True),
    ]
    if fallen_mm is not None:
        numbers.append(Number("fallen", fallen_mm, "mm"))
    return Finding(
        rule=Rule.STREAMS,
        about=leg.name,
        about_id=walk.walk.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES[reason],
        source=SOURCE_STREAMS,
        basis=_basis(facts),
        numbers=tuple(numbers),
        span=walk.span,
    )


def _fog(walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits) -> Finding:
    seen = _NOTHING
    if facts.forecast is not None:
        hours = facts.forecast.hours
        seen = smallest(hours, walk.span, lambda hour: hour.visibility_m)
    is_dark = walk.lowest_sun_deg < limits.dusk_deg
    severity, reason = _judge_fog(seen, leg, is_dark, facts, limits)
    numbers = [
        Number("fog", limits.fog_m, "m", is_limit=True),
        Number("thick_fog", limits.thick_fog_m, "m", is_limit=True),
    ]
    if seen.value is not None:
        numbers.append(Number("visibility", seen.value, "m"))
    is_foggy = severity in (Severity.CAUTION, Severity.STOP)
    return Finding(
        rule=Rule.FOG,
        about=leg.name,
        about_id=walk.walk.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.TYPE_FORECAST),
        source=SOURCE_FOG,
        basis=_basis(facts),
        numbers=tuple(numbers),
        notes=(Note.IN_DARKNESS,) if is_foggy and is_dark else (),
        span=walk.span,
    )


def _judge_fog(
    seen: Reading, leg: Leg, is_dark: bool, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason]:
    """In thick fog only a path that is not exposed, by day, is merely a caution."""
    value = seen.value
    is_demanding = leg.is_exposed or leg.ground in (Ground.PATHLESS, Ground.BOULDERS)
    is_thick = value is not None and value < limits.thick_fog_m
    if is_thick and (is_demanding or is_dark):
        return Severity.STOP, Reason.FOG_THICK
    if facts.forecast is None:
        return Severity.UNKNOWN, Reason.NO_FORECAST
    if value is None or not seen.is_complete:
        return Severity.UNKNOWN, Reason.VISIBILITY_NOT_KNOWN
    if is_thick and (leg.is_exposed is None or leg.ground is Ground.UNKNOWN):
        return Severity.UNKNOWN, Reason.FOG_GROUND_NOT_SAID
    if value < limits.fog_m:
        return Severity.CAUTION, Reason.FOG_PATH
    return Severity.CLEAR, Reason.FOG_NONE


def _basis(facts: TripFacts) -> str:
    return "" if facts.forecast is None else facts.forecast.source
