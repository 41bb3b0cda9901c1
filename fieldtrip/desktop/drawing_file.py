"""Reads a GeoJSON file as a drawing for the map; a big one loses some of its points."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from fieldtrip.desktop.content.map_features import FeatureCollection
from fieldtrip.desktop.content.map_outline import outline_features
from fieldtrip.errors import UserError
from fieldtrip.material.rings import thinned

LARGEST_BYTES = 25_000_000
MOST_POINTS = 30_000  # that the map draws without a stall
_FIRST_CELL_DEG = 1e-5  # about a metre
_DEPTHS = {"LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}
_AREAS = ("Polygon", "MultiPolygon")
Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing, and a word on it where it is not drawn as it is in the file."""

    text: str  # GeoJSON, for the page
    note: str


def read_drawing(path: Path, progress: Progress = lambda _: None) -> Drawing:
    """The areas and lines of a file.

    `progress` may end the work by raising.  Raises `UserError`, one sentence, for what
    is too large, no GeoJSON, or holds nothing to draw.
    """
    name = path.name
    features = outline_features(_value(path))["features"]
    if not features:
        raise UserError(f"“{name}” has neither lines nor areas to draw.")
    progress(0.3)
    whole = sum(_count(feature["geometry"]) for feature in features)
    cell_deg, points = 0.0, whole
    drawn = [_flat(feature, 0.0) for feature in features]
    while points > MOST_POINTS and cell_deg < 1.0:
        cell_deg = 2.0 * cell_deg or _FIRST_CELL_DEG
        progress(0.5)
        drawn = [_flat(feature, cell_deg) for feature in drawn]
        points = sum(_count(feature["geometry"]) for feature in drawn)
    if points > MOST_POINTS:
        raise UserError(
            f"“{name}” has too many shapes for the map: {len(features):,}. "
            "Cut it to the stretch that is needed."
        )
    note = f"drawn with {points:,} of {whole:,} points" if points < whole else ""
    collection: FeatureCollection = {"type": "FeatureCollection", "features": drawn}
    return Drawing(json.dumps(collection, allow_nan=False), note)


def _value(path: Path) -> object:
    name = path.name
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise UserError(
                f"“{name}” is larger than {LARGEST_BYTES // 1_000_000} MB, too large "
                "to draw. Cut it to the stretch that is needed."
            )
        return json.loads(path.read_bytes().decode("utf-8-sig"))
    except FileNotFoundError as error:
        raise UserError(f"There is no file “{name}” there any more.") from error
    except OSError as error:
        raise UserError(f"“{name}” cannot be opened: {error.strerror}.") from error
    except (ValueError, RecursionError) as error:
        raise UserError(f"“{name}” is no GeoJSON, or is damaged.") from error


def _flat(feature: dict[str, Any], cell_deg: float) -> dict[str, Any]:
    """A feature of longitudes and latitudes alone, with fewer points for a cell."""
    geometry = feature["geometry"]
    kind = geometry["type"]
    coordinates = _thin(
        geometry["coordinates"], _DEPTHS[kind], cell_deg, is_ring=kind in _AREAS
    )
    return {**feature, "geometry": {"type": kind, "coordinates": coordinates}}


def _thin(
    coordinates: list[Any], depth: int, cell_deg: float, *, is_ring: bool
) -> list[Any]:
    if depth > 1:
        return [_thin(c, depth - 1, cell_deg, is_ring=is_ring) for c in coordinates]
    places = [[float(place[0]), float(place[1])] for place in coordinates]
    if cell_deg == 0.0 or len(places) < 5:
        return places
    points = np.array(places)
    if is_ring and places[0] == places[-1]:
        ring: list[Any] = thinned(points[:-1], cell_deg).tolist()
        return [*ring, ring[0]]
    line: list[Any] = thinned(points[:-1], cell_deg).tolist()
    return [*line, places[-1]]


def _count(geometry: dict[str, Any]) -> int:
    def count(coordinates: list[Any], depth: int) -> int:
        if depth == 1:
            return len(coordinates)
        return sum(count(each, depth - 1) for each in coordinates)

    return count(geometry["coordinates"], _DEPTHS[geometry["type"]])
