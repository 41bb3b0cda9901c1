"""A table of many rows that is sorted by a click on a heading."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
)

from fieldtrip.desktop.tips import plain_tip

_ROW = Qt.ItemDataRole.UserRole


class SortTable(QTableWidget):
    """Shows rows of text; sorts them by keys, and tells which one is meant."""

    rowChosen = Signal(int)  # its place in what was shown, by Enter or double click

    def __init__(self, name: str, headings: Sequence[str]) -> None:
        super().__init__(0, len(headings))
        self.setAccessibleName(name)
        self.setHorizontalHeaderLabels(list(headings))
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        header.setSectionsClickable(True)
        header.sectionClicked.connect(self.sort_by)
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        self.cellDoubleClicked.connect(lambda row, _: self._choose(row))
        self._texts: list[Sequence[str]] = []
        self._keys: list[Sequence[Any]] = []
        self._hints: list[str] = []
        self._order: list[int] = []  # what stands on each line
        self._sorted: tuple[int, bool] | None = None  # column, and whether reversed

    def show_rows(
        self,
        texts: Sequence[Sequence[str]],
        keys: Sequence[Sequence[Any]],
        hints: Sequence[str],
    ) -> None:
        """Put rows in, in the order given; each has a key for every column."""
        self._texts, self._keys, self._hints = list(texts), list(keys), list(hints)
        self._order = list(range(len(texts)))
        self._sorted = None
        self.horizontalHeader().setSortIndicatorShown(False)
        self._fill()
        self.resizeColumnsToContents()
        for column in range(self.columnCount()):
            self.setColumnWidth(column, min(self.columnWidth(column) + 14, 420))

    def sort_by(self, column: int) -> None:
        """Sort by a column; again: the other way round."""
        chosen = self.chosen_row()
        is_reversed = self._sorted == (column, False)
        self._sorted = (column, is_reversed)
        self._order = sorted(
            range(len(self._texts)),
            key=lambda k: self._keys[k][column],
            reverse=is_reversed,
        )
        order = (
            Qt.SortOrder.DescendingOrder if is_reversed else Qt.SortOrder.AscendingOrder
        )
        header = self.horizontalHeader()
        header.setSortIndicator(column, order)
        header.setSortIndicatorShown(True)
        self._fill()
        if chosen in self._order:
            self.setCurrentCell(self._order.index(chosen), column)

    def chosen_row(self) -> int:
        """The place of the current row in what was shown; -1: none."""
        line = self.currentRow()
        return self._order[line] if 0 <= line < len(self._order) else -1

    def copied_text(self) -> str:
        """The chosen rows, or all of them, with tabs between the columns."""
        lines = sorted({index.row() for index in self.selectedIndexes()})
        rows = [self._order[line] for line in lines] or self._order
        return "\n".join("\t".join(self._texts[row]) for row in rows)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter chooses, Ctrl+C copies."""
        if event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self.copied_text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.currentRow())
        else:
            super().keyPressEvent(event)

    def _choose(self, line: int) -> None:
        if 0 <= line < len(self._order):
            self.rowChosen.emit(self._order[line])

    def _fill(self) -> None:
        self.setRowCount(len(self._order))
        for line, row in enumerate(self._order):
            for column, text in enumerate(self._texts[row]):
                item = QTableWidgetItem(text)
                item.setToolTip(plain_tip(self._hints[row]))
                self.setItem(line, column, item)
        height = self.fontMetrics().height() + 6
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(height)
