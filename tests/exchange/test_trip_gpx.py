"""Tests for a trip as GPX, read back by another reader."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import gpxpy
import pytest

from fieldtrip.exchange.gpx import read_gpx
from fieldtrip.exchange.trip_gpx import trip_gpx
from fieldtrip.settings import Settings
from tests.reports.story import EVIL, NOW, bare, hostile, ordinary, ten_stops


def test_stops_and_what_lies_round_them_are_way_points() -> None:
    dossier, trip = ordinary()

    read = gpxpy.parse(trip_gpx(dossier, trip, Settings(), NOW).decode())

    names = [point.name for point in read.waypoints]
    assert names == [
        "1. Gully head", "2. Bar end", "Arch", "Old tower", "Holm shoulder",
        "Bar floods fast", "North edge",
    ]  # fmt: skip
    first = read.waypoints[0]
    assert (first.latitude, first.longitude) == (49.605988, -8.407749)
    assert first.elevation == 84.0
    assert first.description == "Tue 1 Dec 13:30 to 14:25 GMT; side light"


def test_the_way_is_one_route_as_it_is_walked() -> None:
    dossier, trip = ordinary()
    legs = {leg.id: leg for leg in dossier.legs}

    read = gpxpy.parse(trip_gpx(dossier, trip, Settings(), NOW).decode())

    (route,) = read.routes
    assert route.name == "Evening on the holms"
    walks = dossier.walks_of(trip)
    first, last = legs[walks[0].leg_id].line[0], legs[walks[-1].leg_id].line[0]
    assert (route.points[0].latitude, route.points[0].longitude) == (
        first.lat_deg,
        first.lon_deg,
    )
    assert route.points[-1].latitude == last.lat_deg  # walked back to the slip
    positions = [(p.latitude, p.longitude) for p in route.points]
    assert all(a != b for a, b in pairwise(positions))


def test_without_walks_the_route_goes_from_stop_to_stop() -> None:
    dossier, trip = ten_stops()

    read = gpxpy.parse(trip_gpx(dossier, trip, Settings(), NOW).decode())

    assert len(read.routes[0].points) == 10
    assert "no way is known" in (read.routes[0].description or "")


def test_a_trip_of_nothing_is_an_empty_file() -> None:
    read = gpxpy.parse(trip_gpx(*bare(), Settings(), NOW).decode())

    assert read.waypoints == []
    assert read.routes == []


@pytest.mark.parametrize(
    "text", [EVIL, "a & b < c ]]>", "\u200f\u05e9\u05dc\u05d5\u05dd"]
)
def test_whatever_was_typed_comes_back(text: str) -> None:
    read = gpxpy.parse(trip_gpx(*hostile(text), Settings(), NOW).decode())

    shown = text.replace("\x0b", "\ufffd")
    assert all(shown in (point.name or "") for point in read.waypoints)


def test_our_own_reader_takes_it_in_again() -> None:
    dossier, trip = ordinary()
    spot = replace(dossier.vantage_points[0], name="Bar end")

    found = read_gpx(trip_gpx(dossier, trip, Settings(), NOW), "trip.gpx")

    assert len(found.places) == 8
    assert found.places[1].parts[0].line == (spot.position,)
