"""A line above the map in which a number is typed, read as it is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from fieldtrip.errors import UserError

# What is meant, and how it is said back.
Read = Callable[[str], tuple[Any, str]]


class TypedBar(QWidget):
    """Says at once how it reads what is typed; Enter takes it, Esc leaves."""

    def __init__(self) -> None:
        super().__init__()
        self.purpose = QLabel()
        self.line = QLineEdit()
        self.line.setMinimumWidth(120)
        self.reading = QLabel()
        self.reading.setTextFormat(Qt.TextFormat.PlainText)
        self.reading.setWordWrap(True)
        self.take = QPushButton("Take")
        self.take.clicked.connect(self._take)
        self._read: Read | None = None
        self._taken: Callable[[Any], object] | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 6, 10, 6)
        row.addWidget(self.purpose)
        row.addWidget(self.line, 1)
        row.addWidget(self.reading, 2)
        row.addWidget(self.take)
        self.line.textEdited.connect(self._say)
        self.line.returnPressed.connect(self._take)
        self.line.installEventFilter(self)
        self.hide()

    def ask(
        self, purpose: str, example: str, read: Read, taken: Callable[[Any], object]
    ) -> None:
        """Open for a purpose, such as ``Look along``; `taken` gets what was read.

        `read` gives the value with its words, and raises `UserError`.
        """
        self._read, self._taken = read, taken
        self.purpose.setText(purpose)
        self.line.setAccessibleName(purpose)
        self.line.setPlaceholderText(example)
        self.line.clear()
        self._say("")
        self.show()
        self.line.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave with Esc."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Escape
        ):
            self.hide()
            return True
        return super().eventFilter(watched, event)

    def _say(self, text: str) -> Any:
        value, said = None, ""
        if text.strip() and self._read is not None:
            try:
                value, said = self._read(text)
            except UserError as error:
                said = str(error)
        self.reading.setText(said)
        self.reading.setProperty("fault", bool(said) and value is None)
        self.reading.style().unpolish(self.reading)
        self.reading.style().polish(self.reading)
        self.take.setEnabled(value is not None)
        return value

    def _take(self) -> None:
        value = self._say(self.line.text())
        if value is not None and self._taken is not None:
            self.hide()
            self._taken(value)
