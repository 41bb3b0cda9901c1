"""What files hold, as rows of which one chooses what comes in and as what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from uuid import UUID

from fieldtrip.desktop.content.map_features import (
    FeatureCollection,
    hazards_features,
    places_features,
    routes_features,
)
from fieldtrip.errors import UserError
from fieldtrip.exchange.files_in import read_file
from fieldtrip.exchange.found import Found, FoundPlace, PlaceKind
from fieldtrip.exchange.incoming import Choice, Edit, needs_zone, new_location
from fieldtrip.exchange.proposals import Proposal, Twin, proposals, repeats, twin_of
from fieldtrip.faults import missing_name
from fieldtrip.geo import line_length_m
from fieldtrip.places.records import (
    AccessRoute,
    Closure,
    Hazard,
    Leg,
    Location,
    Refuge,
    Shape,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import bearing_text, count_text, distance_text

COLUMNS = ("Name", "Comes in as", "Already there", "What it is", "From")
_NORTHS = {True: "true", False: "magnetic", None: "true or magnetic"}
MOST_DRAWN = 1_000  # records; the page would stall over more
_MANY_POINTS = 500  # of a line whose length would take long to add up


@dataclass(frozen=True, slots=True)
class Reading:
    """One file: what it holds, or why it cannot be read."""

    file_name: str
    found: Found | None
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """The location that things go to, kept already or still to be made."""

    dossier: Dossier
    is_new: bool
    locations: tuple[Location, ...] = ()  # all of the library


@dataclass(frozen=True, slots=True)
class Row:
    """One thing in a file, and what was chosen for it."""

    file_name: str
    proposal: Proposal
    kind: PlaceKind
    name: str
    twin: Twin | None
    is_taken: bool = True
    is_merged: bool = True  # where there is a twin
    is_repeat: bool = False  # of a row above it


def read_all(
    paths: Sequence[Path], progress: Callable[[float], object]
) -> tuple[Reading, ...]:
    """Read files one after the other; a fault of one keeps none of the others."""
    readings = []
    for number, path in enumerate(paths):

        def told(share: float, number: int = number) -> None:
            progress((number + share) / len(paths))

        told(0.0)
        try:
            readings.append(Reading(path.name, read_file(path, told)))
        except UserError as error:
            readings.append(Reading(path.name, None, str(error)))
    return tuple(readings)


def own_name(readings: Sequence[Reading]) -> str | None:
    """The name of the location that a file is of, if one of them says so."""
    for place in _places(readings):
        if place.kind is PlaceKind.LOCATION:
            return place.name
    return None


def new_target(
    readings: Sequence[Reading], locations: Sequence[Location], zone: str | None
) -> Target:
    """A location to be made of what was read.

    Raises `UserError` where there is no position, or no zone to be found for it.
    """
    names = [reading.file_name for reading in readings if reading.found is not None]
    name = own_name(readings) or (Path(names[0]).stem if names else "New location")
    location = new_location(name, _places(readings), zone)
    return Target(Dossier(location=location), is_new=True, locations=tuple(locations))


def rows_of(
    readings: Sequence[Reading],
    target: Target,
    progress: Callable[[float], object] | None = None,
) -> tuple[Row, ...]:
    """Everything that was read, as it would come in without a word from anyone."""
    rows = []
    for number, reading in enumerate(readings):
        if reading.found is None:
            continue

        def told(share: float, number: int = number) -> None:
            if progress is not None:
                progress((number + share) / len(readings))

        for one in proposals(reading.found, target.dossier, target.locations, told):
            is_itself = (
                one.kind is PlaceKind.LOCATION
                and target.is_new
                and one.name == target.dossier.location.name
            )
            if not is_itself:  # the new location is made from it
                rows.append(Row(reading.file_name, one, one.kind, one.name, one.twin))
    return tuple(
        replace(row, is_taken=False, is_repeat=True) if is_repeat else row
        for row, is_repeat in zip(
            rows, repeats([row.proposal for row in rows]), strict=True
        )
    )


def with_kind(row: Row, kind: PlaceKind, target: Target) -> Row:
    """A row that comes in as something else, with the twin that it has as that."""
    return _with_twin(replace(row, kind=kind), target)


def with_name(row: Row, name: str, target: Target) -> Row:
    """A row under another name, with the twin that it has under that."""
    return _with_twin(replace(row, name=name), target)


def choices_of(rows: Sequence[Row]) -> list[Choice]:
    """What was chosen, as it is made into records."""
    return [
        Choice(
            place=row.proposal.place,
            kind=row.kind,
            name=row.name,
            twin_id=row.twin.record_id if row.twin and row.is_merged else None,
            file_name=row.file_name,
        )
        for row in rows
        if row.is_taken
    ]


def texts(row: Row, settings: Settings) -> tuple[str, ...]:
    """The words of a row's columns."""
    return (
        row.name,
        str(row.kind),
        twin_text(row),
        _what(row, settings),
        row.file_name,
    )


def twin_text(row: Row) -> str:
    """What is there already, and what becomes of the two."""
    if row.is_repeat:
        return "the same as a line above"
    if row.twin is None:
        return ""
    return f"{done_text(row.is_merged)}: “{row.twin.name}”, {row.twin.why}"


def done_text(is_merged: bool) -> str:
    """Merge or add, as one chooses between them."""
    return "merge" if is_merged else "add beside it"


