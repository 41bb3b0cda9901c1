"""Does the plan say how one gets from each place of the trip to the next?"""

from __future__ import annotations

from fieldtrip.safety.finding import (
    Finding,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
    short_form,
)
from fieldtrip.safety.gaps import no_walks
from fieldtrip.safety.limits import SOURCE_JOINED, Limits
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.way_gaps import NEAR_M, WayGap, gaps_between, parts_of


def way_joined(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each place at which the trip goes on and no walk leads there.

    Of ground between two places that no planned walk goes over, no other rule can say
    anything.  There and back over the same ground is told once.
    """
    del limits  # no threshold
    if not facts.walks:
        return (no_walks(Rule.WAY_JOINED, facts, SOURCE_JOINED),)
    found: dict[str, Finding] = {}
    for gap in gaps_of(facts):
        told = _of_gap(gap)
        found.setdefault(told.key, told)
    return tuple(found.values()) or (
        Finding(
            rule=Rule.WAY_JOINED,
            about=facts.trip.name,
            about_id=None,
            severity=Severity.CLEAR,
            reason=Reason.WAY_WITHOUT_GAP,
            remedy=Remedy.NOTHING,
            source=SOURCE_JOINED,
            span=facts.span,
        ),
    )


def gaps_of(facts: TripFacts) -> list[WayGap]:
    """Where the plan goes on without a walk, in order of time."""
    parts = parts_of(
        [(walk.walk, walk.leg) for walk in facts.walks],
        [(stop.stop, stop.vantage_point) for stop in facts.stops],
        facts.start_place,
        facts.end_place,
    )
    return gaps_between(parts)


def _of_gap(gap: WayGap) -> Finding:
    ends = sorted(
        (round(p.lat_deg, 6), round(p.lon_deg, 6))
        for p in (gap.before.last, gap.after.first)
    )
    return Finding(
        rule=Rule.WAY_JOINED,
        about=f"{gap.before.name} to {gap.after.name}",
        about_id=None,
        severity=Severity.UNKNOWN,
        reason=Reason.WAY_GAP,
        remedy=Remedy.PLAN_GAP,
        source=SOURCE_JOINED,
        numbers=(
            Number("gap", gap.distance_m, "m"),
            Number("gap_limit", NEAR_M, "m", is_limit=True),
        ),
        span=gap.span,
        can_be_ticked=True,
        stands_for=short_form(ends),
    )
