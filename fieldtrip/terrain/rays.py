"""Heights along straight lines that leave one spot in many directions."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, distance_m
from fieldtrip.terrain.earth import ECCENTRICITY_2, EQUATOR_RADIUS_M
from fieldtrip.terrain.grid import ElevationGrid, Heights

Cells = npt.NDArray[np.float32]


class Rays:
    """Geodesics from a position over a grid, one for each azimuth.

    Latitude and longitude along a geodesic are polynomials of the third degree in
    distance: 0.02 m off at 60 km in latitude 43, 0.3 m in latitude 70.

    Source: Legendre's series for the direct problem, as in Jordan and Eggert,
    Handbuch der Vermessungskunde III.
    """

    def __init__(
        self, grid: ElevationGrid, position: Position, azimuths_deg: Array
    ) -> None:
        row, column = grid.cell_of(position)
        # Counted from the cell of the spot: float32 is fine where the ground is near.
        self._first_row, self._first_column = math.floor(row), math.floor(column)
        self._shape = grid.shape
        self._beyond_m = 0.0 if grid.is_sea_beyond else math.nan
        self.count = len(azimuths_deg)
        self.reach_m = _farthest_m(grid, position)  # beyond it nothing is known
        self._corners, self._row_stride = _corners(grid.heights_m)
        north, east, self._scale_m = _series(position.lat_deg, azimuths_deg)
        north *= -math.degrees(1.0) / grid.row_step_deg
        east *= math.degrees(1.0) / grid.column_step_deg
        north[0], east[0] = row - self._first_row, column - self._first_column
        self._down = north.astype(np.float32)  # (4, azimuths): of powers of distance
        self._right = east.astype(np.float32)

    def heights_m(self, distances_m: Array) -> Heights:
        """Heights, shape (distances, azimuths), bilinear; nan at voids.

        Outside nan too, or 0 where open sea was said to lie there.
        """
        u = distances_m / self._scale_m
        powers = np.stack([u**n for n in range(4)], axis=1).astype(np.float32)
        return self._bilinear(
            np.asarray(powers @ self._down), np.asarray(powers @ self._right)
        )

    def heights_at_own_m(self, distances_m: Array) -> Heights:
        """The same where each azimuth has its own distances, (distances, azimuths)."""
        return self._bilinear(*self._at_own(distances_m))

    def spread_m(self, distances_m: Array) -> Heights:
        """By how much the corners of a cell differ, at one distance per azimuth.

        Shape (azimuths,); nan outside and at voids.
        """
        where, is_outside = self._located(*self._at_own(distances_m[None, :]))
        corners = np.stack([corner.take(where) for corner in self._corners])
        spread_m = np.asarray(corners.max(axis=0) - corners.min(axis=0))
        if is_outside is not None:
            spread_m[is_outside] = np.nan
        return np.asarray(spread_m[0])

    def is_beyond(self, distance_m: float) -> bool:
        """Whether nothing of the grid lies at this distance or farther."""
        return distance_m > self.reach_m

    def _at_own(self, distances_m: Array) -> tuple[Cells, Cells]:
        u = (distances_m / self._scale_m).astype(np.float32)
        down, right = (
            c[0] + u * (c[1] + u * (c[2] + u * c[3])) for c in (self._down, self._right)
        )
        return down, right

    def _bilinear(self, down: Cells, right: Cells) -> Heights:
        where, is_outside = self._located(down, right)
        height, other, below, other_below = (
            corner.take(where) for corner in self._corners
        )
        other -= height
        other *= right
        height += other
        other_below -= below
        other_below *= right
        below += other_below
        below -= height
        below *= down
        height += below
        if is_outside is not None:
            height[is_outside] = self._beyond_m
        return height

    def _located(
        self, down: Cells, right: Cells
    ) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_] | None]:
        """Indices of cells, and which lie outside if any does.

        Takes cells counted from the spot's, and leaves the fractions in their place.
        """
        rows, columns = self._shape
        top, left = -self._first_row, -self._first_column
        bottom, far = top + rows - 1, left + columns - 1
        is_outside = None
        if not (
            down.min() >= top
            and down.max() < bottom
            and right.min() >= left
            and right.max() < far
        ):
            is_outside = (down < top) | (down > bottom) | (right < left) | (right > far)
            np.clip(down, top, _just_before(bottom), out=down)
            np.clip(right, left, _just_before(far), out=right)
        row, column = np.floor(down), np.floor(right)
        down -= row
        right -= column
        cell = row.astype(np.int32)
        cell *= self._row_stride
        cell += column.astype(np.int32)
        cell += self._first_row * self._row_stride + self._first_column
        return cell.astype(np.intp), is_outside  # once, instead of inside each take


class NestedRays:
    """Rays over a fine grid round a spot, and over a coarser one where it ends."""

    def __init__(self, near: Rays, far: Rays) -> None:
        self._near, self._far = near, far
        self.count = near.count
        self.reach_m = max(near.reach_m, far.reach_m)

    def heights_m(self, distances_m: Array) -> Heights:
        """As of `Rays`."""
        if self._near.is_beyond(float(distances_m.min())):
            return self._far.heights_m(distances_m)
        found = self._near.heights_m(distances_m)
        return _filled(found, lambda: self._far.heights_m(distances_m))

    def heights_at_own_m(self, distances_m: Array) -> Heights:
        """As of `Rays`."""
        found = self._near.heights_at_own_m(distances_m)
        return _filled(found, lambda: self._far.heights_at_own_m(distances_m))

    def spread_m(self, distances_m: Array) -> Heights:
        """As of `Rays`."""
        found = self._near.spread_m(distances_m)
        return _filled(found, lambda: self._far.spread_m(distances_m))

    def is_beyond(self, distance_m: float) -> bool:
        """As of `Rays`."""
        return distance_m > self.reach_m


def _filled(found: Heights, other: Callable[[], Heights]) -> Heights:
    """What was found, its voids filled from another if there are any."""
    is_void = np.isnan(found)
    if is_void.any():
        found[is_void] = other()[is_void]
    return found


def _just_before(cell: int) -> np.float32:
    """The greatest place that still lies in the cell before."""
    return np.float32(np.nextafter(np.float32(cell), np.float32(-np.inf)))


def _corners(heights_m: Heights) -> tuple[tuple[Heights, ...], int]:
    """The heights as one row, from each corner of the first cell on, and a row's step.

    One index then finds all four corners of a cell.  Nothing is copied, of a part of
    a grid neither.
    """
    rows, columns = heights_m.shape
    row_bytes, column_bytes = heights_m.strides
    size = heights_m.itemsize
    if column_bytes != size or row_bytes < columns * size or row_bytes % size:
        heights_m = np.ascontiguousarray(heights_m)
        row_bytes = columns * size
    stride = row_bytes // size
    flat = np.lib.stride_tricks.as_strided(
        heights_m, ((rows - 1) * stride + columns,), (size,), writeable=False
    )
    return (flat, flat[1:], flat[stride:], flat[stride + 1 :]), stride


def _farthest_m(grid: ElevationGrid, position: Position) -> float:
    rows, columns = grid.shape
    if (columns - 1) * grid.column_step_deg > 180.0:
        return math.inf
    corners = [(0, 0), (0, columns - 1), (rows - 1, 0), (rows - 1, columns - 1)]
    return max(distance_m(position, grid.position_at(*corner)) for corner in corners)


def _series(lat_deg: float, azimuths_deg: Array) -> tuple[Array, Array, float]:
    """Radians north and east for powers 0 to 3 of distance over a scale, (4, n)."""
    lat, azimuth = math.radians(lat_deg), np.radians(azimuths_deg)
    t, cos_lat = math.tan(lat), math.cos(lat)
    across_m = EQUATOR_RADIUS_M / math.sqrt(1.0 - ECCENTRICITY_2 * math.sin(lat) ** 2)
    eta2 = ECCENTRICITY_2 / (1.0 - ECCENTRICITY_2) * cos_lat**2
    v2 = 1.0 + eta2
    s, c = np.sin(azimuth), np.cos(azimuth)
    none = np.zeros_like(s)
    north = [
        none,
        v2 * c,
        -v2 * (t * s**2 / 2.0 + 1.5 * eta2 * t * c**2),
        -v2
        * (
            c * s**2 * (1.0 + 3.0 * t**2 + eta2 - 9.0 * eta2 * t**2) / 6.0
            + 0.5 * eta2 * (1.0 - t**2) * c**3
        ),
    ]
    east = [
        none,
        s / cos_lat,
        t * s * c / cos_lat,
        ((1.0 + 3.0 * t**2 + eta2) * c**2 * s - t**2 * s**3) / (3.0 * cos_lat),
    ]
    return np.stack(north), np.stack(east), across_m
