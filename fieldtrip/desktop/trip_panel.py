"""The page on which a trip is drafted: what holds for it, its stops and its walks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any, TypeVar
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.trip import (
    NO_TRIP,
    TripContent,
    WalkRow,
    moved_stop,
    new_stop,
    new_walk,
    on_another_day,
    trip_content,
    without_stop,
)
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.fields import (
    ChoiceField,
    DateField,
    Field,
    LongTextField,
    NumberField,
    TextField,
    TimeField,
)
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.desktop.trip_day_panel import TripDayPanel
from fieldtrip.desktop.trip_rows import StopLine, WalkLine, stop_columns, walk_columns
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import SeaState, Stop, Trip, Walk

L = TypeVar("L", StopLine, WalkLine)
_SEAS = ((None, "not known"), *((sea, str(sea)) for sea in SeaState))


class TripPanel(Panel):
    """Edits the chosen trip in place; every finished edit is one step of undo."""

    stopWantsAsked = Signal(object)  # id of a stop: say what it is for

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,  # noqa: ARG002 (all panels are made alike)
        more: TripDayPanel | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self.more = more  # gates, and the day from door to door
        self._content: TripContent | None = None
        self._theme = LIGHT
        self.stop_lines: dict[UUID, StopLine] = {}
        self.walk_lines: dict[UUID, WalkLine] = {}

        self.empty = QLabel(NO_TRIP)
        self.empty.setProperty("soft", True)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setWordWrap(True)
        self.page = QWidget()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.empty)
        outer.addWidget(self.page)

        self.editor = RecordEditor(library, self)
        self._make_fields()
        self._lay_out()
        self.setFocusProxy(self.name)
        self.follow(library.changed, selection.changed, preferences.changed)

    def set_theme(self, theme: Theme) -> None:
        """Colour what the style sheet cannot know."""
        self._theme = theme
        for line in (*self.stop_lines.values(), *self.walk_lines.values()):
            line.set_theme(theme)
        if self.more is not None:
            self.more.set_theme(theme)

    def finish(self) -> bool:
        """End all editing as if the fields were left; False where a fault stays."""
        lines = (*self.stop_lines.values(), *self.walk_lines.values())
        done = [self.editor.finish(), *(line.editor.finish() for line in lines)]
        self.editor.keep_drafts()
        for line in lines:
            line.editor.keep_drafts()
        if self.more is not None:
            done.append(self.more.finish())
        return all(done)

    def refresh(self) -> None:
        """Show the trip as it is kept now."""
        found = self._found()
        if found is None:
            self.show_content(None)
            return
        self.show_content(trip_content(*found, self._preferences.settings))

    def show_content(self, content: TripContent | None) -> None:
        """Put the texts into the widgets; what is being typed stays."""
        self._content = content
        self.empty.setVisible(content is None)
        self.page.setVisible(content is not None)
        if content is None:
            self.editor.show(None)
            self._show_lines(self.stop_lines, (), self._stops, self._new_stop_line)
            self._show_lines(self.walk_lines, (), self._walks, self._new_walk_line)
            return
        self.zone_words.setText(content.zone_words)
        for field in (self.latest_return, self.raise_alarm):
            field.set_day(content.trip.day, content.zone)
        self.editor.show(content.trip)

        stops = [(row.stop.id, row) for row in content.stops]
        self._show_lines(self.stop_lines, stops, self._stops, self._new_stop_line)
        walks = [(row.walk.id, row) for row in content.walks]
        self._show_lines(self.walk_lines, walks, self._walks, self._new_walk_line)
        self.stop_columns.setVisible(bool(stops))
        self.walk_columns.setVisible(bool(walks))
        self._show_hint(self.stops_hint, self.add_stop, content.stops_hint)
        self._show_hint(self.walks_hint, self.add_walk, content.walks_hint)
        self._chain_tab_order()

    def _make_fields(self) -> None:
        a_day = self._selection.day
        self.zone_words = QLabel()
        self.zone_words.setProperty("soft", True)
        self.zone_words.setWordWrap(True)
        self.name = TextField("Name")
        self.day = DateField("Day", allow_empty=False)
        self.party = NumberField("People", allow_empty=False, whole=True)
        self.lights = NumberField("Lights carried", whole=True)
        self.latest_return = TimeField("Latest return", a_day, "UTC")
        self.raise_alarm = TimeField("Raise the alarm at", a_day, "UTC")
        self.pace = NumberField("Pace, against the walking rule", allow_empty=False)
        self.pace.setToolTip("1: as the walking rule says; 1.5: half as long again.")
        self.sea = ChoiceField("Sea at the shore", _SEAS)
        self.sea.setToolTip("Where waves run up a beach: calm 0.3 m, heavy 2 m.")
        self.wave_height = NumberField("Wave height")
        self.wave_height.set_unit("m", 1.0)
        self.wave_height.setToolTip("Significant, in deep water, from the forecast.")
        self.wave_period = NumberField("Wave period")
        self.wave_period.set_unit("s", 1.0)
        self.wave_period.setToolTip("Of the peak, from the forecast.")
        self.rain_48h = NumberField("Rain of the 48 hours before")
        self.rain_48h.set_unit("mm", 1.0)
        self.rain_48h.setToolTip("Fallen before the trip: it loosens rock.")
        self.contact = TextField(
            "Who knows, and how to reach them", "Name and telephone number"
        )
        self.emergency = TextField(
            "Emergency number there, and where there is coverage"
        )
        self.notes = LongTextField("Notes", lines=3)

        bind = self.editor.bind
        bind("name", self.name, "rename the trip")
        bind("day", self.day, "move the trip to another day", self._move_day)
        bind("party", self.party, "change how many people go")
        bind("lights", self.lights, "change how many lights are carried")
        bind("latest_return", self.latest_return, "change the latest return")
        bind("raise_alarm", self.raise_alarm, "change when the alarm is raised")
        bind("pace_factor", self.pace, "change the pace")
        bind("sea", self.sea, "change the sea that is expected")
        bind("wave_height_m", self.wave_height, "change the wave height")
        bind("wave_period_s", self.wave_period, "change the wave period")
        bind("rain_48h_mm", self.rain_48h, "change the rain before the trip")
        bind("contact", self.contact, "change who knows")
        bind("emergency", self.emergency, "change the emergency number")
        bind("notes", self.notes, "change the notes of the trip")

        self.add_stop = QPushButton("Add stop")
        self.add_stop.clicked.connect(self._add_stop)
        self.add_walk = QPushButton("Add walk")
        self.add_walk.clicked.connect(self._add_walk)
        self.stops_hint, self.walks_hint = QLabel(), QLabel()
        self.fault = QLabel()
        self.fault.setProperty("fault", True)
        self.fault.setWordWrap(True)
        self.fault.hide()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self.page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.zone_words)
        column.addWidget(self.fault)

        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        places: list[tuple[Field, int, int, int]] = [
            (self.name, 0, 0, 2),
            (self.day, 0, 2, 1),
            (self.party, 0, 3, 1),
            (self.latest_return, 1, 0, 1),
            (self.raise_alarm, 1, 1, 1),
            (self.lights, 1, 2, 1),
            (self.pace, 1, 3, 1),
            (self.contact, 2, 0, 2),
            (self.emergency, 2, 2, 2),
            (self.sea, 3, 0, 1),
            (self.wave_height, 3, 1, 1),
            (self.wave_period, 3, 2, 1),
            (self.rain_48h, 3, 3, 1),
        ]
        for field, row, col, span in places:
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, row, col, 1, span, Qt.AlignmentFlag.AlignTop)
        for col in range(4):
            grid.setColumnStretch(col, 1)
        column.addLayout(grid)

        self._stops, self._walks = QVBoxLayout(), QVBoxLayout()
        self.stop_columns, self.walk_columns = stop_columns(), walk_columns()
        for title, columns, lines, button, hint in (
            ("Stops", self.stop_columns, self._stops, self.add_stop, self.stops_hint),
            ("Walks", self.walk_columns, self._walks, self.add_walk, self.walks_hint),
        ):
            heading = QLabel(title)
            heading.setProperty("type", "heading")
            lines.setSpacing(2)
            hint.setProperty("soft", True)
            column.addWidget(heading)
            column.addWidget(columns)
            column.addLayout(lines)
            foot = QHBoxLayout()
            foot.addWidget(button)
            foot.addWidget(hint, 1)
            column.addLayout(foot)
        if self.more is not None:
            column.addWidget(self.more)
        column.addWidget(labelled("Notes", self.notes))
        column.addStretch(1)

    def _show_lines(
        self,
        lines: dict[UUID, L],
        rows: Sequence[tuple[UUID, Any]],
        layout: QVBoxLayout,
        make: Callable[[UUID], L],
    ) -> None:
        """Keep the line of a record that is still there, with what is typed in it."""
        wanted = [record_id for record_id, _ in rows]
        for record_id in [known for known in lines if known not in wanted]:
            line = lines.pop(record_id)
            line.editor.show(None)  # keeps drafts; leaving a field then changes nothing
            layout.removeWidget(line)
            line.hide()
            line.deleteLater()
        for place, (record_id, row) in enumerate(rows):
            if record_id not in lines:
                lines[record_id] = make(record_id)
            line = lines[record_id]
            if layout.indexOf(line) != place:
                layout.removeWidget(line)
                layout.insertWidget(place, line)
            line.set_theme(self._theme)
            line.show_row(row, self._content_now())

    def _content_now(self) -> TripContent:
        if self._content is None:
            raise ValueError("no trip is shown")
        return self._content

    def _new_stop_line(self, stop_id: UUID) -> StopLine:
        line = StopLine(self._library)
        line.moveAsked.connect(lambda by: self._move_stop(stop_id, by))
        line.removeAsked.connect(lambda: self._remove_stop(stop_id))
        line.wantsAsked.connect(lambda: self.stopWantsAsked.emit(stop_id))
        return line

    def _new_walk_line(self, walk_id: UUID) -> WalkLine:
        line = WalkLine(self._library)
        line.ruleAsked.connect(lambda: self._use_rule(walk_id))
        line.removeAsked.connect(lambda: self._remove_walk(walk_id))
        return line

    @staticmethod
    def _show_hint(label: QLabel, button: QPushButton, hint: str) -> None:
        label.setText(hint)
        button.setEnabled(not hint)

    def _chain_tab_order(self) -> None:
        """Let Tab follow the page, also after lines were added or moved."""
        content = self._content_now()
        order: list[QWidget] = [self.emergency.line]
        for stop_row in content.stops:
            order += self.stop_lines[stop_row.stop.id].chain()
        order.append(self.add_stop)
        for walk_row in content.walks:
            order += self.walk_lines[walk_row.walk.id].chain()
        order.append(self.add_walk)
        order += [] if self.more is None else self.more.chain()
        order.append(self.notes.box)
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def _found(self) -> tuple[Dossier, Trip] | None:
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            return None
        trip = by_id(dossier.trips, self._selection.trip_id)
        return None if trip is None else (dossier, trip)

    def _move_day(self, trip: Trip, day: date) -> Sequence[Change]:
        dossier = self._library.dossier(trip.location_id)
        return [] if dossier is None else on_another_day(dossier, trip, day)

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

    def _add_stop(self) -> None:
        selection = self._selection
        stops: list[Stop] = []

        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            at, minute = selection.vantage_point_id, selection.instant
            stops.append(new_stop(dossier, trip, at, minute))
            return [Change(None, stops[0])]

        self._do("add stop", make)
        if stops and stops[0].id in self.stop_lines:
            self.stop_lines[stops[0].id].vantage_point.setFocus()

    def _add_walk(self) -> None:
        walks: list[Walk] = []

        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            walks.append(new_walk(dossier, trip, self._selection.instant))
            return [Change(None, walks[0])]

        self._do("add walk", make)
        if walks and walks[0].id in self.walk_lines:
            self.walk_lines[walks[0].id].leg.setFocus()

    def _move_stop(self, stop_id: UUID, by: int) -> None:
        self._do(
            "change the order of the stops",
            lambda dossier, trip: _on_stop(
                dossier.stops_of(trip),
                stop_id,
                lambda stops, stop: moved_stop(stops, stop, by),
            ),
        )

    def _remove_stop(self, stop_id: UUID) -> None:
        removal_of = self._library.store.removal_of
        self._do(
            "remove stop",
            lambda dossier, trip: _on_stop(
                dossier.stops_of(trip),
                stop_id,
                lambda stops, stop: without_stop(stops, stop, removal_of(stop)),
            ),
        )

    def _remove_walk(self, walk_id: UUID) -> None:
        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            walk = by_id(dossier.walks_of(trip), walk_id)
            return [] if walk is None else self._library.store.removal_of(walk)

        self._do("remove walk", make)

    def _use_rule(self, walk_id: UUID) -> None:
        rows: Sequence[WalkRow] = self._content_now().walks
        finish = next(row.rule_finish for row in rows if row.walk.id == walk_id)

        def make(dossier: Dossier, trip: Trip) -> Sequence[Change]:
            walk = by_id(dossier.walks_of(trip), walk_id)
            if walk is None or finish is None:
                return []
            return [Change(walk, replace(walk, finish=finish))]

        self._do("finish a walk by the walking rule", make)


def _on_stop(
    stops: Sequence[Stop],
    stop_id: UUID,
    make: Callable[[Sequence[Stop], Stop], list[Change]],
) -> list[Change]:
    stop = by_id(stops, stop_id)
    return [] if stop is None else make(stops, stop)
