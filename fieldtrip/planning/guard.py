"""No plan leaves here that the checklist would stop.

The scheduler keeps the limits of tide, dark, hours and return by itself.  Whatever
else the rules stop, such as wind, thunder or a closure, is asked of them: each leg
and each spot by itself, all day long, and the answer is one more limit to plan by.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from fieldtrip.planning.asking import Sought
from fieldtrip.planning.edits import with_plan
from fieldtrip.safety.checklist import RULES
from fieldtrip.safety.finding import Finding, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.times import Span
from fieldtrip.trips.answer import Plan
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import StopFacts, TripFacts, WalkFacts, facts_of
from fieldtrip.trips.question import LimitKind, OpenIn
from fieldtrip.trips.records import Trip
from fieldtrip.trips.spans import Spans, clipped, difference, intersection, merged

_STEP = timedelta(minutes=15)
_Check = Callable[[TripFacts, Limits], tuple[Finding, ...]]


@dataclass(frozen=True, slots=True)
class Stopped:
    """What the checklist stops in a plan, and when it would not."""

    findings: tuple[Finding, ...]
    legs: dict[UUID, Spans]  # when each of these legs may be walked
    stops: dict[UUID, Spans]  # when each of these stops may be stayed at


def facts_of_plan(dossier: Dossier, trip: Trip, plan: Plan, now: datetime) -> TripFacts:
    """The facts of a trip as a plan would have it."""
    return facts_of(with_plan(dossier, trip, plan), trip, now)


def stopped_in(facts: TripFacts, limits: Limits, reach: Span) -> Stopped:
    """What every rule stops, put down to single legs and stops where it can be."""
    findings: list[Finding] = []
    legs: dict[UUID, Spans] = {}
    stops: dict[UUID, Spans] = {}
    for rule in RULES:
        found = _stops(rule, facts, limits)
        if not found:
            continue
        findings += found
        for walk in facts.walks:
            if walk.leg is not None and _stops(rule, _with_walk(facts, walk), limits):
                spans = _walkable(rule, walk, facts, limits, reach)
                legs[walk.leg.id] = intersection(legs.get(walk.leg.id, spans), spans)
        for stop in facts.stops:
            if _stops(rule, _with_stop(facts, stop), limits):
                spans = _standable(rule, stop, facts, limits, reach)
                key = stop.stop.id
                stops[key] = intersection(stops.get(key, spans), spans)
    return Stopped(tuple(findings), legs, stops)


def tightened(sought: Sought, stopped: Stopped) -> Sought | None:
    """The question with what the checklist stops as limits; None if that adds none."""
    if not stopped.legs and not stopped.stops:
        return None
    question = sought.question
    ways = tuple(
        way
        if way.leg_id not in stopped.legs
        else replace(way, limits=(*way.limits, _shut(stopped.legs[way.leg_id])))
        for way in question.ways
    )
    wishes = tuple(
        wish
        if wish.id not in stopped.stops
        else replace(wish, dry=_narrowed(wish.dry, stopped.stops[wish.id]))
        for wish in question.wishes
    )
    return replace(sought, question=replace(question, ways=ways, wishes=wishes))


def _shut(spans: Spans) -> OpenIn:
    return OpenIn(kind=LimitKind.SHUT, spans=spans)


def _narrowed(dry: OpenIn | None, spans: Spans) -> OpenIn:
    """Both limits of a stay as one, without a reserve of its own any more."""
    if dry is None:
        return _shut(spans)
    kept = merged(
        Span(span.start, span.stop - dry.reserve)
        for span in dry.spans
        if span.length > dry.reserve
    )
    return replace(
        dry, kind=LimitKind.SHUT, spans=intersection(kept, spans), reserve=timedelta()
    )


def _stops(rule: _Check, facts: TripFacts, limits: Limits) -> list[Finding]:
    return [f for f in rule(facts, limits) if f.severity is Severity.STOP]


def _with_walk(facts: TripFacts, walk: WalkFacts) -> TripFacts:
    return replace(facts, walks=(walk,), stops=(), gates=())


def _with_stop(facts: TripFacts, stop: StopFacts) -> TripFacts:
    return replace(facts, walks=(), stops=(stop,), gates=())


def _walkable(
    rule: _Check, walk: WalkFacts, facts: TripFacts, limits: Limits, reach: Span
) -> Spans:
    """When a rule does not stop a leg: tried every quarter of an hour."""
    length = walk.walk.finish - walk.walk.start
    fine = [
        Span(start, start + length)
        for start in _quarters(reach)
        if not _stops(
            rule,
            _with_walk(
                facts,
                replace(
                    walk,
                    walk=replace(walk.walk, start=start, finish=start + length),
                ),
            ),
            limits,
        )
    ]
    return _but(_runs(fine, reach), walk.span)


def _standable(
    rule: _Check, stop: StopFacts, facts: TripFacts, limits: Limits, reach: Span
) -> Spans:
    """When a rule does not stop a stay: tried every quarter of an hour."""
    fine = [
        Span(start, start + _STEP)
        for start in _quarters(reach)
        if not _stops(
            rule,
            _with_stop(
                facts,
                replace(
                    stop, stop=replace(stop.stop, arrive=start, leave=start + _STEP)
                ),
            ),
            limits,
        )
    ]
    return _but(_runs(fine, reach), stop.span)


def _quarters(reach: Span) -> Iterator[datetime]:
    at = reach.start.replace(minute=0, second=0, microsecond=0)
    while at < reach.stop:
        yield at
        at += _STEP


def _runs(fine: list[Span], reach: Span) -> Spans:
    """Spans of tries that follow one another; what lasts to the end lasts beyond it."""
    runs: list[Span] = []
    last: datetime | None = None
    for span in fine:
        if last is not None and span.start - last == _STEP:
            runs[-1] = Span(runs[-1].start, span.stop)
        else:
            runs.append(span)
        last = span.start
    if runs and runs[-1].stop >= reach.stop:
        runs[-1] = Span(runs[-1].start, reach.stop + timedelta(days=1))
    return merged(runs)


def _but(spans: Spans, stopped: Span) -> Spans:
    """Without the very walk or stay that is stopped, if the tries missed it."""
    if clipped(spans, stopped) != merged((stopped,)):
        return spans
    return difference(spans, merged((stopped,)))
