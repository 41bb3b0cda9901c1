"""Cuts lines and areas where they cross the 180th meridian.

Source: RFC 7946, section 3.1.9: no part of a geometry may cross it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from fieldtrip.geo import Line, Position

_Point = tuple[float, float]  # longitude, which may go on past 180, and latitude


def lines_apart(line: Line) -> tuple[Line, ...]:
    """A line in pieces, none of which crosses the date line; mostly the line itself."""
    pieces: list[list[Position]] = [list(line[:1])]
    for a, b in pairwise(line):
        if abs(b.lon_deg - a.lon_deg) > 180.0:
            side = math.copysign(180.0, a.lon_deg)
            far = b.lon_deg + 2.0 * side
            way = far - a.lon_deg
            t = (side - a.lon_deg) / way if way else 0.0
            lat_deg = a.lat_deg + t * (b.lat_deg - a.lat_deg)
            _extend(pieces[-1], Position(lat_deg, side))
            pieces.append([Position(lat_deg, -side)])
        _extend(pieces[-1], b)
    return tuple(tuple(piece) for piece in pieces if len(piece) > 1)


def rings_apart(ring: Line) -> tuple[Line, ...]:
    """An area's open ring in pieces, counterclockwise, none across the date line.

    A ring round a pole is given back whole.
    """
    lons = [ring[0].lon_deg]
    for a, b in pairwise((*ring, ring[0])):
        lons.append(lons[-1] + math.remainder(b.lon_deg - a.lon_deg, 360.0))
    if abs(lons[-1] - lons[0]) > 180.0:
        return (ring,)
    if all(-180.0 <= lon <= 180.0 for lon in lons):
        return (ring if _area(_flat(ring)) >= 0.0 else ring[::-1],)
    points = [(lon, p.lat_deg) for lon, p in zip(lons[:-1], ring, strict=True)]
    if _area(points) < 0.0:
        points.reverse()
    pieces = []
    for turn in (-360.0, 0.0, 360.0):
        west, east = turn - 180.0, turn + 180.0
        piece = _clipped(points, west, lambda lon, edge: lon >= edge)
        piece = _clipped(piece, east, lambda lon, edge: lon <= edge)
        if len(piece) > 2 and abs(_area(piece)) > 0.0:
            pieces.append(tuple(_position(lon - turn, lat) for lon, lat in piece))
    return tuple(pieces)


def _extend(piece: list[Position], position: Position) -> None:
    if piece[-1] != position:
        piece.append(position)


def _position(lon_deg: float, lat_deg: float) -> Position:
    return Position(lat_deg, min(180.0, max(-180.0, lon_deg)))


def _flat(ring: Line) -> list[_Point]:
    return [(p.lon_deg, p.lat_deg) for p in ring]


def _area(points: list[_Point]) -> float:
    """Twice the area in square degrees, positive counterclockwise."""
    return sum(
        x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise([*points, points[0]])
    )


def _clipped(
    points: list[_Point], edge: float, is_inside: Callable[[float, float], bool]
) -> list[_Point]:
    """What of a ring lies on one side of a meridian (Sutherland and Hodgman, 1974)."""
    kept: list[_Point] = []
    for a, b in pairwise([*points, *points[:1]]):
        if is_inside(a[0], edge) != is_inside(b[0], edge):
            t = (edge - a[0]) / (b[0] - a[0])
            kept.append((edge, a[1] + t * (b[1] - a[1])))
        if is_inside(b[0], edge):
            kept.append(b)
    return kept
