"""Predictions as NOAA CO-OPS gives them: CSV and JSON of its data service.

Neither says the station, the datum, the unit or the zone.  An error comes with the
status of a success, as JSON or as prose below a genuine heading.  The CSV of a
station's page says its zone and unit.

Source: NOAA CO-OPS, data retrieval API, product ``predictions``.
"""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_bytes import LAST_LEFT_OUT, may_be_cut, one_line
from fieldtrip.exchange.tide_file import Reading, TideFile, TideKind
from fieldtrip.exchange.tide_numbers import mark_of, moment_of, number_of

AUTHORITY = "NOAA CO-OPS"
_SERIES_HEAD = ["date time", "prediction"]
_TURNS_HEAD = [*_SERIES_HEAD, "type"]
_PAGE_TIME = re.compile(r"time \((gmt|lst/ldt|lst)\)")
_PAGE_HEIGHT = re.compile(r"predicted \((m|ft)\)")


def is_coops_csv(text: str) -> bool:
    """Whether a text begins with the heading of the service or of a station's page."""
    head = _head(text)
    return head in (_SERIES_HEAD, _TURNS_HEAD) or _is_page(head)


def read_coops_csv(text: str, name: str) -> TideFile:
    """Read the CSV of the service, or of a station's page.

    Raises `UserError` naming the first line that is not whole.
    """
    head = _head(text)
    if _is_page(head):
        return _read_page(text, name, head)
    is_turns = head == _TURNS_HEAD
    readings = tuple(
        _reading(number, row, is_turns=is_turns)
        for number, row in _rows(text)
        if not _is_prose(row)
    )
    made = _of(name, readings, is_turns=is_turns, layout="CSV")
    if is_turns or not may_be_cut(text) or len(readings) < 2:
        return made
    return replace(made, series=made.series[:-1], notes=(LAST_LEFT_OUT,))


def read_coops_json(found: dict[str, Any], name: str) -> TideFile:
    """Read the list ``predictions`` of the service's JSON."""
    entries = found["predictions"]
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        raise UserError("“predictions” must be a list of heights.")
    is_turns = any("type" in entry for entry in entries)
    readings = tuple(
        _reading(
            number,
            [str(entry.get(key, "")) for key in ("t", "v", "type")],
            is_turns=is_turns,
            place="Entry",
        )
        for number, entry in enumerate(entries, start=1)
    )
    return _of(name, readings, is_turns=is_turns, layout="JSON", place="Entry")


def _of(
    name: str,
    readings: tuple[Reading, ...],
    *,
    is_turns: bool,
    layout: str,
    place: str = "Line",
) -> TideFile:
    if not readings:
        raise UserError("This file has a heading and no heights.")
    kind = TideKind.TURNS if is_turns else TideKind.SERIES
    return TideFile(
        name=name,
        kind=kind,
        layout=f"{AUTHORITY}, {kind} ({layout})",
        source=AUTHORITY,
        place=place,
        turns=readings if is_turns else (),
        series=() if is_turns else readings,
        may_stand=True,
    )


def _reading(
    number: int, row: list[str], *, is_turns: bool, place: str = "Line"
) -> Reading:
    cells = [cell.strip() for cell in row]
    clock = moment_of(cells[0]) if cells else None
    height = number_of(cells[1]) if len(cells) > 1 else None
    is_high = mark_of(cells[2]) if is_turns and len(cells) > 2 else None
    if clock is None or height is None or (is_turns and is_high is None):
        what = "a time, a height, and H or L" if is_turns else "a time and a height"
        raise UserError(
            f"{place} {number} is not whole: it needs {what}, with a date that exists, "
            f"and reads “{one_line(','.join(cells), 40)}”."
        )
    return Reading(number, clock, height, is_high)


def _is_prose(row: list[str]) -> bool:
    """Whether the service says in words why there are no heights: raises it."""
    line = one_line(",".join(row))
    words = re.findall(r"[A-Za-z]{3,}", line)
    if len(words) >= 3 or line.casefold().startswith("error"):
        raise UserError(f"The service answered with an error: {line}")
    return False


def _read_page(text: str, name: str, head: list[str]) -> TideFile:
    clock = _PAGE_TIME.fullmatch(head[1])
    unit = _PAGE_HEIGHT.fullmatch(head[2])
    assert clock is not None
    assert unit is not None
    readings, missing = [], 0
    for number, row in _rows(text):
        if len(row) != len(head):
            raise UserError(f"Line {number} has {len(row)} columns of {len(head)}.")
        if row[2].strip() in ("", "-"):
            missing += 1
            continue
        both = [f"{row[0]} {row[1]}", row[2]]
        readings.append(_reading(number, both, is_turns=False))
    made = _of(name, tuple(readings), is_turns=False, layout="CSV of a station’s page")
    notes = [f"{missing} lines have no prediction and are left out."] if missing else []
    return replace(
        made,
        unit=unit.group(1),
        zone="UTC" if clock.group(1) == "gmt" else "",
        has_summer_time={"lst": False, "lst/ldt": True}.get(clock.group(1)),
        notes=tuple(notes),
    )


def _is_page(head: list[str]) -> bool:
    return (
        len(head) >= 3
        and head[0] == "date"
        and _PAGE_TIME.fullmatch(head[1]) is not None
        and _PAGE_HEIGHT.fullmatch(head[2]) is not None
    )


def _head(text: str) -> list[str]:
    line = text.split("\n", 1)[0][:500]
    return [cell.strip().strip('"').casefold() for cell in line.split(",")]


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """The lines below the heading that are not empty, with their numbers."""
    lines = text.splitlines()[1:]
    try:
        return [
            (number, next(csv.reader([line])))
            for number, line in enumerate(lines, start=2)
            if line.strip()
        ]
    except csv.Error as error:
        raise UserError("This CSV has a line that cannot be read.") from error
