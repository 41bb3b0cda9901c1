"""Gates, findings and the return plan, from the menus and into map and strip."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.demo import TRIP_NAME, demo_records
from fieldtrip.desktop.dialogs.return_plan import ReturnPlanDialog
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import Window
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Leg, StartKind, StartPlace
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from fieldtrip.trips.records import Gate, Trip, Walk

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


@pytest.fixture
def make(tmp_path: Path, qtbot: QtBot) -> Iterator[Callable[[], Window]]:
    """A window on the demo's records, never shown, so without a web engine."""
    made: list[Window] = []

    def window() -> Window:
        store = Store.in_memory()
        store.apply(Change(None, record) for record in demo_records(NOW.date()))
        made.append(
            Window(store, Preferences(Settings()), Paths.below(tmp_path), lambda: NOW)
        )
        return made[-1]

    yield window
    for each in made:
        each.close()
        each.deleteLater()


def trip_of(window: Window) -> Trip:
    return window.library.store.find_trip(TRIP_NAME)


def gates_of(window: Window) -> tuple[Gate, ...]:
    trip = trip_of(window)
    dossier = window.library.dossier(trip.location_id)
    assert dossier is not None
    return dossier.gates_of(trip)


def test_a_gate_is_added_from_the_menu_and_taken_back(
    make: Callable[[], Window],
) -> None:
    window = make()
    before = gates_of(window)

    (verb,) = [a for a in window.actions_of_menus() if a.text() == "Add &gate"]
    verb.trigger()
    assert len(gates_of(window)) == len(before) + 1

    window.library.undo_stack.undo()
    assert gates_of(window) == before


def test_without_a_trip_the_verbs_say_what_to_do(make: Callable[[], Window]) -> None:
    window = make()
    window.selection.choose(None, None)

    with pytest.raises(UserError, match="Choose a trip"):
        window.menus.show_return_plan()


def test_the_return_plan_opens_once_for_a_trip(make: Callable[[], Window]) -> None:
    window = make()

    window.menus.show_return_plan()
    window.menus.show_return_plan()

    (dialog,) = window.findChildren(ReturnPlanDialog)
    assert dialog.owner_id == trip_of(window).id
    assert dialog.plan is not None
    assert dialog.plan.missing == ()


def test_a_finding_chooses_its_place_and_moves_the_cursor(
    make: Callable[[], Window],
) -> None:
    window = make()
    trip = trip_of(window)
    walk = next(w for w in window.library.store.all(Walk) if w.trip_id == trip.id)

    window.checks.mapAsked.emit(walk.leg_id)
    window.checks.stripAsked.emit(walk.start)

    assert window.selection.record_kind is Leg
    assert window.selection.record_id == walk.leg_id
    assert window.selection.trip_id == trip.id  # the page stays with its trip
    assert window.selection.instant == walk.start
    assert window.selection.day == trip.day


def test_a_start_place_is_made_moved_and_removed(make: Callable[[], Window]) -> None:
    window = make()
    window.scouting.add_at(StartPlace, Position(49.6, -8.4))
    (made,) = [
        s for s in window.library.store.all(StartPlace) if s.name == "New start place"
    ]
    assert made.kind is StartKind.CAR_PARK
    assert (made.hours, made.is_always_open) == (None, None)

    window.scouting.move(made.id, Position(49.61, -8.41))
    moved = window.library.get(StartPlace, made.id)
    assert moved is not None
    assert moved.position == Position(49.61, -8.41)

    window.scouting.remove_chosen()
    assert window.library.get(StartPlace, made.id) is None
    window.library.undo_stack.undo()
    assert window.library.get(StartPlace, made.id) == moved


def test_removing_the_start_of_a_trip_leaves_the_trip_without_one(
    make: Callable[[], Window],
) -> None:
    window = make()
    trip = trip_of(window)
    start = window.library.get(StartPlace, trip.start_place_id)
    assert start is not None

    window.library.remove("remove start", start)

    assert trip_of(window).start_place_id is None
    window.library.undo_stack.undo()
    assert trip_of(window) == trip
