"""How near a recorded edge comes to where somebody stands or walks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from fieldtrip.geo import (
    Line,
    Position,
    bearing_deg,
    contains,
    distance_m,
    distance_to_line_m,
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
    outline = hazard.line
    if hazard.shape is Shape.AREA and outline:
        outline = (*outline, outline[0])
        if any(contains(hazard.line, point) for point in line):
            return 0.0
    return lines_distance_m(outline, line)


def lines_distance_m(a: Line, b: Line) -> float:
    """Shortest distance in metres between two lines of positions; inf if one is empty.

    Of two lines that do not cross, an end of a piece of one is nearest to the other.
    """
    if not a or not b:
        return math.inf
    if _do_cross(a, b):
        return 0.0
    from_a = (distance_to_line_m(point, b) for point in a)
    from_b = (distance_to_line_m(point, a) for point in b)
    return min(min(from_a), min(from_b))


def _do_cross(a: Line, b: Line) -> bool:
    flat_a, flat_b = _flat(a[0], a), _flat(a[0], b)
    return any(
        _pieces_cross(p, q, r, s)
        for p, q in pairwise(flat_a)
        for r, s in pairwise(flat_b)
    )


def _flat(origin: Position, line: Line) -> _Flat:
    """East and north of an origin, good to a metre within some kilometres of it."""
    flat = []
    for point in line:
        distance, bearing = distance_m(origin, point), bearing_deg(origin, point)
        east = distance * math.sin(math.radians(bearing))
        flat.append((east, distance * math.cos(math.radians(bearing))))
    return flat


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
