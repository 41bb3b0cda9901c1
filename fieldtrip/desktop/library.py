"""The open library file, with undo, announcing its changes to the panels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar
from uuid import UUID

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from fieldtrip.errors import UserError
from fieldtrip.places.records import Location
from fieldtrip.store.reading import by_name
from fieldtrip.store.store import Change, Record, Store, undoing
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan_ground import PlanGround
from fieldtrip.trips.records import CheckRun, Trip

R = TypeVar("R", bound=Record)


class Library(QObject):
    """The only way the desktop changes the store."""

    changed = Signal(list)  # list[Change], just applied; empty: another file
    failed = Signal(str)  # an edit, undo or redo was refused; says why
    kept = Signal()  # a run of the checks was stored, which is no edit

    def __init__(self, store: Store, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store = store
        self.undo_stack = QUndoStack(self)
        self._dossiers: dict[UUID, Dossier] = {}
        self._grounds: dict[UUID, PlanGround] = {}
        self._locations: list[Location] | None = None

    def change(self, text: str, changes: Sequence[Change]) -> None:
        """Make the changes as one step that the user can undo.

        `text` names the step in the Edit menu: "add vantage point".  Raises
        `UserError`, having changed nothing, if the store refuses.
        """
        if all(change.before == change.after for change in changes):
            return
        # Applied before it is pushed: an exception inside QUndoStack.push
        # would leave on the stack a step that never happened.
        self.apply(changes)
        self.undo_stack.push(_Step(self, text, list(changes)))

    def add(self, text: str, *records: Record) -> None:
        """Add records, in the order in which they depend on each other."""
        self.change(text, [Change(None, record) for record in records])

    def edit(self, text: str, before: Record, after: Record) -> None:
        """Put one record in place of its older self."""
        self.change(text, [Change(before, after)])

    def remove(self, text: str, record: Record) -> None:
        """Remove a record and all that cannot be without it."""
        self.change(text, self.store.removal_of(record))

    def keep_run(self, run: CheckRun) -> None:
        """Store a run of the checks beside its trip, without a step of undo.

        Raises `UserError` if the store refuses.
        """
        self.store.apply([Change(None, run)])
        self._dossiers.clear()
        self.kept.emit()

    def get(self, kind: type[R], record_id: UUID | None) -> R | None:
        """The record as it is now, or None where there is none of that id."""
        return None if record_id is None else self.store.get(kind, record_id)

    def dossier(self, location_id: UUID | None) -> Dossier | None:
        """Everything about a location as it is now, or None where there is none."""
        if location_id is None:
            return None
        if location_id not in self._dossiers:
            if self.store.get(Location, location_id) is None:
                return None
            found = self.store.dossier(location_id)
            ground = self._grounds.get(location_id, found.ground)
            self._dossiers[location_id] = replace(found, ground=ground)
        return self._dossiers[location_id]

    def know_ground(self, location_id: UUID, ground: PlanGround) -> None:
        """Hold what the elevation model says of a location; it is no edit.

        Everyone is told as if the location had been stored anew as it was.
        """
        location = self.store.get(Location, location_id)
        if location is None:
            return
        self._grounds[location_id] = ground
        self._dossiers.pop(location_id, None)
        self.changed.emit([Change(location, location)])

    def locations(self) -> list[Location]:
        """All locations, by name; read once and then kept in step."""
        if self._locations is None:
            self._locations = self.store.locations()
        return list(self._locations)

    def apply(self, changes: Sequence[Change]) -> None:
        """Change the store and tell everyone; for `_Step`."""
        self.store.apply([*self._runs_in_the_way(changes), *changes])
        self._dossiers.clear()
        self._keep_locations(changes)
        self.changed.emit(list(changes))

    def _runs_in_the_way(self, changes: Sequence[Change]) -> list[Change]:
        """The removal of runs that were kept since, of trips that now go.

        Kept without a step of undo, they are in none of the changes that undo or
        redo makes again.
        """
        going = {change.record.id for change in changes if change.after is None}
        return [
            removal
            for change in changes
            if isinstance(change.before, Trip) and change.after is None
            for removal in self.store.removal_of(change.before)
            if isinstance(removal.before, CheckRun) and removal.record.id not in going
        ]

    def _keep_locations(self, changes: Sequence[Change]) -> None:
        """A thousand of them take longer to read than an edit may take."""
        edited = [c for c in changes if isinstance(c.record, Location)]
        if self._locations is None or not edited:
            return
        known = {location.id: location for location in self._locations}
        for change in edited:
            known.pop(change.record.id, None)
            if isinstance(change.after, Location):
                known[change.after.id] = change.after
        self._locations = sorted(known.values(), key=by_name)

    def replace_store(self, store: Store) -> None:
        """Turn to another file; what could be undone belonged to the old one."""
        self.store.close()
        self.store = store
        self._dossiers.clear()
        self._grounds.clear()
        self._locations = None
        self.undo_stack.clear()
        self.changed.emit([])


class _Step(QUndoCommand):
    """Any edit at all: records are values, so undoing is applying their past."""

    def __init__(self, library: Library, text: str, changes: list[Change]) -> None:
        # A menu would read an ampersand in somebody's name as a key.
        super().__init__(text.replace("&", "&&"))
        self._library = library
        self._changes = changes
        self._is_first_redo = True

    def redo(self) -> None:
        if self._is_first_redo:  # QUndoStack.push calls redo; already applied
            self._is_first_redo = False
            return
        self._apply(self._changes)

    def undo(self) -> None:
        self._apply(undoing(self._changes))

    def _apply(self, changes: list[Change]) -> None:
        try:
            self._library.apply(changes)
        except UserError as error:
            self.setObsolete(True)  # the stack then forgets this step
            self._library.failed.emit(str(error))
