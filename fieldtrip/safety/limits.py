"""The thresholds of the checks, each with where it comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from datetime import timedelta

from fieldtrip.safety.freshness import CONFIRMED_MONTHS
from fieldtrip.tides.margins import Margins

SOURCE_CROSSING = (
    "HM Coastguard, Coast Clever: know the tides and leave time to spare; "
    "margins in height: for the prediction, checked against a year of official tide "
    "curves at nine ports; for the weather, what gauges stood above the prediction "
    "on all but one hour in a hundred"
)
SOURCE_REFUGE = "common practice; confirmed within 12 months"
SOURCE_TURN_BACK = f"{SOURCE_CROSSING}; walking time: DIN 33466"
SOURCE_EDGE = (
    "RNLI advice on coastal walks: gusts over 30 to 40 mph can affect balance near "
    "cliff edges; HM Coastguard: keep well back, edges fall at any time, more after "
    "rain; distances: common practice"
)
SOURCE_DAYLIGHT = (
    "common practice; light after sunset: US Naval Observatory Circular 171"
)
SOURCE_TOLD = (
    "HM Coastguard: tell someone where you go and when you will be back, "
    "and what to do if you are not"
)
SOURCE_NOTE_AGE = "common practice: confirmed within 12 months"
SOURCE_FORECAST = "common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Every threshold; the defaults are the safe ones."""

    # Tide crossing: HM Coastguard; see `Margins` for those in height.
    margins: Margins = field(default_factory=Margins)
    tide_reserve: timedelta = timedelta(minutes=30)
    confirmed_months: int = CONFIRMED_MONTHS

    # Cliff edge. RNLI: 30 mph is 13.4 m/s, 40 mph is 17.9 m/s.
    gust_caution_m_s: float = 13.0
    gust_stop_m_s: float = 18.0
    headland_factor: float = 1.5  # common practice
    edge_m: float = 5.0  # common practice
    soft_edge_m: float = 10.0  # on soft rock, or after heavy rain; common practice
    edge_zone_m: float = 50.0  # how far an edge counts as near; common practice
    leg_error_m: float = 10.0  # of a leg drawn on a map; common practice
    heavy_rain_mm_h: float = 4.0  # Met Office, Fact sheet 3; from memory
    heavy_rain_mm_day: float = 10.0  # common practice

    # Daylight.
    sunset_deg: float = -50.0 / 60.0  # US Naval Observatory: 50 arcminutes
    dusk_deg: float = -6.0  # the same: civil twilight
    overcast_percent: float = 80.0  # common practice
    lights: int = 2  # common practice

    # Forecast: common practice.
    forecast_on_the_day: timedelta = timedelta(hours=12)
    forecast_before: timedelta = timedelta(hours=24)

    def __post_init__(self) -> None:
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, timedelta):
                value = value.total_seconds()
            if isinstance(value, int | float) and not _is_sound(f.name, float(value)):
                raise ValueError(f"{f.name} = {value} is no limit")


def _is_sound(name: str, value: float) -> bool:
    """Altitudes of the Sun are below the horizon; everything else is above nothing."""
    if not math.isfinite(value):
        return False
    return value < 0.0 if name.endswith("_deg") else value > 0.0
