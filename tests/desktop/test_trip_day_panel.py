"""Gates and the day from door to door, edited by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.fields import TextField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.trip_day_panel import TripDayPanel
from fieldtrip.places.records import StartKind, StartPlace
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Gate, GateKind, Trip
from tests.safety import story
from tests.safety.story import CLEAR, LEG, LOCATION, NOW, REFUGE, ROUTE, VANTAGE

# Of the day around the walks nothing is said yet.
TRIP = replace(
    story.TRIP,
    start_place_id=None,
    wake=None,
    drive_out_min=None,
    drive_back_min=None,
    kit_up_min=None,
    alarm_with="",
)

QUAY = StartPlace(
    location_id=LOCATION.id,
    name="Quay",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
)


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    scene = (LOCATION, VANTAGE, REFUGE, ROUTE, LEG, QUAY, TRIP)
    library.add("set the scene", *scene, *CLEAR.stops, *CLEAR.walks)
    library.undo_stack.clear()
    return library


@pytest.fixture
def panel(library: Library, qtbot: QtBot) -> Iterator[TripDayPanel]:
    jobs = Jobs()
    selection = Selection(TRIP.day, NOW)
    selection.choose(TRIP, LOCATION.id)
    panel = TripDayPanel(
        library, selection, Preferences(Settings()), jobs, now=lambda: NOW
    )
    qtbot.addWidget(panel)
    panel.resize(900, 700)
    panel.show()
    panel.activateWindow()
    yield panel
    panel.finish()
    panel.hide()
    jobs.stop()


def type_over(field: TextField, text: str) -> None:
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def gates_of(library: Library) -> tuple[Gate, ...]:
    dossier = library.dossier(LOCATION.id)
    assert dossier is not None
    return dossier.gates_of(TRIP)


def trip_of(library: Library) -> Trip:
    trip = library.get(Trip, TRIP.id)
    assert trip is not None
    return trip


def test_a_gate_is_added_named_filled_in_and_taken_back(
    panel: TripDayPanel, library: Library, qtbot: QtBot
) -> None:
    panel.add_gate.click()
    (gate,) = gates_of(library)
    line = panel.gate_lines[gate.id]

    type_over(line.name, "By the gate")
    type_over(line.must_see, "swell not over the step")
    type_over(line.fallback, "south shore")
    type_over(line.decide_by, "05:30")

    (gate,) = gates_of(library)
    assert gate.kind is GateKind.START
    assert gate.name == "By the gate"
    assert (gate.must_see, gate.fallback) == ("swell not over the step", "south shore")
    qtbot.waitUntil(lambda: line.words.text().startswith("Decide by 05:30"))
    for _ in range(5):
        library.undo_stack.undo()
    assert gates_of(library) == ()
    assert panel.gate_lines == {}


def test_gates_are_moved_and_removed_by_their_keys(
    panel: TripDayPanel, library: Library, qtbot: QtBot
) -> None:
    panel.add_gate.click()
    panel.add_gate.click()
    first, second = gates_of(library)
    name = panel.gate_lines[second.id].name.line
    qtbot.waitUntil(lambda: name.isVisible() and name.hasFocus())

    QTest.keyClick(name, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)

    assert [gate.id for gate in gates_of(library)] == [second.id, first.id]

    panel.gate_lines[second.id].remove.click()
    (left,) = gates_of(library)
    assert (left.id, left.number) == (first.id, 1)


def test_a_gate_moves_to_another_leg_or_stop(
    panel: TripDayPanel, library: Library
) -> None:
    panel.add_gate.click()
    (gate,) = gates_of(library)
    field = panel.gate_lines[gate.id].stands

    field.combo.setCurrentIndex(field.combo.findText("at The step"))
    field.combo.activated.emit(field.combo.currentIndex())

    (gate,) = gates_of(library)
    assert gate.stands == (GateKind.STOP, VANTAGE.id)


def test_the_day_from_door_to_door_is_typed_and_told(
    panel: TripDayPanel, library: Library, qtbot: QtBot
) -> None:
    type_over(panel.wake, "05:00")
    type_over(panel.drive_out, "60")
    type_over(panel.kit_up, "10")
    type_over(panel.drive_back, "70")
    panel.start.combo.setCurrentIndex(panel.start.combo.findText("Quay"))
    panel.start.combo.activated.emit(panel.start.combo.currentIndex())

    trip = trip_of(library)
    assert (trip.drive_out_min, trip.kit_up_min, trip.drive_back_min) == (60, 10, 70)
    assert trip.start_place_id == QUAY.id
    qtbot.waitUntil(lambda: panel.awake.text().startswith("Awake for 4 h 20 min"))
    assert panel.unsaid.text() == (
        "Start: Quay, car park, hours not known. Not said: whether the start shuts, "
        "whether the end shuts."
    )


def test_a_drive_that_cannot_be_is_refused_and_stays_typed(
    panel: TripDayPanel, library: Library
) -> None:
    type_over(panel.drive_out, "-5")

    assert "drive out" in panel.drive_out.fault.text()
    assert panel.drive_out.line.text() == "-5"
    assert trip_of(library).drive_out_min is None


def test_removing_the_leg_of_a_gate_leaves_the_gate_without_a_time(
    panel: TripDayPanel, library: Library, qtbot: QtBot
) -> None:
    panel.add_gate.click()
    panel.add_gate.click()
    gate = gates_of(library)[1]
    assert gate.leg_id == LEG.id

    library.remove("remove leg", LEG)

    line = panel.gate_lines[gate.id]
    assert gates_of(library)[1].leg_id is None
    qtbot.waitUntil(lambda: line.words.text() == "By when to decide is not known.")
    assert "names no leg" in line.cautions.text()


def test_hostile_names_are_shown_as_text(
    panel: TripDayPanel, library: Library, qtbot: QtBot
) -> None:
    hostile = "<b>&amp;</b><img src=x> %s {0}"
    panel.add_gate.click()
    (gate,) = gates_of(library)
    type_over(panel.gate_lines[gate.id].fallback, hostile)
    library.edit("rename", QUAY, _renamed(hostile))

    panel.start.combo.setCurrentIndex(panel.start.combo.findText(hostile))
    panel.start.combo.activated.emit(panel.start.combo.currentIndex())

    assert gates_of(library)[0].fallback == hostile
    assert trip_of(library).start_place_id == QUAY.id
    qtbot.waitUntil(lambda: hostile in panel.unsaid.text())
    assert panel.unsaid.textFormat() is Qt.TextFormat.PlainText


def _renamed(name: str) -> StartPlace:
    return StartPlace(
        id=QUAY.id,
        location_id=QUAY.location_id,
        name=name,
        kind=QUAY.kind,
        position=QUAY.position,
    )


def test_without_a_trip_nothing_is_left_standing(
    panel: TripDayPanel, library: Library
) -> None:
    panel.add_gate.click()

    library.remove("remove trip", trip_of(library))

    assert panel.gate_lines == {}
