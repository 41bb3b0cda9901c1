"""How near a recorded edge comes to where somebody stands or walks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from fieldtrip.geo import (
    Line,
    Position,
    contains,
    offset_m,
)
from fieldtrip.places.records import Hazard, HazardKind, Shape

_Flat = list[tuple[float, float]]  # metres east and north


@dataclass(frozen=True, slots=True)
class NearEdge:
    """A recorded edge and how far off it lies, by the positions on the map."""

    hazard: Hazard
    distance_m: float


def edges_near(
    hazards: tuple[Hazard, ...], line: Line, within_m: float
) -> list[NearEdge]:
    """The recorded cliff edges within reach of a point or a line, nearest first."""
    found = [
        NearEdge(hazard, hazard_distance_m(hazard, line))
        for hazard in hazards
        if hazard.kind is HazardKind.CLIFF_EDGE
    ]
    near = [edge for edge in found if edge.distance_m <= within_m]
    return sorted(near, key=lambda edge: edge.distance_m)


def hazard_distance_m(hazard: Hazard, line: Line) -> float:
    """From a point (a line of one) or a line to a hazard; 0 inside an area."""
    is_area = hazard.shape is Shape.AREA and bool(hazard.line)
    if is_area and any(contains(hazard.line, point) for point in line):
        return 0.0
    return lines_distance_m(outline_of(hazard), line)


def outline_of(hazard: Hazard) -> Line:
    """What of a hazard lies on the map, an area's ring closed."""
    is_ring = hazard.shape is Shape.AREA and bool(hazard.line)
    return (*hazard.line, hazard.line[0]) if is_ring else hazard.line


def lines_distance_m(a: Line, b: Line) -> float:
    """Shortest distance in metres between two lines of positions; inf if one is empty.

    Of two lines that do not cross, an end of a piece of one is nearest to the other.
    """
    if not a or not b:
        return math.inf
    flat_a, flat_b = _flat(a[0], a), _flat(a[0], b)
    if _do_cross(flat_a, flat_b):
        return 0.0
    from_a = (_from_line(point, flat_b) for point in flat_a)
    from_b = (_from_line(point, flat_a) for point in flat_b)
    return min(min(from_a), min(from_b))


def _from_line(point: tuple[float, float], line: _Flat) -> float:
    shifted = [(east - point[0], north - point[1]) for east, north in line]
    if len(shifted) == 1:
        return _length(shifted[0])
    return min(_length(_nearest_to_origin(p, q)) for p, q in pairwise(shifted))


def bearing_to_line_deg(point: Position, line: Line) -> float | None:
    """Where the nearest place of a line lies from a point; None where they touch."""
    flat = _flat(point, line)
    pieces = list(pairwise(flat)) or [(flat[0], flat[0])]
    east, north = min((_nearest_to_origin(*piece) for piece in pieces), key=_length)
    if _length((east, north)) == 0.0:
        return None
    return math.degrees(math.atan2(east, north)) % 360.0


def _length(at: tuple[float, float]) -> float:
    return math.hypot(*at)


def _nearest_to_origin(
    p: tuple[float, float], q: tuple[float, float]
) -> tuple[float, float]:
    along = (q[0] - p[0], q[1] - p[1])
    square = along[0] ** 2 + along[1] ** 2
    if square == 0.0:
        return p
    part = -(p[0] * along[0] + p[1] * along[1]) / square
    part = min(1.0, max(0.0, part))
    return p[0] + part * along[0], p[1] + part * along[1]


def _do_cross(a: _Flat, b: _Flat) -> bool:
    return any(
        _pieces_cross(p, q, r, s) for p, q in pairwise(a) for r, s in pairwise(b)
    )


def _flat(origin: Position, line: Line) -> _Flat:
    """East and north of an origin, good to a metre within some kilometres of it."""
    return [offset_m(origin, point) for point in line]


def _pieces_cross(
    p: tuple[float, float],
    q: tuple[float, float],
    r: tuple[float, float],
    s: tuple[float, float],
) -> bool:
    return (
        _side(p, q, r) * _side(p, q, s) < 0.0 and _side(r, s, p) * _side(r, s, q) < 0.0
    )


def _side(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]
) -> float:
    """Above 0 where c lies to the left of the way from a to b, below 0 to its right."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
