"""Points on the Earth, the distances between them, and bearings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from geographiclib.geodesic import Geodesic


@dataclass(frozen=True, slots=True)
class Position:
    """A point on the WGS 84 ellipsoid, without height.

    Latitude is positive to the north, longitude positive to the east and
    within -180..180, so two positions are equal when their numbers are.
    """

    lat_deg: float
    lon_deg: float

    def __post_init__(self) -> None:
        # Written so that nan fails too.
        if not -90.0 <= self.lat_deg <= 90.0:
            raise ValueError(f"latitude {self.lat_deg} is not within -90..90")
        if not -180.0 <= self.lon_deg <= 180.0:
            raise ValueError(f"longitude {self.lon_deg} is not within -180..180")


Line = tuple[Position, ...]


def distance_m(a: Position, b: Position) -> float:
    """Length in metres of the geodesic from `a` to `b` on WGS 84; exact to 15 nm."""
    return float(_inverse(a, b)["s12"])


def bearing_deg(a: Position, b: Position) -> float:
    """Initial true bearing at `a` of the geodesic to `b`, 0 <= bearing < 360.

    A geodesic, not a rhumb line: it is the direction in which `b` is seen.
    From a point to itself the bearing is 0.
    """
    return float(_inverse(a, b)["azi1"]) % 360.0


def destination(start: Position, bearing: float, distance: float) -> Position:
    """The position reached from `start` along a true bearing (degrees), in metres."""
    end = Geodesic.WGS84.Direct(start.lat_deg, start.lon_deg, bearing, distance)
    return Position(end["lat2"], normal_longitude_deg(end["lon2"]))


def line_length_m(line: Line) -> float:
    """Length in metres along a line of positions; 0 for fewer than two."""
    return sum(distance_m(a, b) for a, b in pairwise(line))


def area_m2(ring: Line) -> float:
    """Area in square metres inside a ring of geodesics on WGS 84, open or closed.

    Whichever way round it runs; of a ring that crosses itself the parts count
    against each other.  0 for fewer than three positions.
    """
    polygon = Geodesic.WGS84.Polygon()
    for position in ring:
        polygon.AddPoint(position.lat_deg, position.lon_deg)
    _, _, area = polygon.Compute(False, True)
    return abs(float(area))


def distance_to_line_m(point: Position, line: Line) -> float:
    """Shortest distance in metres from a point to a line of positions.

    Worked on a plane that touches the Earth at `point`: within 0.1 % up to
    10 km.  `inf` for an empty line.
    """
    if not line:
        return math.inf
    flat = [offset_m(point, p) for p in line]
    if len(flat) == 1:
        return math.hypot(*flat[0])
    return min(_segment_distance(a, b) for a, b in pairwise(flat))


def contains(area: Line, point: Position) -> bool:
    """Whether a point lies in an area (even-odd rule), whose ring may be open."""
    flat = [offset_m(point, p) for p in area]
    inside = False
    for (x1, y1), (x2, y2) in pairwise([*flat, *flat[:1]]):
        if (y1 > 0.0) != (y2 > 0.0) and x1 + (x2 - x1) * y1 / (y1 - y2) > 0.0:
            inside = not inside
    return inside


def offset_m(origin: Position, p: Position) -> tuple[float, float]:
    """East and north of `origin` in metres, with WGS 84's radii at its latitude.

    On a plane that touches the Earth there: within 0.1 % up to 10 km.
    """
    east_m, north_m = _metres_per_radian(origin.lat_deg)
    d_lon = (p.lon_deg - origin.lon_deg + 180.0) % 360.0 - 180.0
    east = math.radians(d_lon) * east_m
    north = math.radians(p.lat_deg - origin.lat_deg) * north_m
    return east, north


def normal_longitude_deg(lon_deg: float) -> float:
    """The same meridian within -180..180."""
    if -180.0 <= lon_deg <= 180.0:
        return lon_deg
    return (lon_deg + 180.0) % 360.0 - 180.0


@lru_cache(maxsize=4096)
def _metres_per_radian(lat_deg: float) -> tuple[float, float]:
    """Of longitude and of latitude, at a latitude on WGS 84."""
    lat = math.radians(lat_deg)
    e2 = 0.00669437999014  # first eccentricity squared of WGS 84
    w2 = 1.0 - e2 * math.sin(lat) ** 2
    prime_vertical_m = 6_378_137.0 / math.sqrt(w2)
    return prime_vertical_m * math.cos(lat), prime_vertical_m * (1.0 - e2) / w2


@lru_cache(maxsize=4096)
def _inverse(a: Position, b: Position) -> dict[str, float]:
    answer: dict[str, float] = Geodesic.WGS84.Inverse(
        a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg
    )
    return answer


def _segment_distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    (ax, ay), (bx, by) = a, b
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    t = 0.0 if length2 == 0.0 else min(1.0, max(0.0, -(ax * dx + ay * dy) / length2))
    return math.hypot(ax + t * dx, ay + t * dy)
