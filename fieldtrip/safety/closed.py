"""Closures that hold where and when the trip goes: works, hours, nesting, seasons."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fieldtrip.geo import Line, contains
from fieldtrip.places.closures import Force, closure_state
from fieldtrip.places.records import Closure, ClosureKind, Shape
from fieldtrip.places.seasons import OpenHours
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
from fieldtrip.safety.limits import SOURCE_CLOSURE, Limits
from fieldtrip.safety.nearness import lines_distance_m
from fieldtrip.safety.standing_places import all_places
from fieldtrip.times import Span, local_date
from fieldtrip.trips.opening import open_span
from fieldtrip.trips.plan import TripFacts

SEASONAL = frozenset((ClosureKind.NESTING, ClosureKind.SEASONAL))
_DAY = timedelta(days=1)
_GATE_M = 100.0  # a gate drawn so near a way is on it; common practice
_REMEDIES = {
    Reason.CLOSURE_CLEAR: Remedy.NOTHING,
    Reason.CLOSURE_ELSEWHERE: Remedy.NOTHING,
    Reason.CLOSURE_HOURS_KEPT: Remedy.NOTHING,
    Reason.CLOSURE_NOT_KNOWN: Remedy.RECORD_CLOSURE,
    Reason.CLOSURE_OLD: Remedy.CONFIRM_AGAIN,
    Reason.NO_CLOSURE_RECORDED: Remedy.ASK_CLOSURES,
}


def access_closed(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each closure but the seasonal ones: works, hours of a gate.

    Held against the trip's own days and times, for the part of the map it covers,
    or for the whole location where it is not drawn.  Where none is recorded, nobody
    has asked, until somebody ticks that they have.
    """
    mine = [c for c in facts.closures if c.kind not in SEASONAL]
    return _of_all(Rule.ACCESS_CLOSED, mine, facts, limits)


