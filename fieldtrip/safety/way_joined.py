"""Does the plan say how one gets from each place of the trip to the next?"""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

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
from fieldtrip.times import Span, local_date
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.way_gaps import NEAR_M, Part, WayGap, gaps_between, parts_of

_OVERLAP = timedelta(minutes=1)  # two times that were rounded


def way_joined(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each place at which the trip goes on and no walk leads there.

    Of ground between two places that no planned walk goes over, no other rule can say
    anything.  There and back over the same ground is told once.  Nor can anything be
    said of two parts that overlap in time, or of times that are not of the trip's day.
    """
    del limits  # no threshold
    if not facts.walks:
        return (no_walks(Rule.WAY_JOINED, facts, SOURCE_JOINED),)
    found: dict[str, Finding] = {}
    if not _is_on_its_day(facts):
        told = _finding(facts.trip.name, Reason.WAY_OTHER_DAY, facts.span)
        found[told.key] = told
    parts = _parts_of(facts)
    for one, other in pairwise(parts):
        if one.stop - other.start > _OVERLAP:
            about = f"{one.name} and {other.name}"
            span = Span(other.start, max(one.stop, other.start))
            told = _finding(about, Reason.WAY_OVERLAPS, span)
            found[f"{told.key}:{other.start}"] = told
    for gap in gaps_between(parts):
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
    return gaps_between(_parts_of(facts))


def _parts_of(facts: TripFacts) -> list[Part]:
    return parts_of(
        [(walk.walk, walk.leg) for walk in facts.walks],
        [(stop.stop, stop.vantage_point) for stop in facts.stops],
        facts.start_place,
        facts.end_place,
    )


def _is_on_its_day(facts: TripFacts) -> bool:
    """Whether what is planned touches the day that the trip is said to be on."""
    zone = facts.location.zone
    first, last = (local_date(at, zone) for at in (facts.span.start, facts.span.stop))
    return first <= facts.trip.day <= last


def _finding(about: str, reason: Reason, span: Span) -> Finding:
    return Finding(
        rule=Rule.WAY_JOINED,
        about=about,
        about_id=None,
        severity=Severity.UNKNOWN,
        reason=reason,
        remedy=Remedy.PLAN_TIMES,
        source=SOURCE_JOINED,
        numbers=(Number("begins", span.start, "UTC"), Number("ends", span.stop, "UTC")),
        span=span,
        stands_for=short_form(about, reason),
    )


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
