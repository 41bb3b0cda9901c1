"""A CSV of any layout, once somebody has said which column holds what.

The columns are proposed from the heading where it is plain; nothing is read before
they are settled.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import pairwise

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_bytes import LAST_LEFT_OUT, may_be_cut, one_line
from fieldtrip.exchange.tide_file import Reading, TideFile, TideKind
from fieldtrip.exchange.tide_numbers import (
    day_of,
    mark_of,
    moment_of,
    number_of,
    time_of,
)

_MOST_LINES_ABOVE = 40
_SAMPLE = 5
_LONGEST_HEADING = 1000  # characters
# Turns lie at least a few hours apart, even heights at most so far.
_LONGEST_STEP = timedelta(minutes=125)
_DATE = re.compile(r"(\d{1,4})[-/. ](\d{1,2}|[A-Za-z]{3,9})[-/. ,]+(\d{1,4})\.?(?!\d)")
_SOLID_DATE = re.compile(r"(\d{4})(\d{2})(\d{2})(?!\d)")
_UNIT = re.compile(r"[(\[_ ](m|cm|mm|ft|metres?|meters?|feet)[)\] ]*$", re.IGNORECASE)
_UNITS = {"metre": "m", "metres": "m", "meter": "m", "meters": "m", "feet": "ft"}
_UTC = re.compile(r"\b(utc|gmt)\b(?!\s*[+-])", re.IGNORECASE)
_MONTHS = (
    "jan", "feb", "mar", "apr", "may", "jun",
    "jul", "aug", "sep", "oct", "nov", "dec",
)  # fmt: skip


class DayOrder(StrEnum):
    """How a date of figures is written."""

    YEAR_FIRST = "year, month, day"
    DAY_FIRST = "day, month, year"
    MONTH_FIRST = "month, day, year"


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Which column holds what, counted from 0."""

    day: int  # the date, with the time in it where `clock` is None
    clock: int | None
    height: int
    mark: int | None  # of high and low; None: told by the neighbours
    order: DayOrder


@dataclass(frozen=True, slots=True)
class Table:
    """A CSV with its heading."""

    heading: str  # its line, by which columns are remembered
    names: tuple[str, ...]
    sample: tuple[tuple[str, ...], ...]
    delimiter: str
    first: int  # index of the first line below the heading


def table_of(text: str) -> Table | None:
    """The table that a text is, or None where it has no heading with columns."""
    lines = text.splitlines()
    for index, line in enumerate(lines[:_MOST_LINES_ABOVE]):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if len(line) > _LONGEST_HEADING or set(line) & set("{}<>"):
            return None
        delimiter = max(",;\t|", key=line.count)
        names = _cells(line, delimiter)
        is_heading = len(names) >= 2 and not any(name[:1].isdigit() for name in names)
        below = [b for b in lines[index + 1 : index + 40] if b.strip()]
        rows = [_cells(row, delimiter) for row in below[:_SAMPLE]]
        if is_heading and any(name for name in names) and rows and len(rows[0]) > 1:
            return Table(
                line.strip(),
                tuple(names),
                tuple(map(tuple, rows)),
                delimiter,
                index + 1,
            )
    return None


def proposed(table: Table) -> Columns | None:
    """The columns as the heading and the first rows tell them; None: not plainly."""
    names = [name.casefold() for name in table.names]

    def named(*words: str) -> int | None:
        found = [i for i, n in enumerate(names) if any(word in n for word in words)]
        return found[0] if len(found) == 1 else None

    day = named("date", "datum", "dag") if named("date") is None else named("date")
    height = named("height", "prediction", "predicted", "level")
    if day is None or height is None or day == height:
        return None
    times = [i for i, n in enumerate(names) if "time" in n and i != day]
    clock = times[0] if len(times) == 1 else None
    has_time = all(_has_time(row[day]) for row in table.sample if len(row) > day)
    if has_time == (clock is not None):
        return None
    order = _order(table, day)
    mark = named("type", "high/low", "h/l", "tide type")
    if order is None:
        return None
    return Columns(day=day, clock=clock, height=height, mark=mark, order=order)


def read_columns(text: str, name: str, columns: Columns) -> TideFile:
    """Read a table whose columns are settled.

    Without a column for high and low, heights at most two hours apart are even
    heights, and others turns.  Raises `UserError` naming the first line at fault.
    """
    table = table_of(text)
    if table is None:
        raise UserError("This file has no heading, so it has no columns to choose.")
    chosen = [columns.day, columns.height, columns.clock, columns.mark]
    places = [place for place in chosen if place is not None]
    if max(places) >= len(table.names) or min(places) < 0:
        raise UserError("This table has fewer columns than were chosen.")
    if len(set(places)) < len(places):
        raise UserError("Each column can hold one thing only.")
    readings = tuple(
        _reading(number, line, table, columns)
        for number, line in enumerate(text.splitlines()[table.first :], table.first + 1)
        if line.strip() and not line.lstrip().startswith("#")
    )
    notes: tuple[str, ...] = ()
    is_last = columns.mark is None and max(places) == len(table.names) - 1
    if is_last and may_be_cut(text):
        readings, notes = readings[:-1], (LAST_LEFT_OUT,)
    if len(readings) < 2:
        raise UserError("This table has fewer than two heights.")
    kind = _kind(readings, columns)
    unit = _UNIT.search(table.names[columns.height])
    word = "" if unit is None else unit.group(1).casefold()
    heads = table.names[columns.day], table.names[columns.clock or columns.day]
    return TideFile(
        name=name,
        kind=kind,
        layout=f"CSV with chosen columns, {kind}",
        zone="UTC" if any(_UTC.search(head) for head in heads) else "",
        unit=_UNITS.get(word, word),
        turns=readings if kind is TideKind.TURNS else (),
        series=readings if kind is TideKind.SERIES else (),
        may_stand=columns.mark is not None,
        notes=notes,
    )


