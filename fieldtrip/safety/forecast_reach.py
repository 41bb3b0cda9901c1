"""Is there a forecast for this place and day, with every hour of the trip?"""

from __future__ import annotations

from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.limits import SOURCE_REACH, Limits
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import HOUR, hours_over, is_covered


def forecast_reach(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: every minute of it lies in an hour of the forecast.

    A forecast for another place or another day is none.
    """
    del limits  # no threshold
    severity, reason, numbers, lacking = _judge(facts)
    is_clear = severity is Severity.CLEAR
    return (
        Finding(
            rule=Rule.FORECAST_REACH,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.NOTHING if is_clear else Remedy.TYPE_FORECAST,
            source=SOURCE_REACH,
            basis=lacking,
            numbers=numbers,
            span=facts.span,
        ),
    )


def _judge(facts: TripFacts) -> tuple[Severity, Reason, tuple[Number, ...], str]:
    forecast = facts.forecast
    if forecast is None:
        is_elsewhere = facts.is_forecast_elsewhere
        reason = Reason.FORECAST_ELSEWHERE if is_elsewhere else Reason.NO_FORECAST
        return Severity.UNKNOWN, reason, (), ""
    hours, span = forecast.hours, facts.span
    reach = Span(hours[0].instant, hours[-1].instant + HOUR)
    numbers = (
        Number("reaches_from", reach.start, "UTC"),
        Number("reaches_to", reach.stop, "UTC"),
    )
    if not hours_over(hours, span):
        return Severity.UNKNOWN, Reason.FORECAST_OTHER_DAY, numbers, ""
    if is_covered(hours, span):
        return Severity.CLEAR, Reason.REACHES, numbers, ""
    if span.start < reach.start or reach.stop < span.stop:
        return Severity.UNKNOWN, Reason.DOES_NOT_REACH, numbers, _lacking(facts)
    return Severity.UNKNOWN, Reason.FORECAST_GAP, numbers, _lacking(facts)


def _lacking(facts: TripFacts) -> str:
    """What is planned for hours that the forecast leaves out."""
    hours = () if facts.forecast is None else facts.forecast.hours
    planned = [(stop.name, stop.span) for stop in facts.stops]
    planned += [(walk.name, walk.span) for walk in facts.walks]
    names = [name for name, span in planned if not is_covered(hours, span)]
    return ", ".join(dict.fromkeys(names)) or facts.trip.name
