"""Several lines of the list chosen together, by mouse and by keyboard."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.places_panel import PlacesPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store

TODAY = date(2026, 11, 25)
HERE = Position(49.6, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
A, B, C, D = (
    VantagePoint(location_id=BAY.id, name=name, position=HERE) for name in "ABCD"
)
LEFT = Qt.MouseButton.LeftButton
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def selection() -> Selection:
    return Selection(TODAY, datetime(2026, 11, 25, 12, tzinfo=UTC))


@pytest.fixture
def panel(store: Store, qtbot: QtBot, selection: Selection) -> PlacesPanel:
    library = Library(store)
    library.add("begin", BAY, A, B, C, D)
    panel = PlacesPanel(library, selection, Preferences(Settings()), lambda: TODAY)
    qtbot.addWidget(panel)
    panel.resize(300, 400)
    panel.show()
    qtbot.waitExposed(panel)
    selection.choose(A, BAY.id)
    return panel


def click(panel: PlacesPanel, name: str, held: Qt.KeyboardModifier) -> None:
    (item,) = (one for one in panel.tree.items() if one.text(0) == name)
    place = panel.tree.visualItemRect(item).center()
    QTest.mouseClick(panel.tree.viewport(), LEFT, held, place)


def washed(panel: PlacesPanel) -> list[str]:
    none = Qt.BrushStyle.NoBrush
    return [
        item.text(0)
        for item in panel.tree.items()
        if item.background(0).style() is not none
    ]


def test_ctrl_click_chooses_more_and_lets_go_again(
    panel: PlacesPanel, selection: Selection
) -> None:
    click(panel, "C", CTRL)
    click(panel, "D", CTRL)
    assert selection.picked == {A.id, C.id, D.id}
    assert selection.record_id == A.id
    assert washed(panel) == ["A", "C", "D"]

    click(panel, "C", CTRL)

    assert selection.picked == {A.id, D.id}
    assert washed(panel) == ["A", "D"]


def test_shift_click_chooses_all_up_to_it(
    panel: PlacesPanel, selection: Selection
) -> None:
    click(panel, "C", SHIFT)

    assert selection.picked == {A.id, B.id, C.id}


def test_a_plain_click_chooses_one_again(
    panel: PlacesPanel, selection: Selection
) -> None:
    click(panel, "C", CTRL)

    click(panel, "B", Qt.KeyboardModifier.NoModifier)

    assert (selection.record_id, selection.picked) == (B.id, frozenset())
    assert washed(panel) == []


def test_shift_and_an_arrow_choose_more_by_keyboard(
    panel: PlacesPanel, selection: Selection
) -> None:
    panel.tree.setFocus()

    QTest.keyClick(panel.tree, Qt.Key.Key_Down, SHIFT)
    QTest.keyClick(panel.tree, Qt.Key.Key_Down, SHIFT)

    assert selection.picked == {A.id, B.id, C.id}
