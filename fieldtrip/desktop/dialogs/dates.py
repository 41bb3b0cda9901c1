"""The window in which one asks on which dates everything comes together."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.conditions_form import ConditionsForm
from fieldtrip.desktop.content.dates import (
    COLUMNS,
    MOST_SHOWN,
    NEAR_COLUMNS,
    Asked,
    DateRow,
    DatesContent,
    SkylineOf,
    find_dates,
    names_of,
    new_search,
    trip_on,
)
from fieldtrip.desktop.content.wanting import called_at, faults_of
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import ChoiceField, DateField, NumberField, TextField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sort_table import SortTable
from fieldtrip.errors import UserError
from fieldtrip.exchange.dates_calendar import dates_calendar
from fieldtrip.exchange.dates_csv import dates_csv
from fieldtrip.exchange.outgoing import write_whole
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import DateSearch
from fieldtrip.trips.wanted import Condition
from fieldtrip.trips.wanted_json import condition_from_json, condition_to_json
from fieldtrip.wanted_words import condition_text
from fieldtrip.wording import short_date_text

_JOB = "search for dates"
_DRAFT = "search for dates"
_NEW = "a new search"
_MOST_LINES = 6  # of how a date meets its conditions; more of them run on
_OLD = "Asked anew since: press Search. Before, it was: "


class DatesDialog(QDialog):
    """Asks one search at a time; kept ones are records, the rest is a draft."""

    dayAsked = Signal(object, object)  # date and instant: go there
    told = Signal(str)

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        today: Callable[[], date],
        now: Callable[[], datetime] | None = None,
        skyline_of: SkylineOf | None = None,
        search: DateSearch | None = None,
    ) -> None:
        super().__init__()
        self._library, self._selection = library, selection
        self._preferences, self._jobs, self._today = preferences, jobs, today
        self._now, self._skyline_of = now, skyline_of
        dossier = self._need_dossier(search)
        self.owner_id: UUID = dossier.location.id
        self.search = search or self._begun(dossier)
        self.answered = self.search  # what the table is the answer to
        self._answered_sea: UUID | None = None  # the trip whose sea it counts with
        self._asked = (self.search, self._answered_sea)
        self.content: DatesContent | None = None
        self.setWindowTitle(f"Find dates, {dossier.location.name}")
        self.setModal(False)
        self.resize(QSize(1080, 860).boundedTo(self.screen().availableSize()))
        self._make_fields()
        self._lay_out()
        library.changed.connect(self.refresh)
        preferences.changed.connect(self.refresh)
        self.refresh()

    # What is asked

    def refresh(self) -> None:
        """Show the search as it is asked now; close where its place is gone."""
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            self._jobs.cancel(_JOB)
            super().reject()
            return
        kept = by_id(dossier.searches, self.search.id)
        if kept is not None and kept != self.search and not self._is_changed:
            self.search = kept
        self.kept.set_choices(
            [(None, _NEW), *((each.id, each.name) for each in dossier.searches)]
        )
        self.kept.set_value(None if kept is None else kept.id)
        self.spot.set_choices(
            [(None, "anywhere here"), *((v.id, v.name) for v in dossier.vantage_points)]
        )
        self.subject.set_choices(
            [(None, "no subject"), *((s.id, s.name) for s in dossier.subjects)]
        )
        self.sea_of.set_choices(
            [(None, "not said"), *((t.id, t.name) for t in dossier.trips)]
        )
        for name, field in self._fields.items():
            field.set_value(getattr(self.search, name), keep_typing=True)
        self.form.show_conditions(
            self.search.conditions,
            called_at(dossier, self.search.subject_id),
            self._preferences.settings,
        )
        self.keep_button.setText("Keep this search" if kept is None else "Keep changes")
        self.keep_button.setEnabled(kept != self.search)
        self.remove_button.setEnabled(kept is not None)

    def run(self) -> None:
        """Search, with progress; a second search takes the place of the first."""
        fields = [self.form.finish(), *(f.finish() for f in self._fields.values())]
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            return
        faults = faults_of(
            self.form.conditions, called_at(dossier, self.search.subject_id)
        )
        if not self.form.conditions:
            faults = ["Add a condition first: say what the dates must bring."]
        elif not faults and not all(fields):
            faults = ["Put right what is marked above, and search again."]
        if faults:
            self._say_failure(UserError(" ".join(faults)))
            return
        self._asked = (self.search, self.sea_of.value)
        asked = Asked(
            dossier,
            self.search,
            self._preferences.settings,
            trip=by_id(dossier.trips, self.sea_of.value),
            skyline_of=self._skyline_of,
            now=None if self._now is None else self._now(),
        )
        self._set_busy(True)
        self.heading.setText("Searching …")
        self._jobs.start(
            _JOB,
            find_dates,
            asked,
            done=self.show_content,
            failed=self._say_failure,
            progressed=lambda share: self.progress.setValue(round(100 * share)),
        )

    def cancel(self) -> None:
        """End a search that runs."""
        self._jobs.cancel(_JOB)
        self._say_failure(UserError("The search was ended."))

    def show_content(self, content: DatesContent) -> None:
        """Put the answer into the table; decide nothing."""
        self._set_busy(False)
        self.content = content
        self.answered, self._answered_sea = self._asked
        self.said.setText("\n".join(content.said))
        self.said.setVisible(bool(content.said))
        self._rows = content.rows or content.near
        self.table.set_headings(COLUMNS if content.rows else NEAR_COLUMNS)
        self.table.show_rows(
            [row.texts for row in self._rows],
            [row.keys for row in self._rows],
            [row.hint for row in self._rows],
        )
        has_windows = bool(content.rows)
        for button in (self.csv_button, self.calendar_button):
            button.setEnabled(has_windows)
        if self._rows:
            self.table.setCurrentCell(0, 0)
            self.table.setFocus()  # Enter goes to the best day
        self._offer_row()
        self._show_heading()

    # Keeping

    def keep(self) -> None:
        """Keep the search in the library, as one step of undo."""
        if not all(f.finish() for f in self._fields.values()):
            return
        try:
            kept = self._library.get(DateSearch, self.search.id)
            if kept is None:
                self._library.add("keep a search for dates", self.search)
            else:
                self._library.edit("change a search for dates", kept, self.search)
        except UserError as error:
            self._say_failure(error)
            return
        self._drop_draft()
        self._is_changed = False
        self.refresh()

    def remove(self) -> None:
        """Take a kept search out of the library, as one step of undo."""
        kept = self._library.get(DateSearch, self.search.id)
        if kept is not None:
            self._is_changed = False
            self._library.remove("remove a search for dates", kept)
            self.turn_to(None)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what was asked as a draft, and end a search that runs."""
        self._leave()
        super().closeEvent(event)

    def reject(self) -> None:
        """Escape ends a search that runs, and else closes the window."""
        if self.cancel_button.isVisible():
            self.cancel()
        else:
            self._leave()
            super().reject()

    def _leave(self) -> None:
        self.form.finish()
        for field in self._fields.values():
            field.finish()
        self._keep_draft()
        self._jobs.cancel(_JOB)
        self._set_busy(False)

    # The rows

    def go(self, place: int = -1) -> None:
        """Go to the day of a line, and to its best minute."""
        row = self._row(place)
        if row is None:
            return
        self._selection.use(
            vantage_point_id=self.answered.vantage_point_id,
            subject_id=self.answered.subject_id,
        )
        self.dayAsked.emit(row.day, row.best)

    def make_trip(self) -> None:
        """A trip on the day of the chosen line, with a stop in its window."""
        row, dossier = self._row(-1), self._library.dossier(self.owner_id)
        if row is None or dossier is None:
            return
        made = trip_on(dossier, self.answered, row)
        try:
            if made is None:
                raise UserError(
                    "A trip needs a vantage point: choose one above, and search again."
                )
            self._library.add("add a trip on a found date", *made)
        except UserError as error:
            self.heading.setText(str(error))  # the answer stays
            return
        self._selection.choose(made[0], self.owner_id)
        trip = made[0]
        words = (
            f"“{trip.name}” was added on {short_date_text(trip.day)} {trip.day.year}."
        )
        self.heading.setText(words)
        self.told.emit(words)

    def save_csv(self, path: Path | None = None) -> None:
        """Write the windows as a table for other programs."""
        content, dossier = self.content, self._library.dossier(self.owner_id)
        if content is None or content.found is None or dossier is None:
            return
        names, settings = names_of(dossier), self._preferences.settings
        text = dates_csv(
            content.found,
            dossier.location.zone,
            lambda condition: condition_text(condition, names, settings),
        )
        self._save(path, "csv", "Table (*.csv)", text.encode())

    def save_calendar(self, path: Path | None = None) -> None:
        """Write the windows as entries of a calendar."""
        content, dossier = self.content, self._library.dossier(self.owner_id)
        if content is None or content.found is None or dossier is None:
            return
        if not content.rows:
            return  # near misses are no dates
        names, settings = names_of(dossier), self._preferences.settings
        search = self.answered
        place = by_id(dossier.vantage_points, search.vantage_point_id)
        at = dossier.location if place is None else place
        data = dates_calendar(
            content.found.windows[:MOST_SHOWN],
            at,
            f"{search.name}, {at.name}",
            lambda condition: condition_text(condition, names, settings),
            datetime.now(UTC) if self._now is None else self._now(),
        )
        self._save(path, "ics", "Calendar (*.ics)", data)

    def _save(self, path: Path | None, suffix: str, kinds: str, data: bytes) -> None:
        if path is None:
            name, _ = QFileDialog.getSaveFileName(
                self, "Save the dates", f"{self.search.name}.{suffix}", kinds
            )
            if not name:
                return
            path = Path(name)
            path = path if path.suffix else path.with_suffix(f".{suffix}")
        try:
            write_whole(path, data)
        except UserError as error:
            self.heading.setText(str(error))  # the answer stays
            return
        self.heading.setText(f"The dates were written to {path}.")
        self.told.emit(f"The dates were written to {path}.")

    # Inside

    _is_changed = False
    _rows: tuple[DateRow, ...] = ()

    def _need_dossier(self, search: DateSearch | None) -> Dossier:
        at = search.location_id if search else self._selection.location_id
        dossier = self._library.dossier(at)
        if dossier is None:
            raise UserError("Dates belong to a location: choose one in the list first.")
        return dossier

    def _begun(self, dossier: Dossier) -> DateSearch:
        """What was being asked here before, or a kept search, or a new one."""
        text = self._library.store.drafts().get((dossier.location.id, _DRAFT))
        if text is not None:
            drafted = _read_draft(text, dossier)
            if drafted is not None:
                self._is_changed = True
                return drafted
        selection = self._selection
        own = [
            each
            for each in dossier.searches
            if each.vantage_point_id == selection.vantage_point_id
        ]
        if own:
            return own[0]
        return new_search(
            dossier, self._today(), selection.vantage_point_id, selection.subject_id
        )

    def turn_to(self, search_id: UUID | None) -> None:
        """Show a kept search, or begin a new one."""
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            return
        found = by_id(dossier.searches, search_id)
        selection = self._selection
        self.search = found or new_search(
            dossier, self._today(), selection.vantage_point_id, selection.subject_id
        )
        self._is_changed = False
        self._drop_draft()
        self._forget_answer()
        self.refresh()

    def take(self, search: DateSearch, trip_id: UUID | None = None) -> None:
        """Show a search that is not kept, with the sea of a trip, to be asked."""
        self.search = search
        self.sea_of.set_value(trip_id)
        self._is_changed = True
        self._keep_draft()
        self._forget_answer()
        self.refresh()

    def _change(self, **values: Any) -> None:
        self.search = replace(self.search, **values)
        self._is_changed = True
        self._keep_draft()
        self.refresh()
        self._show_heading()

    def _keep_draft(self) -> None:
        if not self._is_changed:
            return
        try:
            self._library.store.keep_draft(
                self.owner_id, _DRAFT, _write_draft(self.search)
            )
        except UserError:
            return  # a library that is open for reading only

    def _drop_draft(self) -> None:
        try:
            self._library.store.drop_draft(self.owner_id, _DRAFT)
        except UserError:
            return  # a library that is open for reading only

    def _row(self, place: int) -> DateRow | None:
        at = place if place >= 0 else self.table.chosen_row()
        return self._rows[at] if 0 <= at < len(self._rows) else None

    def _offer_row(self) -> None:
        row = self._row(-1)
        self.go_button.setEnabled(row is not None)
        hint = "" if row is None else row.hint
        if hint.count("\n") >= _MOST_LINES:
            hint = hint.replace("\n", " · ")
        self.detail.setText(hint)
        self.detail.setVisible(row is not None)
        has_windows = self.content is not None and bool(self.content.rows)
        self.trip_button.setEnabled(row is not None and has_windows)

    def _set_busy(self, is_busy: bool) -> None:
        self.progress.setValue(0)
        self.progress.setVisible(is_busy)
        self.cancel_button.setVisible(is_busy)
        self.run_button.setEnabled(not is_busy)

    def _say_failure(self, error: Exception) -> None:
        self._set_busy(False)
        if not isinstance(error, UserError):
            raise error
        self._forget_answer()
        self.heading.setText(str(error))

    def _forget_answer(self) -> None:
        self._jobs.cancel(_JOB)
        self._set_busy(False)
        self.content = None
        self._rows = ()
        self.table.show_rows([], [], [])
        self.said.hide()
        self.heading.setText("")
        for button in (self.csv_button, self.calendar_button):
            button.setEnabled(False)
        self._offer_row()

    def _show_heading(self) -> None:
        """What was found; once more is asked, that it answers the older question."""
        content = self.content
        if content is None:
            return
        now = (replace(self.search, name=self.answered.name), self.sea_of.value)
        old = "" if now == (self.answered, self._answered_sea) else _OLD
        self.heading.setText(f"{old}{content.heading}")

    def _make_fields(self) -> None:
        self.kept = ChoiceField("Kept searches")
        self.name = TextField("Name of this search")
        self.spot = ChoiceField("Seen from", empty="no longer there")
        self.subject = ChoiceField("Subject", empty="no longer there")
        self.first = DateField("First day", allow_empty=False)
        self.last = DateField("Last day", allow_empty=False)
        self.least = NumberField("Lasting at least", allow_empty=False)
        self.least.set_unit("min")
        self.sea_of = ChoiceField("Sea and pace as on the trip")
        self.sea_of.set_value(None)
        self._fields = {
            "name": self.name,
            "vantage_point_id": self.spot,
            "subject_id": self.subject,
            "first_day": self.first,
            "last_day": self.last,
            "least_min": self.least,
        }
        for attribute, field in self._fields.items():
            field.edited.connect(lambda value, a=attribute: self._change(**{a: value}))
        self.kept.edited.connect(self.turn_to)
        self.sea_of.edited.connect(self._take_sea)
        self.form = ConditionsForm(self._preferences.settings)
        self.form.changed.connect(self._take_conditions)
        self.run_button = QPushButton("Search")
        self.run_button.setDefault(True)
        self.run_button.clicked.connect(self.run)
        self.cancel_button = QPushButton("Cancel")
        self.cancel_button.clicked.connect(self.cancel)
        self.progress = QProgressBar()
        self.progress.setTextVisible(False)
        self.keep_button = QPushButton("Keep this search")
        self.keep_button.clicked.connect(self.keep)
        self.remove_button = QPushButton("Remove it")
        self.remove_button.clicked.connect(self.remove)
        self.heading = plain_label()
        self.heading.setProperty("type", "heading")
        self.said = plain_label(soft=True)
        self.detail = plain_label(soft=True)
        self.detail.setAccessibleName("How the chosen date meets each condition")
        self.table = SortTable("Dates that were found", COLUMNS)
        self.table.rowChosen.connect(self.go)
        self.table.itemSelectionChanged.connect(self._offer_row)
        self.go_button = QPushButton("Go to this day")
        self.go_button.setToolTip("Enter, in the table")
        self.go_button.clicked.connect(lambda: self.go())
        self.trip_button = QPushButton("Draft a trip")
        self.trip_button.clicked.connect(self.make_trip)
        self.csv_button = QPushButton("Save as table…")
        self.csv_button.clicked.connect(lambda: self.save_csv())
        self.calendar_button = QPushButton("Save as calendar…")
        self.calendar_button.clicked.connect(lambda: self.save_calendar())
        key = QShortcut(QKeySequence("Ctrl+Return"), self)
        key.activated.connect(self.run)
        self._set_busy(False)

    def _take_sea(self, trip_id: UUID | None) -> None:
        self.sea_of.set_value(trip_id)
        self._show_heading()

    def _take_conditions(self, conditions: tuple[Condition, ...]) -> None:
        if conditions != self.search.conditions:
            self._change(conditions=conditions)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        cells = (self.kept, self.name, self.spot, self.subject)
        for column, field in enumerate(cells):
            grid.addWidget(labelled(field.accessibleName(), field), 0, column)
        for column, field in enumerate(
            (self.first, self.last, self.least, self.sea_of)
        ):
            grid.addWidget(labelled(field.accessibleName(), field), 1, column)
        page = QWidget()
        inner = QVBoxLayout(page)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.form)
        inner.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setWidget(page)
        asking = QHBoxLayout()
        for widget in (self.run_button, self.cancel_button):
            asking.addWidget(widget)
        asking.addWidget(self.progress, 1)
        asking.addStretch(1)
        for widget in (self.keep_button, self.remove_button):
            asking.addWidget(widget)
        top = QWidget()
        above = QVBoxLayout(top)
        above.setContentsMargins(0, 0, 0, 6)
        above.addLayout(grid)
        wanted = QLabel("What the dates must bring")
        wanted.setProperty("type", "heading")
        above.addWidget(wanted)
        above.addWidget(area, 1)
        above.addLayout(asking)
        bottom = QWidget()
        below = QVBoxLayout(bottom)
        below.setContentsMargins(0, 6, 0, 0)
        below.addWidget(self.heading)
        below.addWidget(self.said)
        below.addWidget(self.table, 1)
        below.addWidget(self.detail)
        acts = QHBoxLayout()
        for button in (self.go_button, self.trip_button):
            acts.addWidget(button)
        acts.addStretch(1)
        for button in (self.csv_button, self.calendar_button):
            acts.addWidget(button)
        below.addLayout(acts)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(top)
        split.addWidget(bottom)
        split.setSizes([400, 440])
        split.setChildrenCollapsible(False)
        column_of_all = QVBoxLayout(self)
        column_of_all.addWidget(split, 1)
        for button in (self.csv_button, self.calendar_button):
            button.setEnabled(False)
        self._offer_row()


