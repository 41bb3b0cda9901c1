"""Tests for the land of a grid as areas."""

from __future__ import annotations

import numpy as np

from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.land import land_areas


def cone(hole_m: float = 0.0) -> ElevationGrid:
    """A round island of 20 cells' radius about 10° N 20° E, with a pit of a depth."""
    at = np.arange(-30.0, 31.0)
    away = np.hypot(*np.meshgrid(at, at))
    heights = 20.0 - away - hole_m * (away < 5.0)
    return ElevationGrid(
        np.maximum(heights, 0.0).astype(np.float32),
        north_deg=10.3,
        west_deg=19.7,
        row_step_deg=0.01,
        column_step_deg=0.01,
    )


def test_an_island_is_one_closed_ring_where_it_meets_the_sea() -> None:
    ((ring,),) = land_areas(cone())

    assert (ring[0] == ring[-1]).all()
    radius_deg = np.hypot(ring[:, 0] - 10.0, ring[:, 1] - 20.0)
    np.testing.assert_allclose(radius_deg, 0.2, atol=0.01)  # a cell


def test_a_lake_is_a_hole() -> None:
    ((outer, hole),) = land_areas(cone(hole_m=30.0))

    assert np.hypot(hole[:, 0] - 10.0, hole[:, 1] - 20.0).max() < 0.06
    assert np.hypot(outer[:, 0] - 10.0, outer[:, 1] - 20.0).min() > 0.19


def test_of_heights_that_are_not_known_there_is_no_land() -> None:
    nothing = ElevationGrid(np.full((4, 4), np.nan, np.float32), 1.0, 1.0, 0.01, 0.01)

    assert land_areas(nothing) == []