def columns_text(columns: Columns) -> str:
    """Columns in one word each, as `columns_of` takes them; counted from 1."""
    parts = {
        "date": columns.day,
        "time": columns.clock,
        "height": columns.height,
        "type": columns.mark,
    }
    said = [f"{key}={at + 1}" for key, at in parts.items() if at is not None]
    return ",".join([*said, f"order={columns.order.name.split('_')[0].casefold()}"])


def columns_of(text: str) -> Columns:
    """Columns from ``date=1,time=2,height=3,type=4,order=year``.

    Raises `UserError` for anything else.
    """
    pairs = dict(part.strip().partition("=")[::2] for part in text.split(","))
    orders = {order.name.split("_")[0].casefold(): order for order in DayOrder}
    numbers = {key: value for key, value in pairs.items() if key != "order"}
    is_known = set(numbers) <= {"date", "time", "height", "type"}
    is_number = all(re.fullmatch(r"[1-9]\d?", value) for value in numbers.values())
    has_needed = {"date", "height"} <= set(numbers)
    order = orders.get(pairs.get("order", "year"))
    if not (is_known and is_number and has_needed) or order is None:
        raise UserError(
            "Columns are given as date=1,time=2,height=3,type=4,order=year, counted "
            "from 1; time and type may be left out, and order is year, day or month."
        )
    at = {key: int(value) - 1 for key, value in numbers.items()}
    return Columns(
        day=at["date"],
        clock=at.get("time"),
        height=at["height"],
        mark=at.get("type"),
        order=order,
    )


def _reading(number: int, line: str, table: Table, columns: Columns) -> Reading:
    cells = _cells(line, table.delimiter)
    if len(cells) < len(table.names):
        raise UserError(
            f"Line {number} is not whole: it has {len(cells)} columns of "
            f"{len(table.names)}."
        )
    at = _moment(cells, columns)
    if at is None:
        told = cells[columns.day]
        if columns.clock is not None:
            told += f" {cells[columns.clock]}"
        raise UserError(
            f"Line {number} has “{one_line(told, 30)}” where a date that exists and a "
            f"time should stand, its date as {columns.order}."
        )
    is_comma = table.delimiter != ","
    height = number_of(cells[columns.height], decimal_comma=is_comma)
    if height is None:
        raise UserError(
            f"Line {number} has “{one_line(cells[columns.height], 20)}” where a height "
            "should stand."
        )
    is_high = None
    if columns.mark is not None:
        is_high = mark_of(cells[columns.mark])
        if is_high is None:
            raise UserError(
                f"Line {number} has “{one_line(cells[columns.mark], 20)}” where H or "
                "L should stand."
            )
    return Reading(number, at, height, is_high)


def _moment(cells: Sequence[str], columns: Columns) -> datetime | None:
    day_text = cells[columns.day].strip()
    if columns.clock is None:
        if columns.order is DayOrder.YEAR_FIRST and (at := moment_of(day_text)):
            return at
        day, rest = _day(day_text, columns.order)
        clock = time_of(rest.lstrip(" T,"))
    else:
        day, rest = _day(day_text, columns.order)
        clock = None if rest.strip() else time_of(cells[columns.clock])
    if day is None or clock is None:
        return None
    return datetime.combine(day, clock)


def _day(text: str, order: DayOrder) -> tuple[date | None, str]:
    """The date that a text begins with, and what stands after it."""
    if order is DayOrder.YEAR_FIRST and (match := _SOLID_DATE.match(text)):
        return day_of(*match.groups()), text[match.end() :]
    match = _DATE.match(text)
    if match is None:
        return None, text
    parts = list(match.groups())
    if order is DayOrder.DAY_FIRST:
        parts.reverse()
    elif order is DayOrder.MONTH_FIRST:
        parts = [parts[2], parts[0], parts[1]]
    if not parts[1].isdecimal():
        word = parts[1][:3].casefold()
        if word not in _MONTHS:
            return None, text
        parts[1] = str(_MONTHS.index(word) + 1)
    if len(parts[0]) != 4:  # a year of two figures may be of any century
        return None, text
    return day_of(*parts), text[match.end() :]


def _order(table: Table, day: int) -> DayOrder | None:
    """The one order in which every date of the sample exists, if there is only one."""
    cells = [row[day].strip() for row in table.sample if len(row) > day]
    fits = [order for order in DayOrder if all(_day(cell, order)[0] for cell in cells)]
    return fits[0] if cells and len(fits) == 1 else None


def _has_time(cell: str) -> bool:
    return re.search(r"\d{1,2}:\d{2}|[T ]\d{4}$", cell.strip()) is not None


def _kind(readings: Sequence[Reading], columns: Columns) -> TideKind:
    if columns.mark is not None:
        return TideKind.TURNS
    plain = [reading.clock.replace(tzinfo=None) for reading in readings]
    steps = sorted(after - before for before, after in pairwise(plain))
    is_even = steps[len(steps) // 2] <= _LONGEST_STEP
    return TideKind.SERIES if is_even else TideKind.TURNS


def _cells(line: str, delimiter: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter))]
    except (csv.Error, StopIteration):
        return []
