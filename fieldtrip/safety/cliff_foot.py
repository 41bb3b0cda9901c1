"""Below a cliff: as far from its foot as it is high, and never after rain."""

from __future__ import annotations

from uuid import UUID

from fieldtrip.places.records import Hazard, HazardKind, Leg, VantagePoint
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
from fieldtrip.safety.freshness import Freshness, freshness
from fieldtrip.safety.gaps import does_not_apply
from fieldtrip.safety.limits import SOURCE_FOOT, Limits
from fieldtrip.safety.nearness import hazard_distance_m
from fieldtrip.safety.standing_places import StandingPlace, all_places
from fieldtrip.safety.wetness import Wetness, wetness
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts

_REMEDIES = {
    Reason.FOOT_CLEAR: Remedy.NOTHING,
    Reason.FOOT_STALE: Remedy.CONFIRM_AGAIN,
    Reason.FOOT_HEIGHT_NOT_KNOWN: Remedy.RECORD_FOOT,
    Reason.FOOT_POSITION_NOT_SAID: Remedy.RECORD_FOOT,
    Reason.FOOT_RAIN_NOT_KNOWN: Remedy.SAY_RAIN,
}


def cliff_foot(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stop and walk that comes near a recorded cliff foot.

    Nearer than the cliff is high is a caution, and after heavy rain a stop.  At a low
    spot, or on a leg along the sea, no foot on the map does not mean that there is no
    cliff above, until somebody ticks that they looked.
    """
    feet = [h for h in facts.hazards if h.kind is HazardKind.CLIFF_FOOT]
    found = []
    unsaid: dict[UUID, Finding] = {}  # of a record, once
    for place in all_places(facts, limits.leg_error_m):
        near = [
            (foot, distance_m)
            for foot in feet
            if (distance_m := hazard_distance_m(foot, place.line))
            <= _reach_m(foot, limits) + place.known_error_m
        ]
        if near:
            judged = [_of_foot(place, *one, facts, limits) for one in near]
            found.append(min(judged, key=lambda finding: finding.severity.rank))
        elif _is_at_shore(place, limits):
            unsaid.setdefault(place.record_id, _not_looked_for(place, limits))
    return (*found, *unsaid.values()) or (
        does_not_apply(Rule.CLIFF_FOOT, facts, SOURCE_FOOT),
    )


def _is_at_shore(place: StandingPlace, limits: Limits) -> bool:
    """Low enough for a cliff to stand above it, or not known to be higher."""
    match place.record:
        case VantagePoint(ground_m=ground_m):
            return ground_m is None or ground_m < limits.low_ground_m
        case Leg(is_tidal=is_tidal, shore=shore, shut_above_m=shut_m):
            return is_tidal is not False or shore is not None or shut_m is not None


def _not_looked_for(place: StandingPlace, limits: Limits) -> Finding:
    return Finding(
        rule=Rule.CLIFF_FOOT,
        about=place.name,
        about_id=place.record_id,
        severity=Severity.UNKNOWN,
        reason=Reason.FOOT_NOT_LOOKED_FOR,
        remedy=Remedy.LOOK_ABOVE,
        source=SOURCE_FOOT,
        numbers=(Number("foot_zone", limits.foot_zone_m, "m", is_limit=True),),
        span=place.span,
        can_be_ticked=True,
        stands_for=short_form(place.line),
    )


def _reach_m(foot: Hazard, limits: Limits) -> float:
    """How far a cliff concerns anybody, a little beyond what falls from it."""
    return max(limits.foot_zone_m, (foot.height_m or 0.0) * limits.foot_heights)


def _of_foot(
    place: StandingPlace,
    foot: Hazard,
    distance_m: float,
    facts: TripFacts,
    limits: Limits,
) -> Finding:
    wet = wetness(place.span, facts, limits)
    severity, reason = _judge(place, foot, distance_m, wet, limits)
    if severity.rank > Severity.CAUTION.rank and _is_old(foot, facts, limits):
        severity, reason = Severity.CAUTION, Reason.FOOT_STALE
    numbers = [
        Number("distance", distance_m, "m"),
        Number("wet_rain", limits.wet_rain_48h_mm, "mm", is_limit=True),
        Number("confirmed_within", limits.confirmed_months, "months", is_limit=True),
    ]
    if foot.height_m is not None:
        keep_m = foot.height_m * limits.foot_heights
        numbers.append(Number("keep_off", keep_m, "m", is_limit=True))
    if place.error_m is not None:
        numbers.append(Number("position_error", place.error_m, "m"))
    if facts.trip.rain_48h_mm is not None:
        numbers.append(Number("rain_48h", facts.trip.rain_48h_mm, "mm"))
    return Finding(
        rule=Rule.CLIFF_FOOT,
        about=f"{place.name}, {foot.name}",
        about_id=place.plan_id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.KEEP_FROM_FOOT),
        source=SOURCE_FOOT,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=tuple(numbers),
        notes=(Note.HEAVY_RAIN,) if wet.is_wet else (),
        span=place.span,
        stands_for=short_form(foot.id),
    )


def _judge(
    place: StandingPlace,
    foot: Hazard,
    distance_m: float,
    wet: Wetness,
    limits: Limits,
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then cautions."""
    keep_m = None if foot.height_m is None else foot.height_m * limits.foot_heights
    is_surely_near = keep_m is not None and distance_m + place.known_error_m < keep_m
    if wet.is_wet and is_surely_near:
        return Severity.STOP, Reason.FOOT_NEAR_WET
    if keep_m is None:
        return Severity.UNKNOWN, Reason.FOOT_HEIGHT_NOT_KNOWN
    if place.error_m is None:
        return Severity.UNKNOWN, Reason.FOOT_POSITION_NOT_SAID
    if distance_m - place.error_m >= keep_m:
        return Severity.CLEAR, Reason.FOOT_CLEAR
    if wet.is_wet:
        return Severity.STOP, Reason.FOOT_NEAR_WET
    if not wet.is_known:
        return Severity.UNKNOWN, Reason.FOOT_RAIN_NOT_KNOWN
    return Severity.CAUTION, Reason.FOOT_NEAR


def _is_old(foot: Hazard, facts: TripFacts, limits: Limits) -> bool:
    today = local_date(facts.now, facts.location.zone)
    found = freshness(
        foot.last_confirmed, facts.trip.day, today, limits.confirmed_months
    )
    return found is not Freshness.FRESH
