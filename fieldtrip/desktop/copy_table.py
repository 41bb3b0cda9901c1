"""A quiet table of texts: rows are chosen by click or Enter, and can be copied."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFont, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
)


class CopyTable(QTableWidget):
    """Shows rows of text as high as they are; decides nothing."""

    rowChosen = Signal(int)

    def __init__(self, name: str, headings: Sequence[str]) -> None:
        super().__init__(0, len(headings))
        self.setAccessibleName(name)
        self.setHorizontalHeaderLabels(list(headings))
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.cellClicked.connect(lambda row, _column: self.rowChosen.emit(row))

    def show_rows(
        self,
        rows: Sequence[Sequence[str]],
        *,
        strong: Sequence[int] = (),
        soft: Sequence[int] = (),
    ) -> None:
        """Put the texts in; some rows in bold, some in soft ink."""
        self.setRowCount(len(rows))
        bold = QFont(self.font())
        bold.setBold(True)
        for i, texts in enumerate(rows):
            for j, text in enumerate(texts):
                item = QTableWidgetItem(text)
                if i in strong:
                    item.setFont(bold)
                if i in soft:
                    item.setForeground(self.palette().placeholderText())
                self.setItem(i, j, item)
        self._fit_rows()

    def copied_text(self) -> str:
        """The chosen rows, or all of them, with tabs between the columns."""
        rows = sorted({index.row() for index in self.selectedIndexes()})
        lines = []
        for i in rows or range(self.rowCount()):
            items = [self.item(i, j) for j in range(self.columnCount())]
            lines.append("\t".join(item.text() if item else "" for item in items))
        return "\n".join(lines)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+C copies, Enter chooses."""
        if event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self.copied_text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.rowChosen.emit(self.currentRow())
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit_rows()

    def sizeHintForColumn(self, column: int) -> int:
        """As wide as its texts, with some air."""
        return super().sizeHintForColumn(column) + 16

    def sizeHint(self) -> QSize:
        """As high as the rows are; the page scrolls, not the table."""
        height = self.horizontalHeader().sizeHint().height() + 2 * self.frameWidth() + 2
        height += sum(self.rowHeight(i) for i in range(self.rowCount()))
        width = sum(self.sizeHintForColumn(j) for j in range(self.columnCount()))
        return QSize(width + 30, height)

    def minimumSizeHint(self) -> QSize:
        """All rows, but the width may shrink."""
        return QSize(120, self.sizeHint().height())

    def _fit_rows(self) -> None:
        height = self.fontMetrics().height() + 6
        self.verticalHeader().setMinimumSectionSize(1)
        for i in range(self.rowCount()):
            self.setRowHeight(i, height)
        self.updateGeometry()
