"""The lines of the trip page on which gates are edited."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from fieldtrip.almanac.gates import GateWords
from fieldtrip.desktop.content.trip_day import Stands, TripDayContent, standing_at
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.fields import ChoiceField, Field, TextField, TimeField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.theme import Theme
from fieldtrip.store.changes import Change
from fieldtrip.trips.records import Gate

_A_DAY = date(2000, 1, 1)  # until a trip is shown
_BUTTON_WIDTH = 30
_GAP = 6


class GateLine(QWidget):
    """Edits one gate: where it is, by when, what must be seen and what else to do."""

    moveAsked = Signal(int)  # by so many places
    removeAsked = Signal()

    def __init__(self, library: Library) -> None:
        super().__init__()
        self.editor = RecordEditor(library, self)
        self.number = QLabel()
        self.number.setFixedWidth(self.fontMetrics().horizontalAdvance("000"))
        self.name = TextField("Gate")
        self.stands = ChoiceField("Where", empty="no longer there")
        self.decide_by = TimeField("Decide by", _A_DAY, "UTC")
        self.decide_by.line.setPlaceholderText("by the plan")
        self.decide_by.setToolTip(
            "A time of your own, where you want to decide sooner than the plan asks."
        )
        self.must_see = TextField("Go on only if", "as in: no swell over the step")
        self.fallback = TextField("Else", "what is done instead")
        self.earlier = self._button("↑", lambda: self.moveAsked.emit(-1))
        self.later = self._button("↓", lambda: self.moveAsked.emit(1))
        self.remove = self._button("✕", self.removeAsked.emit)
        self.words, self.cautions = QLabel(), QLabel()
        for label in (self.words, self.cautions):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        for key, act in (
            ("Alt+Up", lambda: self.moveAsked.emit(-1)),
            ("Alt+Down", lambda: self.moveAsked.emit(1)),
            ("Ctrl+Del", self.removeAsked.emit),
        ):
            self._add_key(key, act)
        self._lay_out()
        bind = self.editor.bind
        bind("name", self.name, "rename a gate")
        bind("stands", self.stands, "change where a gate is", _standing_at)
        bind("decide_by", self.decide_by, "change by when a gate is decided")
        bind("must_see", self.must_see, "change what must be seen at a gate")
        bind("fallback", self.fallback, "change what is done instead")

    def set_theme(self, theme: Theme) -> None:
        """Give what is wrong the colour of a caution."""
        self.cautions.setStyleSheet(f"color: {theme.caution}")

    def show_gate(self, gate: Gate, content: TripDayContent) -> None:
        """Put the gate into the fields."""
        number = content.gates.index(gate) + 1
        self.number.setText(str(number))
        self.stands.set_choices(content.stands)
        self.decide_by.set_day(content.trip.day, content.zone)
        called = f"gate {number}"
        names: dict[Field, str] = {
            self.name: f"Name of {called}",
            self.stands: f"Where {called} is",
            self.decide_by: f"By when {called} is decided",
            self.must_see: f"What must be seen at {called}",
            self.fallback: f"What is done instead at {called}",
        }
        for field, name in names.items():
            field.setAccessibleName(name)
        for button, words, key in (
            (self.earlier, f"Move {called} up", "Alt+Up"),
            (self.later, f"Move {called} down", "Alt+Down"),
            (self.remove, f"Remove {called}", "Ctrl+Del"),
        ):
            button.setAccessibleName(words)
            button.setToolTip(f"{words} ({key})")
        self.earlier.setEnabled(number > 1)
        self.later.setEnabled(number < len(content.gates))
        self.editor.show(gate)

    def show_words(self, words: GateWords | None) -> None:
        """Say by when it must be decided; None: not reckoned yet."""
        if words is None:
            self.words.setText("Being reckoned…")
            self.cautions.hide()
            return
        why = f": {words.why}" if words.why else ""
        said = (f"{words.by}{why}.", words.planned)
        self.words.setText(" ".join(part for part in said if part))
        self.cautions.setText(" ".join(words.cautions))
        self.cautions.setVisible(bool(words.cautions))

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        fields = (self.name, self.stands, self.decide_by, self.must_see, self.fallback)
        widgets = [field.focusProxy() or field for field in fields]
        return [*widgets, self.earlier, self.later, self.remove]

    def _lay_out(self) -> None:
        first, second = QHBoxLayout(), QHBoxLayout()
        top = Qt.AlignmentFlag.AlignTop
        self.number.setContentsMargins(0, 22, 0, 0)
        first.addWidget(self.number, 0, top)
        first.addWidget(labelled("Gate", self.name), 3, top)
        first.addWidget(labelled("Where", self.stands), 3, top)
        first.addWidget(labelled("Decide by", self.decide_by), 2, top)
        for button in (self.earlier, self.later, self.remove):
            button.setFixedWidth(_BUTTON_WIDTH)
            first.addWidget(button, 0, Qt.AlignmentFlag.AlignBottom)
        second.addSpacing(self.number.width() + _GAP)
        second.addWidget(labelled("Go on only if", self.must_see), 1, top)
        second.addWidget(labelled("Else", self.fallback), 1, top)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 8)
        column.setSpacing(3)
        for row in (first, second):
            row.setSpacing(_GAP)
            column.addLayout(row)
        for label in (self.words, self.cautions):
            label.setContentsMargins(self.number.width() + _GAP, 0, 0, 0)
            column.addWidget(label)

    @staticmethod
    def _button(sign: str, act: Callable[[], object]) -> QToolButton:
        button = QToolButton()
        button.setText(sign)
        button.clicked.connect(act)
        return button

    def _add_key(self, key: str, act: Callable[[], object]) -> None:
        shortcut = QShortcut(QKeySequence(key), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(act)


def _standing_at(gate: Gate, stands: Stands) -> Sequence[Change]:
    return [Change(gate, standing_at(gate, stands))]
