"""The page with a trip's best plan, or with what stands in its way and would help."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.plan_page import (
    PlanContent,
    empty_page,
    plan_content,
)
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.facts import TwoHalves, plain_label
from fieldtrip.desktop.fields import ChoiceField, Field, NumberField, TimeField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.marks import Mark, wash
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.plan_lines import CrossingLine, PlanTimes, clear, deed
from fieldtrip.desktop.plan_work import PlanWork
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip, WalkingRule

_JOB = "plan page"
_PLANNING = "Being planned…"
_RULES = tuple((rule, str(rule)) for rule in WalkingRule)


def _utc_now() -> datetime:
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a plan rests on; the same objects as long as nothing is edited."""

    dossier: Dossier
    trip_id: UUID
    settings: Settings
    keeps_order: bool

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked)
            and self.dossier is other.dossier
            and self.trip_id == other.trip_id
            and self.settings == other.settings
            and self.keeps_order == other.keeps_order
        )


class PlanPanel(Panel):
    """Plans anew whenever anything changes; nothing is written until it is asked."""

    minuteAsked = Signal(object)  # datetime: show it
    compareAsked = Signal()
    stopsAsked = Signal()  # to choose vantage points for stops

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        work: PlanWork,
        *,
        now: Callable[[], datetime] = _utc_now,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._work = work
        self._now = now
        self._theme = LIGHT
        self.content = PlanContent()
        self._asked: _Asked | None = None  # what is shown, or being planned
        self.crossing_lines: dict[UUID, CrossingLine] = {}
        self.editor = RecordEditor(library, self)
        self._make_widgets()
        self._make_fields()
        self._lay_out()
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.follow(
            library.changed, selection.changed, preferences.changed, work.orderChanged
        )
        self.show_content(PlanContent(message=_PLANNING))

    def set_theme(self, theme: Theme) -> None:
        """Colour what the style sheet cannot know."""
        self._theme = theme
        self._show_head(self.content)

    def finish(self) -> bool:
        """End all editing as if the fields were left; False where a fault stays."""
        done = self.editor.finish()
        self.editor.keep_drafts()
        return done

    def refresh(self) -> None:
        """Plan in the background, from values only, then show."""
        found = self._work.found()
        dossier, trip = (None, None) if found is None else found
        self._show_trip(dossier, trip)
        empty = empty_page(dossier, trip)
        if empty is not None or dossier is None or trip is None:
            self._jobs.cancel(_JOB)
            self._asked = None
            self.show_content(empty or PlanContent())
            return
        order, settings = self._work.keeps_order(trip.id), self._preferences.settings
        asked = _Asked(dossier, trip.id, settings, order)
        if asked == self._asked:
            return  # something else was chosen: the plan is the same
        self._asked = asked
        if self.content.trip_id != trip.id or self.content.message:
            self.show_content(PlanContent(trip_id=trip.id, message=_PLANNING))
        self._enable(False)  # what is shown may not hold any more
        self._jobs.start(
            _JOB,
            _content,
            dossier,
            trip,
            self._now(),
            settings,
            order,
            done=self.show_content,
            failed=self._show_failure,
        )

    def show_content(self, content: PlanContent) -> None:
        """Put the texts into the widgets; decide nothing."""
        self.content = content
        self._show_head(content)
        self.message.setText(content.message)
        self.message.setVisible(bool(content.message))
        self.zone_words.setText(content.zone_words)
        self.times.show_rows(content.rows)
        self.times.setVisible(bool(content.rows))
        self._show_list(self.obstacles, content.obstacles)
        self._show_deeds(
            self.relaxations,
            [
                (row.words, partial(self._work.relax, row.relaxation))
                for row in content.relaxations
            ],
            "Do this",
        )
        self.relaxations_heading.setVisible(bool(content.relaxations))
        self.no_help.setText(content.no_help)
        self.no_help.setVisible(bool(content.no_help))
        self._show_deeds(
            self.alternatives,
            [
                (row.words, partial(self._work.use_other, row.alternative))
                for row in content.alternatives
            ],
            "Use",
        )
        self.alternatives_heading.setVisible(bool(content.alternatives))
        self._show_standing(content)
        self.left_out.setText(content.left_out)
        self.left_out.setVisible(bool(content.left_out))
        self._show_crossings(content)
        self._show_list(self.cautions, content.cautions)
        self.cautions_heading.setVisible(bool(content.cautions))
        self._enable(True)

    # Showing

    def _show_head(self, content: PlanContent) -> None:
        has_head = bool(content.heading)
        self.head.setVisible(has_head)
        self.mark.show_severity(content.severity, self._theme)
        self.heading.setText(content.heading)
        self.note.setText(content.note)
        self.note.setVisible(bool(content.note))
        colour = wash(content.severity, self._theme).name() if has_head else "none"
        style = f"#planHead {{ background: {colour}; border-radius: 5px; }}"
        if style != self.head.styleSheet():
            self.head.setStyleSheet(style)
        self.use.setVisible(content.plan is not None and not content.is_written)

    def _show_standing(self, content: PlanContent) -> None:
        has_plan = content.plan is not None
        if content.is_written and has_plan:
            text = "The trip stands in the library just as planned here."
        elif content.standing:
            text = f"The trip as it stands: {' '.join(content.standing)}"
        else:
            text = ""
        self.standing.setText(text)
        self.standing.setVisible(bool(text))

    def _show_deeds(
        self,
        layout: QVBoxLayout,
        deeds: Sequence[tuple[str, Callable[[], None]]],
        verb: str,
    ) -> None:
        clear(layout)
        for words, act in deeds:
            layout.addWidget(deed(words, verb, partial(self._attempt, act)))

    @staticmethod
    def _show_list(layout: QVBoxLayout, texts: Sequence[str]) -> None:
        clear(layout)
        for text in texts:
            label = plain_label()
            label.setText(f"– {text}")
            layout.addWidget(label)

    def _show_crossings(self, content: PlanContent) -> None:
        asking = {key for key, line in self.crossing_lines.items() if line.is_asking}
        wanted = {row.record_id for row in content.crossings if row.tick is None}
        if asking and asking <= wanted:
            return  # somebody is writing
        clear(self.crossings)
        self.crossing_lines.clear()
        person = self._preferences.settings.person.strip()
        for row in content.crossings:
            line = CrossingLine(row, person)
            line.accepted.connect(partial(self._accept, row.record_id))
            line.takeBackAsked.connect(
                partial(self._attempt, partial(self._work.take_back, row.record_id))
            )
            self.crossing_lines[row.record_id] = line
            self.crossings.addWidget(line)
        self.crossings_heading.setVisible(bool(content.crossings))

    def _accept(self, record_id: UUID, person: str, reason: str) -> None:
        line = self.crossing_lines[record_id]
        try:
            self._work.accept(record_id, person, reason)
        except UserError as error:
            line.show_fault(str(error))

    def _show_trip(self, dossier: Dossier | None, trip: Trip | None) -> None:
        """The fields of what the plan goes by."""
        for widget in (self.goes_by, self.goes_by_heading, self.keep_order,
                       self.add_stops, self.compare):  # fmt: skip
            widget.setVisible(trip is not None)
        if dossier is None or trip is None:
            self.editor.show(None)
            return
        starts = tuple((place.id, place.name) for place in dossier.start_places)
        self.start.set_choices(((None, "not said"), *starts))
        self.end.set_choices(((None, "where it started"), *starts))
        for field in (self.earliest, self.latest):
            field.set_day(trip.day, dossier.location.zone)
        self.editor.show(trip)
        self.keep_order.blockSignals(True)
        self.keep_order.setChecked(self._work.keeps_order(trip.id))
        self.keep_order.blockSignals(False)

    def _show_failure(self, error: Exception) -> None:
        """Never leave an older answer standing where there is none."""
        self._asked = None
        if not isinstance(error, UserError):
            self.show_content(PlanContent(message="Not planned: the plan has a fault."))
            raise error
        self.show_content(PlanContent(message=str(error)))

    def _enable(self, is_current: bool) -> None:
        self.use.setEnabled(is_current)
        for layout in (self.relaxations, self.alternatives):
            for place in range(layout.count()):
                item = layout.itemAt(place)
                widget = None if item is None else item.widget()
                if widget is not None:
                    widget.setEnabled(is_current)

    # Doing

    def use_plan(self) -> None:
        """Write the plan that is shown into the trip, as one step of undo."""
        plan = self.content.plan
        if plan is not None:
            self._attempt(partial(self._work.use, plan))

    def _keep_order(self, is_kept: bool) -> None:
        if self.content.trip_id is not None:
            self._work.keep_order(self.content.trip_id, is_kept)

    def _attempt(self, act: Callable[[], None]) -> None:
        try:
            act()
        except UserError as error:
            self.fault.setText(str(error))
            self.fault.show()
        else:
            self.fault.hide()

    # Making

    def _make_widgets(self) -> None:
        self.mark = Mark()
        self.heading, self.note = plain_label(), plain_label(soft=True)
        self.heading.setProperty("type", "strong")
        self.use = QPushButton("Use this plan")
        self.use.setToolTip("Write these times and walks into the trip; undo works.")
        self.use.clicked.connect(self.use_plan)
        self.compare = QPushButton("Compare days…")
        self.compare.setToolTip("The same trip on other days.")
        self.compare.clicked.connect(lambda: self.compareAsked.emit())
        self.add_stops = QPushButton("Add stops…")
        self.add_stops.clicked.connect(lambda: self.stopsAsked.emit())
        self.message, self.no_help = plain_label(soft=True), plain_label()
        self.zone_words = plain_label(soft=True)
        self.times = PlanTimes()
        self.times.minuteAsked.connect(self.minuteAsked)
        self.standing, self.left_out = plain_label(), plain_label()
        self.standing.setAccessibleName("How the trip as it stands differs")
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.fault.hide()
        self.obstacles, self.cautions = QVBoxLayout(), QVBoxLayout()
        self.relaxations, self.alternatives = QVBoxLayout(), QVBoxLayout()
        self.crossings = QVBoxLayout()
        self.relaxations_heading = _heading("What would help")
        self.alternatives_heading = _heading("Other plans")
        self.crossings_heading = _heading("Where nothing is known of the tide")
        self.cautions_heading = _heading("Mind")
        self.goes_by_heading = _heading("What the plan goes by")

    def _make_fields(self) -> None:
        a_day = self._selection.day
        self.earliest = TimeField("Earliest start", a_day, "UTC")
        self.latest = TimeField("Latest return", a_day, "UTC")
        self.breaks = NumberField("Breaks, in all", "min", allow_empty=False)
        self.rule = ChoiceField("Walking rule", _RULES)
        self.pace = NumberField("Pace, against the rule", allow_empty=False)
        self.pace.setToolTip("1: as the walking rule says; 1.5: half as long again.")
        self.pack = NumberField("Heavy pack", allow_empty=False)
        self.pack.setToolTip("1: none; 1.2: a fifth longer under it.")
        self.start = ChoiceField("Start from", empty="no longer there")
        self.end = ChoiceField("End at", empty="no longer there")
        bind = self.editor.bind
        bind("earliest_start", self.earliest, "change the earliest start")
        bind("latest_return", self.latest, "change the latest return")
        bind("break_min", self.breaks, "change the breaks")
        bind("walking_rule", self.rule, "change the walking rule")
        bind("pace_factor", self.pace, "change the pace")
        bind("pack_factor", self.pack, "change what a heavy pack costs")
        bind("start_place_id", self.start, "change where the trip starts")
        bind("end_place_id", self.end, "change where the trip ends")
        self._fields: tuple[Field, ...] = (
            self.start, self.end, self.earliest, self.latest, self.breaks, self.rule,
            self.pace, self.pack,
        )  # fmt: skip
        self.keep_order = QCheckBox("Keep the order of the stops")
        self.keep_order.toggled.connect(self._keep_order)

    def _lay_out(self) -> None:
        self.head = QFrame()
        self.head.setObjectName("planHead")
        bar = QHBoxLayout(self.head)
        bar.setContentsMargins(10, 6, 10, 6)
        bar.setSpacing(10)
        bar.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        said = QVBoxLayout()
        said.setSpacing(1)
        said.addWidget(self.heading)
        said.addWidget(self.note)
        bar.addLayout(said, 1)

        buttons = QHBoxLayout()
        for button in (self.use, self.add_stops, self.compare):
            button.setMinimumHeight(26)
            buttons.addWidget(button)
        buttons.addWidget(self.keep_order)
        buttons.addStretch(1)

        self.goes_by = QWidget()
        grid = QGridLayout(self.goes_by)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        for place, field in enumerate(self._fields):
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, place // 2, place % 2, Qt.AlignmentFlag.AlignTop)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

        halves = TwoHalves()
        left, right = halves.first, halves.second
        for widget in (self.message, self.times):
            left.addWidget(widget)
        left.addLayout(self.obstacles)
        left.addWidget(self.relaxations_heading)
        left.addLayout(self.relaxations)
        left.addWidget(self.no_help)
        left.addWidget(self.zone_words)
        left.addStretch(1)
        for widget in (self.standing, self.left_out, self.crossings_heading):
            right.addWidget(widget)
        right.addLayout(self.crossings)
        right.addWidget(self.cautions_heading)
        right.addLayout(self.cautions)
        right.addWidget(self.alternatives_heading)
        right.addLayout(self.alternatives)
        right.addWidget(self.goes_by_heading)
        right.addWidget(self.goes_by)
        right.addStretch(1)

        top = QVBoxLayout()
        top.setContentsMargins(16, 6, 16, 0)
        top.setSpacing(5)
        top.addWidget(self.head)
        top.addLayout(buttons)
        top.addWidget(self.fault)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(halves, 1)


def _content(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    settings: Settings,
    keeps_order: bool,
) -> PlanContent:
    return plan_content(dossier, trip, now, settings, keeps_order=keeps_order)


def _heading(words: str) -> QLabel:
    heading = QLabel(words)
    heading.setProperty("type", "heading")
    return heading