def _write_draft(search: DateSearch) -> str:
    return json.dumps(
        {
            "id": str(search.id),
            "name": search.name,
            "first_day": search.first_day.isoformat(),
            "last_day": search.last_day.isoformat(),
            "vantage_point_id": _id_text(search.vantage_point_id),
            "subject_id": _id_text(search.subject_id),
            "least_min": search.least_min,
            "conditions": [condition_to_json(each) for each in search.conditions],
        }
    )


def _read_draft(text: str, dossier: Dossier) -> DateSearch | None:
    """What was being asked; None where it can no longer be read."""
    try:
        kept = json.loads(text)
        return DateSearch(
            id=UUID(kept["id"]),
            location_id=dossier.location.id,
            name=str(kept["name"]),
            first_day=date.fromisoformat(kept["first_day"]),
            last_day=date.fromisoformat(kept["last_day"]),
            vantage_point_id=_id_of(kept["vantage_point_id"]),
            subject_id=_id_of(kept["subject_id"]),
            least_min=float(kept["least_min"]),
            conditions=tuple(condition_from_json(each) for each in kept["conditions"]),
        )
    except (ValueError, KeyError, TypeError, UserError):
        return None


def _id_text(record_id: UUID | None) -> str | None:
    return None if record_id is None else str(record_id)


def _id_of(text: str | None) -> UUID | None:
    return None if text is None else UUID(text)
