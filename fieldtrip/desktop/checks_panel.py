"""The page that says whether a trip is sound: the worst first, and it decides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.checks_parts import GroupHeading, RunLine
from fieldtrip.desktop.content.checks import (
    NO_TRIP,
    ChecksContent,
    ChecksGroup,
    FindingRow,
    RunRow,
    checks_content,
    tick_for,
)
from fieldtrip.desktop.content.checks_compared import (
    SETTINGS_CHANGED,
    causes_of,
    changed_words,
)
from fieldtrip.desktop.finding_line import FindingLine
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.marks import Mark, wash
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.phrasing import CAUTIONS
from fieldtrip.safety.finding import Severity
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip

_JOB = "checks"
_MINUTE_MS = 60_000
_KEEP_AFTER_MS = 4_000  # quick edits one after another make one kept run
_CHECKING = "Being checked…"


class ChecksPanel(Panel):
    """Runs the checks whenever anything changes, and once a minute.

    A run that says something else than the last one is kept with its trip, once
    nothing has changed for a few seconds.
    """

    mapAsked = Signal(object)  # id of a record to be shown on the map
    stripAsked = Signal(object)  # an instant to be shown on the day strip

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        now: Callable[[], datetime],
        keep_after_ms: int = _KEEP_AFTER_MS,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._now = now
        self._theme = LIGHT
        self._content: ChecksContent | None = None
        self._runs_shown: tuple[tuple[RunRow, ...], Theme] | None = None
        self.lines: dict[str, FindingLine] = {}
        self.headings: dict[str, GroupHeading] = {}
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._make_widgets()
        self._lay_out()
        self._show_overall(Severity.UNKNOWN, NO_TRIP, "")
        self._causes: list[str] = []  # of the run that comes next
        library.changed.connect(lambda changes: self._heed(causes_of(changes)))
        preferences.changed.connect(lambda: self._heed([SETTINGS_CHANGED]))
        library.kept.connect(self._outdate)
        self.follow(library.changed, selection.changed, preferences.changed)
        self.clock = QTimer(self)  # findings grow old by themselves
        self.clock.setInterval(_MINUTE_MS)
        self.clock.timeout.connect(self._outdate)
        self.clock.start()
        self.keeping = QTimer(self)
        self.keeping.setSingleShot(True)
        self.keeping.setInterval(keep_after_ms)
        self.keeping.timeout.connect(self._keep_quietly)

    def set_theme(self, theme: Theme) -> None:
        """Use other colours."""
        self._theme = theme
        if self._content is None:
            self._show_overall(Severity.UNKNOWN, self.overall.text(), "")
        else:
            self.show_content(self._content)

    def finish(self) -> None:
        """Save the reasons that are being typed, before the library closes."""
        for line in self.lines.values():
            line.keep_draft()
        if self.keeping.isActive():
            self._keep_quietly()

    def refresh(self) -> None:
        """Run the checks in the background, from values only, then show."""
        found = self._found()
        if found is None:
            self._jobs.start(_JOB, _nothing, done=lambda _: None)  # ends an older run
            self._show_nothing(NO_TRIP)
            return
        dossier, trip = found
        if self._content is None or self._content.trip_id != trip.id:
            self._show_nothing(_CHECKING)
        self._jobs.start(
            _JOB,
            checks_content,
            dossier,
            trip,
            self._now(),
            self._preferences.settings,
            done=self.show_content,
            failed=self._show_failure,
            is_urgent=True,
        )

    def show_content(self, content: ChecksContent) -> None:
        """Put the texts into the widgets; a question that is open stays open."""
        self._tell_changes(content)
        self._content = content
        note = content.overall_note
        self._show_overall(content.overall, content.overall_words, note)
        item = content.overall_item
        self.overall_item.setText(f"First: {item}" if item else "")
        self.overall_item.setVisible(bool(item))
        self.to_worst.setVisible(bool(content.worst_id))
        self.checked.setText(content.checked)
        self.gone.setText(content.gone)
        self.gone.setVisible(bool(content.gone))
        self.lapsed.setText(content.lapsed)
        self.lapsed.setVisible(bool(content.lapsed))
        self.foot.setVisible(True)
        self.cautions.setText(" ".join(content.cautions))
        self._show_lines(content)
        self._show_runs(content.runs)
        if content.is_kept or self._library.store.is_read_only:
            self.keeping.stop()
        else:
            self.keeping.start()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy all of it where no text is selected."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_text()
            return
        super().keyPressEvent(event)

    def copy_text(self) -> None:
        """Put the whole page on the clipboard as plain text."""
        if self._content is not None:
            QGuiApplication.clipboard().setText(self._content.text)

    def show_worst(self) -> None:
        """Bring the worst finding into sight."""
        worst_id = "" if self._content is None else self._content.worst_id
        line = self.lines.get(worst_id)
        if self._content is None or line is None:
            return
        for group in self._content.groups:
            heading = self.headings[group.id]
            if not heading.is_open and any(row.id == worst_id for row in group.rows):
                heading.title.click()
        self.area.ensureWidgetVisible(line, 0, line.height())
        first = next((w for w in line.chain() if not w.isHidden()), None)
        if first is not None:
            first.setFocus(Qt.FocusReason.OtherFocusReason)

    def keep_run(self) -> None:
        """Store the run that is shown with its trip."""
        if self._content is not None:
            run = self._content.run
            self._attempt(lambda: self._library.add("keep a run of the checks", run))

    def _show_nothing(self, words: str) -> None:
        self._content = None
        self._show_overall(Severity.UNKNOWN, words, "")
        self.keeping.stop()
        self._causes.clear()
        for label in (self.checked, self.gone, self.lapsed, self.changed_now):
            label.setText("")
        for label in (self.lapsed, self.changed_now, self.overall_item):
            label.hide()
        self.to_worst.hide()
        self.foot.setVisible(False)
        self._drop_lines(set())
        self._drop_headings(set())
        self._show_runs(())

    def _show_failure(self, error: Exception) -> None:
        """Never leave an older answer standing where there is none."""
        if isinstance(error, UserError):
            self._show_nothing(f"Not checked. {error}")
            return
        self._show_nothing("Not checked: the checks have a fault.")
        raise error

    def _show_overall(self, severity: Severity, words: str, note: str) -> None:
        self.overall_mark.setVisible(bool(note))
        self.overall_mark.show_severity(severity, self._theme)
        self.overall.setText(words)
        self.overall_note.setText(note)
        colour = wash(severity, self._theme).name() if note else "transparent"
        style = f"#overall {{ background: {colour}; border-radius: 5px; }}"
        if style != self.overall_box.styleSheet():
            self.overall_box.setStyleSheet(style)

    def _show_lines(self, content: ChecksContent) -> None:
        self._drop_lines({row.id for row in content.rows})
        wanted: list[QWidget] = []
        order: list[QWidget] = []
        for group in content.groups:
            heading = self.headings.get(group.id) or self._new_heading(group)
            heading.show_group(group, self._theme)
            wanted.append(heading)
            order.append(heading.title)
            for row in group.rows:
                line = self.lines.get(row.id)
                if line is None:
                    line = self.lines[row.id] = self._new_line(content.trip_id, row.id)
                line.set_person(self._preferences.settings.person.strip())
                line.show_row(row, self._theme)
                wanted.append(line)
                order += line.chain()
        self._drop_headings({group.id for group in content.groups})
        for place, widget in enumerate(wanted):
            if self._list.indexOf(widget) != place:
                self._list.removeWidget(widget)
                self._list.insertWidget(place, widget)
        for group in content.groups:  # only now, when each has its place in the page
            for row in group.rows:
                self.lines[row.id].setVisible(self.headings[group.id].is_open)
        for before, after in pairwise([*order, self.keep, self.copy]):
            QWidget.setTabOrder(before, after)

    def _drop_lines(self, wanted: set[str]) -> None:
        for row_id in [known for known in self.lines if known not in wanted]:
            line = self.lines.pop(row_id)
            line.keep_draft()
            self._list.removeWidget(line)
            line.hide()
            line.deleteLater()

    def _drop_headings(self, wanted: set[str]) -> None:
        for group_id in [known for known in self.headings if known not in wanted]:
            heading = self.headings.pop(group_id)
            self._list.removeWidget(heading)
            heading.hide()
            heading.deleteLater()

    def _new_heading(self, group: ChecksGroup) -> GroupHeading:
        heading = self.headings[group.id] = GroupHeading(is_open=not group.is_folded)
        heading.turned.connect(lambda: self._fold(group.id))
        return heading

    def _fold(self, group_id: str) -> None:
        """Show or hide the findings below a heading."""
        groups = self._content.groups if self._content is not None else ()
        for group in groups:
            if group.id == group_id:
                for row in group.rows:
                    self.lines[row.id].setVisible(self.headings[group_id].is_open)

    def _heed(self, causes: list[str]) -> None:
        self._causes += causes

    def _tell_changes(self, content: ChecksContent) -> None:
        """Say what the last edit did to the checks, or what time did."""
        before, causes = self._content, self._causes
        self._causes = []
        if before is None or before.trip_id != content.trip_id:
            return
        words = changed_words(before.run, content.run, causes)
        if words:
            self.changed_now.setText(words)
            self.changed_now.show()

    def _keep_quietly(self) -> None:
        """Keep a run that says something else, without a step of undo."""
        self.keeping.stop()
        content = self._content
        if content is None or content.is_kept:
            return
        if self._library.get(Trip, content.trip_id) is None:
            return
        try:
            self._library.keep_run(content.run)
        except UserError as error:  # a full disk; it is tried again with the next
            self.fault.setText(str(error))
            self.fault.show()

    def _new_line(self, trip_id: UUID, row_id: str) -> FindingLine:
        line = FindingLine(self._library, trip_id, row_id)
        line.said.connect(lambda person, reason: self._say(row_id, person, reason))
        line.asked.connect(
            lambda: QTimer.singleShot(0, self, lambda: self._show_question(row_id))
        )
        line.takeBackAsked.connect(lambda: self._take_back(row_id))
        line.mapAsked.connect(self.mapAsked)
        line.stripAsked.connect(self.stripAsked)
        return line

    def _show_question(self, row_id: str) -> None:
        """Bring an open question into sight with its buttons, once it has its place."""
        line = self.lines.get(row_id)
        if line is not None and line.question is not None and line.is_asking:
            self.area.ensureWidgetVisible(line.question, 0, 10)

    def _show_runs(self, runs: tuple[RunRow, ...]) -> None:
        if (runs, self._theme) == self._runs_shown:
            return  # what was opened stays open
        self._runs_shown = (runs, self._theme)
        while (item := self._runs.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self.runs_heading.setVisible(bool(runs))
        for run in runs:
            self._runs.addWidget(RunLine(run, self._theme))

    def _say(self, row_id: str, person: str, reason: str) -> None:
        row, content = self._row(row_id), self._content
        if row is None or content is None:
            return
        tick = tick_for(content.trip_id, row, self._now(), person, reason)
        text = f"overrule “{row.title}”" if reason else f"tick “{row.title}”"
        line = self.lines[row_id]
        try:
            self._library.add(text, tick)
        except UserError as error:
            line.show_fault(str(error))
            return
        line.settle()
        settings = self._preferences.settings
        if not settings.person.strip():
            self._preferences.settings = replace(settings, person=person)

    def _take_back(self, row_id: str) -> None:
        row = self._row(row_id)
        if row is not None and row.tick is not None:
            tick, text = row.tick, f"take back what was said about “{row.title}”"
            self._attempt(lambda: self._library.remove(text, tick))

    def _attempt(self, act: Callable[[], None]) -> None:
        try:
            act()
        except UserError as error:
            self.fault.setText(str(error))
            self.fault.show()
        else:
            self.fault.hide()

    def _row(self, row_id: str) -> FindingRow | None:
        rows = self._content.rows if self._content is not None else ()
        return next((row for row in rows if row.id == row_id), None)

    def _found(self) -> tuple[Dossier, Trip] | None:
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            return None
        trip = by_id(dossier.trips, self._selection.trip_id)
        return None if trip is None else (dossier, trip)

    def _make_widgets(self) -> None:
        self.overall_mark = Mark()
        self.overall = QLabel()
        self.overall.setWordWrap(True)
        self.overall.setProperty("type", "strong")
        self.overall_item = QLabel()
        self.to_worst = QToolButton()
        self.to_worst.setText("Go to it")
        self.to_worst.setAccessibleName("Go to the worst finding")
        self.to_worst.setProperty("link", True)
        self.to_worst.clicked.connect(self.show_worst)
        self.to_worst.hide()
        self.lapsed, self.changed_now = QLabel(), QLabel()
        self.lapsed.setProperty("caution", True)
        self.changed_now.setProperty("accent", True)
        for label in (self.overall_item, self.lapsed, self.changed_now):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.hide()
        self.overall_note, self.checked, self.gone = QLabel(), QLabel(), QLabel()
        self.cautions = QLabel(" ".join(CAUTIONS))
        self.cautions.setProperty("type", "print")
        self.runs_heading = QLabel("Runs kept before")
        self.fault = QLabel()
        self.fault.setProperty("fault", True)
        self.fault.hide()
        for label in (self.overall_note, self.checked, self.gone, self.cautions):
            label.setProperty("soft", True)
        for label in (self.overall_note, self.gone, self.cautions, self.fault):
            label.setWordWrap(True)
        for label in (self.overall, self.gone, self.fault):
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.runs_heading.setProperty("soft", True)
        self.keep, self.copy = QPushButton("Keep this run"), QPushButton("Copy as text")
        self.keep.setToolTip("Store what is found now with the trip, to compare later.")
        self.copy.setToolTip("Copy the whole page (Ctrl+C).")
        self.keep.clicked.connect(self.keep_run)
        self.copy.clicked.connect(self.copy_text)

    def _lay_out(self) -> None:
        self.overall_box = QFrame()
        self.overall_box.setObjectName("overall")
        bar = QHBoxLayout(self.overall_box)
        bar.setContentsMargins(10, 7, 10, 7)
        bar.setSpacing(10)
        bar.addWidget(self.overall_mark)
        said = QVBoxLayout()
        said.setSpacing(1)
        said.addWidget(self.overall)
        said.addWidget(self.overall_item)
        bar.addLayout(said, 3)
        bar.addWidget(self.to_worst)
        bar.addWidget(self.overall_note, 2)

        self.foot = QWidget()
        foot = QHBoxLayout(self.foot)
        foot.setContentsMargins(0, 4, 0, 4)
        foot.addWidget(self.keep)
        foot.addWidget(self.copy)
        foot.addStretch(1)
        self.foot.hide()

        head = QVBoxLayout()  # stays in sight
        head.setContentsMargins(16, 6, 16, 4)
        head.setSpacing(4)
        head.addWidget(self.overall_box)
        head.addWidget(self.checked)
        head.addWidget(self.changed_now)
        head.addWidget(self.fault)

        page = QWidget()
        self._list, self._runs = QVBoxLayout(), QVBoxLayout()
        for column in (self._list, self._runs):
            column.setSpacing(0)
        column = QVBoxLayout(page)
        column.setContentsMargins(16, 0, 16, 8)
        column.setSpacing(6)
        column.addLayout(self._list)
        column.addWidget(self.gone)
        column.addWidget(self.lapsed)
        column.addWidget(self.foot)
        column.addWidget(self.runs_heading)
        column.addLayout(self._runs)
        column.addStretch(1)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidget(page)
        self.cautions.setContentsMargins(16, 2, 16, 6)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addLayout(head)
        outer.addWidget(self.area, 1)
        outer.addWidget(self.cautions)


def _nothing() -> None:
    """A job in place of one whose answer is no longer wanted."""
