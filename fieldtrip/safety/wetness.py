"""How wet the ground is: rain of two days before, of the last day, and on the spot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from fieldtrip.safety.limits import Limits
from fieldtrip.safety.standing_places import NOTHING
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import Reading, largest, total
from fieldtrip.weather.records import ForecastHour

_DAY = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class Wetness:
    """What is known of the rain that matters for a span."""

    is_wet: bool  # rain enough to loosen rock is known of
    during: Reading  # at its heaviest, mm in an hour
    day_mm: Reading  # by the forecast, over the 24 hours up to the end
    is_before_known: bool  # all rain of two days, typed or forecast

    @property
    def is_known(self) -> bool:
        """Whether all of the rain is known."""
        return self.during.is_complete and self.is_before_known


def wetness(span: Span, facts: TripFacts, limits: Limits) -> Wetness:
    """The rain up to the end of a span, by the forecast and by what was typed.

    What was typed ends where the trip starts; from there on the forecast adds to it.
    """
    fallen_mm = facts.trip.rain_48h_mm
    if facts.forecast is None:
        is_wet = fallen_mm is not None and fallen_mm >= limits.wet_rain_48h_mm
        return Wetness(is_wet, NOTHING, NOTHING, is_before_known=False)
    hours = facts.forecast.hours
    day = Span(span.stop - _DAY, span.stop)
    since = total(hours, Span(facts.span.start, span.stop), _rain_mm)
    day_mm = total(hours, day, _rain_mm)
    two_days_mm = total(hours, Span(span.stop - 2 * _DAY, span.stop), _rain_mm)
    together_mm = (fallen_mm or 0.0) + (since.value or 0.0)
    return Wetness(
        is_wet=together_mm >= limits.wet_rain_48h_mm
        or (two_days_mm.value or 0.0) >= limits.wet_rain_48h_mm
        or (day_mm.value or 0.0) >= limits.heavy_rain_mm_day
        or (largest(hours, day, _rain_mm).value or 0.0) >= limits.heavy_rain_mm_h,
        during=largest(hours, span, _rain_mm),
        day_mm=day_mm,
        is_before_known=two_days_mm.is_complete
        or (fallen_mm is not None and since.is_complete),
    )


def _rain_mm(hour: ForecastHour) -> float | None:
    return hour.rain_mm
