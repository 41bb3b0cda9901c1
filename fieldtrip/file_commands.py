"""The commands that take places from files and give them to files."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.files_in import read_file
from fieldtrip.exchange.found import Found, FoundPlace, PlaceKind
from fieldtrip.exchange.incoming import Choice, Edit, edits, needs_zone, new_location
from fieldtrip.exchange.outgoing import outgoing, place_bytes, write_whole
from fieldtrip.exchange.proposals import RECORD_OF, proposals, repeats
from fieldtrip.places.records import Leg, Location
from fieldtrip.store.store import Change, Store
from fieldtrip.times import local_date, zone_of
from fieldtrip.trips.dossier import Dossier

Answer = dict[str, Any]
_WORDS: dict[type[Any], str] = {
    **{record: str(kind) for kind, record in RECORD_OF.items()},
    Leg: "leg",
}
_DONE = {"merge": "merged", "add": "added", "skip": "skipped"}
_LISTS: dict[PlaceKind, str] = {
    PlaceKind.VANTAGE_POINT: "vantage_points",
    PlaceKind.SUBJECT: "subjects",
    PlaceKind.REFUGE: "refuges",
    PlaceKind.START_PLACE: "start_places",
    PlaceKind.ROUTE: "routes",
    PlaceKind.HAZARD: "hazards",
    PlaceKind.CLOSURE: "closures",
    PlaceKind.NOTE: "notes",
}


def export_location(options: argparse.Namespace) -> Answer:
    """Answer ``export``: write a location to a file, whole or not at all."""
    out: Path = options.out
    if out.resolve() == options.library.resolve():
        raise UserError("That is the library itself. Choose another file to write.")
    store = Store.open_to_read(options.library)
    try:
        location = _find_location(store.locations(), options.location)
        dossier = store.dossier(location.id)
    finally:
        store.close()
    write_whole(out, place_bytes(dossier, options.format))
    written = Counter(str(place.kind) for place in outgoing(dossier))
    if dossier.legs:
        written["leg"] = len(dossier.legs)
    return {
        "location": location.name,
        "format": options.format,
        "file": str(out),
        "written": dict(written),
    }


def import_files(options: argparse.Namespace) -> Answer:
    """Answer ``import``: all files come into the library, or nothing does."""
    for zone in (options.zone, options.photo_zone):
        if zone is not None and zone != "none":
            zone_of(zone)
    read = [read_file(path) for path in options.files]  # before anything is opened
    _refuse_unknown_zone(read, options.photo_zone)
    is_new = not options.library.exists()
    store = Store.open(options.library)
    is_done = False
    try:
        intake = _Intake(store, options)
        told = [intake.take(found) for found in read]
        store.apply([Change(before, after) for before, after in intake.edits])
        is_done = True
    finally:
        store.close()
        if is_new and not is_done:  # a library of nothing is not left behind
            options.library.unlink(missing_ok=True)
    return {"library": str(options.library), "files": told}


def add_export(commands: Any) -> None:
    """Say what ``export`` takes."""
    parser = commands.add_parser(
        "export",
        help="write a location as GPX, GeoJSON or KML",
        allow_abbrev=False,
    )
    parser.add_argument("--library", required=True, type=Path, metavar="PATH")
    parser.add_argument("--location", required=True, metavar="ID|NAME")
    parser.add_argument("--format", required=True, choices=("gpx", "geojson", "kml"))
    parser.add_argument("--out", required=True, type=Path, metavar="FILE")
    parser.set_defaults(answer=export_location, status=_fine)


def add_import(commands: Any) -> None:
    """Say what ``import`` takes."""
    parser = commands.add_parser(
        "import",
        help="take places from GPX, GeoJSON, KML and photographs",
        allow_abbrev=False,
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--library", required=True, type=Path, metavar="PATH")
    parser.add_argument(
        "--location", metavar="ID|NAME", help="where it goes; made if there is none"
    )
    parser.add_argument("--zone", help="of a location that is made: Europe/Dublin")
    parser.add_argument(
        "--photo-zone", help="of photographs' clocks that do not say it; or none"
    )
    parser.add_argument(
        "--duplicates",
        choices=("merge", "add", "skip"),
        default="merge",
        help="what becomes of what is there already",
    )
    parser.set_defaults(answer=import_files, status=_fine)


@dataclass(slots=True)
class _Target:
    """A location that things go to, with what has gone there so far."""

    dossier: Dossier
    is_new: bool


class _Intake:
    """Gathers the edits of several files before any is made."""

    def __init__(self, store: Store, options: argparse.Namespace) -> None:
        self.edits: list[Edit] = []
        self._store = store
        self._options = options
        self._locations = store.locations()
        self._targets: dict[Any, _Target] = {}

    def take(self, found: Found) -> Answer:
        """Add one file's edits; gives what is said of it."""
        target = self._target(found)
        location = target.dossier.location
        is_new = target.is_new
        if is_new:
            self.edits.append((None, location))
            self._locations.append(location)
            target.is_new = False
        choices, twins, remarks = self._choices(found, target.dossier, is_new)
        photo_zone = self._options.photo_zone
        made = edits(
            choices,
            target.dossier,
            local_date(datetime.now(UTC), location.zone),
            None if photo_zone == "none" else photo_zone,
            self._locations,
        )
        self.edits += made
        target.dossier = _grown(target.dossier, made)
        added = Counter(_WORDS[type(after)] for before, after in made if before is None)
        return {
            "file": found.file_name,
            "source": str(found.source),
            "location": location.name,
            "location_is_new": is_new,
            "added": dict(added),
            "duplicates": twins,
            "remarks": [*found.remarks, *remarks],
        }

    def _choices(
        self, found: Found, dossier: Dossier, is_new: bool
    ) -> tuple[list[Choice], list[Answer], list[str]]:
        choices, twins, remarks = [], [], []
        wanted: str = self._options.duplicates
        proposed = proposals(found, dossier, self._locations)
        for one, is_repeat in zip(proposed, repeats(proposed), strict=True):
            if is_repeat:
                remarks.append(f"{one.name}: in the file more than once; taken once.")
                continue
            twin = one.twin
            if one.remark:
                remarks.append(f"{one.name}: {one.remark}")
            is_target = twin is not None and twin.record_id == dossier.location.id
            if is_target and is_new:
                continue  # the location was made from it
            # A location is never added to itself once more.
            done = "merge" if is_target and wanted == "add" else wanted
            if twin is not None:
                twins.append(
                    {
                        "name": one.name,
                        "kind": str(one.kind),
                        "is_like": twin.name,
                        "why": twin.why,
                        "done": _DONE[done],
                    }
                )
            if twin is None or done != "skip":
                choices.append(
                    Choice(
                        place=one.place,
                        kind=one.kind,
                        name=one.name,
                        twin_id=twin.record_id if twin and done == "merge" else None,
                        file_name=found.file_name,
                    )
                )
        return choices, twins, remarks

    def _target(self, found: Found) -> _Target:
        """Where a file goes: as told, to its own location, or to the only one."""
        wanted: str | None = self._options.location
        own = next((p for p in found.places if p.kind is PlaceKind.LOCATION), None)
        name = wanted if wanted is not None else own.name if own else None
        if name is not None:
            known = _named(self._locations, name)
            if known:
                return self._known(_find_location(self._locations, name))
            return self._made(name, found.places)
        if len(self._locations) == 1:
            return self._known(self._locations[0])
        if not self._locations:
            return self._made(Path(found.file_name).stem, found.places)
        raise UserError(
            f"Say with --location where “{found.file_name}” goes. "
            f"There is {_listed(self._locations)}."
        )

    def _known(self, location: Location) -> _Target:
        if location.id not in self._targets:
            dossier = self._store.dossier(location.id)
            self._targets[location.id] = _Target(dossier, is_new=False)
        return self._targets[location.id]

    def _made(self, name: str, places: Sequence[FoundPlace]) -> _Target:
        location = new_location(name, places, self._options.zone)
        target = _Target(Dossier(location=location), is_new=True)
        self._targets[location.id] = target
        return target


