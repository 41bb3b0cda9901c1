"""The window in which one chooses what comes in from files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import available_timezones

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.incoming import (
    Reading,
    Row,
    Target,
    all_edits,
    asks_zone,
    choices_of,
    default_target,
    done_words,
    faults_of,
    new_target,
    preview,
    read_all,
    remarks_of,
    rows_of,
    step_text,
    summary,
)
from fieldtrip.desktop.content.map_layers import NOTHING
from fieldtrip.desktop.fields import ZoneField
from fieldtrip.desktop.import_table import ImportTable
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.exchange.incoming import Edit, edits
from fieldtrip.store.store import Change
from fieldtrip.times import local_date

_PAUSE_MS = 200
_NEW, _ASK, _LEAVE_OUT = "new", "ask", "leave out"


class ImportDialog(QDialog):
    """Reads in the background; what is ticked comes in as one step of undo."""

    previewed = Signal(object)  # FeatureCollection: what would come in, for the map
    told = Signal(str)  # a sentence for the status line
    taken = Signal(object)  # UUID of the location that things went to

    def __init__(
        self,
        library: Library,
        preferences: Preferences,
        jobs: Jobs,
        paths: Sequence[Path],
        *,
        location_id: UUID | None,
        now: Callable[[], Any],
    ) -> None:
        super().__init__()
        self._library = library
        self._preferences = preferences
        self._jobs = jobs
        self._chosen_id = location_id
        self._now = now
        # Names of its own: a second such window does not end what this one reads.
        self._jobs_of_mine = f"read files {id(self)}", f"look for twins {id(self)}"
        self._target: Target | None = None
        self._target_fault = ""
        self._is_finding = False
        self.readings: tuple[Reading, ...] = ()
        self.setWindowTitle("Take in from files")
        self.setModal(False)
        self.resize(1000, 560)
        self._make()
        self._lay_out()
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_PAUSE_MS)
        self._later.timeout.connect(self._show_preview)
        self._read(paths)

    @property
    def rows(self) -> tuple[Row, ...]:
        """What stands in the table."""
        return self.table.choices.rows

    def take_in(self) -> None:
        """Store what is ticked as one step of undo, and close."""
        self._check()
        if not self.take_button.isEnabled() or self._target is None:
            return
        try:
            made = all_edits(self._target, self._made())
            self._library.change(
                step_text(self.rows), [Change(before, after) for before, after in made]
            )
        except UserError as error:
            self._show_faults((str(error),))
            return
        self.told.emit(done_words(made))
        self.taken.emit(self._target.dossier.location.id)
        self.accept()

    def done(self, result: int) -> None:
        """Close, stop what is running, and clear the map."""
        for job in self._jobs_of_mine:
            self._jobs.cancel(job)
        self._later.stop()
        self.previewed.emit(NOTHING)
        super().done(result)

    def _make(self) -> None:
        self.into = QComboBox()
        self.into.setAccessibleName("Where it goes")
        self.into.activated.connect(lambda _: self._find_rows())
        self.zone = ZoneField(
            "Time zone of the new location", sorted(available_timezones())
        )
        self.zone.edited.connect(self.zone.set_value)
        self.zone.edited.connect(lambda _: self._settle_zone())
        # While names are offered, Enter goes to the box, not to its line.
        self.zone.combo.left.connect(self.zone.finish)
        self.photo_zone = QComboBox()
        self.photo_zone.setAccessibleName("Zone of the photographs’ clock")
        self.photo_zone.activated.connect(lambda _: self._check())
        self.table = ImportTable()
        self.table.choices.edited.connect(self._check)
        self.progress = QProgressBar()
        self.progress.setRange(0, 1000)
        self.progress.setTextVisible(False)
        self.cancel_button = QPushButton("Stop reading")
        self.cancel_button.clicked.connect(self.reject)
        self.summary, self.remarks, self.faults = QLabel(), QLabel(), QLabel()
        self.summary.setProperty("soft", True)
        self.remarks.setProperty("accent", True)
        self.faults.setProperty("fault", True)
        self.faults.setAccessibleName("What is missing or wrong")
        self.take_button = QPushButton("Take in")
        self.take_button.clicked.connect(self.take_in)
        self.all_button = QPushButton("Tick all")
        self.all_button.clicked.connect(partial(self.table.choices.tick_all, True))
        self.none_button = QPushButton("Tick none")
        self.none_button.clicked.connect(partial(self.table.choices.tick_all, False))
        self.close_button = QPushButton("Close")
        self.close_button.clicked.connect(self.reject)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        self.form = QFormLayout()
        self.form.addRow("Goes into", self.into)
        self.form.addRow("Time zone of the new location", self.zone)
        self.form.addRow("Zone of the photographs’ clock", self.photo_zone)
        column.addLayout(self.form)
        reading = QHBoxLayout()
        reading.addWidget(self.progress, 1)
        reading.addWidget(self.cancel_button)
        column.addLayout(reading)
        hint = QLabel(
            "Space ticks a line. F2 or a double click changes its name, as what it "
            "comes in, and what becomes of a thing that is there already."
        )
        hint.setProperty("soft", True)
        hint.setWordWrap(True)
        column.addWidget(hint)
        column.addWidget(self.table, 1)
        for label in (self.summary, self.remarks, self.faults):
            label.setWordWrap(True)
            column.addWidget(label)
        buttons = QHBoxLayout()
        for button in (self.all_button, self.none_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        for button in (self.close_button, self.take_button):
            buttons.addWidget(button)
        column.addLayout(buttons)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)

    # Reading

    def _read(self, paths: Sequence[Path]) -> None:
        self._show_reading(True)
        self._jobs.start(
            self._jobs_of_mine[0],
            read_all,
            tuple(paths),
            done=self._show_readings,
            progressed=self._show_progress,
        )

    def _show_reading(self, is_reading: bool) -> None:
        self.progress.setVisible(is_reading)
        self.cancel_button.setVisible(is_reading)
        for widget in (self.into, self.zone, self.photo_zone):
            self.form.setRowVisible(widget, False)
        self.take_button.setEnabled(False)
        self._show_faults(())
        self.remarks.hide()
        self.summary.setText("Reading…" if is_reading else "")

    def _show_readings(self, readings: tuple[Reading, ...]) -> None:
        """Everything is read: ask where it goes, and show it."""
        self._show_reading(False)
        self.readings = readings
        self._offer_targets()
        self._offer_zones()
        remarks = remarks_of(readings)
        self.remarks.setText("\n".join(remarks))
        self.remarks.setVisible(bool(remarks))
        self._find_rows()

    def _offer_targets(self) -> None:
        has_any = any(reading.found is not None for reading in self.readings)
        self.form.setRowVisible(self.into, has_any)
        self.into.clear()
        locations = self._library.store.locations()
        for location in locations:
            self.into.addItem(location.name, location.id)
        self.into.addItem("a new location", _NEW)
        wanted = default_target(self.readings, locations, self._chosen_id)
        ids = [location.id for location in locations]
        self.into.setCurrentIndex(ids.index(wanted) if wanted in ids else len(ids))

    def _offer_zones(self) -> None:
        count = asks_zone(self.readings)
        self.form.setRowVisible(self.photo_zone, count > 0)
        self.photo_zone.clear()
        self.photo_zone.addItem("choose", _ASK)
        self.photo_zone.addItem("that of the location", _NEW)
        self.photo_zone.addItem("UTC", "Etc/UTC")
        self.photo_zone.addItem("not known: leave the times out", _LEAVE_OUT)

    # Choosing

    def _find_rows(self) -> None:
        """Look, in the background, for what is there already."""
        self._target, self._target_fault = None, ""
        if any(reading.found is not None for reading in self.readings):
            try:
                self._target = self._chosen_target()
            except UserError as error:
                self._target_fault = str(error)
                self._target = self._waiting_target()
        if self._target is None:
            self._show_rows(())
            return
        self._is_finding = True
        self.take_button.setEnabled(False)
        if self._target_fault:
            self._show_faults((self._target_fault,))
        self._jobs.start(
            self._jobs_of_mine[1],
            rows_of,
            self.readings,
            self._target,
            done=self._show_rows,
            progressed=self._show_progress,
        )

    def _chosen_target(self) -> Target:
        locations = tuple(self._library.store.locations())
        row = self.into.currentIndex()
        if row < len(locations):
            dossier = self._library.dossier(locations[row].id)
            if dossier is None:
                raise UserError("That location is no longer in the library.")
            self.form.setRowVisible(self.zone, False)
            return Target(dossier, is_new=False, locations=locations)
        try:
            zone = self.zone.read() or None
            target = new_target(self.readings, locations, zone)
        except UserError:
            self.form.setRowVisible(self.zone, True)
            raise
        return target

    def _waiting_target(self) -> Target | None:
        """A new location to show things for; its fault keeps it from being made."""
        locations = tuple(self._library.store.locations())
        if self.into.currentIndex() < len(locations):
            return None
        try:
            return new_target(self.readings, locations, "UTC")
        except UserError:
            return None

    def _settle_zone(self) -> None:
        """Give the new location its zone; what was chosen in the table stays."""
        target = self._target
        zone = self.zone.read()
        if target is None or not target.is_new or self._is_finding or not zone:
            self._find_rows()
            return
        location = replace(target.dossier.location, zone=zone)
        dossier = replace(target.dossier, location=location)
        self._target, self._target_fault = replace(target, dossier=dossier), ""
        self._show_rows(self.rows)

    def _show_progress(self, share: float) -> None:
        self.progress.setValue(round(1000 * share))

    def _show_rows(self, rows: tuple[Row, ...]) -> None:
        self._is_finding = False
        self.table.choices.show_rows(rows, self._target, self._preferences.settings)
        self._check()

    def _check(self) -> None:
        """Say how much comes in, and what is still open."""
        is_open = asks_zone(self.readings) > 0 and self.photo_zone.currentIndex() == 0
        faults = faults_of(self.readings, self.rows, is_open)
        if self._target_fault:
            faults = (*faults, self._target_fault)
        unread = sum(reading.found is None for reading in self.readings)
        self._show_faults(faults)
        self.summary.setText(summary(self.rows, self._target))
        is_sound = len(faults) == unread  # a file that cannot be read is left out
        is_any = any(row.is_taken for row in self.rows)
        self.take_button.setEnabled(is_sound and is_any and self._target is not None)
        self._later.start()

    def _made(self) -> tuple[Edit, ...]:
        assert self._target is not None
        zone = self._target.dossier.location.zone
        photo_zone = {_NEW: zone, "Etc/UTC": "Etc/UTC"}.get(
            str(self.photo_zone.currentData())
        )
        return edits(
            choices_of(self.rows),
            self._target.dossier,
            self._today(zone),
            photo_zone,
            self._target.locations,
        )

    def _today(self, zone: str) -> date:
        return local_date(self._now(), zone)

    def _show_preview(self) -> None:
        """Draw what would come in on the map; nothing while something is wrong."""
        if self._target is None or not self.take_button.isEnabled():
            self.previewed.emit(NOTHING)
            return
        try:
            made = self._made()
        except UserError as error:
            self._show_faults((str(error),))
            self.take_button.setEnabled(False)
            return
        self.previewed.emit(preview(self._target, made, self._preferences.settings))

    def _show_faults(self, faults: Sequence[str]) -> None:
        self.faults.setText("\n".join(faults))
        self.faults.setVisible(bool(faults))
