"""Ground to wait on when the tide has shut the way: named, dry and confirmed."""

from __future__ import annotations

from fieldtrip.places.records import Leg, Refuge
from fieldtrip.safety.crossings import tidal_legs
from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.freshness import Freshness, day_words, freshness
from fieldtrip.safety.limits import SOURCE_REFUGE, Limits
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts


def tide_refuge(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each tidal leg that is walked."""
    return tuple(
        _of_leg(leg, walks[0].refuge, facts, limits) for leg, walks in tidal_legs(facts)
    )


def _of_leg(
    leg: Leg, refuge: Refuge | None, facts: TripFacts, limits: Limits
) -> Finding:
    severity, reason, remedy = _judge(leg, refuge, facts, limits)
    return Finding(
        rule=Rule.TIDE_REFUGE,
        about=leg.name,
        about_id=leg.id,
        severity=severity,
        reason=reason,
        remedy=remedy,
        source=SOURCE_REFUGE,
        basis=_basis(refuge),
        numbers=(Number("confirmed_within", limits.confirmed_months, "months", True),),
        span=facts.span,
    )


def _judge(
    leg: Leg, refuge: Refuge | None, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, Remedy]:
    if refuge is None:
        gone = leg.refuge_id is not None
        reason = Reason.RECORD_GONE if gone else Reason.NO_REFUGE
        return Severity.UNKNOWN, reason, Remedy.NAME_REFUGE
    if refuge.stays_dry is None:
        return Severity.UNKNOWN, Reason.REFUGE_NOT_SAID, Remedy.VISIT_REFUGE
    if not refuge.stays_dry:
        return Severity.UNKNOWN, Reason.REFUGE_FLOODS, Remedy.NAME_REFUGE
    today = local_date(facts.now, facts.location.zone)
    months = limits.confirmed_months
    match freshness(refuge.confirmed, facts.trip.day, today, months):
        case Freshness.NEVER:
            return Severity.UNKNOWN, Reason.REFUGE_NOT_CONFIRMED, Remedy.VISIT_REFUGE
        case Freshness.OLD:
            return Severity.CAUTION, Reason.REFUGE_STALE, Remedy.VISIT_REFUGE
        case Freshness.FRESH:
            return Severity.CLEAR, Reason.REFUGE_DRY, Remedy.NOTHING


def _basis(refuge: Refuge | None) -> str:
    if refuge is None:
        return ""
    if refuge.confirmed is None:
        return refuge.name
    return f"{refuge.name}, confirmed {day_words(refuge.confirmed)}"
