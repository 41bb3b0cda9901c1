"""Cast light beside rays followed step by step; shading, steepness, contours."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.shadow import contours, lit, relief, steepness_deg
from tests.terrain.ground import EARTH_RADIUS_M, jacksboro, made

SPOT = Position(49.6, -8.4)
K = 0.13


def sea(east_m: Array, north_m: Array) -> Array:
    return np.zeros_like(east_m)


def hills(east_m: Array, north_m: Array) -> Array:
    return np.asarray(
        180.0
        + 120.0 * np.sin(east_m / 400.0) * np.cos(north_m / 300.0)
        + 40.0 * np.sin(east_m / 150.0 + north_m / 170.0)
    )


def reached(
    grid: ElevationGrid, azimuth_deg: float, altitude_deg: float, every: int
) -> tuple[npt.NDArray[np.bool_], tuple[slice, slice]]:
    """Which cells a ray reaches that is followed by quarters of a cell, sunwards."""
    north_m, east_m = grid.cell_m
    rows, columns = grid.shape
    cells = slice(5, rows - 5, every), slice(5, columns - 5, every)
    row, column = (part.astype(np.float64).ravel() for part in np.mgrid[cells])
    radius_m = EARTH_RADIUS_M / (1.0 - K)
    east, north = (
        math.sin(math.radians(azimuth_deg)),
        math.cos(math.radians(azimuth_deg)),
    )
    # Sunwards of the middle the Sun stands higher.
    toward_m = (column - (columns - 1) / 2.0) * east_m * east
    toward_m -= (row - (rows - 1) / 2.0) * north_m * north
    rise = np.tan(math.radians(altitude_deg) + toward_m / radius_m)
    start_m = grid.heights_in_cells(row, column)
    step_m = 0.25 * min(north_m, east_m)
    top_m = float(np.nanmax(grid.heights_m))
    is_reached = np.ones(len(row), np.bool_)
    under_way = np.arange(len(row))
    for number in range(4, 100_000):
        run_m = number * step_m
        ray_m = start_m[under_way] + run_m * rise[under_way]
        ray_m += run_m**2 / (2.0 * radius_m)
        ground_m = grid.heights_in_cells(
            row[under_way] - run_m * north / north_m,
            column[under_way] + run_m * east / east_m,
        )
        is_reached[under_way[ground_m > ray_m]] = False
        on = ~np.isnan(ground_m) & (ground_m <= ray_m) & (ray_m <= top_m)
        under_way = under_way[on]
        if not len(under_way):
            break
    else:
        raise RuntimeError("rays that never end")
    return is_reached.reshape(np.mgrid[cells].shape[1:]), cells


def finer(grid: ElevationGrid) -> ElevationGrid:
    """The same ground by cells a third as wide, without kinks at the old ones."""
    rows, columns = grid.shape
    row, column = np.mgrid[0 : 3 * rows - 2, 0 : 3 * columns - 2] / 3.0
    parts = [
        grid.heights_in_cells(
            np.clip(row + down, 0.0, rows - 1.0),
            np.clip(column + right, 0.0, columns - 1.0),
        )
        for down in (-0.33, 0.0, 0.33)
        for right in (-0.33, 0.0, 0.33)
    ]
    return replace(
        grid,
        heights_m=np.mean(parts, axis=0)[:600, :600].astype(np.float32),
        row_step_deg=grid.row_step_deg / 3.0,
        column_step_deg=grid.column_step_deg / 3.0,
    )


@pytest.fixture(scope="module")
def real_ground() -> ElevationGrid:
    """Real ground by cells of 25 to 31 m."""
    return finer(jacksboro())


@pytest.mark.parametrize(
    ("azimuth_deg", "altitude_deg"),
    [(135.0, 12.0), (90.0, 5.0), (250.0, 10.0), (300.0, 3.0), (45.0, 5.0), (0.0, 8.0)],
)
def test_real_ground_is_lit_as_rays_step_by_step_find_it(
    azimuth_deg: float, altitude_deg: float, real_ground: ElevationGrid
) -> None:
    truth, cells = reached(real_ground, azimuth_deg, altitude_deg, every=6)

    found = lit(real_ground, azimuth_deg, altitude_deg)[cells]

    assert truth.size > 9_000
    assert 0.03 < truth.mean() < 0.99
    assert (found == truth).mean() >= 0.997


def test_of_coarse_cells_hardly_more_than_the_rims_of_shadows_differ() -> None:
    # Ridges a cell wide: what stands within the cell itself is anybody's guess.
    grid = jacksboro()
    truth, cells = reached(grid, 45.0, 5.0, every=4)

    found = lit(grid, 45.0, 5.0)[cells]

    assert (found == truth).mean() >= 0.985


def test_a_cliff_casts_its_shadow_as_far_as_it_is_high_over_the_tangent() -> None:
    # 80 m under a Sun at 10 degrees: 453.7 m, closed form h / tan(a).
    cliff = made(SPOT, 201, 201, 10.0, lambda e, n: np.where(n < -500.0, 80.0, 0.0))

    found = lit(cliff, 180.0, 10.0)

    column = found[:, 100]
    in_shade = np.flatnonzero(~column)
    # The last cell of the top is the southernmost but 50 below the middle.
    assert len(in_shade) == pytest.approx(453.7 / 10.0, abs=1.0)
    assert in_shade.max() == 150


@pytest.mark.parametrize("azimuth_deg", [0.0, 37.0, 90.0, 135.0, 200.0, 225.0, 315.0])
def test_open_sea_is_lit_while_the_sun_is_up_and_no_longer(azimuth_deg: float) -> None:
    grid = made(SPOT, 60, 90, 100.0, sea)

    assert lit(grid, azimuth_deg, 0.2).all()
    assert not lit(grid, azimuth_deg, -0.2).any()


def test_below_the_level_the_sun_still_reaches_high_ground() -> None:
    grid = made(
        SPOT, 81, 81, 100.0, lambda e, n: np.where(np.hypot(e, n) < 350, 300, 0.0)
    )

    # From 300 m the sea's horizon lies 0.52 degrees down.
    above, below = lit(grid, 270.0, -0.4), lit(grid, 270.0, -0.6)

    # Its rim, not the middle of its flat top, and not the sea.
    assert above[40, 37]
    assert not above[40, 40]
    assert not above[0, 0]
    assert not below.any()


def test_land_below_the_sea_is_lit_by_a_high_sun() -> None:
    grid = made(SPOT, 60, 60, 100.0, lambda e, n: np.full_like(e, -3.0))

    assert lit(grid, 90.0, 0.05).mean() > 0.9
    assert lit(grid, 90.0, 20.0).all()


def test_a_slope_that_turns_away_is_dark_and_the_other_side_is_lit() -> None:
    # A roof of 30 degrees, ridge from north to south.
    roof = made(
        SPOT,
        101,
        101,
        20.0,
        lambda e, n: 1000.0 - np.abs(e) * math.tan(math.radians(30)),
    )

    found = lit(roof, 90.0, 25.0)

    assert found[:, 51:].all()
    assert not found[:, :50].any()


def test_a_void_is_never_lit_and_casts_no_shadow() -> None:
    grid = made(SPOT, 101, 101, 20.0, hills)
    heights_m = grid.heights_m.copy()
    heights_m[40:44, 40:44] = np.nan
    holed = replace(grid, heights_m=heights_m)

    found, whole = lit(holed, 135.0, 20.0), lit(grid, 135.0, 20.0)

    assert not found[40:44, 40:44].any()
    elsewhere = np.ones(grid.shape, np.bool_)
    elsewhere[40:44, 40:44] = False
    assert (found >= whole)[elsewhere].all()


@settings(max_examples=30)
@given(
    azimuth=st.floats(0.0, 360.0),
    altitude=st.floats(0.5, 60.0),
    higher=st.floats(0.5, 20.0),
)
def test_a_higher_sun_lights_more(
    azimuth: float, altitude: float, higher: float
) -> None:
    grid = made(SPOT, 80, 90, 25.0, hills)

    low, high = lit(grid, azimuth, altitude), lit(grid, azimuth, altitude + higher)

    assert (high >= low).all()


@settings(max_examples=30)
@given(azimuth=st.floats(0.0, 360.0), altitude=st.floats(1.0, 40.0))
def test_turned_and_mirrored_ground_has_its_light_turned_and_mirrored(
    azimuth: float, altitude: float
) -> None:
    # On the equator cells are as wide as they are high, nearly.
    grid = made(Position(0.0, 5.0), 81, 81, 25.0, hills)
    mirrored = replace(grid, heights_m=grid.heights_m[:, ::-1])

    straight = lit(grid, azimuth, altitude)
    found = lit(mirrored, -azimuth, altitude)

    assert (found[:, ::-1] == straight).mean() > 0.999


def test_highest_ground_is_lit_by_any_sun_that_is_up() -> None:
    grid = jacksboro()
    top = np.unravel_index(np.argmax(grid.heights_m), grid.shape)

    for azimuth in range(0, 360, 17):
        assert lit(grid, float(azimuth), 1.0)[top]


def test_level_ground_is_shaded_by_the_sine_of_the_altitude() -> None:
    grid = made(SPOT, 50, 50, 30.0, lambda e, n: np.full_like(e, 12.0))

    assert_allclose(relief(grid, 315.0, 30.0), 0.5, atol=1e-6)


@pytest.mark.parametrize("azimuth_deg", [0.0, 90.0, 180.0, 270.0])
def test_a_slope_that_faces_the_light_is_as_bright_as_can_be(
    azimuth_deg: float,
) -> None:
    turned = math.radians(azimuth_deg)

    def slope(east_m: Array, north_m: Array) -> Array:
        toward_m = east_m * math.sin(turned) + north_m * math.cos(turned)
        return 500.0 - toward_m * math.tan(math.radians(40.0))

    grid = made(SPOT, 50, 50, 10.0, slope)

    assert_allclose(relief(grid, azimuth_deg, 50.0), 1.0, atol=1e-5)
    assert_allclose(relief(grid, azimuth_deg + 180.0, 39.0), 0.0, atol=1e-2)


@settings(max_examples=30)
@given(angle=st.floats(0.5, 70.0), bearing=st.floats(0.0, 360.0))
def test_a_plane_is_as_steep_everywhere_as_it_was_made(
    angle: float, bearing: float
) -> None:
    turned = math.radians(bearing)
    rise = math.tan(math.radians(angle))

    def slope(east_m: Array, north_m: Array) -> Array:
        return (east_m * math.sin(turned) + north_m * math.cos(turned)) * rise

    grid = made(SPOT, 40, 70, 20.0, slope)

    assert_allclose(steepness_deg(grid), angle, atol=0.02)


def test_a_cliff_between_two_cells_is_not_halved_and_voids_stay_unknown() -> None:
    grid = made(SPOT, 60, 60, 30.0, lambda e, n: np.where(e > 0.0, 45.0, 0.0))
    heights_m = grid.heights_m.copy()
    heights_m[10, 10] = np.nan

    found = steepness_deg(replace(grid, heights_m=heights_m))

    # 45 m in 30 m.
    assert_allclose(found[5, 29:31], 56.31, atol=0.05)
    assert_allclose(found[5, [27, 28, 31, 32]], 0.0)
    assert np.isnan(found[10, 10])
    assert_array_equal(np.argwhere(np.isnan(found)), [[10, 10]])


def test_contours_lie_where_the_ground_has_their_height() -> None:
    grid = made(SPOT, 101, 141, 20.0, hills)

    found = contours(grid, 20.0)

    assert [height for height, _ in found] == sorted({height for height, _ in found})
    assert len(found) > 10
    for height_m, lines in found:
        assert height_m % 20.0 == 0.0
        for line in lines:
            heights_m = grid.heights_at(line[:, 0], line[:, 1])
            # Lines are even between their points, ground is bilinear.
            assert_allclose(heights_m, height_m, atol=0.01)


def test_a_cone_has_rings_with_higher_ground_on_one_side() -> None:
    grid = made(SPOT, 201, 201, 10.0, lambda e, n: 500.0 - np.hypot(e, n))

    rings = dict(contours(grid, 100.0))

    (ring,) = rings[100.0]
    assert_allclose(ring[0], ring[-1])
    lat, lon = ring[:, 0] - SPOT.lat_deg, ring[:, 1] - SPOT.lon_deg
    turned = np.sum(lon[:-1] * lat[1:] - lon[1:] * lat[:-1])
    assert turned < 0.0  # clockwise, the top on its right


def test_contours_stop_at_voids_and_there_are_not_endlessly_many() -> None:
    grid = made(SPOT, 41, 41, 20.0, hills)
    void = replace(grid, heights_m=np.full(grid.shape, np.nan, np.float32))

    assert contours(void, 10.0) == []
    with pytest.raises(ValueError, match="more than"):
        contours(grid, 0.01)
    with pytest.raises(ValueError, match="every"):
        contours(grid, 0.0)


def test_of_level_ground_there_is_no_contour() -> None:
    assert contours(made(SPOT, 41, 41, 20.0, sea), 10.0) == []
