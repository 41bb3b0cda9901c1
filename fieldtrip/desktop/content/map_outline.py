"""A drawing of the land, as a file brings it, made sound for the map."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from fieldtrip.desktop.content.map_features import Feature, FeatureCollection
from fieldtrip.errors import UserError

KINDS = ("land", "shingle", "water", "contour")
_AREAS = ("Polygon", "MultiPolygon")
# How deep a geometry's positions lie in its coordinates.
_DEPTHS = {"LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}
_GEOMETRIES = ("Point", "MultiPoint", *_DEPTHS)


def outline_features(value: object) -> FeatureCollection:
    """The areas and lines of a GeoJSON value, as RFC 7946 has it.

    A feature's `kind` is one of KINDS, else land for an area and contour for a
    line; its `name` is written on it.  What is neither area nor line is left out.
    Raises `UserError` for what is no GeoJSON, and for positions off the Earth.
    """
    features = [
        feature
        for feature in _features(value)
        if feature["geometry"]["type"] in _DEPTHS
    ]
    for feature in features:
        _check(feature["geometry"])
    return {"type": "FeatureCollection", "features": features}


def _features(value: object, properties: object = None) -> Iterator[Feature]:
    match value:
        case {"type": "FeatureCollection", "features": list(items)}:
            for item in items:
                yield from _features(item)
        case {"type": "GeometryCollection", "geometries": list(items)}:
            for item in items:
                yield from _features(item, properties)
        case {"type": "Feature", "geometry": None}:
            return
        case {"type": "Feature", "geometry": geometry, **rest}:
            yield from _features(geometry, rest.get("properties"))
        case {"type": str(kind), "coordinates": places} if kind in _GEOMETRIES:
            yield _drawn({"type": kind, "coordinates": places}, properties)
        case _:
            raise UserError("That is no GeoJSON: a drawing is a list of its features.")


def _drawn(geometry: Mapping[str, Any], properties: object) -> Feature:
    known = properties if isinstance(properties, Mapping) else {}
    kind, name = known.get("kind"), known.get("name")
    is_area = geometry["type"] in _AREAS
    if kind not in KINDS or (kind == "contour") == is_area:
        kind = "land" if is_area else "contour"
    return {
        "type": "Feature",
        "geometry": geometry,
        "properties": {"kind": kind, "name": name if isinstance(name, str) else ""},
    }


def _check(geometry: Mapping[str, Any]) -> None:
    for position in _positions(geometry.get("coordinates"), _DEPTHS[geometry["type"]]):
        match position:
            case [int() | float() as lon_deg, int() | float() as lat_deg, *_] if (
                math.isfinite(lon_deg)
                and abs(lon_deg) <= 360.0
                and abs(lat_deg) <= 90.0
            ):
                continue
        raise UserError(
            "That drawing has positions that are not on the Earth. GeoJSON gives "
            "longitude and latitude in degrees."
        )


def _positions(coordinates: object, depth: int) -> Iterator[object]:
    if not isinstance(coordinates, list):
        raise UserError("That drawing has a shape without positions.")
    for item in coordinates:
        if depth > 1:
            yield from _positions(item, depth - 1)
        else:
            yield item
