"""The part of the trip page about its gates, its day from door to door, and help."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from itertools import pairwise
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.almanac.day_plan import DayPlan
from fieldtrip.desktop.content.trip_day import (
    TripDayContent,
    TripDayWords,
    gates_by_the_day,
    moved_gate,
    new_gate,
    trip_day_content,
    trip_day_words,
    without_gate,
)
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    LongTextField,
    NumberField,
    TextField,
    TimeField,
)
from fieldtrip.desktop.gate_rows import GateLine
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Gate, Trip

_JOB = "trip day"


def _utc_now() -> datetime:
    return datetime.now(UTC)


class TripDayPanel(Panel):
    """Edits in place; what is reckoned from the plan follows a moment later."""

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        now: Callable[[], datetime] = _utc_now,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._now = now
        self._theme = LIGHT
        self._content: TripDayContent | None = None
        self._words: TripDayWords | None = None
        self.gate_lines: dict[UUID, GateLine] = {}
        self.editor = RecordEditor(library, self)
        self._make_fields()
        self._lay_out()
        self.follow(library.changed, selection.changed, preferences.changed)

    def set_theme(self, theme: Theme) -> None:
        """Colour what the style sheet cannot know."""
        self._theme = theme
        for line in self.gate_lines.values():
            line.set_theme(theme)

    def finish(self) -> bool:
        """End all editing as if the fields were left; False where a fault stays."""
        lines = tuple(self.gate_lines.values())
        done = [self.editor.finish(), *(line.editor.finish() for line in lines)]
        self.editor.keep_drafts()
        for line in lines:
            line.editor.keep_drafts()
        return all(done)

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        order: list[QWidget] = []
        for gate in self._content.gates if self._content is not None else ():
            order += self.gate_lines[gate.id].chain()
        order += [self.add_gate, self.by_the_day]
        return [*order, *(field.focusProxy() or field for field in self._fields)]

    def refresh(self) -> None:
        """Show the fields as kept now; reckon the rest in the background."""
        found = self._found()
        if found is None:
            self._jobs.cancel(_JOB)
            self._show(None)
            return
        dossier, trip = found
        self._show(trip_day_content(dossier, trip))
        if self._words is not None and self._words.trip_id != trip.id:
            self._show_words(None)
        self._jobs.start(
            _JOB,
            trip_day_words,
            dossier,
            trip,
            self._now(),
            self._preferences.settings,
            done=self._show_words,
            failed=self._show_failure,
            is_urgent=True,
        )

    def _show(self, content: TripDayContent | None) -> None:
        self._content = content
        gates = () if content is None else content.gates
        self._show_lines(gates)
        if content is None:
            self.editor.show(None)
            return
        self.start.set_choices(content.places)
        self.end.set_choices(content.ends)
        self.meeting.set_choices(content.meetings)
        self.wake.set_day(content.trip.day, content.zone)
        self.editor.show(content.trip)
        for gate in gates:
            self.gate_lines[gate.id].show_gate(gate, content)
        self.gates_hint.setText(content.gates_hint)
        self.gates_hint.setVisible(bool(content.gates_hint))
        self.places_hint.setText(content.places_hint)
        self.places_hint.setVisible(bool(content.places_hint))
        order = self.chain()
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def _show_words(self, words: TripDayWords | None) -> None:
        self._words = words
        known = {} if words is None else {one.gate.id: one for one in words.gates}
        for gate_id, line in self.gate_lines.items():
            line.show_words(known.get(gate_id))
        self.by_the_day.setVisible(words is not None and not words.is_ordered)
        self._show_day(None if words is None else words.day)

    def _show_day(self, day: DayPlan | None) -> None:
        while (item := self._steps.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        for row, step in enumerate(() if day is None else day.steps):
            for column, text in enumerate((step.when, step.what, step.length)):
                label = _plain(text, soft=column == 2)
                self._steps.addWidget(label, row, column)
        self.awake.setText("" if day is None else day.awake)
        said = () if day is None else (*day.places, day.unsaid)
        self.unsaid.setText(" ".join(text for text in said if text))

    def _show_failure(self, error: Exception) -> None:
        """Never leave an older answer standing where there is none."""
        self._show_words(None)
        if not isinstance(error, UserError):
            raise error
        self.unsaid.setText(str(error))

    def _show_lines(self, gates: Sequence[Gate]) -> None:
        """Keep the line of a gate that is still there, with what is typed in it."""
        wanted = [gate.id for gate in gates]
        for gate_id in [known for known in self.gate_lines if known not in wanted]:
            line = self.gate_lines.pop(gate_id)
            line.editor.show(None)  # keeps drafts
            self._gates.removeWidget(line)
            line.hide()
            line.deleteLater()
        for place, gate_id in enumerate(wanted):
            if gate_id not in self.gate_lines:
                self.gate_lines[gate_id] = self._new_line(gate_id)
            line = self.gate_lines[gate_id]
            if self._gates.indexOf(line) != place:
                self._gates.removeWidget(line)
                self._gates.insertWidget(place, line)
            line.set_theme(self._theme)

    def _new_line(self, gate_id: UUID) -> GateLine:
        line = GateLine(self._library)
        line.show_words(None)
        line.moveAsked.connect(lambda by: self._move(gate_id, by))
        line.removeAsked.connect(lambda: self._remove(gate_id))
        return line

    def _found(self) -> tuple[Dossier, Trip] | None:
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            return None
        trip = by_id(dossier.trips, self._selection.trip_id)
        return None if trip is None else (dossier, trip)

    def _do(self, text: str, make: Callable[[Dossier, Trip], Sequence[Change]]) -> None:
        """Make changes to the chosen trip; say in words if they are refused."""
        found = self._found()
        if found is None:
            return
        fault = ""
        try:
            self._library.change(text, make(*found))
        except UserError as error:
            fault = str(error)
        self.fault.setText(fault)
        self.fault.setVisible(bool(fault))

    def add(self) -> None:
        """Add a gate where the plan has none yet, ready to be named."""
        made: list[Gate] = []

        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            made.append(new_gate(dossier, trip))
            return [Change(None, made[0])]

        self._do("add gate", make)
        if made and made[0].id in self.gate_lines:
            line = self.gate_lines[made[0].id]
            line.name.line.selectAll()
            line.name.setFocus()

    def _move(self, gate_id: UUID, by: int) -> None:
        self._do(
            "change the order of the gates",
            lambda dossier, trip: moved_gate(dossier.gates_of(trip), gate_id, by),
        )

    def _order(self) -> None:
        self._do(
            "put the gates in the order of the day",
            lambda dossier, trip: gates_by_the_day(dossier, trip, self._now()),
        )

    def _remove(self, gate_id: UUID) -> None:
        removal_of = self._library.store.removal_of

        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            gates = dossier.gates_of(trip)
            gate = by_id(gates, gate_id)
            return [] if gate is None else without_gate(gates, gate, removal_of(gate))

        self._do("remove gate", make)

    def _make_fields(self) -> None:
        a_day = self._selection.day
        self.start = ChoiceField("Start from", empty="no longer there")
        self.end = ChoiceField("End at", empty="no longer there")
        self.meeting = ChoiceField("Meet at", empty="no longer there")
        self.wake = TimeField("Driver up at", a_day, "UTC")
        self.drive_out = NumberField("Drive out", "min")
        self.kit_up = NumberField("Kit up", "min")
        self.drive_back = NumberField("Drive back", "min")
        self.car = TextField("Car", "make, colour and plate")
        self.alarm_with = TextField(
            "Alarm with", "whom the contact calls, as in: coastguard, 112"
        )
        self.kit = LongTextField("Kit", "a thing a line", lines=3)
        self.kit.box.setMaximumHeight(self.kit.box.minimumHeight() * 2)
        for field, tip in (
            (self.wake, "As in 05:10. What counts is who drives home."),
            (self.drive_out, "From the door to the start, in minutes."),
            (self.kit_up, "From the car to the first step, in minutes."),
            (self.drive_back, "From the end to the door, in minutes."),
            (self.meeting, "Where help or company is met."),
        ):
            field.setToolTip(tip)
        bind = self.editor.bind
        bind("start_place_id", self.start, "change where the trip starts")
        bind("end_place_id", self.end, "change where the trip ends")
        bind("meeting_place_id", self.meeting, "change where one meets")
        bind("wake", self.wake, "change when the driver gets up")
        bind("drive_out_min", self.drive_out, "change the drive out")
        bind("kit_up_min", self.kit_up, "change the time to kit up")
        bind("drive_back_min", self.drive_back, "change the drive back")
        bind("car", self.car, "change the car")
        bind("alarm_with", self.alarm_with, "change whom the alarm goes to")
        bind("kit", self.kit, "change the kit")
        self._fields: tuple[Field, ...] = (
            self.start, self.end, self.meeting, self.wake, self.drive_out, self.kit_up,
            self.drive_back, self.car, self.alarm_with, self.kit,
        )  # fmt: skip
        self.add_gate = QPushButton("Add gate")
        self.add_gate.clicked.connect(self.add)
        self.by_the_day = QPushButton("Put in the order of the day")
        self.by_the_day.clicked.connect(self._order)
        self.by_the_day.hide()
        self.gates_hint, self.places_hint = _plain(soft=True), _plain(soft=True)
        self.awake, self.unsaid = _plain(), _plain(soft=True)
        self.fault = _plain()
        self.fault.setProperty("fault", True)
        self.fault.hide()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self._gates = QVBoxLayout()
        self._gates.setSpacing(2)
        foot = QHBoxLayout()
        foot.addWidget(self.add_gate)
        foot.addWidget(self.by_the_day)
        foot.addWidget(self.gates_hint, 1)
        foot.addStretch(0)
        column.addWidget(_heading("Gates"))
        column.addLayout(self._gates)
        column.addLayout(foot)
        column.addWidget(self.fault)
        column.addWidget(_heading("From door to door"))
        column.addLayout(
            _grid((self.start, self.end, self.meeting, self.wake,
                   self.drive_out, self.kit_up, self.drive_back))
        )  # fmt: skip
        column.addWidget(self.places_hint)
        self._steps = QGridLayout()
        self._steps.setHorizontalSpacing(18)
        self._steps.setVerticalSpacing(1)
        self._steps.setColumnStretch(3, 1)
        column.addLayout(self._steps)
        column.addWidget(self.awake)
        column.addWidget(self.unsaid)
        column.addWidget(_heading("For those who wait or look"))
        column.addLayout(_grid((self.car, self.alarm_with), columns=2))
        column.addWidget(labelled("Kit", self.kit))


def _grid(fields: Sequence[Field], columns: int = 4) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(12)
    grid.setVerticalSpacing(6)
    for place, field in enumerate(fields):
        cell = labelled(field.accessibleName(), field)
        row, column = divmod(place, columns)
        grid.addWidget(cell, row, column, Qt.AlignmentFlag.AlignTop)
    for column in range(columns):
        grid.setColumnStretch(column, 1)
    return grid


def _heading(words: str) -> QLabel:
    heading = QLabel(words)
    heading.setProperty("type", "heading")
    return heading


def _plain(text: str = "", *, soft: bool = False) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setProperty("soft", soft)
    return label
