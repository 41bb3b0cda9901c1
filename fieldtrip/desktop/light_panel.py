"""The card's Light page: the day's events, and Sun and Moon at the minute."""

from __future__ import annotations

from PySide6.QtWidgets import QFormLayout, QLabel, QVBoxLayout, QWidget

from fieldtrip.almanac.spots import Skyline
from fieldtrip.desktop.choosers import Choosers
from fieldtrip.desktop.content.light import (
    LightDay,
    LightMinute,
    light_day,
    light_minute,
)
from fieldtrip.desktop.copy_table import CopyTable
from fieldtrip.desktop.facts import Facts, TwoHalves, plain_label
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError

_STRONG = ("sunrise", "sunset")


class LightPanel(Panel):
    """Follows place, day and minute; a click on an event goes to its minute."""

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        horizons: Horizons | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._horizons = horizons
        self._theme = LIGHT
        self._content = LightDay()

        self.message = plain_label(soft=True)
        self.heading = plain_label(soft=True)
        self.table = CopyTable("The day's events", ("Event", "Time", "Azimuth"))
        self.opinion = plain_label()
        self.seen = plain_label(soft=True)
        self.on_the_spot = plain_label(soft=True)
        self._choosers = Choosers(selection, self)
        self.vantage, self.subject = self._choosers.vantage, self._choosers.subject
        self.minute_heading = QLabel()
        self.facts = Facts("At the chosen minute")
        self.page = TwoHalves()
        self._lay_out()
        self._wire()

    def set_theme(self, theme: Theme) -> None:
        """Colour the caution for light or dark paper."""
        self._theme = theme
        self._colour_opinion()

    def refresh(self) -> None:
        """Compute the day in the background; the minute is quick enough for here."""
        selection = self._selection
        dossier = self._library.dossier(selection.location_id)
        self._choosers.show_dossier(dossier)
        self._show_minute()
        self._jobs.start(
            "light page",
            light_day,
            dossier,
            selection.vantage_point_id,
            selection.day,
            self._preferences.settings,
            self._skylines(),
            done=self.show_content,
            failed=self._show_failure,
        )

    def show_content(self, content: LightDay) -> None:
        """Put the texts into the widgets; decide nothing."""
        self._content = content
        self.message.setText(content.message)
        self.message.setVisible(bool(content.message))
        self.page.setVisible(not content.message)
        self.heading.setText(content.heading)
        rows = content.rows
        self.table.show_rows(
            [(row.name, row.time, row.azimuth) for row in rows],
            strong=[i for i, row in enumerate(rows) if row.name in _STRONG],
            soft=[i for i, row in enumerate(rows) if row.instant is None],
        )
        self.opinion.setText(content.opinion)
        self.seen.setText(content.seen)
        self.on_the_spot.setText(content.on_the_spot)
        self.on_the_spot.setVisible(bool(content.on_the_spot))
        self._show_minute()
        self._colour_opinion()

    def show_minute(self, minute: LightMinute | None) -> None:
        """Put the minute's facts into the widgets."""
        self.minute_heading.setText(minute.heading if minute else "")
        self.facts.show_facts(minute.facts if minute else ())

    def _lay_out(self) -> None:
        self.minute_heading.setProperty("type", "heading")
        left, right = self.page.first, self.page.second
        left.addWidget(self.heading)
        left.addWidget(self.table)
        left.addStretch(1)
        choosers = QFormLayout()
        choosers.setContentsMargins(0, 0, 0, 0)
        choosers.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        choosers.addRow("&From", self.vantage)
        choosers.addRow("S&ubject", self.subject)
        right.addLayout(choosers)
        right.addSpacing(4)
        right.addWidget(self.minute_heading)
        right.addWidget(self.facts)
        right.addSpacing(6)
        right.addWidget(self.on_the_spot)
        right.addWidget(self.opinion)
        right.addWidget(self.seen)
        right.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        self.message.setMargin(14)
        layout.addWidget(self.message)
        layout.addWidget(self.page, 1)
        QWidget.setTabOrder(self.table, self.vantage)
        QWidget.setTabOrder(self.vantage, self.subject)

    def _wire(self) -> None:
        self.table.rowChosen.connect(self._go_to)
        self._selection.minuteChanged.connect(self._show_minute_if_seen)
        self.follow(
            self._library.changed, self._selection.changed, self._preferences.changed
        )
        if self._horizons is not None:
            self.follow(self._horizons.changed)

    def _skylines(self) -> tuple[Skyline, ...]:
        """Of the chosen vantage point and subject; some may be waited for."""
        if self._horizons is None:
            return ()
        selection = self._selection
        return self._horizons.of_choice(
            self._library.dossier(selection.location_id),
            selection.vantage_point_id,
            selection.subject_id,
        )

    def _go_to(self, row: int) -> None:
        rows = self._content.rows
        if 0 <= row < len(rows) and (instant := rows[row].instant) is not None:
            self._selection.choose_time(self._selection.day, instant)

    def _show_minute_if_seen(self) -> None:
        if self.isVisible():
            self._show_minute()

    def _show_minute(self) -> None:
        selection = self._selection
        try:
            minute = light_minute(
                self._library.dossier(selection.location_id),
                selection.vantage_point_id,
                selection.subject_id,
                selection.instant,
                self._preferences.settings,
                self._content.lights,
            )
        except UserError as error:  # beyond the sky's years
            minute = LightMinute("", (("", str(error)),))
        self.show_minute(minute)

    def _show_failure(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_content(LightDay(message=str(error)))

    def _colour_opinion(self) -> None:
        colour = self._theme.caution if self._content.is_opinion_caution else ""
        self.opinion.setStyleSheet(f"color: {colour}" if colour else "")
