"""The height of the tide between printed high and low waters."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.tides.margins import (
    Margins,
    is_of_possible_length,
    is_of_usual_length,
)
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.times import to_instant, unix_seconds


class Confidence(StrEnum):
    """How far a height between two printed turns can be relied on."""

    GOOD = "good"
    LOW = "low"  # the rise or fall does not last from 5 to 7 hours
    UNKNOWN = "not known"  # a shallow or estuarine port, or nobody said; or a gap


@dataclass(frozen=True, slots=True)
class Height:
    """A height of the tide, and what is known about its error."""

    height_m: float  # above the table's datum
    margin_m: float  # of the prediction; the weather comes on top
    confidence: Confidence


def heights_m(turns: tuple[Turn, ...], instants: Instants) -> Array:
    """Heights above the table's datum along half a cosine from turn to turn.

    The shape of `instants`; nan before the first turn and after the last.

    Source: New Zealand Nautical Almanac 2013-14, pp. 32-33 (the same method is
    in the Admiralty and the Australian tables).
    """
    at = unix_seconds(instants)
    if len(turns) < 2:
        return np.full(at.shape, np.nan)
    times = unix_seconds(np.array([to_instant(turn.instant) for turn in turns]))
    heights = np.array([turn.height_m for turn in turns])

    index = np.clip(np.searchsorted(times, at, side="right") - 1, 0, len(turns) - 2)
    part = (at - times[index]) / (times[index + 1] - times[index])
    first, second = heights[index], heights[index + 1]
    curve = first + (second - first) * (1.0 - np.cos(np.pi * part)) / 2.0

    return np.where((at >= times[0]) & (at <= times[-1]), curve, np.nan)


def height_at(
    table: TideTable, instant: datetime, margins: Margins | None = None
) -> Height | None:
    """The height at an instant; None outside the table."""
    found = leg_at(table.turns, instant)
    if found is None:
        return None
    before, after = found
    part = (instant - before.instant) / (after.instant - before.instant)
    rise = (after.height_m - before.height_m) * (1.0 - math.cos(math.pi * part)) / 2.0
    return Height(
        before.height_m + rise,
        (margins or Margins()).prediction_m(before, after),
        confidence_between(table, before, after),
    )


def leg_at(turns: tuple[Turn, ...], instant: datetime) -> tuple[Turn, Turn] | None:
    """The turns before and after an instant; None outside the table."""
    if len(turns) < 2 or not turns[0].instant <= instant <= turns[-1].instant:
        return None
    index = bisect_right(turns, instant, key=lambda turn: turn.instant)
    index = min(index, len(turns) - 1)
    return turns[index - 1], turns[index]


def confidence_between(table: TideTable, before: Turn, after: Turn) -> Confidence:
    """How far the cosine between two turns of a table can be relied on.

    At a shallow or estuarine port it can be wrong by more than a metre, and
    a port of which nobody said that it is none might be one.  Between turns
    that lie too far apart one is missing.
    """
    if table.is_distorted is not False or not is_of_possible_length(before, after):
        return Confidence.UNKNOWN
    return Confidence.GOOD if is_of_usual_length(before, after) else Confidence.LOW
