"""A table that is sorted by its headings."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.sort_table import SortTable

TEXTS = [("Sat 2 Jan", "70 min"), ("Sun 6 Dec", "9 min"), ("Sat 5 Dec", "16 min")]
KEYS = [(30, 70), (6, 9), (5, 16)]


@pytest.fixture
def table(qtbot: QtBot) -> SortTable:
    table = SortTable("Dates", ("Day", "Lasts"))
    qtbot.addWidget(table)
    table.show_rows(TEXTS, KEYS, ["a", "b", "c"])
    return table


def column(table: SortTable, number: int) -> list[str]:
    model = table.model()
    return [str(model.index(line, number).data()) for line in range(model.rowCount())]


def test_rows_stand_as_they_were_given(table: SortTable) -> None:
    assert column(table, 0) == ["Sat 2 Jan", "Sun 6 Dec", "Sat 5 Dec"]


def test_a_heading_sorts_by_what_its_texts_mean(table: SortTable) -> None:
    table.sort_by(1)
    assert column(table, 1) == ["9 min", "16 min", "70 min"]

    table.sort_by(1)

    assert column(table, 1) == ["70 min", "16 min", "9 min"]


def test_the_chosen_row_stays_chosen(table: SortTable) -> None:
    table.setCurrentCell(0, 0)

    table.sort_by(0)

    assert table.currentIndex().row() == 2
    assert table.chosen_row() == 0


def test_enter_chooses_what_was_given_in_that_place(
    table: SortTable, qtbot: QtBot
) -> None:
    table.sort_by(0)
    table.setCurrentCell(0, 0)

    with qtbot.waitSignal(table.rowChosen) as chosen:
        QTest.keyClick(table, Qt.Key.Key_Return)

    assert chosen.args == [2]


def test_rows_are_copied_as_they_stand(table: SortTable) -> None:
    table.sort_by(1)

    assert table.copied_text().splitlines()[0] == "Sun 6 Dec\t9 min"


def test_a_tool_tip_holds_all_of_a_hint_as_it_stands(table: SortTable) -> None:
    table.show_rows(TEXTS[:1], KEYS[:1], ["the tide <rising>\nthe Moon down"])

    tip = table.model().index(0, 1).data(Qt.ItemDataRole.ToolTipRole)

    assert tip == "<span>the tide &lt;rising&gt;<br>the Moon down</span>"


def test_choosing_another_row_is_told(table: SortTable, qtbot: QtBot) -> None:
    with qtbot.waitSignal(table.itemSelectionChanged):
        table.setCurrentCell(2, 0)

    assert table.chosen_row() == 2


def test_columns_can_be_named_anew(table: SortTable) -> None:
    table.set_headings(("Day", "Fails by"))

    assert table.model().headerData(1, Qt.Orientation.Horizontal) == "Fails by"
