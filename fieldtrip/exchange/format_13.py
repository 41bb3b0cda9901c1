"""The UK Hydrographic Office's “Format 13”: each day its turns, then even heights.

A day is a line of heading, a line of up to four turns in metres, and a height in
millimetres for every interval from midnight on, each on a line of its own; heights
stand above chart datum.

Source: UK Hydrographic Office, Format 13, gov.uk attachment 413017 (March 2015).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_bytes import LAST_LEFT_OUT, may_be_cut, one_line
from fieldtrip.exchange.tide_file import Reading, TideFile, TideKind
from fieldtrip.exchange.tide_numbers import (
    day_of,
    mark_of,
    number_of,
    offset_name,
    offset_of,
    time_of,
)
from fieldtrip.geo import Position

AUTHORITY = "UK Hydrographic Office"
_DAY_MINUTES = 1440
_SHORTEST, _LONGEST = 1, 120  # minutes between heights, as the specification says
_HEAD_CELLS = 7
_HEAD = re.compile(r'"[^"]*","[^"]*",-?\d[\d.]*,-?\d[\d.]*,\d{8},\d+,[+-]\d{4}\s*')
_MILLIMETRES = re.compile(r"-?\d{1,5}")


@dataclass(frozen=True, slots=True)
class _Head:
    port: str
    position: Position
    day: date
    minutes: int
    zone: tzinfo


def is_format_13(text: str) -> bool:
    """Whether a text begins with a day's heading."""
    return _HEAD.fullmatch(text.split("\n", 1)[0].strip()) is not None


def read_format_13(text: str, name: str) -> TideFile:
    """Read every day of a file.

    Raises `UserError` naming the line at fault, or the day whose heights are not all
    there.
    """
    numbered = [
        (number, line.strip())
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip()
    ]
    heads, turns, series = [], [], []
    index = 0
    while index < len(numbered):
        head = _head(*numbered[index])
        count = _DAY_MINUTES // head.minutes
        end = index + 2 + count
        if len(numbered) < index + 2:
            raise UserError(f"The file is cut: {head.day} has no tides.")
        turns += _turns(*numbered[index + 1], head)
        heights = numbered[index + 2 : end]
        series += _series(heights, head)
        if len(heights) < count:
            raise UserError(
                f"The file is cut: {head.day} has {len(heights)} heights of {count}."
            )
        heads.append(head)
        index = end
    if len({head.port for head in heads}) > 1:
        raise UserError("This file holds more than one port; give each its own file.")
    if may_be_cut(text):
        series.pop()
    return TideFile(
        name=name,
        kind=TideKind.TURNS,
        layout=f"{AUTHORITY}, Format 13",
        port=heads[0].port,
        position=heads[0].position,
        zone=offset_name(heads[0].zone),
        datum="chart datum",
        unit="m",
        source=f"{AUTHORITY}, predictions {heads[len(heads) // 2].day.year}",
        turns=tuple(turns),
        series=tuple(series),
        notes=(LAST_LEFT_OUT,) if may_be_cut(text) else (),
    )


def _head(number: int, line: str) -> _Head:
    cells = _cells(number, line)
    if len(cells) != _HEAD_CELLS:
        raise UserError(
            f"Line {number} should begin a day with its port, place, date, interval "
            f"and zone, and reads “{one_line(line, 40)}”."
        )
    lat_deg, lon_deg = number_of(cells[2]), number_of(cells[3])
    day = day_of(cells[4][:4], cells[4][4:6], cells[4][6:])
    minutes = int(cells[5]) if cells[5].isdecimal() else 0
    zone = offset_of(cells[6])
    if lat_deg is None or lon_deg is None or abs(lat_deg) > 90 or abs(lon_deg) > 180:
        raise UserError(f"Line {number} does not say where its port lies.")
    if day is None or len(cells[4]) != 8 or zone is None:
        raise UserError(f"Line {number} has no date that exists, or no zone.")
    if not _SHORTEST <= minutes <= _LONGEST or _DAY_MINUTES % minutes:
        raise UserError(
            f"Line {number} gives an interval of “{one_line(cells[5], 12)}” minutes; "
            "it must divide the day, and be from 1 to 120."
        )
    return _Head(cells[1].strip(), Position(lat_deg, lon_deg), day, minutes, zone)


def _turns(number: int, line: str, head: _Head) -> list[Reading]:
    cells = _cells(number, line)
    if len(cells) % 3 or not 3 <= len(cells) <= 12:
        raise UserError(
            f"Line {number} is not whole: each tide needs a time, H or L, and a height."
        )
    found = []
    for clock, mark, height in zip(cells[::3], cells[1::3], cells[2::3], strict=True):
        at, is_high, height_m = time_of(clock), mark_of(mark), number_of(height)
        if at is None or is_high is None or height_m is None:
            raise UserError(
                f"Line {number} has “{one_line(f'{clock},{mark},{height}', 30)}” where "
                "a time, H or L, and a height should stand."
            )
        moment = datetime.combine(head.day, at, tzinfo=head.zone)
        found.append(Reading(number, moment, height_m, is_high))
    return found


def _series(lines: Sequence[tuple[int, str]], head: _Head) -> list[Reading]:
    start = datetime.combine(head.day, datetime.min.time(), tzinfo=head.zone)
    start = start.astimezone(UTC)
    found = []
    for index, (number, line) in enumerate(lines):
        if not _MILLIMETRES.fullmatch(line):
            if line.startswith('"'):
                raise UserError(
                    f"The file is not whole: {head.day} has {index} heights of "
                    f"{_DAY_MINUTES // head.minutes}, before line {number}."
                )
            raise UserError(
                f"Line {number} has “{one_line(line, 20)}” where a height in "
                "millimetres should stand."
            )
        moment = start + timedelta(minutes=index * head.minutes)
        found.append(Reading(number, moment, int(line) / 1000.0))
    return found


def _cells(number: int, line: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line]))]
    except (csv.Error, StopIteration) as error:
        raise UserError(f"Line {number} cannot be read as CSV.") from error
