"""The lines of the Plan page: a step of the plan, something to use, a crossing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.plan_page import CrossingRow
from fieldtrip.desktop.content.plan_rows import PlanRow, RowKind
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import TextField

_TOP = Qt.AlignmentFlag.AlignTop
_SOFT = (RowKind.WALK, RowKind.WAIT)


class PlanTimes(QWidget):
    """A plan from the first step until back; a time leads to its minute."""

    minuteAsked = Signal(object)  # datetime

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("The plan, step by step")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(1, 1)
        self._rows: tuple[PlanRow, ...] = ()

    def show_rows(self, rows: Sequence[PlanRow]) -> None:
        """Put the steps below one another."""
        if tuple(rows) == self._rows:
            return
        self._rows = tuple(rows)
        clear(self._grid)
        for place, row in enumerate(rows):
            self._grid.addWidget(self._time(row), place, 0, _TOP)
            self._grid.addWidget(_step(row), place, 1, _TOP)

    def texts(self) -> list[tuple[str, str]]:
        """The times and what is done then."""
        return [(row.when, row.what) for row in self._rows]

    def _time(self, row: PlanRow) -> QToolButton:
        button = QToolButton()
        # A date goes on a line of its own, or it would squeeze what is done then.
        button.setText(row.when.replace(" on ", "\non "))
        button.setProperty("link", True)
        button.setToolTip("Show this minute on the map and the day strip.")
        button.setAccessibleName(f"{row.when}, {row.what}: show this minute")
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda: self._ask(row.at))
        return button

    def _ask(self, at: datetime) -> None:
        self.minuteAsked.emit(at)


def _step(row: PlanRow) -> QWidget:
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 3, 0, 3)
    column.setSpacing(0)
    what = plain_label(soft=row.kind in _SOFT)
    if row.kind in (RowKind.STOP, RowKind.START, RowKind.FINISH, RowKind.GATE):
        what.setProperty("type", "strong")
    if row.kind is RowKind.NO_ROUTE:
        what.setProperty("caution", True)
    more = " · ".join(row.more)
    is_short = row.kind in (RowKind.WALK, RowKind.NO_ROUTE)
    what.setText(f"{row.what} · {more}" if is_short and more else row.what)
    column.addWidget(what)
    if more and not is_short:
        label = plain_label(soft=True)
        label.setText(more)
        column.addWidget(label)
    return holder


def deed(words: str, verb: str, act: Callable[[], None]) -> QWidget:
    """What can be done, and the button that does it."""
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 1, 0, 1)
    label = plain_label()
    label.setText(words)
    button = QPushButton(verb)
    button.setAccessibleName(f"{verb}: {words}")
    button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    button.setMinimumHeight(26)
    button.clicked.connect(lambda: act())
    row.addWidget(button, 0, _TOP)
    row.addWidget(label, 1)
    return holder


class CrossingLine(QWidget):
    """A crossing of whose tide nothing is known: what was written, or room for it."""

    accepted = Signal(str, str)  # who, and why
    takeBackAsked = Signal()

    def __init__(self, row: CrossingRow, person: str) -> None:
        super().__init__()
        self._known_person = person
        self.words = plain_label()
        self.words.setText(row.words)
        self.reason = TextField("Why you accept it", "kept with the trip, and printed")
        self.person = TextField("Your name")
        self.ask = QPushButton("Accept in writing…")
        self.do = QPushButton("Accept")
        self.take_back = QPushButton("Take back")
        for button in (self.ask, self.do, self.take_back):
            button.setMinimumHeight(26)
        self.fault = QLabel()
        self.fault.setProperty("fault", True)
        self.fault.setWordWrap(True)
        self.fault.hide()
        self._lay_out()
        self.ask.setVisible(row.tick is None)
        self.take_back.setVisible(row.tick is not None)
        self._answer.hide()
        self.ask.clicked.connect(self._open)
        self.do.clicked.connect(self._accept)
        self.take_back.clicked.connect(lambda: self.takeBackAsked.emit())

    @property
    def is_asking(self) -> bool:
        """Whether a reason is being typed."""
        return not self._answer.isHidden()

    def show_fault(self, text: str) -> None:
        """Say why it was not kept; what was typed stays."""
        self.fault.setText(text)
        self.fault.setVisible(bool(text))

    def _open(self) -> None:
        self.ask.hide()
        self._answer.show()
        self._person_cell.setVisible(not self._known_person)
        self.reason.line.setFocus()

    def _accept(self) -> None:
        person = self._known_person or self.person.line.text()
        self.accepted.emit(person.strip(), self.reason.line.text().strip())

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 4)
        column.setSpacing(3)
        column.addWidget(self.words)
        self._answer = QWidget()
        answer = QHBoxLayout(self._answer)
        answer.setContentsMargins(0, 0, 0, 0)
        self._person_cell = labelled("Your name", self.person)
        answer.addWidget(labelled("Why you accept it", self.reason), 2)
        answer.addWidget(self._person_cell, 1)
        answer.addWidget(self.do, 0, Qt.AlignmentFlag.AlignBottom)
        column.addWidget(self._answer)
        column.addWidget(self.fault)
        foot = QHBoxLayout()
        foot.addWidget(self.ask)
        foot.addWidget(self.take_back)
        foot.addStretch(1)
        column.addLayout(foot)


def clear(layout: QLayout) -> None:
    """Take every widget out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
