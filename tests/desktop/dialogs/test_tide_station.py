"""The windows for a place's station and for what was seen of a crossing, as used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.crossing import CrossingDialog
from fieldtrip.desktop.dialogs.tide_station import NO_STATIONS, TideStationDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.places.records import CrossingObservation
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.tides.stations import Station
from tests.desktop.strip_story import BAR, KEEL, at, fill
from tests.safety.station_story import GOLDEN


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


def chosen(dialog: TideStationDialog, value: object) -> None:
    """What choosing in the box does."""
    dialog.station.edited.emit(value)


def test_a_place_gets_a_station_by_one_step_and_loses_it_again(
    library: Library, qtbot: QtBot
) -> None:
    library.add("add tide station", GOLDEN)
    dialog = TideStationDialog(library, KEEL.id, Preferences(Settings()))
    qtbot.addWidget(dialog)
    dialog.show()
    assert not dialog.name.isEnabled()

    chosen(dialog, GOLDEN.id)

    assert library.locations()[0].station_id == GOLDEN.id
    assert dialog.name.value == "San Francisco"
    assert "▲ Nobody said whether it lies round a headland" in dialog.lines.text()
    dialog.headland.edited.emit(False)
    assert "headland" not in dialog.lines.text()
    library.undo_stack.undo()
    library.undo_stack.undo()
    assert library.locations()[0].station_id is None
    assert dialog.lines.text() == ""


def test_a_station_s_facts_are_edited_where_they_stand(
    library: Library, qtbot: QtBot
) -> None:
    library.add("add tide station", GOLDEN)
    library.edit("choose", KEEL, replace(KEEL, station_id=GOLDEN.id))
    dialog = TideStationDialog(library, KEEL.id, Preferences(Settings()))
    qtbot.addWidget(dialog)
    dialog.show()

    dialog.position.line.setText("49.60 -8.39")
    QTest.keyClicks(dialog.position.line, "5")
    QTest.keyClick(dialog.position.line, Qt.Key.Key_Return)

    (station,) = library.store.all(Station)
    assert station.position is not None
    assert station.position.lon_deg == pytest.approx(-8.395)
    assert "It is" in dialog.lines.text()
    dialog.remove.click()
    assert library.store.all(Station) == []
    assert library.locations()[0].station_id is None


def test_without_any_station_the_way_on_is_shown(
    library: Library, qtbot: QtBot
) -> None:
    dialog = TideStationDialog(library, KEEL.id, Preferences(Settings()))
    qtbot.addWidget(dialog)

    assert dialog.message.text() == NO_STATIONS


def crossing(
    library: Library, now: Callable[[], datetime] = lambda: at(12)
) -> CrossingDialog:
    """The window for the bar at high water."""
    dossier = library.dossier(KEEL.id)
    assert dossier is not None
    return CrossingDialog(
        library,
        dossier,
        Preferences(Settings()),
        leg_id=BAR.id,
        instant=at(10, 42),
        now=now,
    )


def test_a_crossing_is_noted_and_lowers_the_level(
    library: Library, qtbot: QtBot
) -> None:
    dialog = crossing(library)
    qtbot.addWidget(dialog)
    dialog.show()
    assert not dialog.store_button.isEnabled()
    assert dialog.fault.text() == "Say whether it could be passed."

    dialog.moment.edited.emit(at(7, 35))
    dialog.passable.edited.emit(False)
    dialog.store_button.click()

    (seen,) = library.store.all(CrossingObservation)
    # By hand on the cosine: half way from 0.5 m at 04:28 to 3.7 m at 10:42.
    assert seen.level_m == pytest.approx(2.1, abs=0.001)
    assert library.undo_stack.undoText() == "note how a crossing was"
    again = crossing(library)
    qtbot.addWidget(again)
    assert "not passable at 2.10 m" in again.force.text()
    assert again.seen.rowCount() == 1
    again.seen.selectRow(0)
    again.remove_button.click()
    assert library.store.all(CrossingObservation) == []
    assert again.seen.rowCount() == 0


def test_a_fault_keeps_the_window_open(library: Library, qtbot: QtBot) -> None:
    dialog = crossing(library, now=lambda: at(9))
    qtbot.addWidget(dialog)
    dialog.show()

    dialog.passable.edited.emit(True)

    assert dialog.fault.text() == "That is still to come."
    assert not dialog.store_button.isEnabled()
    assert library.store.all(CrossingObservation) == []
