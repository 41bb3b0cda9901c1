"""The window that tells from where a body stands over a subject on a day."""

from __future__ import annotations

from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.where_from import (
    COLUMNS,
    GridAt,
    PlaceRow,
    WhereAsked,
    WhereContent,
    find_places,
)
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import ChoiceField, DateField, NumberField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sort_table import SortTable
from fieldtrip.errors import UserError
from fieldtrip.places.records import VantagePoint
from fieldtrip.sky.bodies import Body
from fieldtrip.trips.aligned_places import WantedSky
from fieldtrip.trips.dossier import by_id
from fieldtrip.wanted_words import BODIES

_JOB = "from where"
_OVER = ((False, "above the horizontal"), (True, "above the subject's top"))


class WhereFromDialog(QDialog):
    """Answers as soon as anything is changed; keeps nothing but what is added."""

    dayAsked = Signal(object, object)  # date and instant: go there
    positionAsked = Signal(object)  # Position: show it on the map
    addAsked = Signal(object)  # Position: add a vantage point there

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        grid_at: GridAt | None = None,
    ) -> None:
        super().__init__()
        self._library, self._selection = library, selection
        self._preferences, self._jobs, self._grid_at = preferences, jobs, grid_at
        dossier = library.dossier(selection.location_id)
        if dossier is None:
            raise UserError("Choose a location in the list first.")
        self.owner_id: UUID = dossier.location.id
        self.content: WhereContent | None = None
        self._rows: tuple[PlaceRow, ...] = ()
        self.setWindowTitle(f"From where, {dossier.location.name}")
        self.setModal(False)
        self.resize(860, 520)
        self._make_fields()
        self._lay_out()
        subject_id = selection.subject_id
        if subject_id is None and len(dossier.subjects) == 1:
            subject_id = dossier.subjects[0].id
        self.subject.set_value(subject_id)
        library.changed.connect(self.ask)
        preferences.changed.connect(self.ask)
        self.ask()

    def ask(self) -> None:
        """Look anew, in the background; close where the place is gone."""
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            self.reject()
            return
        self.subject.set_choices([(each.id, each.name) for each in dossier.subjects])
        trip = by_id(dossier.trips, self._selection.trip_id)
        sky = WantedSky(
            body=self.body.value,
            tolerance_deg=self.tolerance.value,
            altitude_min_deg=self.low.value,
            altitude_max_deg=self.high.value,
            over_top=bool(self.over.value),
        )
        asked = WhereAsked(
            dossier,
            self.subject.value,
            sky,
            self.day.value,
            1.0 if trip is None else trip.pace_factor,
            self._preferences.settings,
            self._grid_at,
        )
        self.heading.setText("Looking …")
        self._jobs.start(
            _JOB, find_places, asked, done=self.show_content, failed=self._say_failure
        )

    def show_content(self, content: WhereContent) -> None:
        """Put the answer into the table; decide nothing."""
        self.content, self._rows = content, content.rows
        self.heading.setText(content.heading)
        self.note.setText(content.note)
        self.table.show_rows(
            [row.texts for row in content.rows],
            [row.keys for row in content.rows],
            [row.hint for row in content.rows],
        )
        if content.rows:
            self.table.setCurrentCell(0, 0)
        self._offer()

    def go(self, place: int = -1) -> None:
        """Go to the minute, and look from there."""
        row = self._row(place)
        if row is None:
            return
        if row.vantage_point_id is not None:
            spot = self._library.get(VantagePoint, row.vantage_point_id)
            if spot is not None:
                self._selection.choose(spot, self.owner_id)
        self._selection.use(subject_id=self.subject.value)
        self.dayAsked.emit(self.day.value, row.best)
        self.positionAsked.emit(row.position)

    def add(self) -> None:
        """Make the place on a way a vantage point."""
        row = self._row(-1)
        if row is not None and row.vantage_point_id is None:
            self.addAsked.emit(row.position)

    def _row(self, place: int) -> PlaceRow | None:
        at = place if place >= 0 else self.table.chosen_row()
        return self._rows[at] if 0 <= at < len(self._rows) else None

    def _offer(self) -> None:
        row = self._row(-1)
        self.detail.setText("" if row is None else row.hint)
        self.go_button.setEnabled(row is not None)
        self.add_button.setEnabled(row is not None and row.vantage_point_id is None)

    def _say_failure(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_content(WhereContent(str(error)))

    def _make_fields(self) -> None:
        self.subject = ChoiceField("Over the subject", empty="choose")
        self.body = ChoiceField("What stands there", tuple(BODIES.items()))
        self.day = DateField("On", allow_empty=False)
        self.tolerance = NumberField("At most to either side", allow_empty=False)
        self.low = NumberField("From", allow_empty=False)
        self.high = NumberField("Up to", allow_empty=False)
        for field in (self.tolerance, self.low, self.high):
            field.set_unit("°")
        self.over = ChoiceField("Counted", _OVER)
        usual = WantedSky(body=Body.SUN)
        self.body.set_value(usual.body)
        self.day.set_value(self._selection.day)
        self.tolerance.set_value(usual.tolerance_deg)
        self.low.set_value(usual.altitude_min_deg)
        self.high.set_value(usual.altitude_max_deg)
        self.over.set_value(usual.over_top)
        self._fields = (
            self.subject,
            self.body,
            self.day,
            self.tolerance,
            self.low,
            self.high,
            self.over,
        )
        for each in self._fields:
            each.edited.connect(partial(self._take, each))
        self.heading = plain_label()
        self.heading.setProperty("type", "heading")
        self.note = plain_label(soft=True)
        self.detail = plain_label(soft=True)
        self.detail.setAccessibleName("Where it stands, seen from the chosen place")
        self.table = SortTable("Places from which it is seen", COLUMNS)
        self.table.rowChosen.connect(self.go)
        self.table.itemSelectionChanged.connect(self._offer)
        self.go_button = QPushButton("Look from there")
        self.go_button.setToolTip("Enter, in the table")
        self.go_button.clicked.connect(lambda: self.go())
        self.add_button = QPushButton("Add a vantage point there")
        self.add_button.clicked.connect(self.add)

    def _take(self, field: object, value: object) -> None:
        if field is self.tolerance and not _is_within(value, 0.001, 45.0):
            self.tolerance.show_fault("Write from 0.001 to 45 degrees.")
            return
        if field in (self.low, self.high) and not _is_within(value, -90.0, 90.0):
            (self.low if field is self.low else self.high).show_fault(
                "Write from −90 to 90 degrees."
            )
            return
        for each in self._fields:
            if each is field:
                each.set_value(value)
        self.ask()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        rows = (self._fields[:3], self._fields[3:])
        for row, beside in enumerate(rows):
            for column, field in enumerate(beside):
                cell = labelled(field.accessibleName(), field)
                grid.addWidget(cell, row, column)
                grid.setColumnStretch(column, 1)
        column_of_all = QVBoxLayout(self)
        column_of_all.addLayout(grid)
        column_of_all.addWidget(self.heading)
        column_of_all.addWidget(self.table, 1)
        column_of_all.addWidget(self.detail)
        column_of_all.addWidget(self.note)
        foot = QHBoxLayout()
        foot.addWidget(self.go_button)
        foot.addWidget(self.add_button)
        foot.addStretch(1)
        column_of_all.addLayout(foot)


def _is_within(value: object, low: float, high: float) -> bool:
    return isinstance(value, int | float) and low <= value <= high
