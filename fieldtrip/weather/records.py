"""A forecast as a person typed it, hour by hour.  What was not typed is not known."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import datetime
from uuid import UUID, uuid4

from fieldtrip.faults import finite


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastHour:
    """What is forecast from one instant on, for an hour."""

    instant: datetime  # UTC
    wind_m_s: float | None = None  # mean, at 10 m
    gust_m_s: float | None = None
    wind_from_deg: float | None = None  # true bearing it blows from
    cloud_percent: float | None = None
    rain_mm: float | None = None  # in the hour
    temperature_c: float | None = None
    pressure_hpa: float | None = None  # at sea level
    thunder_percent: float | None = None  # probability in the hour
    is_thunder: bool | None = None  # thunder itself is forecast for the hour
    visibility_m: float | None = None
    wave_height_m: float | None = None  # significant, in deep water
    wave_period_s: float | None = None  # of the peak
    wave_from_deg: float | None = None  # true bearing they come from


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """One forecast for one location."""

    location_id: UUID
    issued: datetime  # UTC
    source: str
    hours: tuple[ForecastHour, ...]  # in the order of time
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found: list[str] = []
        if not self.source.strip():
            found.append("Say where the forecast comes from.")
        instants = [hour.instant for hour in self.hours]
        if not instants:
            found.append("A forecast needs at least one hour.")
        if sorted(set(instants)) != instants:
            found.append("The hours of the forecast must follow one another.")
        for hour in self.hours:
            found += hour_faults(hour)
        return found


_RANGES = {
    "wind_m_s": ("The wind", 0.0, 120.0, "m/s"),
    "gust_m_s": ("The gust", 0.0, 150.0, "m/s"),
    "wind_from_deg": ("The wind's direction", 0.0, 360.0, "°"),
    "cloud_percent": ("The cloud", 0.0, 100.0, "%"),
    "rain_mm": ("The rain", 0.0, 500.0, "mm"),
    "temperature_c": ("The temperature", -90.0, 60.0, "°C"),
    "pressure_hpa": ("The pressure", 850.0, 1100.0, "hPa"),
    "thunder_percent": ("The probability of thunder", 0.0, 100.0, "%"),
    "visibility_m": ("The visibility", 0.0, 500_000.0, "m"),
    "wave_height_m": ("The wave height", 0.0, 30.0, "m"),
    "wave_period_s": ("The wave period", 1.0, 40.0, "s"),
    "wave_from_deg": ("The waves' direction", 0.0, 360.0, "°"),
}


def hour_faults(hour: ForecastHour) -> list[str]:
    """What cannot be in one hour of a forecast."""
    found: list[str] = []
    for f in fields(hour):
        if f.name in _RANGES:
            what, least, most, unit = _RANGES[f.name]
            found += finite(what, getattr(hour, f.name), least, most, unit)
    wind, gust = hour.wind_m_s, hour.gust_m_s
    if wind is not None and gust is not None and gust < wind:
        found.append("A gust cannot be weaker than the mean wind.")
    return found
