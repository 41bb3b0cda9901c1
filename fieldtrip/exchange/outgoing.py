"""A location's records as places for a file, and the file itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import FoundPlace, Part, PlaceKind
from fieldtrip.exchange.geojson import geojson_bytes
from fieldtrip.exchange.gpx import gpx_bytes
from fieldtrip.exchange.kml import kml_bytes
from fieldtrip.exchange.record_facts import facts_of
from fieldtrip.places.records import AccessNote, AccessRoute, Closure, Hazard, Shape
from fieldtrip.trips.dossier import Dossier, by_id

_WRITERS: Mapping[str, Callable[[tuple[FoundPlace, ...], Dossier], bytes]] = {
    "gpx": lambda places, at: gpx_bytes(places, at.location.name, at.location.position),
    "geojson": lambda places, at: geojson_bytes(places, at.location.name),
    "kml": lambda places, at: kml_bytes(places, at.location.name),
}
FORMATS: Mapping[str, str] = {"gpx": "GPX", "geojson": "GeoJSON", "kml": "KML"}


def outgoing(dossier: Dossier) -> tuple[FoundPlace, ...]:
    """Everything about a location that other programs can use, the location first."""
    places = [_point(dossier.location, PlaceKind.LOCATION)]
    places += [_point(one, PlaceKind.VANTAGE_POINT) for one in dossier.vantage_points]
    places += [_point(one, PlaceKind.SUBJECT) for one in dossier.subjects]
    places += [_point(one, PlaceKind.REFUGE) for one in dossier.refuges]
    places += [_point(one, PlaceKind.START_PLACE) for one in dossier.start_places]
    places += [_hazard(hazard) for hazard in dossier.hazards]
    places += [_closure(closure) for closure in dossier.closures]
    places += [_route(route, dossier) for route in dossier.routes]
    places += [_note(note) for note in dossier.notes]
    return tuple(places)


def place_bytes(dossier: Dossier, file_format: str) -> bytes:
    """A location as ``gpx``, ``geojson`` or ``kml``; `UserError` for another."""
    if file_format not in _WRITERS:
        raise UserError(f"“{file_format}” is none of gpx, geojson and kml.")
    return _WRITERS[file_format](outgoing(dossier), dossier)


def write_whole(path: Path, data: bytes) -> None:
    """Put a file in place only once it is whole.

    Where that fails, as on a full disk, an older file of the name stays as it was.
    """
    part = path.with_name(f"{path.name}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except OSError as error:
        raise UserError(
            f"“{path.name}” could not be written ({error.strerror}); what was there "
            "before is untouched."
        ) from error
    finally:
        with suppress(OSError):  # of a folder that cannot be written
            part.unlink(missing_ok=True)


def _facts(record: Any, kind: PlaceKind) -> tuple[tuple[str, str], ...]:
    return (("kind", str(kind)), *facts_of(record))


def _point(record: Any, kind: PlaceKind) -> FoundPlace:
    return FoundPlace(
        shape=Shape.POINT,
        parts=(Part((record.position,)),),
        name=record.name,
        notes=record.notes,
        height_m=getattr(record, "ground_m", None),
        kind=kind,
        facts=_facts(record, kind),
    )


def _hazard(hazard: Hazard) -> FoundPlace:
    return FoundPlace(
        shape=hazard.shape,
        parts=(Part(hazard.line),),
        name=hazard.name,
        notes=hazard.notes,
        kind=PlaceKind.HAZARD,
        facts=_facts(hazard, PlaceKind.HAZARD),
    )


def _closure(closure: Closure) -> FoundPlace:
    """A closure as it is drawn, or as words where it is not."""
    return FoundPlace(
        shape=closure.shape if closure.line else Shape.POINT,
        parts=(Part(closure.line),) if closure.line else (),
        name=closure.name,
        notes=closure.notes,
        kind=PlaceKind.CLOSURE,
        facts=_facts(closure, PlaceKind.CLOSURE),
    )


def _route(route: AccessRoute, dossier: Dossier) -> FoundPlace:
    parts = []
    for leg in dossier.legs_of(route):
        refuge = by_id(dossier.refuges, leg.refuge_id)
        own = (("refuge", refuge.name),) if refuge else ()
        parts.append(Part(leg.line, (("name", leg.name), *facts_of(leg), *own)))
    return FoundPlace(
        shape=Shape.LINE,
        parts=tuple(parts),
        name=route.name,
        notes=route.notes,
        kind=PlaceKind.ROUTE,
        facts=_facts(route, PlaceKind.ROUTE),
    )


def _note(note: AccessNote) -> FoundPlace:
    return FoundPlace(
        shape=Shape.POINT,
        parts=(),
        name=f"{note.day.isoformat()} {note.kind}",
        notes=note.text,
        kind=PlaceKind.NOTE,
        facts=_facts(note, PlaceKind.NOTE),
    )
