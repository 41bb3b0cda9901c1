"""Conditions as sentences with blanks; whoever shows the form stores what it says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.wanting import (
    Blank,
    Called,
    Entry,
    faults_of,
    offers,
    sentence_of,
    unit_of,
)
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    HoursField,
    NumberField,
    SeasonField,
)
from fieldtrip.desktop.flow_layout import FlowLayout
from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.trips.wanted import Condition
from fieldtrip.wanted_words import WEEKDAYS

NOTHING = "Nothing is asked for yet. Add a condition; all of them must hold at once."


class ConditionsForm(QWidget):
    """Holds a set of conditions; `changed` comes with each one that is sound."""

    changed = Signal(object)  # tuple[Condition, ...]

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._called = Called()
        self.conditions: tuple[Condition, ...] = ()
        self.lines: list[ConditionLine] = []
        self.empty = plain_label(soft=True)
        self.empty.setText(NOTHING)
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.fault.hide()
        self.add_button = QPushButton("Add a condition")
        self.add_menu = QMenu(self)
        self.add_button.setMenu(self.add_menu)
        self._column = QVBoxLayout()
        self._column.setSpacing(4)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(6)
        outer.addWidget(self.empty)
        outer.addLayout(self._column)
        outer.addWidget(self.fault)
        foot = QHBoxLayout()
        foot.addWidget(self.add_button)
        foot.addStretch(1)
        outer.addLayout(foot)
        self.setFocusProxy(self.add_button)

    def show_conditions(
        self, conditions: Sequence[Condition], called: Called, settings: Settings
    ) -> None:
        """Put some conditions into the form; nothing is announced."""
        is_known = (called, settings) == (self._called, self._settings)
        if is_known and tuple(conditions) == self.conditions and self.lines:
            return
        self._called, self._settings = called, settings
        self.conditions = tuple(conditions)
        self._fill_menu()
        self._show_lines()

    def finish(self) -> bool:
        """End editing as if all blanks were left; False where a fault stays."""
        done = [line.finish() for line in self.lines]
        return all(done) and not self._faults()

    def add(self, condition: Condition) -> None:
        """Add a condition at the end, ready to be filled in."""
        self._take((*self.conditions, condition))
        self.lines[-1].setFocus()

    def _fill_menu(self) -> None:
        self.add_menu.clear()
        group = ""
        for offer in offers(self._called):
            if offer.group != group:
                group = offer.group
                self.add_menu.addSection(group)
            action = self.add_menu.addAction(offer.words)
            action.triggered.connect(_adder(self.add, offer.usual))

    def _show_lines(self) -> None:
        for line in self.lines:
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        self.lines = [
            self._new_line(place, condition)
            for place, condition in enumerate(self.conditions)
        ]
        for line in self.lines:
            self._column.addWidget(line)
        self.empty.setVisible(not self.lines)
        self._show_faults()

    def _new_line(self, place: int, condition: Condition) -> ConditionLine:
        line = ConditionLine(condition, self._called, self._settings)
        line.edited.connect(lambda new: self._replace(place, new))
        line.removeAsked.connect(lambda: self._remove(place))
        return line

    def _replace(self, place: int, condition: Condition) -> None:
        """Take a filled-in blank; the other blanks stay as they are."""
        before = self.conditions[place]
        conditions = list(self.conditions)
        conditions[place] = condition
        self.conditions = tuple(conditions)
        if sentence_of(before, self._called) != sentence_of(condition, self._called):
            self._show_lines()  # the sentence has another form now
            self.lines[place].setFocus()
        self._show_faults()
        self._announce()

    def _remove(self, place: int) -> None:
        conditions = list(self.conditions)
        del conditions[place]
        self._take(tuple(conditions))
        if self.lines:
            self.lines[min(place, len(self.lines) - 1)].setFocus()
        else:
            self.add_button.setFocus()

    def _take(self, conditions: tuple[Condition, ...]) -> None:
        self.conditions = conditions
        self._show_lines()
        self._announce()

    def _announce(self) -> None:
        if not self._faults():
            self.changed.emit(self.conditions)

    def _faults(self) -> list[str]:
        return faults_of(self.conditions, self._called)

    def _show_faults(self) -> None:
        faults = self._faults()
        self.fault.setText("\n".join(faults))
        self.fault.setVisible(bool(faults))


class ConditionLine(QWidget):
    """One condition: its sentence, and a button that takes it away."""

    edited = Signal(object)  # the condition with one blank filled in
    removeAsked = Signal()

    def __init__(
        self, condition: Condition, called: Called, settings: Settings
    ) -> None:
        super().__init__()
        self.condition = condition
        self.fields: dict[str, Field] = {}
        self.remove = QToolButton()
        self.remove.setText("✕")
        self.remove.setToolTip("Take this condition away")
        self.remove.setAccessibleName("Take this condition away")
        self.remove.clicked.connect(lambda: self.removeAsked.emit())
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        words = QWidget()
        flow = FlowLayout(words, gap=5)
        for piece in sentence_of(condition, called):
            if isinstance(piece, str):
                flow.addWidget(_words(piece))
            else:
                flow.addWidget(self._blank(piece, settings))
        row.addWidget(words, 1)
        row.addWidget(self.remove, 0, Qt.AlignmentFlag.AlignTop)
        first = next(iter(self.fields.values()), None)
        self.setFocusProxy(self.remove if first is None else first)

    def finish(self) -> bool:
        """End editing as if all blanks were left; False where a fault stays."""
        done = [field.finish() for field in self.fields.values()]
        return all(done)

    def _blank(self, blank: Blank, settings: Settings) -> Field:
        value = getattr(self.condition, blank.name)
        made = _field(blank, settings)
        made.set_value(value)
        made.edited.connect(lambda new: self._fill(blank, made, new))
        self.fields[blank.name] = made
        return made

    def _fill(self, blank: Blank, field: Field, value: Any) -> None:
        """Take all blanks as they are written: two limits may move past each other."""
        values = {blank.name: value}
        for name, other in self.fields.items():
            if name != blank.name:
                try:
                    values[name] = other.read()
                except UserError:
                    continue  # it says so itself
        condition = replace(self.condition, **values)
        faults = condition.faults()
        if faults:
            field.show_fault(faults[0])
            return
        for name, other in self.fields.items():
            if name in values:
                other.set_value(values[name])
        self.condition = condition
        self.edited.emit(condition)


class WeekdaysField(Field):
    """Days of the week, each switched on or off; the value is their numbers."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        box = QWidget()
        row = QHBoxLayout(box)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self.buttons: list[QToolButton] = []
        for word in WEEKDAYS:
            button = QToolButton()
            button.setText(word[:3])
            button.setCheckable(True)
            button.setAccessibleName(word)
            button.clicked.connect(self._choose)
            row.addWidget(button)
            self.buttons.append(button)
        self._place(box)
        self.setFocusProxy(self.buttons[0])

    def _choose(self) -> None:
        self._is_typing = True
        self.finish()

    def _read(self) -> Any:
        days = tuple(day for day, b in enumerate(self.buttons) if b.isChecked())
        if not days:
            raise UserError("Choose at least one day of the week.")
        return days

    def _write(self, text: str) -> None:
        for day, button in enumerate(self.buttons):
            button.setChecked(str(day) in text)

    def _shown(self, value: Any) -> str:
        return "".join(map(str, value or ()))


