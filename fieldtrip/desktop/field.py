"""What every field has: a value as stored, a text as typed, and a fault below.

A field keeps what is stored apart from what is being typed.  While typing it
emits `typed`; when editing ends (Enter, or the field is left) with a changed
and readable value it emits `edited`, and whoever listens stores it or answers
with `show_fault`.  Nothing typed is thrown away except by Esc.
"""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from fieldtrip.errors import UserError

RESTORED = "Not stored yet: restored from before."


class Field(QWidget):
    """Edits one value where it stands."""

    edited = Signal(object)  # a changed value, when editing ends
    typed = Signal(str)  # the text so far, at each keystroke
    dropped = Signal()  # what was typed is given up, or is what is stored anyway
    hidden = Signal()  # no longer to be seen: time to save what is typed

    def __init__(self, name: str) -> None:
        super().__init__()
        self._value: Any = None
        self._is_typing = False
        self.note = QLabel()
        self.note.setProperty("accent", True)
        self.fault = QLabel()
        self.fault.setProperty("fault", True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._row = QHBoxLayout()  # the editor, and what stands beside it
        self._row.setSpacing(4)
        self._column.addLayout(self._row)
        for label in (self.note, self.fault):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
            label.hide()
            self._column.addWidget(label)
        self.setAccessibleName(name)

    @property
    def value(self) -> Any:
        """The value as stored, not what is being typed."""
        return self._value

    @property
    def is_typing(self) -> bool:
        """Whether there is something typed that is not stored."""
        return self._is_typing

    def set_value(self, value: Any, *, keep_typing: bool = False) -> None:
        """Show a stored value; with `keep_typing`, what is being typed stays."""
        self._value = value
        if not (keep_typing and self._is_typing):
            self._settle()

    def restore(self, text: str) -> None:
        """Put a draft into the field, and say that it is one, if it says more."""
        if text == self._shown(self._value):
            return
        self._write(text)
        self._is_typing = True
        self._say(self.note, RESTORED)

    def show_fault(self, text: str) -> None:
        """Say under the field why what was typed is not stored; empty: nothing."""
        self._say(self.fault, text)
        if text:
            self._is_typing = True
        editor = self._editor()
        if bool(editor.property("fault")) != bool(text):
            editor.setProperty("fault", bool(text))
            editor.style().unpolish(editor)
            editor.style().polish(editor)
        editor.setAccessibleDescription(text)

    def finish(self) -> bool:
        """End editing as if the field were left; False where a fault remains."""
        if not self._is_typing:
            return True
        try:
            value = self._read()
        except UserError as error:
            self.show_fault(str(error))
            return False
        self._is_typing = False
        if is_same(value, self._value):
            self._settle()
            self.dropped.emit()
            return True
        self.show_fault("")
        self._say(self.note, "")
        self.edited.emit(value)
        return not self._is_typing

    def read(self) -> Any:
        """What the field says now, stored or not; `UserError` if it makes no sense."""
        return self._read() if self._is_typing else self._value

    def give_up(self) -> None:
        """Show what is stored again, as Esc does."""
        self._settle()
        self.dropped.emit()

    def setAccessibleName(self, name: str) -> None:
        """Name the field and what is typed in for those who do not see its label."""
        super().setAccessibleName(name)
        editor = self.focusProxy()
        if editor is not None:
            editor.setAccessibleName(name)

    def hideEvent(self, event: QHideEvent) -> None:
        """Tell that the page was turned or the window closed."""
        super().hideEvent(event)
        self.hidden.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Esc restore, before a dialog takes it for itself."""
        if (
            isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Escape
            and self._is_typing
        ):
            if event.type() == QEvent.Type.ShortcutOverride:
                event.accept()
                return True
            if event.type() == QEvent.Type.KeyPress:
                self.give_up()
                return True
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and not self._is_typing
            and (
                event.matches(QKeySequence.StandardKey.Undo)
                or event.matches(QKeySequence.StandardKey.Redo)
            )
        ):
            event.ignore()  # nothing typed to take back: the library's step is meant
            return True
        return super().eventFilter(watched, event)

    def _place(self, editor: QWidget) -> None:
        """Lay out the editor above note and fault."""
        self._row.insertWidget(0, editor, 1)
        self.setFocusProxy(editor)
        editor.installEventFilter(self)
        editor.setAccessibleName(self.accessibleName())

    def _settle(self) -> None:
        self._is_typing = False
        self._say(self.note, "")
        self.show_fault("")
        self._write(self._shown(self._value))

    def _heed(self, text: str) -> None:
        """Take note of a keystroke."""
        self._is_typing = True
        self.typed.emit(text)

    @staticmethod
    def _say(label: QLabel, text: str) -> None:
        label.setText(text)
        label.setVisible(bool(text))

    def _editor(self) -> QWidget:
        editor = self.focusProxy()
        return self if editor is None else editor

    def _shown(self, value: Any) -> str:
        return "" if value is None else str(value)

    def _read(self) -> Any:
        raise NotImplementedError

    def _write(self, text: str) -> None:
        raise NotImplementedError


def is_same(one: Any, other: Any) -> bool:
    """Whether two values are equal; True and 1 are not."""
    return bool(one == other) and isinstance(one, bool) == isinstance(other, bool)
