"""Is there a forecast, and is it new enough?"""

from __future__ import annotations

from datetime import timedelta

from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.limits import SOURCE_FORECAST, Limits
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.records import Forecast

_HOUR = timedelta(hours=1)


def forecast_age(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip.

    Its age counts to now, and after the trip to its end.
    """
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


def _counted_to(forecast: Forecast, facts: TripFacts) -> Number:
    """How long before the trip it came; once that runs or is over, since when."""
    if facts.now < facts.span.start:
        lead = facts.span.start - forecast.issued
        return Number("lead", lead / _HOUR, "h")
    if facts.now < facts.span.stop:
        return Number("began", facts.span.start, "UTC")
    return Number("ended", facts.span.stop, "UTC")


def _judge(
    facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, tuple[Number, ...]]:
    forecast = facts.forecast
    if forecast is None:
        return Severity.UNKNOWN, Reason.NO_FORECAST, ()
    is_before = local_date(facts.now, facts.location.zone) < facts.trip.day
    limit = limits.forecast_before if is_before else limits.forecast_on_the_day
    age = min(facts.now, facts.span.stop) - forecast.issued
    numbers: tuple[Number, ...] = (
        Number("age", age / _HOUR, "h"),
        Number("age_limit", limit / _HOUR, "h", is_limit=True),
        Number("issued", forecast.issued, "UTC"),
        _counted_to(forecast, facts),
    )
    if is_before:
        on_the_day = limits.forecast_on_the_day / _HOUR
        numbers += (Number("on_the_day", on_the_day, "h", is_limit=True),)
    if age < timedelta():
        return Severity.UNKNOWN, Reason.FROM_THE_FUTURE, numbers
    if age > limit:
        return Severity.CAUTION, Reason.OLD, numbers
    return Severity.CLEAR, Reason.FRESH, numbers
