"""The window in which a secondary port is typed from its table of differences."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.secondary_forms import HINTS, ROWS, Form, Sort
from fieldtrip.desktop.content.secondary_typing import (
    COLUMNS,
    SecondaryTyped,
    SecondaryTypingContent,
    secondary_typing_content,
    typed_from,
)
from fieldtrip.desktop.content.tide_typing import EXPOSURES, UNITS
from fieldtrip.desktop.dialogs.draft import DialogDraft
from fieldtrip.desktop.dialogs.preview import Preview
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    NumberField,
    TextField,
    YesNoField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.record_form import PositionField
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change
from fieldtrip.store.reading import by_name
from fieldtrip.tides.stations import Station
from fieldtrip.times import local_date


class MaybePositionField(PositionField):
    """A position, or not known where empty."""

    def _read(self) -> Any:
        return super()._read() if self.line.text().strip() else None


class SecondaryPortDialog(QDialog):
    """Shows a day's turns while it is typed; stores only what is sound."""

    def __init__(
        self,
        library: Library,
        location_id: UUID,
        preferences: Preferences,
        *,
        now: Callable[[], datetime],
        station: Station | None = None,
    ) -> None:
        super().__init__()
        self._location_id, self._station = location_id, station
        self._library, self._preferences, self._now = library, preferences, now
        self.owner_id = location_id if station is None else station.id
        self.content: SecondaryTypingContent | None = None
        self.setModal(False)
        self.resize(1080, 740)
        self._make_fields()
        self._make_rest()
        self._lay_out()
        self._fill()
        library.changed.connect(self.refresh)
        preferences.changed.connect(self.check)
        self.check()

    def store(self) -> None:
        """Keep the station, a new one as the place's own, as one step of undo."""
        self.check()
        dossier = self._library.dossier(self._location_id)
        made = None if self.content is None else self.content.station
        if made is None or dossier is None:
            return
        location = dossier.location
        # What was said of where the old station lies holds for no other.
        after = replace(location, station_id=made.id, is_station_beyond_headland=None)
        try:
            if self._station is None:
                self._library.change(
                    "add secondary port", [Change(None, made), Change(location, after)]
                )
            else:
                self._library.edit("change secondary port", self._station, made)
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

    def check(self, *_: object) -> None:
        """Read everything anew, and show what it makes of a day."""
        dossier = self._library.dossier(self._location_id)
        if dossier is None:
            self.reject()
            return
        location = dossier.location
        self.setWindowTitle(
            f"New secondary port for {location.name}"
            if self._station is None
            else f"Secondary port {self._station.name}"
        )
        self._show_form()
        typed, faults = self._typed()
        today = local_date(self._now(), location.zone)
        settings = self._preferences.settings
        content = secondary_typing_content(
            typed, location, self._stations, today, settings, self._station
        )
        self.content = content
        self.preview.show_rows(content.rows, content.summary)
        self.preview.show_notes(content.notes)
        self.preview.show_faults((*faults, *content.faults))
        self.store_button.setEnabled(content.station is not None and not faults)

    def refresh(self, *_: object) -> None:
        """Offer the stations that there are now, and read everything anew."""
        self._offer_stations()
        self.check()

    def _offer_stations(self) -> None:
        self._stations = sorted(self._library.store.all(Station), key=by_name)
        self.standard.set_choices(
            [
                (s.id, f"{s.name} ({s.datum})")
                for s in self._stations
                if self._station is None or s.id != self._station.id
            ]
        )

    def _typed(self) -> tuple[SecondaryTyped, tuple[str, ...]]:
        """What stands in the fields, and the faults of those that make no sense."""
        faults: list[str] = []

        def read(field: Field) -> Any:
            try:
                return field.read()
            except UserError as error:
                faults.append(f"{field.accessibleName()}: {error}")
                return None

        form = self.form.read()
        shown = {} if form is None else self.figures[form]
        typed = SecondaryTyped(
            standard_id=self.standard.read(),
            name=self.name.read() or "",
            position=read(self.position),
            datum=self.datum.read() or "",
            unit=self.unit.read() or "",
            exposure=self.exposure.read(),
            is_distorted=self.distorted.read(),
            source=self.source.read() or "",
            form=form,
            figures={key: read(field) for key, field in shown.items()},
        )
        return typed, tuple(faults)

    def _show_form(self) -> None:
        """Show the fields of the form that is chosen, with the chosen unit."""
        form, unit = self.form.read(), self.unit.read() or ""
        self.hint.setText("" if form is None else HINTS[form])
        for each, page in self._pages.items():
            page.setVisible(each is form)
        for field in self._heights:
            if field.unit.text() != unit:
                field.set_unit(unit)

    def _make_fields(self) -> None:
        self.standard = ChoiceField("Standard port", empty="choose")
        self.name = TextField("Name of the secondary port")
        self.position = MaybePositionField("Position of the port")
        self.datum = TextField("Datum", "as the authority names it")
        self.source = TextField("Source", "authority and edition")
        self.exposure = ChoiceField("How open the port lies", EXPOSURES)
        self.distorted = YesNoField("Shallow or estuarine port")
        self.distorted.setToolTip("There the tide does not follow a smooth curve.")
        self.unit = ChoiceField("Unit of the heights", UNITS, empty="choose")
        self.form = ChoiceField(
            "How the table gives the differences",
            [(form, str(form)) for form in Form],
            empty="choose",
        )
        self.figures: dict[Form, dict[str, NumberField]] = {form: {} for form in Form}
        self._heights: list[NumberField] = []
        for form, rows in ROWS.items():
            for row in rows:
                for key in row.keys:
                    is_height = row.sort is Sort.HEIGHT
                    unit = "" if is_height else row.sort.value
                    field = NumberField(row.name_of(key), unit)
                    field.line.setPlaceholderText("")
                    field.setToolTip(row.tip)
                    self.figures[form][key] = field
                    if is_height:
                        self._heights.append(field)

    def _make_rest(self) -> None:
        self.hint = plain_label(soft=True)
        self.preview = Preview(COLUMNS, "A day's turns as they follow")
        self.store_button = QPushButton("Store")
        self.store_button.clicked.connect(self.store)
        self.discard_button = QPushButton("Discard")
        self.discard_button.clicked.connect(self.discard)
        self.close_button = QPushButton("Close")
        self.close_button.setToolTip("What is typed is offered again next time.")
        self.close_button.clicked.connect(self.reject)
        for button in self._buttons():
            button.setAutoDefault(False)  # Enter ends a field

    def _buttons(self) -> tuple[QPushButton, ...]:
        return self.discard_button, self.close_button, self.store_button

    def _fill(self) -> None:
        fields: dict[str, Field] = {
            "standard": self.standard,
            "name": self.name,
            "position": self.position,
            "datum": self.datum,
            "source": self.source,
            "exposure": self.exposure,
            "distorted": self.distorted,
            "unit": self.unit,
            "form": self.form,
        }
        for form, figures in self.figures.items():
            fields |= {f"{form.name} {key}": field for key, field in figures.items()}
        self._offer_stations()
        if self._station is not None:
            self._show_typed(typed_from(self._station))
        self._draft = DialogDraft(
            self._library,
            self.owner_id,
            "secondary port",
            fields,
            lambda fault: self.preview.show_faults((fault,)),
        )
        self._draft.offer()
        for field in fields.values():
            field.typed.connect(self.check)
            field.edited.connect(field.set_value)
            field.edited.connect(self.check)
            field.dropped.connect(self.check)
            if isinstance(field, ChoiceField):
                # Nothing is stored by a choice here, so one by arrow key counts.
                field.combo.activated.connect(self.check)

    def _show_typed(self, typed: SecondaryTyped) -> None:
        self.standard.set_value(typed.standard_id)
        self.name.set_value(typed.name)
        self.position.set_value(typed.position)
        self.datum.set_value(typed.datum)
        self.source.set_value(typed.source)
        self.exposure.set_value(typed.exposure)
        self.distorted.set_value(typed.is_distorted)
        self.unit.set_value(typed.unit)
        self.form.set_value(typed.form)
        if typed.form is not None:
            for key, figure in typed.figures.items():
                self.figures[typed.form][key].set_value(figure)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        places: tuple[tuple[Field, int, int, int], ...] = (
            (self.standard, 0, 0, 2),
            (self.name, 1, 0, 1),
            (self.datum, 1, 1, 1),
            (self.position, 2, 0, 1),
            (self.source, 2, 1, 1),
            (self.exposure, 3, 0, 1),
            (self.distorted, 3, 1, 1),
            (self.form, 4, 0, 2),
            (self.unit, 5, 0, 1),
        )
        for field, row, column, span in places:
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, row, column, 1, span, Qt.AlignmentFlag.AlignTop)
        for column in range(2):
            grid.setColumnStretch(column, 1)
        inner = QWidget()
        typing = QVBoxLayout(inner)
        typing.setContentsMargins(0, 0, 12, 0)
        typing.addLayout(grid)
        typing.addWidget(self.hint)
        self._pages = {form: self._page(form) for form in Form}
        for page in self._pages.values():
            typing.addWidget(page)
        typing.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(inner)
        halves = QSplitter(Qt.Orientation.Horizontal)
        halves.setChildrenCollapsible(False)
        halves.addWidget(area)
        halves.addWidget(self.preview)
        halves.setSizes([560, 520])
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in self._buttons():
            buttons.addWidget(button)
        column_of_all = QVBoxLayout(self)
        column_of_all.addWidget(halves, 1)
        column_of_all.addLayout(buttons)

    def _page(self, form: Form) -> QWidget:
        """High and low water side by side, as tables have them."""
        page = QWidget()
        grid = QGridLayout(page)
        grid.setContentsMargins(0, 0, 0, 0)
        for column, heading in ((1, "High water"), (2, "Low water")):
            head = plain_label(soft=True, wraps=False)
            head.setText(heading)
            grid.addWidget(head, 0, column)
            grid.setColumnStretch(column, 1)
        for number, row in enumerate(ROWS[form], start=1):
            label = plain_label(soft=True, wraps=False)
            label.setText(row.label)
            label.setBuddy(self.figures[form][row.keys[0]])
            grid.addWidget(label, number, 0, Qt.AlignmentFlag.AlignTop)
            span = 3 - len(row.keys)  # one for both waters stands below both
            for column, key in enumerate(row.keys, start=1):
                grid.addWidget(self.figures[form][key], number, column, 1, span)
        return page
