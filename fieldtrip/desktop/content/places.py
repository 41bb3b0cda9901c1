"""What the list of places and trips says: rows in the order in which they stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from fieldtrip.places.closures import Force, closure_state
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    Hazard,
    Leg,
    Location,
    Permit,
    Refuge,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.safety.freshness import is_overdue
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.wording import (
    closure_text,
    height_text,
    permit_text,
    short_date_text,
    start_place_text,
)

DAYS_IN_A_MONTH = 30.44
LOOK_AGAIN = "look again"  # what nobody has confirmed for long
_ROOM = 20  # letters of a name that leave room for it
NO_PLACES = "No places yet. Place ▸ New location… makes the first one."
NO_TRIPS = "No trips yet. Choose a location, then Trip ▸ New trip."


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


def location_row(location: Location) -> PlaceRow:
    """The line of a location, without what belongs to it."""
    return PlaceRow(
        record=location,
        location_id=location.id,
        text=location.name,
        hint=location.zone,
    )


def rows_below(
    dossier: Dossier, today: date, settings: Settings
) -> tuple[PlaceRow, ...]:
    """The lines of all that belongs to a location, but for its trips."""

    def row(record: Any, *rows: PlaceRow) -> PlaceRow:
        name = name_of(record)
        is_cut = len(name) > _ROOM and bool(due_text(record, today))
        return PlaceRow(
            record=record,
            location_id=dossier.location.id,
            text=f"{name[: _ROOM - 1].rstrip()}…" if is_cut else name,
            note=note_of(record, today, settings),
            hint=name if is_cut else "",
            rows=rows,
        )

    routes = (
        row(route, *(row(leg) for leg in dossier.legs_of(route)))
        for route in dossier.routes
    )
    return (
        *map(row, dossier.vantage_points),
        *map(row, dossier.subjects),
        *routes,
        *map(row, dossier.refuges),
        *map(row, dossier.start_places),
        *map(row, dossier.hazards),
        *map(row, dossier.closures),
        *map(row, dossier.permits),
        *map(row, dossier.notes),
    )


def trip_row(trip: Trip, location_name: str) -> PlaceRow:
    """The line of a trip."""
    return PlaceRow(
        record=trip,
        location_id=trip.location_id,
        text=trip.name,
        note=short_date_text(trip.day),
        hint=f"{location_name}, {trip.day:%Y-%m-%d}",
    )


def name_of(record: Any) -> str:
    """What a record is called in the list; a note by its first line."""
    if isinstance(record, AccessNote):
        return _first_line(record.text)
    name: str = record.name
    return name


def note_of(record: Any, today: date, settings: Settings) -> str:
    """What stands beside a record's name: its kind, and what matters most of it."""
    match record:
        case VantagePoint():
            return _vantage_note(record, settings)
        case Subject():
            return _subject_note(record, settings)
        case AccessRoute():
            return "route"
        case Leg():
            return _leg_note(record, settings)
        case Refuge():
            return _with_due("refuge", record, today)
        case StartPlace():
            return start_place_text(record, settings)
        case Hazard():
            return _hazard_note(record, today)
        case Permit():
            return f"permit, {permit_text(record, today)}"
        case Closure():
            is_on = closure_state(record, today).force is not Force.NONE
            return closure_text(record, today, settings) if is_on else "closure"
        case AccessNote(day=day):
            return _with_due(f"note, {age_text(day, today)}", record, today)
    return ""


def age_text(day: date, today: date) -> str:
    """How long ago a day was, roughly, as in ``18 months``."""
    days = (today - day).days
    if days < 1:
        return "today" if days == 0 else f"dated {short_date_text(day)}"
    if days < 60:
        return "1 day" if days == 1 else f"{days} days"
    return f"{days / DAYS_IN_A_MONTH:.0f} months"


def due_text(record: Any, day: date) -> str:
    """That a record must be looked at again by a day; empty where it need not be."""
    if not isinstance(record, Refuge | Hazard | AccessNote):
        return ""
    return LOOK_AGAIN if is_overdue(record, day, day) else ""


def by_name(location: Location) -> tuple[str, str, UUID]:
    """Order of locations: capitals do not count first."""
    return location.name.casefold(), location.name, location.id


def _vantage_note(point: VantagePoint, settings: Settings) -> str:
    if point.ground_m is None:
        return "vantage point"
    return height_text(point.ground_m, settings, 0)


def _subject_note(subject: Subject, settings: Settings) -> str:
    if subject.height_m is None:
        return "subject"
    return f"subject, {height_text(subject.height_m, settings, 0)}"


def _hazard_note(hazard: Hazard, today: date) -> str:
    confirmed = hazard.last_confirmed
    age = "never confirmed" if confirmed is None else age_text(confirmed, today)
    return _with_due(f"{hazard.kind}, {age}", hazard, today)


def _with_due(text: str, record: Hazard | Refuge | AccessNote, today: date) -> str:
    return f"{LOOK_AGAIN}: {text}" if is_overdue(record, today, today) else text


def _leg_note(leg: Leg, settings: Settings) -> str:
    if leg.is_tidal and leg.shut_above_m is not None:
        return f"shut above {height_text(leg.shut_above_m, settings)}"
    if leg.is_tidal:
        return "tide-bound, level unknown"
    return "leg"


def _first_line(text: str) -> str:
    line = text.strip().partition("\n")[0]
    return line if len(line) <= 60 else f"{line[:59]}…"
