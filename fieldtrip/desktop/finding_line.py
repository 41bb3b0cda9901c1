"""One finding on the checks page, and what a person says about it."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.checks import Deed, FindingRow
from fieldtrip.desktop.editing import TextDraft, labelled
from fieldtrip.desktop.fields import TextField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.marks import Mark
from fieldtrip.desktop.theme import Theme

_ASK = {Deed.CONFIRM: "Confirm…", Deed.OVERRULE: "Overrule, with a reason…"}
_DO = {Deed.CONFIRM: "Confirm", Deed.OVERRULE: "Overrule"}
_WHY = "Why you overrule it"
_NARROW = 90  # letters across, below which the columns stand below one another


class FindingLine(QWidget):
    """Shape, word, what was found, advice, and a button where a person may speak."""

    said = Signal(str, str)  # the person, the reason
    asked = Signal()  # the question stands open
    takeBackAsked = Signal()
    mapAsked = Signal(object)  # id of the record that it speaks of
    stripAsked = Signal(object)  # the instant that it is about

    def __init__(self, library: Library, trip_id: UUID, row_id: str) -> None:
        super().__init__()
        self._library = library
        self._draft_key = (trip_id, f"reason {row_id}")
        self._row: FindingRow | None = None
        self._shown: tuple[FindingRow, Theme] | None = None
        self._person = ""
        self._arranged = (False, 0)  # narrow, and for which letters
        self.mark = Mark()
        self.title, self.word = _label(bold=True), _label(soft=True)
        self.found, self.advice = _label(), _label(accent=True)
        self.small = _label(soft=True)  # span and source
        self.written, self.change = _label(), _label(accent=True)
        self.fault = _label()
        self.fault.setProperty("fault", True)
        self.fault.hide()
        self.ask, self.take_back = QPushButton(), QPushButton("Take back")
        self.ask.clicked.connect(self.open)
        self.take_back.clicked.connect(lambda: self.takeBackAsked.emit())
        self.to_map, self.to_strip = QToolButton(), QToolButton()
        self.to_map.setText("Map")
        self.to_strip.setText("Strip")
        self.to_map.clicked.connect(self._go_to_map)
        self.to_strip.clicked.connect(self._go_to_strip)
        self.question: Question | None = None  # made when it is first asked
        self._lay_out()

    def set_person(self, person: str) -> None:
        """Who ticks; empty: to be asked once."""
        self._person = person

    def show_row(self, row: FindingRow, theme: Theme) -> None:
        """Put the texts into the labels; decide nothing."""
        if (row, theme) == self._shown:
            return  # most rows, most minutes
        self._shown = (row, theme)
        if self._row is not None and self._row.deed is not row.deed:
            self.close_question()
        self._row = row
        self.mark.show_severity(row.severity, theme)
        self.title.setText(row.title)
        self.word.setText(row.severity_word)
        small = " · ".join(text for text in (row.span, row.source) if text)
        for label, text in (
            (self.found, row.found),
            (self.advice, row.advice),
            (self.small, small),
            (self.written, row.written),
            (self.change, row.change),
        ):
            label.setText(text)
            label.setVisible(bool(text))
        had_focus = self.ask.hasFocus() or self.take_back.hasFocus()
        self.ask.setText(_ASK.get(row.deed, ""))
        self.ask.setVisible(row.deed in _ASK and not self.is_asking)
        self.ask.setAccessibleName(f"{_ASK.get(row.deed, '')} {row.title}")
        self.take_back.setVisible(row.tick is not None)
        self.take_back.setAccessibleName(f"Take back what was said about {row.title}")
        self.to_map.setVisible(row.record_id is not None)
        self.to_map.setAccessibleName(f"Show on the map: {row.title}")
        self.to_map.setToolTip("Show on the map what it speaks of.")
        self.to_strip.setVisible(row.at is not None)
        self.to_strip.setAccessibleName(f"Show on the day strip: {row.title}")
        self.to_strip.setToolTip("Go to its time on the day strip.")
        if had_focus:
            (self.ask if self.ask.isVisible() else self.take_back).setFocus()
        texts = (row.severity_word, row.title, row.found, row.advice, row.written)
        self.setAccessibleName(". ".join(text for text in texts if text))

    @property
    def is_asking(self) -> bool:
        """Whether the question stands open."""
        return self.question is not None and not self.question.isHidden()

    def open(self) -> None:
        """Confirm at once if the name is known; else ask for what is missing."""
        if self._row is None:
            return
        needs_reason = self._row.deed is Deed.OVERRULE
        if self._person and not needs_reason:
            self.said.emit(self._person, "")
            return
        if self.question is None:
            self.question = Question(self._library, *self._draft_key)
            self.question.answered.connect(self._say)
            self.question.cancelled.connect(self.close_question)
            self._answers.addWidget(self.question)
        self.ask.hide()
        self.question.put(
            _DO[self._row.deed],
            needs_reason=needs_reason,
            needs_person=not self._person,
        )
        self.asked.emit()

    def close_question(self) -> None:
        """Put the question away; a reason begun stays as a draft."""
        if self.question is not None:
            self.question.draft.keep()
            self.question.hide()
        self.show_fault("")
        self.ask.setVisible(self._row is not None and self._row.deed in _ASK)
        self.ask.setFocus()

    def keep_draft(self) -> None:
        """Save a reason that is being typed, now."""
        if self.question is not None:
            self.question.draft.keep()

    def settle(self) -> None:
        """Put the question away, its answer being recorded."""
        if self.question is not None:
            self.question.draft.drop()
            self.close_question()

    def show_fault(self, text: str) -> None:
        """Say why it was not recorded; what was typed stays."""
        self.fault.setText(text)
        self.fault.setVisible(bool(text))

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        asked = [] if self.question is None else self.question.chain()
        return [*asked, self.ask, self.take_back, self.to_map, self.to_strip]

    def _go_to_map(self) -> None:
        if self._row is not None and self._row.record_id is not None:
            self.mapAsked.emit(self._row.record_id)

    def _go_to_strip(self) -> None:
        if self._row is not None and self._row.at is not None:
            self.stripAsked.emit(self._row.at)

    def _say(self, person: str, reason: str) -> None:
        if self._row is None or self.question is None:
            return
        needs_reason = self._row.deed is Deed.OVERRULE
        if needs_reason and not reason:
            self.show_fault("Write why: the reason is kept and printed.")
            self.question.reason.setFocus()
            return
        if not (self._person or person):
            self.show_fault("Say who you are.")
            self.question.person.setFocus()
            return
        self.show_fault("")
        self.said.emit(self._person or person, reason if needs_reason else "")

    def _lay_out(self) -> None:
        self._parts = QWidget(), QWidget(), QWidget()
        left, right, buttons = (QVBoxLayout(part) for part in self._parts)
        self._answers = QVBoxLayout()
        for column in (left, right, buttons):
            column.setSpacing(1)
            column.setContentsMargins(0, 0, 0, 0)
        for label in (self.title, self.word, self.change):
            left.addWidget(label)
        for label in (self.found, self.advice, self.written):
            right.addWidget(label)
        right.addLayout(self._answers)
        for label in (self.fault, self.small):
            right.addWidget(label)
        for button in (self.ask, self.take_back):
            buttons.addWidget(button)
        ways = QHBoxLayout()
        ways.setSpacing(0)
        ways.addStretch(1)
        for way in (self.to_map, self.to_strip):
            way.setProperty("link", True)
            ways.addWidget(way)
        buttons.addLayout(ways)
        for column in (left, right, buttons):
            column.addStretch(1)
        self._grid = grid = QGridLayout(self)
        grid.setContentsMargins(0, 5, 0, 5)
        grid.setHorizontalSpacing(10)
        grid.addWidget(self.mark, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.setColumnStretch(2, 1)
        self.ask.setText(_ASK[Deed.OVERRULE])  # the longest, for a straight column
        self._arrange(is_narrow=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the columns below one another where they would grow too narrow."""
        super().resizeEvent(event)
        self._arrange(self.width() < self._letter * _NARROW)

    @property
    def _letter(self) -> int:
        return self.fontMetrics().averageCharWidth()

    def _arrange(self, is_narrow: bool) -> None:
        letter, is_set = self._letter, self._arranged
        self._arranged = (is_narrow, letter)
        if is_set == self._arranged:
            return
        grid, (left, right, buttons) = self._grid, self._parts
        for part in self._parts:
            grid.removeWidget(part)
        if is_narrow:
            grid.addWidget(left, 0, 1, 1, 2)
            grid.addWidget(right, 1, 1, 1, 2)
            grid.addWidget(buttons, 2, 1, 1, 2, Qt.AlignmentFlag.AlignRight)
        else:
            grid.addWidget(left, 0, 1)
            grid.addWidget(right, 0, 2)
            grid.addWidget(buttons, 0, 3)
        wide = self.ask.sizeHint().width()
        grid.setColumnMinimumWidth(1, 0 if is_narrow else letter * 27)
        grid.setColumnMinimumWidth(3, 0 if is_narrow else wide)


