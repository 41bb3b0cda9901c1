"""A printed tide table, typed or pasted, into turns; and turns into text again.

Nothing is half-read: the whole text makes a table, or one sentence says which
line keeps it from being one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from itertools import pairwise

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_lines import UNITS_M, Row, rows_of
from fieldtrip.tides.margins import is_of_possible_length
from fieldtrip.tides.records import Turn, turn_faults
from fieldtrip.times import zone_of

LONGEST_TEXT = 2_000_000  # characters; a year of turns is 40 000
_OFFSET = re.compile(r"(?:utc|gmt)?\s*([+-])\s*(\d{1,2})(?::?([0-5]\d))?", re.I)
_DECIMALS = {"m": 2, "cm": 0, "ft": 1}  # at least
_USUAL_GAP = timedelta(hours=6, minutes=12)


@dataclass(frozen=True, slots=True)
class TurnsRead:
    """A table read whole, and what the reader ought to be told about it."""

    turns: tuple[Turn, ...]
    notes: tuple[str, ...]


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
    if len(rows) < 2:
        raise UserError("A tide table needs at least one high and one low water.")
    instants, notes = _instants(rows, clock)
    _refuse_disorder(rows, instants)
    turns = tuple(
        Turn(instant, row.height_m, is_high)
        for instant, row, is_high in zip(instants, rows, _highs(rows), strict=True)
    )
    if faults := turn_faults(turns):
        raise UserError(faults[0])
    return TurnsRead(turns, (*notes, *_gaps(rows, turns)))


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
        raise UserError("This is JSON, not a table; ask the service for CSV instead.")


def _instants(rows: list[Row], clock: tzinfo) -> tuple[list[datetime], list[str]]:
    """The instants of clock times; where there are two, the one with even gaps."""
    choices = [_choices(row, clock) for row in rows]
    instants = [choice[0] for choice in choices]
    notes = []
    for index, choice in enumerate(choices):
        if len(choice) == 1:
            continue
        _, best = min((_unevenness(c, index, instants), c) for c in choice)
        instants[index] = best
        shown = f"{rows[index].clock:%H:%M on %Y-%m-%d}"
        which = "the first time" if best == min(choice) else "the second time"
        if _is_there(choice[0], rows[index], clock):
            notes.append(
                f"Line {rows[index].line}: the clock shows {shown} twice; taken as "
                f"{which}, which leaves even gaps."
            )
        else:
            notes.append(
                f"Line {rows[index].line}: the clock skips {shown}; taken as "
                f"{best:%H:%M} UTC, which leaves even gaps."
            )
    return instants, notes


def _choices(row: Row, clock: tzinfo) -> list[datetime]:
    if row.clock.tzinfo is not None:
        return [row.clock.astimezone(UTC)]
    folds = (row.clock.replace(tzinfo=clock, fold=fold) for fold in (0, 1))
    return sorted({local.astimezone(UTC) for local in folds})


def _unevenness(choice: datetime, index: int, instants: list[datetime]) -> timedelta:
    """How far the gaps to the neighbours differ; at an end, from the usual gap."""
    before = choice - instants[index - 1] if index > 0 else None
    after = instants[index + 1] - choice if index + 1 < len(instants) else None
    return abs((before or _USUAL_GAP) - (after or _USUAL_GAP))


def _is_there(instant: datetime, row: Row, clock: tzinfo) -> bool:
    """Whether the clock ever shows the time of a row."""
    return instant.astimezone(clock).replace(tzinfo=None) == row.clock


def _is_twice(local: datetime) -> bool:
    other = local.replace(fold=1 - local.fold)
    return other.utcoffset() != local.utcoffset()


def _refuse_disorder(rows: list[Row], instants: list[datetime]) -> None:
    pairs = zip(pairwise(instants), rows[1:], strict=True)
    for (before, after), row in pairs:
        if after <= before:
            raise UserError(
                f"Line {row.line}: {row.clock:%H:%M on %Y-%m-%d} does not come after "
                "the time before it."
            )


def _highs(rows: list[Row]) -> list[bool]:
    """Which rows are high waters by their neighbours; what the text says must agree."""
    highs = []
    for index, row in enumerate(rows):
        sides = rows[max(0, index - 1) : index] + rows[index + 1 : index + 2]
        above = [row.height_m > side.height_m for side in sides]
        if any(row.height_m == side.height_m for side in sides):
            raise UserError(f"Line {row.line} has the same height as its neighbour.")
        previous = rows[index - 1] if index else None
        if (
            previous is not None
            and previous.is_high is not None
            and previous.is_high == row.is_high
        ):
            kind = "high" if row.is_high else "low"
            raise UserError(
                f"Line {row.line}: two {kind} waters follow each other; one is missing."
            )
        if len(set(above)) == 2:
            raise UserError(
                f"Line {row.line} lies between its neighbours, so it is neither high "
                "nor low water; one is missing, or a height is wrong."
            )
        if row.is_high is not None and row.is_high != above[0]:
            kind = "high" if row.is_high else "low"
            raise UserError(
                f"Line {row.line} is marked as {kind} water, but its height is "
                f"{'below' if row.is_high else 'above'} its neighbours'."
            )
        highs.append(above[0])
    return highs


def _gaps(rows: list[Row], turns: tuple[Turn, ...]) -> list[str]:
    notes = []
    for (before, after), row in zip(pairwise(turns), rows[1:], strict=True):
        if not is_of_possible_length(before, after):
            hours = (after.instant - before.instant) / timedelta(hours=1)
            notes.append(
                f"Line {row.line} comes {hours:.1f} h after the one before it; if one "
                "is missing, type it. Nothing is told about the tide between them."
            )
    return notes


def _number(value: float, unit: str) -> str:
    """The shortest decimal that gives the same height back."""
    whole, _, part = f"{value:.6f}".partition(".")
    part = part.rstrip("0").ljust(_DECIMALS[unit], "0")
    text = f"{whole}.{part}" if part else whole
    return text.lstrip("-") if not text.strip("-0.") else text
