"""Closed rings of points: cut to a box, thinned, and their shores without the cuts.

A ring is an array of shape (n, 2), longitude and latitude in degrees; its last point
joins its first.
"""

from __future__ import annotations

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.material.box import Box

_LON, _LAT = 0, 1


def clipped(ring: Array, box: Box) -> Array:
    """The part of a ring in a box; empty where they do not meet.

    Parts that hang together outside the box stay joined along its edge, by lines
    of no width: the even-odd rule holds at every point inside.

    Source: Sutherland and Hodgman, Reentrant Polygon Clipping, Communications of
    the ACM 17 (1974) 32.
    """
    edges = (
        (_LON, box.west_deg, 1.0),
        (_LON, box.east_deg, -1.0),
        (_LAT, box.south_deg, 1.0),
        (_LAT, box.north_deg, -1.0),
    )
    for axis, limit_deg, sign in edges:
        ring = _cut(ring, axis, limit_deg, sign)
        if not len(ring):
            break
    return ring


def thinned(ring: Array, cell_deg: float) -> Array:
    """A ring without the points that lie in the same cell as the one before."""
    if len(ring) < 5:
        return ring
    cells = np.floor(ring / cell_deg)
    moved = np.any(cells[1:] != cells[:-1], axis=1)
    kept = ring[np.concatenate(([True], moved))]
    return kept if len(kept) > 2 else ring[:: max(1, len(ring) // 3)][:4]


def shores(ring: Array, box: Box) -> list[Array]:
    """The lines of a clipped ring, closed again, without what runs along the box."""
    closed = np.concatenate((ring, ring[:1]))
    on_edge = np.zeros(len(ring), dtype=bool)
    for axis, limit_deg in (
        (_LON, box.west_deg),
        (_LON, box.east_deg),
        (_LAT, box.south_deg),
        (_LAT, box.north_deg),
    ):
        at = closed[:, axis] == limit_deg
        on_edge |= at[:-1] & at[1:]
    breaks = np.flatnonzero(on_edge)
    if not len(breaks):
        return [closed]
    # Turned so that the ring begins behind a break: no line is parted at its seam.
    turned = np.roll(ring, -(breaks[0] + 1), axis=0)
    ends = np.append(breaks[1:] - breaks[0], len(ring)) - 1
    lines, start = [], 0
    for end in ends:
        if end > start:
            lines.append(turned[start : end + 1])
        start = end + 1
    return lines


def holds(rings: list[Array], lon_deg: float, lat_deg: float) -> bool:
    """Whether a point lies inside, by the even-odd rule over all the rings."""
    crossings = 0
    for ring in rings:
        x, y = ring[:, _LON] - lon_deg, ring[:, _LAT] - lat_deg
        next_x, next_y = np.roll(x, -1), np.roll(y, -1)
        met = np.flatnonzero((y > 0.0) != (next_y > 0.0))
        share = y[met] / (y[met] - next_y[met])
        crossings += int(np.count_nonzero(x[met] + share * (next_x - x)[met] > 0.0))
    return crossings % 2 == 1


def _cut(ring: Array, axis: int, limit_deg: float, sign: float) -> Array:
    """What of a ring lies on one side of a line; `sign` 1 keeps what is above."""
    within = (ring[:, axis] >= limit_deg) if sign > 0 else (ring[:, axis] <= limit_deg)
    if within.all():
        return ring
    if not within.any():
        return ring[:0]
    following = np.roll(within, -1)
    kept, crossed = np.flatnonzero(within), np.flatnonzero(within != following)
    a = ring[crossed].astype(np.float64)
    b = ring[(crossed + 1) % len(ring)].astype(np.float64)
    share = (limit_deg - a[:, axis]) / (b[:, axis] - a[:, axis])
    met = a + share[:, None] * (b - a)
    met[:, axis] = limit_deg  # exactly, so that the cut is known again
    order = np.argsort(np.concatenate((2 * kept, 2 * crossed + 1)), kind="stable")
    return np.concatenate((ring[kept].astype(np.float64), met))[order]
