"""Is there a forecast, is it new enough, and does it reach over the trip?"""

from __future__ import annotations

from datetime import timedelta

from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.limits import SOURCE_FORECAST, Limits
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import is_covered


def forecast_age(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip.  After the trip its age no longer grows."""
    severity, reason, numbers = _judge(facts, limits)
    is_clear = severity is Severity.CLEAR
    return (
        Finding(
            rule=Rule.FORECAST_AGE,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.NOTHING if is_clear else Remedy.TYPE_FORECAST,
            source=SOURCE_FORECAST,
            basis="" if facts.forecast is None else facts.forecast.source,
            numbers=numbers,
            span=facts.span,
        ),
    )


def _judge(
    facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, tuple[Number, ...]]:
    forecast = facts.forecast
    if forecast is None:
        return Severity.UNKNOWN, Reason.NO_FORECAST, ()
    is_before = local_date(facts.now, facts.location.zone) < facts.trip.day
    limit = limits.forecast_before if is_before else limits.forecast_on_the_day
    age = min(facts.now, facts.span.stop) - forecast.issued
    numbers = (
        Number("age", age / timedelta(hours=1), "h"),
        Number("age_limit", limit / timedelta(hours=1), "h", is_limit=True),
        Number("issued", forecast.issued, "UTC"),
    )
    if age < timedelta():
        return Severity.UNKNOWN, Reason.FROM_THE_FUTURE, numbers
    if not is_covered(forecast.hours, facts.span):
        return Severity.UNKNOWN, Reason.DOES_NOT_REACH, numbers
    if age > limit:
        return Severity.CAUTION, Reason.OLD, numbers
    return Severity.CLEAR, Reason.FRESH, numbers
