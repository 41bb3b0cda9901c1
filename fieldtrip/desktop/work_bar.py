"""Tells in the status line how far long work has come, and lets it be ended."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

_PARTS = 100


class WorkBar(QWidget):
    """What is being worked out, a bar, and a button; hidden while there is nothing."""

    cancelled = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.words = QLabel()
        self.bar = QProgressBar()
        self.bar.setRange(0, _PARTS)
        self.bar.setTextVisible(False)
        self.bar.setFixedSize(140, 8)
        self.bar.setAccessibleName("How far it has come")
        self.cancel = QPushButton("Cancel")
        self.cancel.clicked.connect(self.cancelled)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 8, 0)
        row.setSpacing(10)
        for widget in (self.words, self.bar, self.cancel):
            row.addWidget(widget)
        self.hide()

    def show_work(self, words: str, part: float) -> None:
        """Say how far it has come, 0..1; at 1 there is nothing to say."""
        self.setVisible(part < 1.0)
        if words:
            self.words.setText(f"{words[:1].upper()}{words[1:]}")
        self.bar.setValue(round(part * _PARTS))
