"""What lies below the sheet's map: land and shore as areas and lines of positions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldtrip.geo import Line, Position, normal_longitude_deg
from fieldtrip.material.box import Box
from fieldtrip.material.coast import ACCURACY, CREDIT, Coast
from fieldtrip.reports.sheet import StrokeKind
from fieldtrip.reports.sheet_frame import HEIGHT, Frame

_KINDS = {
    "land": StrokeKind.LAND,
    "water": StrokeKind.WATER,
    "shingle": StrokeKind.SHINGLE,
    "contour": StrokeKind.CONTOUR,
}


@dataclass(frozen=True, slots=True)
class GroundShape:
    """An area with its holes, or one line."""

    kind: StrokeKind
    rings: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Ground:
    """What is drawn below the trip, and whose it is."""

    shapes: tuple[GroundShape, ...]
    credit: str


def drawing_ground(features: Mapping[str, Any], credit: str) -> Ground:
    """A drawing of the land: GeoJSON of areas and lines that was found sound.

    Their `kind` is land, water, shingle or contour.
    """
    shapes: list[GroundShape] = []
    for feature in features["features"]:
        kind = _KINDS.get(feature["properties"].get("kind", ""), StrokeKind.CONTOUR)
        shapes += [
            GroundShape(kind, tuple(_line(ring) for ring in rings))
            for rings in _parts(feature["geometry"])
        ]
    return Ground(tuple(shapes), credit)


def coast_ground(coast: Coast, frame: Frame) -> Ground:
    """The coastline around a frame.  Raises `UserError` where none is installed."""
    south, west, north, east = frame.edges_deg()
    box = Box(max(south, -90.0), west, min(north, 90.0), east).padded(0.1)
    shapes: list[GroundShape] = []
    for level in coast.levels(box, (north - south) / HEIGHT):
        kind = StrokeKind.LAND if level.is_land else StrokeKind.WATER
        shapes += [GroundShape(kind, (_line(ring),)) for ring in level.rings]
        lines = (*level.whole, *level.shores)
        shapes += [GroundShape(StrokeKind.SHORE, (_line(line),)) for line in lines]
    return Ground(tuple(shapes), f"{CREDIT}; {ACCURACY}.")


def together(grounds: Sequence[Ground]) -> Ground | None:
    """Several grounds as one, the first lowest; None where nothing is drawn."""
    drawn = [ground for ground in grounds if ground.shapes]
    if not drawn:
        return None
    return Ground(
        tuple(shape for ground in drawn for shape in ground.shapes),
        " ".join(dict.fromkeys(ground.credit for ground in drawn)),
    )


def _parts(geometry: Mapping[str, Any]) -> Iterator[Sequence[Any]]:
    places = geometry["coordinates"]
    match geometry["type"]:
        case "Polygon":
            yield places
        case "MultiPolygon":
            yield from places
        case "LineString":
            yield [places]
        case "MultiLineString":
            for line in places:
                yield [line]


def _line(places: Any) -> Line:
    return tuple(
        Position(float(place[1]), normal_longitude_deg(float(place[0])))
        for place in places
        if math.isfinite(place[0]) and abs(place[1]) <= 90.0
    )
