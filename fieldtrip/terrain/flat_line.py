"""Lines on a plane, in metres."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array


def distances_to_line_m(points: Array, line: Array) -> Array:
    """How far points, (..., 2), lie from a line, (n, 2), of one point or more."""
    nearest = np.hypot(points[..., 0] - line[0, 0], points[..., 1] - line[0, 1])
    for start, end in pairwise(line):
        along = end - start
        length2 = float(along @ along)
        if length2 == 0.0:
            continue
        part = np.clip(((points - start) @ along) / length2, 0.0, 1.0)
        off = points - start - part[..., None] * along
        np.minimum(nearest, np.hypot(off[..., 0], off[..., 1]), out=nearest)
    return np.asarray(nearest)


def simplified(points: Array, tolerance: float) -> npt.NDArray[np.intp]:
    """The numbers of the points that keep a line within a tolerance of itself.

    Source: Douglas and Peucker, Cartographica 10 (1973) 112.
    """
    kept = {0, len(points) - 1}
    waiting = [(0, len(points) - 1)]
    while waiting:
        first, last = waiting.pop()
        if last - first < 2:
            continue
        between = points[first + 1 : last]
        off = distances_to_line_m(between, points[[first, last]])
        farthest = int(off.argmax())
        if off[farthest] > tolerance:
            middle = first + 1 + farthest
            kept.add(middle)
            waiting += [(first, middle), (middle, last)]
    return np.array(sorted(kept), dtype=np.intp)
