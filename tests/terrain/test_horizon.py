"""The horizon beside closed forms, and beside rays followed step by step."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, destination
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.horizon import horizon
from tests.terrain.ground import followed, jacksboro, made, seen_deg

SPOT = Position(49.6, -8.4)


def sea(east_m: Array, north_m: Array) -> Array:
    return np.zeros_like(east_m)


def hills(east_m: Array, north_m: Array) -> Array:
    return np.asarray(
        180.0
        + 90.0 * np.sin(east_m / 700.0) * np.cos(north_m / 500.0)
        + 30.0 * np.sin(east_m / 190.0 + north_m / 230.0)
    )


def test_over_open_sea_the_dip_stands() -> None:
    grid = made(SPOT, 260, 260, 500.0, sea)

    found = horizon(grid, SPOT, eye_m=100.0)

    # Closed form on a sphere of 6371 km with k = 0.13: acos(R / (R + h)).
    assert_allclose(found.altitudes_deg, -0.29943, atol=1e-5)
    assert_allclose(found.distances_m, 38_270.0, rtol=0.02)
    assert found.is_complete.all()


def test_where_the_model_ends_the_dip_stands_and_it_says_so() -> None:
    grid = made(SPOT, 60, 60, 100.0, sea)

    found = horizon(grid, SPOT, eye_m=100.0)

    assert_allclose(found.altitudes_deg, -0.29943, atol=1e-5)
    assert not found.is_complete.any()


def test_a_dip_beyond_the_reach_is_still_the_seas() -> None:
    grid = made(SPOT, 80, 80, 500.0, sea)

    found = horizon(grid, SPOT, eye_m=100.0, reach_m=15_000.0)

    assert_allclose(found.altitudes_deg, -0.29943, atol=1e-5)
    assert found.is_complete.all()


@pytest.mark.parametrize(
    # Closed form, wall of 1000 m at 10 km, R = 6371 km: atan(((R+z)cos a - R) /
    # ((R+z)sin a)) with R / (1 - k) for R.
    ("k", "altitude_deg"),
    [(0.13, 5.6719), (0.0, 5.6661)],
)
def test_a_wall_all_round_stands_as_high_as_its_closed_form(
    k: float, altitude_deg: float
) -> None:
    cell_m = 30.0

    def wall(east_m: Array, north_m: Array) -> Array:
        return np.where(np.hypot(east_m, north_m) >= 10_000.0, 1000.0, 0.0)

    grid = made(SPOT, 740, 740, cell_m, wall)

    found = horizon(grid, SPOT, eye_m=0.0, refraction_k=k, count=360)

    # The top starts at the first cell beyond 10 km.
    farthest_m = 10_000.0 + 1.5 * cell_m
    lowest_deg = altitude_deg * 10_000.0 / farthest_m
    assert found.altitudes_deg.max() <= altitude_deg + 1e-4
    assert found.altitudes_deg.min() >= lowest_deg
    assert found.altitudes_deg.max() > altitude_deg - 0.003


@pytest.mark.parametrize("lat", [-62.0, 0.0, 68.0])
@pytest.mark.parametrize("azimuth", [33.0, 121.5, 290.0])
def test_a_tower_stands_in_its_true_bearing(lat: float, azimuth: float) -> None:
    spot, cell_m = Position(lat, 14.0), 150.0
    grid = made(spot, 700, 700, cell_m, sea)
    tower = destination(spot, azimuth, 40_000.0)
    row, column = (round(value) for value in grid.cell_of(tower))
    heights_m = grid.heights_m.copy()
    heights_m[row, column] = 2000.0
    grid = replace(grid, heights_m=heights_m)

    found = horizon(grid, spot, eye_m=2.0, count=3600)

    peak = int(found.altitudes_deg.argmax())
    off_deg = math.degrees(0.75 * cell_m / 40_000.0)  # towers stand in cells' middles
    assert found.azimuths_deg[peak] == pytest.approx(azimuth, abs=off_deg + 0.05)
    assert found.distances_m[peak] == pytest.approx(40_000.0, abs=2.0 * cell_m)


def test_real_ground_stands_as_rays_step_by_step_find_it() -> None:
    grid, rng = jacksboro(), np.random.default_rng(20261125)
    rows, columns = grid.shape
    near_m = np.arange(0.2, 200.0, 0.1)
    far_m = 200.0 * 1.0005 ** np.arange(1, math.ceil(math.log(150.0) / 0.0005))
    distances_m = np.append(near_m, far_m)  # every 2000th of the distance, to 30 km
    off_deg = []

    for k in range(30):
        spot = grid.position_at(
            rng.uniform(0.15, 0.85) * rows, rng.uniform(0.15, 0.85) * columns
        )
        found = horizon(grid, spot, eye_m=1.7)
        dip_deg = math.degrees(
            math.acos(1.0 / (1.0 + 0.87 * (found.ground_m + 1.7) / 6_371_000.0))
        )
        for number in range(k, 720, 48):
            lat, lon = followed(spot, found.azimuths_deg[number], distances_m)
            heights_m = grid.heights_at(lat, lon)
            is_known = ~np.isnan(heights_m)
            seen = seen_deg(
                found.ground_m + 1.7, heights_m[is_known], distances_m[is_known], 0.13
            )
            highest_deg = max(float(seen.max()), -dip_deg)
            off_deg.append(abs(found.altitudes_deg[number] - highest_deg))

    assert len(off_deg) == 450
    assert np.mean(off_deg) <= 0.005
    assert np.percentile(off_deg, 99) <= 0.05


def test_unknown_ground_on_the_way_is_told_and_ground_before_it_still_counts() -> None:
    grid = made(SPOT, 301, 301, 30.0, hills)
    heights_m = grid.heights_m.copy()
    heights_m[60:70, 149:152] = np.nan  # 2.4 km to the north
    holed = replace(grid, heights_m=heights_m)

    whole = horizon(grid, SPOT, eye_m=1.7, reach_m=4000.0)
    found = horizon(holed, SPOT, eye_m=1.7, reach_m=4000.0)

    assert whole.is_complete.all()
    assert not found.is_complete[0]
    assert found.is_complete[180]
    assert found.altitudes_deg[180] == whole.altitudes_deg[180]
    is_before = whole.distances_m[0] < 2000.0
    assert is_before
    assert found.altitudes_deg[0] == pytest.approx(whole.altitudes_deg[0])


def test_a_typed_height_wins_and_raises_no_wall_beside_the_tripod() -> None:
    grid = made(SPOT, 101, 101, 30.0, lambda e, n: np.full_like(e, 50.0))

    lower = horizon(grid, SPOT, eye_m=1.7, ground_m=44.0)
    as_modelled = horizon(grid, SPOT, eye_m=1.7)

    assert as_modelled.ground_m == pytest.approx(50.0)
    assert lower.ground_m == 44.0
    # Six metres of a step in the model are spread over two cells.
    assert 0.0 < lower.altitudes_deg.max() < 6.0


def test_without_any_height_of_the_spot_there_is_a_sentence() -> None:
    grid = made(SPOT, 50, 50, 30.0, sea)
    outside = destination(SPOT, 90.0, 5000.0)

    with pytest.raises(UserError, match="hold no height for this spot"):
        horizon(grid, outside, eye_m=1.7)

    found = horizon(grid, outside, eye_m=1.7, ground_m=12.0)
    assert not found.is_complete.any()


def test_from_outside_the_model_what_it_holds_is_seen() -> None:
    grid = made(SPOT, 101, 101, 100.0, lambda e, n: np.full_like(e, 600.0))
    west = destination(SPOT, 270.0, 9000.0)

    found = horizon(grid, west, eye_m=2.0, ground_m=0.0)

    # 600 m at 4 km.
    assert found.altitude_at(90.0) == pytest.approx(8.5, abs=0.2)
    assert found.altitude_at(270.0) < 0.0


def test_the_horizon_between_azimuths_is_even_and_closes_at_north() -> None:
    found = horizon(made(SPOT, 201, 201, 30.0, hills), SPOT, eye_m=1.7, count=360)

    half = found.altitude_at(359.5)

    ends = found.altitudes_deg[[359, 0]]
    assert half == pytest.approx(ends.mean())
    assert found.altitude_at(360.0) == found.altitudes_deg[0]
    assert found.altitude_at(-1.0) == pytest.approx(found.altitudes_deg[359])


def test_what_stands_near_is_less_sure_than_what_is_far() -> None:
    def ridges(east_m: Array, north_m: Array) -> Array:
        near = (np.abs(north_m - 60.0) < 20.0) & (east_m > -400.0)
        far = (np.abs(north_m + 3000.0) < 100.0) & (east_m > -4000.0)
        return np.where(near, 40.0, 0.0) + np.where(far, 300.0, 0.0)

    found = horizon(made(SPOT, 401, 401, 20.0, ridges), SPOT, eye_m=1.7)

    near_deg, far_deg = found.errors_at(np.array([0.0, 180.0]))
    # 5 m at 60 m are 4.8 degrees, 5 m at 3 km are 0.1.
    assert near_deg > 3.0
    assert 0.09 < far_deg < 2.0


@settings(max_examples=25)
@given(eye=st.floats(0.0, 200.0), more=st.floats(0.1, 200.0))
def test_from_higher_up_nothing_stands_higher(eye: float, more: float) -> None:
    grid = made(SPOT, 201, 201, 40.0, hills)

    low = horizon(grid, SPOT, eye_m=eye, count=90)
    high = horizon(grid, SPOT, eye_m=eye + more, count=90)

    assert (high.altitudes_deg <= low.altitudes_deg + 1e-4).all()


@settings(max_examples=25)
@given(row=st.integers(0, 200), column=st.integers(0, 200), up=st.floats(0.0, 500.0))
def test_more_ground_lowers_no_horizon(row: int, column: int, up: float) -> None:
    grid = made(SPOT, 201, 201, 40.0, hills)
    heights_m = grid.heights_m.copy()
    heights_m[row, column] += up
    # Not at the spot, whose own height would change.
    raised = replace(grid, heights_m=heights_m)

    before = horizon(grid, SPOT, eye_m=1.7, ground_m=200.0, count=90)
    after = horizon(raised, SPOT, eye_m=1.7, ground_m=200.0, count=90)

    if max(abs(row - 100), abs(column - 100)) > 2:
        assert (after.altitudes_deg >= before.altitudes_deg - 1e-4).all()


@settings(max_examples=20)
@given(lon=st.floats(-180.0, 180.0))
def test_a_horizon_is_the_same_at_any_longitude(lon: float) -> None:
    here = made(SPOT, 101, 101, 60.0, hills)
    spot = Position(SPOT.lat_deg, lon)

    found = horizon(made(spot, 101, 101, 60.0, hills), spot, eye_m=1.7, count=90)

    same = horizon(here, SPOT, eye_m=1.7, count=90)
    # Rounding of degrees moves the spot by micrometres.
    assert_allclose(found.altitudes_deg, same.altitudes_deg, atol=1e-3)


def test_seen_in_a_mirror_the_horizon_is_mirrored() -> None:
    grid = made(SPOT, 201, 201, 40.0, hills)
    mirrored = replace(grid, heights_m=np.ascontiguousarray(grid.heights_m[:, ::-1]))

    found = horizon(mirrored, SPOT, eye_m=1.7)

    same = horizon(grid, SPOT, eye_m=1.7)
    assert_allclose(found.altitudes_deg[1:], same.altitudes_deg[:0:-1], atol=2e-3)


def test_a_part_of_a_grid_is_read_where_it_lies() -> None:
    grid = made(SPOT, 401, 401, 40.0, hills)
    part = grid.around(SPOT, 5000.0)
    assert part is not None
    turned = ElevationGrid(
        np.asfortranarray(part.heights_m),
        part.north_deg,
        part.west_deg,
        part.row_step_deg,
        part.column_step_deg,
    )

    found = horizon(part, SPOT, eye_m=1.7, reach_m=4900.0)

    whole = horizon(grid, SPOT, eye_m=1.7, reach_m=4900.0)
    copied = horizon(turned, SPOT, eye_m=1.7, reach_m=4900.0)
    assert part.shape[0] < 260
    assert_allclose(found.altitudes_deg, whole.altitudes_deg, atol=1e-4)
    assert_allclose(copied.altitudes_deg, found.altitudes_deg)


def test_a_long_grid_is_read_to_its_last_row() -> None:
    heights_m = np.zeros((40_000, 3), np.float32)
    grid = ElevationGrid(heights_m, 50.0, 8.0, 0.00001, 0.0005)
    spot = grid.position_at(100.0, 1.0)

    found = horizon(grid, spot, eye_m=2.0, count=720, reach_m=70_000.0)

    assert not found.is_complete.any()
    assert_allclose(found.altitudes_deg, found.altitudes_deg[0], atol=1e-4)


def test_no_horizon_is_asked_for_that_makes_no_sense() -> None:
    grid = made(SPOT, 50, 50, 30.0, sea)

    for eye_m, count, reach_m in ((-1.0, 720, 1e4), (1.7, 2, 1e4), (1.7, 720, 0.0)):
        with pytest.raises(ValueError, match="azimuths"):
            horizon(grid, SPOT, eye_m=eye_m, count=count, reach_m=reach_m)
