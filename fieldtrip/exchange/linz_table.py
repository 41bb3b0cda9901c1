"""The annual table of Toitū Te Whenua Land Information New Zealand (LINZ), as CSV.

Three lines of heading and a line a day; there is no column for high and low, and the
zone changed in 2016 with nothing but the third line to say so.

Source: linz.govt.nz, tide predictions, key of the text files.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from itertools import pairwise

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_bytes import one_line
from fieldtrip.exchange.tide_file import Reading, TideFile, TideKind
from fieldtrip.exchange.tide_numbers import day_of, time_of
from fieldtrip.geo import Position

AUTHORITY = "LINZ"
_FIRST = re.compile(
    r"\w+,([^,]+),\s*(\d{1,2})\D{1,3}(\d{1,2}(?:\.\d+)?)\D{0,2}([NS])"
    r",\s*(\d{1,3})\D{1,3}(\d{1,2}(?:\.\d+)?)\D{0,2}([EW])[\s,]*"
)
_CELLS = 12  # a date of four and four tides of two
_HEIGHT = re.compile(r"-?\d{1,2}\.\d{1,3}")
_UNITS = {"metres": "m", "centimetres": "cm"}
_ENDS = re.compile(r"(\d{2})-([A-Z][a-z]{2})-(\d{4})")
_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun",
    "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def is_linz(text: str) -> bool:
    """Whether a text begins with a port as LINZ writes it."""
    return _FIRST.fullmatch(text.split("\n", 1)[0].strip()) is not None


def read_linz(text: str, name: str) -> TideFile:
    """Read a whole table.

    Raises `UserError` where a line is not whole, or a day of the span that the table
    states is missing.
    """
    lines = text.splitlines()
    port = _FIRST.fullmatch(lines[0].strip())
    if port is None or len(lines) < 3:
        raise UserError("This table is not whole: its three lines of heading are cut.")
    basis = lines[2].casefold()
    days, readings = [], []
    for number, line in enumerate(lines[3:], start=4):
        if line.strip():
            day, tides = _day(number, line)
            days.append(day)
            readings += tides
    _refuse_missing(days, lines[1])
    zone, has_summer_time = _clock(basis)
    unit = re.search(r"heights in (\w+)", basis)
    return TideFile(
        name=name,
        kind=TideKind.TURNS,
        layout=f"{AUTHORITY}, annual table (CSV)",
        port=port.group(1).strip(),
        position=_position(port),
        zone=zone,
        has_summer_time=has_summer_time,
        unit=_UNITS.get(unit.group(1), "") if unit else "",
        source=f"{AUTHORITY}, tide predictions {days[len(days) // 2].year}",
        turns=tuple(readings),
    )


def _clock(basis: str) -> tuple[str, bool | None]:
    """What the third line says of the clock: NZST is twelve hours ahead of UTC."""
    if "daylight" in basis:
        return "", True
    words = re.findall(r"[a-z]+", basis)
    if "nzst" in words:
        return "UTC+12:00", None
    return ("UTC", None) if "utc" in words or "gmt" in words else ("", None)


def _position(port: re.Match[str]) -> Position | None:
    lat_deg = int(port.group(2)) + float(port.group(3)) / 60.0
    lon_deg = int(port.group(5)) + float(port.group(6)) / 60.0
    if lat_deg > 90.0 or lon_deg > 180.0:
        return None
    return Position(
        -lat_deg if port.group(4) == "S" else lat_deg,
        -lon_deg if port.group(7) == "W" else lon_deg,
    )


def _day(number: int, line: str) -> tuple[date, list[Reading]]:
    cells = [cell.strip() for cell in line.rstrip().split(",")]
    while len(cells) > _CELLS and not cells[-1]:
        cells.pop()
    day = day_of(cells[3], cells[2], cells[0]) if len(cells) >= _CELLS else None
    if len(cells) != _CELLS or day is None:
        raise UserError(
            f"Line {number} is not whole: it needs a date that exists and four pairs "
            f"of time and height, of which the last may be blank, and reads "
            f"“{one_line(line, 40)}”."
        )
    tides = []
    for clock, height in zip(cells[4::2], cells[5::2], strict=True):
        if not clock and not height:
            continue
        at = time_of(clock)
        if at is None or not _HEIGHT.fullmatch(height):
            raise UserError(
                f"Line {number} has “{one_line(f'{clock},{height}', 20)}” where a time "
                "and a height should stand."
            )
        tides.append(Reading(number, datetime.combine(day, at), float(height)))
    if not tides:
        raise UserError(f"Line {number} has a date and no tide.")
    return day, tides


def _refuse_missing(days: list[date], stated: str) -> None:
    if not days:
        raise UserError("This table has a heading and no tides.")
    for before, day in pairwise(days):
        if day - before != timedelta(days=1):
            raise UserError(
                f"This table is not whole: after {before} comes {day}, not the next "
                "day."
            )
    # “Based on data from” one day “to” another, the reference date left alone.
    ends = _ENDS.findall(stated.split("reference")[0])
    if len(ends) == 2:
        start, stop = (day_of(y, _MONTHS.index(m) + 1, d) for d, m, y in ends)
        if start is None or stop is None:
            return
        if days[0] != start or days[-1] < stop - timedelta(days=1):
            raise UserError(
                f"This table is not whole: it says that it runs from {start} to "
                f"{stop}, but its days run from {days[0]} to {days[-1]}."
            )
