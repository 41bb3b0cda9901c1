"""The strip's Wind column: the typed forecast, hour by hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.times import Span, local_date
from fieldtrip.weather.records import Forecast, ForecastHour
from fieldtrip.wording import (
    bearing_text,
    clock_text,
    speed_decimals,
    speed_number,
    speed_text,
    when_text,
    wind_text,
)

_DASH = "\N{EN DASH}"
NO_FORECAST = "No forecast typed for this day. Type one: Trip ▸ Type forecast…"


@dataclass(frozen=True, slots=True)
class WindMark:
    """The wind of one hour."""

    instant: datetime
    toward_deg: float | None  # true bearing it blows to; None: not typed
    text: str
    severity: str  # "", "caution" or "stop": of the gust near an edge
    tip: str  # the same in full


@dataclass(frozen=True, slots=True)
class WindColumn:
    """Everything the Wind column shows."""

    hours: tuple[WindMark, ...] = ()
    unit: str = ""
    message: str = ""
    foot: tuple[str, ...] = ()


def wind_column(
    forecasts: Sequence[Forecast],
    day: Span,
    zone: str,
    settings: Settings,
    limits: Limits,
) -> WindColumn:
    """The wind of a day; of two forecasts for an hour, the newer."""
    unit = str(settings.speed_unit)
    hours: dict[datetime, ForecastHour] = {}
    used: list[Forecast] = []
    for forecast in sorted(forecasts, key=lambda f: f.issued):
        mine = {
            hour.instant: hour
            for hour in forecast.hours
            if day.start <= hour.instant < day.stop and _has_wind(hour)
        }
        if mine:
            hours |= mine
            used.append(forecast)
    if not hours:
        return WindColumn(unit=unit, message=NO_FORECAST)
    newest = used[-1]
    issued = when_text(
        newest.issued, zone, settings, local_date(newest.hours[0].instant, zone)
    )
    marks = tuple(_mark(hours[at], zone, settings, limits) for at in sorted(hours))
    whole_unit = str(unit).replace("/", "/\u2060")  # not broken at a line's end
    foot = f"Wind: {newest.source}, issued {issued}; mean{_DASH}gust in {whole_unit}."
    shapes = [
        f"{shape} gust of {speed_text(limit_m_s, settings)} or more"
        for shape, severity, limit_m_s in (
            ("▲", "caution", limits.gust_caution_m_s),
            ("■", "stop", limits.gust_stop_m_s),
        )
        if any(mark.severity == severity for mark in marks)
    ]
    if shapes:
        foot += f" {', '.join(shapes)}."
    return WindColumn(marks, unit, foot=(foot,))


def _has_wind(hour: ForecastHour) -> bool:
    return hour.wind_m_s is not None or hour.gust_m_s is not None


def _mark(
    hour: ForecastHour, zone: str, settings: Settings, limits: Limits
) -> WindMark:
    mean, gust, wind_from = hour.wind_m_s, hour.gust_m_s, hour.wind_from_deg
    # A mean wind above the limit has gusts above it, whether they were typed or not.
    strongest = max(gust or 0.0, mean or 0.0)
    severity = ""
    if strongest >= limits.gust_caution_m_s:
        severity = "stop" if strongest >= limits.gust_stop_m_s else "caution"
    # A gust short of a limit is not written as that limit.
    near = (limits.gust_caution_m_s, limits.gust_stop_m_s)
    decimals = [speed_decimals(v or 0.0, near, settings) for v in (mean, gust)]
    shown = tuple(zip((mean, gust), decimals, strict=True))
    texts = ["?" if v is None else speed_number(v, settings, d) for v, d in shown]
    said = ["not typed" if v is None else speed_text(v, settings, d) for v, d in shown]
    where = "direction not typed"
    if wind_from is not None:
        where = f"from {wind_text(wind_from)}, {bearing_text(wind_from)}"
    return WindMark(
        hour.instant,
        None if wind_from is None else (wind_from + 180.0) % 360.0,
        _DASH.join(texts),
        severity,
        f"{clock_text(hour.instant, zone, settings)}: wind {said[0]}, "
        f"gust {said[1]}, {where}",
    )
