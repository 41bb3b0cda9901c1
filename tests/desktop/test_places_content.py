"""Tests for what the list of places says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from typing import Any

import pytest

from fieldtrip.desktop.content.found_places import Found, FoundContent, found_content
from fieldtrip.desktop.content.places import (
    LOOK_AGAIN,
    age_text,
    due_text,
    location_row,
    name_of,
    note_of,
    rows_below,
    trip_row,
)
from fieldtrip.desktop.content.sieve import KINDS, Sieve, year_before
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Permit,
    Refuge,
    Shape,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
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
    text="Full by nine\non Sundays",
)
TERNS = Closure(
    location_id=BAY.id,
    name="Terns",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(11, 1), MonthDay(7, 31)),
)
PERMIT = Permit(location_id=BAY.id, name="Tripod", expires=date(2026, 11, 24))
TRIP = Trip(location_id=BAY.id, name="Evening", day=date(2026, 12, 1))
DOSSIER = Dossier(
    location=BAY,
    vantage_points=(LEDGE,),
    routes=(WAY,),
    legs=(LEG,),
    closures=(TERNS,),
    permits=(PERMIT,),
    notes=(NOTE,),
)
PLACES = {BAY.id: BAY, CAPE.id: CAPE}


def found(
    *records: Found, query: str = "", most: int = 9, sieve: Sieve | None = None
) -> FoundContent:
    """What the list says of some finds."""
    return found_content(
        records,
        PLACES,
        query=query,
        sieve=sieve or Sieve(),
        today=TODAY,
        settings=Settings(),
        most=most,
    )


def test_what_belongs_to_a_location_stands_below_it() -> None:
    rows = rows_below(DOSSIER, TODAY, Settings())

    assert [(row.text, row.note) for row in rows] == [
        ("Ledge", "84 m"),
        ("Way", "route"),
        ("Terns", "closed until 31 July 2027"),
        ("Tripod", "permit, expired on 24 November"),
        ("Full by nine", "note, 24 days"),
    ]
    assert [(row.text, row.note) for row in rows[1].rows] == [
        ("Bar", "shut above 1.9 m")
    ]
    assert {row.location_id for row in rows} == {BAY.id}


def test_locations_and_trips_have_lines_of_their_own() -> None:
    assert location_row(BAY).text == "Bay"
    assert location_row(BAY).hint == "Europe/Dublin"
    assert trip_row(TRIP, "Bay").note == "Tue 1 Dec"
    assert trip_row(TRIP, "Bay").hint == "Bay, 2026-12-01"


def test_every_listed_kind_has_a_name_and_every_part_a_note() -> None:
    hazard = Hazard(
        location_id=BAY.id,
        name="Edge",
        kind=HazardKind.CLIFF_EDGE,
        shape=Shape.POINT,
        line=(HERE,),
    )
    refuge = Refuge(location_id=BAY.id, name="Rock", position=HERE)
    tower = Subject(location_id=BAY.id, name="Tower", position=HERE, height_m=31)
    start = StartPlace(
        location_id=BAY.id, name="Quay", kind=StartKind.CAR_PARK, position=HERE
    )
    records = (
        BAY, LEDGE, tower, WAY, LEG, refuge, hazard, TERNS, PERMIT, NOTE, start, TRIP
    )  # fmt: skip

    assert {type(record) for record in records} == set(KINDS)
    assert all(name_of(record) for record in records)
    notes = [note_of(r, TODAY, Settings()) for r in records]
    assert all(notes[1:-1])
    assert notes[2] == "subject, 31 m"
    assert notes[6] == "look again: cliff edge, never confirmed"


@pytest.mark.parametrize(
    ("known", "words"),
    [
        ({}, "car park, hours not known"),
        ({"is_always_open": False}, "car park, hours not known"),
        ({"is_always_open": True}, "car park, never shuts"),
        ({"hours": OpenHours(time(8), time(18, 30))}, "car park, open 08:00 to 18:30"),
    ],
)
def test_a_start_place_says_when_it_is_open(known: dict[str, Any], words: str) -> None:
    start = StartPlace(
        location_id=BAY.id, name="Quay", kind=StartKind.CAR_PARK, position=HERE, **known
    )

    assert note_of(start, TODAY, Settings()) == words


def test_what_nobody_confirmed_for_a_year_is_marked() -> None:
    refuge = Refuge(location_id=BAY.id, name="Rock", position=HERE)
    lately = replace(refuge, confirmed=date(2026, 11, 1))
    long_ago = replace(NOTE, day=date(2025, 11, 24))
    due = replace(NOTE, review_after=date(2026, 11, 24))

    # Common practice, no source: 12 months.
    for record in (refuge, long_ago, due):
        assert note_of(record, TODAY, Settings()).startswith(LOOK_AGAIN)
        assert due_text(record, TODAY) == LOOK_AGAIN
    for fine in (lately, NOTE, LEDGE):
        assert LOOK_AGAIN not in note_of(fine, TODAY, Settings())
        assert due_text(fine, TODAY) == ""


def test_a_long_note_leaves_room_for_its_mark() -> None:
    long = replace(NOTE, text="Terns nest on the holm from May to July")
    overdue = replace(long, id=LEDGE.id, day=date(2025, 11, 24))
    dossier = Dossier(location=BAY, notes=(long, overdue))

    fine, due = rows_below(dossier, TODAY, Settings())

    assert (fine.text, fine.hint) == (long.text, "")
    assert (due.text, due.hint) == ("Terns nest on the h…", long.text)
    assert due.note == f"{LOOK_AGAIN}: note, 12 months"


def test_finds_stand_below_their_location_with_their_words() -> None:
    content = found(
        Found(record=NOTE, location_id=BAY.id, snippet="Full by nine on Sundays"),
        Found(record=CAPE, location_id=CAPE.id),
        Found(record=LEDGE, location_id=BAY.id),
        Found(record=TRIP, location_id=BAY.id, snippet="Glow", within="a stop"),
        Found(record=TRIP, location_id=BAY.id),
        query="nine",
    )

    assert [row.text for row in content.places] == ["Bay", "cape"]
    assert [(row.text, row.note) for row in content.places[0].rows] == [
        ("Full by nine", "“Full by nine on Sundays”"),
        ("Ledge", "84 m"),
    ]
    assert "Found in its notes" in content.places[0].rows[0].hint
    assert [(row.text, row.note) for row in content.trips] == [
        ("Evening", "a stop: “Glow”")
    ]
    assert content.hint == "5 lines found."


def test_the_list_says_how_much_was_found() -> None:
    one = Found(record=LEDGE, location_id=BAY.id)

    assert found(query="zzz").hint == "Nothing has “zzz” in its name or notes."
    assert found(one, query="l").hint == "1 line found."
    cut = found(one, one, query="l", most=1)
    assert cut.hint == "The first 1 of more. Another word narrows it down."
    only = Sieve(never_confirmed=True)
    assert found(sieve=only).hint == "Nothing in the library is like that."
    assert "among these" in found(query="x", sieve=only).hint


def test_what_is_not_known_is_said_of_what_passed_for_that() -> None:
    leg = replace(LEG, is_tidal=None, is_exposed=None)
    one = Found(record=leg, location_id=BAY.id)

    tide = found(one, sieve=Sieve(tide_bound=True))
    exposed = found(one, sieve=Sieve(exposed=True))

    assert tide.places[0].rows[0].note == "tide not known"
    assert exposed.places[0].rows[0].note == "exposure not known"


def test_a_sieve_says_what_it_lets_through() -> None:
    assert Sieve().words() == ""
    sieve = Sieve(kind=Hazard, never_confirmed=True)
    assert sieve.words() == "Only hazards, never confirmed"
    assert not sieve.is_open
    assert set(sieve.among(TODAY)) == {Hazard}
    assert Sieve(kind=Subject, tide_bound=True).among(TODAY) == {}
    assert set(Sieve(tide_bound=True, exposed=True).among(TODAY)) == {Leg}


@pytest.mark.parametrize(
    ("day", "before"),
    [
        (date(2026, 11, 25), date(2025, 11, 25)),
        (date(2028, 2, 29), date(2027, 2, 28)),
    ],
)
def test_twelve_months_are_counted_by_the_calendar(day: date, before: date) -> None:
    assert year_before(day) == before


def test_ages_are_told_in_days_and_then_in_months() -> None:
    assert age_text(TODAY, TODAY) == "today"
    assert age_text(date(2026, 11, 24), TODAY) == "1 day"
    assert age_text(date(2025, 5, 25), TODAY) == "18 months"
