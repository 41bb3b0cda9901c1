"""The card's Tide page: turns, the height at the minute, and when each leg is open."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from fieldtrip.desktop.content.tide import (
    LegWindows,
    TideDay,
    tide_day,
    tide_minute,
)
from fieldtrip.desktop.copy_table import CopyTable
from fieldtrip.desktop.facts import TwoHalves, plain_label
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg


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
        self.source = plain_label(soft=True)
        self.legs_heading = plain_label()
        self.legs_hint = plain_label(soft=True)
        self.legs: list[_LegText] = []
        self.page = TwoHalves()
        self._leg_box = QVBoxLayout()
        self._lay_out()
        self.table.rowChosen.connect(self._go_to)
        selection.minuteChanged.connect(self._show_minute_if_seen)
        self.follow(library.changed, selection.changed, preferences.changed)

    def set_theme(self, theme: Theme) -> None:
        """Colour what is not known for light or dark paper."""
        self._theme = theme
        self._colour_legs()

    def refresh(self) -> None:
        """Compute the day in the background; the minute is quick enough for here."""
        selection = self._selection
        is_leg = selection.record_kind is Leg
        self._show_minute()
        self._jobs.start(
            "tide page",
            tide_day,
            self._library.dossier(selection.location_id),
            selection.record_id if is_leg else None,
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
        left.addWidget(self.source)
        left.addStretch(1)
        right.addWidget(self.legs_heading)
        right.addLayout(self._leg_box)
        right.addWidget(self.legs_hint)
        right.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.page, 1)

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
