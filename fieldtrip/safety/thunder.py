"""Thunder on open ground: how likely, and for how long after."""

from __future__ import annotations

from datetime import datetime

from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.limits import SOURCE_THUNDER, Limits
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import HOUR, Reading, hours_over, largest
from fieldtrip.weather.records import ForecastHour

_REMEDIES = {
    Reason.THUNDER_UNLIKELY: Remedy.NOTHING,
    Reason.NO_FORECAST: Remedy.TYPE_FORECAST,
    Reason.THUNDER_NOT_KNOWN: Remedy.TYPE_FORECAST,
}


def thunder(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip, all of whose ground counts as open.

    An hour of thunder counts until half an hour after it.
    """
    span = Span(facts.span.start - limits.after_thunder, facts.span.stop)
    hours = () if facts.forecast is None else facts.forecast.hours
    chance = largest(hours, span, _percent)
    worst = chance.value
    thundery = any(hour.is_thunder for hour in hours_over(hours, span))
    severity, reason = _judge(chance, thundery, facts, limits)
    numbers = [
        Number("thunder_caution", limits.thunder_caution_percent, "%", is_limit=True),
        Number("thunder_stop", limits.thunder_stop_percent, "%", is_limit=True),
        Number("after_thunder", limits.after_thunder.total_seconds() / 60, "min", True),
    ]
    if worst is not None:
        numbers.append(Number("thunder", worst, "%"))
    over = _over_by(hours, span, limits)
    if over is not None:
        numbers.append(Number("thunder_over", over, "UTC"))
    return (
        Finding(
            rule=Rule.THUNDER,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=_REMEDIES.get(reason, Remedy.KEEP_FROM_THUNDER),
            source=SOURCE_THUNDER,
            basis="" if facts.forecast is None else facts.forecast.source,
            numbers=tuple(numbers),
            span=facts.span,
        ),
    )


def _judge(
    chance: Reading, is_thundery: bool, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason]:
    """A proven stop first, whatever else is missing."""
    worst = chance.value
    if is_thundery:
        return Severity.STOP, Reason.THUNDER_FORECAST
    if worst is not None and worst >= limits.thunder_stop_percent:
        return Severity.STOP, Reason.THUNDER_LIKELY
    if facts.forecast is None:
        return Severity.UNKNOWN, Reason.NO_FORECAST
    if worst is None or not chance.is_complete:
        return Severity.UNKNOWN, Reason.THUNDER_NOT_KNOWN
    if worst >= limits.thunder_caution_percent:
        return Severity.CAUTION, Reason.THUNDER_POSSIBLE
    return Severity.CLEAR, Reason.THUNDER_UNLIKELY


def _percent(hour: ForecastHour) -> float | None:
    """Its probability; none where the forecast says that there will be no thunder."""
    if hour.thunder_percent is None and hour.is_thunder is False:
        return 0.0
    return hour.thunder_percent


def _over_by(
    hours: tuple[ForecastHour, ...], span: Span, limits: Limits
) -> datetime | None:
    """When the last likely thunder of the trip is over, with the wait after it."""
    likely = [
        hour.instant
        for hour in hours_over(hours, span)
        if hour.is_thunder or (_percent(hour) or 0.0) >= limits.thunder_stop_percent
    ]
    return max(likely) + HOUR + limits.after_thunder if likely else None
