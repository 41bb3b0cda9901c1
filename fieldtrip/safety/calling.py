"""Calling for help: does a telephone work there, whom does one call, who finds one?"""

from __future__ import annotations

from fieldtrip.places.records import Coverage, VantagePoint
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.limits import SOURCE_COVERAGE, SOURCE_EMERGENCY, Limits
from fieldtrip.trips.plan import TripFacts

_WORDS = {
    Coverage.NONE: "no signal",
    Coverage.PATCHY: "patchy",
    Coverage.GOOD: "good",
    None: "not said",
}
_WORST = (None, Coverage.NONE, Coverage.PATCHY, Coverage.GOOD)


def coverage(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: the worst signal of a telephone at its stops.

    A stop of which nothing is said has that of its location.
    """
    del limits  # no threshold
    by_place = {
        stop.name: _coverage_of(stop.vantage_point, facts) for stop in facts.stops
    }
    by_place = by_place or {facts.location.name: facts.location.coverage}
    worst = min(by_place.values(), key=_WORST.index)
    if worst is None:
        severity, reason = Severity.UNKNOWN, Reason.COVERAGE_NOT_SAID
        remedy = Remedy.SAY_COVERAGE
    elif worst is Coverage.GOOD:
        severity, reason = Severity.CLEAR, Reason.COVERAGE_GOOD
        remedy = Remedy.NOTHING
    else:
        severity, reason = Severity.CAUTION, Reason.COVERAGE_POOR
        remedy = Remedy.TELL_MORE
    told = "; ".join(f"{name}: {_WORDS[found]}" for name, found in by_place.items())
    return (
        Finding(
            rule=Rule.COVERAGE,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=remedy,
            source=SOURCE_COVERAGE,
            basis=told,
            numbers=(Number("party", float(facts.trip.party), "people"),),
            notes=(Note.ALONE,) if facts.trip.party == 1 else (),
            span=facts.span,
        ),
    )


def emergency(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: whom to call there, and the nearest road for them."""
    del limits  # no threshold
    number = facts.trip.emergency.strip() or facts.location.emergency.strip()
    road = facts.location.nearest_road.strip()
    way = f"nearest road: {road}" if road else ""
    if not number:
        severity, reason = Severity.UNKNOWN, Reason.EMERGENCY_NOT_SAID
    elif not road:
        severity, reason = Severity.UNKNOWN, Reason.ROAD_NOT_SAID
    else:
        severity, reason = Severity.CLEAR, Reason.EMERGENCY_SAID
    is_clear = severity is Severity.CLEAR
    return (
        Finding(
            rule=Rule.EMERGENCY,
            about=facts.location.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.NOTHING if is_clear else Remedy.SAY_EMERGENCY,
            source=SOURCE_EMERGENCY,
            basis="; ".join(part for part in (number, way) if part),
            span=facts.span,
        ),
    )


def _coverage_of(vantage: VantagePoint | None, facts: TripFacts) -> Coverage | None:
    own = None if vantage is None else vantage.coverage
    return facts.location.coverage if own is None else own
