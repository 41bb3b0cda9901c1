"""The card beside a mark: name, kind, notes and where it is."""

from __future__ import annotations

from fieldtrip.desktop.content.hover import add_cards, card_lines
from fieldtrip.desktop.content.map_features import Feature
from fieldtrip.geo import Position
from fieldtrip.places.records import Hazard, HazardKind, Location, Shape, VantagePoint
from fieldtrip.settings import Settings

A, B = Position(49.6, -8.4), Position(49.61, -8.4)
BAY = Location(name="Bay", position=A, zone="Europe/Dublin")


def test_a_points_card() -> None:
    point = VantagePoint(location_id=BAY.id, name="Head", position=A, notes="Gorse.")

    assert card_lines(point, "", Settings()) == [
        "Head",
        "Vantage point",
        "Gorse.",
        "49.600000, -8.400000\n49° 36.000′ N, 8° 24.000′ W",
    ]


def test_a_lines_card_tells_its_length() -> None:
    edge = Hazard(
        location_id=BAY.id,
        name="Edge",
        kind=HazardKind.CLIFF_EDGE,
        shape=Shape.LINE,
        line=(A, B),
    )

    lines = card_lines(edge, "cliff edge, fence not known", Settings())

    # A hundredth of a degree of the meridian at 49.6 N: 1112 m.  Source: WGS 84.
    assert lines[1:] == ["Hazard", "cliff edge, fence not known", "2 points, 1.1 km"]


def test_long_notes_are_cut() -> None:
    point = VantagePoint(location_id=BAY.id, name="H", position=A, notes="word " * 99)

    note = card_lines(point, "", Settings())[2]

    assert len(note) <= 160
    assert note.endswith("…")


def test_only_features_of_records_get_one() -> None:
    features: list[Feature] = [
        {"id": str(BAY.id), "properties": {"note": ""}},
        {"id": "several", "properties": {"card": ["12 places"]}},
        {"properties": {}},
    ]

    add_cards(features, {str(BAY.id): BAY}.get, Settings())

    assert features[0]["properties"]["card"][0] == "Bay"
    assert features[1]["properties"] == {"card": ["12 places"]}
    assert features[2]["properties"] == {}
