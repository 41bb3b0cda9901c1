"""What lies below the sheet's map: land and shore as areas and lines of positions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Line, Position, normal_longitude_deg
from fieldtrip.material.box import Box
from fieldtrip.material.coast import ACCURACY, CREDIT, Coast
from fieldtrip.reports.sheet import StrokeKind
from fieldtrip.reports.sheet_frame import HEIGHT, WIDTH, Frame
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.land import land_areas
from fieldtrip.terrain.shadow import contours
from fieldtrip.wording import METRES_PER_FOOT, height_text

_FINEST = 2.0  # units from cell to cell, below which nothing more is seen
_STEPS = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0)
_MOST_STEPS = 12
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


def heights_ground(
    heights: KnownGround, frame: Frame, settings: Settings, *, with_land: bool = True
) -> Ground:
    """Land and lines of equal height around a frame, by elevation files.

    Without land only the lines, for a map whose land is drawn already.  Raises
    `UserError` where a file is gone or damaged.
    """
    south, west, north, east = frame.edges_deg()
    reach_m = math.hypot(WIDTH, HEIGHT) / 2.0 / frame.units_per_m
    grid = heights.grid_for(frame.middle, reach_m)
    if grid is None:
        return Ground((), "")
    _, grid_west, _, grid_east = grid.box
    middle_deg = 0.5 * (grid_west + grid_east)
    lons = [
        middle_deg + math.remainder(lon - middle_deg, 360.0) for lon in (west, east)
    ]
    rows = [(grid.north_deg - lat) / grid.row_step_deg for lat in (north, south)]
    columns = [(lon - grid_west) / grid.column_step_deg for lon in lons]
    size = grid.shape
    per_cell = grid.row_step_deg * frame.per_lat  # units
    every = max(1, round(_FINEST / per_cell))
    part = grid.part(_slice(rows, size[0], every), _slice(columns, size[1], every))
    shapes: list[GroundShape] = []
    if with_land:
        shapes += [
            GroundShape(StrokeKind.LAND, tuple(_lat_lon(ring) for ring in rings))
            for rings in land_areas(part)
        ]
    step_m = _step_m(part, settings)
    for height_m, lines in contours(part, step_m):
        if height_m > 0.0:
            shapes += [
                GroundShape(StrokeKind.CONTOUR, (_lat_lon(line),)) for line in lines
            ]
    step = height_text(step_m, settings, 0)
    return Ground(
        tuple(shapes),
        f"Land above mean sea level and a line every {step} by the elevation files.",
    )


def _slice(ends: Sequence[float], size: int, every: int) -> slice:
    """Cells between two edges, with one more on either side; two at least."""
    first = min(max(math.floor(min(ends)) - every, 0), size - 2)
    last = max(min(math.ceil(max(ends)) + every + 1, size), first + 2)
    return slice(first, last, min(every, last - first - 1))


def _step_m(grid: ElevationGrid, settings: Settings) -> float:
    """A round step that makes a dozen lines or fewer."""
    unit_m = 1.0 if settings.length_unit is LengthUnit.METRE else METRES_PER_FOOT
    highest_m = float(np.nanmax(grid.heights_m, initial=0.0))
    lowest_m = float(np.nanmin(grid.heights_m, initial=0.0))
    steps = [step * unit_m for step in _STEPS]
    fitting = (step for step in steps if highest_m - lowest_m <= _MOST_STEPS * step)
    return next(fitting, steps[-1])


def _lat_lon(points: Array) -> Line:
    return tuple(
        Position(float(lat), normal_longitude_deg(float(lon)))
        for lat, lon in points
        if abs(lat) <= 90.0
    )


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
