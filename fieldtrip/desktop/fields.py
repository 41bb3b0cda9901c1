"""Fields that are edited where they stand: one finished edit, one signal.

A field keeps what is stored apart from what is being typed.  While typing it
emits `typed`; when editing ends (Enter, or the field is left) with a changed
and readable value it emits `edited`, and whoever listens stores it or answers
with `show_fault`.  Nothing typed is thrown away except by Esc.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any

from PySide6.QtCore import QDate, QEvent, QLocale, QObject, QPoint, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QTextCharFormat,
    QTextCursor,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QCalendarWidget,
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.typed import (
    date_shown,
    date_typed,
    moment_shown,
    moment_typed,
    number_shown,
    number_typed,
    time_shown,
    time_typed,
)
from fieldtrip.errors import UserError
from fieldtrip.times import zone_of

RESTORED = "Not stored yet: restored from before."


def _known_zone(name: str) -> str:
    return zone_of(name).key


class Field(QWidget):
    """What every field has: a value as stored, a text as typed, and a fault below."""

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
        if _is_same(value, self._value):
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


class TextField(Field):
    """One line of text."""

    def __init__(self, name: str, placeholder: str = "") -> None:
        super().__init__(name)
        self.line = QLineEdit()
        self.line.setPlaceholderText(placeholder)
        self.line.textEdited.connect(self._heed)
        self.line.editingFinished.connect(self.finish)
        self._place(self.line)

    def _read(self) -> Any:
        return self.line.text().strip()

    def _write(self, text: str) -> None:
        self.line.setText(text)


class LongTextField(Field):
    """Many lines of text; Ctrl+Enter or leaving the field ends editing."""

    def __init__(self, name: str, placeholder: str = "", lines: int = 4) -> None:
        super().__init__(name)
        self.box = _LongText()
        self.box.setPlaceholderText(placeholder)
        self.box.setTabChangesFocus(True)
        height = self.box.fontMetrics().lineSpacing() * lines + 14
        self.box.setMinimumHeight(height)
        self.box.setSizePolicy(
            QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding
        )
        self._is_writing = False
        self.box.textChanged.connect(self._heed_box)
        self.box.left.connect(self.finish)
        self._place(self.box)

    def give_up(self) -> None:
        """Show what is stored again; Ctrl+Z brings back what was typed."""
        cursor = QTextCursor(self.box.document())
        cursor.select(QTextCursor.SelectionType.Document)
        self._is_writing = True
        cursor.insertText(self._shown(self._value))
        self._is_writing = False
        super().give_up()

    def _heed_box(self) -> None:
        if not self._is_writing:
            self._heed(self.box.toPlainText())

    def _read(self) -> Any:
        return self.box.toPlainText()

    def _write(self, text: str) -> None:
        if text == self.box.toPlainText():
            return  # the cursor stays where it was
        self._is_writing = True
        self.box.setPlainText(text)
        self._is_writing = False


class NumberField(TextField):
    """A number with its unit beside it; empty means not known, where it may be."""

    def __init__(
        self,
        name: str,
        unit: str = "",
        *,
        allow_empty: bool = True,
        whole: bool = False,
        factor: float = 1.0,
        decimals: int | None = None,
    ) -> None:
        super().__init__(name, "not known" if allow_empty else "")
        self._allow_empty = allow_empty
        self._whole = whole
        self.unit = QLabel()
        self.unit.setProperty("soft", True)
        self._row.addWidget(self.unit)
        self.set_unit(unit, factor, decimals)

    def set_unit(
        self, unit: str, factor: float = 1.0, decimals: int | None = None
    ) -> None:
        """Show numbers in another unit: one of it is `factor` of what is stored."""
        self._unit, self._factor, self._decimals = unit, factor, decimals
        self.unit.setText(unit)
        self.unit.setVisible(bool(unit))
        if not self._is_typing:
            self._settle()

    def _shown(self, value: Any) -> str:
        if value is None:
            return ""
        return number_shown(value / self._factor, self._decimals)

    def _read(self) -> Any:
        number = number_typed(self.line.text(), self._unit, whole=self._whole)
        if number is None:
            if not self._allow_empty:
                raise UserError(f"{self.accessibleName()} needs a number.")
            return None
        return int(number) if self._whole else number * self._factor


class ChoiceField(Field):
    """One of a few; arrow keys only choose, Enter or leaving the field stores."""

    def __init__(
        self, name: str, choices: Sequence[tuple[Any, str]] = (), *, empty: str = ""
    ) -> None:
        super().__init__(name)
        self._choices: list[tuple[Any, str]] = []
        self._empty = empty  # shown where the value is none of the choices
        self.combo = _Choice()
        self.combo.activated.connect(self._heed_choice)
        self.combo.left.connect(self.finish)
        self._place(self.combo)
        self.set_choices(choices)

    def set_choices(self, choices: Sequence[tuple[Any, str]]) -> None:
        """Offer other values, each with its words."""
        if list(choices) == self._choices:
            return
        self._choices = list(choices)
        self.combo.clear()
        self.combo.addItems([text for _, text in choices])
        self.combo.setPlaceholderText(self._empty)
        self._write(self._shown(self._value))

    def _heed_choice(self) -> None:
        self._is_typing = True
        if not self.combo.is_by_key:
            self.finish()

    def _shown(self, value: Any) -> str:
        return next(
            (text for offered, text in self._choices if _is_same(offered, value)), ""
        )

    def _read(self) -> Any:
        index = self.combo.currentIndex()
        return self._choices[index][0] if index >= 0 else self._value

    def _write(self, text: str) -> None:
        texts = [t for _, t in self._choices]
        self.combo.setCurrentIndex(texts.index(text) if text in texts else -1)


class ZoneField(Field):
    """A time zone by its IANA name, typed or chosen; empty until then."""

    def __init__(
        self,
        name: str,
        zones: Sequence[str],
        known_as: Callable[[str], str] = _known_zone,
    ) -> None:
        super().__init__(name)
        self._known_as = known_as  # the IANA name of what is typed, or `UserError`
        self.combo = _Choice()
        self.combo.setEditable(True)
        self.combo.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.combo.addItems(list(zones))
        self.combo.setCurrentIndex(-1)
        completer = QCompleter(list(zones), self.combo)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.combo.setCompleter(completer)
        completer.activated.connect(self._heed)
        line = self.combo.lineEdit()
        if line is not None:
            line.setPlaceholderText("choose")
            line.textEdited.connect(self._heed)
            line.editingFinished.connect(self.finish)
        self.combo.textActivated.connect(self._choose)
        self._place(self.combo)

    def _choose(self, text: str) -> None:
        self._heed(text)
        if not self.combo.is_by_key:
            self.finish()

    def _read(self) -> Any:
        name = self.combo.currentText().strip()
        return self._known_as(name) if name else ""

    def _write(self, text: str) -> None:
        self.combo.setCurrentIndex(self.combo.findText(text) if text else -1)
        self.combo.setEditText(text)


class YesNoField(ChoiceField):
    """Yes, no, or not known: True, False or None."""

    def __init__(self, name: str) -> None:
        super().__init__(name, ((None, "not known"), (True, "yes"), (False, "no")))


class DateField(TextField):
    """A day, typed as 14 Nov 2026 or 2026-11-14, or chosen from a calendar."""

    def __init__(self, name: str, *, allow_empty: bool = True) -> None:
        super().__init__(name, "not known" if allow_empty else "")
        self._allow_empty = allow_empty
        self.setToolTip("As in 14 Nov 2026 or 2026-11-14.")
        self.button = QToolButton()
        self.button.setText("▾")
        self.button.setObjectName("calendarButton")
        self.button.setToolTip("Choose from a calendar")
        self.button.setAccessibleName(f"{name}: choose from a calendar")
        self.button.clicked.connect(self.open_calendar)
        self._row.addWidget(self.button)
        self.calendar: QCalendarWidget | None = None

    def open_calendar(self) -> None:
        """Show a month to choose a day from."""
        if self.calendar is None:
            self.calendar = QCalendarWidget(self)
            self.calendar.setWindowFlags(Qt.WindowType.Popup)
            self.calendar.setFirstDayOfWeek(Qt.DayOfWeek.Monday)
            self.calendar.setLocale(QLocale("en_GB"))  # as all words here
            for day_of_week in (Qt.DayOfWeek.Saturday, Qt.DayOfWeek.Sunday):
                plain = QTextCharFormat()  # Qt would print weekends in red
                self.calendar.setWeekdayTextFormat(day_of_week, plain)
            self.calendar.activated.connect(self._take)
            self.calendar.clicked.connect(self._take)
        day = self._value
        if isinstance(day, date):
            self.calendar.setSelectedDate(QDate(day.year, day.month, day.day))
        self.calendar.move(self.mapToGlobal(QPoint(0, self.line.height())))
        self.calendar.show()
        self.calendar.setFocus()

    def _take(self, day: QDate) -> None:
        if self.calendar is not None and self.calendar.isVisible():
            self.calendar.hide()
            self._write(date_shown(date(day.year(), day.month(), day.day())))
            self._is_typing = True
            self.finish()

    def _shown(self, value: Any) -> str:
        return date_shown(value)

    def _read(self) -> Any:
        day = date_typed(self.line.text())
        if day is None and not self._allow_empty:
            raise UserError(f"{self.accessibleName()} needs a date, as in 14 Nov 2026.")
        return day


class TimeField(TextField):
    """A clock time on a day at a place; the value is an instant in UTC or None."""

    def __init__(
        self, name: str, day: date, zone: str, *, allow_empty: bool = True
    ) -> None:
        super().__init__(name, "not said" if allow_empty else "")
        self._day, self._zone = day, zone
        self._allow_empty = allow_empty
        self.setToolTip("As in 16:30, or 00:40 +1 for the day after.")

    def set_day(self, day: date, zone: str) -> None:
        """Read and show times of another day, or of another zone."""
        self._day, self._zone = day, zone
        if not self._is_typing:
            self._settle()

    def _shown(self, value: Any) -> str:
        instant: datetime | None = value
        return time_shown(instant, self._day, self._zone)

    def _read(self) -> Any:
        instant = time_typed(self.line.text(), self._day, self._zone)
        if instant is None and not self._allow_empty:
            raise UserError(f"{self.accessibleName()} needs a time, as in 16:30.")
        return instant


class MomentField(TextField):
    """A day and a clock time at a place; the value is an instant in UTC or None."""

    def __init__(self, name: str, zone: str) -> None:
        super().__init__(name, "not said")
        self._zone = zone
        self.setToolTip("As in 14 Nov 2026 06:00.")

    def _shown(self, value: Any) -> str:
        return moment_shown(value, self._zone)

    def _read(self) -> Any:
        return moment_typed(self.line.text(), self._zone)


class _LongText(QPlainTextEdit):
    """Says when it is left."""

    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End editing, but not for a context menu."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """End editing with Ctrl+Enter."""
        control = Qt.KeyboardModifier.ControlModifier
        if (
            event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and event.modifiers() & control
        ):
            self.left.emit()
            return
        super().keyPressEvent(event)


class _Choice(QComboBox):
    """Knows whether a choice was made by an arrow key, and ignores the wheel."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.is_by_key = False
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setMinimumContentsLength(8)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with the arrows, store with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.left.emit()
            return
        self.is_by_key = True
        super().keyPressEvent(event)
        self.is_by_key = False

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Store when left, but not for its own list."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll the page, never the value."""
        event.ignore()


def _is_same(one: Any, other: Any) -> bool:
    """Whether two values are equal; True and 1 are not."""
    return bool(one == other) and isinstance(one, bool) == isinstance(other, bool)
