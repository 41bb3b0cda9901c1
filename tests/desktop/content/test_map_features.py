"""What the map is told to draw, and in which words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.map_features import (
    hazards_features,
    moon_features,
    places_features,
    plan_features,
    ray_line,
    routes_features,
    sun_features,
)
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import (
    AccessRoute,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Refuge,
    Shape,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sky.events import DayEvents, Event, EventName
from fieldtrip.sky.positions import SkyPosition
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk

METRIC = Settings()
A, B, C = Position(49.6, -8.4), Position(49.61, -8.39), Position(49.62, -8.41)
PLACE = Location(name="Keel Holms", position=A, zone="Europe/Dublin")
BAR_END = VantagePoint(location_id=PLACE.id, name="Bar end", position=B)
TOWER = Subject(location_id=PLACE.id, name="Tower", position=C, height_m=20.0)
ROUTE = AccessRoute(location_id=PLACE.id, name="Over the bar")
BAR = Leg(
    route_id=ROUTE.id, number=1, name="Bar", line=(A, B), is_tidal=True,
    shut_above_m=1.9,
)  # fmt: skip
EDGE = Hazard(
    location_id=PLACE.id, name="North edge", kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE, line=(A, B),
)  # fmt: skip
NOON = datetime(2026, 11, 14, 16, 12, tzinfo=UTC)
EVENTS = DayEvents(
    (
        Event(EventName.SUNRISE, datetime(2026, 11, 14, 8, 2, 20, tzinfo=UTC), 121.4),
        Event(EventName.SOLAR_NOON, datetime(2026, 11, 14, 12, 18, tzinfo=UTC), 180.0),
        Event(EventName.MOONRISE, datetime(2026, 11, 14, 15, 58, tzinfo=UTC), 64.0),
        Event(EventName.SUNSET, datetime(2026, 11, 14, 16, 41, tzinfo=UTC), 238.0),
    ),
    (EventName.MOONSET,),
    None,
)


def body(azimuth_deg: float, altitude_deg: float) -> SkyPosition:
    return SkyPosition(azimuth_deg, altitude_deg, altitude_deg, 1.5e8, 0.27)


def properties(features: dict[str, Any]) -> list[dict[str, Any]]:
    return [feature["properties"] for feature in features["features"]]


def notes(features: dict[str, Any]) -> list[str]:
    return [found["note"] for found in properties(features)]


def sun(sun: SkyPosition, **more: Any) -> dict[str, Any]:
    return sun_features(
        B,
        events=EVENTS,
        instant=NOON,
        sun=sun,
        zone=PLACE.zone,
        settings=METRIC,
        **more,
    )


# Records


def test_places_come_with_their_names_and_the_chosen_can_be_dragged() -> None:
    dossier = Dossier(location=PLACE, vantage_points=(BAR_END,), subjects=(TOWER,))

    features = places_features(dossier, {BAR_END.id})

    assert [(p["kind"], p["label"]) for p in properties(features)] == [
        ("location", "Keel Holms"), ("vantage", "Bar end"), ("subject", "Tower"),
    ]  # fmt: skip
    assert [p["draggable"] for p in properties(features)] == [False, True, False]
    assert features["features"][1]["id"] == str(BAR_END.id)
    assert features["features"][1]["geometry"]["coordinates"] == [-8.39, 49.61]


@pytest.mark.parametrize(
    ("stays_dry", "words"),
    [
        (True, "refuge, stays dry"),
        (False, "refuge, the sea can reach it"),
        (None, "refuge, not known to stay dry"),
    ],
)
def test_a_refuge_says_whether_it_is_one(stays_dry: bool | None, words: str) -> None:
    refuge = Refuge(location_id=PLACE.id, name="Knoll", position=B, stays_dry=stays_dry)

    features = places_features(Dossier(location=PLACE, refuges=(refuge,)))

    assert notes(features)[-1] == words


@pytest.mark.parametrize(
    ("changes", "kind", "note"),
    [
        ({}, "tidal", "shut above 1.9 m"),
        ({"shut_above_m": None}, "tidal", "closing level not known"),
        ({"is_tidal": None, "shut_above_m": None}, "leg", "tide not known"),
        ({"is_tidal": False, "shut_above_m": None}, "leg", ""),
        ({"is_tidal": False, "is_exposed": True, "daylight_only": True}, "leg",
         "exposed, in daylight only"),
    ],
)  # fmt: skip
def test_a_leg_says_when_it_is_shut_and_what_is_not_known(
    changes: dict[str, Any], kind: str, note: str
) -> None:
    dossier = Dossier(location=PLACE, routes=(ROUTE,), legs=(replace(BAR, **changes),))

    (found,) = properties(routes_features(dossier, METRIC))

    assert (found["kind"], found["label"], found["note"]) == (kind, "Bar", note)


def test_a_leg_says_when_it_is_open_in_the_users_units() -> None:
    dossier = Dossier(location=PLACE, routes=(ROUTE,), legs=(BAR,))
    feet = Settings(length_unit=LengthUnit.FOOT)

    features = routes_features(dossier, feet, (), {BAR.id: "open 15:05 to 17:50"})

    assert notes(features) == ["shut above 6.2 ft, open 15:05 to 17:50"]


def test_choosing_a_route_chooses_its_legs() -> None:
    dossier = Dossier(location=PLACE, routes=(ROUTE,), legs=(BAR,))

    assert properties(routes_features(dossier, METRIC, {ROUTE.id}))[0]["is_chosen"]
    assert properties(routes_features(dossier, METRIC, {BAR.id}))[0]["is_chosen"]
    assert not properties(routes_features(dossier, METRIC))[0]["is_chosen"]


@pytest.mark.parametrize(
    ("changes", "kind", "note"),
    [
        ({"is_fenced": None}, "edge", "cliff edge, fence not known"),
        ({"is_fenced": False, "is_soft": True}, "edge",
         "cliff edge, unfenced, soft or undercut"),
        ({"is_fenced": True}, "edge", "cliff edge, fenced"),
        ({"kind": HazardKind.CLIFF_FOOT}, "line", "cliff foot"),
        ({"kind": HazardKind.OTHER, "applies": "in a swell"}, "line", "in a swell"),
        ({"kind": HazardKind.WAVES, "shape": Shape.POINT}, "danger", "waves"),
        ({"kind": HazardKind.RIVER, "shape": Shape.AREA, "line": (A, B, C)}, "area",
         "river"),
    ],
)  # fmt: skip
def test_a_hazard_has_a_shape_and_words(
    changes: dict[str, Any], kind: str, note: str
) -> None:
    dossier = Dossier(location=PLACE, hazards=(replace(EDGE, **changes),))

    (found,) = properties(hazards_features(dossier))

    assert (found["kind"], found["label"], found["note"]) == (kind, "North edge", note)


def test_an_area_is_closed() -> None:
    area = replace(EDGE, shape=Shape.AREA, line=(A, B, C))

    (feature,) = hazards_features(Dossier(location=PLACE, hazards=(area,)))["features"]

    (ring,) = feature["geometry"]["coordinates"]
    assert len(ring) == 4
    assert ring[0] == ring[-1]


def test_a_hazard_without_a_place_is_left_out() -> None:
    nowhere = replace(EDGE, line=(A,))

    assert (
        hazards_features(Dossier(location=PLACE, hazards=(nowhere,)))["features"] == []
    )


def test_a_trip_shows_its_stops_in_order_and_what_is_walked() -> None:
    trip = Trip(location_id=PLACE.id, name="Evening", day=date(2026, 11, 14))
    stop = Stop(
        trip_id=trip.id, number=1, vantage_point_id=BAR_END.id,
        arrive=datetime(2026, 11, 14, 15, 10, tzinfo=UTC),
        leave=datetime(2026, 11, 14, 17, 20, tzinfo=UTC),
    )  # fmt: skip
    walk = Walk(trip_id=trip.id, leg_id=BAR.id, start=NOON, finish=NOON)
    dossier = Dossier(
        location=PLACE, vantage_points=(BAR_END,), routes=(ROUTE,), legs=(BAR,),
        trips=(trip,), stops=(stop,), walks=(walk,),
    )  # fmt: skip

    found = properties(plan_features(dossier, trip, METRIC))

    assert [p["kind"] for p in found] == ["walk", "stop"]
    assert found[1]["label"] == "1: 15:10 to 17:20"


def test_what_lies_across_the_date_line_is_drawn_beside_it() -> None:
    west = Location(name="Isle", position=Position(-17.0, 179.99), zone="Pacific/Fiji")
    across = VantagePoint(
        location_id=west.id, name="Point", position=Position(-17.0, -179.99)
    )

    features = places_features(Dossier(location=west, vantage_points=(across,)))

    lon_deg, lat_deg = features["features"][1]["geometry"]["coordinates"]
    assert lon_deg == pytest.approx(180.01)
    assert lat_deg == -17.0


# Sky


def test_sun_rays_carry_their_words_and_a_stroke_each() -> None:
    found = properties(sun(body(228.3, 3.42)))

    assert [(p["stroke"], p["label"]) for p in found] == [
        ("solid", "Sunrise 08:02 · 121°"),
        ("dash", "Sunset 16:41 · 238°"),
        ("taper", "16:12 · 228° · 3.4° up"),
    ]
    assert [p["azimuth_deg"] for p in found] == [121.4, 238.0, 228.3]


def test_a_sun_below_the_horizon_is_faint_and_says_so() -> None:
    found = properties(sun(body(240.0, -2.0)))[-1]

    assert found["is_faint"]
    assert found["label"].endswith("2.0° down")


def test_moon_rays_are_dotted_and_say_whose_they_are() -> None:
    features = moon_features(
        B, events=EVENTS, instant=NOON, moon=body(66.0, 1.5), zone=PLACE.zone,
        settings=METRIC,
    )  # fmt: skip

    assert [(p["stroke"], p["label"]) for p in properties(features)] == [
        ("dots", "Moonrise 15:58 · 64°"),
        ("taper-dots", "Moon 16:12 · 66° · 1.5° up"),
    ]


def test_times_are_those_of_the_place_and_of_the_users_clock() -> None:
    features = sun_features(
        B, events=EVENTS, instant=NOON, sun=body(228.0, 3.0), zone="Asia/Kathmandu",
        settings=Settings(clock_24h=False),
    )  # fmt: skip

    # Nepal Standard Time is UTC+5:45.
    # Source: IANA time zone database, file asia, Zone Asia/Kathmandu.
    assert properties(features)[0]["label"].startswith("Sunrise 1:47 pm")


def test_the_shadow_points_away_from_the_sun_with_its_length() -> None:
    # tan 45 degrees is 1, so the shadow is as long as the tower is high.
    features = sun(body(228.0, 45.0), subject=TOWER)

    mark = features["features"][-1]
    assert mark["properties"]["kind"] == "shadow"
    assert mark["properties"]["label"] == "shadow 48°, 20 m"
    lon_deg, lat_deg = mark["geometry"]["coordinates"][-1]
    tip = Position(lat_deg, lon_deg)
    assert distance_m(C, tip) == pytest.approx(20.0, abs=1e-6)
    assert bearing_deg(C, tip) == pytest.approx(48.0, abs=1e-4)


@pytest.mark.parametrize(
    ("height_m", "altitude_deg", "label"),
    [
        (None, 45.0, "shadow 48°, height not known"),
        (20.0, 0.05, "shadow 48°, over 10.0 km"),
    ],
)
def test_a_shadow_of_no_known_length_is_left_open(
    height_m: float | None, altitude_deg: float, label: str
) -> None:
    subject = replace(TOWER, height_m=height_m)

    mark = properties(sun(body(228.0, altitude_deg), subject=subject))[-1]

    assert mark["label"] == label
    assert mark["is_open"]


def test_there_is_no_shadow_without_the_sun() -> None:
    found = properties(sun(body(240.0, -2.0), subject=TOWER))

    assert [p["kind"] for p in found] == ["ray"] * 3


@given(
    lat_deg=st.floats(-80.0, 80.0),
    lon_deg=st.floats(-180.0, 180.0),
    azimuth_deg=st.floats(0.0, 359.99),
)
def test_every_vertex_of_a_ray_lies_in_its_direction(
    lat_deg: float, lon_deg: float, azimuth_deg: float
) -> None:
    start = Position(lat_deg, lon_deg)
    line = ray_line(start, azimuth_deg, 40_000.0)

    assert line[0] == start
    assert distance_m(start, line[-1]) == pytest.approx(40_000.0, abs=0.001)
    for vertex in line[1:]:
        turn = (bearing_deg(start, vertex) - azimuth_deg + 180.0) % 360.0 - 180.0
        assert abs(turn) < 1e-4
    lengths = [distance_m(start, vertex) for vertex in line]
    assert all(a < b for a, b in pairwise(lengths))


def test_a_start_place_is_drawn_with_its_kind() -> None:
    start = StartPlace(
        location_id=PLACE.id, name="Quay", kind=StartKind.LANDING, position=B
    )

    features = places_features(Dossier(location=PLACE, start_places=(start,)))

    (drawn,) = [f for f in features["features"] if f.get("id") == str(start.id)]
    assert drawn["properties"]["kind"] == "start"
    assert drawn["properties"]["note"] == "ferry landing"
