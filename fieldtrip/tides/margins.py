"""What is taken off a closing level before anybody is told that a way is open.

A predicted height is wrong by what the method does not know and by what the
weather adds.  Both are allowed for in height, because the same height is many
minutes near high or low water and few at half tide.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from datetime import timedelta

from fieldtrip.tides.records import Exposure, Turn

# Source: New Zealand Nautical Almanac 2013-14, p. 32: the cosine between high
# and low water is meant for a rise or fall that lasts from 5 to 7 hours.
SHORTEST_LEG = timedelta(hours=5)
LONGEST_LEG = timedelta(hours=7)

# Where a rise or fall lasts shorter or longer, a turn is missing or there was none
# to speak of: nothing can be told about the water between.  Common practice.
SHORTEST_POSSIBLE = timedelta(hours=3)
LONGEST_POSSIBLE = timedelta(hours=16)

STANDARD_PRESSURE_HPA = 1013.25
RISE_PER_HPA_M = 0.00994  # inverse barometer, sea water of 1025 kg/m³


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """The allowances, in metres or as a share of the rise or fall.

    The prediction's are engineering judgement on a year of official curves
    against the cosine at nine ports; the weather's lie near the 99th
    percentile of what gauges stood above their prediction.
    """

    constants_m: float = 0.05  # a curve from harmonic constants or a fitted year
    least_m: float = 0.15  # half a cosine between printed turns
    share_of_range: float = 0.08
    odd_least_m: float = 0.30  # where the rise or fall is not of 5 to 7 hours
    odd_share_of_range: float = 0.15
    ocean_island_m: float = 0.10
    open_coast_m: float = 0.30
    shelf_or_estuary_m: float = 0.70

    def __post_init__(self) -> None:
        for f in fields(self):
            # Written so that nan fails too.
            if not 0.0 <= getattr(self, f.name) < math.inf:
                raise ValueError(f"{f.name} = {getattr(self, f.name)} is no margin")

    def prediction_m(self, before: Turn, after: Turn) -> float:
        """How far the cosine between two turns may lie below the true curve."""
        range_m = abs(after.height_m - before.height_m)
        if is_of_usual_length(before, after):
            return max(self.least_m, self.share_of_range * range_m)
        return max(self.odd_least_m, self.odd_share_of_range * range_m)

    def weather_m(
        self, exposure: Exposure | None, pressure_hpa: float | None = None
    ) -> float:
        """How far the weather may lift the sea; the largest if nobody said where.

        A low pressure replaces half of it where that gives more; a high one
        changes nothing, since wind alone can lift the sea.
        """
        usual = self._usual_weather_m(exposure)
        if pressure_hpa is None:
            return usual
        return max(usual, usual / 2.0 + pressure_rise_m(pressure_hpa))

    def _usual_weather_m(self, exposure: Exposure | None) -> float:
        match exposure:
            case Exposure.OCEAN_ISLAND:
                return self.ocean_island_m
            case Exposure.OPEN_COAST:
                return self.open_coast_m
            case Exposure.SHELF_OR_ESTUARY:
                return self.shelf_or_estuary_m
            case None:
                return max(
                    self.ocean_island_m, self.open_coast_m, self.shelf_or_estuary_m
                )


def is_of_usual_length(before: Turn, after: Turn) -> bool:
    """Whether the rise or fall between two turns lasts from 5 to 7 hours."""
    return SHORTEST_LEG <= after.instant - before.instant <= LONGEST_LEG


def is_of_possible_length(before: Turn, after: Turn) -> bool:
    """Whether the rise or fall between two turns lasts from 3 to 16 hours."""
    return SHORTEST_POSSIBLE <= after.instant - before.instant <= LONGEST_POSSIBLE


def pressure_rise_m(pressure_hpa: float) -> float:
    """How far a low pressure lifts the sea, in metres; never less than nothing."""
    return max(0.0, (STANDARD_PRESSURE_HPA - pressure_hpa) * RISE_PER_HPA_M)
