"""Range rings and bearings typed by hand."""

from __future__ import annotations

from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.aids import (
    Look,
    TypedBearing,
    look_features,
    radius_text,
    read_bearing,
    read_radius,
    ring_features,
    ring_radii_m,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.settings import LengthUnit, Settings

METRIC, FEET = Settings(), Settings(length_unit=LengthUnit.FOOT)
HERE = Position(49.6, -8.4)


def test_every_point_of_a_ring_is_as_far_as_it_says() -> None:
    found = ring_features(HERE, [500.0, 2000.0], METRIC)

    for feature, radius_m in zip(found["features"], (500.0, 2000.0), strict=True):
        ring = feature["geometry"]["coordinates"]
        assert ring[0] == ring[-1]
        for lon_deg, lat_deg in ring:
            assert distance_m(HERE, Position(lat_deg, lon_deg)) == pytest.approx(
                radius_m, abs=1e-3
            )
    assert [f["properties"]["label"] for f in found["features"]] == ["500 m", "2 km"]


def test_a_ring_on_the_date_line_is_whole() -> None:
    (ring,) = ring_features(Position(-17.0, 179.99), [5000.0], METRIC)["features"]

    lons = [lon for lon, _ in ring["geometry"]["coordinates"]]
    assert max(lons) > 180.0
    assert max(lons) - min(lons) < 0.2


@given(zoom=st.floats(5.0, 19.0), lat=st.floats(-80.0, 80.0), metric=st.booleans())
def test_at_every_zoom_there_are_a_few_rings_in_round_steps(
    zoom: float, lat: float, metric: bool
) -> None:
    settings = METRIC if metric else FEET

    radii = ring_radii_m(lat, zoom, settings)

    assert 1 <= len(radii) <= 5
    for radius_m in radii:
        number, _ = radius_text(radius_m, settings).split()
        assert number.strip("0").replace(".", "").strip("0") in ("1", "2", "5")


# Source: the international yard and pound agreement of 1959: 1 ft is 0.3048 m, and
# 1 mi is 1609.344 m.
@pytest.mark.parametrize(
    ("text", "settings", "metres"),
    [
        ("500", METRIC, 500.0),
        ("500", FEET, 152.4),  # exact: 0.3048 m
        ("1.5 km", FEET, 1500.0),
        ("1,5km", METRIC, 1500.0),
        ("300 ft", METRIC, 91.44),
        ("2 mi", METRIC, 3218.688),  # exact: 1609.344 m
    ],
)
def test_a_radius_is_read(text: str, settings: Settings, metres: float) -> None:
    assert read_radius(text, settings) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "far", "-5", "0", "nan", "1e3", "300 km", "5 leagues"]
)
def test_what_is_no_radius_is_refused(text: str) -> None:
    with pytest.raises(UserError):
        read_radius(text, METRIC)


@pytest.mark.parametrize(
    ("text", "degrees", "magnetic"),
    [
        ("137", 137.0, False),
        ("137.5°", 137.5, False),
        ("360", 0.0, False),
        ("137 true", 137.0, False),
        ("139 magnetic", 139.0, True),
        ("139M", 139.0, True),
    ],
)
def test_a_bearing_is_read(text: str, degrees: float, magnetic: bool) -> None:
    assert read_bearing(text) == TypedBearing(degrees, magnetic)


@pytest.mark.parametrize("text", ["", "361", "-1", "north", "12 grid", "nan", "1000"])
def test_what_is_no_bearing_is_refused(text: str) -> None:
    with pytest.raises(UserError, match="0 to 360"):
        read_bearing(text)


def test_a_ray_leaves_along_its_bearing() -> None:
    look = Look(uuid4(), 137.0)

    (ray,) = look_features([(HERE, look, "137° true")])["features"]

    start, second = ray["geometry"]["coordinates"][:2]
    assert start == [HERE.lon_deg, HERE.lat_deg]
    end = Position(second[1], second[0])
    assert bearing_deg(HERE, end) == pytest.approx(137.0, abs=1e-6)
    assert ray["properties"]["label"] == "137° true"
