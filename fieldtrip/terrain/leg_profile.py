"""Up and down along a way, as the ground's heights tell it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Line, distance_m
from fieldtrip.terrain.earth import along_geodesic
from fieldtrip.terrain.grid import ElevationGrid

_MOST_SAMPLES = 50_000
_SMOOTHED_CELLS = 3.0  # heights of single cells are uncertain by metres
_LEAST_SMOOTHED_M = 30.0
_STEEPNESS_OVER_M = 20.0
# Ups and downs of less are the model's own noise.  Common practice, no source.
LEAST_CLIMB_M = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class LegProfile:
    """Heights along a way, from its first point to its last, and what they come to."""

    distances_m: Array  # (n,)
    heights_m: Array  # smoothed; above mean sea level
    ascent_m: float
    descent_m: float  # positive
    steepest_deg: float  # whether up or down
    steepest_at_m: float  # from the start


def leg_profile(
    grid: ElevationGrid, line: Line, *, least_climb_m: float = LEAST_CLIMB_M
) -> LegProfile | None:
    """The profile of a way, or None where ground on it is not known.

    Heights are smoothed over three cells, and a climb counts once it is longer than
    the model's own noise.  Steps and crags shorter than a cell do not show.
    """
    pieces = [(a, b, distance_m(a, b)) for a, b in pairwise(line)]
    length_m = sum(piece_m for *_, piece_m in pieces)
    if length_m == 0.0:
        return None
    cell_m = min(grid.cell_at_m(line[0].lat_deg))
    step_m = max(0.5 * cell_m, length_m / _MOST_SAMPLES)
    count = max(3, 1 + math.ceil(length_m / step_m))
    distances_m = np.linspace(0.0, length_m, count)
    raw_m = np.empty(count)
    start_m = 0.0
    for a, b, piece_m in pieces:
        if piece_m == 0.0:
            continue
        # Rounding may leave the last sample beyond the end.
        is_here = distances_m >= start_m
        parts = np.minimum((distances_m[is_here] - start_m) / piece_m, 1.0)
        raw_m[is_here] = grid.heights_at(*along_geodesic(a, b, parts))
        start_m += piece_m
    if np.isnan(raw_m).any():
        return None

    spacing_m = length_m / (count - 1)
    window_m = max(_SMOOTHED_CELLS * cell_m, _LEAST_SMOOTHED_M)
    heights_m = _smoothed(raw_m, round(0.5 * window_m / spacing_m))
    ascent_m, descent_m = _climbs(heights_m, least_climb_m)
    steepest_deg, at_m = _steepest(distances_m, heights_m, spacing_m)
    return LegProfile(distances_m, heights_m, ascent_m, descent_m, steepest_deg, at_m)


def _smoothed(heights_m: Array, half: int) -> Array:
    """Running mean over `half` samples on either side, ends kept, slopes too."""
    half = min(half, len(heights_m) - 1)
    if half < 1:
        return heights_m
    # Turned about its ends the profile runs on, so that they stay where they are.
    before = 2.0 * heights_m[0] - heights_m[half:0:-1]
    after = 2.0 * heights_m[-1] - heights_m[-2 : -half - 2 : -1]
    run = np.concatenate([[0.0], np.cumsum(np.concatenate([before, heights_m, after]))])
    width = 2 * half + 1
    return np.asarray((run[width:] - run[:-width]) / width)


def _climbs(heights_m: Array, least_m: float) -> tuple[float, float]:
    """Ascent and descent between turning points that lie `least_m` apart or more.

    The last point counts whatever it is, so that the two differ by what the ends do.
    """
    turns = [float(heights_m[0])]
    low = high = turns[0]
    direction = 0  # 1 up, -1 down; 0 before the first climb that counts
    for height in heights_m.tolist():
        low = min(low, height) if direction <= 0 else low
        high = max(high, height) if direction >= 0 else high
        if direction >= 0 and high - height >= least_m:
            if direction > 0:
                turns.append(high)
            direction, low = -1, height
        elif direction <= 0 and height - low >= least_m:
            if direction < 0:
                turns.append(low)
            direction, high = 1, height
    turns.append(float(heights_m[-1]))
    steps = [b - a for a, b in pairwise(turns)]
    return (
        sum(step for step in steps if step > 0.0),
        -sum(step for step in steps if step < 0.0),
    )


def _steepest(
    distances_m: Array, heights_m: Array, spacing_m: float
) -> tuple[float, float]:
    """The steepest stretch of some twenty metres, degrees, and where its middle is."""
    apart = min(max(1, round(_STEEPNESS_OVER_M / spacing_m)), len(heights_m) - 1)
    rise = np.abs(heights_m[apart:] - heights_m[:-apart]) / (apart * spacing_m)
    at = int(rise.argmax())
    middle_m = 0.5 * (distances_m[at] + distances_m[at + apart])
    return math.degrees(math.atan(float(rise[at]))), float(middle_m)
