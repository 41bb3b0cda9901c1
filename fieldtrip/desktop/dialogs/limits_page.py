"""The page of the settings on which the limits of the checks are set."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.limits_page import (
    LimitRow,
    LimitsContent,
    limits_content,
    with_limit,
    with_usual_limits,
)
from fieldtrip.desktop.fields import NumberField
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.safety.limit_specs import BY_NAME

_ABOUT = (
    "The usual limits are the safe ones. Where you allow yourself more, every finding "
    "that goes by it says so."
)


class LimitsPage(QWidget):
    """Each limit holds at once; one that limits nothing is refused."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__()
        self._preferences = preferences
        self.fields: dict[str, LimitField] = {}
        self.states: dict[str, QLabel] = {}
        self.usual = QPushButton("All as usual")
        self.usual.setAutoDefault(False)
        self.usual.clicked.connect(self._reset_all)
        self.summary = QLabel()
        self.summary.setWordWrap(True)
        self._lay_out()
        preferences.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the limits in force; what is being typed stays."""
        self.show_content(limits_content(self._preferences.settings))

    def show_content(self, content: LimitsContent) -> None:
        """Put the texts into the widgets."""
        for row in content.rows:
            self.fields[row.name].set_value(row.value, keep_typing=True)
            state = self.states[row.name]
            state.setText(f"{row.state}, {row.usual}" if row.is_own else row.usual)
            state.setProperty("fault", row.is_looser)
            state.style().unpolish(state)
            state.style().polish(state)
        self.summary.setText(content.summary)
        self.usual.setEnabled(content.can_reset)

    def _lay_out(self) -> None:
        about = QLabel(_ABOUT)
        about.setWordWrap(True)
        about.setProperty("soft", True)
        inner = QWidget()
        grid = QGridLayout(inner)
        grid.setContentsMargins(0, 0, 8, 0)
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(1, 2)
        grid.setColumnStretch(2, 2)
        for line, row in enumerate(limits_content(self._preferences.settings).rows):
            self._add(grid, line, row)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(inner)
        foot = QHBoxLayout()
        foot.addWidget(self.summary, 1)
        foot.addWidget(self.usual)
        column = QVBoxLayout(self)
        column.addWidget(about)
        column.addWidget(scroll, 1)
        column.addLayout(foot)

    def _add(self, grid: QGridLayout, line: int, row: LimitRow) -> None:
        label = QLabel(row.words)
        label.setWordWrap(True)
        field, state = LimitField(row), QLabel()
        state.setWordWrap(True)
        for widget in (label, field, state):
            widget.setToolTip(f"Source: {row.source}")
        field.edited.connect(lambda value: self._set(row.name, value))
        top = Qt.AlignmentFlag.AlignTop
        grid.addWidget(label, line, 0, top)
        grid.addWidget(field, line, 1, top)
        grid.addWidget(state, line, 2, top)
        self.fields[row.name], self.states[row.name] = field, state

    def _set(self, name: str, value: float | None) -> None:
        settings = with_limit(self._preferences.settings, name, value)
        self._preferences.settings = settings
        self.refresh()

    def _reset_all(self) -> None:
        self._preferences.settings = with_usual_limits(self._preferences.settings)
        for field in self.fields.values():
            field.give_up()


class LimitField(NumberField):
    """A limit with its unit; empty means as usual."""

    def __init__(self, row: LimitRow) -> None:
        super().__init__(row.words, row.unit)
        self.line.setPlaceholderText("as usual")
        self._spec = BY_NAME[row.name]

    def _read(self) -> Any:
        value = super()._read()
        return None if value is None else self._spec.read(repr(float(value)))
