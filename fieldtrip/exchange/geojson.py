"""GeoJSON in and out.

Source: RFC 7946 (2016): WGS 84, longitude before latitude (section 3.1.1), rings
counterclockwise (3.1.6), nothing across the date line (3.1.9).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, NoReturn

from fieldtrip.errors import UserError
from fieldtrip.exchange.date_line import lines_apart, rings_apart
from fieldtrip.exchange.found import (
    LEG,
    Facts,
    Found,
    FoundPlace,
    Part,
    PlaceKind,
    Progress,
    Source,
    add_leg,
    finished,
    instant_of,
    kind_of,
    kind_words,
    open_ring,
    position_of,
    shape_of,
    tidy,
)
from fieldtrip.exchange.xml_reader import refuse_too_large
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Shape

_OWN = frozenset({"name", "notes", "what", "line"})  # properties that are no facts
_NAMES = ("name", "Name", "title")
_NOTES = ("notes", "description", "desc")
_WGS84 = ("CRS84", "4326", "WGS84")  # as older files name what is now the only one
_SINGLE = {
    "MultiPoint": "Point",
    "MultiLineString": "LineString",
    "MultiPolygon": "Polygon",
}
_DEEPEST = 50  # collections of geometries within one another


def read_geojson(
    data: bytes, file_name: str, progress: Progress | None = None
) -> Found:
    """Read a GeoJSON document: a collection, one feature or one geometry.

    Raises `UserError`, and gives nothing, for a document that is none or in which
    one position is no position.
    """
    refuse_too_large(len(data), file_name)
    root = _parsed(data, file_name)
    reader = _Reader(file_name)
    features = reader.features(root)
    for number, feature in enumerate(features, start=1):
        reader.read(feature, number)
        if progress is not None and number % 100 == 0:
            progress(number / len(features))
    remarks = ("Holes in areas were filled in.",) if reader.has_holes else ()
    return finished(
        Source.GEOJSON, file_name, reader.places, reader.lost_times, remarks
    )


def geojson_bytes(places: Sequence[FoundPlace], name: str) -> bytes:
    """Places as a FeatureCollection; each leg of a route is a feature of its own."""
    features: list[dict[str, Any]] = []
    for place in places:
        is_route = place.kind is PlaceKind.ROUTE
        told = {"name": place.name, "notes": place.notes, "what": kind_words(place)}
        parts = () if is_route else place.parts
        features.append(_feature(place.shape, parts, told | dict(place.facts)))
        for part in place.parts if is_route else ():
            leg = {"what": f"leg of {place.name}", "kind": LEG}
            features.append(_feature(Shape.LINE, (part,), leg | dict(part.facts)))
    root = {"type": "FeatureCollection", "name": name, "features": features}
    text = json.dumps(root, ensure_ascii=False, allow_nan=False, indent=1)
    return text.encode("utf-8", "replace")


def _feature(
    shape: Shape, parts: Sequence[Part], properties: dict[str, Any]
) -> dict[str, Any]:
    """A feature; where it is cut at the date line, its whole line is told as well."""
    geometry = _geometry(shape, parts)
    if geometry is not None and geometry["type"].startswith("Multi"):
        properties = {**properties, "line": _coordinates(parts[0].line)}
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _geometry(shape: Shape, parts: Sequence[Part]) -> dict[str, Any] | None:
    if not parts:
        return None
    (line,) = (part.line for part in parts[:1])
    if shape is Shape.POINT:
        return {"type": "Point", "coordinates": _coordinates(line)[0]}
    if shape is Shape.LINE:
        some = [_coordinates(piece) for piece in lines_apart(line)]
        if len(some) == 1:
            return {"type": "LineString", "coordinates": some[0]}
        return {"type": "MultiLineString", "coordinates": some}
    rings = [[_coordinates((*ring, ring[0]))] for ring in rings_apart(line)]
    if len(rings) == 1:
        return {"type": "Polygon", "coordinates": rings[0]}
    return {"type": "MultiPolygon", "coordinates": rings}


def _coordinates(line: Line) -> list[list[float]]:
    return [[position.lon_deg, position.lat_deg] for position in line]


class _Reader:
    """Turns features into places, one after the other."""

    def __init__(self, file_name: str) -> None:
        self.places: list[FoundPlace] = []
        self.lost_times = 0
        self.has_holes = False
        self._file_name = file_name
        self._where = ""

    def features(self, root: Any) -> list[Any]:
        """The features of a document, whatever it is made of."""
        if not isinstance(root, dict) or not isinstance(root.get("type"), str):
            self._refuse("it has no “type”")
        _refuse_other_system(root, self._file_name)
        if root["type"] == "FeatureCollection":
            if not isinstance(root.get("features"), list):
                self._refuse("its “features” are no list")
            features: list[Any] = root["features"]
            return features
        if root["type"] == "Feature":
            return [root]
        return [{"type": "Feature", "geometry": root, "properties": None}]

    def read(self, feature: Any, number: int) -> None:
        """Read one feature, which may be several places."""
        self._where = f"“{self._file_name}”, feature {number}"
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            self._refuse(f"feature {number} is none")
        told = feature.get("properties") or {}
        if not isinstance(told, dict):
            self._refuse(f"the properties of feature {number} are no object")
        geometry = feature.get("geometry")
        facts = tuple(
            (_clean(key), _clean(value))
            for key, value in told.items()
            if isinstance(value, str) and key not in _OWN
        )
        if told.get("kind") == LEG and self._add_leg(geometry, told, facts):
            return
        kind = kind_of(facts)
        name, notes = _first(told, _NAMES), _first(told, _NOTES)
        if kind is None:
            facts, name, notes = (), tidy(name), notes.strip()
        shapes = [] if geometry is None else self._shapes(geometry)
        if kind is not None:
            shapes = self._whole(told, facts, geometry, shapes)
        if not shapes and (name or notes):
            shape = Shape.LINE if kind is PlaceKind.ROUTE else Shape.POINT
            shapes = [(shape, ())]
        for shape, parts in shapes:
            self.places.append(
                FoundPlace(
                    shape=shape,
                    parts=parts,
                    name=name,
                    notes=notes,
                    time=self._time(told.get("time")),
                    kind=kind,
                    facts=facts,
                )
            )

    def _add_leg(self, geometry: Any, told: dict[str, Any], facts: Facts) -> bool:
        """Add a leg to the route before it; False where there is none."""
        if geometry is None:
            return False
        own = tuple(fact for fact in facts if fact[0] != "kind")
        name = told.get("name")
        if isinstance(name, str):
            own = (("name", _clean(name)), *own)
        shapes = self._whole(
            told, (("shape", "line"),), geometry, self._shapes(geometry)
        )
        lines = (part for shape, some in shapes for part in some if shape is Shape.LINE)
        return add_leg(self.places, tuple(Part(part.line, own) for part in lines))

    def _whole(
        self,
        told: dict[str, Any],
        facts: Facts,
        geometry: Any,
        shapes: list[tuple[Shape, tuple[Part, ...]]],
    ) -> list[tuple[Shape, tuple[Part, ...]]]:
        """What was cut at the date line as it was, if nobody changed the pieces."""
        if "line" not in told or not isinstance(told["line"], list):
            return shapes
        line = self._line(told["line"])
        shape = shape_of(facts, Shape.LINE)
        least = {Shape.POINT: 1, Shape.LINE: 2, Shape.AREA: 3}[shape]
        if len(line) < least or _geometry(shape, (Part(line),)) != geometry:
            return shapes
        return [(shape, (Part(line),))]

    def _shapes(
        self, geometry: Any, depth: int = 0
    ) -> list[tuple[Shape, tuple[Part, ...]]]:
        """The shapes of a geometry; a line in several parts is one shape."""
        sort = geometry.get("type") if isinstance(geometry, dict) else None
        if sort == "GeometryCollection":
            members = geometry.get("geometries")
            if not isinstance(members, list) or depth > _DEEPEST:
                self._refuse("a collection has no list of geometries")
            return [
                one for member in members for one in self._shapes(member, depth + 1)
            ]
        coordinates = geometry.get("coordinates") if sort else None
        if not isinstance(coordinates, list):
            self._refuse("a geometry has no coordinates")
        several = coordinates if sort in _SINGLE else [coordinates]
        single = _SINGLE.get(str(sort), sort)
        if single == "Point":
            return [(Shape.POINT, (Part((self._position(one),)),)) for one in several]
        if single == "Polygon":
            return [(Shape.AREA, (Part(self._ring(one)),)) for one in several]
        if single != "LineString":
            self._refuse(f"“{str(sort)[:40]}” is no geometry")
        lines = tuple(Part(self._line(one)) for one in several)
        return [(Shape.LINE, lines)] if lines else []

    def _ring(self, rings: Any) -> Line:
        if not isinstance(rings, list) or not rings:
            self._refuse("an area has no ring")
        self.has_holes |= len(rings) > 1
        return open_ring(self._line(rings[0]))

    def _line(self, positions: Any) -> Line:
        if not isinstance(positions, list):
            self._refuse("a line is no list of positions")
        return tuple(self._position(one) for one in positions)

    def _position(self, pair: Any) -> Position:
        match pair:
            case [bool(), *_] | [_, bool(), *_]:
                pass
            case [int() | float() as lon, int() | float() as lat, *_]:
                return position_of(float(lat), float(lon), self._where)
        raise UserError(
            f"{self._where}: a position needs a longitude and a latitude in numbers."
        )

    def _time(self, text: object) -> Any:
        if not isinstance(text, str) or not text.strip():
            return None
        instant = instant_of(text)
        self.lost_times += instant is None
        return instant

    def _refuse(self, why: str) -> NoReturn:
        raise UserError(
            f"“{self._file_name}” is no GeoJSON: {why}, so nothing was taken from it."
        )


def _parsed(data: bytes, file_name: str) -> Any:
    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=_refuse_constant)
    except UnicodeDecodeError as error:
        raise UserError(
            f"“{file_name}” is not written in UTF-8, as GeoJSON must be, so nothing "
            "was taken from it."
        ) from error
    except json.JSONDecodeError as error:
        raise UserError(
            f"“{file_name}” is damaged or is no GeoJSON: line {error.lineno} cannot "
            "be read, so nothing was taken from it."
        ) from error
    except (ValueError, RecursionError) as error:
        raise UserError(
            f"“{file_name}” holds numbers or lists that no GeoJSON has, so nothing "
            "was taken from it."
        ) from error


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(name)


def _refuse_other_system(root: dict[str, Any], file_name: str) -> None:
    """Refuse coordinates that are not WGS 84 (RFC 7946, section 4)."""
    crs = root.get("crs")
    if crs is not None and not any(name in json.dumps(crs) for name in _WGS84):
        raise UserError(
            f"The coordinates of “{file_name}” are in a system of their own; GeoJSON "
            "has longitude and latitude in WGS 84. Convert it first."
        )


def _first(told: dict[str, Any], names: Sequence[str]) -> str:
    """The first property of these names that says something."""
    for name in names:
        value = told.get(name)
        if isinstance(value, str | int | float) and str(value).strip():
            return _clean(str(value))
    return ""


def _clean(text: str) -> str:
    """A text without null characters and halves of symbols, which JSON may hold."""
    return text.replace("\0", "\ufffd").encode("utf-8", "replace").decode()
