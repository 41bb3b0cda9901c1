"""What was chosen from a file, as records before and after.

Merging keeps what the library knows, fills in what it does not, and adds notes below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from fieldtrip.coordinates import decimal_text
from fieldtrip.errors import UserError
from fieldtrip.exchange.found import FoundPlace, PlaceKind
from fieldtrip.exchange.proposals import RECORD_OF
from fieldtrip.exchange.record_facts import fields_from
from fieldtrip.geo import Position
from fieldtrip.places.land_zone import land_zone
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
    Refuge,
    StartKind,
    StartPlace,
)
from fieldtrip.settings import Settings
from fieldtrip.times import at_clock, local_date
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import bearing_text, clock_text, date_text, zone_text

Edit = tuple[Any, Any]  # a record before, None where it is new, and after
_SETTINGS = Settings()  # notes are kept with the clock of 24 hours
_DRAWN = (PlaceKind.HAZARD, PlaceKind.CLOSURE)
_ORDER = {  # a leg names its refuge, so refuges come first
    PlaceKind.LOCATION: 0,
    PlaceKind.REFUGE: 1,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing that comes in: as what, under which name, and into which record."""

    place: FoundPlace
    kind: PlaceKind
    name: str
    twin_id: UUID | None = None  # merged into this record; None: added
    file_name: str = ""


def edits(
    choices: Sequence[Choice],
    dossier: Dossier,
    today: date,
    photo_zone: str | None = None,
    locations: Sequence[Location] = (),
) -> tuple[Edit, ...]:
    """The records that choices make at a location, in an order that can be stored.

    `today` dates the access notes that have no day of their own; `photo_zone` is
    the zone of photographs' clocks that do not say it, None to leave such times out.
    `locations` are those of the library, which a location may be merged into.
    """
    single = [one for choice in choices for one in _single(choice)]
    ordered = sorted(single, key=lambda choice: _ORDER.get(choice.kind, 2))
    refuges = {refuge.name: refuge.id for refuge in dossier.refuges}
    words = _Words(dossier.location.zone, today, photo_zone)
    kept = _records(dossier, locations)
    made: list[Edit] = []
    for choice in ordered:
        for edit in _edits(choice, dossier, kept, words, refuges):
            made.append(edit)
            if isinstance(edit[1], Refuge):
                refuges[edit[1].name] = edit[1].id
    return _joined(made)


def new_location(
    name: str,
    places: Sequence[FoundPlace],
    zone: str | None = None,
) -> Location:
    """A location to hold what a file has: the file's own, or one about its places.

    `zone` stands before the file's own zone and that of the land.  Raises
    `UserError` where there is neither a position nor a zone to be found.
    """
    own = next((place for place in places if place.kind is PlaceKind.LOCATION), None)
    positions = [position for place in places for position in place.positions]
    if not positions:
        raise UserError(
            "Nothing in the file says where it is, so it cannot make a new location. "
            "Choose a location for it."
        )
    at = own.positions[0] if own and own.positions else _middle(positions)
    known = zone or (own.fact("zone") if own else None) or land_zone(at)
    if known is None:
        raise UserError(
            "No land is near, so the time zone of the new location is not known. "
            "Give the time zone first, as in Europe/Dublin."
        )
    notes = own.notes if own else ""
    return Location(name=name, position=at, zone=known, notes=notes)


def needs_zone(places: Sequence[FoundPlace]) -> bool:
    """Whether a photograph among them tells its time without a zone."""
    return any(
        place.photo is not None and place.photo.clock is not None and not place.time
        for place in places
    )


