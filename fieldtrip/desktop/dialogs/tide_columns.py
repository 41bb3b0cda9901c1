"""A box in which one says which column of a table of any layout holds what."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QGroupBox,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
)

from fieldtrip.exchange.tide_columns import (
    Columns,
    DayOrder,
    Table,
    columns_text,
    proposed,
)

_LINES = 3
_NONE = "none"
_ROLES = ("Date", "Time", "Height", "High or low")
_WITHOUT = {"Time": "in the date’s column", "High or low": _NONE}


class TideColumnsBox(QGroupBox):
    """Shows the heading and a few lines; what is settled comes back as one text."""

    settled = Signal(str, str)  # the line of heading, and the columns in words

    def __init__(self) -> None:
        super().__init__("Which column holds what")
        self._table: Table | None = None
        self.sample = QTableWidget(_LINES, 0)
        self.sample.setAccessibleName("The first lines of the file")
        self.sample.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.sample.verticalHeader().hide()
        self.sample.setTabKeyNavigation(False)
        self.roles: dict[str, QComboBox] = {}
        grid = QGridLayout()
        for at, role in enumerate(_ROLES):
            combo = QComboBox()
            combo.setAccessibleName(f"Column of {role.lower()}")
            combo.activated.connect(self._check)
            self.roles[role] = combo
            grid.addWidget(QLabel(role), 0, at)
            grid.addWidget(combo, 1, at)
        self.order = QComboBox()
        self.order.setAccessibleName("How dates are written")
        self.order.addItems([str(order) for order in DayOrder])
        self.order.activated.connect(self._check)
        grid.addWidget(QLabel("Dates are written"), 0, len(_ROLES))
        grid.addWidget(self.order, 1, len(_ROLES))
        self.use_button = QPushButton("Use these columns")
        self.use_button.setToolTip(
            "They are remembered for every file with the same heading."
        )
        self.use_button.setAutoDefault(False)
        self.use_button.clicked.connect(self._settle)
        grid.addWidget(self.use_button, 1, len(_ROLES) + 1)
        column = QVBoxLayout(self)
        column.addWidget(self.sample)
        column.addLayout(grid)

    def show_table(self, table: Table, known: Columns | None) -> None:
        """Ask about a table; `known` is what was settled before, if anything."""
        self._table = table
        self.sample.setColumnCount(len(table.names))
        self.sample.setHorizontalHeaderLabels(list(table.names))
        for row in range(_LINES):
            cells = table.sample[row] if row < len(table.sample) else ()
            for col in range(len(table.names)):
                text = cells[col] if col < len(cells) else ""
                self.sample.setItem(row, col, QTableWidgetItem(text))
        self.sample.resizeColumnsToContents()
        height = self.sample.horizontalHeader().sizeHint().height() + 4
        self.sample.setFixedHeight(height + _LINES * self.sample.rowHeight(0))
        for role, combo in self.roles.items():
            combo.clear()
            if role in _WITHOUT:
                combo.addItem(_WITHOUT[role])
            combo.addItems(list(table.names))
            combo.setPlaceholderText("choose")
            combo.setCurrentIndex(0 if role in _WITHOUT else -1)
        self.order.setPlaceholderText("choose")
        self.order.setCurrentIndex(-1)
        columns = known or proposed(table)
        if columns is not None:
            self._set(columns)
        self._check()

    @property
    def columns(self) -> Columns | None:
        """What is chosen; None where something is missing or chosen twice."""
        at = {role: self._at(role) for role in _ROLES}
        day, height, order = at["Date"], at["Height"], self.order.currentIndex()
        chosen = [place for place in at.values() if place is not None]
        if day is None or height is None or order < 0 or len(set(chosen)) < len(chosen):
            return None
        return Columns(
            day=day,
            clock=at["Time"],
            height=height,
            mark=at["High or low"],
            order=list(DayOrder)[order],
        )

    def _at(self, role: str) -> int | None:
        index = self.roles[role].currentIndex() - (role in _WITHOUT)
        return index if index >= 0 else None

    def _set(self, columns: Columns) -> None:
        places = (columns.day, columns.clock, columns.height, columns.mark)
        for role, place in zip(_ROLES, places, strict=True):
            first = role in _WITHOUT
            combo = self.roles[role]
            combo.setCurrentIndex(0 if place is None else min(place, 99) + first)
        self.order.setCurrentIndex(list(DayOrder).index(columns.order))

    def _check(self) -> None:
        self.use_button.setEnabled(self.columns is not None)

    def _settle(self) -> None:
        columns = self.columns
        if self._table is not None and columns is not None:
            self.settled.emit(self._table.heading, columns_text(columns))
