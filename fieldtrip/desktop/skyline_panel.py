"""The card's Skyline page: the ground against the sky, and the line to the subject."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.charts.horizon_chart import HorizonChart
from fieldtrip.desktop.charts.profile_chart import ProfileChart
from fieldtrip.desktop.choosers import Choosers
from fieldtrip.desktop.content.profile import profile_reading
from fieldtrip.desktop.content.sightline import SightContent, sight_content
from fieldtrip.desktop.content.skyline import SkylineContent, reading_at
from fieldtrip.desktop.content.skyline_page import (
    skyline_at,
    skyline_minute_at,
    skyline_page,
)
from fieldtrip.desktop.copy_table import CopyTable
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError

SKYLINE, SIGHT = "Skyline", "Line of sight"


class SkylinePanel(Panel):
    """Follows place, day and minute; nothing is worked out while it is hidden."""

    addAsked = Signal()  # an elevation file is wanted
    placeAsked = Signal(object)  # Position to show on the map
    placeLeft = Signal()  # it is shown no more

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        elevations: Elevations,
        horizons: Horizons,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._elevations = elevations
        self._horizons = horizons
        self._theme = LIGHT
        self._sky = SkylineContent()
        self._sight = SightContent()
        self._is_place_shown = False

        self.choosers = Choosers(selection, self)
        self.tabs = QTabBar()
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setAccessibleName("Skyline or line of sight")
        for name in (SKYLINE, SIGHT):
            self.tabs.addTab(name)
        self.empty = QWidget()  # what stands where there is nothing to draw
        self.message = plain_label(soft=True)
        self.add = QPushButton("Add an elevation file…")
        self.heading = plain_label(soft=True)
        self.chart = HorizonChart()
        self.reading = plain_label()
        self.notes = plain_label(soft=True)
        self.sight_heading = plain_label(soft=True)
        self.verdict = plain_label()
        self.profile = ProfileChart("Ground below the line of sight")
        self.profile_reading = plain_label()
        self.show_place = QPushButton("Show where on the map")
        self.table = CopyTable(
            "From where the subject is seen",
            ("Vantage point", "Subject", "Clearance", "Distance"),
        )
        self.sight_notes = plain_label(soft=True)
        self.stack = QStackedWidget()
        self._lay_out()
        self._wire()

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        self._theme = theme
        self.chart.set_theme(theme)
        self.profile.set_theme(theme)
        self._colour_verdict()

    def turn_to(self, name: str) -> None:
        """Show the skyline or the line of sight."""
        for k in range(self.tabs.count()):
            if self.tabs.tabText(k) == name:
                self.tabs.setCurrentIndex(k)

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the mark of the tightest place off the map."""
        super().hideEvent(event)
        self._leave_place()

    def refresh(self) -> None:
        """Work the shown half out in the background."""
        dossier = self._library.dossier(self._selection.location_id)
        self.choosers.show_dossier(dossier)
        if self.tabs.currentIndex() == 0:
            self._refresh_sky()
        else:
            self._refresh_sight()

    def show_sky(self, content: SkylineContent) -> None:
        """Put the skyline on the page; decide nothing."""
        self._sky = content
        self.chart.show_content(content)
        self.heading.setText(content.heading)
        self.notes.setText(" ".join(content.notes))
        self._say(content.message, can_add=content.can_add)
        self._show_minute()
        self._read_sky(self.chart.read_deg)

    def show_sight(self, content: SightContent) -> None:
        """Put the line of sight on the page; decide nothing."""
        self._sight = content
        self._leave_place()
        self.sight_heading.setText(content.heading)
        self.verdict.setText(content.verdict)
        self.profile.show_content(content.profile)
        self.profile.setVisible(content.profile is not None)
        self.profile_reading.setText("")
        self.show_place.setVisible(content.tightest is not None)
        self.table.show_rows(
            [(r.name, r.verdict, r.clearance, r.away) for r in content.rows],
            strong=[i for i, row in enumerate(content.rows) if row.verdict == "seen"],
            soft=[i for i, row in enumerate(content.rows) if row.verdict == "hidden"],
        )
        self.table.setVisible(bool(content.rows))
        self.sight_notes.setText(" ".join(content.notes))
        self._say(content.message, can_add=content.can_add)
        self._colour_verdict()

    # Putting it together

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(self.tabs)
        head.addStretch(1)
        for words, combo in (
            ("&From", self.choosers.vantage),
            ("S&ubject", self.choosers.subject),
        ):
            label = QLabel(words)
            label.setBuddy(combo)
            head.addWidget(label)
            head.addWidget(combo, 2)
        for label in (self.notes, self.sight_notes, self.heading, self.sight_heading):
            label.setProperty("type", "small")
        self.verdict.setProperty("type", "strong")
        below = QHBoxLayout()
        below.setContentsMargins(0, 10, 0, 0)
        below.addWidget(self.message, 1)
        below.addWidget(self.add)
        empty = QVBoxLayout(self.empty)
        empty.setContentsMargins(0, 0, 0, 0)
        empty.addLayout(below)
        empty.addStretch(1)
        self.stack.addWidget(
            _page(self.heading, self.chart, self.reading, self.notes, grows=self.chart)
        )
        verdict = QWidget()
        row = QHBoxLayout(verdict)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.verdict, 1)
        row.addWidget(self.show_place, 0, Qt.AlignmentFlag.AlignTop)
        self.stack.addWidget(
            _page(
                self.sight_heading,
                verdict,
                self.profile,
                self.profile_reading,
                self.table,
                self.sight_notes,
                grows=self.profile,
            )
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 2, 8, 4)
        column.setSpacing(4)
        column.addLayout(head)
        column.addWidget(self.empty, 1)
        column.addWidget(self.stack, 1)
        self._say("", can_add=False)

    def _wire(self) -> None:
        self.tabs.currentChanged.connect(self._turn)
        self.add.clicked.connect(self.addAsked)
        self.show_place.clicked.connect(self._ask_place)
        self.chart.readAt.connect(self._read_sky)
        self.profile.readAt.connect(self._read_profile)
        self.table.rowChosen.connect(self._go_to)
        self._selection.minuteChanged.connect(self._show_minute_if_seen)
        self.follow(
            self._library.changed,
            self._selection.changed,
            self._preferences.changed,
            self._elevations.changed,
            self._horizons.changed,
        )

    def _turn(self, index: int) -> None:
        self.stack.setCurrentIndex(index)
        self._outdate()

    # The skyline

    def _refresh_sky(self) -> None:
        selection = self._selection
        dossier = self._library.dossier(selection.location_id)
        skylines = skyline_at(dossier, selection.vantage_point_id, self._horizons.find)
        self._jobs.start(
            "skyline page",
            skyline_page,
            dossier,
            skylines,
            selection.subject_id,
            selection.day,
            self._preferences.settings,
            self._elevations.ground,
            done=self.show_sky,
            failed=self._fail_sky,
        )

    def _fail_sky(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_sky(SkylineContent(message=str(error)))

    def _show_minute_if_seen(self) -> None:
        if self.isVisible():
            self._show_minute()

    def _show_minute(self) -> None:
        selection = self._selection
        dossier = self._library.dossier(selection.location_id)
        skyline = skyline_at(dossier, selection.vantage_point_id, self._horizons.find)
        self.chart.show_minute(
            skyline_minute_at(
                dossier, skyline, selection.instant, self._preferences.settings
            )
        )

    def _read_sky(self, azimuth_deg: float | None) -> None:
        words = "" if azimuth_deg is None else reading_at(self._sky, azimuth_deg)
        if not words and self._sky.crest is not None:
            words = "Point at the skyline, or move along it with the arrow keys."
        self.reading.setText(words)
        self.chart.setAccessibleDescription(words)

    # The line of sight

    def _refresh_sight(self) -> None:
        selection = self._selection
        self._jobs.start(
            "line of sight",
            sight_content,
            self._elevations.ground,
            self._library.dossier(selection.location_id),
            selection.vantage_point_id,
            selection.subject_id,
            self._preferences.settings,
            done=self.show_sight,
            failed=self._fail_sight,
            progressed=lambda _: None,
        )

    def _fail_sight(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_sight(SightContent(message=str(error)))

    def _read_profile(self, at_m: float) -> None:
        content = self._sight.profile
        words = profile_reading(content, at_m) if content else ""
        self.profile_reading.setText(words)
        self.profile.setAccessibleDescription(words)

    def _ask_place(self) -> None:
        if self._sight.tightest is not None:
            self._is_place_shown = True
            self.placeAsked.emit(self._sight.tightest)

    def _leave_place(self) -> None:
        if self._is_place_shown:
            self._is_place_shown = False
            self.placeLeft.emit()

    def _go_to(self, row: int) -> None:
        if 0 <= row < len(self._sight.rows):
            found = self._sight.rows[row].record_id
            self._selection.use(vantage_point_id=found)

    def _say(self, message: str, *, can_add: bool) -> None:
        self.message.setText(message)
        self.empty.setVisible(bool(message))
        self.add.setVisible(can_add)
        self.stack.setVisible(not message)

    def _colour_verdict(self) -> None:
        colour = self._theme.stop if self._sight.is_hidden else ""
        self.verdict.setStyleSheet(f"color: {colour}" if colour else "")


def _page(*widgets: QWidget, grows: QWidget) -> QScrollArea:
    inner = QWidget()
    column = QVBoxLayout(inner)
    column.setContentsMargins(0, 0, 6, 0)
    column.setSpacing(4)
    for widget in widgets:
        column.addWidget(widget, 1 if widget is grows else 0)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(inner)
    return area