def closed_season(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each seasonal closure, such as that of a nesting colony.

    Held against the trip's own days, as other closures are.
    """
    mine = [c for c in facts.closures if c.kind in SEASONAL]
    return _of_all(Rule.CLOSED_SEASON, mine, facts, limits)


@dataclass(frozen=True, slots=True)
class _Use:
    """What the plan does inside a closure."""

    name: str
    span: Span


def _of_all(
    rule: Rule, closures: list[Closure], facts: TripFacts, limits: Limits
) -> tuple[Finding, ...]:
    if not closures:
        return (_nobody_asked(rule, facts),)
    return tuple(_of_closure(rule, closure, facts, limits) for closure in closures)


def _nobody_asked(rule: Rule, facts: TripFacts) -> Finding:
    return Finding(
        rule=rule,
        about=facts.location.name,
        about_id=None,
        severity=Severity.UNKNOWN,
        reason=Reason.NO_CLOSURE_RECORDED,
        remedy=Remedy.ASK_CLOSURES,
        source=SOURCE_CLOSURE,
        span=facts.span,
        can_be_ticked=True,
        stands_for=where_and_when(facts),
    )


def where_and_when(facts: TripFacts) -> str:
    """In short, the day of a trip and where it goes; a tick lapses with either."""
    return short_form(
        facts.trip.day,
        [stop.stop.vantage_point_id for stop in facts.stops],
        [walk.walk.leg_id for walk in facts.walks],
    )


def _of_closure(
    rule: Rule, closure: Closure, facts: TripFacts, limits: Limits
) -> Finding:
    uses = _uses(closure, facts, limits)
    severity, reason = _judge(closure, uses, facts)
    is_old = _is_old(closure, facts, limits)
    if severity is Severity.CLEAR and uses and is_old:
        severity, reason = Severity.CAUTION, Reason.CLOSURE_OLD
    numbers = [
        Number("confirmed_within", limits.confirmed_months, "months", is_limit=True)
    ]
    opened = _open_spans(closure.hours, facts) if closure.hours else []
    if opened:
        nearest = min(opened, key=lambda span: abs(span.start - facts.span.start))
        numbers += [
            Number("opens", nearest.start, "UTC"),
            Number("shuts", nearest.stop, "UTC"),
        ]
    is_noted = is_old and severity.rank < Severity.CAUTION.rank
    return Finding(
        rule=rule,
        about=closure.name,
        about_id=closure.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.STAY_OUT),
        source=SOURCE_CLOSURE,
        basis=", ".join(dict.fromkeys(use.name for use in uses)),
        numbers=tuple(numbers),
        notes=(Note.CLOSURE_OLD,) if is_noted else (),
        span=uses[0].span if uses else facts.span,
    )


def _judge(
    closure: Closure, uses: list[_Use], facts: TripFacts
) -> tuple[Severity, Reason]:
    """The worst of every day on which the plan is inside it."""
    if not uses:
        return Severity.CLEAR, Reason.CLOSURE_ELSEWHERE
    states = [
        (closure_state(closure, day).force, use)
        for use in uses
        for day in _days(use.span, facts.location.zone)
    ]
    if any(force is Force.SHUT for force, _ in states):
        return Severity.STOP, Reason.CLOSURE_IN_FORCE
    kept = [use for force, use in states if force is Force.HOURS]
    if closure.hours is not None and kept:
        spans = _open_spans(closure.hours, facts)
        if not all(_is_inside(use.span, spans) for use in kept):
            return Severity.STOP, Reason.CLOSURE_HOURS_BROKEN
    if any(force is Force.UNKNOWN for force, _ in states):
        return Severity.UNKNOWN, Reason.CLOSURE_NOT_KNOWN
    if kept:
        return Severity.CLEAR, Reason.CLOSURE_HOURS_KEPT
    return Severity.CLEAR, Reason.CLOSURE_CLEAR


def _uses(closure: Closure, facts: TripFacts, limits: Limits) -> list[_Use]:
    """What of the plan is inside it; all of it where it is not drawn on the map."""
    whole = _Use(facts.trip.name, facts.span)
    if not closure.line or not (facts.stops or facts.walks):
        return [whole]
    gone = any(s.vantage_point is None for s in facts.stops) or any(
        w.leg is None for w in facts.walks
    )
    if gone:
        return [whole]  # where the plan goes is not known
    is_gate = closure.kind is ClosureKind.HOURS and closure.shape is not Shape.AREA
    found = []
    for place in all_places(facts, limits.leg_error_m):
        error_m = limits.leg_error_m if place.error_m is None else place.error_m
        reach_m = max(error_m, _GATE_M) if is_gate else error_m
        if _distance_m(closure, place.line) <= reach_m:
            found.append(_Use(place.name, place.span))
    return found


def _distance_m(closure: Closure, line: Line) -> float:
    outline = closure.line
    if closure.shape is Shape.AREA:
        outline = (*outline, outline[0])
        if any(contains(closure.line, point) for point in line):
            return 0.0
    return lines_distance_m(outline, line)


def _days(span: Span, zone: str) -> list[date]:
    """The days at the place that a span touches."""
    first, last = local_date(span.start, zone), local_date(span.stop, zone)
    return [first + i * _DAY for i in range((last - first).days + 1)]


def _open_spans(hours: OpenHours, facts: TripFacts) -> list[Span]:
    zone = facts.location.zone
    days = _days(Span(facts.span.start - _DAY, facts.span.stop), zone)
    return [open_span(hours, day, zone) for day in days]


def _is_inside(span: Span, opened: list[Span]) -> bool:
    return any(one.start <= span.start and span.stop <= one.stop for one in opened)


def _is_old(closure: Closure, facts: TripFacts, limits: Limits) -> bool:
    today = local_date(facts.now, facts.location.zone)
    found = freshness(
        closure.last_confirmed, facts.trip.day, today, limits.confirmed_months
    )
    return found is not Freshness.FRESH
