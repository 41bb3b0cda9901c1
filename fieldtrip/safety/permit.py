"""Permits: one that has run out, and one that nobody asked about."""

from __future__ import annotations

from fieldtrip.places.closures import has_expired
from fieldtrip.places.records import Permit
from fieldtrip.safety.closed import where_and_when
from fieldtrip.safety.finding import Finding, Reason, Remedy, Rule, Severity
from fieldtrip.safety.freshness import day_words
from fieldtrip.safety.limits import SOURCE_PERMIT, Limits
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts

_REMEDIES = {
    Reason.PERMIT_HOLDS: Remedy.NOTHING,
    Reason.NO_PERMIT_RECORDED: Remedy.ASK_PERMIT,
}


def permit(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each permit of the location: does it hold on the trip's days?

    Where none is recorded, nobody has asked, until somebody ticks that none is needed.
    """
    del limits  # no threshold
    if not facts.permits:
        return (_finding(None, Severity.UNKNOWN, Reason.NO_PERMIT_RECORDED, facts),)
    return tuple(_finding(one, *_judge(one, facts), facts) for one in facts.permits)


def _judge(one: Permit, facts: TripFacts) -> tuple[Severity, Reason]:
    last = max(facts.trip.day, local_date(facts.span.stop, facts.location.zone))
    match has_expired(one, last):
        case None:
            return Severity.UNKNOWN, Reason.PERMIT_END_NOT_SAID
        case True:
            return Severity.STOP, Reason.PERMIT_EXPIRED
        case False:
            return Severity.CLEAR, Reason.PERMIT_HOLDS


def _finding(
    one: Permit | None, severity: Severity, reason: Reason, facts: TripFacts
) -> Finding:
    expires = None if one is None else one.expires
    return Finding(
        rule=Rule.PERMIT,
        about=facts.location.name if one is None else one.name,
        about_id=None if one is None else one.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.RENEW_PERMIT),
        source=SOURCE_PERMIT,
        basis="" if expires is None else day_words(expires),
        span=facts.span,
        can_be_ticked=one is None,
        stands_for=where_and_when(facts) if one is None else "",
    )
