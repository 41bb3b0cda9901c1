"""The card's Tide page: turns, the height at the minute, and when each leg is open."""

from __future__ import annotations

from datetime import time
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from fieldtrip.almanac.tide import (
    LegWindows,
    TideDay,
    tide_day,
    tide_minute,
)
from fieldtrip.desktop.content.day_clock import on_day
from fieldtrip.desktop.content.tide_month import COLUMNS, TideMonth, tide_month
from fieldtrip.desktop.content.tide_reach import reach_words
from fieldtrip.desktop.copy_table import CopyTable
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import TwoHalves, plain_label
from fieldtrip.desktop.fields import TextField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg, VantagePoint
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import station_of

AT_SUNSET = "sunset"
_REACH_JOB = "astronomical tides"


class ClockField(TextField):
    """A clock time for every day of a month, or sunset: None."""

    def _shown(self, value: Any) -> str:
        clock: time | None = value
        return AT_SUNSET if clock is None else f"{clock:%H:%M}"

    def _read(self) -> Any:
        text = self.line.text().strip()
        if not text or text.casefold() == AT_SUNSET:
            return None
        try:
            return time.fromisoformat(text.zfill(5)).replace(second=0, tzinfo=None)
        except ValueError as error:
            raise UserError(
                f"“{text}” is no time. Write it as 16:30, or as sunset."
            ) from error


