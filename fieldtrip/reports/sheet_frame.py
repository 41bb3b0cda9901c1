"""The frame of the sheet's map: which piece of the Earth, and where it lies on paper.

East is to the right and north is up everywhere on it: meridians and parallels are
drawn straight, which over the few kilometres of a trip bends nothing by more than
the width of a line.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from fieldtrip.geo import Line, Position, distance_m, normal_longitude_deg

Point = tuple[float, float]
WIDTH, HEIGHT = 720.0, 460.0
_LEAST_M = 400.0  # across the map, where all lies in one spot
_PADDING = 0.14  # of the extent, on each side
_BEYOND = 30.0  # units past the edge to which shapes are cut
_NEAREST = 0.5  # units between two points of a line
_STEPS_MIN = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600)
_MOST_LINES = 5
_NEAR_POLE_DEG = 89.0


@dataclass(frozen=True, slots=True)
class Frame:
    """A place on paper for every position near a middle."""

    middle: Position
    per_lat: float  # units for a degree of latitude
    per_lon: float
    units_per_m: float

    def point(self, position: Position) -> Point:
        """Units to the right and down, by the shorter way round the Earth."""
        away_deg = math.remainder(position.lon_deg - self.middle.lon_deg, 360.0)
        return (
            WIDTH / 2.0 + away_deg * self.per_lon,
            HEIGHT / 2.0 - (position.lat_deg - self.middle.lat_deg) * self.per_lat,
        )

    def edges_deg(self) -> tuple[float, float, float, float]:
        """South, west, north and east; longitudes may count on past 180."""
        half_lat, half_lon = HEIGHT / 2 / self.per_lat, WIDTH / 2 / self.per_lon
        lat, lon = self.middle.lat_deg, self.middle.lon_deg
        return lat - half_lat, lon - half_lon, lat + half_lat, lon + half_lon

    def holds(self, position: Position) -> bool:
        """Whether a position lies on the map."""
        x, y = self.point(position)
        return 0.0 <= x <= WIDTH and 0.0 <= y <= HEIGHT


def frame_round(positions: Sequence[Position]) -> Frame:
    """The frame that shows all these positions, of which there is at least one."""
    first = positions[0]
    lons = [math.remainder(p.lon_deg - first.lon_deg, 360.0) for p in positions]
    lats = [p.lat_deg for p in positions]
    middle = Position(
        max(-_NEAR_POLE_DEG, min(_NEAR_POLE_DEG, (min(lats) + max(lats)) / 2.0)),
        normal_longitude_deg(first.lon_deg + (min(lons) + max(lons)) / 2.0),
    )
    lat, lon = middle.lat_deg, middle.lon_deg
    m_lat = 100.0 * distance_m(Position(lat - 0.005, lon), Position(lat + 0.005, lon))
    east = Position(lat, normal_longitude_deg(lon + 0.01))
    m_lon = 100.0 * distance_m(middle, east)
    across_m = max((max(lons) - min(lons)) * m_lon, _LEAST_M)
    up_m = max((max(lats) - min(lats)) * m_lat, _LEAST_M * HEIGHT / WIDTH)
    room = 1.0 - 2.0 * _PADDING
    units_per_m = min(WIDTH * room / across_m, HEIGHT * room / up_m)
    return Frame(middle, m_lat * units_per_m, m_lon * units_per_m, units_per_m)


def cut_ring(points: Iterable[Point]) -> tuple[Point, ...]:
    """An area cut to a little more than the map; empty where none of it is there.

    Source: Sutherland and Hodgman, Reentrant polygon clipping, CACM 17 (1974) 32.
    """
    ring = [point for point in points if all(map(math.isfinite, point))]
    for axis, edge, is_low in (
        (0, -_BEYOND, True),
        (0, WIDTH + _BEYOND, False),
        (1, -_BEYOND, True),
        (1, HEIGHT + _BEYOND, False),
    ):
        kept: list[Point] = []
        for a, b in pairwise([*ring[-1:], *ring]):
            a_in = (a[axis] >= edge) == is_low or a[axis] == edge
            b_in = (b[axis] >= edge) == is_low or b[axis] == edge
            if a_in != b_in:
                t = (edge - a[axis]) / (b[axis] - a[axis])
                kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
            if b_in:
                kept.append(b)
        ring = kept
    return thinned(ring)


def cut_line(points: Iterable[Point]) -> tuple[tuple[Point, ...], ...]:
    """The stretches of a line that have a part near the map."""
    runs: list[list[Point]] = []
    is_open = False
    for a, b in pairwise(points):
        is_near = (
            max(a[0], b[0]) >= -_BEYOND
            and min(a[0], b[0]) <= WIDTH + _BEYOND
            and max(a[1], b[1]) >= -_BEYOND
            and min(a[1], b[1]) <= HEIGHT + _BEYOND
        )
        if is_near and not is_open:
            runs.append([a])
        if is_near:
            runs[-1].append(b)
        is_open = is_near
    return tuple(found for run in runs if len(found := thinned(run)) >= 2)


def thinned(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without points that fall on the one before; both ends stay."""
    kept: list[Point] = []
    for index, point in enumerate(points):
        is_end = index in (0, len(points) - 1)
        if kept and not is_end and math.dist(kept[-1], point) < _NEAREST:
            continue
        kept.append((round(point[0], 1), round(point[1], 1)))
    return tuple(kept)


def drawn(frame: Frame, line: Line) -> list[Point]:
    """The points of a line of positions."""
    return [frame.point(position) for position in line]


def grid_step_min(span_deg: float) -> float:
    """Minutes of arc between two lines of the grid."""
    least = span_deg * 60.0 / _MOST_LINES
    return next((step for step in _STEPS_MIN if step >= least), _STEPS_MIN[-1])


def grid_values_deg(low_deg: float, high_deg: float) -> tuple[tuple[float, ...], float]:
    """The whole steps between two edges, and the step in minutes."""
    step = grid_step_min(high_deg - low_deg)
    first, last = math.ceil(low_deg * 60.0 / step), math.floor(high_deg * 60.0 / step)
    return tuple(n * step / 60.0 for n in range(first, last + 1)), step
