"""A grid of what is read from a text, what is odd about it, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontDatabase
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)


def fixed_font() -> QFont:
    """Letters of one width, so that columns stand below one another."""
    return QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)


class Preview(QWidget):
    """Read-only; faults stand above notes, notes below the grid."""

    def __init__(self, columns: Sequence[str], name: str) -> None:
        super().__init__()
        self.summary, self.notes, self.faults = QLabel(), QLabel(), QLabel()
        self.summary.setProperty("soft", True)
        self.notes.setProperty("caution", True)
        self.faults.setProperty("fault", True)
        for label in (self.summary, self.notes, self.faults):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self.faults.setAccessibleName("What is missing or wrong")
        self.table = QTableWidget(0, len(columns))
        self.table.setAccessibleName(name)
        self.table.setHorizontalHeaderLabels(list(columns))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.verticalHeader().hide()
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 0, 0, 0)
        for widget in (self.summary, self.table, self.notes, self.faults):
            column.addWidget(widget)
        column.setStretch(1, 1)

    def show_rows(self, rows: Sequence[Sequence[str]], summary: str) -> None:
        """Fill the grid."""
        self.summary.setText(summary)
        self.table.setRowCount(len(rows))
        for i, texts in enumerate(rows):
            for j, text in enumerate(texts):
                item = self.table.item(i, j)
                if item is None:
                    self.table.setItem(i, j, QTableWidgetItem(text))
                elif item.text() != text:
                    item.setText(text)

    def show_notes(self, notes: Sequence[str]) -> None:
        """Say what is odd, though it may be right."""
        self.notes.setText("\n".join(f"▲ {note}" for note in notes))
        self.notes.setVisible(bool(notes))

    def show_faults(self, faults: Sequence[str]) -> None:
        """Say what keeps it from being stored."""
        self.faults.setText("\n".join(faults))
        self.faults.setVisible(bool(faults))
