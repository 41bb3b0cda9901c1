"""A line above the map in which coordinates are typed, read strictly and echoed."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from fieldtrip.coordinates import decimal_text, degrees_minutes_text, read_position
from fieldtrip.errors import UserError
from fieldtrip.geo import Position


class CoordinateBar(QWidget):
    """Says at once how it reads what is typed; Enter takes it, Esc leaves."""

    taken = Signal(object)  # Position
    echoed = Signal(object)  # Position that is being typed, or None
    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.purpose = QLabel()
        self.line = QLineEdit()
        self.line.setPlaceholderText("49.6034 -8.4012, or 49 36.2N 8 24.1W, or UTM")
        self.line.setMinimumWidth(220)
        self.reading = QLabel()
        self.reading.setTextFormat(Qt.TextFormat.PlainText)
        self.reading.setWordWrap(True)
        self.take = QPushButton("Take")
        self.take.clicked.connect(self._take)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 6, 10, 6)
        row.addWidget(self.purpose)
        row.addWidget(self.line, 1)
        row.addWidget(self.reading, 1)
        row.addWidget(self.take)
        self.line.textEdited.connect(self._read)
        self.line.returnPressed.connect(self._take)
        self.line.installEventFilter(self)
        self.hide()

    def ask(self, purpose: str) -> None:
        """Open for a purpose, such as ``Go to``, ready to type."""
        self.purpose.setText(purpose)
        self.line.setAccessibleName(purpose)
        self.line.clear()
        self._read("")
        self.show()
        self.line.setFocus()

    def close_quietly(self) -> None:
        """Put away without telling."""
        self.hide()
        self.echoed.emit(None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave with Esc."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Escape
        ):
            self.close_quietly()
            self.left.emit()
            return True
        return super().eventFilter(watched, event)

    def _read(self, text: str) -> Position | None:
        position: Position | None = None
        said = "Or on the map: Tab leads there."
        if text.strip():
            try:
                position = read_position(text)
                said = f"{decimal_text(position)}   {degrees_minutes_text(position)}"
            except UserError as error:
                said = str(error)
        self.reading.setText(said)
        self.reading.setProperty("fault", bool(text.strip()) and position is None)
        self.reading.style().unpolish(self.reading)
        self.reading.style().polish(self.reading)
        self.take.setEnabled(position is not None)
        self.echoed.emit(position)
        return position

    def _take(self) -> None:
        position = self._read(self.line.text())
        if position is not None:
            self.close_quietly()
            self.taken.emit(position)
