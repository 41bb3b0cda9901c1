"""A forecast, typed or pasted hour by hour, into records; and records into text again.

The first line names the columns; what is not typed is not known.  Nothing is
half-read: the whole text makes a forecast, or one sentence says which line
keeps it from being one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.forecast_columns import (
    DAY,
    QUANTITIES,
    TIME,
    Column,
    columns_of,
    speed_shown,
)
from fieldtrip.settings import SpeedUnit
from fieldtrip.times import at_clock, zone_of
from fieldtrip.weather.records import ForecastHour, hour_faults

LONGEST_TEXT = 500_000  # characters; ten days of hours are 15 000
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})[Tt]?")
_TIME = re.compile(
    r"(?:(\d{1,2})[:.](\d{2})|(\d{2})(\d{2})|(\d{1,2})h?)"
    r"\s*(am|pm)?\s*(z|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)


def read_forecast(
    text: str, day: date, zone: str, speed_unit: SpeedUnit
) -> tuple[ForecastHour, ...]:
    """Read the hours of a forecast in order of time.

    ::

        time   wind  gust  from  cloud  rain
        14:00  8     12    SW    60     0
        15:00  9     –     SW    80     0.4

    Columns are divided by tabs, semicolons, commas or spaces; units stand in
    the heading or are the usual ones, wind in `speed_unit`.  The first row is
    of `day`; where the time goes back, the next day begins; a row may start
    with its own date.  Raises `UserError` naming the line at fault.
    """
    zone_of(zone)
    lines = _lines(text)
    number, heading = lines[0]
    divider = next((d for d in ("\t", ";", ",") if d in heading), None)
    columns = columns_of(
        _cells(heading, divider), speed_unit, are_words=divider is None
    )
    hours: list[ForecastHour] = []
    reader = _Clock(day, zone)
    for number, line in lines[1:]:
        try:
            hours.append(_hour(_cells(line, divider), columns, reader, speed_unit))
        except UserError as error:
            raise UserError(f"Line {number}: {str(error).rstrip('.')}.") from error
    if not hours:
        raise UserError("There are no hours below the heading.")
    return tuple(hours)


def forecast_text(
    hours: Sequence[ForecastHour], day: date, zone: str, speed_unit: SpeedUnit
) -> str:
    """Hours as `read_forecast` takes them, with the columns of which any is known."""
    used = [
        quantity
        for quantity in QUANTITIES
        if any(getattr(hour, quantity.field) is not None for hour in hours)
    ] or list(QUANTITIES)
    rows = [["time"]]
    for quantity in used:
        unit = str(speed_unit) if quantity.is_speed else quantity.unit
        rows[0].append(f"{quantity.name} {unit}".strip())
    current = day
    for hour in hours:
        rows.append([_when(hour.instant, current, zone)])
        current = hour.instant.astimezone(zone_of(zone)).date()
        rows[-1] += [
            _yes_or_no(getattr(hour, q.field))
            if q.is_yes_no
            else _shown(speed_shown(hour, q, speed_unit))
            for q in used
        ]
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) for cell, width in zip(row, widths, strict=True)
        ).rstrip()
        for row in rows
    )


class _Clock:
    """The instants of rows, which follow one another."""

    def __init__(self, day: date, zone: str) -> None:
        self._day = day
        self._zone = zone
        self._last: datetime | None = None
        self._is_dated = False

    def take_day(self, text: str) -> None:
        """The date that a row starts with."""
        match = _DAY.fullmatch(text.strip())
        if match is None:
            raise UserError(f"“{text.strip()[:30]}” is no date; write it 2026-08-15")
        try:
            self._day = date(*(int(part) for part in match.groups()))
        except ValueError as error:
            raise UserError(f"the date {text.strip()} does not exist") from error
        self._is_dated = True

    def instant(self, text: str) -> datetime:
        """The instant of a row's time."""
        match = _TIME.fullmatch(text.strip())
        if match is None:
            raise UserError(f"“{text.strip()[:30]}” is no time; write it 14:00")
        clock = _clock_time(match, text.strip())
        instant = self._resolved(clock, match.group(7))
        if self._last is not None and instant <= self._last:
            raise UserError(f"{clock:%H:%M} does not come after the time before it")
        self._last = instant
        self._day = instant.astimezone(zone_of(self._zone)).date()
        self._is_dated = False
        return instant

    def _resolved(self, clock: time, offset: str | None) -> datetime:
        if offset is not None:
            return datetime.combine(self._day, clock, _offset(offset)).astimezone(UTC)
        first = at_clock(self._day, clock, self._zone)
        if self._last is None or first > self._last:
            return first
        # The clock may show it again within the day; else it is the next day's.
        local = datetime.combine(self._day, clock, zone_of(self._zone))
        again = local.replace(fold=1).astimezone(UTC)
        if again > self._last or self._is_dated:
            return again
        return at_clock(self._day + timedelta(days=1), clock, self._zone)