@dataclass(frozen=True, slots=True)
class _Words:
    """Turns what a place says into notes."""

    zone: str
    today: date
    photo_zone: str | None

    def notes(self, choice: Choice) -> str:
        """Its notes, and below them what it says of time and direction."""
        place = choice.place
        if place.photo is not None:
            told = self._photo(choice)
        elif place.kind is None and place.time is not None:
            told = f"Recorded {self._when(place.time)}."
        else:
            told = ""
        return "\n\n".join(text for text in (place.notes, told) if text)

    def day(self, choice: Choice) -> date:
        """The day of what it says: its own, or today."""
        instant = self._instant(choice.place)
        return local_date(instant, self.zone) if instant else self.today

    def _photo(self, choice: Choice) -> str:
        photo = choice.place.photo
        told = [f"Photograph {choice.file_name}"]
        instant = self._instant(choice.place)
        if instant is not None:
            told.append(f"taken {self._when(instant)}")
        elif photo is not None and photo.clock is not None:
            told.append("time not known")
        if photo is not None and photo.direction_deg is not None:
            north = {True: "true", False: "magnetic", None: "true or magnetic"}
            told.append(
                f"looking {bearing_text(photo.direction_deg)} "
                f"{north[photo.direction_is_true]}"
            )
        return ", ".join(told) + "."

    def _instant(self, place: FoundPlace) -> datetime | None:
        clock = place.photo.clock if place.photo else None
        if place.time is not None or clock is None or self.photo_zone is None:
            return place.time
        return at_clock(clock.date(), clock.time(), self.photo_zone).astimezone(UTC)

    def _when(self, instant: datetime) -> str:
        day = date_text(local_date(instant, self.zone))
        clock = clock_text(instant, self.zone, _SETTINGS)
        return f"{day} at {clock} {zone_text(instant, self.zone)}"


def _single(choice: Choice) -> Iterator[Choice]:
    """A hazard or closure of several lines as several; anything else as it is."""
    parts = choice.place.parts
    if choice.kind not in _DRAWN or len(parts) < 2 or choice.twin_id:
        yield choice
        return
    for number, part in enumerate(parts, start=1):
        name = f"{choice.name[:190]} {number}"
        yield replace(choice, name=name, place=replace(choice.place, parts=(part,)))


def _edits(
    choice: Choice,
    dossier: Dossier,
    kept: dict[UUID, Any],
    words: _Words,
    refuges: dict[str, UUID],
) -> Iterator[Edit]:
    """The edits of one choice."""
    record = _record(choice, dossier, words)
    if choice.twin_id is None:
        yield None, record
        if isinstance(record, AccessRoute):
            yield from ((None, leg) for leg in _legs(choice.place, record, refuges))
        return
    twin = _twin(choice, kept)
    merged = _merged(twin, record, choice)
    if merged != twin:
        yield twin, merged
    if isinstance(twin, AccessRoute) and not dossier.legs_of(twin):
        yield from ((None, leg) for leg in _legs(choice.place, twin, refuges))


def _record(choice: Choice, dossier: Dossier, words: _Words) -> Any:
    """The record that a choice would add."""
    place, kind = choice.place, choice.kind
    record_kind = RECORD_OF[kind]
    facts = dict(place.facts) if place.kind is kind else {}
    known = fields_from(record_kind, facts)
    at = dossier.location.id
    notes = words.notes(choice)
    if kind is PlaceKind.NOTE:
        return _note(choice, known, at, words)
    if kind is PlaceKind.LOCATION:
        zone = known.pop("zone", None) or land_zone(place.positions[0])
        return Location(
            name=choice.name,
            position=place.positions[0],
            zone=zone or dossier.location.zone,
            notes=notes,
        )
    if kind is PlaceKind.HAZARD:
        known = {"kind": HazardKind.OTHER, **known, "shape": place.shape}
        line = place.positions
        return Hazard(location_id=at, name=choice.name, line=line, notes=notes, **known)
    if kind is PlaceKind.CLOSURE:
        # Nobody said when: its days stay not known.
        known = {"kind": ClosureKind.OTHER, **known}
        if place.parts:
            known["shape"] = place.shape
        line = place.positions
        return Closure(
            location_id=at, name=choice.name, line=line, notes=notes, **known
        )
    if kind is PlaceKind.START_PLACE:
        known = {"kind": StartKind.OTHER, **known}
        return _start_place(choice, known, at, notes)
    if kind is PlaceKind.ROUTE:
        return AccessRoute(location_id=at, name=choice.name, notes=notes)
    names = {field.name for field in fields(record_kind)}
    if "ground_m" in names and place.height_m is not None:
        known.setdefault("ground_m", place.height_m)
    if "position_error_m" in names and place.position_error_m is not None:
        known.setdefault("position_error_m", place.position_error_m)
    return record_kind(
        location_id=at,
        name=choice.name,
        position=place.positions[0],
        notes=notes,
        **known,
    )


