"""Heights between the cells of a grid."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.geo import Position, distance_m
from fieldtrip.terrain.grid import ElevationGrid


def a_grid(
    heights: list[list[float]], north: float = 50.0, west: float = -8.0
) -> ElevationGrid:
    return ElevationGrid(np.array(heights, np.float32), north, west, 0.01, 0.02)


def test_rows_run_from_north_to_south_and_columns_from_west_to_east() -> None:
    grid = a_grid([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]])

    assert grid.height_m(Position(50.0, -8.0)) == 1.0
    assert grid.height_m(Position(50.0, -7.96)) == pytest.approx(3.0, abs=1e-6)
    assert grid.height_m(Position(49.99, -8.0)) == pytest.approx(4.0, abs=1e-6)
    assert_allclose(grid.box, (49.99, -8.0, 50.0, -7.96))


def test_a_height_between_cells_is_bilinear() -> None:
    grid = a_grid([[0.0, 10.0], [20.0, 70.0]])

    height = grid.height_m(Position(49.9975, -7.99))

    # A quarter down, half across: 5 above and 45 below.
    assert height == pytest.approx(15.0, abs=1e-4)


def test_nothing_is_known_outside() -> None:
    grid = a_grid([[1.0, 2.0], [3.0, 4.0]])

    for lat, lon in ((50.001, -8.0), (49.98, -7.99), (49.995, -8.001), (50.0, 170.0)):
        assert grid.height_m(Position(lat, lon)) is None


def test_a_void_makes_unknown_only_what_leans_on_it() -> None:
    grid = a_grid([[1.0, 2.0, 3.0], [4.0, np.nan, 6.0], [7.0, 8.0, 9.0]])

    assert grid.height_m(Position(49.995, -7.99)) is None
    assert grid.height_m(Position(49.99, -7.98)) is None
    assert grid.height_m(Position(50.0, -7.99)) == pytest.approx(1.5, abs=1e-6)


def test_a_grid_may_lie_across_the_date_line() -> None:
    grid = a_grid([[1.0, 2.0, 3.0], [1.0, 2.0, 3.0]], west=179.98)

    assert grid.height_m(Position(50.0, 179.98)) == 1.0
    assert grid.height_m(Position(50.0, 180.0)) == pytest.approx(2.0, abs=1e-6)
    assert grid.height_m(Position(50.0, -180.0)) == pytest.approx(2.0, abs=1e-6)
    assert grid.height_m(Position(50.0, -179.98)) == pytest.approx(3.0, abs=1e-6)
    assert grid.position_at(0.0, 2.0).lon_deg == pytest.approx(-179.98)


@given(
    lat=st.floats(-80.0, 80.0),
    down=st.floats(0.0, 20.0),
    across=st.floats(0.0, 30.0),
)
def test_a_slope_that_is_a_plane_is_met_everywhere(
    lat: float, down: float, across: float
) -> None:
    rows, columns = np.mgrid[0:21, 0:31]
    plane = (3.0 * rows + 5.0 * columns).astype(np.float32)
    grid = ElevationGrid(plane, lat, 170.0, 0.001, 0.5)

    height = grid.height_m(grid.position_at(down, across))

    assert height == pytest.approx(3.0 * down + 5.0 * across, abs=1e-3)


@given(lat=st.floats(-80.0, 80.0))
def test_cells_are_as_large_as_geodesics_say(lat: float) -> None:
    grid = ElevationGrid(np.zeros((3, 3), np.float32), lat + 0.001, 5.0, 0.001, 0.002)
    middle = Position(lat, 5.002)

    north_m, east_m = grid.cell_m

    assert north_m == pytest.approx(
        distance_m(middle, Position(lat + 0.001, 5.002)), rel=2e-5
    )
    assert east_m == pytest.approx(distance_m(middle, Position(lat, 5.004)), rel=2e-5)


def test_a_part_shares_its_heights() -> None:
    grid = ElevationGrid(
        np.arange(10_000, dtype=np.float32).reshape(100, 100), 50.0, 179.5, 0.01, 0.01
    )
    spot = grid.position_at(40.3, 60.7)

    near = grid.around(spot, 3000.0)

    assert near is not None
    assert near.shape == (7, 10)  # of 1112 and 716 m
    assert np.shares_memory(near.heights_m, grid.heights_m)
    assert near.height_m(spot) == pytest.approx(grid.height_m(spot), abs=1e-3)


def test_around_finds_what_lies_beside_and_nothing_far_away() -> None:
    grid = ElevationGrid(np.zeros((100, 100), np.float32), 50.0, 10.0, 0.01, 0.01)

    west = grid.around(Position(49.5, 9.99), 3000.0)

    assert west is not None
    assert west.box[1] == pytest.approx(10.0)
    assert grid.around(Position(49.5, 9.0), 3000.0) is None
    assert grid.around(Position(-49.5, 10.5), 3000.0) is None


def test_a_grid_that_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="float32"):
        ElevationGrid(np.zeros((3, 3)), 50.0, 8.0, 0.1, 0.1)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="two rows"):
        ElevationGrid(np.zeros((1, 3), np.float32), 50.0, 8.0, 0.1, 0.1)
    with pytest.raises(ValueError, match="positive"):
        ElevationGrid(np.zeros((3, 3), np.float32), 50.0, 8.0, -0.1, 0.1)
    with pytest.raises(ValueError, match="poles"):
        ElevationGrid(np.zeros((3, 3), np.float32), 95.0, 8.0, 0.1, 0.1)
