"""The window in which one says what a stop is for: light, sky, water, and how long."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.conditions_form import ConditionsForm
from fieldtrip.desktop.content.wanting import called_at
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import ChoiceField, NumberField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.trips.wanted import Condition

_MUSTS = ((True, "must be in the plan"), (False, "may be left out"))
_PINS = ((False, "as the plan has it"), (True, "stays as typed"))


class StopWantsDialog(QDialog):
    """Edits one stop in place; every finished edit is one step of undo."""

    datesAsked = Signal(object)  # the id of the stop whose dates are wanted

    def __init__(self, library: Library, stop: Stop, preferences: Preferences) -> None:
        super().__init__()
        self._library, self._preferences = library, preferences
        self.owner_id: UUID = stop.id
        self.setModal(False)
        self.resize(860, 520)
        self.heading = plain_label()
        self.heading.setProperty("type", "heading")
        self.hint = plain_label(soft=True)
        self.hint.setText(
            "The plan gives this stop time while everything below holds at once."
        )
        self.form = ConditionsForm(preferences.settings)
        self.form.changed.connect(self._store_conditions)
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.editor = RecordEditor(library, self)
        self.must = ChoiceField("This stop", _MUSTS)
        self.least = NumberField("Of that light, at least", allow_empty=False)
        self.wish = NumberField("and if possible", allow_empty=False)
        self.setup = NumberField("To set up before it", allow_empty=False)
        self.pin = ChoiceField("Its times", _PINS)
        for field in (self.least, self.wish, self.setup):
            field.set_unit("min")
        bind = self.editor.bind
        bind("is_must", self.must, "change whether a stop must be in the plan")
        bind("least_min", self.least, "change the least time at a stop")
        bind("wish_min", self.wish, "change the wished time at a stop")
        bind("setup_min", self.setup, "change the time to set up")
        bind("is_pinned", self.pin, "pin the times of a stop")
        self.dates_button = QPushButton("Find dates for it…")
        self.dates_button.clicked.connect(self._ask_for_dates)
        self.close_button = QPushButton("Close")
        self.close_button.clicked.connect(self.close)
        self._lay_out()
        library.changed.connect(self.refresh)
        preferences.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the stop as it is kept now; close where it is gone."""
        stop, dossier = self._found()
        if stop is None or dossier is None:
            self.reject()
            return
        spot = by_id(dossier.vantage_points, stop.vantage_point_id)
        name = "a vantage point that is gone" if spot is None else spot.name
        self.setWindowTitle(f"What the stop is for: {name}")
        self.heading.setText(f"Stop {stop.number}, {name}")
        called = called_at(dossier, stop.subject_id)
        self.form.show_conditions(stop.conditions, called, self._preferences.settings)
        self.dates_button.setEnabled(bool(stop.conditions))
        self.editor.show(stop)

    def closeEvent(self, event: QCloseEvent) -> None:
        """End all editing as if the fields were left."""
        self.form.finish()
        self.editor.finish()
        self.editor.keep_drafts()
        super().closeEvent(event)

    def _found(self) -> tuple[Stop | None, Dossier | None]:
        stop = self._library.get(Stop, self.owner_id)
        if stop is None:
            return None, None
        trip = self._library.get(Trip, stop.trip_id)
        at = None if trip is None else trip.location_id
        return stop, self._library.dossier(at)

    def _store_conditions(self, conditions: tuple[Condition, ...]) -> None:
        stop = self._library.get(Stop, self.owner_id)
        if stop is None or stop.conditions == conditions:
            return
        after = replace(stop, conditions=conditions)
        fault = ""
        try:
            self._library.change("change what a stop is for", [Change(stop, after)])
        except UserError as error:
            fault = str(error)
        self.fault.setText(fault)

    def _ask_for_dates(self) -> None:
        if self.form.finish() and self.editor.finish():
            self.datesAsked.emit(self.owner_id)

    def _lay_out(self) -> None:
        page = QWidget()
        inner = QVBoxLayout(page)
        inner.addWidget(self.form)
        inner.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setWidget(page)
        grid = QGridLayout()
        for column, field in enumerate(
            (self.must, self.least, self.wish, self.setup, self.pin)
        ):
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, 0, column, Qt.AlignmentFlag.AlignTop)
            is_choice = isinstance(field, ChoiceField)
            grid.setColumnStretch(column, 3 if is_choice else 2)
        length = QLabel("How long")
        length.setProperty("type", "heading")
        wanted = QLabel("What it needs")
        wanted.setProperty("type", "heading")
        column_of_all = QVBoxLayout(self)
        for widget in (self.heading, self.hint, wanted):
            column_of_all.addWidget(widget)
        column_of_all.addWidget(area, 1)
        column_of_all.addWidget(self.fault)
        column_of_all.addWidget(length)
        column_of_all.addLayout(grid)
        foot = QHBoxLayout()
        foot.addWidget(self.dates_button)
        foot.addStretch(1)
        foot.addWidget(self.close_button)
        column_of_all.addLayout(foot)
