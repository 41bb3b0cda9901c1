"""Many places on one map: nothing is lost, and little is sent."""

from __future__ import annotations

from itertools import combinations
from typing import Any
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.crowd import (
    APART_ZOOM,
    MOST_QUIET,
    Bystanders,
    Crowd,
    View,
    close_together,
    thinned,
)
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint

ZONE = "Europe/Dublin"


def location(name: str, lat: float, lon: float) -> Location:
    return Location(name=name, position=Position(lat, lon), zone=ZONE)


def view(lat: float, lon: float, zoom: float) -> View:
    return View(lat, lon, zoom, width_px=800.0, height_px=600.0)


def counted(found: dict[str, Any]) -> int:
    """How many places the marks stand for."""
    total = 0
    for feature in found["features"]:
        kind, label = feature["properties"]["kind"], feature["properties"]["label"]
        total += int(label.split()[0]) if kind == "cluster" else 1
    return total


@given(
    at=st.lists(
        st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), min_size=1, max_size=60
    ),
    reach=st.floats(0.001, 0.7),
)
def test_everything_is_in_one_group_near_its_first(
    at: list[tuple[float, float]], reach: float
) -> None:
    points = np.array(at)

    groups = close_together(points, reach)

    assert sorted(i for group in groups for i in group) == list(range(len(at)))
    for first, *rest in groups:
        for i in rest:
            assert np.hypot(*(points[i] - points[first])) <= reach
    firsts = points[[group[0] for group in groups]]
    for one, other in combinations(firsts, 2):
        assert np.hypot(*(one - other)) > reach


def test_places_close_together_are_counted_in_words() -> None:
    near = [location(f"Cove {i}", 49.6 + 0.001 * i, -8.4) for i in range(12)]
    crowd = Crowd([*near, location("Far", 51.0, -9.0)])

    found = crowd.features(view(50.0, -8.5, 7.0))

    many, far = sorted(found["features"], key=lambda f: f["properties"]["kind"])
    assert many["properties"]["label"] == "12 locations"
    assert many["properties"]["card"][1] == "Cove 0, Cove 1, Cove 10 and 9 more"
    assert far["properties"] == {"kind": "location", "label": "Far", "note": ""}


def test_a_cluster_can_be_gone_nearer_to() -> None:
    two = [location("A", 49.60, -8.40), location("B", 49.61, -8.39)]

    (found,) = Crowd(two).features(view(49.6, -8.4, 6.0))["features"]

    assert found["properties"]["box"] == [[49.60, -8.40], [49.61, -8.39]]


def test_close_up_everything_stands_for_itself() -> None:
    same = [location(f"L{i}", 49.6, -8.4) for i in range(3)]

    found = Crowd(same).features(view(49.6, -8.4, APART_ZOOM))

    assert len(found["features"]) == 3


@pytest.mark.parametrize("zoom", [2.0, 5.0, 9.0, 12.0])
def test_none_is_lost_and_the_chosen_one_is_left_out(zoom: float) -> None:
    generator = np.random.default_rng(7)
    all_of_them = [
        location(f"L{i}", 49.6 + dy, -8.4 + dx)
        for i, (dy, dx) in enumerate(generator.uniform(-0.02, 0.02, (200, 2)))
    ]
    crowd = Crowd(all_of_them)

    assert counted(crowd.features(view(49.6, -8.4, zoom))) == 200
    assert counted(crowd.features(view(49.6, -8.4, zoom), all_of_them[0].id)) == 199


def test_only_what_is_near_the_view_is_sent() -> None:
    spread = [
        location(f"L{i}", -80.0 + 0.16 * i, -170.0 + 0.34 * i) for i in range(1000)
    ]
    crowd = Crowd(spread)

    found = crowd.features(view(0.0, 0.0, 9.0))["features"]

    assert 0 < len(found) < 50


def test_across_the_date_line_both_sides_are_near() -> None:
    crowd = Crowd([location("W", -17.0, 179.9), location("E", -17.0, -179.9)])

    found = crowd.features(view(-17.0, 179.95, 10.0))["features"]

    lons = sorted(f["geometry"]["coordinates"][0] for f in found)
    assert lons == pytest.approx([179.9, 180.1])


def test_vantage_points_of_other_locations_are_quiet_and_only_close_up() -> None:
    bay, own = location("Bay", 49.6, -8.4), location("Own", 49.61, -8.4)
    points = [
        VantagePoint(location_id=at.id, name="P", position=Position(49.605, -8.4))
        for at in (bay, own)
    ]
    bystanders = Bystanders(points)

    found = bystanders.features(view(49.6, -8.4, 14.0), own.id)

    assert [feature["id"] for feature in found] == [str(points[0].id)]
    assert found[0]["properties"]["kind"] == "quiet"
    assert bystanders.features(view(49.6, -8.4, 12.0), own.id) == []


def test_too_many_vantage_points_in_view_are_left_out() -> None:
    bay = location("Bay", 49.6, -8.4)
    points = [
        VantagePoint(location_id=bay.id, name=str(i), position=bay.position)
        for i in range(MOST_QUIET + 1)
    ]
    near = view(49.6, -8.4, 15.0)

    assert Bystanders(points).features(near) == []
    assert len(Bystanders(points[1:]).features(near)) == MOST_QUIET


# One location's own points


def mark(kind: str, lat: float, lon: float) -> dict[str, Any]:
    return {
        "type": "Feature",
        "id": str(uuid4()),
        "geometry": {"type": "Point", "coordinates": [lon, lat]},
        "properties": {"kind": kind, "label": kind},
    }


def test_points_that_cover_each_other_far_off_become_a_count() -> None:
    features = [
        mark("location", 49.6, -8.4),
        *(mark("vantage", 49.6 + 0.001 * i, -8.4) for i in range(5)),
    ]
    places = {"type": "FeatureCollection", "features": features}

    found = thinned(places, 9.0, ())["features"]

    assert [f["properties"]["label"] for f in found] == ["5 points", "location"]
    assert thinned(places, 14.0, ()) is places


def test_what_is_chosen_is_never_a_part_of_a_count() -> None:
    features = [mark("vantage", 49.6 + 0.001 * i, -8.4) for i in range(3)]
    places = {"type": "FeatureCollection", "features": features}
    chosen = uuid4()
    features[1]["id"] = str(chosen)

    found = thinned(places, 9.0, {chosen})["features"]

    assert [f["properties"]["label"] for f in found] == ["2 points", "vantage"]
    assert found[1]["id"] == str(chosen)
