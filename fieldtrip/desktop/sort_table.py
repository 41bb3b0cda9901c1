"""A table of many rows that is sorted by a click on a heading."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from fieldtrip.desktop.tips import plain_tip

_WIDEST = 420  # pixels, until somebody draws a column wider
_Index = QModelIndex | QPersistentModelIndex


class SortTable(QTableView):
    """Shows rows of text; sorts them by keys, and tells which one is meant."""

    rowChosen = Signal(int)  # its place in what was shown, by Enter or double click
    itemSelectionChanged = Signal()

    def __init__(self, name: str, headings: Sequence[str]) -> None:
        super().__init__()
        self._rows = _Rows(headings)
        self.setModel(self._rows)
        self.setAccessibleName(name)
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
        self.doubleClicked.connect(lambda index: self._choose(index.row()))
        self._keys: list[Sequence[Any]] = []
        self._sorted: tuple[int, bool] | None = None  # column, and whether reversed

    def show_rows(
        self,
        texts: Sequence[Sequence[str]],
        keys: Sequence[Sequence[Any]],
        hints: Sequence[str],
    ) -> None:
        """Put rows in, in the order given; each has a key for every column."""
        self._keys = list(keys)
        self._sorted = None
        self.horizontalHeader().setSortIndicatorShown(False)
        self._rows.put(list(texts), list(hints))
        height = self.fontMetrics().height() + 6
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(height)
        widths = [self._width_of(column) for column in range(self._rows.columnCount())]
        spare = self.viewport().width() - sum(min(each, _WIDEST) for each in widths)
        for column, wanted in enumerate(widths[:-1]):  # the last takes the rest
            width = min(wanted, _WIDEST + max(0, spare))
            spare -= max(0, width - _WIDEST)
            self.setColumnWidth(column, width)

    def set_headings(self, headings: Sequence[str]) -> None:
        """Name the columns anew, as many as there are."""
        self._rows.name_columns(headings)

    def sort_by(self, column: int) -> None:
        """Sort by a column; again: the other way round."""
        chosen = self.chosen_row()
        is_reversed = self._sorted == (column, False)
        self._sorted = (column, is_reversed)
        order = sorted(
            range(len(self._keys)),
            key=lambda k: self._keys[k][column],
            reverse=is_reversed,
        )
        way = (
            Qt.SortOrder.DescendingOrder if is_reversed else Qt.SortOrder.AscendingOrder
        )
        header = self.horizontalHeader()
        header.setSortIndicator(column, way)
        header.setSortIndicatorShown(True)
        self._rows.arrange(order)
        if chosen in order:
            self.setCurrentCell(order.index(chosen), column)

    def setCurrentCell(self, line: int, column: int) -> None:
        """Choose a line by where it stands now."""
        self.setCurrentIndex(self._rows.index(line, column))

    def chosen_row(self) -> int:
        """The place of the current row in what was shown; -1: none."""
        line = self.currentIndex().row()
        order = self._rows.order
        return order[line] if 0 <= line < len(order) else -1

    def copied_text(self) -> str:
        """The chosen rows, or all of them, with tabs between the columns."""
        lines = sorted({index.row() for index in self.selectedIndexes()})
        shown = self._rows
        return "\n".join(
            "\t".join(shown.texts[row])
            for row in ([shown.order[line] for line in lines] or shown.order)
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter chooses, Ctrl+C copies."""
        if event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self.copied_text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.currentIndex().row())
        else:
            super().keyPressEvent(event)

    def selectionChanged(
        self, selected: QItemSelection, deselected: QItemSelection
    ) -> None:
        """Tell that another row is chosen."""
        super().selectionChanged(selected, deselected)
        self.itemSelectionChanged.emit()

    def _choose(self, line: int) -> None:
        order = self._rows.order
        if 0 <= line < len(order):
            self.rowChosen.emit(order[line])

    def _width_of(self, column: int) -> int:
        """By the longest texts only: measuring thousands of them takes a while."""
        texts = sorted({row[column] for row in self._rows.texts}, key=len)[-20:]
        advance = self.fontMetrics().horizontalAdvance
        widest = max((advance(text) for text in texts), default=0)
        heading = self.horizontalHeader().sectionSizeFromContents(column).width()
        return max(widest + 24, heading + 14)


class _Rows(QAbstractTableModel):
    """Texts by line and column; a line is looked up when it is painted."""

    def __init__(self, headings: Sequence[str]) -> None:
        super().__init__()
        self._headings = list(headings)
        self.texts: list[Sequence[str]] = []
        self.order: list[int] = []  # what stands on each line
        self._hints: list[str] = []

    def put(self, texts: list[Sequence[str]], hints: list[str]) -> None:
        self.beginResetModel()
        self.texts, self._hints = texts, hints
        self.order = list(range(len(texts)))
        self.endResetModel()

    def arrange(self, order: list[int]) -> None:
        self.beginResetModel()
        self.order = order
        self.endResetModel()

    def name_columns(self, headings: Sequence[str]) -> None:
        self._headings = list(headings)
        last = len(self._headings) - 1
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, last)

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.order)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._headings)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        row = self.order[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self.texts[row][index.column()]
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(self._hints[row])
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        is_name = role == Qt.ItemDataRole.DisplayRole
        if is_name and orientation is Qt.Orientation.Horizontal:
            return self._headings[section]
        return None
