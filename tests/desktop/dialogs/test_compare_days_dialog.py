"""Comparing days in a window, and moving the trip to one of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.add_stops import AddStopsDialog
from fieldtrip.desktop.dialogs.compare_days import CompareDaysDialog
from fieldtrip.errors import UserError
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Trip
from tests.desktop.plan_desk import Desk
from tests.desktop.plan_story import BEYOND, COAST, FAR, NOW, TRIP
from tests.desktop.strip_story import DAY, KEEL, at

NEXT = DAY + timedelta(days=1)


@pytest.fixture
def desk(store: Store, qtbot: QtBot) -> Iterator[Desk]:
    made = Desk(store, qtbot)
    yield made
    made.jobs.stop()


@pytest.fixture
def dialog(desk: Desk, qtbot: QtBot) -> CompareDaysDialog:
    dialog = CompareDaysDialog(
        desk.library,
        desk.selection,
        desk.preferences,
        desk.jobs,
        desk.work,
        now=lambda: NOW,
    )
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.last.set_value(NEXT)
    return dialog


def compare(dialog: CompareDaysDialog, qtbot: QtBot) -> int:
    """Run it, and choose the line of the next day."""
    dialog.run()
    qtbot.waitUntil(lambda: dialog.content is not None)
    assert dialog.content is not None
    days = [line.day for line in dialog.content.lines]
    dialog.table.setCurrentCell(days.index(NEXT), 0)
    return days.index(NEXT)


def test_enter_moves_the_trip_to_the_day_in_one_step_and_shows_it(
    desk: Desk, dialog: CompareDaysDialog, qtbot: QtBot
) -> None:
    compare(dialog, qtbot)

    QTest.keyClick(dialog.table, Qt.Key.Key_Return)

    trip = desk.library.get(Trip, TRIP.id)
    assert trip is not None
    assert (trip.day, trip.latest_return) == (NEXT, at(19, day=15))
    assert desk.stop(BEYOND).arrive == BEYOND.arrive + timedelta(days=1)
    assert desk.library.undo_stack.count() == 1
    desk.library.undo_stack.undo()
    assert desk.library.get(Trip, TRIP.id) == TRIP


def test_a_day_can_be_taken_with_its_plan(
    desk: Desk, dialog: CompareDaysDialog, qtbot: QtBot
) -> None:
    compare(dialog, qtbot)

    dialog.plan_button.click()

    assert len(desk.dossier.walks) == 6
    assert desk.library.undo_stack.count() == 1
    assert desk.library.undo_stack.undoText() == "move the trip to another day"
    desk.library.undo_stack.undo()
    assert len(desk.dossier.walks) == 0


def test_it_can_be_ended(dialog: CompareDaysDialog) -> None:
    dialog.last.set_value(DAY + timedelta(days=300))
    dialog.run()
    assert not dialog.progress.isHidden()

    dialog.cancel()

    assert dialog.progress.isHidden()
    assert dialog.heading.text() == "The comparison was ended."
    assert dialog.content is None


def test_an_edit_since_is_told(
    desk: Desk, dialog: CompareDaysDialog, qtbot: QtBot
) -> None:
    compare(dialog, qtbot)

    desk.work.drop(FAR.id, at(15))

    assert dialog.heading.text() == "Something was changed since: compare again."


def test_days_that_are_no_span_are_one_sentence(
    dialog: CompareDaysDialog, qtbot: QtBot
) -> None:
    dialog.last.set_value(DAY - timedelta(days=1))

    dialog.run()

    words = "Compare from one day to 366 days at once."
    qtbot.waitUntil(lambda: dialog.heading.text() == words)


def test_it_closes_with_its_trip_and_needs_one(
    desk: Desk, dialog: CompareDaysDialog
) -> None:
    desk.library.remove("remove trip", TRIP)

    assert not dialog.isVisible()
    with pytest.raises(UserError, match="Choose the trip"):
        CompareDaysDialog(
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            desk.work,
            now=lambda: NOW,
        )


def test_several_spots_become_stops_in_one_step(desk: Desk, qtbot: QtBot) -> None:
    dialog = AddStopsDialog(desk.library, COAST, TRIP, at(12))
    qtbot.addWidget(dialog)
    assert not dialog.add_button.isEnabled()

    for row in range(2):
        dialog.list.item(row).setCheckState(Qt.CheckState.Checked)
    assert dialog.add_button.text() == "Add 2 stops"
    dialog.add()

    assert [stop.number for stop in desk.dossier.stops] == [1, 2, 3, 4]
    assert desk.library.undo_stack.count() == 1
    assert KEEL.id == desk.dossier.location.id
