"""The window in which a forecast is typed or pasted, hour by hour."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.forecast_typing import (
    ALSO,
    COLUMNS,
    EXAMPLE,
    UNITS,
    ForecastTyped,
    ForecastTypingContent,
    forecast_typing_content,
    typed_from,
)
from fieldtrip.desktop.dialogs.draft import DialogDraft
from fieldtrip.desktop.dialogs.preview import Preview, fixed_font
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.fields import (
    ChoiceField,
    DateField,
    Field,
    LongTextField,
    MomentField,
    TextField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.places.records import Location
from fieldtrip.weather.records import Forecast


class ForecastDialog(QDialog):
    """Shows what is read while it is typed; stores only what is sound."""

    def __init__(
        self,
        library: Library,
        location: Location,
        preferences: Preferences,
        *,
        day: date,
        now: Callable[[], datetime],
        forecast: Forecast | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._location = location
        self._preferences = preferences
        self._now = now
        self._first_day = day
        self._forecast = forecast
        self.owner_id = location.id if forecast is None else forecast.id
        self.content: ForecastTypingContent | None = None
        self.setWindowTitle(f"Forecast for {location.name}")
        self.setModal(False)
        self.resize(1080, 620)
        self._make_fields()
        self._lay_out()
        self._fill()
        self._check()
        preferences.changed.connect(self._check)

    def store(self) -> None:
        """Keep the forecast as one step of undo, and close."""
        self._check()
        made = None if self.content is None else self.content.forecast
        if made is None:
            return
        try:
            if self._forecast is None:
                self._library.add("add forecast", made)
            else:
                self._library.edit("change forecast", self._forecast, made)
        except UserError as error:
            self.preview.show_faults((str(error),))
            return
        self._draft.drop()
        self.accept()

    def discard(self) -> None:
        """Close, and forget what was typed."""
        self._draft.drop()
        super().reject()

    def reject(self) -> None:
        """Close; what was typed is offered when the window is opened again."""
        self._draft.keep()
        super().reject()

    def _make_fields(self) -> None:
        zone = self._location.zone
        self.source = TextField("Source", "whose forecast, and for which spot")
        self.issued = MomentField("Issued, day and time", zone)
        self.day = DateField("Day of the first hour", allow_empty=False)
        self.unit = ChoiceField("Unit of the wind", UNITS, empty="choose")
        self.text = LongTextField("Hours", lines=10)
        self.preview = Preview([""] * COLUMNS, "What is read")
        self.store_button = QPushButton("Store")
        self.discard_button = QPushButton("Discard")
        self.close_button = QPushButton("Close")
        self.close_button.setToolTip("What is typed is offered again next time.")
        for button, act in (
            (self.store_button, self.store),
            (self.discard_button, self.discard),
            (self.close_button, self.reject),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)

    def _fill(self) -> None:
        zone = self._location.zone
        typed = ForecastTyped(day=self._first_day, issued=None)
        if self._forecast is not None:
            unit = self._preferences.settings.speed_unit
            typed = typed_from(self._forecast, zone, unit)
        self.source.set_value(typed.source)
        self.issued.set_value(typed.issued)
        self.day.set_value(typed.day)
        self.unit.set_value(typed.unit)
        self.text.set_value(typed.text)
        names = ("source", "issued", "day", "unit", "text")
        self._draft = DialogDraft(
            self._library,
            self.owner_id,
            "forecast",
            dict(zip(names, self._fields(), strict=True)),
            self._tell,
        )
        self._draft.offer()
        # Nothing is stored by a choice here, so one by arrow key counts at once.
        self.unit.combo.activated.connect(self._check)
        for field in self._fields():
            field.typed.connect(self._check)
            field.edited.connect(field.set_value)
            field.edited.connect(self._check)
            field.dropped.connect(self._check)

    def _tell(self, fault: str) -> None:
        self.preview.show_faults((fault,))

    def _fields(self) -> tuple[Field, ...]:
        return (
            self.source,
            self.issued,
            self.day,
            self.unit,
            self.text,
        )

    def _check(self, *_: object) -> None:
        """Read everything anew and show it."""
        faults: list[str] = []
        zone = self._location.zone

        def said(field: Field) -> object:
            try:
                return field.read()
            except UserError as error:
                faults.append(str(error))
                return None

        issued, day = said(self.issued), said(self.day)
        typed = ForecastTyped(
            day=day if isinstance(day, date) else None,
            issued=issued if isinstance(issued, datetime) else None,
            source=self.source.read() or "",
            unit=self.unit.read(),
            text=self.text.read() or "",
        )
        content = forecast_typing_content(
            typed,
            self._location.id,
            zone,
            self._preferences.settings,
            self._now(),
            self._forecast,
        )
        self.content = content
        self.preview.table.setColumnCount(len(content.columns))
        self.preview.table.setHorizontalHeaderLabels(list(content.columns))
        self.preview.show_rows(content.rows, content.summary)
        self.preview.show_notes(content.notes)
        self.preview.show_faults((*faults, *content.faults))
        self.store_button.setEnabled(content.forecast is not None and not faults)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        places: tuple[tuple[Field, int], ...] = (
            (self.source, 2),
            (self.issued, 1),
            (self.day, 1),
            (self.unit, 1),
        )
        for col, (field, stretch) in enumerate(places):
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, 0, col, Qt.AlignmentFlag.AlignTop)
            grid.setColumnStretch(col, stretch)

        typing = QWidget()
        left = QVBoxLayout(typing)
        left.setContentsMargins(0, 0, 0, 0)
        hint = QLabel(
            "The first line names the columns, then one hour a line; leave out "
            f"what is not given. Times are those of {self._location.zone}. "
            f"{ALSO} For example:"
        )
        example = QLabel(EXAMPLE)
        example.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        example.setFont(fixed_font())
        self.text.box.setFont(fixed_font())
        for label in (hint, example):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setProperty("soft", True)
            label.setWordWrap(True)
            left.addWidget(label)
        left.addWidget(self.text, 1)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(typing)
        split.addWidget(self.preview)
        split.setSizes([380, 560])

        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in (self.discard_button, self.close_button, self.store_button):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 12, 16, 12)
        column.addLayout(grid)
        column.addWidget(split, 1)
        column.addLayout(buttons)
