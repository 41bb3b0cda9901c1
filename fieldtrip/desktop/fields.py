"""Fields for each sort of value; what they share is in `fieldtrip.desktop.field`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any

from PySide6.QtCore import QDate, QLocale, QPoint, Qt
from PySide6.QtGui import QTextCharFormat, QTextCursor
from PySide6.QtWidgets import (
    QCalendarWidget,
    QComboBox,
    QCompleter,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QToolButton,
)

from fieldtrip.desktop.content.typed import (
    date_shown,
    date_typed,
    hours_shown,
    hours_typed,
    moment_shown,
    moment_typed,
    number_shown,
    number_typed,
    season_shown,
    season_typed,
    time_shown,
    time_typed,
)
from fieldtrip.desktop.field import RESTORED, Field, is_same
from fieldtrip.desktop.field_editors import Choice, LongText
from fieldtrip.errors import UserError
from fieldtrip.times import zone_of

__all__ = [
    "RESTORED",
    "ChoiceField",
    "DateField",
    "Field",
    "HoursField",
    "LongTextField",
    "MomentField",
    "NumberField",
    "SeasonField",
    "TextField",
    "TimeField",
    "YesNoField",
    "ZoneField",
]


def _known_zone(name: str) -> str:
    return zone_of(name).key


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
        if not self.line.hasFocus():
            self.line.setCursorPosition(0)  # a long text is read from its start


class LongTextField(Field):
    """Many lines of text; Ctrl+Enter or leaving the field ends editing."""

    def __init__(self, name: str, placeholder: str = "", lines: int = 4) -> None:
        super().__init__(name)
        self.box = LongText()
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
        self.combo = Choice()
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
            (text for offered, text in self._choices if is_same(offered, value)), ""
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
        self.combo = Choice()
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
        # Enter while names are offered goes to their list, not to the line.
        self.combo.left.connect(self.finish)
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


class SeasonField(TextField):
    """A season of every year, or None."""

    def __init__(self, name: str) -> None:
        super().__init__(name, "not every year")

    def _shown(self, value: Any) -> str:
        return season_shown(value)

    def _read(self) -> Any:
        return season_typed(self.line.text())


class HoursField(TextField):
    """From one clock time to another, or None."""

    def __init__(self, name: str) -> None:
        super().__init__(name, "no hours")

    def _shown(self, value: Any) -> str:
        return hours_shown(value)

    def _read(self) -> Any:
        return hours_typed(self.line.text())


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