def _start_place(
    choice: Choice, known: dict[str, Any], at: UUID, notes: str
) -> StartPlace:
    """A start; hours stand before a word that it never shuts."""
    if known.get("hours") is not None:
        known.pop("is_always_open", None)
    position = choice.place.positions[0]
    return StartPlace(
        location_id=at, name=choice.name, position=position, notes=notes, **known
    )


def _note(choice: Choice, known: dict[str, Any], at: UUID, words: _Words) -> AccessNote:
    """An access note; what has a position tells it in words."""
    place = choice.place
    text = words.notes(choice)
    if place.kind is not PlaceKind.NOTE:
        where = ""
        if place.positions:
            where = f"At {decimal_text(place.positions[0])}."
        text = "\n".join(part for part in (choice.name, text, where) if part)
    filled = {"day": words.day(choice), "kind": NoteKind.OTHER, **known}
    return AccessNote(location_id=at, text=text, **filled)


def _legs(
    place: FoundPlace, route: AccessRoute, refuges: dict[str, UUID]
) -> Iterator[Leg]:
    """A leg for each part; one without a name has that of its route."""
    is_named = bool(place.name.strip())
    for number, part in enumerate(place.parts, start=1):
        facts = dict(part.facts)
        name = f"Leg {number}"
        if is_named:
            is_only = len(place.parts) == 1
            name = route.name if is_only else f"{route.name[:180]}, part {number}"
        known = fields_from(Leg, facts) | {"number": number}
        yield Leg(
            route_id=route.id,
            name=facts.get("name") or name,
            line=part.line,
            refuge_id=refuges.get(facts.get("refuge", "")),
            **known,
        )


def _records(dossier: Dossier, locations: Sequence[Location]) -> dict[UUID, Any]:
    """What things may be merged into, by id."""
    kept: tuple[Any, ...] = (
        *locations,
        dossier.location,
        *dossier.vantage_points,
        *dossier.subjects,
        *dossier.refuges,
        *dossier.start_places,
        *dossier.routes,
        *dossier.hazards,
        *dossier.closures,
        *dossier.notes,
    )
    return {record.id: record for record in kept}


def _twin(choice: Choice, kept: dict[UUID, Any]) -> Any:
    record = kept.get(choice.twin_id) if choice.twin_id else None
    if isinstance(record, RECORD_OF[choice.kind]):
        return record
    raise UserError(
        f"What “{choice.name}” was to be merged into is no longer here. Look again."
    )


def _merged(twin: Any, record: Any, choice: Choice) -> Any:
    """The record that is there, filled in from the one that would be added."""
    if choice.kind is PlaceKind.NOTE:
        return twin
    known = {
        field.name: getattr(record, field.name)
        for field in fields(twin)
        if field.name not in ("id", "location_id", "name", "notes")
        and getattr(twin, field.name) in (None, "")
    }
    if isinstance(twin, StartPlace) and (twin.hours or twin.is_always_open):
        # What the library says of when it is open stands whole.
        known.pop("hours", None)
        known.pop("is_always_open", None)
    notes = twin.notes
    if record.notes.strip() and record.notes not in notes:
        notes = f"{notes}\n\n{record.notes}" if notes else record.notes
    return replace(twin, notes=notes, **known)


def _joined(made: Sequence[Edit]) -> tuple[Edit, ...]:
    """Several edits of one record as one, where two things merge into it."""
    joined: dict[UUID, Edit] = {}
    for before, after in made:
        earlier = joined.get(after.id)
        if earlier is None:
            joined[after.id] = before, after
        else:
            joined[after.id] = earlier[0], _both(earlier[1], after)
    return tuple(joined.values())


def _both(one: Any, other: Any) -> Any:
    """Two fillings of one record; where both know something, the first."""
    notes = one.notes
    if other.notes not in notes:
        notes = f"{notes}\n\n{other.notes}"
    known = {
        field.name: getattr(other, field.name)
        for field in fields(one)
        if getattr(one, field.name) in (None, "")
    }
    return replace(one, **{**known, "notes": notes})


def _middle(positions: Sequence[Position]) -> Position:
    """The position of some that is nearest to their middle."""
    lat_deg = sum(p.lat_deg for p in positions) / len(positions)
    lon_deg = sum(p.lon_deg for p in positions) / len(positions)
    return min(
        positions,
        key=lambda p: (p.lat_deg - lat_deg) ** 2 + (p.lon_deg - lon_deg) ** 2,
    )
