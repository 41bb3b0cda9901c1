"""The sheet's forecast: the hours of the trip, and how old what they say is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from fieldtrip.reports.sheet import NOT_KNOWN, ForecastPart
from fieldtrip.reports.sheet_times import Teller
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import hours_over, is_covered
from fieldtrip.weather.records import ForecastHour
from fieldtrip.wording import (
    bearing_text,
    count_text,
    distance_text,
    duration_text,
    height_text,
    number_text,
    speed_number,
    wind_text,
)

_HOUR = timedelta(hours=1)
_MOST_ROWS = 18
_UNKNOWN_CELL = "?"

Cell = Callable[[ForecastHour], str]


def forecast_part(facts: TripFacts, tell: Teller) -> ForecastPart:
    """The hours from before the trip until after it; of a long one, some of them."""
    forecast, settings = facts.forecast, tell.settings
    if forecast is None:
        return ForecastPart(
            age="There is no forecast. Wind, gusts, rain, thunder and waves are "
            f"{NOT_KNOWN}.",
            columns=(),
            rows=(),
            lines=(),
        )
    span = Span(facts.span.start - _HOUR, facts.span.stop + _HOUR)
    over = hours_over(forecast.hours, span)
    every = -(-len(over) // _MOST_ROWS) or 1
    shown = over[::every]
    cells = _cells(settings)
    used = {
        name: cell for name, cell in cells.items() if any(cell(hour) for hour in over)
    }
    missing = [name.partition(",")[0] for name in cells if name not in used]
    lines = []
    if not over:
        lines.append(f"It says nothing about the hours of this trip: {NOT_KNOWN}.")
    elif not is_covered(forecast.hours, span):
        lines.append("It does not reach over all hours of this trip.")
    if over and missing:
        lines.append(f"{NOT_KNOWN.capitalize()}: {', '.join(missing)}.")
    if any(not cell(hour) for hour in shown for cell in used.values()):
        lines.append(f"{_UNKNOWN_CELL} means {NOT_KNOWN}.")
    if every > 1:
        lines.append(f"One hour of every {every} is shown.")
    return ForecastPart(
        age=_age(facts, tell),
        columns=("time", *used) if over else (),
        rows=tuple(
            (
                tell.at(hour.instant),
                *(cell(hour) or _UNKNOWN_CELL for cell in used.values()),
            )
            for hour in shown
        ),
        lines=tuple(lines),
    )


def _age(facts: TripFacts, tell: Teller) -> str:
    forecast = facts.forecast
    if forecast is None:
        return ""
    issued = tell.at(forecast.issued)
    age = facts.now - forecast.issued
    if age < timedelta():
        old = "which is after this sheet was made"
    elif age < timedelta(hours=48):
        old = f"{duration_text(age)} old when this sheet was made"
    else:
        old = f"{count_text(age.days, 'day')} old when this sheet was made"
    return f"Issued {issued}, {old}. Source: {forecast.source}."


def _cells(settings: Settings) -> dict[str, Cell]:
    """What can be told of an hour, by its heading; empty where not known."""

    def speed(value: float | None) -> str:
        return "" if value is None else speed_number(value, settings)

    def number(value: float | None, decimals: int = 0) -> str:
        return "" if value is None else number_text(value, decimals)

    unit = settings.speed_unit
    return {
        f"wind, {unit}": lambda h: speed(h.wind_m_s),
        f"gusts, {unit}": lambda h: speed(h.gust_m_s),
        "from": lambda h: (
            ""
            if h.wind_from_deg is None
            else f"{wind_text(h.wind_from_deg)} {bearing_text(h.wind_from_deg)}"
        ),
        "cloud, %": lambda h: number(h.cloud_percent),
        "rain, mm": lambda h: number(h.rain_mm, 1),
        "air, °C": lambda h: number(h.temperature_c),
        "pressure, hPa": lambda h: number(h.pressure_hpa),
        "thunder": lambda h: (
            "forecast" if h.is_thunder
            else "" if h.thunder_percent is None else f"{h.thunder_percent:.0f} %"
        ),
        "sight": lambda h: (
            "" if h.visibility_m is None else distance_text(h.visibility_m, settings)
        ),
        "waves": lambda h: (
            "" if h.wave_height_m is None
            else height_text(h.wave_height_m, settings)
            + (f", {h.wave_period_s:.0f} s" if h.wave_period_s is not None else "")
            + (f" from {wind_text(h.wave_from_deg)}"
               if h.wave_from_deg is not None else "")
        ),
    }  # fmt: skip
