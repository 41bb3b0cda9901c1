"""A label that gives way: what is too long ends in an ellipsis."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from fieldtrip.desktop.tips import plain_tip


class ElidedLabel(QLabel):
    """Plain text on one line, never wider than there is room."""

    def __init__(self, *, least_letters: int) -> None:
        super().__init__()
        self._least_letters = least_letters
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)

    def setText(self, text: str) -> None:
        """Show the text as far as there is room."""
        super().setText(" ".join(text.split()))
        self.setToolTip(plain_tip(text))

    def minimumSizeHint(self) -> QSize:
        """So many letters must be readable, if it has as many."""
        wanted = super().minimumSizeHint()
        few = self.fontMetrics().averageCharWidth() * self._least_letters
        return QSize(min(wanted.width(), few), wanted.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write what fits."""
        if self.fontMetrics().horizontalAdvance(self.text()) <= self.width():
            super().paintEvent(event)
            return
        painter = QPainter(self)
        painter.setPen(self.palette().windowText().color())
        shown = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, self.width()
        )
        painter.drawText(self.rect(), self.alignment(), shown)
