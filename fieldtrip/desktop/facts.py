"""Names and facts in two columns, and a page that lays two halves out by its width."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

_NARROW_EM = 46  # below so many widths of an m the halves stand above each other


class Facts(QWidget):
    """A soft name on the left, what is so on the right."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(4)
        self._grid.setColumnStretch(1, 1)
        self._labels: list[tuple[QLabel, QLabel]] = []

    def show_facts(self, facts: Sequence[tuple[str, str]]) -> None:
        """Put the texts in; labels are kept, so that nothing flickers."""
        while len(self._labels) < len(facts):
            row = len(self._labels)
            pair = plain_label(soft=True), plain_label()
            for column, label in enumerate(pair):
                label.setAlignment(Qt.AlignmentFlag.AlignTop)
                self._grid.addWidget(label, row, column)
            self._labels.append(pair)
        for i, (name, fact) in enumerate(self._labels):
            is_shown = i < len(facts)
            name.setVisible(is_shown)
            fact.setVisible(is_shown)
            if is_shown:
                name.setText(facts[i][0])
                fact.setText(facts[i][1])

    def texts(self) -> list[tuple[str, str]]:
        """What is shown."""
        return [
            (name.text(), fact.text())
            for name, fact in self._labels
            if not fact.isHidden()
        ]


class TwoHalves(QScrollArea):
    """Two halves side by side, or above each other where the page is narrow."""

    def __init__(self) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        self._box.setContentsMargins(14, 8, 14, 10)
        self._box.setSpacing(22)
        self.first, self.second = QVBoxLayout(), QVBoxLayout()
        for half in (self.first, self.second):
            half.setSpacing(6)
            self._box.addLayout(half, 1)
        self.setWidget(inner)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Choose the direction that the width allows."""
        super().resizeEvent(event)
        em = self.fontMetrics().averageCharWidth() * 1.6
        is_wide = self.width() >= _NARROW_EM * em
        across, down = (
            QBoxLayout.Direction.LeftToRight,
            QBoxLayout.Direction.TopToBottom,
        )
        self._box.setDirection(across if is_wide else down)
        self._box.setStretch(0, 1 if is_wide else 0)  # no gap between them


def plain_label(*, soft: bool = False, wraps: bool = True) -> QLabel:
    """A label that shows every text literally, and lets it be copied."""
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(wraps)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if soft:
        label.setProperty("soft", True)
    return label
