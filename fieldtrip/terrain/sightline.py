"""Whether one point is seen from another over the ground between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, distance_m
from fieldtrip.terrain.earth import MEAN_REFRACTION, along_geodesic, bent_radius_m
from fieldtrip.terrain.grid import ElevationGrid

_MOST_SAMPLES = 20_000


@dataclass(frozen=True, slots=True, eq=False)
class Sightline:
    """The ground below a line of sight, and how far the line keeps above it.

    Arrays of shape (n,) from the eye to what is looked at; heights above mean sea
    level, nan where not known.
    """

    # None: ground between is not known, or there is less than a cell of it.
    visible: bool | None
    clearance_m: (
        float | None
    )  # at the tightest place known; negative: blocked by so much
    at_m: float | None  # from the eye to there
    distances_m: Array
    ground_m: Array
    ray_m: Array


def sightline(
    grid: ElevationGrid,
    start: Position,
    eye_m: float,
    end: Position,
    height_m: float,
    *,
    start_ground_m: float | None = None,
    end_ground_m: float | None = None,
    refraction_k: float = MEAN_REFRACTION,
) -> Sightline:
    """From an eye above the ground at `start` to a point above the ground at `end`.

    Both grounds are the model's unless given.  The cells of the two ends do not
    count: what stands in them is what one stands on and looks at.
    """
    length_m = distance_m(start, end)
    middle_deg = 0.5 * (start.lat_deg + end.lat_deg)
    cells_m = grid.cell_at_m(middle_deg)
    samples = max(3, 1 + math.ceil(length_m / (0.5 * min(cells_m))))
    parts = np.linspace(0.0, 1.0, min(samples, _MOST_SAMPLES))
    distances_m = parts * length_m
    ground_m = grid.heights_at(*along_geodesic(start, end, parts))
    if start_ground_m is not None:
        ground_m[0] = start_ground_m
    if end_ground_m is not None:
        ground_m[-1] = end_ground_m

    from_m, to_m = ground_m[0] + eye_m, ground_m[-1] + height_m
    bulge_m = distances_m * (length_m - distances_m)
    bulge_m /= 2.0 * bent_radius_m(refraction_k)
    ray_m = from_m + (to_m - from_m) * parts - bulge_m

    end_m = max(cells_m)
    is_between = (distances_m >= end_m) & (distances_m <= length_m - end_m)
    clear_m = np.where(is_between, ray_m - ground_m, np.inf)
    is_unknown = np.isnan(clear_m)
    if not is_between.any() or is_unknown[is_between].all():
        return Sightline(None, None, None, distances_m, ground_m, ray_m)
    at = int(np.nanargmin(clear_m))
    clearance_m = float(clear_m[at])
    visible: bool | None = clearance_m >= 0.0
    if visible and is_unknown.any():
        visible = None
    return Sightline(
        visible, clearance_m, float(distances_m[at]), distances_m, ground_m, ray_m
    )
