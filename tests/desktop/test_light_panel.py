"""Tests for the Light page as it is used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.light_panel import LightPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from tests.desktop.strip_story import BAR_END, DAY, GULLY, KEEL, TOWER, at, fill


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, at(12))


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


@pytest.fixture
def panel(library: Library, selection: Selection, qtbot: QtBot) -> Iterator[LightPanel]:
    jobs = Jobs()
    panel = LightPanel(library, selection, Preferences(Settings()), jobs)
    qtbot.addWidget(panel)
    panel.resize(760, 420)
    panel.show()
    selection.choose(KEEL, KEEL.id)
    selection.use(vantage_point_id=BAR_END.id)
    qtbot.waitUntil(lambda: panel.table.rowCount() > 10)
    yield panel
    jobs.stop()


def row_of(panel: LightPanel, name: str) -> int:
    names = [panel.table.item(i, 0) for i in range(panel.table.rowCount())]
    return [item.text() if item else "" for item in names].index(name)


def test_a_click_on_sunset_goes_to_its_minute(
    panel: LightPanel, selection: Selection
) -> None:
    row = row_of(panel, "sunset")
    item = panel.table.item(row, 1)
    assert item is not None
    where = panel.table.visualItemRect(item).center()

    QTest.mouseClick(panel.table.viewport(), Qt.MouseButton.LeftButton, pos=where)

    assert f"{selection.instant:%H:%M}" == item.text()
    assert panel.minute_heading.text() == f"At {item.text()}"


def test_the_choosers_choose_for_the_whole_window(
    panel: LightPanel, selection: Selection, qtbot: QtBot
) -> None:
    assert panel.subject.currentText() == "no subject"
    panel.subject.setCurrentIndex(1)
    panel.subject.activated.emit(1)
    assert selection.subject_id == TOWER.id
    assert selection.vantage_point_id == BAR_END.id
    assert panel.vantage.currentText() == "Bar end"
    index = panel.vantage.findText(GULLY.name)
    panel.vantage.setCurrentIndex(index)
    panel.vantage.activated.emit(index)
    assert selection.vantage_point_id == GULLY.id
    qtbot.waitUntil(lambda: "Gully head" in panel.seen.text())
    assert panel.vantage.currentText() == "Gully head"
    assert "Its shadow" in dict(panel.facts.texts())


def test_rows_are_copied_with_their_columns(panel: LightPanel) -> None:
    panel.table.selectRow(row_of(panel, "sunrise"))
    QTest.keyClick(panel.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    name, time, azimuth = QGuiApplication.clipboard().text().split("\t")
    assert name == "sunrise"
    assert time[2] == ":"
    assert azimuth.endswith("°")
    panel.table.clearSelection()
    assert len(panel.table.copied_text().splitlines()) == panel.table.rowCount()


def test_the_minute_follows_at_once(panel: LightPanel, selection: Selection) -> None:
    selection.choose_time(DAY, at(23))
    assert dict(panel.facts.texts())["Light"] == "night"


def test_typed_markup_is_shown_as_it_was_typed(
    panel: LightPanel, library: Library, selection: Selection, qtbot: QtBot
) -> None:
    library.edit("name", TOWER, replace(TOWER, name="<i>Tower</i> & <script>"))
    selection.use(subject_id=TOWER.id)
    qtbot.waitUntil(lambda: "<i>Tower</i> & <script>" in dict(panel.facts.texts()))
    assert panel.subject.currentText() == "<i>Tower</i> & <script>"
