"""What the checks page is put together from, besides its findings."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from fieldtrip.desktop.content.checks import ChecksGroup, RunRow
from fieldtrip.desktop.marks import Mark
from fieldtrip.desktop.theme import Theme


class GroupHeading(QWidget):
    """When in the day the findings below matter; opens and folds them."""

    turned = Signal()

    def __init__(self, *, is_open: bool) -> None:
        super().__init__()
        self.mark, self.title, self.note = Mark(), QToolButton(), QLabel()
        self.is_open = is_open  # whether the findings below it are shown
        self.title.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.title.setProperty("heading", True)
        self.title.clicked.connect(self._turn)
        self.note.setProperty("soft", True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 8, 0, 0)
        row.addWidget(self.mark)
        row.addWidget(self.title)
        row.addWidget(self.note)
        row.addStretch(1)
        self._point()

    def show_group(self, group: ChecksGroup, theme: Theme) -> None:
        """Put the texts into the labels."""
        self.mark.show_severity(group.severity, theme)
        self.title.setText(group.title)
        self.note.setText(group.note)
        self.title.setAccessibleName(f"{group.title}: {group.severity}, {group.note}")

    def _turn(self) -> None:
        self.is_open = not self.is_open
        self._point()
        self.turned.emit()

    def _point(self) -> None:
        arrow = Qt.ArrowType.DownArrow if self.is_open else Qt.ArrowType.RightArrow
        self.title.setArrowType(arrow)


class RunLine(QWidget):
    """A kept run, which opens to its findings."""

    def __init__(self, run: RunRow, theme: Theme) -> None:
        super().__init__()
        mark = Mark()
        mark.show_severity(run.severity, theme)
        self.title = QToolButton()
        self.title.setText(run.title)
        self.title.setCheckable(True)
        self.title.setArrowType(Qt.ArrowType.RightArrow)
        self.title.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.details = QLabel(run.details)
        self.details.setTextFormat(Qt.TextFormat.PlainText)
        self.details.setWordWrap(True)
        self.details.setContentsMargins(30, 0, 0, 6)
        self.details.hide()
        self.title.toggled.connect(self._open)
        row = QHBoxLayout()
        row.addWidget(mark)
        row.addWidget(self.title)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addWidget(self.details)

    def _open(self, is_open: bool) -> None:
        arrow = Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow
        self.title.setArrowType(arrow)
        self.details.setVisible(is_open)
