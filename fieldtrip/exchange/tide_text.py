"""A printed tide table, typed or pasted, into turns; and turns into text again.

Nothing is half-read: the whole text makes a table, or one sentence says which
line keeps it from being one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta, timezone, tzinfo

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_lines import UNITS_M, rows_of
from fieldtrip.exchange.tide_rows import TurnsRead, turns_of_rows
from fieldtrip.tides.records import Turn
from fieldtrip.times import zone_of

LONGEST_TEXT = 2_000_000  # characters; a year of turns is 40 000
_OFFSET = re.compile(r"(?:utc|gmt)?\s*([+-])\s*(\d{1,2})(?::?([0-5]\d))?", re.I)
_DECIMALS = {"m": 2, "cm": 0, "ft": 1}  # at least


def read_turns(text: str, zone: str, unit: str, day: date | None = None) -> TurnsRead:
    """Read high and low waters in order of time.

    One on a line (``2026-08-15 02:24 L 0.49``), one day on a line
    (``Sat 15 Aug  0224 0.5  0832 1.8``) or the authority's CSV; `day` gives the
    year where the text has none.  `zone` is an IANA name or a fixed offset, and
    `unit` is m, cm or ft.  Raises `UserError` naming the line at fault.
    """
    clock = clock_zone(zone)
    if unit not in UNITS_M:
        raise UserError("Say in which unit the heights are: m, cm or ft.")
    _refuse_what_is_no_table(text)
    rows = rows_of(text, unit, day)
    return turns_of_rows(rows, clock)


def turns_text(turns: Sequence[Turn], zone: str, unit: str) -> str:
    """Turns one on a line, as `read_turns` takes them.

    A time that the clock shows twice carries its offset.
    """
    if unit not in UNITS_M:
        raise UserError("Say in which unit the heights are: m, cm or ft.")
    clock = clock_zone(zone)
    lines = []
    for turn in turns:
        local = turn.instant.astimezone(clock)
        seconds = ":%S" if local.second else ""
        when = local.strftime(f"%Y-%m-%d %H:%M{seconds}")
        if _is_twice(local):
            offset = local.strftime("%z")
            when += f"{offset[:3]}:{offset[3:5]}"
        mark = "H" if turn.is_high else "L"
        lines.append(f"{when} {mark} {_number(turn.height_m / UNITS_M[unit], unit)}")
    return "\n".join(lines)


def clock_zone(zone: str) -> tzinfo:
    """The zone of an IANA name, of ``UTC`` or of an offset such as ``UTC+1``.

    Raises `UserError` for anything else.
    """
    match = _OFFSET.fullmatch(zone.strip().replace("\u2212", "-"))
    if match is None:
        return zone_of(zone.strip())
    sign = -1 if match.group(1) == "-" else 1
    hours, minutes = int(match.group(2)), int(match.group(3) or 0)
    if hours > 14:
        raise UserError(f"“{zone}” is no offset; the largest are −12:00 and +14:00.")
    return timezone(sign * timedelta(hours=hours, minutes=minutes))


def zone_name(zone: str) -> str:
    """The IANA name to keep with a table for what `clock_zone` takes.

    Raises `UserError` for an offset that is not in whole hours: those have no
    name of their own, and the place's zone must be given.
    """
    fixed = clock_zone(zone)
    if not isinstance(fixed, timezone):
        return zone.strip()
    hours, rest = divmod(fixed.utcoffset(None), timedelta(hours=1))
    if rest:
        raise UserError(f"“{zone}” has no name; give a zone such as Asia/Kolkata.")
    # The names of these zones count the other way round.
    name = "UTC" if hours == 0 else f"Etc/GMT{-hours:+d}"
    zone_of(name)
    return name


def _refuse_what_is_no_table(text: str) -> None:
    start = text.lstrip("\ufeff \t\r\n")
    if not start:
        raise UserError("There is nothing to read.")
    if len(text) > LONGEST_TEXT:
        raise UserError("This text is too long for a tide table.")
    if start.startswith("<") or "<html" in text.casefold():
        raise UserError("This is a web page, not a tide table; copy only its table.")
    if start.startswith(("{", "[")):
        raise UserError(
            "This text is JSON, not a table. Where it came from, choose CSV in its "
            "place."
        )


def _is_twice(local: datetime) -> bool:
    other = local.replace(fold=1 - local.fold)
    return other.utcoffset() != local.utcoffset()


def _number(value: float, unit: str) -> str:
    """The shortest decimal that gives the same height back."""
    whole, _, part = f"{value:.6f}".partition(".")
    part = part.rstrip("0").ljust(_DECIMALS[unit], "0")
    text = f"{whole}.{part}" if part else whole
    return text.lstrip("-") if not text.strip("-0.") else text
