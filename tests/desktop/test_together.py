"""Several records chosen at once: removed, moved and copied in one step."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.together import Together
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import (
    AccessNote,
    Hazard,
    HazardKind,
    Location,
    NoteKind,
    Shape,
    Subject,
    VantagePoint,
)
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Stop, Trip

DAY = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
A, B, C = Position(49.60, -8.40), Position(49.61, -8.40), Position(49.60, -8.38)
BAY = Location(name="Bay", position=A, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=A)
TOWER = Subject(location_id=BAY.id, name="Tower", position=B)
EDGE = Hazard(
    location_id=BAY.id,
    name="Edge",
    kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE,
    line=(B, C),
)
NOTE = AccessNote(location_id=BAY.id, day=DAY, kind=NoteKind.WAY, text="Gate")
TRIP = Trip(location_id=BAY.id, name="Evening", day=DAY)
STOP = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=HEAD.id,
    arrive=NOON,
    leave=NOON + timedelta(hours=1),
    subject_id=TOWER.id,
)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, HEAD, TOWER, EDGE, NOTE, TRIP, STOP)
    return library


@pytest.fixture
def selection(library: Library) -> Selection:
    selection = Selection(DAY, NOON)
    selection.choose(HEAD, BAY.id)
    return selection


@pytest.fixture
def together(library: Library, selection: Selection) -> Together:
    scouting = Scouting(library, selection, lambda: DAY)
    return Together(library, selection, scouting)


def test_picking_adds_and_takes_away(together: Together, selection: Selection) -> None:
    together.pick(TOWER.id)
    together.pick(EDGE.id)
    assert [r.name for r in together.records()] == ["Edge", "Head", "Tower"]

    together.pick(TOWER.id)
    assert [r.name for r in together.records()] == ["Edge", "Head"]
    assert selection.record_id == HEAD.id

    together.pick(EDGE.id)
    assert selection.picked == frozenset()


def test_another_choice_lets_go_of_what_was_picked(
    together: Together, selection: Selection
) -> None:
    together.pick(TOWER.id)

    selection.choose(EDGE, BAY.id)

    assert together.records() == [EDGE]


def test_the_first_pick_of_all_is_a_choice(
    together: Together, selection: Selection
) -> None:
    selection.choose(None, BAY.id)

    together.pick(TOWER.id)

    assert (selection.record_id, selection.picked) == (TOWER.id, frozenset())


def test_removing_together_is_one_step(
    together: Together, library: Library, selection: Selection, qtbot: QtBot
) -> None:
    before = library.dossier(BAY.id)
    together.pick(TOWER.id)
    together.pick(EDGE.id)

    with qtbot.waitSignal(together.told) as told:
        together.remove()

    left = library.dossier(BAY.id)
    assert left is not None
    assert (left.vantage_points, left.subjects, left.hazards) == ((), (), ())
    assert left.stops == ()  # it cannot be without its vantage point
    assert "3 records and 1 more" in told.args[0]
    library.undo_stack.undo()
    assert library.dossier(BAY.id) == before


def test_what_names_one_and_goes_with_the_other_goes(
    together: Together, library: Library, selection: Selection
) -> None:
    # The stop may be without its subject, but not without its trip.
    selection.choose(TOWER, BAY.id)
    together.pick(TRIP.id)

    together.remove()

    assert library.store.all(Stop) == []
    library.undo_stack.undo()
    assert library.store.all(Stop) == [STOP]


def test_dragging_one_moves_all_as_far_in_one_step(
    together: Together, library: Library
) -> None:
    together.pick(EDGE.id)
    target = Position(49.605, -8.395)

    together.move(HEAD.id, target)

    head, edge = library.get(VantagePoint, HEAD.id), library.get(Hazard, EDGE.id)
    assert head is not None
    assert edge is not None
    assert head.position == target
    for old, new in zip(EDGE.line, edge.line, strict=True):
        assert distance_m(old, new) == pytest.approx(distance_m(A, target), abs=1e-6)
        assert bearing_deg(old, new) == pytest.approx(bearing_deg(A, target), abs=1e-6)
    library.undo_stack.undo()
    assert library.get(Hazard, EDGE.id) == EDGE
    assert library.get(VantagePoint, HEAD.id) == HEAD


def test_what_is_not_picked_moves_alone(together: Together, library: Library) -> None:
    together.pick(EDGE.id)

    together.move(TOWER.id, C)

    assert library.get(VantagePoint, HEAD.id) == HEAD
    moved = library.get(Subject, TOWER.id)
    assert moved is not None
    assert moved.position == C


def test_coordinates_are_copied_a_line_each(together: Together) -> None:
    together.pick(EDGE.id)

    assert together.coordinates_text().split("\n") == [
        "Edge\t49.610000, -8.400000",
        "Edge\t49.600000, -8.380000",
        "Head\t49.600000, -8.400000",
    ]


def test_a_note_has_no_place(together: Together, selection: Selection) -> None:
    selection.choose(NOTE, BAY.id)

    with pytest.raises(UserError, match="has a place"):
        together.coordinates_text()


def test_what_is_gone_is_no_longer_chosen(together: Together, library: Library) -> None:
    together.pick(TOWER.id)

    library.remove("remove", TOWER)

    assert together.records() == [HEAD]