def faults_of(
    readings: Sequence[Reading], rows: Sequence[Row], is_zone_missing: bool
) -> tuple[str, ...]:
    """One sentence for each file that cannot be read, and for what is still open."""
    faults = [reading.fault for reading in readings if reading.fault]
    for row in rows:
        if row.is_taken:
            faults += missing_name(row.name, str(row.kind))
    if is_zone_missing:
        faults.append(
            "Say in which zone the photographs’ clock was, or leave their times out."
        )
    return tuple(dict.fromkeys(faults))


def remarks_of(readings: Sequence[Reading]) -> tuple[str, ...]:
    """What ought to be said about what was read."""
    several = len(readings) > 1
    return tuple(
        f"{reading.file_name}: {remark}" if several else remark
        for reading in readings
        if reading.found is not None
        for remark in reading.found.remarks
    )


def asks_zone(readings: Sequence[Reading]) -> int:
    """How many photographs tell their time without a zone."""
    return sum(needs_zone([place]) for place in _places(readings))


def summary(rows: Sequence[Row], target: Target | None) -> str:
    """How much comes in, and where."""
    if target is None or not rows:
        return "Nothing to take in."
    taken = [row for row in rows if row.is_taken]
    merged = sum(row.is_merged and row.twin is not None for row in taken)
    into = f"“{target.dossier.location.name}”"
    if target.is_new:
        into = f"the new location {into}"
    return (
        f"{len(taken)} of {count_text(len(rows), 'thing')} go into {into}; "
        f"{len(taken) - merged} added, {merged} merged."
    )


def step_text(rows: Sequence[Row]) -> str:
    """The words of the step in the Edit menu."""
    count = sum(row.is_taken for row in rows)
    return f"take in {count_text(count, 'thing')}"


def done_words(made: Sequence[Edit]) -> str:
    """What is said once everything is in."""
    added = Counter(before is None for before, _ in made)
    new = f"{added[True]} new" if added[True] else "Nothing new"
    changed = f"{added[False]} changed" if added[False] else "nothing changed"
    return f"{new}, {changed}. Edit ▸ Undo takes it back."


def preview(
    target: Target, made: Sequence[Edit], settings: Settings
) -> FeatureCollection:
    """What comes in, as the map will draw it; nothing where that is too much."""
    if len(made) > MOST_DRAWN:
        return {"type": "FeatureCollection", "features": []}
    records = [after for _, after in made]
    here = Dossier(
        location=target.dossier.location,
        vantage_points=_some(records, VantagePoint),
        subjects=_some(records, Subject),
        refuges=_some(records, Refuge),
        start_places=_some(records, StartPlace),
        routes=_some(records, AccessRoute),
        legs=_some(records, Leg),
        hazards=_some(records, Hazard),
        closures=_some(records, Closure),
    )
    features = [
        *places_features(here)["features"],
        *routes_features(here, settings)["features"],
        *hazards_features(here)["features"],
    ]
    kept = str(here.location.id)
    if not target.is_new:  # its own mark is there already
        features = [f for f in features if f.get("id") != kept]
    return {"type": "FeatureCollection", "features": features}


def all_edits(target: Target, made: Sequence[Edit]) -> tuple[Edit, ...]:
    """The edits with the new location itself before them."""
    own: Sequence[Edit] = ((None, target.dossier.location),) if target.is_new else ()
    return (*own, *made)


def default_target(
    readings: Sequence[Reading],
    locations: Sequence[Location],
    chosen_id: UUID | None,
) -> UUID | None:
    """The location that the files are of, the chosen or the only one; None: a new."""
    name = own_name(readings)
    if name is not None:
        wanted = name.strip().casefold()
        same = [x for x in locations if x.name.strip().casefold() == wanted]
        return same[0].id if same else None
    if chosen_id is not None:
        return chosen_id
    return locations[0].id if len(locations) == 1 else None


def _with_twin(row: Row, target: Target) -> Row:
    place = row.proposal.place
    twin = twin_of(place, row.kind, row.name, target.dossier, target.locations)
    return replace(row, twin=twin, is_repeat=False)


def _what(row: Row, settings: Settings) -> str:
    """The shape of a thing, its size, and what was done to it."""
    place = row.proposal.place
    points = len(place.positions)
    if not points:
        words = (
            "photograph, place not known" if place.photo else "words without a place"
        )
    elif place.photo is not None:
        words = "photograph"
        if place.photo.direction_deg is not None:
            north = _NORTHS[place.photo.direction_is_true]
            words += f", looking {bearing_text(place.photo.direction_deg)} {north}"
    elif place.shape is Shape.POINT:
        words = "point"
    else:
        words = f"{place.shape}, {count_text(points, 'point')}"
        if place.shape is Shape.LINE and points <= _MANY_POINTS:
            length_m = sum(line_length_m(part.line) for part in place.parts)
            words += f", {distance_text(length_m, settings)}"
    return f"{words}. {row.proposal.remark}" if row.proposal.remark else words


def _places(readings: Sequence[Reading]) -> list[FoundPlace]:
    return [
        place
        for reading in readings
        if reading.found is not None
        for place in reading.found.places
    ]


def _some(records: Sequence[Any], kind: type[Any]) -> tuple[Any, ...]:
    return tuple(record for record in records if isinstance(record, kind))
