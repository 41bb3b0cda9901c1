"""The coming dates of the searches that are kept with a vantage point."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QToolButton, QVBoxLayout

from fieldtrip.desktop.content.dates import SkylineOf, next_dates
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.tips import plain_tip
from fieldtrip.places.records import VantagePoint

NONE_KEPT = (
    "No search for dates is kept with this vantage point. Trip ▸ Find dates… makes one."
)
_JOB = "next dates"
_LEAST_ROOM = 480  # pixels of text


class NextDates(Panel):
    """A line for each kept search; a click on it opens the search."""

    searchAsked = Signal(object)  # the id of a search

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        today: Callable[[], date],
        now: Callable[[], datetime],
        skyline_of: SkylineOf | None = None,
    ) -> None:
        super().__init__()
        self._library, self._selection = library, selection
        self._preferences, self._jobs = preferences, jobs
        self._today, self._now, self._skyline_of = today, now, skyline_of
        self._asked: tuple[object, ...] | None = None
        heading = QLabel("Next dates")
        heading.setProperty("type", "heading")
        self.hint = plain_label(soft=True)
        self.lines: list[QToolButton] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 8, 0, 0)
        self._column.setSpacing(3)
        self._column.addWidget(heading)
        self._column.addWidget(self.hint)
        self.follow(library.changed, selection.changed, preferences.changed)

    def refresh(self) -> None:
        """Search in the background, from today on."""
        dossier = self._library.dossier(self._selection.location_id)
        spot_id = self._selection.record_id
        asked = (dossier, spot_id, self._today(), self._preferences.settings)
        if dossier is None or self._selection.record_kind is not VantagePoint:
            self._jobs.cancel(_JOB)
            self._asked = None
            return
        if (
            self._asked is not None
            and self._asked[0] is dossier
            and (self._asked[1:] == asked[1:])
        ):
            return  # another day or minute is looked at: nothing else is found
        self._asked = asked
        if not any(each.vantage_point_id == spot_id for each in dossier.searches):
            self._jobs.cancel(_JOB)
            self.show_content(())
            self.hint.setText(NONE_KEPT)
            return
        self.hint.setText("Looking …")
        self._jobs.start(
            _JOB,
            next_dates,
            dossier,
            spot_id,
            self._today(),
            self._now(),
            self._preferences.settings,
            self._skyline_of,
            done=self.show_content,
            progressed=lambda _share: None,
        )

    def look_again(self) -> None:
        """Search anew, since other ground stands against the sky."""
        self._asked = None
        self._outdate()

    def show_content(self, content: tuple[tuple[UUID, str], ...]) -> None:
        """Put the texts into the lines; decide nothing."""
        self.hint.setText("")
        self.hint.setVisible(not content)
        for line in self.lines:
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        self.lines = []
        for search_id, words in content:
            line = QToolButton()
            line.setText(self._fitting(words).replace("&", "&&"))
            line.setProperty("link", True)
            line.setToolTip(plain_tip(f"{words}\nOpen this search"))
            line.setAccessibleName(words)
            line.clicked.connect(partial(self._ask, search_id))
            self._column.addWidget(line)
            self.lines.append(line)

    def _fitting(self, words: str) -> str:
        """On one line, with an ellipsis where it is longer than the card is wide."""
        room = max(_LEAST_ROOM, self.width() - 40)
        mode = Qt.TextElideMode.ElideRight
        return self.fontMetrics().elidedText(" ".join(words.split()), mode, room)

    def _ask(self, search_id: UUID, _is_checked: bool = False) -> None:
        self.searchAsked.emit(search_id)
