"""As what each thing in a file could come in, and what of it is there already."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Any
from uuid import UUID

from fieldtrip.exchange.found import Found, FoundPlace, PlaceKind, Progress
from fieldtrip.exchange.thinning import thinned
from fieldtrip.faults import LONGEST_NAME
from fieldtrip.geo import Line, Position, distance_m
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    Hazard,
    Location,
    Refuge,
    Shape,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.trips.dossier import Dossier

SAME_WITHIN_M = 25.0  # two fixes of one spot differ by less, mostly
_SAME_WITHIN_DEG = 0.0003  # of a great circle: more than that, for a first look
_PLACES_PER_WORD = 50  # of progress
_MANY_POINTS = 500  # a recorded line; drawn by hand they are fewer
_ENOUGH_POINTS = 2_000  # more, and every length takes a while
# The finest that is enough; even the coarsest is less than a fix is good to.
_THINNED_TO_M = (1.0, 2.0, 4.0)

_Key = tuple[Any, ...]  # equal for what is of one kind, name and place
_Ends = tuple[Position, Position]  # the first and the last of a line

RECORD_OF: dict[PlaceKind, type[Any]] = {
    PlaceKind.LOCATION: Location,
    PlaceKind.VANTAGE_POINT: VantagePoint,
    PlaceKind.SUBJECT: Subject,
    PlaceKind.REFUGE: Refuge,
    PlaceKind.START_PLACE: StartPlace,
    PlaceKind.ROUTE: AccessRoute,
    PlaceKind.HAZARD: Hazard,
    PlaceKind.CLOSURE: Closure,
    PlaceKind.NOTE: AccessNote,
}
_POINT_KINDS = (
    PlaceKind.VANTAGE_POINT,
    PlaceKind.SUBJECT,
    PlaceKind.REFUGE,
    PlaceKind.START_PLACE,
    PlaceKind.HAZARD,
    PlaceKind.CLOSURE,
    PlaceKind.NOTE,
    PlaceKind.LOCATION,
)
_KINDS = {
    Shape.POINT: _POINT_KINDS,
    Shape.LINE: (
        PlaceKind.ROUTE,
        PlaceKind.HAZARD,
        PlaceKind.CLOSURE,
        PlaceKind.NOTE,
    ),
    Shape.AREA: (PlaceKind.HAZARD, PlaceKind.CLOSURE, PlaceKind.NOTE),
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
    found: Found,
    dossier: Dossier,
    locations: Sequence[Location] = (),
    progress: Progress | None = None,
) -> tuple[Proposal, ...]:
    """What could come in from a file to a location, in the file's order.

    Long recorded lines are thinned.  `locations` are those of the library.
    """
    known = _Known(dossier, locations)
    made = []
    for number, place in enumerate(found.places):
        if progress is not None and number % _PLACES_PER_WORD == 0:
            progress(number / len(found.places))
        made.append(_proposal(place, known))
    return tuple(made)


def repeats(made: Sequence[Proposal]) -> tuple[bool, ...]:
    """Of each, whether one before it is the same thing and says all that it says.

    The same is of one kind, with one name, at one place, to about a decimetre.
    """
    firsts: dict[_Key, list[FoundPlace]] = {}
    found = []
    for one in made:
        same = firsts.setdefault(_key(one), [])
        is_repeat = any(_says_nothing_more(one.place, first) for first in same)
        if not is_repeat:
            same.append(one.place)
        found.append(is_repeat)
    return tuple(found)


def kinds_of(place: FoundPlace) -> tuple[PlaceKind, ...]:
    """As what a place could come in, the likeliest first."""
    if not place.parts and place.kind is PlaceKind.ROUTE:
        return (PlaceKind.ROUTE,)
    if not place.parts and place.kind is PlaceKind.CLOSURE:
        return (PlaceKind.CLOSURE, PlaceKind.NOTE)
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
    return _Known(dossier, locations).twin(place, kind, name)


class _Known:
    """The records of a location, found by name and by place without a long search."""

    def __init__(self, dossier: Dossier, locations: Sequence[Location]) -> None:
        self._dossier = dossier
        self._locations = locations
        self._listed: dict[PlaceKind, _Listed] = {}

    def twin(self, place: FoundPlace, kind: PlaceKind, name: str) -> Twin | None:
        """See `twin_of`."""
        listed = self._list(kind)
        if kind is PlaceKind.NOTE:
            same = listed.by_name.get(_folded(place.notes))
            return Twin(same.id, str(same.day), "same words") if same else None
        same = listed.by_name.get(_folded(name))
        if same is not None:
            return Twin(same.id, same.name, "same name")
        ends = _ends(place.positions)
        if ends is None:
            return None
        nearest, nearest_m = None, SAME_WITHIN_M
        for record, others in listed.near(ends[0].lat_deg):
            off_m = _apart_m(ends, others)
            if off_m <= nearest_m:
                nearest, nearest_m = record, off_m
        if nearest is None:
            return None
        return Twin(nearest.id, nearest.name, f"{nearest_m:.0f} m away")

    def _list(self, kind: PlaceKind) -> _Listed:
        if kind not in self._listed:
            records = _records(kind, self._dossier, self._locations)
            self._listed[kind] = _Listed(records, self._dossier)
        return self._listed[kind]


class _Listed:
    """The records of one kind."""

    def __init__(self, records: Sequence[Any], dossier: Dossier) -> None:
        self.by_name: dict[str, Any] = {}
        placed: list[tuple[float, Any, _Ends]] = []
        for record in records:
            if isinstance(record, AccessNote):
                self.by_name.setdefault(_folded(record.text), record)
                continue
            self.by_name.setdefault(_folded(record.name), record)
            ends = _ends(_positions(record, dossier))
            if ends is not None:
                placed.append((ends[0].lat_deg, record, ends))
        placed.sort(key=lambda one: one[0])
        self._lats = [lat_deg for lat_deg, _, _ in placed]
        self._placed = placed
        self.by_name.pop("", None)

    def near(self, lat_deg: float) -> Iterator[tuple[Any, _Ends]]:
        """Those that begin at nearly this latitude."""
        first = bisect_left(self._lats, lat_deg - _SAME_WITHIN_DEG)
        last = bisect_right(self._lats, lat_deg + _SAME_WITHIN_DEG)
        for _, record, ends in self._placed[first:last]:
            yield record, ends


def _key(one: Proposal) -> _Key:
    lines = tuple(
        (
            tuple((round(p.lat_deg, 6), round(p.lon_deg, 6)) for p in part.line),
            part.facts,
        )
        for part in one.place.parts
    )
    return one.kind, _folded(one.name), one.place.shape, lines


def _says_nothing_more(place: FoundPlace, first: FoundPlace) -> bool:
    """Whether nothing is lost of a place that is left out beside the first."""
    return (
        place.notes.strip() in ("", first.notes.strip())
        and set(place.facts) <= set(first.facts)
        and place.height_m in (None, first.height_m)
        and place.photo == first.photo
        and (place.photo is None or place.time == first.time)
    )


def _folded(text: str) -> str:
    return text.strip().casefold()


def _proposal(place: FoundPlace, known: _Known) -> Proposal:
    kinds = kinds_of(place)
    name = (place.name.strip() and place.name) or f"Unnamed {kinds[0]}"
    name = name[:LONGEST_NAME]
    lighter, remark = _lighter(place)
    twin = known.twin(place, kinds[0], name)
    return Proposal(lighter, kinds[0], kinds, name, twin, remark)


def _lighter(place: FoundPlace) -> tuple[FoundPlace, str]:
    """A recorded line without the points that nobody would miss, and how many stay."""
    many = len(place.positions)
    if many <= _MANY_POINTS or place.kind is not None:
        return place, ""
    for tolerance_m in _THINNED_TO_M:
        parts = tuple(
            replace(part, line=thinned(part.line, tolerance_m)) for part in place.parts
        )
        lighter = replace(place, parts=parts)
        few = len(lighter.positions)
        if few <= _ENOUGH_POINTS:
            break
    if few == many:
        return place, ""
    return lighter, (
        f"{many:,} points thinned to {few:,}; none left out lies more than "
        f"{tolerance_m:.0f} m off."
    )


def _records(
    kind: PlaceKind, dossier: Dossier, locations: Sequence[Location]
) -> Sequence[Any]:
    return {
        PlaceKind.LOCATION: locations or (dossier.location,),
        PlaceKind.VANTAGE_POINT: dossier.vantage_points,
        PlaceKind.SUBJECT: dossier.subjects,
        PlaceKind.REFUGE: dossier.refuges,
        PlaceKind.START_PLACE: dossier.start_places,
        PlaceKind.ROUTE: dossier.routes,
        PlaceKind.HAZARD: dossier.hazards,
        PlaceKind.CLOSURE: dossier.closures,
        PlaceKind.NOTE: dossier.notes,
    }[kind]


def _positions(record: Any, dossier: Dossier) -> Line:
    if isinstance(record, AccessRoute):
        return tuple(chain(*(leg.line for leg in dossier.legs_of(record))))
    if isinstance(record, Hazard | Closure):
        return record.line
    return (record.position,)


def _ends(line: Line) -> _Ends | None:
    return (line[0], line[-1]) if line else None


def _apart_m(ours: _Ends, theirs: _Ends) -> float:
    """How far the farther pair of ends lies apart; infinite where it is clearly far."""
    pairs = tuple(zip(ours, theirs, strict=True))
    if any(_is_far(a, b) for a, b in pairs):
        return math.inf
    return max(distance_m(a, b) for a, b in pairs)


def _is_far(a: Position, b: Position) -> bool:
    """A quick first look; whatever might be near is measured after it."""
    if abs(a.lat_deg - b.lat_deg) > _SAME_WITHIN_DEG:
        return True
    across = math.remainder(a.lon_deg - b.lon_deg, 360.0)
    return abs(across) * math.cos(math.radians(a.lat_deg)) > _SAME_WITHIN_DEG
