"""Closures on the map and permits on the card, on the chosen day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from fieldtrip.desktop.content.map_features import closures_features
from fieldtrip.desktop.content.map_layers import all_positions, place_layers
from fieldtrip.desktop.content.standing import standing_text
from fieldtrip.geo import Position
from fieldtrip.places.records import Closure, ClosureKind, Location, Permit, Shape
from fieldtrip.places.seasons import MonthDay, Season
from fieldtrip.settings import Settings
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier

SPRING, WINTER = date(2027, 5, 20), date(2027, 12, 1)
HERE, EAST, NORTH = Position(49.6, -8.4), Position(49.6, -8.39), Position(49.61, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
TERNS = Closure(
    location_id=BAY.id,
    name="Terns",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(3, 1), MonthDay(7, 31)),
    shape=Shape.AREA,
    line=(HERE, EAST, NORTH),
)
GATE = Closure(
    location_id=BAY.id,
    name="Gate",
    kind=ClosureKind.HOURS,
    shape=Shape.POINT,
    line=(EAST,),
)
WORKS = Closure(
    location_id=BAY.id,
    name="Path works",
    kind=ClosureKind.WORKS,
    last_day=date(2027, 6, 1),
    shape=Shape.LINE,
    line=(HERE, NORTH),
)
UNDRAWN = Closure(location_id=BAY.id, name="Estate", kind=ClosureKind.OTHER)
OLD = Permit(location_id=BAY.id, name="Tripod", expires=date(2027, 5, 19))
GOOD = Permit(location_id=BAY.id, name="Drone", expires=date(2027, 5, 20))
DOSSIER = Dossier(
    location=BAY, closures=(UNDRAWN, GATE, WORKS, TERNS), permits=(GOOD, OLD)
)


def test_what_is_shut_on_the_day_is_drawn_with_its_words() -> None:
    features = closures_features(DOSSIER, SPRING, Settings())["features"]

    assert [
        (f["properties"]["kind"], f["properties"]["label"], f["properties"]["note"])
        for f in features
    ] == [
        ("shut-point", "Gate", "its hours not known, may be closed"),
        ("shut-line", "Path works", "works, closed until 1 June"),
        ("shut-area", "Terns", "nesting, closed until 31 July"),
    ]
    assert [f["geometry"]["type"] for f in features] == [
        "Point", "LineString", "Polygon"
    ]  # fmt: skip
    assert not any(f["properties"]["is_faint"] for f in features)


def test_what_is_not_shut_is_drawn_only_to_be_edited() -> None:
    in_winter = closures_features(DOSSIER, WINTER, Settings())["features"]
    assert [f["properties"]["label"] for f in in_winter] == ["Gate"]

    chosen = closures_features(DOSSIER, WINTER, Settings(), {TERNS.id})["features"]

    assert [f["properties"]["label"] for f in chosen] == ["Gate", "Terns"]
    assert chosen[1]["properties"]["is_faint"]
    assert (
        chosen[1]["properties"]["note"] == "nesting, not now, closed from 1 March 2028"
    )


def test_the_day_is_the_one_at_the_place() -> None:
    samoa = replace(BAY, zone="Pacific/Apia")
    dossier = Dossier(location=samoa, closures=(TERNS,))
    last = local_day(date(2027, 7, 31), samoa.zone)
    after = local_day(date(2027, 8, 1), samoa.zone)

    shut = place_layers(dossier, [], None, last, set(), Settings())["closures"]
    free = place_layers(dossier, [], None, after, set(), Settings())["closures"]

    assert len(shut["features"]) == 1
    assert free["features"] == []
    assert set(all_positions(dossier)) >= {HERE, EAST, NORTH}


def test_the_card_says_what_is_shut_and_what_has_expired() -> None:
    assert standing_text(DOSSIER, SPRING, Settings()).splitlines() == [
        "On Thursday 20 May 2027:",
        "? “Estate”: its days not known, may be closed.",
        "? “Gate” (gate or car park hours): its hours not known, may be closed.",
        "▲ “Path works” (works): closed until 1 June.",
        "▲ “Terns” (nesting): closed until 31 July.",
        "▲ Permit “Tripod” expired on 19 May.",
    ]


def test_the_card_is_silent_where_there_is_nothing_to_say() -> None:
    dossier = Dossier(location=BAY, closures=(TERNS,), permits=(GOOD,))

    assert standing_text(dossier, date(2027, 2, 1), Settings()) == ""
