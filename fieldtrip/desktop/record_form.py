"""A form for one record of places; every finished edit is one step to undo."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QPushButton,
    QWidget,
)

from fieldtrip.coordinates import decimal_text, degrees_minutes_text, read_position
from fieldtrip.desktop.content.forms import (
    FORMS,
    Editor,
    FieldSpec,
    line_words,
    step_words,
)
from fieldtrip.desktop.editing import RecordEditor
from fieldtrip.desktop.fields import (
    ChoiceField,
    DateField,
    Field,
    HoursField,
    LongTextField,
    NumberField,
    SeasonField,
    TextField,
    YesNoField,
    ZoneField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position
from fieldtrip.places.land_zone import ZONE_NOT_CHOSEN
from fieldtrip.settings import LengthUnit
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import METRES_PER_FOOT

ZONE_QUESTION = (
    "Which time zone do you keep here? No land is near enough to tell, and until one "
    "is chosen all times here are in UTC. To keep UTC, choose “UTC”."
)


class PositionField(TextField):
    """A position typed in any strict form; what was read is echoed before it counts."""

    echoed = Signal(object)  # Position while it can be read, else None

    def __init__(self, name: str) -> None:
        super().__init__(name, "49.6034 -8.4012")
        self.line.textEdited.connect(self._echo)
        self.edited.connect(lambda _: self.echoed.emit(None))
        self.dropped.connect(lambda: self.echoed.emit(None))

    def _echo(self, text: str) -> None:
        try:
            position = read_position(text)
        except UserError as error:
            self._say(self.note, str(error) if text.strip() else "")
            self.echoed.emit(None)
            return
        self._say(self.note, f"read as {degrees_minutes_text(position)}")
        self.echoed.emit(position)

    def _shown(self, value: Any) -> str:
        return decimal_text(value) if isinstance(value, Position) else ""

    def _read(self) -> Any:
        return read_position(self.line.text())


class CoastZoneField(ZoneField):
    """A time zone that asks to be chosen where no land could answer for it."""

    def _settle(self) -> None:
        super()._settle()
        if self._value == ZONE_NOT_CHOSEN:
            self.show_fault(ZONE_QUESTION)
            self._is_typing = False  # a question, and nothing typed

    def _shown(self, value: Any) -> str:
        return "" if value == ZONE_NOT_CHOSEN else super()._shown(value)

    def _read(self) -> Any:
        return super()._read() or self._value


class RecordForm(QWidget):
    """The fields of one kind of record; shows one record of it at a time."""

    echoed = Signal(object)  # Position being typed, or None
    redrawAsked = Signal(object)  # the record whose line is to be drawn anew

    def __init__(self, kind: type, library: Library, preferences: Preferences) -> None:
        super().__init__()
        self._preferences = preferences
        self._specs = FORMS[kind]
        self._editor = RecordEditor(library, self)
        self._lines: dict[str, tuple[QLabel, QPushButton]] = {}
        self._cells: list[tuple[FieldSpec, QLabel, QWidget]] = []
        self._arranged: tuple[bool, ...] = ()
        self.fields: dict[str, Field] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(5)
        self._grid.setColumnStretch(1, 1)
        self._grid.setColumnStretch(3, 1)
        self._make_cells()
        self._arrange(tuple(True for _ in self._cells))
        preferences.changed.connect(self._use_units)

    def show_record(self, record: Any, dossier: Dossier) -> None:
        """Show a record as it is stored; what is being typed in it stays."""
        if self._editor.record is None or self._editor.record.id != record.id:
            self._editor.finish()
        for spec in self._specs:
            field = self.fields.get(spec.field)
            if spec.choices is not None and isinstance(field, ChoiceField):
                field.set_choices(spec.choices(dossier))
        self._editor.show(record)
        self._tell_lines()
        self._arrange(tuple(spec.only(record) for spec in self._specs))

    def finish(self) -> None:
        """End what is being typed as if each field were left; keep what cannot be."""
        self._editor.finish()
        self._editor.keep_drafts()

    def focus_name(self) -> None:
        """Go to the first field and choose its text, to be typed over."""
        first = self.fields.get("name") or next(iter(self.fields.values()))
        if isinstance(first, TextField):
            first.line.selectAll()
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _make_cells(self) -> None:
        for spec in self._specs:
            label = QLabel(spec.label)
            label.setProperty("soft", True)
            label.setToolTip(spec.hint)
            label.setContentsMargins(0, 4, 0, 0)
            editor = self._made(spec)
            label.setBuddy(editor)
            self._cells.append((spec, label, editor))

    def _arrange(self, shown: tuple[bool, ...]) -> None:
        """Short fields in two columns, long ones across both; some not at all."""
        if shown == self._arranged:
            return
        self._arranged = shown
        row, column = 0, 0
        for (spec, label, editor), is_shown in zip(self._cells, shown, strict=True):
            for widget in (label, editor):
                self._grid.removeWidget(widget)
                widget.setVisible(is_shown)
            if not is_shown:
                continue
            is_wide = spec.editor in (Editor.LONG_TEXT, Editor.LINE)
            if is_wide and column:
                row, column = row + 1, 0
            self._grid.addWidget(label, row, column, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(editor, row, column + 1, 1, 3 if is_wide else 1)
            if is_wide or column:
                row, column = row + 1, 0
            else:
                column = 2
        for i in range(self._grid.rowCount()):
            self._grid.setRowStretch(i, 1 if i == row + 1 else 0)

    def _made(self, spec: FieldSpec) -> QWidget:
        if spec.editor is Editor.LINE:
            return self._line_editor(spec)
        field = self._field(spec)
        if spec.hint:
            field.setToolTip(spec.hint)
        self.fields[spec.field] = field
        self._editor.bind(spec.field, field, step_words(spec))
        return field

    def _field(self, spec: FieldSpec) -> Field:
        match spec.editor:
            case Editor.LONG_TEXT:
                return LongTextField(spec.label)
            case Editor.POSITION:
                field = PositionField(spec.label)
                field.echoed.connect(self.echoed)
                return field
            case Editor.LENGTH:
                number = NumberField(spec.label, allow_empty=not spec.must)
                number.set_unit(*self._length_unit())
                number.line.setPlaceholderText("" if spec.must else spec.empty)
                return number
            case Editor.WHOLE_NUMBER:
                return NumberField(spec.label, allow_empty=not spec.must, whole=True)
            case Editor.NUMBER:
                return NumberField(spec.label, allow_empty=not spec.must)
            case Editor.YES_NO:
                return YesNoField(spec.label)
            case Editor.SWITCH:
                return ChoiceField(spec.label, ((True, "yes"), (False, "no")))
            case Editor.CHOICE:
                return ChoiceField(spec.label)
            case Editor.DAY:
                return DateField(spec.label, allow_empty=not spec.must)
            case Editor.SEASON:
                return SeasonField(spec.label)
            case Editor.HOURS:
                return HoursField(spec.label)
            case Editor.ZONE:
                return CoastZoneField(spec.label, sorted(available_timezones()))
            case _:
                return TextField(spec.label)

    def _line_editor(self, spec: FieldSpec) -> QWidget:
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(2, 1)
        words = QLabel()
        words.setTextFormat(Qt.TextFormat.PlainText)
        button = QPushButton("Draw again")
        button.clicked.connect(lambda: self.redrawAsked.emit(self._editor.record))
        grid.addWidget(words, 0, 0)
        grid.addWidget(button, 0, 1)
        self._lines[spec.field] = words, button
        box.setFocusProxy(button)
        return box

    def _length_unit(self) -> tuple[str, float]:
        match self._preferences.settings.length_unit:
            case LengthUnit.METRE:
                return "m", 1.0
            case LengthUnit.FOOT:
                return "ft", METRES_PER_FOOT

    def _use_units(self) -> None:
        for spec in self._specs:
            field = self.fields.get(spec.field)
            if spec.editor is Editor.LENGTH and isinstance(field, NumberField):
                field.set_unit(*self._length_unit())
        self._tell_lines()

    def _tell_lines(self) -> None:
        for field, (label, button) in self._lines.items():
            if self._editor.record is not None:
                line: Line = getattr(self._editor.record, field)
                label.setText(line_words(line, self._preferences.settings))
                button.setText("Draw again" if line else "Draw on the map")
