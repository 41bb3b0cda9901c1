"""Rows of a tide table, with clock times as they stand, into turns in UTC.

Where a clock shows a time twice, or skips it, the instant is taken that leaves even
gaps.  What is high and what low is told by the neighbours, and must agree with what
the table says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_lines import Row
from fieldtrip.tides.margins import is_of_possible_length
from fieldtrip.tides.records import Turn, turn_faults
from fieldtrip.tides.secondary import without_stands

_USUAL_GAP = timedelta(hours=6, minutes=12)


@dataclass(frozen=True, slots=True)
class TurnsRead:
    """A table read whole, and what the reader ought to be told about it."""

    turns: tuple[Turn, ...]
    notes: tuple[str, ...]


def turns_of_rows(
    rows: Sequence[Row],
    clock: tzinfo,
    *,
    may_stand: bool = False,
    place: str = "Line",
) -> TurnsRead:
    """Turns in order of time from rows in that order.

    `may_stand`: the table is an authority's, whose marks are right even where a high
    water is not above the low water beside it, as in tables made by differences;
    such pairs are left out, because the tide stands there.  `place` is the word for
    where a row stands in its file.  Raises `UserError` naming the row at fault.
    """
    if len(rows) < 2:
        raise UserError("A tide table needs at least one high and one low water.")
    instants, notes = _instants(rows, clock, place)
    _refuse_disorder(rows, instants, place)
    _refuse_repeats(rows, place)
    is_marked = may_stand and all(row.is_high is not None for row in rows)
    highs = [bool(row.is_high) for row in rows] if is_marked else _highs(rows, place)
    turns = tuple(
        Turn(instant, row.height_m, is_high)
        for instant, row, is_high in zip(instants, rows, highs, strict=True)
    )
    if is_marked:
        kept = without_stands(turns)
        if len(kept) < len(turns):
            notes.append(_stand_note((len(turns) - len(kept)) // 2))
        turns = kept
    if faults := turn_faults(turns):
        raise UserError(faults[0])
    if is_marked:
        return TurnsRead(turns, (*notes, *_odd_legs(turns)))
    at = {instant: row.line for instant, row in zip(instants, rows, strict=True)}
    return TurnsRead(turns, (*notes, *_gaps(turns, at, place)))


def choices_of(clock_time: datetime, clock: tzinfo) -> list[datetime]:
    """The instants that a clock time may be, in UTC: one, or two where it changes."""
    if clock_time.tzinfo is not None:
        return [clock_time.astimezone(UTC)]
    folds = (clock_time.replace(tzinfo=clock, fold=fold) for fold in (0, 1))
    return sorted({local.astimezone(UTC) for local in folds})


def _instants(
    rows: Sequence[Row], clock: tzinfo, place: str
) -> tuple[list[datetime], list[str]]:
    """The instants of clock times; where there are two, the one with even gaps."""
    choices = [choices_of(row.clock, clock) for row in rows]
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
                f"{place} {rows[index].line}: the clock shows {shown} twice; taken as "
                f"{which}, which leaves even gaps."
            )
        else:
            notes.append(
                f"{place} {rows[index].line}: the clock skips {shown}; taken as "
                f"{best:%H:%M} UTC, which leaves even gaps."
            )
    return instants, notes


def _unevenness(choice: datetime, index: int, instants: list[datetime]) -> timedelta:
    """How far the gaps to the neighbours differ; at an end, from the usual gap."""
    before = choice - instants[index - 1] if index > 0 else None
    after = instants[index + 1] - choice if index + 1 < len(instants) else None
    return abs((before or _USUAL_GAP) - (after or _USUAL_GAP))


def _is_there(instant: datetime, row: Row, clock: tzinfo) -> bool:
    """Whether the clock ever shows the time of a row."""
    return instant.astimezone(clock).replace(tzinfo=None) == row.clock


def _refuse_disorder(rows: Sequence[Row], instants: list[datetime], place: str) -> None:
    pairs = zip(pairwise(instants), rows[1:], strict=True)
    for (before, after), row in pairs:
        if after <= before:
            raise UserError(
                f"{place} {row.line}: {row.clock:%H:%M on %Y-%m-%d} does not come "
                "after the time before it."
            )


def _refuse_repeats(rows: Sequence[Row], place: str) -> None:
    for before, row in pairwise(rows):
        if row.is_high is not None and before.is_high == row.is_high:
            kind = "high" if row.is_high else "low"
            raise UserError(
                f"{place} {row.line}: two {kind} waters follow each other; one is "
                "missing."
            )


def _highs(rows: Sequence[Row], place: str) -> list[bool]:
    """Which rows are high waters by their neighbours; what the text says must agree."""
    highs = []
    for index, row in enumerate(rows):
        sides = [*rows[max(0, index - 1) : index], *rows[index + 1 : index + 2]]
        above = [row.height_m > side.height_m for side in sides]
        if any(row.height_m == side.height_m for side in sides):
            raise UserError(f"{place} {row.line} has the same height as its neighbour.")
        if len(set(above)) == 2:
            raise UserError(
                f"{place} {row.line} lies between its neighbours, so it is neither "
                "high nor low water; one is missing, or a height is wrong."
            )
        if row.is_high is not None and row.is_high != above[0]:
            kind = "high" if row.is_high else "low"
            raise UserError(
                f"{place} {row.line} is marked as {kind} water, but its height is "
                f"{'below' if row.is_high else 'above'} its neighbours'."
            )
        highs.append(above[0])
    return highs


def _stand_note(pairs: int) -> str:
    many = "A pair of turns is" if pairs == 1 else f"{pairs} pairs of turns are"
    return (
        f"{many} left out in which the high water is not above the low water: the "
        "tide stands there."
    )


def _odd_legs(turns: tuple[Turn, ...]) -> list[str]:
    """One note on gaps that an authority's marks make credible."""
    odd = sum(not is_of_possible_length(a, b) for a, b in pairwise(turns))
    if not odd:
        return []
    legs = "1 rise or fall lasts" if odd == 1 else f"{odd} rises or falls last"
    return [
        f"{legs} under 3 or over 16 hours, as where a tide nearly stands; nothing is "
        "told about the water within."
    ]


def _gaps(turns: tuple[Turn, ...], at: dict[datetime, int], place: str) -> list[str]:
    notes = []
    for before, after in pairwise(turns):
        if not is_of_possible_length(before, after):
            hours = (after.instant - before.instant) / timedelta(hours=1)
            notes.append(
                f"{place} {at[after.instant]} comes {hours:.1f} h after the one before "
                "it; if one is missing, type it. Nothing is told about the tide "
                "between them."
            )
    return notes
