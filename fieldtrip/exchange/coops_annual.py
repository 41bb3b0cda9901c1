"""NOAA CO-OPS's annual table as text: header lines ``Key: value``, then rows by tabs.

Source: NOAA CO-OPS, annual tide predictions, text export.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta

from fieldtrip.errors import UserError
from fieldtrip.exchange.coops_tables import AUTHORITY
from fieldtrip.exchange.tide_bytes import one_line
from fieldtrip.exchange.tide_file import Reading, TideFile, TideKind
from fieldtrip.exchange.tide_numbers import day_of, mark_of, number_of, time_of

_MOST_HEADER_LINES = 30
_HEAD = re.compile(r"date\s+day\s+time\s+pred", re.IGNORECASE)
_HEIGHTS = {"pred(cm)": "cm", "pred(m)": "m", "pred(ft)": "ft"}  # the finest first
# Half of a tenth of a foot and half a centimetre, and what rounding may add.
_FEET_AND_CM_AGREE = 2.2
_ONE_FOOT_CM = 30.48
# Between two turns there is rarely more than a day; a table that ends earlier
# than that before its stated end has lost its last lines.
_SLACK = timedelta(hours=26)
_FROM = re.compile(
    r"(\d{4})(\d\d)(\d\d)(?:\s+\S+)?\s*-\s*(\d{4})(\d\d)(\d\d)(?:\s+\S+)?"
)


def is_coops_annual(text: str) -> bool:
    """Whether a text begins like such a table."""
    head = text[:4000].casefold()
    return "stationid:" in head.replace(" ", "") and "interval type:" in head


def read_coops_annual(text: str, name: str) -> TideFile:
    """Read a whole table.

    Raises `UserError` where a line is not whole, or the table ends before the day
    up to which it says that it runs.
    """
    lines = text.splitlines()
    facts, first, columns = _header(lines)
    height = next((key for key in _HEIGHTS if key in columns), None)
    if height is None or not {"date", "time", "high/low"} <= set(columns):
        raise UserError(
            "The heading of this table does not name date, time, height and high or "
            "low."
        )
    readings = tuple(
        _reading(number, line, columns, height)
        for number, line in enumerate(lines[first:], start=first + 1)
        if line.strip()
    )
    if not readings:
        raise UserError("This table has a heading and no tides.")
    _refuse_cut(readings, facts.get("from", ""))
    zone = facts.get("time zone", "").upper()
    reference = facts.get("referencedtostationname", "")
    notes = (
        (f"Predicted by the authority with differences from {reference}.",)
        if reference
        else ()
    )
    return TideFile(
        name=name,
        kind=TideKind.TURNS,
        layout=f"{AUTHORITY}, annual table (text)",
        port=facts.get("stationname", ""),
        zone="UTC" if zone in ("GMT", "UTC") else "",
        has_summer_time={"LST/LDT": True, "LST": False}.get(zone),
        datum=facts.get("datum", ""),
        unit=_HEIGHTS[height],
        source=_source(facts, readings),
        turns=readings,
        may_stand=True,
        notes=notes,
    )


def _header(lines: Sequence[str]) -> tuple[dict[str, str], int, list[str]]:
    """What the header says, the index of the first row, and the columns."""
    facts: dict[str, str] = {}
    for index, line in enumerate(lines[:_MOST_HEADER_LINES]):
        if _HEAD.match(line.strip()):
            columns = [cell.strip().casefold() for cell in _cells(line)]
            return facts, index + 1, columns
        key, colon, value = line.partition(":")
        if colon:
            facts[key.strip().casefold()] = value.strip()
    raise UserError("This table is not whole: the heading of its columns is missing.")


def _reading(number: int, line: str, columns: list[str], height: str) -> Reading:
    cells = dict(zip(columns, _cells(line), strict=False))
    day = _day(cells.get("date", ""))
    clock = time_of(cells.get("time", ""))
    value = number_of(cells.get(height, ""))
    is_high = mark_of(cells.get("high/low", ""))
    if day is None or clock is None or value is None or is_high is None:
        raise UserError(
            f"Line {number} is not whole: it needs a date that exists, a time, a "
            f"height, and H or L, and reads “{one_line(line, 40)}”."
        )
    feet = number_of(cells.get("pred(ft)", ""))
    is_cm = _HEIGHTS[height] == "cm"
    if is_cm and feet is not None:
        apart = abs(feet * _ONE_FOOT_CM - value)
        if apart > _FEET_AND_CM_AGREE:
            raise UserError(f"Line {number} has other feet than centimetres.")
    return Reading(number, datetime.combine(day, clock), value, is_high)


def _refuse_cut(readings: Sequence[Reading], stated: str) -> None:
    match = _FROM.fullmatch(stated)
    if match is None:
        return
    first, last = day_of(*match.group(1, 2, 3)), day_of(*match.group(4, 5, 6))
    if first is None or last is None:
        return
    start = datetime.combine(first, datetime.min.time())
    stop = datetime.combine(last, datetime.min.time()) + timedelta(days=1)
    is_late = readings[0].clock - start > _SLACK
    if is_late or stop - readings[-1].clock > _SLACK:
        raise UserError(
            f"This table is not whole: it says that it runs from {first} to {last}, "
            f"but its tides run from {readings[0].clock:%Y-%m-%d} to "
            f"{readings[-1].clock:%Y-%m-%d}."
        )


def _source(facts: dict[str, str], readings: Sequence[Reading]) -> str:
    year = readings[len(readings) // 2].clock.year
    return f"{AUTHORITY}, annual table {year}, station {facts.get('stationid', '')}"


def _day(text: str) -> date | None:
    match = re.fullmatch(r"(\d{4})[-/](\d{1,2})[-/](\d{1,2})", text)
    return None if match is None else day_of(*match.group(1, 2, 3))


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in re.split(r"\t+", line.strip())]
