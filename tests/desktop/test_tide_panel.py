"""Tests for the Tide page as it is used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.almanac.tide import NO_LOCATION, NO_TABLE
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.tide_panel import TidePanel
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.store.store import Store
from tests.desktop.strip_story import BAR, DAY, KEEL, TABLE, at, fill
from tests.safety.station_story import GOLDEN


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, at(12))


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


@pytest.fixture
def preferences() -> Preferences:
    return Preferences(Settings())


@pytest.fixture
def panel(
    library: Library, selection: Selection, preferences: Preferences, qtbot: QtBot
) -> Iterator[TidePanel]:
    jobs = Jobs()
    panel = TidePanel(library, selection, preferences, jobs)
    qtbot.addWidget(panel)
    panel.resize(760, 420)
    panel.show()
    qtbot.waitUntil(lambda: panel.message.text() == NO_LOCATION)
    selection.choose(KEEL, KEEL.id)
    qtbot.waitUntil(lambda: panel.table.rowCount() == 4)
    yield panel
    jobs.stop()


def text(panel: TidePanel, row: int, column: int) -> str:
    item = panel.table.item(row, column)
    return item.text() if item else ""


def test_a_click_on_a_turn_goes_to_its_minute(
    panel: TidePanel, selection: Selection
) -> None:
    item = panel.table.item(2, 0)
    assert item is not None
    where = panel.table.visualItemRect(item).center()
    QTest.mouseClick(panel.table.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert selection.instant == at(16, 56)
    assert panel.minute.text().startswith("At 16:56 the tide stands at 0.5 m")


def test_it_follows_units_edits_and_their_undo(
    panel: TidePanel, library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    preferences.settings = replace(preferences.settings, length_unit=LengthUnit.FOOT)
    qtbot.waitUntil(lambda: text(panel, 0, 2) == "1.64 ft")

    library.edit("level", BAR, replace(BAR, shut_above_m=None))
    qtbot.waitUntil(lambda: panel.legs[0].state.text().startswith("? not known."))
    library.undo_stack.undo()
    qtbot.waitUntil(lambda: panel.legs[0].state.text().startswith("Open with all"))


def test_a_day_without_a_table_says_how_to_get_one(
    panel: TidePanel, library: Library, qtbot: QtBot
) -> None:
    library.remove("remove table", TABLE)
    qtbot.waitUntil(lambda: panel.message.text() == NO_TABLE)
    assert panel.table.isHidden()
    assert panel.minute.isHidden()
    assert panel.legs[0].state.text().startswith("? not known.")


def test_the_month_stands_below_and_a_day_of_it_can_be_gone_to(
    panel: TidePanel, selection: Selection, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: panel.month.rowCount() == 30)
    assert panel.month_words.text().startswith("November 2026, at sunset")

    panel.clock.edited.emit(time(7, 0))
    qtbot.waitUntil(lambda: "at 07:00" in panel.month_words.text())
    panel.month.rowChosen.emit(11)

    assert selection.day == DAY.replace(day=12)


def test_only_a_station_is_asked_for_its_highest_tide(
    panel: TidePanel, library: Library, qtbot: QtBot
) -> None:
    assert panel.reach_button.isHidden()
    library.add("add tide station", GOLDEN)
    library.edit("choose", KEEL, replace(KEEL, station_id=GOLDEN.id))
    qtbot.waitUntil(lambda: not panel.reach_button.isHidden())

    panel.reach_button.click()

    qtbot.waitUntil(
        lambda: panel.reach.text().startswith("Highest astronomical tide 2026"),
        timeout=30_000,
    )
    assert "Weather can take the sea beyond both." in panel.reach.text()
