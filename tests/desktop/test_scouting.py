"""Tests for the verbs that make, move and remove places."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.land_zone import ZONE_NOT_CHOSEN
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Permit,
    Shape,
    VantagePoint,
)
from fieldtrip.store.store import Store

TODAY = date(2026, 11, 25)
SHORE = Position(37.80, -122.47)
HERE, THERE, YONDER = SHORE, Position(37.81, -122.47), Position(37.81, -122.46)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    return Library(store)


@pytest.fixture
def selection() -> Selection:
    return Selection(TODAY, datetime(2026, 11, 25, 12, tzinfo=UTC))


@pytest.fixture
def scouting(library: Library, selection: Selection) -> Scouting:
    return Scouting(library, selection, lambda: TODAY)


def test_a_new_location_takes_the_zone_of_its_coast(
    scouting: Scouting, library: Library, selection: Selection
) -> None:
    scouting.add_at(Location, SHORE)

    (location,) = library.store.locations()
    assert location.zone == "America/Los_Angeles"
    assert selection.location_id == location.id


def test_far_at_sea_the_zone_is_asked_for(
    scouting: Scouting, library: Library, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(scouting.told) as told:
        scouting.add_at(Location, Position(0.0, -30.0))

    assert "time zone is not known" in told.args[0]
    assert library.store.locations()[0].zone == ZONE_NOT_CHOSEN


def test_a_point_needs_a_location(scouting: Scouting, library: Library) -> None:
    with pytest.raises(UserError, match="Make a location first"):
        scouting.add_at(VantagePoint, HERE)

    assert library.store.all(VantagePoint) == []


def test_legs_go_to_the_chosen_route_or_to_a_new_one(
    scouting: Scouting, library: Library
) -> None:
    scouting.add_at(Location, SHORE)
    scouting.add_leg((HERE, THERE))
    scouting.add_leg((THERE, YONDER))

    (route,) = library.store.all(AccessRoute)
    legs = sorted(library.store.all(Leg), key=lambda leg: leg.number)
    assert [(leg.route_id, leg.number) for leg in legs] == [
        (route.id, 1),
        (route.id, 2),
    ]
    library.undo_stack.undo()
    library.undo_stack.undo()
    assert library.store.all(AccessRoute) == []


def test_a_drop_is_one_step_and_can_be_undone(
    scouting: Scouting, library: Library
) -> None:
    scouting.add_at(Location, SHORE)
    scouting.add_at(VantagePoint, HERE)
    (point,) = library.store.all(VantagePoint)

    scouting.move(point.id, THERE)

    assert library.store.all(VantagePoint)[0].position == THERE
    library.undo_stack.undo()
    assert library.store.all(VantagePoint) == [point]


def test_a_hazard_can_be_drawn_again(scouting: Scouting, library: Library) -> None:
    scouting.add_at(Location, SHORE)
    scouting.add_hazard(HazardKind.CLIFF_EDGE, Shape.LINE, (HERE, THERE))
    (hazard,) = library.store.all(Hazard)

    scouting.redraw(hazard, (HERE, THERE, YONDER))

    assert library.store.all(Hazard)[0].line == (HERE, THERE, YONDER)


def test_a_half_drawn_area_is_refused(scouting: Scouting, library: Library) -> None:
    scouting.add_at(Location, SHORE)

    with pytest.raises(UserError, match="3 or more points"):
        scouting.add_hazard(HazardKind.TIDE, Shape.AREA, (HERE, THERE))


def test_permits_and_closures_are_added_moved_and_drawn_again(
    scouting: Scouting, library: Library, selection: Selection
) -> None:
    scouting.add_at(Location, SHORE)

    scouting.add_permit()
    (permit,) = library.store.all(Permit)
    assert selection.record_id == permit.id
    assert (permit.commercial_use, permit.drone, permit.expires) == (None, None, None)
    scouting.add_closure(ClosureKind.HOURS, Shape.POINT, (HERE,))
    (gate,) = library.store.all(Closure)
    assert gate.name == "New closure: gate or car park hours"
    scouting.move(gate.id, THERE)
    assert library.store.all(Closure)[0].line == (THERE,)
    scouting.add_closure(ClosureKind.OTHER, Shape.AREA)
    drawn = (HERE, THERE, YONDER)
    undrawn = next(c for c in library.store.all(Closure) if not c.line)
    scouting.redraw(undrawn, drawn)
    assert library.get(Closure, undrawn.id) == replace(undrawn, line=drawn)
    assert scouting.choose_id(permit.id)
    assert selection.record_id == permit.id
    assert scouting.choose_id(gate.id)
    assert (selection.record_kind, selection.record_id) == (Closure, gate.id)


def test_a_place_found_online_becomes_a_location_by_its_name(
    scouting: Scouting, library: Library
) -> None:
    scouting.add_location(SHORE, "Merrow Cove" + "x" * 500)

    (location,) = library.store.locations()
    assert location.name.startswith("Merrow Cove")
    assert location.zone == "America/Los_Angeles"


def test_removing_a_location_takes_all_along_and_brings_all_back(
    scouting: Scouting, library: Library, selection: Selection, qtbot: QtBot
) -> None:
    scouting.add_at(Location, SHORE)
    (location,) = library.store.locations()
    scouting.add_at(VantagePoint, HERE)
    scouting.add_leg((HERE, THERE))
    scouting.add_note()
    selection.choose(location, location.id)

    with qtbot.waitSignal(scouting.told) as told:
        scouting.remove_chosen()

    assert library.store.locations() == []
    assert "and 4 more that belonged to it" in told.args[0]
    assert selection.location_id is None
    library.undo_stack.undo()
    assert library.store.locations() == [location]
    assert len(library.store.all(AccessNote)) == 1
    assert len(library.store.all(Leg)) == 1
