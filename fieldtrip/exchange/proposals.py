"""As what each thing in a file could come in, and what of it is there already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Any
from uuid import UUID

from fieldtrip.exchange.found import Found, FoundPlace, PlaceKind
from fieldtrip.exchange.thinning import thinned
from fieldtrip.faults import LONGEST_NAME
from fieldtrip.geo import Line, Position, distance_m
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    Location,
    Refuge,
    Shape,
    Subject,
    VantagePoint,
)
from fieldtrip.trips.dossier import Dossier

SAME_WITHIN_M = 25.0  # two fixes of one spot differ by less, mostly
_SAME_WITHIN_DEG = 0.0003  # of latitude: more than that, so a quick first look
_MANY_POINTS = 500  # a recorded line; drawn by hand they are fewer
_THINNED_TO_M = 1.0

RECORD_OF: dict[PlaceKind, type[Any]] = {
    PlaceKind.LOCATION: Location,
    PlaceKind.VANTAGE_POINT: VantagePoint,
    PlaceKind.SUBJECT: Subject,
    PlaceKind.REFUGE: Refuge,
    PlaceKind.ROUTE: AccessRoute,
    PlaceKind.HAZARD: Hazard,
    PlaceKind.NOTE: AccessNote,
}
_POINT_KINDS = (
    PlaceKind.VANTAGE_POINT,
    PlaceKind.SUBJECT,
    PlaceKind.REFUGE,
    PlaceKind.HAZARD,
    PlaceKind.NOTE,
    PlaceKind.LOCATION,
)
_KINDS = {
    Shape.POINT: _POINT_KINDS,
    Shape.LINE: (PlaceKind.ROUTE, PlaceKind.HAZARD, PlaceKind.NOTE),
    Shape.AREA: (PlaceKind.HAZARD, PlaceKind.NOTE),
}


@dataclass(frozen=True, slots=True)
class Twin:
    """A record that is probably the same thing, and why."""

    record_id: UUID
    name: str
    why: str  # "same name", "8 m away"


@dataclass(frozen=True, slots=True)
class Proposal:
    """One thing that may come in, as it would without a word from anyone."""

    place: FoundPlace
    kind: PlaceKind
    kinds: tuple[PlaceKind, ...]  # it could come in as
    name: str
    twin: Twin | None
    remark: str = ""


def proposals(
    found: Found, dossier: Dossier, locations: Sequence[Location] = ()
) -> tuple[Proposal, ...]:
    """What could come in from a file to a location, in the file's order.

    Long recorded lines are thinned.  `locations` are those of the library.
    """
    return tuple(_proposal(place, dossier, locations) for place in found.places)


def kinds_of(place: FoundPlace) -> tuple[PlaceKind, ...]:
    """As what a place could come in, the likeliest first."""
    if not place.parts and place.kind is PlaceKind.ROUTE:
        return (PlaceKind.ROUTE,)
    kinds = _KINDS[place.shape] if place.parts else (PlaceKind.NOTE,)
    if place.photo is not None and place.parts:
        kinds = (PlaceKind.VANTAGE_POINT, PlaceKind.NOTE)
    if place.kind in kinds:
        return (place.kind, *(kind for kind in kinds if kind is not place.kind))
    return kinds


def twin_of(
    place: FoundPlace,
    kind: PlaceKind,
    name: str,
    dossier: Dossier,
    locations: Sequence[Location] = (),
) -> Twin | None:
    """The record of the same kind with an equal name, or else the nearest.

    Near is within `SAME_WITHIN_M`; a line is near where both its ends are.
    """
    records = _records(kind, dossier, locations)
    if kind is PlaceKind.NOTE:
        same = [r for r in records if place.notes.strip() and r.text == place.notes]
        return Twin(same[0].id, str(same[0].day), "same words") if same else None
    wanted = name.strip().casefold()
    nearest: Twin | None = None
    nearest_m = SAME_WITHIN_M
    ends = _ends(place.positions)
    for record in records:
        if wanted and record.name.strip().casefold() == wanted:
            return Twin(record.id, record.name, "same name")
        off_m = _apart_m(ends, _ends(_positions(record, dossier)))
        if off_m <= nearest_m:
            nearest_m = off_m
            nearest = Twin(record.id, record.name, f"{off_m:.0f} m away")
    return nearest


def _proposal(
    place: FoundPlace, dossier: Dossier, locations: Sequence[Location]
) -> Proposal:
    kinds = kinds_of(place)
    name = (place.name.strip() and place.name) or f"Unnamed {kinds[0]}"
    name = name[:LONGEST_NAME]
    lighter, remark = _lighter(place)
    twin = twin_of(place, kinds[0], name, dossier, locations)
    return Proposal(lighter, kinds[0], kinds, name, twin, remark)


def _lighter(place: FoundPlace) -> tuple[FoundPlace, str]:
    """A recorded line without the points that nobody would miss, and how many stay."""
    many = len(place.positions)
    if many <= _MANY_POINTS or place.kind is not None:
        return place, ""
    parts = tuple(
        replace(part, line=thinned(part.line, _THINNED_TO_M)) for part in place.parts
    )
    lighter = replace(place, parts=parts)
    few = len(lighter.positions)
    if few == many:
        return place, ""
    return lighter, (
        f"{many:,} points thinned to {few:,}; none left out lies more than "
        f"{_THINNED_TO_M:.0f} m off."
    )


def _records(
    kind: PlaceKind, dossier: Dossier, locations: Sequence[Location]
) -> Iterable[Any]:
    return {
        PlaceKind.LOCATION: locations or (dossier.location,),
        PlaceKind.VANTAGE_POINT: dossier.vantage_points,
        PlaceKind.SUBJECT: dossier.subjects,
        PlaceKind.REFUGE: dossier.refuges,
        PlaceKind.ROUTE: dossier.routes,
        PlaceKind.HAZARD: dossier.hazards,
        PlaceKind.NOTE: dossier.notes,
    }[kind]


def _positions(record: Any, dossier: Dossier) -> Line:
    if isinstance(record, AccessRoute):
        return tuple(chain(*(leg.line for leg in dossier.legs_of(record))))
    if isinstance(record, Hazard):
        return record.line
    return (record.position,)


def _ends(line: Line) -> tuple[Position, Position] | None:
    return (line[0], line[-1]) if line else None


def _apart_m(
    ours: tuple[Position, Position] | None, theirs: tuple[Position, Position] | None
) -> float:
    """How far the farther pair of ends lies apart; infinite where one is not there."""
    if ours is None or theirs is None:
        return float("inf")
    pairs = tuple(zip(ours, theirs, strict=True))
    if any(abs(a.lat_deg - b.lat_deg) > _SAME_WITHIN_DEG for a, b in pairs):
        return float("inf")
    return max(distance_m(a, b) for a, b in pairs)
