"""Distances and bearings against surveyors' figures."""

from __future__ import annotations

import math

import pytest
from geographiclib.test.test_geodesic import GeodesicTest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import (
    Position,
    area_m2,
    bearing_deg,
    contains,
    destination,
    distance_m,
    distance_to_line_m,
    line_length_m,
    normal_longitude_deg,
)

# Source: Geoscience Australia's test line, as GeodePy's tests carry it: 54 972.271 m,
# 306 52 05.37 there and 127 10 25.07 back.
FLINDERS_PEAK = Position(
    -(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.5244 / 3600
)
BUNINYONG = Position(-(37 + 39 / 60 + 10.1561 / 3600), 143 + 55 / 60 + 35.3839 / 3600)
ARCSECOND = 1.0 / 3600.0
positions = st.builds(Position, st.floats(-89.0, 89.0), st.floats(-180.0, 180.0))


def test_flinders_peak_to_buninyong() -> None:
    there = 306 + 52 / 60 + 5.37 / 3600
    back = 127 + 10 / 60 + 25.07 / 3600

    assert distance_m(FLINDERS_PEAK, BUNINYONG) == pytest.approx(54_972.271, abs=0.0006)
    assert bearing_deg(FLINDERS_PEAK, BUNINYONG) == pytest.approx(
        there, abs=0.006 * ARCSECOND
    )
    assert bearing_deg(BUNINYONG, FLINDERS_PEAK) == pytest.approx(
        back, abs=0.006 * ARCSECOND
    )
    end = destination(FLINDERS_PEAK, there, 54_972.271)
    assert distance_m(end, BUNINYONG) < 0.002


def test_wellington_to_salamanca() -> None:
    # Source: README of the npm package geographiclib: 19 959 679.267 m.
    wellington, salamanca = Position(-41.32, 174.81), Position(40.96, -5.50)

    assert distance_m(wellington, salamanca) == pytest.approx(19_959_679.267, abs=0.001)


def test_twenty_lines_of_karney() -> None:
    # Source: C. F. F. Karney's test cases in the geographiclib wheel.
    assert len(GeodesicTest.testcases) == 20
    for lat1, lon1, azimuth1, lat2, lon2, _, length, *_ in GeodesicTest.testcases:
        start = Position(lat1, normal_longitude_deg(lon1))
        end = Position(lat2, normal_longitude_deg(lon2))

        assert distance_m(start, end) == pytest.approx(length, abs=1e-7)
        assert bearing_deg(start, end) == pytest.approx(azimuth1 % 360.0, abs=1e-9)
        assert distance_m(destination(start, azimuth1, length), end) < 1e-6


def test_from_a_point_to_itself() -> None:
    assert distance_m(BUNINYONG, BUNINYONG) == 0.0
    assert 0.0 <= bearing_deg(BUNINYONG, BUNINYONG) < 360.0


def test_across_the_date_line() -> None:
    west, east = Position(-17.0, 179.99), Position(-17.0, -179.99)

    assert distance_m(west, east) == pytest.approx(2_130.0, abs=5.0)
    assert bearing_deg(west, east) == pytest.approx(90.0, abs=0.01)
    assert destination(west, 90.0, distance_m(west, east)).lon_deg == pytest.approx(
        -179.99, abs=1e-6
    )
    middle = Position(-16.999, 180.0)
    assert distance_to_line_m(middle, (west, east)) == pytest.approx(110.7, abs=0.5)
    ring = (
        Position(-17.01, 179.99),
        Position(-17.01, -179.99),
        Position(-16.99, -179.99),
        Position(-16.99, 179.99),
    )
    assert contains(ring, Position(-17.0, -180.0))
    assert contains(ring, Position(-17.0, 180.0))
    assert not contains(ring, Position(-17.0, 179.98))


@given(
    foot=st.builds(Position, st.floats(-85.0, 85.0), st.floats(-180.0, 180.0)),
    along=st.floats(0.0, 360.0),
    offset_m=st.floats(1.0, 5_000.0),
)
def test_distance_to_a_line_is_that_to_its_nearest_point(
    foot: Position, along: float, offset_m: float
) -> None:
    line = (destination(foot, along, 300.0), destination(foot, along + 180.0, 300.0))
    beside = destination(foot, along + 90.0, offset_m)
    beyond = destination(line[0], along, offset_m)

    # On a plane; at 85 degrees the bow of 600 m of line is 0.1 m.
    assert distance_to_line_m(beside, line) == pytest.approx(
        offset_m, rel=0.005, abs=0.1
    )
    assert distance_to_line_m(beyond, line) == pytest.approx(
        distance_m(beyond, line[0]), rel=0.005
    )


def test_lines_of_none_one_and_many_positions() -> None:
    a, b = Position(49.6, -8.4), Position(49.61, -8.4)

    assert distance_to_line_m(a, ()) == math.inf
    assert distance_to_line_m(a, (b,)) == pytest.approx(distance_m(a, b), rel=1e-3)
    assert (line_length_m(()), line_length_m((a,))) == (0.0, 0.0)
    assert line_length_m((a, b, a)) == pytest.approx(2.0 * distance_m(a, b))


@given(positions, st.floats(50.0, 3_000.0), st.floats(0.0, 360.0))
def test_a_round_area_contains_what_is_nearer_than_its_edge(
    middle: Position, radius_m: float, bearing: float
) -> None:
    ring = tuple(destination(middle, k * 10.0, radius_m) for k in range(36))

    assert contains(ring, middle)
    assert contains(ring, destination(middle, bearing, 0.98 * radius_m))
    assert not contains(ring, destination(middle, bearing, 1.02 * radius_m))
    assert contains((*ring, ring[0]), middle)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"),
    [(91.0, 0.0), (-90.001, 0.0), (0.0, 181.0), (math.nan, 0.0), (0.0, math.inf)],
)
def test_positions_that_cannot_be_are_refused(lat_deg: float, lon_deg: float) -> None:
    with pytest.raises(ValueError, match="is not within"):
        Position(lat_deg, lon_deg)


@given(st.floats(-1080.0, 1080.0))
def test_a_normal_longitude_is_the_same_meridian(lon_deg: float) -> None:
    normal = normal_longitude_deg(lon_deg)

    assert -180.0 <= normal <= 180.0
    assert math.isclose(math.cos(math.radians(normal - lon_deg)), 1.0, abs_tol=1e-12)


def test_the_area_of_a_ring_is_karneys() -> None:
    # Source: GeographicLib, "Measuring areas" among the examples of its Python and
    # JavaScript documentation: Antarctica, 13 662 703 680 020.1 square metres.
    ring = (
        (-63.1, -58.0), (-72.9, -74.0), (-71.9, -102.0), (-74.9, -102.0),
        (-74.3, -131.0), (-77.5, -163.0), (-77.4, 163.0), (-71.7, 172.0),
        (-65.9, 140.0), (-65.7, 113.0), (-66.6, 88.0), (-66.9, 59.0),
        (-69.8, 25.0), (-70.0, -4.0), (-71.0, -14.0), (-77.3, -33.0),
        (-77.9, -46.0), (-74.7, -61.0),
    )  # fmt: skip
    antarctica = tuple(Position(*place) for place in ring)

    area = area_m2(antarctica)

    assert area == pytest.approx(13_662_703_680_020.1, abs=0.06)
    assert area_m2(antarctica[::-1]) == pytest.approx(area, rel=1e-12)
    assert area_m2(antarctica[:2]) == 0.0
