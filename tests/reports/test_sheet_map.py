"""Tests for the map of the sheet: where things lie on paper."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import Position, bearing_deg, destination, distance_m
from fieldtrip.reports.sheet import MarkKind, SheetMap, StrokeKind
from fieldtrip.reports.sheet_frame import (
    HEIGHT,
    WIDTH,
    Frame,
    cut_line,
    cut_ring,
    frame_round,
    thinned,
)
from fieldtrip.reports.trip_sheet import Extras
from tests.reports.story import bare, demo_ground, ordinary, sheet_of, ten_stops

HERE = Position(49.6, -8.4)
SIDE = st.floats(-2000.0, 2000.0)
RING = st.lists(st.tuples(SIDE, SIDE), min_size=3, max_size=12)


@pytest.fixture(scope="module")
def evening() -> SheetMap:
    return sheet_of(ordinary(), extras=Extras(ground=demo_ground())).map


def framed(*positions: Position) -> Frame:
    return frame_round(positions)


@given(
    bearing=st.floats(0.0, 359.9),
    lat=st.floats(-75.0, 75.0),
    lon=st.floats(-180.0, 180.0),
)
def test_north_is_up_and_lengths_are_true(
    bearing: float, lat: float, lon: float
) -> None:
    middle = Position(lat, lon)
    ends = [destination(middle, turn, 2000.0) for turn in (0.0, 90.0, 180.0, 270.0)]
    frame = framed(*ends)
    there = destination(frame.middle, bearing, 1500.0)

    x0, y0 = frame.point(frame.middle)
    x, y = frame.point(there)

    shown = math.degrees(math.atan2(x - x0, y0 - y)) % 360.0
    true = bearing_deg(frame.middle, there)
    assert abs(math.remainder(shown - true, 360.0)) < 0.3
    shown_m = math.hypot(x - x0, y - y0) / frame.units_per_m
    assert shown_m == pytest.approx(1500.0, rel=0.005)


@given(st.lists(st.tuples(st.floats(-60, 60), st.floats(-0.5, 0.5)), min_size=1))
def test_everything_asked_for_lies_on_the_map(
    found: list[tuple[float, float]],
) -> None:
    # Round the date line, where longitudes jump.
    spots = [
        Position(lat, 179.9 + lon if lon < 0.1 else lon - 180.1) for lat, lon in found
    ]
    near = [p for p in spots if abs(p.lat_deg - spots[0].lat_deg) < 1.0]

    frame = framed(*near)

    assert all(frame.holds(position) for position in near)


def test_a_trip_of_one_spot_gets_a_map_round_it() -> None:
    frame = framed(HERE)

    assert frame.point(HERE) == (WIDTH / 2, HEIGHT / 2)
    assert WIDTH / frame.units_per_m > 400.0


@given(RING)
def test_what_is_cut_lies_near_the_map(ring: list[tuple[float, float]]) -> None:
    for x, y in cut_ring(ring):
        assert -31.0 <= x <= WIDTH + 31.0
        assert -31.0 <= y <= HEIGHT + 31.0


def test_an_area_round_the_whole_map_fills_it() -> None:
    ring = cut_ring([(-5e3, -5e3), (5e3, -5e3), (5e3, 5e3), (-5e3, 5e3)])

    assert len(ring) >= 4
    assert min(x for x, _ in ring) < 0.0 < WIDTH < max(x for x, _ in ring)
    assert min(y for _, y in ring) < 0.0 < HEIGHT < max(y for _, y in ring)


def test_an_area_beyond_the_map_leaves_nothing() -> None:
    assert cut_ring([(2e3, 2e3), (3e3, 2e3), (3e3, 3e3)]) == ()


def test_a_line_that_leaves_and_returns_comes_in_two_stretches() -> None:
    line = [(10.0, 10.0), (20.0, 10.0), (20.0, -900.0), (300.0, -900.0), (300.0, 50.0)]

    assert len(cut_line(line)) == 2


def test_thinning_keeps_both_ends() -> None:
    points = [(k / 100.0, 0.0) for k in range(101)]

    kept = thinned(points)

    assert kept[0] == (0.0, 0.0)
    assert kept[-1] == (1.0, 0.0)
    assert len(kept) < 5


def test_the_scale_bar_is_as_long_as_it_says(evening: SheetMap) -> None:
    dossier, _ = ordinary()
    spots = {v.name: v.position for v in dossier.vantage_points}
    marks = {m.name: m for m in evening.marks if m.kind is MarkKind.STOP}
    a, b = marks["Gully head"], marks["Bar end"]

    units = math.dist((a.x, a.y), (b.x, b.y))
    units_per_m = units / distance_m(spots["Gully head"], spots["Bar end"])

    number, unit = evening.scale_text.split()
    metres = float(number) * (1000.0 if unit == "km" else 1.0)
    assert evening.scale_length == pytest.approx(metres * units_per_m, rel=0.005)


def test_the_grid_names_its_meridians_and_parallels(evening: SheetMap) -> None:
    meridians = [line for line in evening.grid if line.is_meridian]
    parallels = [line for line in evening.grid if not line.is_meridian]

    assert 2 <= len(meridians) <= 6
    assert 2 <= len(parallels) <= 6
    assert all(line.text.endswith("′ W") for line in meridians)
    assert [line.text for line in parallels] == ["49° 36.0′ N", "49° 36.5′ N"] or all(
        line.text.endswith("′ N") for line in parallels
    )


def test_ways_hazards_land_and_lines_of_sight_are_drawn(evening: SheetMap) -> None:
    kinds = {stroke.kind for stroke in evening.strokes}

    assert {
        StrokeKind.LAND, StrokeKind.ROUTE, StrokeKind.HAZARD_AREA,
        StrokeKind.HAZARD_LINE, StrokeKind.CLOSURE, StrokeKind.SIGHT,
    } <= kinds  # fmt: skip
    assert {mark.kind for mark in evening.marks} == {
        MarkKind.STOP, MarkKind.SUBJECT, MarkKind.REFUGE, MarkKind.HAZARD
    }  # fmt: skip


def test_without_any_drawing_of_the_land_the_map_says_so() -> None:
    drawn = sheet_of(ordinary()).map

    assert not {StrokeKind.LAND, StrokeKind.SHORE} & {s.kind for s in drawn.strokes}
    assert any("only what was recorded is drawn" in line for line in drawn.lines)


def test_stops_without_a_way_between_are_joined_by_dotted_lines() -> None:
    drawn = sheet_of(ten_stops()).map

    dotted = [s for s in drawn.strokes if s.kind is StrokeKind.STRAIGHT]
    assert len(dotted) == 9
    assert any("no way was planned" in line for line in drawn.lines)


def test_a_trip_of_which_nothing_is_known_has_a_map_of_its_place() -> None:
    drawn = sheet_of(bare()).map

    assert drawn.marks == ()
    assert drawn.grid


def test_a_hazard_without_a_place_is_left_off_the_map() -> None:
    dossier, trip = ordinary()
    nowhere = tuple(replace(hazard, line=()) for hazard in dossier.hazards)

    drawn = sheet_of((replace(dossier, hazards=nowhere), trip)).map

    assert MarkKind.HAZARD not in {mark.kind for mark in drawn.marks}
