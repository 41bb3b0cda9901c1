"""Work on the points of the chosen line, and on routes; each verb is one step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position, bearing_deg, destination, distance_m
from fieldtrip.places.records import (
    AccessRoute,
    Closure,
    Hazard,
    HazardKind,
    Leg,
    Shape,
)
from fieldtrip.store.store import Change
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.route_edits import (
    Edits,
    join_leg,
    move_leg,
    reverse_route,
    split_leg,
)

# Bearings, true, in which a point is nudged.
NORTH, EAST, SOUTH, WEST = 0.0, 90.0, 180.0, 270.0


class LineWork(QObject):
    """Moves, adds and removes points of a leg, a hazard or a closure."""

    changed = Signal()  # another line, other points, or another point at work
    told = Signal(str)  # a sentence for the status line

    def __init__(
        self, library: Library, selection: Selection, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._index: int | None = None
        self._owner: UUID | None = None  # whose point `_index` is
        library.changed.connect(self._follow)
        selection.changed.connect(self._follow)

    @property
    def record(self) -> Leg | Hazard | Closure | None:
        """The chosen leg, hazard or closure whose line can be worked on."""
        kind = self._selection.record_kind
        if kind not in (Leg, Hazard, Closure) or self._selection.picked:
            return None
        found = self._library.get(kind, self._selection.record_id)
        if isinstance(found, Hazard | Closure) and (
            found.shape is Shape.POINT or not found.line
        ):
            return None
        return cast("Leg | Hazard | Closure | None", found)

    @property
    def index(self) -> int | None:
        """Which point of the line is at work, from 0; None: none is."""
        record = self.record
        if record is None or record.id != self._owner or self._index is None:
            return None
        return min(self._index, len(record.line) - 1)

    def use(self, index: int | None) -> None:
        """Work on this point, or on none."""
        record = self.record
        self._owner = record.id if record else None
        self._index = index
        self.changed.emit()

    def walk(self, by: int) -> None:
        """Go on to the next point (1) or back to the one before (-1), round and round.

        From none to the first, or to the last.
        """
        record = self.record
        if record is None:
            return
        index = self.index
        first = -1 if by > 0 else 0
        self.use(((first if index is None else index) + by) % len(record.line))

    # Points

    def move(self, index: int, position: Position) -> None:
        """Put a point elsewhere."""
        line = self._needed().line
        self._draw("move a point of", (*line[:index], position, *line[index + 1 :]))
        self.use(index)

    def nudge(self, bearing: float, by_m: float) -> None:
        """Move the point at work so many metres along a true bearing."""
        index = self._index_needed()
        self.move(index, destination(self._needed().line[index], bearing, by_m))

    def add(self, after: int, position: Position) -> None:
        """Set a new point after another, and work on it."""
        line = self._needed().line
        new = (*line[: after + 1], position, *line[after + 1 :])
        self._draw("add a point to", new)
        self.use(after + 1)

    def add_after(self) -> None:
        """Set a new point halfway to the next; at the end of a line, halfway back."""
        record, index = self._needed(), self._index_needed()
        is_ring = not isinstance(record, Leg) and record.shape is Shape.AREA
        if index == len(record.line) - 1 and not is_ring:
            index -= 1
        here, there = record.line[index], record.line[(index + 1) % len(record.line)]
        self.add(index, _halfway(here, there))

    def remove(self, index: int) -> None:
        """Take a point away; refused where too few would be left."""
        line = self._needed().line
        self._draw("remove a point of", (*line[:index], *line[index + 1 :]))
        self.use(min(index, len(line) - 2))

    def remove_current(self) -> None:
        """Take the point at work away."""
        self.remove(self._index_needed())

    def turn_round(self) -> None:
        """Let the line of the chosen hazard run the other way."""
        record = self._needed()
        if not isinstance(record, Hazard) or record.shape is not Shape.LINE:
            raise UserError("Choose a hazard that is a line first.")
        self._draw("turn round", record.line[::-1])
        if record.kind is HazardKind.CLIFF_EDGE:
            self.told.emit("The drop is now drawn on the other side of the edge.")

    # Routes

    def split(self) -> None:
        """Part the chosen leg at the point at work."""
        leg = self._leg()
        index = self.index
        if index is None:
            raise UserError(
                "Choose the point at which to split first: on the map, with N."
            )
        dossier = self._dossier(leg.route_id)
        self._apply(f"split “{leg.name}”", split_leg(dossier, leg, index))
        self.use(None)
        if leg.ascent_m or leg.descent_m:
            self.told.emit(
                "How ascent and descent divide between the two parts is not known. "
                "Type them on the card."
            )

    def join(self) -> None:
        """Make one leg of the chosen one and the next."""
        leg = self._leg()
        dossier = self._dossier(leg.route_id)
        self._apply(f"join “{leg.name}” with the next leg", join_leg(dossier, leg))
        self.use(None)

    def move_in_route(self, by: int) -> None:
        """Put the chosen leg before the one before it (-1), or after the next (1)."""
        leg = self._leg()
        dossier = self._dossier(leg.route_id)
        self._apply(f"move “{leg.name}” in its route", move_leg(dossier, leg, by))

    def reverse(self) -> None:
        """Turn the chosen route round, or that of the chosen leg."""
        selection = self._selection
        if selection.record_kind is AccessRoute and selection.record_id:
            route_id = selection.record_id
        else:
            route_id = self._leg().route_id
        route = self._library.get(AccessRoute, route_id)
        if route is None:
            raise UserError("That route is no longer in the library.")
        dossier = self._dossier(route.id)
        self._apply(f"turn “{route.name}” round", reverse_route(dossier, route))
        self.use(None)

    def _follow(self) -> None:
        record = self.record
        if record is None or record.id != self._owner:
            self._owner, self._index = (record.id if record else None), None
        self.changed.emit()

    def _needed(self) -> Leg | Hazard | Closure:
        record = self.record
        if record is None:
            raise UserError(
                "Choose a leg first, or a hazard or closure that is a line or an area."
            )
        return record

    def _index_needed(self) -> int:
        index = self.index
        if index is None:
            raise UserError("Choose a point of the line on the map first, with N.")
        return index

    def _leg(self) -> Leg:
        record = self.record
        if not isinstance(record, Leg):
            raise UserError("Choose a leg of a route first.")
        return record

    def _dossier(self, route_id: UUID) -> Dossier:
        route = self._library.get(AccessRoute, route_id)
        dossier = self._library.dossier(route.location_id) if route else None
        if dossier is None:
            raise UserError("That route is no longer in the library.")
        return dossier

    def _draw(self, verb: str, line: Line) -> None:
        record = self._needed()
        self._library.edit(
            f"{verb} “{record.name}”", record, replace(record, line=line)
        )

    def _apply(self, step: str, edits: Edits) -> None:
        changes: Sequence[Change] = [Change(*edit) for edit in edits]
        self._library.change(step, changes)


def _halfway(here: Position, there: Position) -> Position:
    return destination(here, bearing_deg(here, there), distance_m(here, there) / 2.0)