def _field(blank: Blank, settings: Settings) -> Field:
    field: Field
    match blank.entry:
        case Entry.CHOICE:
            field = ChoiceField(blank.says, blank.choices, empty="no longer there")
            width = max((len(words) for _, words in blank.choices), default=8)
            field.setFixedWidth(_width(field, "0" * width) + 44)
        case Entry.HOURS:
            field = HoursField(blank.says)
            field.setFixedWidth(_width(field, "00:00 pm to 00:00 pm") + 16)
        case Entry.SEASON:
            field = SeasonField(blank.says)
            field.setFixedWidth(_width(field, "30 September to 30 September") + 16)
        case Entry.WEEKDAYS:
            field = WeekdaysField(blank.says)
        case Entry.NUMBER:
            field = NumberField(blank.says, allow_empty=not blank.is_needed)
            field.line.setPlaceholderText("" if blank.is_needed else blank.empty)
            unit, factor = unit_of(blank.quantity, settings)
            field.set_unit(unit, factor, 3)
            field.setFixedWidth(_width(field, f"−000.00 {unit}") + 20)
    return field


def _words(text: str) -> QLabel:
    label = plain_label()
    label.setWordWrap(False)
    label.setText(text.strip())
    label.setContentsMargins(0, 5, 0, 0)
    return label


def _width(widget: QWidget, text: str) -> int:
    return widget.fontMetrics().horizontalAdvance(text)


def _adder(add: Callable[[Condition], None], usual: Condition) -> Callable[[], None]:
    return lambda: add(usual)
