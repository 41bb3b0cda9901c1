"""What the window says in which a forecast is typed or pasted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.exchange.forecast_text import forecast_text, read_forecast
from fieldtrip.settings import Settings, SpeedUnit
from fieldtrip.times import local_date
from fieldtrip.weather.records import Forecast, ForecastHour
from fieldtrip.wording import (
    bearing_text,
    clock_text,
    count_text,
    number_text,
    short_date_text,
    speed_number,
    wind_text,
    zone_text,
)

UNITS = tuple((unit, str(unit)) for unit in SpeedUnit)
UNKNOWN = "–"
EXAMPLE = """\
time   wind  gust  from  rain  vis km  waves  period
14:00  14    21    SW    0     20      1.2    8
15:00  16    24    SW    –     12      1.4    9
16:00  18    27    W     0.4   6       1.6    9"""
ALSO = (
    "Known too are cloud, temperature, pressure, thunder (in %), thundery (yes or no) "
    "and wave direction."
)
COLUMNS = 9  # of the preview at least; others only where something is read
_LONG_AGO = timedelta(hours=24)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastTyped:
    """What stands in the fields, sound or not."""

    day: date | None  # of the first hour, in the location's zone
    issued: datetime | None
    source: str = ""
    unit: SpeedUnit | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class ForecastTypingContent:
    """The preview, what is odd, what is wrong, and the forecast if nothing is."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    summary: str
    notes: tuple[str, ...]
    faults: tuple[str, ...]
    forecast: Forecast | None


def forecast_typing_content(
    typed: ForecastTyped,
    location_id: UUID,
    zone: str,
    settings: Settings,
    now: datetime,
    forecast: Forecast | None,
) -> ForecastTypingContent:
    """Read what was typed; `forecast` is the one being edited, if any."""
    faults = _missing(typed)
    hours: tuple[ForecastHour, ...] = ()
    if typed.day is not None and typed.unit is not None and typed.text.strip():
        try:
            hours = tuple(read_forecast(typed.text, typed.day, zone, typed.unit))
        except UserError as error:
            faults.append(str(error))
    made: Forecast | None = None
    if hours and typed.issued is not None:
        made = Forecast(
            location_id=location_id,
            issued=typed.issued,
            source=typed.source.strip(),
            hours=hours,
        )
        if forecast is not None:
            made = replace(made, id=forecast.id)
        faults += made.faults()
    shown = replace(settings, speed_unit=typed.unit or settings.speed_unit)
    columns, rows = _with_what_is_read(
        _columns(shown), tuple(_row(hour, zone, shown) for hour in hours)
    )
    return ForecastTypingContent(
        columns=columns,
        rows=rows,
        summary=_summary(hours, zone),
        notes=_notes(typed, hours, now),
        faults=tuple(dict.fromkeys(faults)),
        forecast=None if faults else made,
    )


def typed_from(forecast: Forecast, zone: str, unit: SpeedUnit) -> ForecastTyped:
    """A kept forecast as it would be typed."""
    day = local_date(forecast.hours[0].instant, zone)
    return ForecastTyped(
        day=day,
        issued=forecast.issued,
        source=forecast.source,
        unit=unit,
        text=forecast_text(forecast.hours, day, zone, unit),
    )


def _missing(typed: ForecastTyped) -> list[str]:
    faults: list[str] = []
    if typed.day is None:
        faults.append("Say for which day the first hour is.")
    if typed.issued is None:
        faults.append("Say when the forecast was issued: its age counts.")
    if not typed.source.strip():
        faults.append("Say where the forecast comes from.")
    if typed.unit is None:
        faults.append("Choose the unit of the wind.")
    if not typed.text.strip():
        faults.append("Type or paste the hours.")
    return faults


def _notes(
    typed: ForecastTyped, hours: tuple[ForecastHour, ...], now: datetime
) -> tuple[str, ...]:
    notes: list[str] = []
    if typed.issued is not None and typed.issued > now:
        notes.append("It is said to be issued in the future.")
    elif typed.issued is not None and now - typed.issued > _LONG_AGO:
        notes.append("It was issued more than a day ago.")
    if hours and typed.issued is not None and hours[-1].instant < typed.issued:
        notes.append("All its hours lie before it was issued.")
    if hours and all(hour.gust_m_s is None for hour in hours):
        notes.append("No gusts are given: what depends on them stays unknown.")
    return tuple(notes)


def _with_what_is_read(
    columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Without the further columns of which no hour says anything."""
    kept = [
        i
        for i in range(len(columns))
        if i < COLUMNS or any(row[i] != UNKNOWN for row in rows)
    ]
    return (
        tuple(columns[i] for i in kept),
        tuple(tuple(row[i] for i in kept) for row in rows),
    )


def _columns(settings: Settings) -> tuple[str, ...]:
    unit = settings.speed_unit
    return (
        "Hour",
        f"Wind {unit}",
        f"Gust {unit}",
        "From",
        "Cloud %",
        "Rain mm",
        "°C",
        "hPa",
        "Thunder %",
        "Thundery",
        "Visibility km",
        "Waves m",
        "Period s",
        "Waves from",
    )


def _row(hour: ForecastHour, zone: str, settings: Settings) -> tuple[str, ...]:
    def number(value: float | None, decimals: int = 0) -> str:
        return UNKNOWN if value is None else number_text(value, decimals)

    def speed(value: float | None) -> str:
        return UNKNOWN if value is None else speed_number(value, settings)

    def bearing(value: float | None) -> str:
        return UNKNOWN if value is None else f"{wind_text(value)} {bearing_text(value)}"

    seen_m, thunder = hour.visibility_m, hour.is_thunder
    seen = UNKNOWN if seen_m is None else f"{seen_m / 1000.0:.3g}"
    local = short_date_text(local_date(hour.instant, zone))
    return (
        f"{local} {clock_text(hour.instant, zone, settings)}",
        speed(hour.wind_m_s),
        speed(hour.gust_m_s),
        bearing(hour.wind_from_deg),
        number(hour.cloud_percent),
        number(hour.rain_mm, 1),
        number(hour.temperature_c),
        number(hour.pressure_hpa),
        number(hour.thunder_percent),
        UNKNOWN if thunder is None else "yes" if thunder else "no",
        seen,
        number(hour.wave_height_m, 1),
        number(hour.wave_period_s),
        bearing(hour.wave_from_deg),
    )


def _summary(hours: tuple[ForecastHour, ...], zone: str) -> str:
    if not hours:
        return "Nothing is read yet."
    first = hours[0].instant
    utc = f"{first.astimezone(UTC):%H:%M}"
    return (
        f"{count_text(len(hours), 'hour')}, times of {zone} "
        f"({zone_text(first, zone)}); the first is {utc} UTC. {UNKNOWN} is not known."
    )
