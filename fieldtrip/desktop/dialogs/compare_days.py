"""The window in which a trip is planned for many days, to choose one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.compare_days import (
    COLUMNS,
    DayLine,
    DaysContent,
    compared,
    to_day,
    to_day_with_plan,
)
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import DateField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.plan_work import PlanWork
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sort_table import SortTable
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip
from fieldtrip.wording import date_text, short_date_text

_JOB = "compare days"
_A_MONTH = timedelta(days=29)
_WORST = COLUMNS.index("Worst finding")


class CompareDaysDialog(QDialog):
    """Plans one trip day by day; Enter moves the trip to the chosen one."""

    told = Signal(str)

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        work: PlanWork,
        *,
        now: Callable[[], datetime],
    ) -> None:
        super().__init__()
        self._library, self._selection = library, selection
        self._preferences, self._jobs = preferences, jobs
        self._work, self._now = work, now
        found = work.found()
        if found is None:
            raise UserError("Choose the trip to compare days for first.")
        dossier, trip = found
        self.owner_id: UUID = trip.id
        self._location_id = dossier.location.id
        self.content: DaysContent | None = None
        self._lines: Sequence[DayLine] = ()
        self._is_running = False
        self._writes = False  # while the change is this window's own
        self.setModal(False)
        self.resize(1180, 620)
        self._make()
        self._lay_out()
        self.first.set_value(trip.day)
        self.last.set_value(trip.day + _A_MONTH)
        library.changed.connect(self._follow)
        self._show_title(trip)
        self._set_busy(False)
        self._offer()

    def run(self) -> None:
        """Plan every day, with progress; a second run takes the first one's place."""
        found = self._found()
        if found is None or not (self.first.finish() and self.last.finish()):
            return
        dossier, trip = found
        self._set_busy(True)
        self.heading.setText("Being planned day by day…")
        self._jobs.start(
            _JOB,
            compared,
            dossier,
            trip,
            self.first.value,
            self.last.value,
            self._now(),
            self._work.asked(dossier, trip),
            self._preferences.settings,
            done=self.show_content,
            failed=self._say_failure,
            progressed=self._show_progress,
        )

    def cancel(self) -> None:
        """End a comparison that runs."""
        self._jobs.cancel(_JOB)
        self._set_busy(False)
        self.heading.setText("The comparison was ended.")

    def show_content(self, content: DaysContent) -> None:
        """Put the days into the table; decide nothing."""
        self._set_busy(False)
        self.content = content
        self._lines = content.lines
        self.heading.setText(content.heading)
        self.note.setText(content.note)
        self.table.show_rows(
            [line.texts for line in content.lines],
            [line.keys for line in content.lines],
            [line.hint for line in content.lines],
        )
        self.table.setColumnWidth(_WORST, min(self.table.columnWidth(_WORST), 280))
        if content.lines:
            self.table.setCurrentCell(0, 0)
            self.table.setFocus()
        self._offer()

    def go(self, place: int = -1) -> None:
        """Move the trip to the day of a line, as one step of undo, and show it."""
        line = self._line(place)
        if line is not None:
            day = line.day
            self._move(day, lambda dossier, trip: to_day(dossier, trip, day))

    def go_with_plan(self) -> None:
        """The same, with the plan of that day written down too."""
        line = self._line(-1)
        plan = None if line is None else line.row.plan
        if line is not None and plan is not None:
            day = line.day
            self._move(
                day,
                lambda dossier, trip: to_day_with_plan(dossier, trip, day, plan),
            )

    def closeEvent(self, event: QCloseEvent) -> None:
        """End a comparison that runs."""
        self._jobs.cancel(_JOB)
        self._is_running = False
        super().closeEvent(event)

    # Inside

    def _move(
        self, day: date, make: Callable[[Dossier, Trip], Sequence[Change]]
    ) -> None:
        found = self._found()
        if found is None:
            return
        dossier, trip = found
        self._writes = True
        try:
            self._library.change("move the trip to another day", make(dossier, trip))
        except UserError as error:
            self.heading.setText(str(error))
            return
        finally:
            self._writes = False
        moved = self._library.get(Trip, trip.id)
        self._selection.choose(moved, self._location_id)
        self.told.emit(f"“{trip.name}” is on {date_text(day)} now.")

    def _found(self) -> tuple[Dossier, Trip] | None:
        dossier = self._library.dossier(self._location_id)
        trip = None if dossier is None else by_id(dossier.trips, self.owner_id)
        return None if dossier is None or trip is None else (dossier, trip)

    def _follow(self) -> None:
        """Let an older answer go where something else was changed."""
        found = self._found()
        if found is None:
            self.reject()
            return
        self._show_title(found[1])
        if self._is_running or self._writes or self.content is None:
            return
        self.heading.setText("Something was changed since: compare again.")

    def _show_title(self, trip: Trip) -> None:
        day = short_date_text(trip.day)
        self.setWindowTitle(f"Compare days: {trip.name}, now on {day}")

    def _line(self, place: int) -> DayLine | None:
        at = place if place >= 0 else self.table.chosen_row()
        return self._lines[at] if 0 <= at < len(self._lines) else None

    def _offer(self) -> None:
        line = self._line(-1)
        self.go_button.setEnabled(line is not None)
        self.plan_button.setEnabled(line is not None and line.row.plan is not None)

    def _show_progress(self, share: float) -> None:
        """A share may still be on its way once the comparison was ended."""
        if self._is_running:
            self.progress.setValue(round(100 * share))

    def _set_busy(self, is_busy: bool) -> None:
        self._is_running = is_busy
        self.progress.setValue(0)
        self.progress.setVisible(is_busy)
        self.cancel_button.setVisible(is_busy)
        self.run_button.setEnabled(not is_busy)

    def _say_failure(self, error: Exception) -> None:
        self._set_busy(False)
        if not isinstance(error, UserError):
            raise error
        self.content, self._lines = None, ()
        self.table.show_rows([], [], [])
        self.heading.setText(str(error))
        self._offer()

    def _make(self) -> None:
        self.first = DateField("First day", allow_empty=False)
        self.last = DateField("Last day", allow_empty=False)
        for field in (self.first, self.last):
            field.edited.connect(field.set_value)
        self.run_button = QPushButton("Compare")
        self.run_button.setDefault(True)
        self.run_button.clicked.connect(self.run)
        self.cancel_button = QPushButton("Cancel")
        self.cancel_button.clicked.connect(self.cancel)
        self.progress = QProgressBar()
        self.progress.setTextVisible(False)
        self.heading = plain_label()
        self.heading.setProperty("type", "heading")
        self.heading.setText("The same stops, with the best plan of each day.")
        self.note = plain_label(soft=True)
        self.table = SortTable("Days and what the trip comes to on them", COLUMNS)
        self.table.rowChosen.connect(self.go)
        self.table.itemSelectionChanged.connect(self._offer)
        self.go_button = QPushButton("Move the trip there")
        self.go_button.setToolTip("Enter, in the table: its clock times stay.")
        self.go_button.setAutoDefault(False)
        self.go_button.clicked.connect(lambda: self.go())
        self.plan_button = QPushButton("Move it, with that day's plan")
        self.plan_button.setAutoDefault(False)
        self.plan_button.clicked.connect(self.go_with_plan)

    def _lay_out(self) -> None:
        asking = QHBoxLayout()
        asking.addWidget(labelled("First day", self.first))
        asking.addWidget(labelled("Last day", self.last))
        for widget in (self.run_button, self.cancel_button):
            asking.addWidget(widget)
        asking.addWidget(self.progress, 1)
        asking.addStretch(1)
        acts = QHBoxLayout()
        acts.addWidget(self.go_button)
        acts.addWidget(self.plan_button)
        acts.addStretch(1)
        column = QVBoxLayout(self)
        column.addLayout(asking)
        column.addWidget(self.heading)
        column.addWidget(self.table, 1)
        column.addWidget(self.note)
        column.addLayout(acts)
