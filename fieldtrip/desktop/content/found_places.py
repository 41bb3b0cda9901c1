"""What the list says of what was searched for, and where the words were found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from uuid import UUID

from fieldtrip.desktop.content.places import (
    PlaceRow,
    location_row,
    name_of,
    note_of,
    trip_row,
)
from fieldtrip.desktop.content.sieve import Sieve, doubt_of
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.trips.records import Trip
from fieldtrip.wording import count_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A record of the list, and the words of its notes that were searched for."""

    record: Any  # for a stop or a tick its trip, for a tide table its location
    location_id: UUID
    snippet: str = ""
    within: str = ""  # in what of its own the words stand; empty: in its notes


@dataclass(frozen=True, slots=True)
class FoundContent:
    """The rows, best first, and a sentence about them."""

    places: tuple[PlaceRow, ...]
    trips: tuple[PlaceRow, ...]
    hint: str


def found_content(
    found: Sequence[Found],
    locations: Mapping[UUID, Location],
    *,
    query: str,
    sieve: Sieve,
    today: date,
    settings: Settings,
    most: int,
) -> FoundContent:
    """Every find below its location; those of one location stand together."""
    shown = [one for one in found[:most] if one.location_id in locations]
    below: dict[UUID, list[PlaceRow]] = {}
    notes: dict[UUID, PlaceRow] = {}  # of locations that were found themselves
    trips: dict[UUID, PlaceRow] = {}
    for one in shown:
        record = one.record
        if isinstance(record, Trip):
            row = trip_row(record, locations[one.location_id].name)
            trips.setdefault(record.id, _with_words(row, one))
        elif isinstance(record, Location):
            below.setdefault(record.id, [])
            notes.setdefault(record.id, _with_words(location_row(record), one))
        else:
            note = doubt_of(record, sieve) or note_of(record, today, settings)
            row = PlaceRow(
                record=record,
                location_id=one.location_id,
                text=name_of(record),
                note=note,
            )
            below.setdefault(one.location_id, []).append(_with_words(row, one))
    places = tuple(
        replace(notes.get(at) or location_row(locations[at]), rows=tuple(rows))
        for at, rows in below.items()
    )
    hint = _hint(len(shown), len(found) > most, query.strip(), sieve)
    return FoundContent(places, tuple(trips.values()), hint)


def _with_words(row: PlaceRow, found: Found) -> PlaceRow:
    """A row that says where in a record's notes the words stand."""
    if not found.snippet:
        return row
    where = f"{found.within}: " if found.within else ""
    hint = f"{row.note}. " if row.note else ""
    return replace(
        row,
        note=f"{where}“{found.snippet}”",
        hint=f"{hint}Found in {found.within or 'its notes'}: “{found.snippet}”",
    )


def _hint(count: int, is_cut: bool, query: str, sieve: Sieve) -> str:
    if is_cut:
        return f"The first {count} of more. Another word narrows it down."
    if count:
        return f"{count_text(count, 'line')} found."
    if not query:
        return "Nothing in the library is like that."
    among = " among these" if not sieve.is_open else ""
    return f"Nothing{among} has “{query}” in its name or notes."
