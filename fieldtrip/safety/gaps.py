"""Findings for what a plan leaves out, the same for every rule."""

from __future__ import annotations

from uuid import UUID

from fieldtrip.safety.finding import Finding, Reason, Remedy, Rule, Severity
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts, WalkFacts


def no_walks(rule: Rule, facts: TripFacts, source: str) -> Finding:
    """The plan does not say how to get there, so a rule about it cannot judge."""
    return Finding(
        rule=rule,
        about=facts.trip.name,
        about_id=None,
        severity=Severity.UNKNOWN,
        reason=Reason.NO_WALKS,
        remedy=Remedy.PLAN_WALKS,
        source=source,
        span=facts.span,
    )


def record_gone(
    rule: Rule, name: str, record_id: UUID, span: Span, source: str
) -> Finding:
    """A walk or a stop that points at a record which is no longer there."""
    return Finding(
        rule=rule,
        about=name,
        about_id=record_id,
        severity=Severity.UNKNOWN,
        reason=Reason.RECORD_GONE,
        remedy=Remedy.PLAN_WALKS,
        source=source,
        span=span,
    )


def walk_gone(rule: Rule, walk: WalkFacts, source: str) -> Finding:
    """A walk over a leg that is no longer there."""
    return record_gone(rule, walk.name, walk.walk.id, walk.span, source)


def does_not_apply(rule: Rule, facts: TripFacts, source: str) -> Finding:
    """Nothing in the plan is the rule's business."""
    return Finding(
        rule=rule,
        about=facts.trip.name,
        about_id=None,
        severity=Severity.DOES_NOT_APPLY,
        reason=Reason.NOT_CONCERNED,
        remedy=Remedy.NOTHING,
        source=source,
        span=facts.span,
    )
