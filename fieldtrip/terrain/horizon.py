"""How high the ground stands against the sky in every direction from a spot."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.terrain.earth import EARTH_RADIUS_M, MEAN_REFRACTION, bent_radius_m
from fieldtrip.terrain.grid import ElevationGrid, Heights
from fieldtrip.terrain.rays import NestedRays, Rays

# Steps grow with distance: a crest between two is missed by the same angle anywhere.
# No farther apart than a small island is wide.
_LEAST_STEP_M, _STEP_GROWTH, _LONGEST_STEP_M = 3.0, 0.015, 200.0
_RINGS_AT_ONCE = 24  # stay in the processor's cache
_FINE_STEPS = (8, 4)  # on either side of the highest ring, then of the highest of them
_NOTHING = np.float32(-1e9)
# Root mean square of good global models.  Source: common practice, no source.
HEIGHT_ERROR_M = 5.0
_REFRACTION_ERROR = 0.1  # of the coefficient, by weather; common practice, no source


@dataclass(frozen=True, slots=True, eq=False)
class Horizon:
    """The outline of ground and sea against the sky, as seen through the air.

    Arrays of shape (n,), by evenly spaced azimuths from north through east.
    """

    position: Position
    ground_m: float  # above mean sea level
    eye_m: float  # above the ground
    azimuths_deg: Array
    altitudes_deg: Array
    distances_m: Array  # of the crest
    error_deg: Array  # one standard deviation, either way
    # False where heights were missing on the way: higher ground may stand there.
    is_complete: npt.NDArray[np.bool_]

    def altitude_at(self, azimuth_deg: float) -> float:
        """Altitude of the horizon in a direction, between the two next azimuths."""
        return float(self.altitudes_at(np.array([azimuth_deg]))[0])

    def altitudes_at(self, azimuths_deg: Array) -> Array:
        """The same for many directions."""
        return self._between(self.altitudes_deg, azimuths_deg)

    def errors_at(self, azimuths_deg: Array) -> Array:
        """How far the altitudes may be off, one standard deviation."""
        return self._between(self.error_deg, azimuths_deg)

    def is_complete_at(self, azimuths_deg: Array) -> npt.NDArray[np.bool_]:
        """Whether heights were known all the way on both sides of some directions."""
        before, after, _ = self._neighbours(azimuths_deg)
        return np.asarray(self.is_complete[before] & self.is_complete[after])

    def _between(self, values: Array, azimuths_deg: Array) -> Array:
        before, after, part = self._neighbours(azimuths_deg)
        return values[before] + (values[after] - values[before]) * part

    def _neighbours(
        self, azimuths_deg: Array
    ) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], Array]:
        count = len(self.azimuths_deg)
        place = (azimuths_deg % 360.0) * (count / 360.0)
        before = np.floor(place).astype(np.intp)
        part = np.asarray(place - before)
        return before % count, (before + 1) % count, part


def horizon(
    grid: ElevationGrid,
    position: Position,
    *,
    eye_m: float,
    ground_m: float | None = None,
    beyond: ElevationGrid | None = None,
    count: int = 720,
    reach_m: float = 60_000.0,
    refraction_k: float = MEAN_REFRACTION,
    height_error_m: float = HEIGHT_ERROR_M,
) -> Horizon:
    """The horizon round a position, from an eye above the ground.

    The ground's height is the model's unless it is given.  Where the grid knows
    nothing, a coarser one `beyond` it counts.  Where both end, or the reach, the sea's
    horizon stands, if nothing nearer is higher.

    Raises `UserError` where no height is given and the model knows none.
    """
    if count < 4 or not eye_m >= 0.0 or not reach_m > _LEAST_STEP_M:
        raise ValueError(f"{count} azimuths, eye {eye_m} m, reach {reach_m} m")
    radius_m = bent_radius_m(refraction_k)
    modelled_m = grid.height_m(position)
    if ground_m is None:
        if modelled_m is None:
            raise UserError(
                "The elevation files hold no height for this spot. Type the height "
                "of its ground, or add a file that covers it."
            )
        ground_m = modelled_m
    height_m = ground_m + eye_m

    azimuths_deg = np.arange(count, dtype=np.float64) * (360.0 / count)
    rays = _rays(grid, beyond, position, azimuths_deg)
    # A typed height wins, and the model close by is lifted with it: a difference of
    # metres would else stand round the tripod as a wall.
    lift_m = 0.0 if modelled_m is None else ground_m - modelled_m
    cells_m = grid.cell_at_m(position.lat_deg)
    eye = _Eye(height_m, radius_m, lift_m, 2.0 * max(cells_m))
    rings_m = _rings(min(_LEAST_STEP_M, 0.5 * min(cells_m)), reach_m)
    ring, is_complete = _highest(rays, eye, rings_m)
    tangents, distances_m = _refined(rays, eye, rings_m, ring)
    altitudes_deg = np.asarray(np.degrees(np.arctan(tangents)))

    dip_deg, sea_m = _sea_horizon(height_m, radius_m)
    is_sea = (~is_complete | (sea_m > reach_m)) & (altitudes_deg < -dip_deg)
    altitudes_deg = np.where(is_sea, -dip_deg, altitudes_deg)
    distances_m = np.where(is_sea, sea_m, distances_m)
    spread_m = rays.spread_m(distances_m).astype(np.float64)
    return Horizon(
        position,
        ground_m,
        eye_m,
        azimuths_deg,
        altitudes_deg,
        distances_m,
        _error_deg(distances_m, altitudes_deg, spread_m, height_error_m),
        is_complete,
    )


def _rays(
    grid: ElevationGrid,
    beyond: ElevationGrid | None,
    position: Position,
    azimuths_deg: Array,
) -> Rays | NestedRays:
    if beyond is None:
        return Rays(grid, position, azimuths_deg)
    ends = replace(grid, is_sea_beyond=False)  # what lies there the other one knows
    return NestedRays(
        Rays(ends, position, azimuths_deg), Rays(beyond, position, azimuths_deg)
    )


@dataclass(frozen=True, slots=True)
class _Eye:
    """From where one looks, over an Earth on which light runs straight."""

    height_m: float
    radius_m: float
    lift_m: float  # of the model at the spot, fading to none at `fade_m`
    fade_m: float

    def tangents(self, heights_m: Heights, distances_m: Array) -> Array:
        """Tangent of the altitude of ground at some distances, exact on a sphere.

        ((R + z) cos a - (R + h)) / ((R + z) sin a), a = d / R, in a form that keeps
        its digits.
        """
        exact_m = heights_m.astype(np.float64)
        angle = distances_m / self.radius_m
        drop_m = self.height_m + 2.0 * self.radius_m * np.sin(0.5 * angle) ** 2
        above_m = self._lifted(exact_m, distances_m) * np.cos(angle) - drop_m
        return np.asarray(above_m / ((self.radius_m + exact_m) * np.sin(angle)))

    def near_tangents(self, heights_m: Heights, distances_m: Array) -> Heights:
        """The same to some 0.1 %, to choose among; uses up the heights given."""
        bulge_m = distances_m**2 / (2.0 * self.radius_m)
        drop_m = self.height_m + bulge_m - self._lifted(0.0, distances_m)
        heights_m -= drop_m.astype(np.float32)
        heights_m *= (1.0 / distances_m).astype(np.float32)
        return heights_m

    def _lifted(self, heights_m: Array | float, distances_m: Array) -> Array:
        if not self.lift_m:
            return np.asarray(heights_m)
        left = np.maximum(0.0, 1.0 - distances_m / self.fade_m)
        return np.asarray(heights_m + self.lift_m * left)


def _rings(least_m: float, reach_m: float) -> Array:
    near = np.arange(1, round(1.0 / _STEP_GROWTH) + 1) * least_m
    steps = math.ceil(math.log(_LONGEST_STEP_M / least_m) / math.log1p(_STEP_GROWTH))
    middle = near[-1] * (1.0 + _STEP_GROWTH) ** np.arange(1, steps + 1)
    far = np.arange(middle[-1] + _LONGEST_STEP_M, reach_m, _LONGEST_STEP_M)
    rings_m = np.concatenate([near, middle, far])
    return np.append(rings_m[rings_m < reach_m], reach_m)


def _highest(
    rays: Rays | NestedRays, eye: _Eye, rings_m: Array
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]:
    """The number of the ring that stands highest, by azimuth, and if all was known."""
    best = np.full(rays.count, _NOTHING, np.float32)
    ring = np.zeros(rays.count, np.intp)
    is_complete = np.ones(rays.count, np.bool_)
    for first in range(0, len(rings_m), _RINGS_AT_ONCE):
        block_m = rings_m[first : first + _RINGS_AT_ONCE]
        tangents = eye.near_tangents(rays.heights_m(block_m), block_m[:, None])
        highest = tangents.max(axis=0)
        if math.isnan(float(highest.sum())):
            is_unknown = np.isnan(tangents)
            is_complete &= ~is_unknown.any(axis=0)
            if is_unknown.all() and rays.is_beyond(float(block_m[0])):
                break
            tangents[is_unknown] = _NOTHING
            highest = tangents.max(axis=0)
        (better,) = np.nonzero(highest > best)
        if len(better):
            best[better] = highest[better]
            ring[better] = first + tangents[:, better].argmax(axis=0)
    return ring, is_complete


def _refined(
    rays: Rays | NestedRays, eye: _Eye, rings_m: Array, ring: npt.NDArray[np.intp]
) -> tuple[Array, Array]:
    """The highest tangent between the neighbours of a ring, and its distance."""
    azimuth = np.arange(rays.count)
    here = rings_m[ring]
    before = np.where(ring > 0, rings_m[ring - 1], 0.5 * rings_m[0])
    after = rings_m[np.minimum(ring + 1, len(rings_m) - 1)]
    highest = np.full(rays.count, float(_NOTHING))
    for steps in _FINE_STEPS:
        part = np.linspace(0.0, 1.0, steps + 1)[:, None]
        fine_m = np.concatenate(
            [before + (here - before) * part, here + (after - here) * part[1:]]
        )
        tangents = eye.tangents(rays.heights_at_own_m(fine_m), fine_m)
        tangents[np.isnan(tangents)] = _NOTHING
        at = tangents.argmax(axis=0)
        highest, here = tangents[at, azimuth], fine_m[at, azimuth]
        before = fine_m[np.maximum(at - 1, 0), azimuth]
        after = fine_m[np.minimum(at + 1, 2 * steps), azimuth]
    return highest, here


def _sea_horizon(height_m: float, radius_m: float) -> tuple[float, float]:
    """How far the sea's horizon lies below the horizontal, and how far away."""
    angle = math.acos(radius_m / (radius_m + max(0.0, height_m)))
    return math.degrees(angle), max(radius_m * angle, 1.0)


def _error_deg(
    distances_m: Array, altitudes_deg: Array, spread_m: Array, height_error_m: float
) -> Array:
    """How far a horizon may be off: heights, crests cut off by cells, and the air.

    A crest stands above its cell by a quarter of what the cell's corners differ, as
    a roof does of that slope.
    """
    cut_m = 0.25 * np.nan_to_num(spread_m)
    over = np.hypot(cut_m, height_error_m) / distances_m
    over = over * np.cos(np.radians(altitudes_deg)) ** 2
    bent = 0.5 * _REFRACTION_ERROR * distances_m / EARTH_RADIUS_M
    return np.asarray(np.degrees(np.hypot(np.arctan(over), bent)))
