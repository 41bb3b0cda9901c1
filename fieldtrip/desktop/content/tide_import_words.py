"""Words of the window in which tide files come in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from itertools import pairwise
from typing import TypeVar

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.exchange.tide_bytes import one_line
from fieldtrip.exchange.tide_facts import (
    Facts,
    mean_range_m,
)
from fieldtrip.exchange.tide_file import TideFile
from fieldtrip.exchange.tide_rows import TurnsRead
from fieldtrip.exchange.tide_text import zone_name
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.fit import Fit
from fieldtrip.tides.margins import LONGEST_POSSIBLE, is_of_possible_length
from fieldtrip.tides.records import Turn
from fieldtrip.times import zone_of
from fieldtrip.wording import count_text, number_text, short_date_text, zone_text

T = TypeVar("T")
TIMED_COLUMNS = ("", "In the file’s zone", "UTC", "Height")
RAW_COLUMNS = ("", "As it stands in the file", "", "Height")
CONSTANT_COLUMNS = ("", "Amplitude", "Phase at Greenwich", "")
_SHOWN = 8  # rows at each end
_NOTES = 4


def fit_text(fit: Fit | None) -> str:
    """How well a curve gives back what it was found from."""
    if fit is None:
        return "\nThe curve for other dates is still to be found."
    return (
        f"\nThe curve gives the {fit.count:,} heights back with a typical difference "
        f"of {number_text(fit.rms_m * 100.0, 1)} cm; a table printed to a decimetre "
        "leaves 2.9 cm by its rounding."
    )


def fit_notes(fit: Fit | None) -> tuple[str, ...]:
    """What is to be feared of a curve."""
    if fit is None or fit.curve().confidence(fit.span) is Confidence.GOOD:
        return ()
    return (
        "The curve does not tell the water between high and low within "
        f"{number_text(fit.margin_m, 2)} m, as at a shallow or estuarine port: do not "
        "rely on it.",
    )


def gap_doubt(read: TurnsRead, *, is_marked: bool) -> str:
    """A question about gaps; short ones in an authority's marked table are none.

    There the tide nearly stands, as where one tide a day prevails.
    """
    odd = [
        after.instant
        for before, after in pairwise(read.turns)
        if after.instant - before.instant > LONGEST_POSSIBLE
        or (not is_marked and not is_of_possible_length(before, after))
    ]
    if not odd:
        return ""
    gaps = count_text(len(odd), "gap")
    short = "" if is_marked else "under 3 or "
    return (
        f"{gaps} between turns of {short}over 16 hours, the first before "
        f"{odd[0]:%Y-%m-%d %H:%M} UTC: is a turn missing?"
    )


def some_of(notes: tuple[str, ...]) -> tuple[str, ...]:
    """The first notes, and how many there are besides."""
    more = len(notes) - _NOTES
    return (*notes[:_NOTES], f"… and {more} more notes.") if more > 1 else notes


def layout_text(files: Sequence[TideFile]) -> str:
    """Of which layouts files are."""
    return "; ".join(dict.fromkeys(file.layout for file in files))


def turns_summary(
    files: Sequence[TideFile], turns: tuple[Turn, ...], known: Facts
) -> str:
    """How many turns, from when to when, and how high."""
    highs = sum(turn.is_high for turn in turns)
    told = f"{count_text(highs, 'high')} and {count_text(len(turns) - highs, 'low')}"
    instants = [turns[0].instant, turns[-1].instant]
    heights = np.array([turn.height_m for turn in turns])
    return (
        f"{layout_text(files)}: {told}, {days_text(instants, known.zone)}"
        f"{range_text(heights)}"
    )


def days_text(instants: Sequence[datetime], zone: str) -> str:
    """From which day to which, with the zone."""
    tz = zone_of(zone_name(zone))
    first, last = (instant.astimezone(tz).date() for instant in instants)
    clock = zone_text(instants[0], zone_name(zone))
    return (
        f"{short_date_text(first)} {first:%Y} to {short_date_text(last)} {last:%Y}, "
        f"the first in {clock}"
    )


def range_text(heights_m: Array) -> str:
    """The lowest, the highest and the mean range."""
    mean_m = mean_range_m(heights_m)
    if mean_m is None:
        return ""
    low, high = (number_text(float(v), 2) for v in (heights_m.min(), heights_m.max()))
    return f"; {low} to {high} m, mean range {number_text(mean_m, 2)} m"


def row_of(
    instant: datetime, height_m: float, known: Facts, is_high: bool | None
) -> tuple[str, str, str, str]:
    """One line of the preview."""
    local = instant.astimezone(zone_of(zone_name(known.zone)))
    utc = instant.astimezone(UTC)
    word = {True: "high", False: "low", None: ""}[is_high]
    return (
        word,
        f"{short_date_text(local.date())} {local:%Y} {local:%H:%M}",
        f"{utc:%H:%M}" if utc.date() == local.date() else f"{utc:%d %b %H:%M}",
        f"{number_text(height_m, 2)} m",
    )


def ends_of(items: Sequence[T]) -> list[T]:
    """The first and the last few, or all where there are not many more."""
    if len(items) <= 2 * _SHOWN:
        return list(items)
    return [*items[:_SHOWN], *items[-_SHOWN:]]


def with_break(
    rows: list[tuple[str, str, str, str]], count: int
) -> tuple[tuple[str, ...], ...]:
    """The first and the last, with how many lie between."""
    between = count - len(rows)
    if between <= 0:
        return tuple(rows)
    return (*rows[:_SHOWN], ("", f"… {between:,} more …", "", ""), *rows[_SHOWN:])


def raw_rows(file: TideFile) -> tuple[tuple[str, ...], ...]:
    """The first and the last as they stand there, while zone or unit are open."""
    if file.constants:
        return tuple(
            (c.name, f"{c.amplitude:g} {file.unit}", f"{c.greenwich_phase_deg:g}°", "")
            for c in file.constants
        )
    if file.text:
        lines = [line for line in file.text.splitlines() if line.strip()]
        told = [("", one_line(line, 80), "", "") for line in ends_of(lines)]
        return with_break(told, len(lines))
    readings = file.turns or file.series
    rows = [
        (
            {True: "high", False: "low", None: ""}[reading.is_high],
            f"{short_date_text(reading.clock.date())} {reading.clock:%Y} "
            f"{reading.clock:%H:%M}",
            "",
            f"{reading.height:g} {file.unit}".rstrip(),
        )
        for reading in ends_of(readings)
    ]
    return with_break(rows, len(readings))