class Question(QWidget):
    """Asks for a reason, a name, or both."""

    answered = Signal(str, str)  # the person, the reason; either may be empty
    cancelled = Signal()

    def __init__(self, library: Library, trip_id: UUID, draft_name: str) -> None:
        super().__init__()
        self.person = TextField("Your name")
        self.reason = TextField(_WHY)
        self.draft = TextDraft(library, self.reason, trip_id, draft_name)
        self.do, self.cancel = QPushButton(), QPushButton("Cancel")
        self.do.clicked.connect(self._answer)
        self.cancel.clicked.connect(lambda: self.cancelled.emit())
        for field in (self.person, self.reason):
            field.line.returnPressed.connect(self._answer)
            field.line.installEventFilter(self)
        self._reason_cell = labelled(_WHY, self.reason)
        self._person_cell = labelled("Your name", self.person)
        row = QHBoxLayout()
        row.addWidget(self._person_cell, 1)
        row.addWidget(self.do, 0, Qt.AlignmentFlag.AlignBottom)
        row.addWidget(self.cancel, 0, Qt.AlignmentFlag.AlignBottom)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 6)
        column.addWidget(self._reason_cell)
        column.addLayout(row)

    def put(self, verb: str, *, needs_reason: bool, needs_person: bool) -> None:
        """Ask, with a reason begun before offered again."""
        self._reason_cell.setVisible(needs_reason)
        self._person_cell.setVisible(needs_person)
        self.do.setText(verb)
        self.person.set_value("")
        self.reason.set_value("")
        self.show()
        if needs_reason:
            self.draft.offer()
        (self.reason if needs_reason else self.person).setFocus()

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        return [self.reason.line, self.person.line, self.do, self.cancel]

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Esc put the question away."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Escape
        ):
            self.cancelled.emit()
            return True
        return super().eventFilter(watched, event)

    def _answer(self) -> None:
        person, reason = self.person.line.text(), self.reason.line.text()
        self.answered.emit(person.strip(), reason.strip())


def _label(*, bold: bool = False, soft: bool = False, accent: bool = False) -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    policy = label.sizePolicy()  # a word without end must not push the rest out
    policy.setHorizontalPolicy(QSizePolicy.Policy.Ignored)
    label.setSizePolicy(policy)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setProperty("soft", soft)
    label.setProperty("accent", accent)
    label.setProperty("type", "strong" if bold else "small" if soft else "")
    return label
