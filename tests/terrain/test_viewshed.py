"""Viewsheds beside lines of sight, followed one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.arrays import Array
from fieldtrip.errors import Cancelled, UserError
from fieldtrip.geo import Position, destination, distance_m
from fieldtrip.terrain.viewshed import viewshed
from tests.terrain.ground import EARTH_RADIUS_M, jacksboro, made

SPOT = Position(49.6, -8.4)


def hills(east_m: Array, north_m: Array) -> Array:
    return np.asarray(
        180.0
        + 120.0 * np.sin(east_m / 900.0) * np.cos(north_m / 700.0)
        + 40.0 * np.sin(east_m / 350.0 + north_m / 370.0)
    )


@pytest.mark.parametrize("target_m", [0.0, 25.0])
def test_real_ground_is_seen_as_lines_of_sight_find_it(target_m: float) -> None:
    grid, rng = jacksboro(), np.random.default_rng(20261125)
    spot = grid.position_at(150.3, 220.7)
    ground_m = grid.height_m(spot)
    assert ground_m is not None
    cell_m = min(grid.cell_m)

    found = viewshed(grid, spot, 1.75, target_m)

    agree, seen = [], 0
    for row, column in rng.integers((0, 0), grid.shape, (1500, 2)):
        cell = grid.position_at(row, column)
        away_m = distance_m(spot, cell)
        if away_m < 4.0 * cell_m:
            continue
        along_m = np.arange(1.0, away_m - 0.75 * cell_m, 15.0)
        part = along_m / away_m
        lat = spot.lat_deg + (cell.lat_deg - spot.lat_deg) * part
        lon = spot.lon_deg + (cell.lon_deg - spot.lon_deg) * part
        bulge = 0.87 / (2.0 * EARTH_RADIUS_M)
        top = float(grid.heights_m[row, column]) + target_m
        slope = (top - ground_m - 1.75) / away_m - away_m * bulge
        before = (grid.heights_at(lat, lon) - ground_m - 1.75) / along_m
        is_seen = bool(slope >= (before - along_m * bulge).max())
        agree.append(is_seen == found[row, column])
        seen += is_seen

    assert seen > 20
    assert np.mean(agree) >= 0.985


def test_over_open_sea_one_sees_to_the_horizon_and_no_farther() -> None:
    grid = made(SPOT, 301, 401, 100.0, lambda e, n: np.zeros_like(e))

    found = viewshed(grid, SPOT, 10.0, reach_m=15_000.0)

    # Closed form: sqrt(2 R h / (1 - k)) = 12.10 km.
    for bearing in (0.0, 50.0, 90.0, 200.0, 310.0):
        for away_m, is_seen in ((11_500.0, True), (12_700.0, False)):
            cell = grid.cell_of(destination(SPOT, bearing, away_m))
            assert found[round(cell[0]), round(cell[1])] == is_seen


def test_a_wall_hides_what_lies_behind_but_not_a_mast_there() -> None:
    def wall(east_m: Array, north_m: Array) -> Array:
        return np.where(np.abs(east_m - 1000.0) < 60.0, 50.0, 0.0)

    grid = made(SPOT, 101, 201, 40.0, wall)

    ground = viewshed(grid, SPOT, 2.0)
    masts = viewshed(grid, SPOT, 2.0, 150.0)

    assert ground[50, 75:124].all()
    assert not ground[50, 130:].any()
    assert masts[50, 130:150].all()


def test_voids_are_not_seen() -> None:
    grid = made(SPOT, 101, 101, 40.0, lambda e, n: np.zeros_like(e))
    heights_m = grid.heights_m.copy()
    heights_m[20:25, 20:25] = np.nan

    found = viewshed(replace(grid, heights_m=heights_m), SPOT, 20.0)

    assert not found[20:25, 20:25].any()
    assert found[26:, :].all()


@settings(max_examples=15)
@given(eye=st.floats(0.5, 50.0), more=st.floats(0.5, 100.0))
def test_higher_things_are_seen_sooner(eye: float, more: float) -> None:
    grid = made(SPOT, 81, 101, 60.0, hills)

    ground = viewshed(grid, SPOT, eye)
    masts = viewshed(grid, SPOT, eye, more)

    assert (masts >= ground).all()


@settings(max_examples=15)
@given(lon=st.floats(-180.0, 180.0))
def test_the_date_line_makes_no_difference(lon: float) -> None:
    here = viewshed(made(SPOT, 61, 81, 60.0, hills), SPOT, 2.0)
    spot = Position(SPOT.lat_deg, lon)

    found = viewshed(made(spot, 61, 81, 60.0, hills), spot, 2.0)

    assert (found == here).mean() > 0.995


def test_the_way_is_told_and_can_be_ended() -> None:
    grid = made(SPOT, 101, 101, 60.0, hills)
    told: list[float] = []

    def stop(fraction: float) -> None:
        if fraction > 0.5:
            raise Cancelled

    viewshed(grid, SPOT, 2.0, progress=told.append)

    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) > 4
    with pytest.raises(Cancelled):
        viewshed(grid, SPOT, 2.0, progress=stop)


def test_without_any_height_of_the_spot_there_is_a_sentence() -> None:
    grid = made(SPOT, 50, 50, 30.0, hills)
    outside = destination(SPOT, 90.0, 1500.0)

    with pytest.raises(UserError, match="no height for this spot"):
        viewshed(grid, outside, 2.0)

    assert viewshed(grid, outside, 2.0, ground_m=900.0).any()


def test_beyond_the_reach_nothing_is_marked() -> None:
    grid = made(SPOT, 201, 201, 60.0, lambda e, n: np.zeros_like(e))

    found = viewshed(grid, SPOT, 50.0, reach_m=3000.0)

    assert found[100, 100:149].all()
    assert not found[100, 151:].any()
