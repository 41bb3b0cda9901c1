"""Lines of sight beside closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, destination, distance_m
from fieldtrip.terrain.sightline import sightline
from tests.terrain.ground import jacksboro, made

SPOT = Position(49.6, -8.4)


def sea(east_m: Array, north_m: Array) -> Array:
    return np.zeros_like(east_m)


def ends(length_m: float, bearing: float = 90.0) -> tuple[Position, Position]:
    """Two positions so far apart, with `SPOT` half-way."""
    return (
        destination(SPOT, bearing + 180.0, 0.5 * length_m),
        destination(SPOT, bearing, 0.5 * length_m),
    )


def test_a_ridge_half_way_blocks_by_what_the_closed_form_says() -> None:
    grid = made(
        SPOT, 60, 700, 50.0, lambda e, n: np.where(np.abs(e) < 120.0, 400.0, 0.0)
    )
    start, end = ends(30_000.0)

    found = sightline(grid, start, 50.0, end, 60.0)

    # 55 m half-way, less d (D - d)(1 - k) / 2R = 15.36 m, less 400 m.
    assert found.visible is False
    assert found.clearance_m == pytest.approx(-360.36, abs=0.05)
    assert found.at_m == pytest.approx(15_000.0, abs=150.0)


@pytest.mark.parametrize(
    # Closed form: sqrt(2 R h1 / (1 - k)) + sqrt(2 R h2 / (1 - k)) = 26 374 m.
    ("length_m", "visible"),
    [(26_300.0, True), (26_450.0, False)],
)
def test_a_light_dips_behind_the_sea_at_its_range(
    length_m: float, visible: bool
) -> None:
    grid = made(SPOT, 60, 700, 50.0, sea)
    start, end = ends(length_m)

    found = sightline(grid, start, 2.0, end, 30.0)

    assert found.visible is visible


def test_behind_its_range_the_sea_hides_a_light_by_metres() -> None:
    grid = made(SPOT, 60, 700, 50.0, sea)
    start, end = ends(30_000.0)

    found = sightline(grid, start, 2.0, end, 30.0)

    # Closed form: the least of 2 + 28 t - D² t (1 - t)(1 - k) / 2R.
    assert found.clearance_m == pytest.approx(-2.55, abs=0.01)


def test_without_the_earths_curve_one_looks_along_a_straight_line() -> None:
    grid = made(SPOT, 60, 700, 50.0, sea)
    start, end = ends(20_000.0)

    found = sightline(grid, start, 10.0, end, 20.0, refraction_k=0.9)

    part = found.distances_m / 20_000.0
    bulge_m = 20_000.0**2 * part * (1.0 - part) * 0.1 / (2.0 * 6_371_000.0)
    assert_allclose(found.ray_m, 10.0 + 10.0 * part - bulge_m, atol=1e-3)


def test_unknown_ground_between_makes_what_is_not_blocked_unknown() -> None:
    grid = made(SPOT, 60, 400, 50.0, sea)
    heights_m = grid.heights_m.copy()
    heights_m[:, 190:200] = np.nan
    holed = replace(grid, heights_m=heights_m)
    start, end = ends(10_000.0)

    found = sightline(holed, start, 50.0, end, 50.0)

    assert sightline(grid, start, 50.0, end, 50.0).visible is True
    assert found.visible is None
    assert found.clearance_m == pytest.approx(49.0, abs=1.0)


def test_a_hill_that_is_known_hides_whatever_else_is_not() -> None:
    grid = made(SPOT, 60, 400, 50.0, lambda e, n: np.where(e > 3000.0, 300.0, 0.0))
    heights_m = grid.heights_m.copy()
    heights_m[:, 190:200] = np.nan
    holed = replace(grid, heights_m=heights_m)
    start, end = ends(10_000.0)

    found = sightline(holed, start, 2.0, end, 2.0, end_ground_m=0.0)

    assert found.visible is False


def test_without_ground_at_an_end_nothing_is_said_unless_it_is_typed() -> None:
    grid = made(SPOT, 60, 100, 50.0, sea)
    start, end = ends(6000.0)

    unknown = sightline(grid, start, 50.0, SPOT, 50.0)
    typed = sightline(grid, SPOT, 50.0, end, 50.0, end_ground_m=12.0)

    assert (unknown.visible, unknown.clearance_m) == (None, None)
    # The way to the end leaves the model.
    assert typed.visible is None
    assert typed.clearance_m is not None


def test_the_cells_of_both_ends_do_not_count() -> None:
    grid = made(SPOT, 101, 101, 50.0, sea)
    heights_m = grid.heights_m.copy()
    heights_m[50, 60] = heights_m[50, 20] = 30.0
    blocks = replace(grid, heights_m=heights_m)
    # Each stands half-way up, behind its block.
    start, end = blocks.position_at(50.0, 60.5), blocks.position_at(50.0, 19.5)

    found = sightline(blocks, start, 2.0, end, 2.0)

    assert float(np.nanmax(found.ground_m - found.ray_m)) > 10.0
    assert found.visible is True


def test_what_is_nearer_than_two_cells_is_not_known() -> None:
    grid = made(SPOT, 101, 101, 50.0, sea)

    for length_m in (0.0, 40.0, 99.0):
        start, end = ends(length_m)
        assert sightline(grid, start, 2.0, end, 2.0).visible is None


@settings(max_examples=60)
@given(
    rows=st.tuples(st.floats(5.0, 335.0), st.floats(5.0, 335.0)),
    columns=st.tuples(st.floats(5.0, 395.0), st.floats(5.0, 395.0)),
    heights=st.tuples(st.floats(0.0, 300.0), st.floats(0.0, 300.0)),
)
def test_who_sees_is_seen(
    rows: tuple[float, float],
    columns: tuple[float, float],
    heights: tuple[float, float],
) -> None:
    grid = jacksboro()
    a = grid.position_at(rows[0], columns[0])
    b = grid.position_at(rows[1], columns[1])

    there = sightline(grid, a, heights[0], b, heights[1])
    back = sightline(grid, b, heights[1], a, heights[0])

    if there.clearance_m is None or back.clearance_m is None:
        assert there.clearance_m is back.clearance_m
        return
    assert there.clearance_m == pytest.approx(back.clearance_m, abs=0.3)


@settings(max_examples=30)
@given(bearing=st.floats(0.0, 360.0), length_m=st.floats(300.0, 12_000.0))
def test_distances_run_from_end_to_end(bearing: float, length_m: float) -> None:
    grid = jacksboro()
    middle = grid.position_at(170.0, 200.0)
    end = destination(middle, bearing, length_m)

    found = sightline(grid, middle, 2.0, end, 2.0)

    assert found.distances_m[0] == 0.0
    assert found.distances_m[-1] == pytest.approx(distance_m(middle, end))
    assert np.diff(found.distances_m).max() <= 0.5 * min(grid.cell_m) * 1.01
