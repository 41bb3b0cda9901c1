"""What is done to several chosen records at once: always one step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any, cast
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.coordinates import decimal_text
from fieldtrip.desktop.content.forms import title_of
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.scouting import DRAWN_KINDS, POINT_KINDS, Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position, bearing_deg, destination, distance_m
from fieldtrip.places.records import AccessNote, AccessRoute, Leg, Permit
from fieldtrip.store.store import Change
from fieldtrip.trips.records import Trip
from fieldtrip.wording import count_text

_KINDS: tuple[type[Any], ...] = (
    *POINT_KINDS, *DRAWN_KINDS, Leg, AccessRoute, AccessNote, Permit, Trip
)  # fmt: skip


class Together(QObject):
    """Removes, moves and copies what is picked, or else the one that is chosen."""

    told = Signal(str)  # a sentence for the status line

    def __init__(
        self,
        library: Library,
        selection: Selection,
        scouting: Scouting,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._scouting = scouting

    def records(self) -> list[Any]:
        """What is chosen, by title; what is gone by now is left out."""
        ids = self._selection.picked or {self._selection.record_id}
        found = [self._record(record_id) for record_id in ids if record_id is not None]
        return sorted((r for r in found if r is not None), key=title_of)

    def pick(self, record_id: UUID) -> None:
        """Choose a record together with what is chosen, or let go of it again."""
        if self._selection.record_id is None:
            self._scouting.choose_id(record_id)
        else:
            self._selection.pick(record_id)

    def remove(self) -> None:
        """Remove all that is chosen, with what cannot be without it."""
        if not self._selection.picked:
            self._scouting.remove_chosen()
            return
        records, at = self.records(), self._selection.location_id
        changes = self._removal(records)
        removed = sum(1 for change in changes if change.after is None)
        count = count_text(len(records), "record")
        self._library.change(f"remove {count}", changes)
        gone = any(record.id == at for record in records)
        self._selection.choose(None, None if gone else at)
        more = removed - len(records)
        rest = f" and {more} more that belonged to them" if more else ""
        self.told.emit(f"Removed {count}{rest}. Edit ▸ Undo brings them back.")

    def move(self, record_id: UUID, position: Position) -> None:
        """Put a record where its mark was dragged, and all that is picked with it.

        Each goes as far and in the same direction; lines go whole.
        """
        dragged = self._record(record_id)
        start = None if dragged is None else _place(dragged)
        if record_id not in self._selection.picked or start is None:
            self._scouting.move(record_id, position)
            return
        bearing, by_m = bearing_deg(start, position), distance_m(start, position)
        changes = []
        for record in self.records():
            if record.id == record_id:
                changes.append(Change(record, _moved(record, lambda _: position)))
            elif _has_place(record):
                after = _moved(record, lambda p: destination(p, bearing, by_m))
                changes.append(Change(record, after))
        self._library.change(f"move {count_text(len(changes), 'record')}", changes)

    def coordinates_text(self) -> str:
        """The names and places of what is chosen, a line each, in decimal degrees.

        A line or an area has a line for each of its points.  Raises `UserError`
        where nothing that is chosen has a place.
        """
        lines = [
            f"{title_of(record)}\t{decimal_text(place)}"
            for record in self.records()
            for place in _places(record)
        ]
        if not lines:
            raise UserError("Nothing that is chosen has a place on the map.")
        return "\n".join(lines)

    def _record(self, record_id: UUID) -> Any:
        for kind in _KINDS:
            record = self._library.get(kind, record_id)
            if record is not None:
                return record
        return None

    def _removal(self, records: list[Any]) -> list[Change]:
        """Edits first, then removals; a record that is both is removed as edited."""
        edited: dict[tuple[type, UUID], tuple[Any, Any]] = {}
        removed: dict[tuple[type, UUID], Any] = {}
        for record in records:
            for change in self._library.store.removal_of(record):
                key = (type(change.record), change.record.id)
                if change.after is None:
                    removed.setdefault(key, change.before)
                    continue
                before, after = edited.get(key, (change.before, change.before))
                edited[key] = before, _with_changes(after, change)
        edits = [Change(before, after) for before, after in edited.values()]
        return [
            *edits,
            *(
                Change(edited[key][1] if key in edited else record, None)
                for key, record in removed.items()
            ),
        ]


def _with_changes(record: Any, change: Change) -> Any:
    before, after = cast("Any", change.before), cast("Any", change.after)
    values = {
        f.name: getattr(after, f.name)
        for f in fields(after)
        if getattr(after, f.name) != getattr(before, f.name)
    }
    return replace(record, **values)


def _has_place(record: Any) -> bool:
    return any(True for _ in _places(record))


def _place(record: Any) -> Position | None:
    return next(_places(record), None)


def _places(record: Any) -> Iterator[Position]:
    position: Position | None = getattr(record, "position", None)
    if position is not None:
        yield position
    line: Line = getattr(record, "line", ())
    yield from line


def _moved(record: Any, move: Any) -> Any:
    if getattr(record, "position", None) is not None:
        return replace(record, position=move(record.position))
    return replace(record, line=tuple(move(place) for place in record.line))
