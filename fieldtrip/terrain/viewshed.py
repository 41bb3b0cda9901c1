"""What of the ground is seen from a spot."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.terrain.earth import MEAN_REFRACTION, bent_radius_m, degree_m
from fieldtrip.terrain.grid import ElevationGrid, Heights
from fieldtrip.terrain.rays import Rays

_RAYS = 2880
_AT_ONCE = 32
_NOTHING = np.float32(-1e9)
_RUN_SHARE = 0.6  # of the work, for the rays


def viewshed(
    grid: ElevationGrid,
    position: Position,
    eye_m: float,
    target_height_m: float = 0.0,
    progress: Callable[[float], None] | None = None,
    *,
    ground_m: float | None = None,
    reach_m: float = 60_000.0,
    refraction_k: float = MEAN_REFRACTION,
) -> npt.NDArray[np.bool_]:
    """Which cells are seen, or things so high above them; shape (rows, columns).

    Every cell is compared with the highest ground before it on the two rays next to
    it.  Nothing is seen at voids, behind them as if they were not there, and beyond
    the reach.

    Raises `UserError` where no height is given for the spot and the grid knows none,
    and whatever `progress` raises.
    """
    if ground_m is None:
        ground_m = grid.height_m(position)
    if ground_m is None:
        raise UserError(
            "The elevation files hold no height for this spot. Type the height of its "
            "ground, or add a file that covers it."
        )
    height_m = ground_m + eye_m
    radius_m = bent_radius_m(refraction_k)
    step_m = min(grid.cell_at_m(position.lat_deg))
    tell = progress or (lambda _fraction: None)

    azimuths_deg = np.arange(_RAYS, dtype=np.float64) * (360.0 / _RAYS)
    rays = Rays(grid, position, azimuths_deg)
    count = max(1, int(min(reach_m, rays.reach_m) / step_m))
    highest = _highest_before(rays, height_m, radius_m, step_m, count, tell)

    seen = np.zeros(grid.shape, np.bool_)
    rows = grid.shape[0]
    for first in range(0, rows, _AT_ONCE):
        tell(_RUN_SHARE + (1.0 - _RUN_SHARE) * first / rows)
        here = slice(first, min(rows, first + _AT_ONCE))
        distance_m, azimuth = _from_spot(grid, position, here)
        heights_m = grid.heights_m[here] + np.float32(target_height_m - height_m)
        heights_m -= distance_m**2 * np.float32(0.5 / radius_m)
        is_near = distance_m < step_m
        tangent = heights_m / np.maximum(distance_m, np.float32(0.1))
        before = _between_rays(highest, distance_m, azimuth, step_m)
        seen[here] = (tangent >= before) & (distance_m <= reach_m)
        seen[here] |= is_near & ~np.isnan(heights_m)
    tell(1.0)
    return seen


def _highest_before(
    rays: Rays,
    height_m: float,
    radius_m: float,
    step_m: float,
    count: int,
    tell: Callable[[float], None],
) -> Heights:
    """Highest tangent up to each ring, from none on: (count + 1, rays)."""
    highest = np.empty((count + 1, rays.count), np.float32)
    highest[0] = _NOTHING
    for first in range(1, count + 1, _AT_ONCE):
        tell(_RUN_SHARE * first / count)
        last = min(count + 1, first + _AT_ONCE)
        rings_m = np.arange(first, last, dtype=np.float64) * step_m
        tangents = rays.heights_m(rings_m)
        drop_m = height_m + rings_m**2 / (2.0 * radius_m)
        tangents -= drop_m.astype(np.float32)[:, None]
        tangents /= rings_m.astype(np.float32)[:, None]
        np.fmax(tangents[0], highest[first - 1], out=tangents[0])
        np.fmax.accumulate(tangents, axis=0, out=highest[first:last])
    return highest


def _from_spot(
    grid: ElevationGrid, position: Position, here: slice
) -> tuple[Heights, Heights]:
    """Distance in metres and azimuth in radians, 0 to 2 pi, of the cells of some rows.

    Source: Gauss's mid-latitude formulas; a metre and 0.001 degrees off at 60 km.
    """
    columns = grid.shape[1]
    lat_deg = grid.north_deg - np.arange(here.start, here.stop) * grid.row_step_deg
    lon_deg = grid.west_deg + np.arange(columns) * grid.column_step_deg
    east_deg = (lon_deg - position.lon_deg + 180.0) % 360.0 - 180.0
    middle_deg = 0.5 * (lat_deg + position.lat_deg)
    scale_m = np.array([degree_m(float(lat)) for lat in middle_deg])
    east_m = (scale_m[:, 1:] * east_deg).astype(np.float32)
    north_m = (scale_m[:, :1] * (lat_deg - position.lat_deg)[:, None]).astype(
        np.float32
    )
    half = np.radians(0.5 * east_deg)
    north_m = north_m * np.cos(half).astype(np.float32)
    azimuth = np.arctan2(east_m, north_m)
    # Meridians lean: the bearing half-way is not that at the start.
    azimuth -= (np.sin(np.radians(middle_deg))[:, None] * half).astype(np.float32)
    azimuth %= np.float32(math.tau)
    return np.sqrt(east_m**2 + north_m**2), azimuth


def _between_rays(
    highest: Heights, distance_m: Heights, azimuth: Heights, step_m: float
) -> Heights:
    """What stands before some cells, between the two rays next to each."""
    count, rays = highest.shape
    place = azimuth * np.float32(rays / math.tau)
    ray = place.astype(np.int32)
    place -= ray
    ray %= rays
    after = ray + 1
    after[after == rays] = 0
    # The last ring that lies safely before the cell.
    ring = (distance_m * np.float32(1.0 / step_m) - np.float32(0.75)).astype(np.int32)
    np.clip(ring, 0, count - 1, out=ring)
    ring *= rays
    flat = highest.reshape(-1)
    left, right = flat.take(ring + ray), flat.take(ring + after)
    return left * (np.float32(1.0) - place) + right * place