class TidePanel(Panel):
    """Follows place, day and minute; a click on a turn goes to its minute."""

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._theme = LIGHT
        self._content = TideDay()

        self.message = plain_label(soft=True)
        self.heading = plain_label(soft=True)
        self.table = CopyTable("The day's turns", ("Water", "Time", "Height"))
        self.minute = plain_label()
        self.range = plain_label()
        self.source = plain_label(soft=True)
        self.month_heading = plain_label()
        self.clock = ClockField("Heights at", AT_SUNSET)
        self.clock.set_value(None)
        self.month_words = plain_label(soft=True)
        self.month = CopyTable("The month's tides", COLUMNS)
        self.month_note = plain_label(soft=True)
        self._month = TideMonth()
        self.reach_button = QPushButton("Highest and lowest tide of 19 years")
        self.reach = plain_label(soft=True)
        self._reach_of: object = None  # the station that the words speak of
        self.legs_heading = plain_label()
        self.legs_hint = plain_label(soft=True)
        self.legs: list[_LegText] = []
        self.page = TwoHalves()
        self._leg_box = QVBoxLayout()
        self._lay_out()
        self.table.rowChosen.connect(self._go_to)
        self.month.rowChosen.connect(self._go_to_day)
        self.clock.edited.connect(self._take_clock)
        self.reach_button.clicked.connect(self._find_reach)
        selection.minuteChanged.connect(self._show_minute_if_seen)
        self.follow(library.changed, selection.changed, preferences.changed)

    def set_theme(self, theme: Theme) -> None:
        """Colour what is not known for light or dark paper."""
        self._theme = theme
        self._colour_legs()

    def refresh(self) -> None:
        """Compute the day in the background; the minute is quick enough for here."""
        selection = self._selection
        has_water = selection.record_kind in (Leg, VantagePoint)
        self._show_minute()
        self._show_month()
        self._offer_reach()
        self._jobs.start(
            "tide page",
            tide_day,
            self._library.dossier(selection.location_id),
            selection.record_id if has_water else None,
            selection.day,
            self._preferences.settings,
            done=self.show_content,
            failed=self._show_failure,
        )

    def show_content(self, content: TideDay) -> None:
        """Put the texts into the widgets; decide nothing."""
        self._content = content
        self.message.setText(content.message)
        self.message.setVisible(bool(content.message))
        self.heading.setText(content.heading)
        self.heading.setVisible(bool(content.heading))
        self.table.setVisible(bool(content.rows))
        self.table.show_rows([(row.what, row.time, row.height) for row in content.rows])
        self.range.setText(content.range)
        self.range.setVisible(bool(content.range))
        self.source.setText("\n".join(content.source))
        self.legs_heading.setVisible(bool(content.legs or content.legs_hint))
        self.legs_hint.setText(content.legs_hint)
        self.legs_hint.setVisible(bool(content.legs_hint))
        while len(self.legs) < len(content.legs):
            text = _LegText()
            self.legs.append(text)
            self._leg_box.addLayout(text)
        for i, text in enumerate(self.legs):
            text.show_leg(content.legs[i] if i < len(content.legs) else None)
        self._colour_legs()

    def _lay_out(self) -> None:
        self.legs_heading.setText("When the way is open")
        self.legs_heading.setProperty("type", "heading")
        left, right = self.page.first, self.page.second
        left.addWidget(self.message)
        left.addWidget(self.heading)
        left.addWidget(self.table)
        left.addWidget(self.minute)
        left.addWidget(self.range)
        left.addWidget(self.source)
        self._lay_out_month(left)
        left.addStretch(1)
        right.addWidget(self.legs_heading)
        right.addLayout(self._leg_box)
        right.addWidget(self.legs_hint)
        right.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.page, 1)

    def _lay_out_month(self, left: QVBoxLayout) -> None:
        self.month_heading.setText("The month")
        self.month_heading.setProperty("type", "heading")
        left.addWidget(self.month_heading)
        left.addWidget(self.month_words)
        row = QHBoxLayout()
        row.addWidget(labelled("Heights at", self.clock))
        row.addStretch(1)
        left.addLayout(row)
        left.addWidget(self.month)
        left.addWidget(self.month_note)
        left.addWidget(self.reach_button, 0, Qt.AlignmentFlag.AlignLeft)
        left.addWidget(self.reach)

    def _dossier(self) -> Dossier | None:
        return self._library.dossier(self._selection.location_id)

    def _show_month(self) -> None:
        self._jobs.start(
            "tide month",
            tide_month,
            self._dossier(),
            self._selection.day,
            self.clock.value,
            self._preferences.settings,
            done=self.show_month,
        )

    def show_month(self, content: TideMonth) -> None:
        """Put the month's texts into its table; decide nothing."""
        self._month = content
        for widget in (self.month_heading, self.month, self.clock):
            widget.setVisible(bool(content.rows))
        self.month_words.setText(content.heading)
        self.month_note.setText(content.note)
        self.month.show_rows(
            [row.texts for row in content.rows],
            strong=[i for i, row in enumerate(content.rows) if row.is_large],
        )

    def _take_clock(self, value: Any) -> None:
        self.clock.set_value(value)
        self._show_month()

    def _go_to_day(self, row: int) -> None:
        dossier = self._dossier()
        if dossier is not None and 0 <= row < len(self._month.rows):
            day = self._month.rows[row].day
            instant = on_day(day, self._selection.instant, dossier.location.zone)
            self._selection.choose_time(day, instant)

    def _offer_reach(self) -> None:
        """Ask for the far ends of a station's tide only where it can tell them."""
        dossier = self._dossier()
        station = None if dossier is None else station_of(dossier)
        can_tell = station is not None and station.reach is None
        self.reach_button.setVisible(can_tell)
        if station != self._reach_of:  # the words were about another one
            self._jobs.cancel(_REACH_JOB)
            self._reach_of = station
            self.reach.setText("")
        self.reach.setVisible(bool(self.reach.text()))

    def _find_reach(self) -> None:
        dossier = self._dossier()
        station = None if dossier is None else station_of(dossier)
        if dossier is None or station is None:
            return
        self._say_reach("Looking through 19 years …")
        self._jobs.start(
            _REACH_JOB,
            reach_words,
            station,
            self._selection.day.year,
            dossier.location.zone,
            self._preferences.settings,
            done=self._say_reach,
            failed=lambda error: self._say_reach(str(error)),
            progressed=lambda part: self._say_reach(
                f"Looking through 19 years: {part * 100.0:.0f} %"
            ),
        )

    def _say_reach(self, text: str) -> None:
        self.reach.setText(text)
        self.reach.setVisible(bool(text))

    def _go_to(self, row: int) -> None:
        rows = self._content.rows
        if 0 <= row < len(rows):
            self._selection.choose_time(self._selection.day, rows[row].instant)

    def _show_minute_if_seen(self) -> None:
        if self.isVisible():
            self._show_minute()

    def _show_minute(self) -> None:
        selection = self._selection
        text = tide_minute(
            self._library.dossier(selection.location_id),
            selection.day,
            selection.instant,
            self._preferences.settings,
        )
        self.minute.setText(text)
        self.minute.setVisible(bool(text))

    def _show_failure(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_content(TideDay(message=str(error)))

    def _colour_legs(self) -> None:
        for text in self.legs:
            text.colour(self._theme.ink, self._theme.unknown)


class _LegText(QVBoxLayout):
    """One leg: its name, its windows, and the small print beside them."""

    def __init__(self) -> None:
        super().__init__()
        self.setSpacing(2)
        self.setContentsMargins(0, 0, 0, 8)
        self.name, self.state = plain_label(), plain_label()
        self.small = plain_label(soft=True)
        self._is_known = True
        self.name.setProperty("type", "strong")
        for label in (self.name, self.state, self.small):
            self.addWidget(label)

    def show_leg(self, leg: LegWindows | None) -> None:
        """Put the texts in; None hides it."""
        for label in (self.name, self.state, self.small):
            label.setVisible(leg is not None)
        if leg is not None:
            self._is_known = leg.is_known
            self.name.setText(leg.name)
            self.state.setText(leg.state)
            self.small.setText(" ".join(leg.lines))

    def colour(self, known: str, unknown: str) -> None:
        """The ink of what is known and of what is not."""
        self.state.setStyleSheet(f"color: {known if self._is_known else unknown}")
