"""The story of typing a printed tide table."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.tide_table import TideTableDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.exchange.tide_text import turns_text
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.tides.records import Exposure, TideTable, Turn

PLACE = Location(name="Keel", position=Position(49.6, -8.4), zone="Europe/Dublin")
TURNS = (
    Turn(datetime(2026, 7, 1, 5, 5, tzinfo=UTC), 5.2, True),
    Turn(datetime(2026, 7, 1, 11, 20, tzinfo=UTC), 0.6, False),
)
TABLE = TideTable(
    location_id=PLACE.id,
    port="Keel Quay",
    zone="UTC",
    datum="lowest astronomical tide",
    unit="m",
    source="an invented almanac",
    turns=TURNS,
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
)


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE)
    library.undo_stack.clear()
    return library


def opened(
    library: Library, qtbot: QtBot, table: TideTable | None = None
) -> TideTableDialog:
    dialog = TideTableDialog(library, PLACE, Preferences(Settings()), table=table)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.activateWindow()
    return dialog


def paste(dialog: TideTableDialog, text: str) -> None:
    QGuiApplication.clipboard().setText(text)
    dialog.text.setFocus()
    QTest.keyClick(dialog.text.box, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)


def fill(dialog: TideTableDialog) -> None:
    """Everything by keyboard, in the order of the window."""
    dialog.port.setFocus()
    QTest.keyClicks(dialog.port.line, "Keel Quay")
    dialog.source.setFocus()
    QTest.keyClicks(dialog.source.line, "an invented almanac")
    dialog.zone.setFocus()
    line = dialog.zone.combo.lineEdit()
    assert line is not None
    QTest.keyClicks(line, "UTC")
    dialog.unit.setFocus()
    QTest.keyClick(dialog.unit.combo, Qt.Key.Key_Down)
    QTest.keyClick(dialog.unit.combo, Qt.Key.Key_Return)
    dialog.datum.setFocus()
    QTest.keyClicks(dialog.datum.line, "lowest astronomical tide")
    paste(dialog, turns_text(TURNS, "UTC", "m"))


def tables(library: Library) -> list[TideTable]:
    return library.store.all(TideTable)


def test_the_window_asks_for_nothing_else_to_wait(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)

    assert not dialog.isModal()
    assert dialog.zone.combo.currentText() == ""
    assert dialog.zone.combo.itemText(0) == PLACE.zone
    assert dialog.unit.combo.currentIndex() == -1
    assert not dialog.store_button.isEnabled()


def test_a_table_is_typed_pasted_and_stored_in_one_step(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    assert dialog.preview.table.rowCount() == 2
    assert dialog.preview.faults.text() == ""
    assert dialog.store_button.isEnabled()

    QTest.mouseClick(dialog.store_button, Qt.MouseButton.LeftButton)

    (kept,) = tables(library)
    assert kept == replace(TABLE, id=kept.id, exposure=None, is_distorted=None)
    assert not dialog.isVisible()
    assert library.undo_stack.undoText() == "add tide table"
    assert library.store.drafts() == {}
    library.undo_stack.undo()
    assert tables(library) == []


def test_a_kept_table_is_shown_again_and_changed(
    library: Library, qtbot: QtBot
) -> None:
    library.add("set the scene", TABLE)
    dialog = opened(library, qtbot, TABLE)
    assert dialog.text.box.toPlainText() == turns_text(TURNS, "UTC", "m")
    assert dialog.exposure.combo.currentText() == "open coast"

    dialog.source.setFocus()
    QTest.keyClick(dialog.source.line, Qt.Key.Key_End)
    QTest.keyClicks(dialog.source.line, ", 2026")
    QTest.mouseClick(dialog.store_button, Qt.MouseButton.LeftButton)

    assert tables(library) == [replace(TABLE, source="an invented almanac, 2026")]
    assert library.undo_stack.undoText() == "change tide table"


def test_a_line_that_cannot_be_read_keeps_it_from_being_stored(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)

    QTest.keyClick(dialog.text.box, Qt.Key.Key_Return)
    QTest.keyClicks(dialog.text.box, "about noon")
    assert not dialog.store_button.isEnabled()
    assert dialog.preview.faults.text()
    assert dialog.text.box.toPlainText().endswith("about noon")
    dialog.store()

    assert tables(library) == []


def test_a_zone_that_nobody_knows_is_named(library: Library, qtbot: QtBot) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    line = dialog.zone.combo.lineEdit()
    assert line is not None
    dialog.zone.setFocus()

    line.selectAll()
    QTest.keyClicks(line, "Keel time")

    assert "“Keel time” is no time zone" in dialog.preview.faults.text()
    assert not dialog.store_button.isEnabled()


def test_an_offset_is_kept_under_the_name_of_its_zone(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    line = dialog.zone.combo.lineEdit()
    assert line is not None
    dialog.zone.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "UTC+1")

    QTest.mouseClick(dialog.store_button, Qt.MouseButton.LeftButton)

    (kept,) = tables(library)
    assert kept.zone == "Etc/GMT-1"
    hour = timedelta(hours=1)
    assert kept.turns[0].instant == TURNS[0].instant - hour


def test_closing_keeps_what_was_typed_for_the_next_time(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    QTest.mouseClick(dialog.close_button, Qt.MouseButton.LeftButton)
    assert tables(library) == []

    again = opened(library, qtbot)

    assert again.text.box.toPlainText() == turns_text(TURNS, "UTC", "m")
    assert "Not stored yet" in again.text.note.text()
    assert again.port.line.text() == "Keel Quay"
    assert again.zone.combo.currentText() == "UTC"
    QTest.mouseClick(again.discard_button, Qt.MouseButton.LeftButton)
    assert library.store.drafts() == {}


def test_what_the_library_refuses_is_said_and_stays(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    library.remove("remove location", PLACE)

    dialog.store()

    assert dialog.isVisible()
    assert dialog.preview.faults.text()
    assert dialog.text.box.toPlainText()


def test_tab_leaves_the_paste_area(library: Library, qtbot: QtBot) -> None:
    dialog = opened(library, qtbot)
    dialog.text.setFocus()

    QTest.keyClick(dialog.text.box, Qt.Key.Key_Tab)

    assert QApplication.focusWidget() is not dialog.text.box


def test_a_year_is_read_after_a_pause(library: Library, qtbot: QtBot) -> None:
    turns = [
        Turn(
            TURNS[0].instant + timedelta(minutes=372 * i),
            0.8 if i % 2 else 4.0,
            is_high=i % 2 == 0,
        )
        for i in range(1400)
    ]
    dialog = opened(library, qtbot)
    fill(dialog)

    QTest.keyClick(dialog.text.box, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    paste(dialog, turns_text(turns, "UTC", "m"))
    assert not dialog.store_button.isEnabled()

    qtbot.waitUntil(dialog.store_button.isEnabled)
    assert dialog.preview.table.rowCount() == 1400


def test_every_field_belongs_to_the_draft(library: Library, qtbot: QtBot) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    dialog.year.setFocus()
    QTest.keyClicks(dialog.year.line, "2026")
    QTest.keyClick(dialog.exposure.combo, Qt.Key.Key_Down)
    QTest.keyClick(dialog.distorted.combo, Qt.Key.Key_Down)
    typed = [field.read() for field in dialog._fields()]
    dialog.close()

    again = opened(library, qtbot)

    assert [field.read() for field in again._fields()] == typed
    assert None not in typed


def test_a_choice_by_arrow_key_counts_at_once(library: Library, qtbot: QtBot) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    assert dialog.content is not None
    assert dialog.content.table is not None
    before = dialog.content.table.exposure

    QTest.keyClick(dialog.exposure.combo, Qt.Key.Key_Down)

    assert dialog.content.table is not None
    assert dialog.content.table.exposure is not before
