"""On the card of a vantage point or a leg: what the elevation model says of it."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.charts.profile_chart import ProfileChart
from fieldtrip.desktop.content.drops import DropRow
from fieldtrip.desktop.content.leg_ground import LegGround, leg_ground
from fieldtrip.desktop.content.profile import profile_reading
from fieldtrip.desktop.drop_work import DropWork
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import Theme
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg

_PROFILE_PX = 130


class GroundSection(Panel):
    """A leg's profile, and the drops near a leg or a vantage point."""

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        elevations: Elevations,
        drops: DropWork,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._elevations = elevations
        self.drops = drops
        self._leg = LegGround()
        self.heading = QLabel("The ground there")
        self.heading.setProperty("type", "heading")
        self.profile = ProfileChart("Profile of the leg")
        self.profile.setFixedHeight(_PROFILE_PX)
        self.reading = plain_label(soft=True)
        self.words = plain_label()
        self.look = QPushButton("Look for drops in the elevation model")
        self.summary = plain_label(soft=True)
        self.again = QPushButton("Propose them again")
        self.again.setVisible(False)
        self.rows: list[_Row] = []
        self._lay_out()
        self.look.clicked.connect(self._look)
        self.again.clicked.connect(drops.propose_again)
        self.profile.readAt.connect(self._read)
        drops.changed.connect(self._show_drops_if_seen)
        self.follow(
            library.changed,
            selection.changed,
            preferences.changed,
            elevations.changed,
        )

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        self.profile.set_theme(theme)

    def refresh(self) -> None:
        """Read the ground below a leg in the background, and show the drops."""
        self._show_drops()
        selection = self._selection
        leg = None
        if selection.record_kind is Leg:
            leg = self._library.get(Leg, selection.record_id)
        if leg is None:
            self._jobs.cancel("leg profile")
            self.show_leg(LegGround())
            return
        self._jobs.start(
            "leg profile",
            leg_ground,
            self._elevations.ground,
            leg,
            self._preferences.settings,
            done=self.show_leg,
            failed=self._fail,
            progressed=lambda _: None,
        )

    def show_leg(self, content: LegGround) -> None:
        """Put the profile on the card; decide nothing."""
        self._leg = content
        self.profile.show_content(content.profile)
        self.profile.setVisible(content.profile is not None)
        self.reading.setVisible(content.profile is not None)
        self.reading.setText("")
        self.words.setText(content.words)
        self.words.setVisible(bool(content.words))

    def _lay_out(self) -> None:
        self.reading.setProperty("type", "small")
        self._rows_column = QVBoxLayout()
        self._rows_column.setSpacing(2)
        row = QHBoxLayout()
        row.addWidget(self.look)
        row.addWidget(self.summary, 1)
        row.addWidget(self.again)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(5)
        for widget in (self.heading, self.words, self.profile, self.reading):
            column.addWidget(widget)
        column.addLayout(row)
        column.addLayout(self._rows_column)

    def _look(self) -> None:
        try:
            self.drops.look()
        except UserError as error:
            self.summary.setText(str(error))

    def _show_drops_if_seen(self) -> None:
        if self.isVisible():
            self._show_drops()

    def _show_drops(self) -> None:
        shown = self.drops.shown()
        is_looking = self.drops.is_looking
        self.look.setEnabled(not is_looking)
        self.summary.setText("Looking…" if is_looking else shown.summary)
        self.again.setVisible(shown.left_out > 0)
        while len(self.rows) < len(shown.rows):
            row = _Row()
            number = len(self.rows)
            row.accept.clicked.connect(partial(self.drops.accept, number))
            row.reject.clicked.connect(partial(self.drops.reject, number))
            self.rows.append(row)
            self._rows_column.addWidget(row)
        for number, row in enumerate(self.rows):
            row.setVisible(number < len(shown.rows))
            if number < len(shown.rows):
                row.show_row(shown.rows[number])

    def _read(self, at_m: float) -> None:
        if self._leg.profile is not None:
            words = profile_reading(self._leg.profile, at_m)
            self.reading.setText(words)
            self.profile.setAccessibleDescription(words)

    def _fail(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.show_leg(LegGround(words=str(error)))


class _Row(QWidget):
    """One drop, and what may be done about it."""

    def __init__(self) -> None:
        super().__init__()
        self.words = plain_label()
        self.words.setSizePolicy(
            QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum
        )
        self.accept = QPushButton("Add as cliff edge")
        self.reject = QPushButton("Leave out")
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 0, 0, 0)
        row.addWidget(self.words, 1)
        row.addWidget(self.accept)
        row.addWidget(self.reject)

    def show_row(self, shown: DropRow) -> None:
        """Say what it is; one that is typed already is not proposed."""
        known = f" — recorded as “{shown.recorded}”" if shown.recorded else ""
        self.words.setText(f"{shown.words[:1].upper()}{shown.words[1:]}{known}")
        self.accept.setVisible(not shown.recorded)
        self.reject.setVisible(not shown.recorded)
        self.accept.setAccessibleName(f"Add as cliff edge: {shown.words}")
        self.reject.setAccessibleName(f"Leave out: {shown.words}")
