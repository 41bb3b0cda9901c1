"""When the tide stands low enough: exact, from turn to turn.

On half a cosine every level is passed once and the moment can be written down,
so nothing is sampled and no window, however short, can fall between samples.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.times import Span


@dataclass(frozen=True, slots=True)
class Window:
    """A span in which the water stands at or below a level.

    An open end is where the table or the asked span ends: the water was still
    low enough there, and nothing is known or was asked about what lies beyond.
    """

    start: datetime
    stop: datetime
    is_open_at_start: bool = False
    is_open_at_stop: bool = False

    @property
    def span(self) -> Span:
        """From its start to its stop."""
        return Span(self.start, self.stop)


def windows_below(
    turns: tuple[Turn, ...], level_m: float, start: datetime, stop: datetime
) -> tuple[Window, ...]:
    """When the cosine between turns is at or below a level, within an asked span.

    A level that a low water only touches gives no window.  Empty for a nan.
    """
    return _windows(turns, lambda _before, _after: level_m, start, stop)


def windows_above(
    turns: tuple[Turn, ...], level_m: float, start: datetime, stop: datetime
) -> tuple[Window, ...]:
    """When the cosine between turns is above a level, within an asked span.

    A level that a high water only touches gives no window.  Empty for a nan.
    """
    # Upside down, high water becomes low, and the cosine stays one.
    flipped = tuple(Turn(t.instant, -t.height_m, not t.is_high) for t in turns)
    return _windows(flipped, lambda _before, _after: -level_m, start, stop)


def passable_windows(
    table: TideTable,
    shut_above_m: float,
    span: Span,
    margins: Margins,
    pressure_hpa: float | None = None,
) -> tuple[Window, ...]:
    """When a way that shuts above a level is open with all margins.

    From the level is taken, for each rise or fall by itself, what the method
    may be wrong by, and what the weather may add at that port.
    """
    weather_m = margins.weather_m(table.exposure, pressure_hpa)
    return passable_with(table, shut_above_m, span, margins, weather_m)


def passable_with(
    table: TideTable,
    shut_above_m: float,
    span: Span,
    margins: Margins,
    weather_m: float,
) -> tuple[Window, ...]:
    """The same as `passable_windows` with the weather's margin given in metres."""

    def level_m(before: Turn, after: Turn) -> float:
        return shut_above_m - weather_m - margins.prediction_m(before, after)

    return _windows(table.turns, level_m, span.start, span.stop)


def latest_start(window: Window, crossing: timedelta, reserve: timedelta) -> datetime:
    """The latest time to step on to a crossing before a window closes.

    A window closes on a rising tide, so the reserve is kept before its end;
    where its end is open nothing is known beyond, and it counts as the end.
    May lie before the window opens: then there is not time enough at all.
    """
    return window.stop - reserve - crossing


def _windows(
    turns: tuple[Turn, ...],
    level_m: Callable[[Turn, Turn], float],
    start: datetime,
    stop: datetime,
) -> tuple[Window, ...]:
    if len(turns) < 2:
        return ()
    first = max(start, turns[0].instant)
    last = min(stop, turns[-1].instant)

    # Only the turns about what is asked: a table holds a year of them.
    begin = bisect_right(turns, first, key=_instant_of)
    end = bisect_left(turns, last, key=_instant_of)
    spans: list[Span] = []
    for before, after in pairwise(turns[max(begin - 1, 0) : end + 1]):
        low = _low_part(before, after, level_m(before, after))
        if low is None:
            continue
        clipped = Span(max(low.start, first), min(low.stop, last))
        if clipped.stop <= clipped.start:
            continue
        if spans and spans[-1].stop == clipped.start:
            clipped = Span(spans.pop().start, clipped.stop)
        spans.append(clipped)

    return tuple(
        Window(span.start, span.stop, span.start == first, span.stop == last)
        for span in spans
    )


def _instant_of(turn: Turn) -> datetime:
    return turn.instant


def _low_part(before: Turn, after: Turn, level_m: float) -> Span | None:
    """The part of one rise or fall that is at or below a level."""
    starts_low = before.height_m <= level_m
    ends_low = after.height_m <= level_m
    if starts_low and ends_low:
        return Span(before.instant, after.instant)
    if starts_low:
        return Span(before.instant, _passing(before, after, level_m))
    if ends_low:
        return Span(_passing(before, after, level_m), after.instant)
    return None


def _passing(before: Turn, after: Turn, level_m: float) -> datetime:
    """When the cosine between two turns passes a level that lies between them."""
    share = (level_m - before.height_m) / (after.height_m - before.height_m)
    part = math.acos(1.0 - 2.0 * min(1.0, max(0.0, share))) / math.pi
    return before.instant + (after.instant - before.instant) * part
