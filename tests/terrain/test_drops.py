"""Drops that were built into the ground are found, where they were built."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, destination, distance_m, distance_to_line_m
from fieldtrip.terrain.drops import drops_near, is_ground_known
from tests.terrain.ground import made

SPOT = Position(49.6, -8.4)
CELL_M = 10.0


def cliff_to_the_south(east_m: Array, north_m: Array) -> Array:
    """A plateau of 40 m that ends 35 m south of the spot at the sea."""
    return np.where(north_m > -35.0, 40.0, 0.0)


def test_a_cliff_near_the_tripod_is_found_with_its_edge() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)

    (drop,) = drops_near(grid, SPOT)

    assert drop.lost_one_cell_m == pytest.approx(40.0)
    assert drop.lost_two_cells_m == pytest.approx(40.0)
    assert drop.steepness_deg == pytest.approx(math.degrees(math.atan(4.0)), abs=0.2)
    assert drop.bearing_deg == pytest.approx(180.0, abs=1.0)
    # The last cell of the top is 30 m off, and its edge within a cell of it.
    assert 20.0 <= drop.distance_m <= 35.0
    assert len(drop.line) == 2
    assert distance_m(*drop.line) > 90.0
    assert drop.is_all_known


def test_a_gentle_slope_is_no_drop() -> None:
    slope = made(SPOT, 61, 61, CELL_M, lambda e, n: 200.0 + 0.4 * n)

    assert drops_near(slope, SPOT) == ()


def test_a_step_of_a_metre_is_no_drop() -> None:
    step = made(SPOT, 61, 61, 1.0, lambda e, n: np.where(n > -10.0, 2.0, 0.0))

    assert drops_near(step, SPOT) == ()
    assert len(drops_near(step, SPOT, least_drop_m=1.5)) == 1


def test_a_cliff_out_of_reach_is_left_out() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)
    north = destination(SPOT, 0.0, 90.0)

    assert drops_near(grid, north) == ()
    assert len(drops_near(grid, north, within_m=130.0)) == 1


def test_the_foot_of_a_cliff_is_no_edge() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)
    beach = destination(SPOT, 180.0, 75.0)

    (drop,) = drops_near(grid, beach)

    # From the beach the same edge is seen: where the ground above begins to fall.
    for position in drop.line:
        assert grid.height_m(position) == pytest.approx(40.0, abs=0.5)


def test_standing_in_the_middle_of_a_steep_slope_the_slope_is_the_drop() -> None:
    slope = made(SPOT, 101, 101, CELL_M, lambda e, n: 800.0 + 1.2 * n)

    (drop,) = drops_near(slope, SPOT)

    assert drop.distance_m <= 60.0
    assert drop.steepness_deg == pytest.approx(math.degrees(math.atan(1.2)), abs=0.2)
    assert drop.lost_one_cell_m == pytest.approx(12.0, abs=0.1)
    assert drop.lost_two_cells_m == pytest.approx(24.0, abs=0.1)
    assert drop.bearing_deg == pytest.approx(180.0, abs=1.0)


def test_two_sides_of_a_headland_are_two_drops_the_steepest_first() -> None:
    def headland(east_m: Array, north_m: Array) -> Array:
        height_m = np.where(np.abs(east_m) < 45.0, 30.0, 0.0)
        return np.where(east_m < -45.0, height_m - 20.0, height_m)

    grid = made(SPOT, 61, 61, CELL_M, headland)

    west, east = drops_near(grid, SPOT)

    assert west.bearing_deg == pytest.approx(270.0, abs=1.0)
    assert west.lost_one_cell_m == pytest.approx(50.0)
    assert east.bearing_deg == pytest.approx(90.0, abs=1.0)
    assert east.lost_one_cell_m == pytest.approx(30.0)


def test_along_a_path_the_edge_is_followed_as_far_as_it_is_near() -> None:
    grid = made(SPOT, 61, 161, CELL_M, cliff_to_the_south)
    path = (destination(SPOT, 270.0, 400.0), SPOT, destination(SPOT, 90.0, 500.0))

    (drop,) = drops_near(grid, path)

    ends = drop.line[0], drop.line[-1]
    assert 900.0 < distance_m(*ends) < 1100.0
    for position in drop.line:
        assert distance_to_line_m(position, path) < 60.0 + 4.0 * CELL_M


def test_beside_a_void_it_says_that_it_may_fall_farther() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)
    heights_m = grid.heights_m.copy()
    heights_m[35:37] = np.nan  # below the foot, where the model lost the surf

    (drop,) = drops_near(replace(grid, heights_m=heights_m), SPOT)

    assert drop.lost_one_cell_m == pytest.approx(40.0)
    assert not drop.is_all_known


def test_it_tells_whether_all_ground_near_is_known() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)
    heights_m = grid.heights_m.copy()
    heights_m[33, 33] = np.nan
    holed = replace(grid, heights_m=heights_m)

    assert is_ground_known(grid, SPOT)
    assert not is_ground_known(holed, SPOT)
    assert is_ground_known(holed, SPOT, within_m=15.0)
    assert not is_ground_known(grid, destination(SPOT, 90.0, 280.0))
    assert not is_ground_known(grid, destination(SPOT, 90.0, 2000.0))
    assert not is_ground_known(grid, ())


def test_where_the_model_has_nothing_there_is_no_drop() -> None:
    grid = made(SPOT, 61, 61, CELL_M, cliff_to_the_south)

    assert drops_near(grid, destination(SPOT, 90.0, 5000.0)) == ()
    assert drops_near(grid, ()) == ()


def test_a_round_stack_has_one_edge_all_round() -> None:
    stack = made(
        SPOT, 61, 61, CELL_M, lambda e, n: np.where(np.hypot(e, n) < 35.0, 25.0, 0.0)
    )

    (drop,) = drops_near(stack, SPOT)

    assert drop.line[0] == drop.line[-1]
    assert 15.0 < drop.distance_m < 35.0


@settings(max_examples=40)
@given(bearing=st.floats(0.0, 360.0), away_m=st.floats(25.0, 55.0))
def test_a_cliff_is_found_in_any_direction(bearing: float, away_m: float) -> None:
    turned = math.radians(bearing)

    def cliff(east_m: Array, north_m: Array) -> Array:
        toward_m = east_m * math.sin(turned) + north_m * math.cos(turned)
        return np.where(toward_m < away_m, 35.0, 0.0)

    grid = made(SPOT, 61, 61, CELL_M, cliff)

    drops = drops_near(grid, SPOT)

    assert len(drops) == 1
    off_deg = (drops[0].bearing_deg - bearing + 180.0) % 360.0 - 180.0
    assert abs(off_deg) < 30.0  # a stair of cells
    assert abs(drops[0].distance_m - away_m) <= 2.0 * CELL_M
    assert distance_to_line_m(SPOT, drops[0].line) == pytest.approx(
        drops[0].distance_m, abs=0.7 * CELL_M
    )
