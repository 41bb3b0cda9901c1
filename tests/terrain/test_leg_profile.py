"""Profiles of ways over ground whose ups and downs are known."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, destination
from fieldtrip.terrain.leg_profile import leg_profile
from tests.terrain.ground import jacksboro, made

SPOT = Position(49.6, -8.4)
WEST, EAST = destination(SPOT, 270.0, 1000.0), destination(SPOT, 90.0, 1000.0)


def test_a_ramp_climbs_by_what_its_ends_differ() -> None:
    ramp = made(SPOT, 61, 301, 10.0, lambda e, n: 100.0 + 0.1 * e)

    found = leg_profile(ramp, (WEST, EAST))

    assert found is not None
    assert found.ascent_m == pytest.approx(200.0, abs=0.1)
    assert found.descent_m == 0.0
    assert found.steepest_deg == pytest.approx(math.degrees(math.atan(0.1)), abs=0.01)
    assert found.distances_m[-1] == pytest.approx(2000.0)
    assert found.heights_m[0] == pytest.approx(0.0, abs=0.1)
    assert found.heights_m[-1] == pytest.approx(200.0, abs=0.1)


def test_a_way_over_a_hill_and_back_climbs_twice() -> None:
    def hill(east_m: Array, north_m: Array) -> Array:
        return 50.0 + 80.0 * np.exp(-((east_m / 400.0) ** 2))

    grid = made(SPOT, 61, 301, 10.0, hill)

    found = leg_profile(grid, (WEST, EAST, WEST))

    assert found is not None
    base_m = 80.0 * math.exp(-(2.5**2))
    assert found.ascent_m == pytest.approx(2.0 * (80.0 - base_m), abs=1.0)
    assert found.descent_m == pytest.approx(found.ascent_m, abs=0.1)


def test_noise_of_the_model_is_no_climb() -> None:
    rng = np.random.default_rng(7)
    level = made(SPOT, 61, 301, 10.0, lambda e, n: 60.0 + rng.normal(0.0, 1.5, e.shape))

    found = leg_profile(level, (WEST, EAST))

    assert found is not None
    assert found.ascent_m < 6.0
    assert np.abs(np.diff(level.heights_m[30])).sum() > 300.0  # what it would add up to


def test_where_ground_is_not_known_there_is_no_profile() -> None:
    grid = made(SPOT, 61, 301, 10.0, lambda e, n: 100.0 + 0.1 * e)
    heights_m = grid.heights_m.copy()
    heights_m[:, 150] = np.nan

    assert leg_profile(replace(grid, heights_m=heights_m), (WEST, EAST)) is None
    assert leg_profile(grid, (SPOT, destination(SPOT, 90.0, 9000.0))) is None


@pytest.mark.parametrize("line", [(), (SPOT,), (SPOT, SPOT)])
def test_of_a_way_without_length_there_is_no_profile(
    line: tuple[Position, ...],
) -> None:
    grid = made(SPOT, 61, 61, 10.0, lambda e, n: 100.0 + 0.1 * e)

    assert leg_profile(grid, line) is None


def test_a_way_shorter_than_a_cell_has_a_profile_too() -> None:
    grid = made(SPOT, 61, 61, 90.0, lambda e, n: 100.0 + 0.5 * e)

    found = leg_profile(grid, (SPOT, destination(SPOT, 90.0, 12.0)))

    assert found is not None
    assert found.ascent_m == pytest.approx(6.0, abs=0.1)


def test_the_steepest_stretch_is_told_with_its_place() -> None:
    def bank(east_m: Array, north_m: Array) -> Array:
        return np.clip(east_m - 300.0, 0.0, 100.0)

    found = leg_profile(made(SPOT, 61, 301, 10.0, bank), (WEST, EAST))

    assert found is not None
    assert found.steepest_deg == pytest.approx(45.0, abs=1.0)
    assert 1300.0 < found.steepest_at_m < 1400.0


@settings(max_examples=50)
@given(
    rows=st.lists(st.floats(5.0, 335.0), min_size=2, max_size=5),
    columns=st.lists(st.floats(5.0, 395.0), min_size=5, max_size=5),
)
def test_what_one_climbs_there_one_descends_back(
    rows: list[float], columns: list[float]
) -> None:
    grid = jacksboro()
    line = tuple(
        grid.position_at(row, column)
        for row, column in zip(rows, columns, strict=False)
    )

    there, back = leg_profile(grid, line), leg_profile(grid, line[::-1])

    if there is None or back is None:
        assert there is back
        return
    rise_m = there.heights_m[-1] - there.heights_m[0]
    assert there.ascent_m - there.descent_m == pytest.approx(rise_m, abs=1e-6)
    assert back.ascent_m == pytest.approx(there.descent_m, rel=0.01, abs=6.1)
    assert there.heights_m[0] == pytest.approx(grid.height_m(line[0]), abs=0.01)
    assert there.ascent_m >= max(0.0, rise_m) - 1e-6


@settings(max_examples=50)
@given(
    heights=st.lists(st.floats(-50.0, 50.0), min_size=3, max_size=40),
    least=st.floats(0.5, 20.0),
)
def test_less_counts_when_only_longer_climbs_count(
    heights: list[float], least: float
) -> None:
    profile = np.array(heights)
    grid = made(
        SPOT, 3, len(heights), 200.0, lambda e, n: np.broadcast_to(profile, e.shape)
    )
    west = grid.position_at(1.0, 0.0)
    east = grid.position_at(1.0, len(heights) - 1.001)

    fine = leg_profile(grid, (west, east), least_climb_m=0.01)
    coarse = leg_profile(grid, (west, east), least_climb_m=least)

    assert fine is not None
    assert coarse is not None
    assert coarse.ascent_m <= fine.ascent_m + 1e-6
    assert coarse.descent_m <= fine.descent_m + 1e-6
