"""Tests for what the list of places says."""

from __future__ import annotations

from datetime import date

from fieldtrip.desktop.content.places import Kept, age_text, places_content
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Leg,
    Location,
    NoteKind,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.trips.records import Trip

TODAY = date(2026, 11, 25)
HERE = Position(49.6, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
CAPE = Location(name="cape", position=HERE, zone="Europe/Dublin")
LEDGE = VantagePoint(location_id=BAY.id, name="Ledge", position=HERE, ground_m=84.2)
WAY = AccessRoute(location_id=BAY.id, name="Way")
LEG = Leg(
    route_id=WAY.id,
    number=1,
    name="Bar",
    line=(HERE, Position(49.601, -8.4)),
    is_tidal=True,
    shut_above_m=1.9,
)
NOTE = AccessNote(
    location_id=BAY.id,
    day=date(2026, 11, 1),
    kind=NoteKind.PARKING,
    text="Full by nine",
)
TRIP = Trip(location_id=BAY.id, name="Evening", day=date(2026, 12, 1))
KEPT = Kept(
    locations=[CAPE, BAY],
    vantage_points=[LEDGE],
    routes=[WAY],
    legs=[LEG],
    notes=[NOTE],
    trips=[TRIP],
)


def test_places_stand_by_name_with_what_belongs_to_them_below() -> None:
    content = places_content(KEPT, "", TODAY, Settings())

    assert [row.text for row in content.places] == ["Bay", "cape"]
    bay = content.places[0]
    assert [(row.text, row.note) for row in bay.rows] == [
        ("Ledge", "84 m"),
        ("Way", "route"),
        ("Full by nine", "note, 24 days"),
    ]
    assert [(row.text, row.note) for row in bay.rows[1].rows] == [
        ("Bar", "shut above 1.9 m")
    ]
    assert [(row.text, row.note) for row in content.trips] == [("Evening", "Tue 1 Dec")]


def test_a_search_keeps_what_holds_every_word_and_the_way_to_it() -> None:
    content = places_content(KEPT, "nine FULL", TODAY, Settings())

    assert [row.text for row in content.places] == ["Bay"]
    assert [row.text for row in content.places[0].rows] == ["Full by nine"]
    assert content.trips == ()


def test_empty_parts_say_what_to_do_next() -> None:
    empty = places_content(Kept(), "", TODAY, Settings())
    assert "New location" in empty.places_hint
    assert "New trip" in empty.trips_hint

    nothing = places_content(KEPT, "zzz", TODAY, Settings())
    assert nothing.places_hint == "Nothing here is called “zzz”."


def test_ages_are_told_in_days_and_then_in_months() -> None:
    assert age_text(TODAY, TODAY) == "today"
    assert age_text(date(2026, 11, 24), TODAY) == "1 day"
    assert age_text(date(2025, 5, 25), TODAY) == "18 months"
