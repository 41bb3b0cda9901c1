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
    before_mm: Reading  # by the forecast, over the 24 hours up to the end
    is_before_said: bool  # of the 48 hours before the trip

    @property
    def is_known(self) -> bool:
        """Whether all of the rain is known."""
        is_before_known = self.is_before_said or self.before_mm.is_complete
        return self.during.is_complete and is_before_known


def wetness(span: Span, facts: TripFacts, limits: Limits) -> Wetness:
    """The rain up to the end of a span, by the forecast and by what was typed."""
    fallen_mm = facts.trip.rain_48h_mm
    is_wet = fallen_mm is not None and fallen_mm >= limits.wet_rain_48h_mm
    if facts.forecast is None:
        return Wetness(is_wet, NOTHING, NOTHING, fallen_mm is not None)
    hours = facts.forecast.hours
    before = Span(span.stop - _DAY, span.stop)
    hour_mm = largest(hours, before, _rain_mm)
    day_mm = total(hours, before, _rain_mm)
    return Wetness(
        is_wet=is_wet
        or (hour_mm.value or 0.0) >= limits.heavy_rain_mm_h
        or (day_mm.value or 0.0) >= limits.heavy_rain_mm_day,
        during=largest(hours, span, _rain_mm),
        before_mm=day_mm,
        is_before_said=fallen_mm is not None,
    )


def _rain_mm(hour: ForecastHour) -> float | None:
    return hour.rain_mm
