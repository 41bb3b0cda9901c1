"""The land of an elevation grid as areas: what lies above mean sea level."""

from __future__ import annotations

from itertools import pairwise

import contourpy
import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.terrain.grid import ElevationGrid

_HIGHEST_M = 1e5
_SHORE_M = 0.01  # sea that was filled in stands at 0


def land_areas(grid: ElevationGrid) -> list[list[Array]]:
    """Each area as closed rings, the outer one first and then its holes.

    A ring is an array of latitudes and longitudes, (n, 2); longitudes run on past
    180.  Where heights are not known there is no land.
    """
    if np.isnan(grid.heights_m).all():
        return []
    made = contourpy.contour_generator(
        z=grid.heights_m, name="serial", fill_type=contourpy.FillType.OuterOffset
    )
    filled = made.filled(_SHORE_M, _HIGHEST_M)
    areas, offsets = filled[0], filled[1]
    scale = np.array([-grid.row_step_deg, grid.column_step_deg])
    corner = np.array([grid.north_deg, grid.west_deg])
    found = []
    for points, starts in zip(areas, offsets, strict=True):
        places = corner + np.asarray(points)[:, ::-1] * scale
        bounds = np.asarray(starts)
        found.append(
            [np.asarray(places[first:last]) for first, last in pairwise(bounds)]
        )
    return found
