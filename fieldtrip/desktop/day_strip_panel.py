"""The day strip with its date above it and its small print below."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
)

from fieldtrip.desktop.charts.day_strip import DayStripChart, StripHeadings
from fieldtrip.desktop.content.day_clock import on_day, step_day, step_minutes
from fieldtrip.desktop.content.day_strip import (
    Choice,
    StripContent,
    empty_strip,
    reading,
    strip_content,
)
from fieldtrip.desktop.fields import DateField
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import Theme
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg
from fieldtrip.times import local_date
from fieldtrip.wording import clock_text

_LARGEST_ZOOM = 12.0
_LEAST_HOUR_PX = 15  # a whole day lower than 25 of these is scrolled instead


def utc_now() -> datetime:
    """The present instant."""
    return datetime.now(UTC)


class DayStripPanel(Panel):
    """One day of the chosen location; its line is the chosen minute."""

    datesAsked = Signal()  # to search for dates

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        now: Callable[[], datetime] = utc_now,
        horizons: Horizons | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._now = now
        self._horizons = horizons
        self.content: StripContent | None = None

        self.heading = _label(wraps=True)
        self.clock = _label(soft=True, wraps=True)
        self.date_field = DateField("Date", allow_empty=False)
        self.previous = _arrow(Qt.ArrowType.LeftArrow, "Previous day (Page Up)")
        self.next = _arrow(Qt.ArrowType.RightArrow, "Next day (Page Down)")
        self.today = QPushButton("Today")
        self.today.setMinimumHeight(26)
        self.today.setToolTip("The same minute of today; Home goes to this minute")
        self.find_dates = QToolButton()
        self.find_dates.setText("Find dates…")
        self.find_dates.setProperty("link", True)
        self.find_dates.setToolTip("On which days light, tide and Moon come together")
        self.chart = DayStripChart()
        self.headings = StripHeadings(self.chart)
        self.scroll_area = StripScroll(self.chart)
        self.reading = _label(wraps=True)
        self.foot = _label(soft=True, wraps=True)
        self.setFocusProxy(self.chart)
        self._lay_out()
        self._wire()
        self.heading.setProperty("type", "title")
        self.foot.setProperty("type", "small")
        self.reading.setProperty("type", "small")

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        self.chart.set_theme(theme)
        self.headings.set_theme(theme)

    def refresh(self) -> None:
        """Compute the day in the background, then show it."""
        selection = self._selection
        is_leg = selection.record_kind is Leg
        dossier = self._library.dossier(selection.location_id)
        skylines = (
            self._horizons.of_choice(
                dossier, selection.vantage_point_id, selection.subject_id
            )
            if self._horizons
            else ()
        )
        self._jobs.start(
            "day strip",
            strip_content,
            dossier,
            Choice(
                selection.day,
                selection.vantage_point_id,
                selection.trip_id,
                selection.record_id if is_leg else None,
            ),
            self._preferences.settings,
            self._now(),
            skylines,
            done=self.show_content,
            failed=self._show_failure,
        )

    def show_content(self, content: StripContent) -> None:
        """Put the day on the page; decide nothing."""
        self.content = content
        self.heading.setText(content.heading)
        self.clock.setText(content.clock)
        self.clock.setVisible(bool(content.clock))
        self.foot.setText("\n".join(content.foot))
        self.headings.setVisible(not content.message)
        self.headings.set_wind_unit(content.wind.unit)
        self.chart.show_content(content)
        self._show_minute()

    def step_days(self, days: int) -> None:
        """Go some days on, to the same minute of the clock."""
        self.choose_day(step_day(self._selection.day, days, self._zone()))

    def choose_day(self, day: date) -> None:
        """Go to a day, to the same minute of the clock."""
        instant = on_day(day, self._selection.instant, self._zone())
        self._selection.choose_time(day, instant)

    def step_minutes(self, minutes: int) -> None:
        """Move the line; over midnight the day turns too."""
        zone = self._zone()
        self._selection.choose_time(
            *step_minutes(self._selection.instant, minutes, zone)
        )
        self.scroll_area.show_y(self.chart.cursor_y())

    def choose_now(self) -> None:
        """Go to this minute of today."""
        now = self._now()
        self._selection.choose_time(local_date(now, self._zone()), now)
        self.scroll_area.show_y(self.chart.cursor_y())

    def _lay_out(self) -> None:
        days = QHBoxLayout()
        days.setSpacing(4)
        days.addWidget(self.previous)
        days.addWidget(self.date_field, 1)
        days.addWidget(self.next)
        days.addSpacing(6)
        days.addWidget(self.today)
        top = QVBoxLayout()
        top.setContentsMargins(12, 10, 10, 0)
        top.setSpacing(3)
        top.addWidget(self.heading)
        sky = QHBoxLayout()
        sky.setSpacing(6)
        sky.addWidget(self.clock, 1)
        sky.addWidget(self.find_dates, 0, Qt.AlignmentFlag.AlignTop)
        top.addLayout(sky)
        top.addSpacing(3)
        top.addLayout(days)
        below = QVBoxLayout()
        below.setContentsMargins(12, 2, 10, 8)
        below.setSpacing(3)
        below.addWidget(self.reading)
        below.addWidget(self.foot)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addLayout(top)
        layout.addWidget(self.headings)
        layout.addWidget(self.scroll_area, 1)
        layout.addLayout(below)
        self.setMinimumWidth(300)

    def _wire(self) -> None:
        self.previous.clicked.connect(lambda: self.step_days(-1))
        self.next.clicked.connect(lambda: self.step_days(1))
        self.today.clicked.connect(self._choose_today)
        self.find_dates.clicked.connect(lambda: self.datesAsked.emit())
        self.date_field.edited.connect(self._choose_date)
        self.chart.minuteChosen.connect(self._choose_minute)
        self.chart.minutesStepped.connect(self.step_minutes)
        self.chart.daysStepped.connect(self.step_days)
        self.chart.nowAsked.connect(self.choose_now)
        self.chart.zoomAsked.connect(self.scroll_area.zoom_by)
        self._selection.minuteChanged.connect(self._show_minute)
        self.follow(
            self._library.changed, self._selection.changed, self._preferences.changed
        )
        if self._horizons is not None:
            self.follow(self._horizons.changed)

    def _zone(self) -> str:
        dossier = self._library.dossier(self._selection.location_id)
        return dossier.location.zone if dossier else "UTC"

    def _choose_today(self) -> None:
        self.choose_day(local_date(self._now(), self._zone()))

    def _choose_date(self, day: date) -> None:
        self.choose_day(day)
        self.date_field.set_value(self._selection.day)

    def _choose_minute(self, instant: datetime) -> None:
        self._selection.choose_time(self._selection.day, instant)

    def _show_minute(self) -> None:
        day, instant = self._selection.day, self._selection.instant
        self.date_field.set_value(day, keep_typing=True)
        settings = self._preferences.settings
        content = self.content
        is_shown = content is not None and not content.message
        words = reading(content, instant, settings) if content and is_shown else ""
        self.reading.setText(words)
        self.reading.setVisible(bool(words))
        self.chart.set_cursor(
            instant, clock_text(instant, self._zone(), settings), words
        )

    def _show_failure(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_content(empty_strip(self._selection.day, str(error)))


class StripScroll(QScrollArea):
    """Holds the chart; a whole day fits until the hours are made larger."""

    def __init__(self, chart: DayStripChart) -> None:
        super().__init__()
        self._chart = chart
        self._zoom = 1.0
        self.setWidget(chart)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def zoom(self) -> float:
        """How many times as high as the window the day is."""
        return self._zoom

    def zoom_by(self, factor: float, y: float) -> None:
        """Make the hours larger or smaller; what stands at `y` stays where it is."""
        wanted = min(max(self._zoom * factor, 1.0), _LARGEST_ZOOM)
        bar = self.verticalScrollBar()
        above = y - bar.value()
        share = y / max(1, self._chart.height())
        self._zoom = wanted
        self._fit()
        self._chart.resize(self._chart.width(), self._chart.minimumHeight())
        bar.setValue(round(share * self._chart.minimumHeight() - above))

    def show_y(self, y: float | None) -> None:
        """Scroll until a height can be seen, with a little around it."""
        if y is not None:
            self.ensureVisible(0, int(y), 0, self.fontMetrics().height() * 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the number of hours that can be seen."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        least = 25 * _LEAST_HOUR_PX
        self._chart.setMinimumHeight(
            round(max(self.viewport().height(), least) * self._zoom)
            if self._zoom > 1.0
            else least
        )


def _label(*, soft: bool = False, wraps: bool = False) -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(wraps)
    if soft:
        label.setProperty("soft", True)
    return label


def _arrow(kind: Qt.ArrowType, name: str) -> QToolButton:
    button = QToolButton()
    button.setArrowType(kind)
    button.setAccessibleName(name)
    button.setToolTip(name)
    return button
