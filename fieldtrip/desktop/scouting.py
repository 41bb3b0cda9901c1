"""What one does to places: each verb makes records, in one step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.content.forms import kind_word, title_of
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.faults import LONGEST_NAME
from fieldtrip.geo import Line, Position
from fieldtrip.places.land_zone import ZONE_NOT_CHOSEN, land_zone
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Permit,
    Refuge,
    Shape,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.store.store import Change
from fieldtrip.trips.records import Trip

# Kinds that a click on the map can make, and that can be dragged.
POINT_KINDS: tuple[type[Any], ...] = (
    Location, VantagePoint, Subject, Refuge, StartPlace
)  # fmt: skip
# Kinds that are drawn as a point, a line or an area.
DRAWN_KINDS: tuple[type[Any], ...] = (Hazard, Closure)


class Scouting(QObject):
    """Adds, moves, draws anew and removes; what was made is then chosen."""

    made = Signal(object)  # the new record, chosen and ready to be named
    told = Signal(str)  # a sentence for the status line

    def __init__(
        self,
        library: Library,
        selection: Selection,
        today: Callable[[], date],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._today = today

    def add_at(self, kind: type, position: Position) -> None:
        """Add a location, or a point that belongs to one, at a position."""
        if kind is Location:
            self.add_location(position)
            return
        at = self.location_id()
        name = f"New {kind_word(kind)}"
        if kind is StartPlace:
            start = StartPlace(
                location_id=at, name=name, kind=StartKind.CAR_PARK, position=position
            )
            self._made(start, at)
            return
        self._made(kind(location_id=at, name=name, position=position), at)

    def add_hazard(self, kind: HazardKind, shape: Shape, line: Line) -> None:
        """Add a hazard as it was drawn."""
        at = self.location_id()
        hazard = Hazard(
            location_id=at,
            name=f"New {kind}",
            kind=kind,
            shape=shape,
            line=line,
            last_confirmed=None,
        )
        self._made(hazard, at)

    def add_leg(self, line: Line) -> None:
        """Add a leg as it was drawn, to the chosen route or to a new one."""
        at = self.location_id()
        route = self._chosen_route()
        added: list[Any] = []
        if route is None:
            route = AccessRoute(location_id=at, name="New access route")
            added.append(route)
        dossier = self._library.dossier(at)
        numbers = [leg.number for leg in dossier.legs_of(route)] if dossier else []
        number = max(numbers, default=0) + 1
        leg = Leg(route_id=route.id, number=number, name=f"Leg {number}", line=line)
        self._library.add("add leg", *added, leg)
        self._selection.choose(leg, at)
        self.made.emit(leg)

    def add_note(self) -> None:
        """Add an access note of today."""
        at = self.location_id()
        note = AccessNote(
            location_id=at, day=self._today(), kind=NoteKind.WAY, text="New note"
        )
        self._made(note, at)

    def add_permit(self) -> None:
        """Add a permit of which nothing is known yet."""
        at = self.location_id()
        self._made(Permit(location_id=at, name="New permit"), at)

    def add_closure(self, kind: ClosureKind, shape: Shape, line: Line = ()) -> None:
        """Add a closure as it was drawn, or one that is not drawn."""
        at = self.location_id()
        name = "New closure" if kind is ClosureKind.OTHER else f"New closure: {kind}"
        closure = Closure(location_id=at, name=name, kind=kind, shape=shape, line=line)
        self._made(closure, at)

    def move(self, record_id: UUID, position: Position) -> None:
        """Put a record where its mark was dragged; nothing for one that is gone."""
        for kind in POINT_KINDS:
            record = self._library.get(kind, record_id)
            if record is not None:
                self._library.edit(
                    f"move “{title_of(record)}”",
                    record,
                    replace(record, position=position),
                )
                return
        for drawn_kind in DRAWN_KINDS:
            drawn = self._library.get(drawn_kind, record_id)
            if drawn is not None and drawn.shape is Shape.POINT:
                moved = replace(drawn, line=(position,))
                self._library.edit(f"move “{drawn.name}”", drawn, moved)

    def redraw(self, record: Leg | Hazard | Closure, line: Line) -> None:
        """Give a leg, a hazard or a closure the line that was drawn."""
        now = self._library.get(type(record), record.id)
        if now is None:
            raise UserError(f"“{record.name}” is no longer in the library.")
        self._library.edit(f"draw “{now.name}” again", now, replace(now, line=line))

    def remove_chosen(self) -> None:
        """Remove what the card shows, with all that cannot be without it."""
        kind = self._selection.record_kind
        record: Any = (
            None if kind is None else self._library.get(kind, self._selection.record_id)
        )
        if record is None:
            return
        title = title_of(record)
        changes = self._library.store.removal_of(record)
        removed = sum(1 for change in changes if change.after is None)
        location_id = self._selection.location_id
        self._library.change(f"remove “{title}”", changes)
        gone = isinstance(record, Location)
        self._selection.choose(None, None if gone else location_id)
        more = f" and {removed - 1} more that belonged to it" if removed > 1 else ""
        self.told.emit(f"Removed “{title}”{more}. Edit ▸ Undo brings it back.")

    def location_id(self) -> UUID:
        """Where new records go: the chosen location, or the only one there is.

        Raises `UserError` where that is not clear.
        """
        if self._selection.location_id is not None:
            return self._selection.location_id
        locations = self._library.store.locations()
        if len(locations) == 1:
            return locations[0].id
        if not locations:
            raise UserError("Make a location first, with Place ▸ New location…")
        raise UserError("Choose a location in the list first: this belongs to one.")

    def choose_id(self, record_id: UUID) -> bool:
        """Choose a record by its id; False where no location has it."""
        for kind in (*POINT_KINDS, *DRAWN_KINDS, AccessRoute, AccessNote, Permit, Trip):
            record: Any = self._library.get(kind, record_id)
            if record is not None:
                at = record.id if kind is Location else record.location_id
                self._selection.choose(record, at)
                return True
        leg = self._library.get(Leg, record_id)
        route = self._library.get(AccessRoute, leg.route_id) if leg else None
        if leg is None or route is None:
            return False
        self._selection.choose(leg, route.location_id)
        return True

    def add_location(self, position: Position, name: str = "New location") -> None:
        """Add a location, in the time zone of the land there."""
        zone = land_zone(position)
        location = Location(
            name=name[:LONGEST_NAME], position=position, zone=zone or ZONE_NOT_CHOSEN
        )
        self._made(location, location.id)
        if zone is None:
            self.told.emit(
                "No land is near, so the time zone is not known: choose it on the card."
            )

    def _made(self, record: Any, location_id: UUID) -> None:
        step = f"add {kind_word(type(record))}"
        self._library.change(step, [Change(None, record)])
        self._selection.choose(record, location_id)
        self.made.emit(record)

    def _chosen_route(self) -> AccessRoute | None:
        kind, record_id = self._selection.record_kind, self._selection.record_id
        if kind is Leg:
            leg = self._library.get(Leg, record_id)
            return self._library.get(AccessRoute, leg.route_id) if leg else None
        if kind is AccessRoute:
            return self._library.get(AccessRoute, record_id)
        return None
