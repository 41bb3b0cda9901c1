"""Takes points out of a recorded line that change nothing one could see."""

from __future__ import annotations

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Line

_METRES_PER_DEGREE = 111_320.0  # on the equator; near enough to compare offsets


def thinned(line: Line, tolerance_m: float) -> Line:
    """A line from which no left-out point lies farther than a tolerance in metres.

    First and last stay.  Source: Douglas and Peucker, The Canadian Cartographer 10
    (1973), on a plane about the line's middle.
    """
    if len(line) < 3:
        return line
    flat = _flat_m(line)
    kept = np.zeros(len(line), dtype=bool)
    kept[[0, -1]] = True
    waiting = [(0, len(line) - 1)]
    while waiting:
        first, last = waiting.pop()
        if last - first < 2:
            continue
        off = _offsets_m(flat[first + 1 : last], flat[first], flat[last])
        farthest = int(np.argmax(off))
        if off[farthest] > tolerance_m:
            middle = first + 1 + farthest
            kept[middle] = True
            waiting += [(first, middle), (middle, last)]
    return tuple(line[k] for k in np.flatnonzero(kept))


def _flat_m(line: Line) -> Array:
    lats = np.array([position.lat_deg for position in line])
    lons = np.unwrap([position.lon_deg for position in line], period=360.0)
    shrink = np.cos(np.radians(0.5 * (lats.min() + lats.max())))
    return np.column_stack([lons * shrink, lats]) * _METRES_PER_DEGREE


def _offsets_m(points: Array, start: Array, end: Array) -> Array:
    """How far points lie from the stretch between two others."""
    along, off = end - start, points - start
    length2 = float(along @ along)
    t = np.clip(off @ along / length2, 0.0, 1.0) if length2 else np.zeros(len(off))
    return np.asarray(np.hypot(*(off - t[:, None] * along).T), dtype=np.float64)