def _lines(text: str) -> list[tuple[int, str]]:
    start = text.lstrip("\ufeff \t\r\n")
    if not start:
        raise UserError("There is nothing to read.")
    if len(text) > LONGEST_TEXT:
        raise UserError("This text is too long for a forecast.")
    if start.startswith("<") or "<html" in text.casefold():
        raise UserError("This is a web page, not a table; copy only its table.")
    if start.startswith(("{", "[")):
        raise UserError("This is JSON, not a table with a heading.")
    lines = enumerate(text.lstrip("\ufeff").splitlines(), start=1)
    return [(number, line) for number, line in lines if line.strip()]


def _cells(line: str, divider: str | None) -> list[str]:
    if divider is None:
        return line.split()
    return [cell.strip().strip('"') for cell in line.split(divider)]


def _hour(
    cells: list[str], columns: list[Column], clock: _Clock, speed_unit: SpeedUnit
) -> ForecastHour:
    quantities = [column.quantity for column in columns]
    cells = _without_day(cells, quantities.index(TIME), len(columns), clock)
    if len(cells) != len(columns):
        raise UserError(
            f"{len(cells)} values where the heading names {len(columns)} columns; "
            "write – for what is not known"
        )
    if DAY in quantities and cells[quantities.index(DAY)].strip():
        clock.take_day(cells[quantities.index(DAY)])
    values: dict[str, Any] = {
        column.quantity.field: column.value(cell, speed_unit)
        for column, cell in zip(columns, cells, strict=True)
        if column.quantity.field
    }
    hour = ForecastHour(instant=clock.instant(cells[quantities.index(TIME)]), **values)
    if faults := hour_faults(hour):
        raise UserError(faults[0])
    return hour


def _without_day(
    cells: list[str], at_time: int, count: int, clock: _Clock
) -> list[str]:
    """The cells of a row whose time may bring its date along, or am and pm."""
    if at_time < len(cells) and (match := _DAY.match(cells[at_time])):
        rest = cells[at_time][match.end() :].strip()
        clock.take_day(match.group())
        # Split at spaces, date and time are cells of their own.
        kept = [rest] if rest else []
        cells = [*cells[:at_time], *kept, *cells[at_time + 1 :]]
    if len(cells) == count + 1 and cells[at_time + 1].casefold() in ("am", "pm"):
        joined = cells[at_time] + cells[at_time + 1]
        cells = [*cells[:at_time], joined, *cells[at_time + 2 :]]
    return cells


def _clock_time(match: re.Match[str], text: str) -> time:
    hour = int(match.group(1) or match.group(3) or match.group(5))
    minute = int(match.group(2) or match.group(4) or 0)
    half = (match.group(6) or "").casefold()
    if half:
        if not 1 <= hour <= 12:
            raise UserError(f"the time {text} does not exist")
        hour = hour % 12 + (12 if half == "pm" else 0)
    try:
        return time(hour, minute)
    except ValueError as error:
        raise UserError(f"the time {text} does not exist") from error


def _offset(text: str) -> timezone:
    if text in "zZ":
        return UTC
    sign = -1 if text[0] == "-" else 1
    digits = text[1:].replace(":", "")
    return timezone(sign * timedelta(hours=int(digits[:2]), minutes=int(digits[2:])))


def _when(instant: datetime, day: date, zone: str) -> str:
    local = instant.astimezone(zone_of(zone))
    text = f"{local:%H:%M}"
    if local.replace(fold=1 - local.fold).utcoffset() != local.utcoffset():
        offset = f"{local:%z}"
        text += f"{offset[:3]}:{offset[3:5]}"
    return text if local.date() == day else f"{local:%Y-%m-%d} {text}"


def _yes_or_no(value: bool | None) -> str:
    if value is None:
        return _shown(None)
    return "yes" if value else "no"


def _shown(value: float | None) -> str:
    if value is None:
        return "\u2013"
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
