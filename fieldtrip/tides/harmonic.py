"""A tide curve from harmonic constants: its turns, and windows to the millisecond.

The slope is looked at every ten minutes, and each high and low water found where
it changes sign.  Between two of them the water only rises or only falls, so that
it passes a level once or not at all, and no window can fall between samples.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array, Instants
from fieldtrip.tides.constants import Unrecognised
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.prediction import DAY_MS, DayTable, HarmonicSum
from fieldtrip.tides.records import Turn
from fieldtrip.tides.windows import Window
from fieldtrip.times import Span, to_instant

# NOAA's tables leave out a pair of turns less than two hours apart; found from the
# tables themselves, no document.
SHORTEST_STAND = timedelta(hours=2)
_STEP_MS = 600_000
_HOUR_MS = 3_600_000.0
_STEP_H = _STEP_MS / _HOUR_MS
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_CLOSE_ENOUGH_MS = 0.5
_ROUNDS = 60  # halving ten minutes takes 21
# Beyond what a margin is worth on the cosine, a curve is not to be relied on.
_GOOD_M, _LOW_M = 0.15, 0.30


Indices = npt.NDArray[np.int64]


@dataclass(frozen=True)
class HarmonicCurve:
    """The tide of a port for any date, from its constants or from a fitted year."""

    tide: HarmonicSum
    fit_margin_m: float = 0.0  # what a fitted year may be wrong by beyond the usual

    @property
    def datum(self) -> str:
        """What heights count from; empty if nobody said."""
        return self.tide.constants.datum

    @property
    def unrecognised(self) -> Unrecognised:
        """The constituents that the prediction leaves out."""
        return self.tide.constants.unrecognised()

    @property
    def lacking(self) -> tuple[str, ...]:
        """The main constituents without which the curve is not to be relied on."""
        return self.tide.constants.lacking()

    def covers(self, span: Span) -> bool:
        """Whether the whole of a span can be predicted: always."""
        return span.start <= span.stop

    def heights_m(self, instants: Instants) -> Array:
        """Heights above the datum, in the shape of `instants`."""
        return self.tide.heights_m(instants)

    def grid_m(self, start: datetime, step_s: float, count: int) -> Array:
        """Heights on an even grid, shape (count,)."""
        return self.tide.grid_m(start, step_s, count)

    def confidence(self, span: Span) -> Confidence:
        """How far it can be relied on; the same everywhere."""
        del span
        margin_m = self.prediction_margin_m(None, Margins())
        if margin_m > _LOW_M or self.lacking:
            return Confidence.UNKNOWN
        return Confidence.LOW if margin_m > _GOOD_M else Confidence.GOOD

    def prediction_margin_m(self, span: Span | None, margins: Margins) -> float:
        """How far the sea without weather may stand above it; the same everywhere."""
        del span
        left_out_m = self.unrecognised.amplitude_m
        return margins.constants_m + left_out_m + self.fit_margin_m

    def turns(self, span: Span) -> tuple[Turn, ...]:
        """High and low waters within a span, both ends belonging to it.

        Of turns less than two hours apart the pair with the least between them is
        left out, as printed tables do: such a tide stands.
        """
        start_ms, stop_ms = _ms(span.start), _ms(span.stop)
        found = self._stationary(start_ms - DAY_MS, stop_ms + DAY_MS)
        kept = _without_stands(found)
        inside = (kept.at_ms >= start_ms) & (kept.at_ms <= stop_ms)
        return tuple(
            Turn(_instant(at), float(height), bool(is_high))
            for at, height, is_high in zip(
                kept.at_ms[inside],
                kept.height_m[inside],
                kept.is_high[inside],
                strict=True,
            )
        )

    def windows_below(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands at or below a level, within an asked span.

        An end is open where the water stays low beyond the span.  Empty for a nan.
        """
        return self._windows(level_m, span, is_below=True)

    def windows_above(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands above a level, within an asked span.

        The complement of `windows_below`.  Empty for a nan.
        """
        return self._windows(level_m, span, is_below=False)

    def passable_windows(
        self, shut_above_m: float, span: Span, margins: Margins, weather_m: float
    ) -> tuple[Window, ...]:
        """When a way that shuts above a level is open with all margins."""
        margin_m = weather_m + self.prediction_margin_m(span, margins)
        return self.windows_below(shut_above_m - margin_m, span)

    def _windows(
        self, level_m: float, span: Span, *, is_below: bool
    ) -> tuple[Window, ...]:
        start_ms, stop_ms = _ms(span.start), _ms(span.stop)
        if stop_ms <= start_ms or math.isnan(level_m):
            return ()
        table = self.tide.days(start_ms - _STEP_MS, stop_ms + _STEP_MS)
        at_ms, height_m, slope = self._pieces(start_ms, stop_ms, level_m, table)
        is_open = (height_m <= level_m) == is_below
        change = np.flatnonzero(is_open[:-1] != is_open[1:])

        def past(at_ms: Array) -> tuple[Array, Array]:
            motion = self.tide.motion(at_ms, table)
            return motion.height_m - level_m, motion.slope_m_h

        passed = _roots(past, at_ms, height_m - level_m, slope, change)
        edges = [_instant(at) for at in passed]
        if is_open[0]:
            edges.insert(0, span.start)
        if is_open[-1]:
            edges.append(span.stop)
        pairs = zip(edges[::2], edges[1::2], strict=True)
        return tuple(
            Window(
                start,
                stop,
                bool(is_open[0]) and start == span.start,
                bool(is_open[-1]) and stop == span.stop,
            )
            for start, stop in pairs
            if start < stop
        )

    def _pieces(
        self, start_ms: int, stop_ms: int, level_m: float, table: DayTable
    ) -> tuple[Array, Array, Array]:
        """Instants between which a level is passed once or not; height and slope.

        Every ten minutes, and where the water turns between two of them close
        enough to the level to reach it and go back.
        """
        at_ms = _steps_ms(start_ms, stop_ms)
        height_m, slope = self._grid(at_ms, [0, 1], table)
        # Nothing beyond the ends; the steps lie around them.
        ends = np.array([start_ms, stop_ms], dtype=np.float64)
        ended = self.tide.motion(ends, table)
        at_ms[[0, -1]] = ends
        height_m[[0, -1]], slope[[0, -1]] = ended.height_m, ended.slope_m_h

        past = height_m - level_m
        reach_m = np.maximum(np.abs(slope[:-1]), np.abs(slope[1:])) * _STEP_H
        turns = (slope[:-1] > 0.0) != (slope[1:] > 0.0)
        is_near = np.minimum(np.abs(past[:-1]), np.abs(past[1:])) <= reach_m
        is_one_side = (past[:-1] > 0.0) == (past[1:] > 0.0)
        place = np.flatnonzero(turns & is_near & is_one_side)
        turned_ms = self._turned(at_ms, slope, place, table)
        turned = self.tide.motion(turned_ms, table)
        return (
            np.insert(at_ms, place + 1, turned_ms),
            np.insert(height_m, place + 1, turned.height_m),
            np.insert(slope, place + 1, turned.slope_m_h),
        )

    def _stationary(self, start_ms: int, stop_ms: int) -> _Stationary:
        """Every instant at which the water neither rises nor falls."""
        table = self.tide.days(start_ms - _STEP_MS, stop_ms + _STEP_MS)
        at_ms = _steps_ms(start_ms, stop_ms)
        (slope,) = self._grid(at_ms, [1], table)
        rises = slope > 0.0
        change = np.flatnonzero(rises[:-1] != rises[1:])
        found = self._turned(at_ms, slope, change, table)
        height_m = self.tide.motion(found, table).height_m
        return _Stationary(found, height_m, rises[change])

    def _turned(
        self, at_ms: Array, slope: Array, places: Indices, table: DayTable
    ) -> Array:
        """Where the water turns after each of some places."""

        def slope_and_curvature(at_ms: Array) -> tuple[Array, Array]:
            motion = self.tide.motion(at_ms, table)
            return motion.slope_m_h, motion.curvature_m_h2

        # The slopes before and after tell the curvature well enough to start from.
        curvature = np.zeros_like(slope)
        curvature[1:-1] = (slope[2:] - slope[:-2]) / (2.0 * _STEP_H)
        return _roots(slope_and_curvature, at_ms, slope, curvature, places)

    def _grid(
        self, at_ms: Array, orders: Sequence[int], table: DayTable
    ) -> list[Array]:
        first_ms = int(at_ms[0])
        return self.tide.even_grid(first_ms, _STEP_MS, len(at_ms), orders, table)


@dataclass(frozen=True, slots=True)
class _Stationary:
    """Highs and lows in turn; arrays of one shape."""

    at_ms: Array
    height_m: Array
    is_high: npt.NDArray[np.bool_]

    def without(self, index: int) -> _Stationary:
        """All but a pair."""
        pair = [index, index + 1]
        return _Stationary(
            np.delete(self.at_ms, pair),
            np.delete(self.height_m, pair),
            np.delete(self.is_high, pair),
        )


def _without_stands(found: _Stationary) -> _Stationary:
    while True:
        near = np.diff(found.at_ms) < SHORTEST_STAND / timedelta(milliseconds=1)
        if not near.any():
            return found
        between = np.where(near, np.abs(np.diff(found.height_m)), np.inf)
        found = found.without(int(np.argmin(between)))


def _roots(
    value_and_slope: Callable[[Array], tuple[Array, Array]],
    at_ms: Array,
    values: Array,
    slopes: Array,
    places: Indices,
) -> Array:
    """Where a function passes nought once between an instant and the next.

    Its values and slopes per hour are known at `at_ms`; it passes after each of
    `places`.  Starts on the cubic through them and goes on by Newton's steps, and
    by halves where one would leave its bracket.  Whole milliseconds.
    """
    low, high = at_ms[places], at_ms[places + 1]
    starts_above = values[places] > 0.0
    hours = (high - low) / _HOUR_MS
    at = low + (high - low) * _on_cubic(
        values[places],
        values[places + 1],
        slopes[places] * hours,
        slopes[places + 1] * hours,
    )
    left = np.arange(len(at))
    for _ in range(_ROUNDS):
        if not len(left):
            break
        value, slope = value_and_slope(at[left])
        is_before = (value > 0.0) == starts_above[left]
        low[left] = np.where(is_before, at[left], low[left])
        high[left] = np.where(is_before, high[left], at[left])
        with np.errstate(divide="ignore", invalid="ignore"):
            step = at[left] - value / slope * _HOUR_MS
        is_inside = (step >= low[left]) & (step <= high[left])
        after = np.where(is_inside, step, (low[left] + high[left]) / 2.0)
        moved = np.abs(after - at[left])
        at[left] = after
        left = left[moved > _CLOSE_ENOUGH_MS]
    return np.asarray(np.round(at))


def _on_cubic(first: Array, last: Array, rise: Array, end: Array) -> Array:
    """Where the cubic on 0..1 with these ends and end slopes is nought, nearly."""
    cubic, square = 2.0 * (first - last) + rise + end, 3.0 * (last - first)
    square -= 2.0 * rise + end
    x = first / (first - last)
    for _ in range(4):
        value = ((cubic * x + square) * x + rise) * x + first
        slope = (3.0 * cubic * x + 2.0 * square) * x + rise
        with np.errstate(divide="ignore", invalid="ignore"):
            step = x - value / slope
        x = np.where((step >= 0.0) & (step <= 1.0), step, x)
    return x


def _steps_ms(start_ms: int, stop_ms: int) -> Array:
    """Every whole ten minutes, the last before a span and the first after it too."""
    first, last = start_ms // _STEP_MS, -(-stop_ms // _STEP_MS)
    return np.arange(first, last + 1).astype(np.float64) * _STEP_MS


def _ms(instant: datetime) -> int:
    return int(to_instant(instant).astype(np.int64))


def _instant(at_ms: float) -> datetime:
    return _EPOCH + timedelta(milliseconds=int(at_ms))
