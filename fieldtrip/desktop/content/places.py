"""What the list of places and trips says: rows in the order in which they stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    Leg,
    Location,
    Refuge,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.trips.records import Trip
from fieldtrip.wording import height_text, short_date_text

DAYS_IN_A_MONTH = 30.44


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow:
    """One line of the list, with those below it."""

    record: Any  # a record of places or trips
    location_id: UUID
    text: str
    note: str = ""
    hint: str = ""  # said when the pointer rests on it
    rows: tuple[PlaceRow, ...] = ()

    @property
    def record_id(self) -> UUID:
        """The id of its record."""
        found: UUID = self.record.id
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """All records that the list shows, as the store has them."""

    locations: Sequence[Location] = ()
    vantage_points: Sequence[VantagePoint] = ()
    subjects: Sequence[Subject] = ()
    routes: Sequence[AccessRoute] = ()
    legs: Sequence[Leg] = ()
    refuges: Sequence[Refuge] = ()
    hazards: Sequence[Hazard] = ()
    notes: Sequence[AccessNote] = ()
    trips: Sequence[Trip] = ()


@dataclass(frozen=True, slots=True)
class PlacesContent:
    """Both parts of the list, and what to do where a part is empty."""

    places: tuple[PlaceRow, ...]
    trips: tuple[PlaceRow, ...]
    places_hint: str
    trips_hint: str


def places_content(
    kept: Kept, query: str, today: date, settings: Settings
) -> PlacesContent:
    """Everything in the library whose name or note holds every word of `query`."""
    words = query.casefold().split()
    places = tuple(
        row
        for location in sorted(kept.locations, key=_by_name)
        for row in _found(_location_row(location, kept, today, settings), words)
    )
    names = {location.id: location.name for location in kept.locations}
    trips = tuple(
        row
        for trip in sorted(kept.trips, key=lambda t: (t.day, t.name))
        for row in _found(_trip_row(trip, names), words)
    )
    if words:
        hint = f"Nothing here is called “{query.strip()}”."
        return PlacesContent(places, trips, hint if not places else "", "")
    return PlacesContent(
        places,
        trips,
        "" if places else "No places yet. Place ▸ New location… makes the first one.",
        "" if trips else "No trips yet. Choose a location, then Trip ▸ New trip.",
    )


def age_text(day: date, today: date) -> str:
    """How long ago a day was, roughly, as in ``18 months``."""
    days = (today - day).days
    if days < 1:
        return "today" if days == 0 else f"dated {short_date_text(day)}"
    if days < 60:
        return "1 day" if days == 1 else f"{days} days"
    return f"{days / DAYS_IN_A_MONTH:.0f} months"


def _location_row(
    location: Location, kept: Kept, today: date, settings: Settings
) -> PlaceRow:
    def mine(records: Iterable[Any]) -> list[Any]:
        found = [r for r in records if r.location_id == location.id]
        return sorted(found, key=_by_name)

    def row(record: Any, note: str, *rows: PlaceRow, hint: str = "") -> PlaceRow:
        return PlaceRow(
            record=record,
            location_id=location.id,
            text=record.name,
            note=note,
            hint=hint,
            rows=rows,
        )

    rows = [row(v, _vantage_note(v, settings)) for v in mine(kept.vantage_points)]
    rows += [row(s, _subject_note(s, settings)) for s in mine(kept.subjects)]
    for route in mine(kept.routes):
        legs = sorted(
            (leg for leg in kept.legs if leg.route_id == route.id),
            key=lambda leg: leg.number,
        )
        below = [row(leg, _leg_note(leg, settings)) for leg in legs]
        rows.append(row(route, "route", *below))
    rows += [row(r, "refuge") for r in mine(kept.refuges)]
    rows += [row(h, _hazard_note(h, today)) for h in mine(kept.hazards)]
    notes = [n for n in kept.notes if n.location_id == location.id]
    rows += [
        PlaceRow(
            record=note,
            location_id=location.id,
            text=_first_line(note.text),
            note=f"note, {age_text(note.day, today)}",
        )
        for note in sorted(notes, key=lambda n: n.day, reverse=True)
    ]
    return row(location, "", *rows, hint=location.zone)


def _trip_row(trip: Trip, names: dict[UUID, str]) -> PlaceRow:
    return PlaceRow(
        record=trip,
        location_id=trip.location_id,
        text=trip.name,
        note=short_date_text(trip.day),
        hint=f"{names.get(trip.location_id, '')}, {trip.day:%Y-%m-%d}",
    )


def _found(row: PlaceRow, words: Sequence[str]) -> Iterable[PlaceRow]:
    """The row itself, thinned out below, if it or something below holds the words."""
    if not words or _holds(row, words):
        yield row
        return
    below = tuple(found for r in row.rows for found in _found(r, words))
    if below:
        yield PlaceRow(
            record=row.record,
            location_id=row.location_id,
            text=row.text,
            note=row.note,
            hint=row.hint,
            rows=below,
        )


def _holds(row: PlaceRow, words: Sequence[str]) -> bool:
    notes = getattr(row.record, "notes", "") or getattr(row.record, "text", "")
    text = f"{row.text} {row.note} {notes}".casefold()
    return all(word in text for word in words)


def _vantage_note(point: VantagePoint, settings: Settings) -> str:
    if point.ground_m is None:
        return "vantage point"
    return height_text(point.ground_m, settings, 0)


def _subject_note(subject: Subject, settings: Settings) -> str:
    if subject.height_m is None:
        return "subject"
    return f"subject, {height_text(subject.height_m, settings, 0)}"


def _leg_note(leg: Leg, settings: Settings) -> str:
    if leg.is_tidal and leg.shut_above_m is not None:
        return f"shut above {height_text(leg.shut_above_m, settings)}"
    if leg.is_tidal:
        return "tide-bound, level unknown"
    return "leg"


def _hazard_note(hazard: Hazard, today: date) -> str:
    if hazard.last_confirmed is None:
        return f"{hazard.kind}, never confirmed"
    return f"{hazard.kind}, {age_text(hazard.last_confirmed, today)}"


def _first_line(text: str) -> str:
    line = text.strip().partition("\n")[0]
    return line if len(line) <= 60 else f"{line[:59]}…"


def _by_name(record: Any) -> str:
    name: str = record.name
    return name.casefold()
