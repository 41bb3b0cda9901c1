"""How cold the wind makes it, and how hot the air: the worst hour of the trip."""

from __future__ import annotations

import math

from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.limits import SOURCE_CHILL, SOURCE_HEAT, Limits
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.felt import CHILL_FROM_M_S, CHILL_TO_C, wind_chill_c
from fieldtrip.weather.hours import Reading, hours_over, is_covered, largest
from fieldtrip.weather.records import ForecastHour

_REMEDIES = {
    Reason.CHILL_MILD: Remedy.NOTHING,
    Reason.CHILL_CAUTION: Remedy.DRESS_WARM,
    Reason.CHILL_STOP: Remedy.DRESS_WARM,
    Reason.HEAT_MILD: Remedy.NOTHING,
    Reason.HEAT_CAUTION: Remedy.MIND_HEAT,
    Reason.HEAT_HUMIDITY_NOT_KNOWN: Remedy.MIND_HEAT,
    Reason.HEAT_STOP: Remedy.MIND_HEAT,
}
_NOTHING = Reading(None, is_complete=False)


def wind_chill(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: its coldest hour as the wind makes it feel.

    Where a place of the plan is on a headland, or nobody said, the wind counts half
    as much again.  Above 10 °C the index does not apply.
    """
    factor = limits.headland_factor if _may_be_on_headland(facts) else 1.0
    coldest, lacks = _coldest(facts, factor)
    if coldest is not None and coldest < limits.chill_stop_c:
        severity, reason = Severity.STOP, Reason.CHILL_STOP
    elif facts.forecast is None:
        severity, reason = Severity.UNKNOWN, Reason.NO_FORECAST
    elif lacks is not None or coldest is None:
        reason = lacks or Reason.TEMPERATURE_NOT_KNOWN
        severity = Severity.UNKNOWN
    elif coldest <= limits.chill_caution_c:
        severity, reason = Severity.CAUTION, Reason.CHILL_CAUTION
    else:
        severity, reason = Severity.CLEAR, Reason.CHILL_MILD
    numbers = [
        Number("chill_caution", limits.chill_caution_c, "°C", is_limit=True),
        Number("chill_stop", limits.chill_stop_c, "°C", is_limit=True),
    ]
    if coldest is not None:
        numbers.append(Number("chill", coldest, "°C"))
    is_headland = factor > 1.0 and coldest is not None and coldest <= CHILL_TO_C
    if is_headland:
        numbers.append(Number("headland_factor", factor, "", is_limit=True))
    notes = (Note.CHILL_HEADLAND,) if is_headland else ()
    return (
        _finding(
            Rule.WIND_CHILL, severity, reason, numbers, notes, facts, SOURCE_CHILL
        ),
    )


def heat(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: its hottest hour, by the temperature alone.

    A forecast here holds no humidity.  Where humid air could make the temperature
    dangerous, it is not known whether it does.
    """
    hottest = _NOTHING
    if facts.forecast is not None:
        hottest = largest(
            facts.forecast.hours, facts.span, lambda hour: hour.temperature_c
        )
    value = hottest.value
    if value is not None and value >= limits.heat_stop_c:
        severity, reason = Severity.STOP, Reason.HEAT_STOP
    elif facts.forecast is None:
        severity, reason = Severity.UNKNOWN, Reason.NO_FORECAST
    elif value is None or not hottest.is_complete:
        severity, reason = Severity.UNKNOWN, Reason.TEMPERATURE_NOT_KNOWN
    elif value >= limits.heat_humid_c:
        severity, reason = Severity.UNKNOWN, Reason.HEAT_HUMIDITY_NOT_KNOWN
    elif value >= limits.heat_caution_c:
        severity, reason = Severity.CAUTION, Reason.HEAT_CAUTION
    else:
        severity, reason = Severity.CLEAR, Reason.HEAT_MILD
    numbers = [
        Number("heat_caution", limits.heat_caution_c, "°C", is_limit=True),
        Number("heat_humid", limits.heat_humid_c, "°C", is_limit=True),
        Number("heat_stop", limits.heat_stop_c, "°C", is_limit=True),
    ]
    if value is not None:
        numbers.append(Number("temperature", value, "°C"))
    is_warm = severity in (Severity.CAUTION, Severity.STOP)
    notes = (Note.HUMIDITY_NOT_KNOWN,) if is_warm else ()
    return (_finding(Rule.HEAT, severity, reason, numbers, notes, facts, SOURCE_HEAT),)


def _finding(
    rule: Rule,
    severity: Severity,
    reason: Reason,
    numbers: list[Number],
    notes: tuple[Note, ...],
    facts: TripFacts,
    source: str,
) -> Finding:
    return Finding(
        rule=rule,
        about=facts.trip.name,
        about_id=None,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.TYPE_FORECAST),
        source=source,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=tuple(numbers),
        notes=notes,
        span=facts.span,
    )


def _coldest(facts: TripFacts, factor: float) -> tuple[float | None, Reason | None]:
    """The lowest wind chill that is known, and what is missing, if anything is."""
    if facts.forecast is None:
        return None, None
    over = hours_over(facts.forecast.hours, facts.span)
    known: list[float] = []
    lacks: Reason | None = None
    for hour in over:
        found, missing = _chill_of(hour, factor)
        if found is not None:
            known.append(found)
        lacks = lacks or missing
    if not is_covered(facts.forecast.hours, facts.span):
        lacks = lacks or Reason.TEMPERATURE_NOT_KNOWN
    return min(known, default=None), lacks


def _chill_of(hour: ForecastHour, factor: float) -> tuple[float | None, Reason | None]:
    """Wind chill of an hour; without wind the temperature, which it never exceeds."""
    if hour.temperature_c is None or not math.isfinite(hour.temperature_c):
        return None, Reason.TEMPERATURE_NOT_KNOWN
    if hour.temperature_c > CHILL_TO_C:
        return hour.temperature_c, None
    if hour.wind_m_s is None or not math.isfinite(hour.wind_m_s):
        return hour.temperature_c, Reason.CHILL_WIND_NOT_KNOWN
    wind_m_s = hour.wind_m_s * factor
    # Between calm and the index's least wind the temperature stands for itself.
    if wind_m_s < CHILL_FROM_M_S:
        return hour.temperature_c, None
    return min(hour.temperature_c, wind_chill_c(hour.temperature_c, wind_m_s)), None


def _may_be_on_headland(facts: TripFacts) -> bool:
    stops = [s.vantage_point for s in facts.stops]
    legs = [w.leg for w in facts.walks]
    return any(one is None or one.on_headland is not False for one in (*stops, *legs))
