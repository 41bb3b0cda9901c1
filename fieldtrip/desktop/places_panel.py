"""The list of places and trips, with a search box and what it is narrowed down to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QToolButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.found_places import found_content
from fieldtrip.desktop.content.places import (
    NO_PLACES,
    NO_TRIPS,
    PlaceRow,
    location_row,
    rows_below,
    trip_row,
)
from fieldtrip.desktop.content.sieve import KINDS, Sieve
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.place_finding import MOST_ROWS, find_places
from fieldtrip.desktop.places_tree import PlacesTree
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.places.records import AccessRoute, Leg, Location
from fieldtrip.store.changes import Change, Record
from fieldtrip.trips.records import Trip

_MOST_OPEN = 40  # locations; a longer list is easier to read when it is folded
_MOST_RENEWED = 5  # locations in one edit; after a larger one all is read anew
_ASPECTS = {
    "tide_bound": "Tide-bound, or not known",
    "exposed": "Exposed, or not known",
    "unconfirmed_months": "Not confirmed for 12 months",
    "never_confirmed": "Never confirmed",
}


class PlacesPanel(Panel):
    """Shows what the library holds; choosing a line chooses it for the window."""

    contextAsked = Signal(QPoint)  # on the screen; the line is already chosen
    removeAsked = Signal()
    editAsked = Signal()

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        today: Callable[[], date],
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._today = today
        self._sieve = Sieve()
        self._aspects: dict[str, QAction] = {}
        self._kinds: dict[type | None, QAction] = {}

        self.search = QLineEdit()
        self.search.setPlaceholderText("Search places and notes")
        self.search.setAccessibleName("Search places and notes")
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.refresh)
        self.narrow = QToolButton()
        self.narrow.setText("Only…")
        self.narrow.setToolTip("Show only some kinds of records")
        self.narrow.setAccessibleName("Show only some kinds of records")
        self.narrow.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.narrow.setMenu(self._narrow_menu())
        self.state = QLabel()
        self.state.setWordWrap(True)
        self.state.setTextFormat(Qt.TextFormat.PlainText)
        self.state.setProperty("accent", True)
        self.widen = QPushButton("Show all")
        self.widen.clicked.connect(lambda: self.use_sieve(Sieve()))
        self.hint = QLabel()
        self.hint.setWordWrap(True)
        self.hint.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setProperty("soft", True)
        self.hint.setContentsMargins(4, 6, 4, 0)
        self.tree = PlacesTree(self._rows_below)
        self.tree.rowChosen.connect(self._choose)
        self.tree.morePicked.connect(self._pick)
        self.tree.itemActivated.connect(lambda *_: self.editAsked.emit())
        self.tree.contextAsked.connect(self.contextAsked)
        self.setMinimumWidth(150)
        self._lay_out()
        self.follow(preferences.changed)
        library.changed.connect(self._heed_changes)
        selection.changed.connect(self._mark)

    def refresh(self) -> None:
        """Read anew what is listed, and keep what was folded and chosen."""
        self._is_stale = False
        bar = self.tree.verticalScrollBar()
        place = bar.value()
        if self._is_searching():
            self._show_found()
        else:
            self._show_all()
        is_narrow = not self._sieve.is_open
        self.state.setText(self._sieve.words())
        self.state.setVisible(is_narrow)
        self.widen.setVisible(is_narrow)
        self._mark()
        bar.setValue(place)

    def use_sieve(self, sieve: Sieve) -> None:
        """List only what passes."""
        self._sieve = sieve
        for aspect, action in self._aspects.items():
            action.setChecked(getattr(sieve, aspect))
        self._kinds[sieve.kind].setChecked(True)
        self.refresh()

    def _is_searching(self) -> bool:
        return bool(self.search.text().strip()) or not self._sieve.is_open

    def _show_all(self) -> None:
        locations = self._library.locations()
        trips = self._trip_rows()
        self.tree.show_all(
            [location_row(location) for location in locations],
            trips,
            opens_all=len(locations) <= _MOST_OPEN,
        )
        self._tell_what_is_missing()

    def _show_found(self) -> None:
        query, today = self.search.text(), self._today()
        locations = {at.id: at for at in self._library.locations()}
        found = find_places(
            self._library.store,
            locations,
            query=query,
            sieve=self._sieve,
            today=today,
        )
        content = found_content(
            found,
            locations,
            query=query,
            sieve=self._sieve,
            today=today,
            settings=self._preferences.settings,
            most=MOST_ROWS,
        )
        self.tree.show_found(content.places, content.trips)
        self._say(content.hint)

    def _heed_changes(self, changes: Sequence[Change]) -> None:
        """Show what was edited, and leave all other lines as they are."""
        if not self.isVisible() or self._is_stale:
            self._is_stale = True
            return
        records = [
            record
            for change in changes
            for record in (change.before, change.after)
            if record is not None
        ]
        at = {found for record in records for found in self._locations_of(record)}
        if self._is_searching() or not changes or len(at) > _MOST_RENEWED:
            self.refresh()
            return
        for location_id in at:
            location = self._library.get(Location, location_id)
            if location is None:
                self.tree.remove_location(location_id)
            elif self.tree.has_locations:
                self.tree.put_location(location_row(location))
            else:
                self.refresh()
                return
        if not self.tree.has_locations:
            self.refresh()
            return
        if any(isinstance(record, (Trip, Location)) for record in records):
            self.tree.put_trips(self._trip_rows())
            self._tell_what_is_missing()
        self._mark()

    def _locations_of(self, record: Record) -> Sequence[UUID]:
        """The locations whose lines speak of a record."""
        if isinstance(record, Location):
            return (record.id,)
        if isinstance(record, Leg):
            route = self._library.get(AccessRoute, record.route_id)
            return () if route is None else (route.location_id,)
        return (
            (getattr(record, "location_id", record.id),)
            if type(record) in KINDS
            else ()
        )

    def _rows_below(self, location_id: UUID) -> Sequence[PlaceRow]:
        dossier = self._library.dossier(location_id)
        if dossier is None:
            return ()
        return rows_below(dossier, self._today(), self._preferences.settings)

    def _trip_rows(self) -> list[PlaceRow]:
        names = {at.id: at.name for at in self._library.locations()}
        trips = self._library.store.trips()
        return [trip_row(trip, names.get(trip.location_id, "")) for trip in trips]

    def _mark(self) -> None:
        if self.isVisible() and not self._is_stale:
            self.tree.mark(self._selection.record_id, self._selection.location_id)
            self.tree.mark_picked(self._selection.picked)

    def _tell_what_is_missing(self) -> None:
        hints = (
            "" if self.tree.has_locations else NO_PLACES,
            "" if self.tree.has_trips else NO_TRIPS,
        )
        self._say("\n".join(hint for hint in hints if hint))

    def _say(self, hint: str) -> None:
        self.hint.setText(hint)
        self.hint.setVisible(bool(hint))

    def _choose(self, row: PlaceRow) -> None:
        self._selection.choose(row.record, row.location_id)

    def _pick(self, record_ids: tuple[UUID, ...]) -> None:
        self._selection.pick(*record_ids)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(4)
        top.addWidget(self.search, 1)
        top.addWidget(self.narrow)
        narrowed = QHBoxLayout()
        narrowed.addWidget(self.state, 1)
        narrowed.addWidget(self.widen, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 10, 6, 6)
        layout.addLayout(top)
        layout.addLayout(narrowed)
        layout.addWidget(self.hint)
        layout.addWidget(self.tree, 1)

    def _narrow_menu(self) -> QMenu:
        menu = QMenu(self)
        for aspect, words in _ASPECTS.items():
            action = menu.addAction(words)
            action.setCheckable(True)
            action.triggered.connect(partial(self._use_aspect, aspect))
            self._aspects[aspect] = action
        menu.addSeparator()
        group = QActionGroup(menu)
        kinds: list[tuple[type | None, str]] = [(None, "all kinds"), *KINDS.items()]
        for kind, words in kinds:
            action = menu.addAction(words.capitalize())
            action.setCheckable(True)
            action.setChecked(kind is None)
            action.setActionGroup(group)
            action.triggered.connect(partial(self._use_kind, kind))
            self._kinds[kind] = action
        return menu

    def _use_aspect(self, aspect: str) -> None:
        changed: dict[str, Any] = {aspect: self._aspects[aspect].isChecked()}
        self.use_sieve(replace(self._sieve, **changed))

    def _use_kind(self, kind: type | None) -> None:
        self.use_sieve(replace(self._sieve, kind=kind))
