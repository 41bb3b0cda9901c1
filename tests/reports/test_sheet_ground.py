"""Tests for the ground below the sheet's map."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import numpy as np
import pytest

from fieldtrip.geo import Position, distance_m
from fieldtrip.material.coast import Coast
from fieldtrip.reports.sheet import StrokeKind
from fieldtrip.reports.sheet_frame import Frame, frame_round
from fieldtrip.reports.sheet_ground import (
    Ground,
    coast_ground,
    drawing_ground,
    heights_ground,
    together,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround

HERE = Position(49.6, -8.4)


class Cone:
    """An island of 900 m radius and 90 m height round HERE, as elevation files."""

    def __init__(self, west_deg: float = -8.45) -> None:
        self._west_deg = west_deg

    def grid_for(self, _position: Position, _reach_m: float) -> ElevationGrid | None:
        """Heights of the cone, wherever one asks."""
        lats = 49.65 - np.arange(200) * 0.0005
        lons = self._west_deg + np.arange(200) * 0.0005
        north_m = (lats[:, None] - HERE.lat_deg) * 111_229.0
        east_m = (lons[None, :] - HERE.lon_deg) * 72_265.0
        heights = np.maximum(90.0 - 0.1 * np.hypot(north_m, east_m), 0.0)
        return ElevationGrid(
            heights.astype(np.float32), 49.65, self._west_deg, 0.0005, 0.0005
        )


def cone(west_deg: float = -8.45) -> KnownGround:
    return cast("KnownGround", Cone(west_deg))


def frame() -> Frame:
    return frame_round([Position(49.592, -8.41), Position(49.608, -8.39)])


def test_land_and_lines_of_equal_height_come_from_the_elevation_files() -> None:
    ground = heights_ground(cone(), frame(), Settings())

    land = [s for s in ground.shapes if s.kind is StrokeKind.LAND]
    lines = [s for s in ground.shapes if s.kind is StrokeKind.CONTOUR]
    (ring,) = land[0].rings
    assert len(land) == 1
    for position in ring:
        assert distance_m(HERE, position) == pytest.approx(900.0, abs=60.0)  # a cell
    assert len(lines) == 8  # 10 m to 80 m; the top is a point
    assert "a line every 10 m" in ground.credit


def test_the_step_is_round_in_the_unit_of_the_settings() -> None:
    ground = heights_ground(cone(), frame(), Settings(length_unit=LengthUnit.FOOT))

    assert "a line every 50 ft" in ground.credit


def test_over_a_drawing_only_the_lines_are_drawn() -> None:
    ground = heights_ground(cone(), frame(), Settings(), with_land=False)

    assert {shape.kind for shape in ground.shapes} == {StrokeKind.CONTOUR}


def test_heights_that_cover_a_part_of_the_map_do_no_harm() -> None:
    for west_deg in (-8.5, -8.401, -8.35):  # before, within and beyond
        heights_ground(cone(west_deg), frame(), Settings())


def test_a_drawing_keeps_its_kinds_and_holes() -> None:
    square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 0.0]]
    features = [
        {
            "geometry": {"type": kind, "coordinates": places},
            "properties": {"kind": what},
        }
        for kind, places, what in (
            ("Polygon", [square, square], "land"),
            ("MultiPolygon", [[square], [square]], "water"),
            ("LineString", square, "contour"),
            ("MultiLineString", [square, square], "of no such kind"),
        )
    ]

    ground = drawing_ground({"features": features}, "Whose it is.")

    kinds = [(shape.kind, len(shape.rings)) for shape in ground.shapes]
    assert kinds == [
        (StrokeKind.LAND, 2), (StrokeKind.WATER, 1), (StrokeKind.WATER, 1),
        (StrokeKind.CONTOUR, 1), (StrokeKind.CONTOUR, 1), (StrokeKind.CONTOUR, 1),
    ]  # fmt: skip
    assert ground.shapes[0].rings[0][1] == Position(0.0, 1.0)


def test_several_grounds_become_one_and_empty_ones_none() -> None:
    one = drawing_ground({"features": []}, "Nothing.")
    cones = heights_ground(cone(), frame(), Settings())

    assert together([one]) is None
    assert together([one, cones]) == cones
    both = together([cones, Ground(cones.shapes, "Also.")])
    assert both is not None
    assert both.credit == f"{cones.credit} Also."


def test_the_coastline_is_told_with_how_true_it_is(tmp_path: Path) -> None:
    coast = Coast(tmp_path)
    if not coast.is_installed:
        pytest.skip("the coastline's data are not installed")
    west = frame_round([Position(50.06, -5.72), Position(50.08, -5.69)])

    ground = coast_ground(coast, west)

    assert {shape.kind for shape in ground.shapes} >= {
        StrokeKind.LAND,
        StrokeKind.SHORE,
    }
    assert "±200 m" in ground.credit
