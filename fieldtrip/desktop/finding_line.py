"""One finding on the checks page, and what a person says about it."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.checks import Deed, FindingRow
from fieldtrip.desktop.editing import TextDraft, labelled
from fieldtrip.desktop.fields import TextField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.marks import Mark
from fieldtrip.desktop.theme import Theme

_ASK = {Deed.CONFIRM: "Confirm…", Deed.GO_AGAINST: "Go against it…"}
_DO = {Deed.CONFIRM: "Confirm", Deed.GO_AGAINST: "Go against it"}


class FindingLine(QWidget):
    """Shape, word, what was found, advice, and a button where a person may speak."""

    said = Signal(str, str)  # the person, the reason
    takeBackAsked = Signal()

    def __init__(self, library: Library, trip_id: UUID, row_id: str) -> None:
        super().__init__()
        self._row: FindingRow | None = None
        self._person = ""
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

        self.person = TextField("Your name")
        self.reason = TextField("Why you go against it")
        self.draft = TextDraft(library, self.reason, trip_id, f"reason {row_id}")
        self.do, self.cancel = QPushButton(), QPushButton("Cancel")
        self.do.clicked.connect(self._say)
        self.cancel.clicked.connect(self.close_editor)
        for field in (self.person, self.reason):
            field.line.returnPressed.connect(self._say)
            field.line.installEventFilter(self)
        self._lay_out()

    def set_person(self, person: str) -> None:
        """Who ticks; empty: to be asked once."""
        self._person = person

    def show_row(self, row: FindingRow, theme: Theme) -> None:
        """Put the texts into the labels; decide nothing."""
        if self._row is not None and self._row.deed is not row.deed:
            self.close_editor()
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
        self.ask.setVisible(row.deed in _ASK and self.editor.isHidden())
        self.ask.setAccessibleName(f"{_ASK.get(row.deed, '')} {row.title}")
        self.take_back.setVisible(row.tick is not None)
        self.take_back.setAccessibleName(f"Take back what was said about {row.title}")
        if had_focus:
            (self.ask if self.ask.isVisible() else self.take_back).setFocus()
        texts = (row.severity_word, row.title, row.found, row.advice, row.written)
        self.setAccessibleName(". ".join(text for text in texts if text))

    def open(self) -> None:
        """Confirm at once if the name is known; else ask for what is missing."""
        if self._row is None:
            return
        needs_reason = self._row.deed is Deed.GO_AGAINST
        if self._person and not needs_reason:
            self.said.emit(self._person, "")
            return
        self._reason_cell.setVisible(needs_reason)
        self._person_cell.setVisible(not self._person)
        self.do.setText(_DO[self._row.deed])
        self.editor.show()
        self.ask.hide()
        if needs_reason:
            self.reason.set_value("")
            self.draft.offer()
        self.person.set_value(self._person)
        (self.reason if needs_reason else self.person).setFocus()

    def close_editor(self) -> None:
        """Put the question away; a reason begun stays as a draft."""
        self.draft.keep()
        self.editor.hide()
        self.show_fault("")
        self.ask.setVisible(self._row is not None and self._row.deed in _ASK)
        self.ask.setFocus()

    def show_fault(self, text: str) -> None:
        """Say why it was not recorded; what was typed stays."""
        self.fault.setText(text)
        self.fault.setVisible(bool(text))

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        fields = [self.reason.line, self.person.line, self.do, self.cancel]
        return [*fields, self.ask, self.take_back]

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Esc put the question away."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Escape
        ):
            self.close_editor()
            return True
        return super().eventFilter(watched, event)

    def _say(self) -> None:
        if self._row is None or self.editor.isHidden():
            return
        person = self._person or self.person.line.text().strip()
        reason = self.reason.line.text().strip()
        if self._row.deed is Deed.GO_AGAINST and not reason:
            self.show_fault("Write why: the reason is kept and printed.")
            self.reason.setFocus()
            return
        if not person:
            self.show_fault("Say who you are.")
            self.person.setFocus()
            return
        self.show_fault("")
        self.said.emit(person, reason if self._row.deed is Deed.GO_AGAINST else "")

    def _lay_out(self) -> None:
        self.editor = QWidget()
        self._reason_cell = labelled("Why you go against it", self.reason)
        self._person_cell = labelled("Your name", self.person)
        row = QHBoxLayout()
        row.addWidget(self._person_cell, 1)
        row.addWidget(self.do, 0, Qt.AlignmentFlag.AlignBottom)
        row.addWidget(self.cancel, 0, Qt.AlignmentFlag.AlignBottom)
        row.addStretch(1)
        asked = QVBoxLayout(self.editor)
        asked.setContentsMargins(0, 4, 0, 6)
        asked.addWidget(self._reason_cell)
        asked.addLayout(row)
        self.editor.hide()

        left, right, buttons = QVBoxLayout(), QVBoxLayout(), QVBoxLayout()
        for column in (left, right, buttons):
            column.setSpacing(1)
        for label in (self.title, self.word, self.change):
            left.addWidget(label)
        for widget in (self.found, self.advice, self.written, self.editor, self.fault):
            right.addWidget(widget)
        right.addWidget(self.small)
        for button in (self.ask, self.take_back):
            buttons.addWidget(button)
        for column in (left, right, buttons):
            column.addStretch(1)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 5, 0, 5)
        grid.setHorizontalSpacing(10)
        grid.addWidget(self.mark, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addLayout(left, 0, 1)
        grid.addLayout(right, 0, 2)
        grid.addLayout(buttons, 0, 3)
        letter = self.fontMetrics().averageCharWidth()
        grid.setColumnMinimumWidth(1, letter * 27)
        grid.setColumnStretch(2, 1)
        self.ask.setText(_ASK[Deed.GO_AGAINST])  # the longest, for a straight column
        grid.setColumnMinimumWidth(3, self.ask.sizeHint().width())


def _label(*, bold: bool = False, soft: bool = False, accent: bool = False) -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setProperty("soft", soft)
    label.setProperty("accent", accent)
    font = QFont(label.font())
    font.setBold(bold)
    if soft:
        font.setPointSizeF(font.pointSizeF() * 0.88)
    label.setFont(font)
    return label
