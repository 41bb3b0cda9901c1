"""Tests for the pictures that are made of the ground, and the ground they need."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from PIL import Image

from fieldtrip.desktop.content.elevation import NO_HEIGHTS
from fieldtrip.desktop.content.terrain_key import (
    GroundLayer,
    KeyFacts,
    LitFacts,
    ground_key,
)
from fieldtrip.desktop.content.terrain_pictures import (
    GroundPicture,
    Ink,
    mercator_rows,
    relief_picture,
    shade_picture,
    steep_picture,
)
from fieldtrip.desktop.content.terrain_scene import (
    Around,
    contour_features,
    contour_step,
    suffices,
    thinned_out,
    wanted_around,
)
from fieldtrip.geo import Position
from fieldtrip.material.box import Box
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.grid import ElevationGrid

INK = Ink("#102030", 0.5)


def ground(rows: int = 40, columns: int = 40, lat_deg: float = 0.1) -> ElevationGrid:
    """Level ground at 0 m with a wall 100 m high in one column, cells of about 11 m."""
    heights = np.zeros((rows, columns), np.float32)
    heights[:, columns // 2] = 100.0
    return ElevationGrid(heights, lat_deg, 10.0, 1e-4, 1e-4)


def alphas(picture: GroundPicture) -> np.ndarray:
    image = Image.open(io.BytesIO(picture.png)).convert("RGBA")
    return np.asarray(image)[:, :, 3]


def test_the_shade_of_a_wall_falls_away_from_the_sun() -> None:
    picture = shade_picture(ground(), 90.0, 45.0, INK)  # the Sun in the east

    drawn = alphas(picture)
    # 100 m high at 45°: 100 m long, nine cells of 11 m.
    # (The row is any but the rim's.)
    assert drawn[20, 15] == round(255 * 0.5)
    assert drawn[20, 8] == 0
    assert drawn[20, 25] == 0


def test_a_picture_is_of_one_ink() -> None:
    picture = shade_picture(ground(), 90.0, 45.0, INK)

    image = np.asarray(Image.open(io.BytesIO(picture.png)).convert("RGBA"))
    assert image[20, 15, :3].tolist() == [0x10, 0x20, 0x30]


def test_a_void_is_never_tinted() -> None:
    grid = ground()
    grid.heights_m[20, 10] = np.nan

    for picture in (
        shade_picture(grid, 90.0, 5.0, INK),
        steep_picture(grid, INK),
        relief_picture(grid, INK, INK),
    ):
        assert alphas(picture)[20, 10] == 0


def test_a_picture_covers_its_cells_from_edge_to_edge() -> None:
    box = steep_picture(ground(), INK).box

    assert box.north_deg == pytest.approx(0.1 + 0.5e-4)
    assert box.south_deg == pytest.approx(0.1 - 39.5e-4)
    assert box.east_deg - box.west_deg == pytest.approx(40e-4)


def test_steeper_ground_is_darker() -> None:
    x = np.arange(60, dtype=np.float32)
    heights = np.zeros((20, 60), np.float32)
    step_m = 11.057  # a ten-thousandth of a degree on the equator is 11.1 m
    slopes = np.repeat(
        [0.0, math.tan(math.radians(40)), math.tan(math.radians(70))], 20
    )
    heights[:] = np.cumsum(slopes * step_m).astype(np.float32)
    assert len(x) == heights.shape[1]

    drawn = alphas(steep_picture(ElevationGrid(heights, 0.0, 0.0, 1e-4, 1e-4), INK))

    assert drawn[10, 10] == 0
    assert 0 < drawn[10, 30] < drawn[10, 50]


def test_level_ground_has_no_relief_and_slopes_to_the_south_east_are_dark() -> None:
    row, column = np.mgrid[0:30, 0:30].astype(np.float32)
    level = ElevationGrid(np.zeros((30, 30), np.float32), 0.0, 0.0, 1e-4, 1e-4)
    falling = ElevationGrid((-(row + column) * 5.0), 0.0, 0.0, 1e-4, 1e-4)
    light = Ink("#ffffff", 0.5)

    assert not alphas(relief_picture(level, INK, light)).any()
    picture = relief_picture(falling, INK, light)
    image = np.asarray(Image.open(io.BytesIO(picture.png)).convert("RGBA"))
    assert image[15, 15, :3].tolist() == [0x10, 0x20, 0x30]
    assert image[15, 15, 3] > 60


def test_rows_are_spread_as_the_map_spreads_them() -> None:
    """A row in the middle of a picture of 60° to 70° N is that of 65.47° N."""
    grid = ElevationGrid(np.zeros((1001, 5), np.float32), 70.0, 0.0, 0.01, 0.01)

    rows = mercator_rows(grid)

    # Source: Snyder, Map Projections: A Working Manual (USGS, 1987), 7-2, from memory:
    # y = ln tan(45° + latitude / 2); here the mean of y(60°) and y(70°).
    y = [math.log(math.tan(math.pi / 4 + math.radians(lat) / 2)) for lat in (60, 70)]
    middle = math.degrees(2 * math.atan(math.exp(sum(y) / 2)) - math.pi / 2)
    assert middle == pytest.approx(65.47, abs=0.01)
    assert rows[500] == pytest.approx((70.0 - middle) / 0.01, abs=1.5)
    assert rows[0] == 0
    assert rows[-1] == 1000


def test_a_view_wants_ground_some_way_round_it() -> None:
    small = Box(49.60, -8.41, 49.61, -8.39)

    around = wanted_around(small)

    assert around.reach_m == 5000.0  # shade falls into it from beyond
    assert around.middle.lat_deg == pytest.approx(49.605)
    assert suffices(around, small)
    assert not suffices(around, Box(49.60, -8.30, 49.61, -8.28))
    wide = Around(around.middle, 40_000.0)
    assert not suffices(wide, small)  # finer cells can be had


def test_a_view_wider_than_the_layers_is_content_with_its_middle() -> None:
    view = Box(45.0, -15.0, 55.0, 0.0)

    assert suffices(wanted_around(view), view)


def test_a_view_over_the_date_line_finds_its_ground() -> None:
    view = Box(-17.01, 179.99, -17.0, 180.02)

    around = wanted_around(view)

    assert -180.0 <= around.middle.lon_deg <= 180.0
    assert suffices(around, view)


def test_a_grid_of_too_many_cells_is_thinned_evenly() -> None:
    grid = ElevationGrid(np.zeros((100, 300), np.float32), 1.0, 0.0, 1e-3, 2e-3)

    thin = thinned_out(grid, most_cells=2_000)

    assert thin.shape == (25, 75)
    assert thin.row_step_deg == pytest.approx(4e-3)
    assert thinned_out(grid, most_cells=30_000) is grid


def test_contours_are_round_numbers_and_every_fifth_is_written_on() -> None:
    row, _ = np.mgrid[0:60, 0:60].astype(np.float32)
    grid = ElevationGrid(row * 6.0 + 0.5, 49.0, -8.0, 1e-4, 1e-4)
    settings = Settings()

    step_m = contour_step(14.0, 360.0, settings)
    features = contour_features(grid, step_m, settings)["features"]

    assert step_m == 20.0
    labels = [f["properties"]["label"] for f in features if "label" in f["properties"]]
    assert labels == ["100 m", "200 m", "300 m"]
    assert len(features) == 17  # 20 m to 340 m
    first = features[0]["geometry"]["coordinates"][0]
    assert first[0] == pytest.approx(-8.0, abs=0.01)  # longitude first: RFC 7946


def test_where_there_are_few_contours_all_are_written_on() -> None:
    row, _ = np.mgrid[0:60, 0:60].astype(np.float32)
    grid = ElevationGrid(row * 2.0 + 0.5, 49.0, -8.0, 1e-4, 1e-4)

    features = contour_features(grid, 20.0, Settings())["features"]

    labels = [f["properties"]["label"] for f in features]
    assert labels == ["20 m", "40 m", "60 m", "80 m", "100 m"]
    assert [f["properties"]["kind"] for f in features] == [
        *["height-line"] * 4,
        "height-line-main",
    ]


def test_of_very_many_contours_each_height_keeps_its_longest_words() -> None:
    row, column = np.mgrid[0:200, 0:200].astype(np.float32)
    bumps = 30.0 * np.sin(row / 4.0) * np.sin(column / 4.0) + row / 10.0
    grid = ElevationGrid(bumps.astype(np.float32), 49.0, -8.0, 1e-4, 1e-4)

    features = contour_features(grid, 10.0, Settings())["features"]

    labels = [f["properties"]["label"] for f in features if "label" in f["properties"]]
    assert len(labels) == 40
    assert set(labels) >= {"10 m", "20 m", "30 m", "40 m"}


def test_contours_in_feet_are_round_in_feet() -> None:
    step_m = contour_step(14.0, 300.0, Settings(length_unit=LengthUnit.FOOT))

    # Source: the international yard and pound agreement of 1959: 1 ft is 0.3048 m.
    assert step_m == pytest.approx(50 * 0.3048)


def test_the_key_says_what_stands_on_the_map_and_whence() -> None:
    facts = KeyFacts(
        layers=(GroundLayer.STEEP, GroundLayer.LIT),
        cell_m=30.9,
        sources=("north tile",),
        credits=("© The Survey",),
        lit=LitFacts("16:10", 233.2, 4.6, is_up=True),
    )

    steep, light, source = ground_key(facts, Settings())

    assert [row["text"] for row in steep["rows"]] == [  # type: ignore[attr-defined]
        "35° to 45°",
        "45° to 60°",
        "above 60°",
    ]
    assert light["heading"] == "Lit at 16:10"
    assert light["notes"] == ["Sun 233°, 4.6° up"]
    assert source["notes"] == [
        "A height every 31 m from “north tile”. Edges, walls and gullies fall between.",
        "© The Survey",
    ]


def test_the_key_says_that_the_sun_is_down() -> None:
    lit = LitFacts("23:10", 10.0, -40.0, is_up=False)
    facts = KeyFacts(layers=(GroundLayer.LIT,), cell_m=10.0, lit=lit)

    light, _ = ground_key(facts, Settings())

    assert light["rows"] == []
    assert light["notes"] == ["The Sun is down: no direct light anywhere."]


def test_the_key_says_how_to_add_heights_where_there_are_none() -> None:
    facts = KeyFacts(layers=(GroundLayer.RELIEF,), cell_m=None)

    (part,) = ground_key(facts, Settings())

    assert part["notes"] == [NO_HEIGHTS]
    assert ground_key(KeyFacts(layers=(), cell_m=None), Settings()) == []


def test_mountains_have_fewer_contours() -> None:
    assert contour_step(16.0, 3_000.0, Settings()) == 50.0
    assert contour_step(16.0, 100.0, Settings()) == 5.0


def test_the_middle_is_a_position() -> None:
    assert wanted_around(Box(10.0, 200.0, 11.0, 201.0)).middle == Position(10.5, -159.5)
