"""No plan leaves here that the checklist would stop.

The scheduler keeps the limits of tide, dark, hours and return by itself.  Whatever
else the rules stop, such as wind, thunder or a closure, is asked of them: each leg
and each spot by itself, all day long, and the answer is one more limit to plan by.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from fieldtrip.planning.asking import Sought
from fieldtrip.planning.edits import with_plan
from fieldtrip.safety.checklist import RULES
from fieldtrip.safety.finding import Finding, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.times import Span
from fieldtrip.trips.answer import Plan
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import StopFacts, TripFacts, WalkFacts, facts_of
from fieldtrip.trips.question import LimitKind, OpenIn, Way
from fieldtrip.trips.records import Trip
from fieldtrip.trips.spans import Spans, clipped, difference, intersection, merged

_STEP = timedelta(minutes=15)
_PARTS = 4  # of an hour
_Check = Callable[[TripFacts, Limits], tuple[Finding, ...]]


@dataclass(frozen=True, slots=True)
class Stopped:
    """What the checklist stops in a plan, and when it would not."""

    findings: tuple[Finding, ...]
    legs: dict[UUID, Spans]  # when each of these legs may be walked
    stops: dict[UUID, Spans]  # when each of these stops may be stayed at
    # By when these legs must be begun in a direction (True: back), for their gates.
    begun: dict[tuple[UUID, bool], datetime]
    # In which of these spans the whole trip may lie; None: any time will do.
    whole: Spans | None = None


def facts_of_plan(dossier: Dossier, trip: Trip, plan: Plan, now: datetime) -> TripFacts:
    """The facts of a trip as a plan would have it."""
    return facts_of(with_plan(dossier, trip, plan), trip, now)


def stopped_in(facts: TripFacts, limits: Limits, reach: Span) -> Stopped:
    """What every rule stops, put down to single legs and stops where it can be."""
    findings: list[Finding] = []
    legs: dict[UUID, Spans] = {}
    stops: dict[UUID, Spans] = {}
    whole: Spans | None = None
    for rule in RULES:
        found = _stops(rule, facts, limits)
        if not found:
            continue
        findings += found
        known = len(legs) + len(stops)
        for walk in facts.walks:
            if walk.leg is not None and _stops(rule, _with_walk(facts, walk), limits):
                spans = _walkable(rule, walk, facts, limits, reach)
                legs[walk.leg.id] = intersection(legs.get(walk.leg.id, spans), spans)
        for stop in facts.stops:
            if _stops(rule, _with_stop(facts, stop), limits):
                spans = _standable(rule, stop, facts, limits, reach)
                key = stop.stop.id
                stops[key] = intersection(stops.get(key, spans), spans)
        if len(legs) + len(stops) == known and facts.stops:
            # Such as thunder while one waits: it is the hour that is stopped.
            spans = _standable(rule, facts.stops[0], facts, limits, reach)
            whole = spans if whole is None else intersection(whole, spans)
    begun = _begun(facts, findings)
    return Stopped(tuple(findings), legs, stops, begun, whole)


def within(sought: Sought, run: Span) -> Sought:
    """The question with the whole trip in a span of time that the checks leave."""
    question = sought.question
    ends = merged((run,))
    if question.finish_open is not None:
        ends = intersection(question.finish_open.spans, ends)
    span = Span(max(question.span.start, run.start), question.span.stop)
    return replace(
        sought,
        question=replace(
            question,
            span=span,
            finish_open=OpenIn(kind=LimitKind.SHUT, spans=ends),
        ),
    )


def tightened(sought: Sought, stopped: Stopped) -> Sought | None:
    """The question with what the checklist stops as limits; None if that adds none."""
    if not stopped.legs and not stopped.stops and not stopped.begun:
        return None
    question = sought.question
    ways = tuple(
        replace(way, limits=(*way.limits, *_added(way, stopped, question.reach)))
        for way in question.ways
    )
    wishes = tuple(
        wish
        if wish.id not in stopped.stops
        else replace(wish, dry=_narrowed(wish.dry, stopped.stops[wish.id]))
        for wish in question.wishes
    )
    return replace(sought, question=replace(question, ways=ways, wishes=wishes))


def _begun(
    facts: TripFacts, findings: list[Finding]
) -> dict[tuple[UUID, bool], datetime]:
    """The legs at whose gates the plan comes too late for the time that was typed."""
    late = {f.about_id for f in findings if f.rule is Rule.GATES}
    found: dict[tuple[UUID, bool], datetime] = {}
    for gate in facts.gates:
        if gate.id in late and gate.leg_id is not None and gate.decide_by is not None:
            for walk in facts.walks:
                if walk.walk.leg_id == gate.leg_id:
                    found[gate.leg_id, walk.walk.is_reversed] = gate.decide_by
                    break
    return found


def _added(way: Way, stopped: Stopped, reach: Span) -> list[OpenIn]:
    """What the checklist adds to the limits of a way."""
    found: list[OpenIn] = []
    if way.leg_id is None:
        return found
    if way.leg_id in stopped.legs:
        found.append(_shut(stopped.legs[way.leg_id]))
    by = stopped.begun.get((way.leg_id, way.is_reversed))
    if by is not None:
        # It may go on after that, so its own time is given back.
        length = timedelta(minutes=math.ceil(way.minutes))
        spans = merged((Span(min(reach.start, by) - length, by),))
        found.append(OpenIn(kind=LimitKind.SHUT, spans=spans, reserve=-length))
    return found


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
    """When a rule does not stop a leg."""
    length = walk.walk.finish - walk.walk.start

    def is_fine(start: datetime) -> bool:
        moved = replace(walk.walk, start=start, finish=start + length)
        tried = _with_walk(facts, replace(walk, walk=moved))
        return not _stops(rule, tried, limits)

    return _but(_runs(_tried(is_fine, reach), length, reach), walk.span)


def _standable(
    rule: _Check, stop: StopFacts, facts: TripFacts, limits: Limits, reach: Span
) -> Spans:
    """When a rule does not stop a stay."""

    def is_fine(start: datetime) -> bool:
        moved = replace(stop.stop, arrive=start, leave=start + _STEP)
        tried = _with_stop(facts, replace(stop, stop=moved))
        return not _stops(rule, tried, limits)

    return _but(_runs(_tried(is_fine, reach), _STEP, reach), stop.span)


def _tried(is_fine: Callable[[datetime], bool], reach: Span) -> list[datetime]:
    """The quarters of an hour at which something is fine.

    Every full hour is tried, and the quarters between two that differ.
    """
    hour = reach.start.replace(minute=0, second=0, microsecond=0)
    found: list[datetime] = []
    is_now = is_fine(hour)
    while hour < reach.stop:
        quarters = [hour + part * _STEP for part in range(_PARTS)]
        is_next = is_fine(hour + _PARTS * _STEP)
        if is_now == is_next:
            found += quarters if is_now else []
        else:
            found += [hour] if is_now else []
            found += [each for each in quarters[1:] if is_fine(each)]
        hour += _PARTS * _STEP
        is_now = is_next
    return found


def _runs(fine: list[datetime], length: timedelta, reach: Span) -> Spans:
    """Spans of tries that follow one another; what lasts to the end lasts beyond it."""
    runs: list[Span] = []
    last: datetime | None = None
    for start in fine:
        if last is not None and start - last == _STEP:
            runs[-1] = Span(runs[-1].start, start + length)
        else:
            runs.append(Span(start, start + length))
        last = start
    if last is not None and last + _STEP >= reach.stop:
        runs[-1] = Span(runs[-1].start, reach.stop + timedelta(days=1))
    return merged(runs)


def _but(spans: Spans, stopped: Span) -> Spans:
    """Without the very walk or stay that is stopped, if the tries missed it."""
    if clipped(spans, stopped) != merged((stopped,)):
        return spans
    return difference(spans, merged((stopped,)))