def _grown(dossier: Dossier, made: Sequence[Edit]) -> Dossier:
    """A location as it will be once edits are made."""
    fresh: dict[str, Any] = {}
    for kind, name in _LISTS.items():
        after = {
            record.id: record
            for _, record in made
            if isinstance(record, RECORD_OF[kind])
        }
        kept = tuple(after.pop(old.id, old) for old in getattr(dossier, name))
        fresh[name] = (*kept, *after.values())
    legs = tuple(record for _, record in made if isinstance(record, Leg))
    own = {record.id: record for _, record in made if isinstance(record, Location)}
    location = own.get(dossier.location.id, dossier.location)
    return replace(dossier, location=location, legs=(*dossier.legs, *legs), **fresh)


def _refuse_unknown_zone(read: Sequence[Found], photo_zone: str | None) -> None:
    """A photograph's clock without a zone could be hours off: ask."""
    if photo_zone is not None:
        return
    for found in read:
        if needs_zone(found.places):
            raise UserError(
                f"“{found.file_name}” does not say in which zone its clock was: give "
                "it as --photo-zone Europe/Dublin, or --photo-zone none to leave the "
                "time out."
            )


def _named(locations: Sequence[Location], name: str) -> list[Location]:
    wanted = name.strip().casefold()
    return [x for x in locations if wanted in (str(x.id), x.name.strip().casefold())]


def _find_location(locations: Sequence[Location], name: str) -> Location:
    """The location of an id, or the only one of a name; `UserError` otherwise."""
    found = _named(locations, name)
    if len(found) == 1:
        return found[0]
    if found:
        ids = ", ".join(str(location.id) for location in found)
        raise UserError(f"Several locations are called “{name}”; give an id: {ids}.")
    if not locations:
        raise UserError("There are no locations in this library.")
    raise UserError(f"No location is called “{name}”. There is {_listed(locations)}.")


def _listed(locations: Sequence[Location]) -> str:
    return ", ".join(f"“{location.name}”" for location in locations[:10])


def _fine(_answer: Answer) -> int:
    return 0
