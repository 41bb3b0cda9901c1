"""The demo's ground agrees with its outline and with every height that is typed.

All of it is invented, so it is compared with nothing outside.
"""

from __future__ import annotations

import importlib.util
import json
from datetime import date
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.demo import demo_records, ground_file, outline_file
from fieldtrip.files import own_folder
from fieldtrip.geo import Position, contains, distance_to_line_m
from fieldtrip.places.records import (
    Hazard,
    HazardKind,
    Leg,
    Refuge,
    Subject,
    VantagePoint,
)
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.mosaic import grid_over
from fieldtrip.terrain.records import whereabouts
from fieldtrip.terrain.sightline import sightline
from fieldtrip.trips.records import Stop

RECORDS = demo_records(date(2026, 11, 25))
LARGEST_BYTES = 1_500_000


@pytest.fixture(scope="module")
def grid() -> ElevationGrid:
    """The whole of the demo's ground."""
    path = whereabouts(ground_file(), None)
    facts = look_at(path)
    found = grid_over([ElevationSource(path, facts)], facts.extent)
    assert found is not None
    return found


def height_m(grid: ElevationGrid, position: Position) -> float:
    found = grid.height_m(position)
    assert found is not None
    return found


def heights_along(grid: ElevationGrid, *ends: Position) -> Array:
    """Heights at even steps between two positions."""
    part = np.linspace(0.0, 1.0, 400)
    a, b = ends
    return grid.heights_at(
        a.lat_deg + (b.lat_deg - a.lat_deg) * part,
        a.lon_deg + (b.lon_deg - a.lon_deg) * part,
    )


def test_it_is_small_and_covers_six_kilometres(grid: ElevationGrid) -> None:
    path = whereabouts(ground_file(), None)

    rows, columns = grid.shape

    assert path.stat().st_size < LARGEST_BYTES
    assert (rows, columns) == (600, 600)
    assert_allclose(grid.cell_m, (10.0, 10.0), rtol=1e-3)
    assert not np.isnan(grid.heights_m).any()


@pytest.mark.slow
def test_the_script_makes_the_same_heights(grid: ElevationGrid) -> None:
    made = script().terrain()

    # Another machine's arithmetic may round a height to the next sixteenth.
    assert_allclose(grid.heights_m, made, atol=0.13)


def test_typed_ground_agrees(grid: ElevationGrid) -> None:
    typed = [
        record
        for record in RECORDS
        if isinstance(record, VantagePoint | Subject) and record.ground_m is not None
    ]

    off = {one.name: height_m(grid, one.position) - one.ground_m for one in typed}  # type: ignore[operator]

    assert len(off) >= 6
    assert {name: off_m for name, off_m in off.items() if abs(off_m) > 2.5} == {}


def test_land_is_where_the_outline_is(grid: ElevationGrid) -> None:
    drawn: list[dict[str, Any]] = json.loads(outline_file().read_text("utf-8"))[
        "features"
    ]
    rings = [
        tuple(Position(lat, lon) for lon, lat in each["geometry"]["coordinates"][0])
        for each in drawn
        if each["properties"]["kind"] == "land"
    ]
    chance = np.random.default_rng(5)

    for row, column in chance.integers(0, 600, (400, 2)):
        here = grid.position_at(float(row), float(column))
        if min(distance_to_line_m(here, ring) for ring in rings) < 40.0:
            continue
        is_land = any(contains(ring, here) for ring in rings)
        assert (grid.heights_m[row, column] > 0.0) == is_land, here


def test_the_bar_is_the_lowest_way_and_stands_below_mean_sea_level(
    grid: ElevationGrid,
) -> None:
    bar = next(r for r in RECORDS if isinstance(r, Leg) and r.name == "Shingle bar")

    heights = heights_along(grid, *bar.line[1:3])

    assert heights.max() < 0.0
    assert heights.min() > -1.0


def test_a_real_drop_lies_beyond_the_edge(grid: ElevationGrid) -> None:
    edge = next(
        r for r in RECORDS if isinstance(r, Hazard) and r.kind is HazardKind.CLIFF_EDGE
    )

    for corner in edge.line[2:6]:
        inland = Position(corner.lat_deg - 0.0004, corner.lon_deg)
        seaward = Position(corner.lat_deg + 0.0004, corner.lon_deg)
        assert height_m(grid, inland) - height_m(grid, seaward) > 55.0


def test_routes_climb_about_as_is_typed(grid: ElevationGrid) -> None:
    climbs = {
        leg.name: height_m(grid, leg.line[-1]) - height_m(grid, leg.line[0])
        for leg in RECORDS
        if isinstance(leg, Leg)
    }

    for leg in RECORDS:
        if isinstance(leg, Leg) and leg.name != "Shingle bar":
            assert leg.ascent_m is not None
            assert leg.descent_m is not None
            typed_m = leg.ascent_m - leg.descent_m
            assert climbs[leg.name] == pytest.approx(typed_m, abs=5.0), leg.name


def test_each_stop_sees_what_it_is_for(grid: ElevationGrid) -> None:
    places = {r.id: r for r in RECORDS if isinstance(r, VantagePoint | Subject)}
    stops = [record for record in RECORDS if isinstance(record, Stop)]

    for stop in stops:
        spot = places[stop.vantage_point_id]
        assert stop.subject_id is not None
        subject = places[stop.subject_id]
        assert isinstance(spot, VantagePoint)
        assert isinstance(subject, Subject)
        assert subject.height_m is not None
        seen = sightline(
            grid, spot.position, spot.eye_height_m, subject.position, subject.height_m
        )
        assert seen.visible, (spot.name, subject.name, seen.clearance_m)
    assert len(stops) > 1


def test_the_refuge_stands_well_above_the_sea(grid: ElevationGrid) -> None:
    refuge = next(record for record in RECORDS if isinstance(record, Refuge))

    assert height_m(grid, refuge.position) > 8.0


def script() -> ModuleType:
    """The script that makes the ground."""
    path = own_folder("resources") / "demo" / "make_terrain.py"
    spec = importlib.util.spec_from_file_location("make_terrain", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
