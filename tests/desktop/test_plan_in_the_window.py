"""The strip, the menu and the card work on the same plan."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QAction
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.add_stops import AddStopsDialog
from fieldtrip.desktop.dialogs.compare_days import CompareDaysDialog
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import PLAN_PAGE, Window
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Stop, Walk
from tests.desktop.plan_story import FAR, NOW, fill
from tests.desktop.strip_story import at


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[Window]:
    """A window that is never shown, so that no web engine is started."""
    store = Store.in_memory()
    fill(store)
    made = Window(store, Preferences(Settings()), Paths.below(tmp_path), lambda: NOW)
    yield made
    made.close()
    made.deleteLater()


def verb(window: Window, words: str) -> QAction:
    return next(
        action
        for action in window.actions_of_menus()
        if action.text().replace("&", "") == words
    )


def test_a_spot_dropped_on_the_strip_is_a_stop_and_the_status_line_says_so(
    window: Window,
) -> None:
    window.strip.chart.spotDropped.emit(FAR.id, at(15))

    stops = window.library.store.all(Stop)
    assert FAR.id in {stop.vantage_point_id for stop in stops}
    assert window.statusBar().currentMessage().startswith("Far stack is a stop at")


def test_the_menu_makes_the_plan(window: Window, qtbot: QtBot) -> None:
    verb(window, "Make the plan").trigger()

    qtbot.waitUntil(lambda: len(window.library.store.all(Walk)) > 0)

    assert window.library.undo_stack.undoText() == "make the plan"


def test_the_plan_page_and_its_windows_open_from_the_menu_and_the_card(
    window: Window,
) -> None:
    verb(window, "Plan page").trigger()
    window.plan.compare.click()
    window.plan.add_stops.click()

    assert window.card.pages.currentWidget() is window.plan
    assert window.card.tabs.tabText(window.card.tabs.currentIndex()) == PLAN_PAGE
    for kind in (CompareDaysDialog, AddStopsDialog):
        assert window.findChildren(kind)


def test_a_time_of_the_plan_moves_the_minute(window: Window) -> None:
    window.plan.minuteAsked.emit(at(15, 40))

    assert window.selection.instant == at(15, 40)
