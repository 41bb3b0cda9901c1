"""Many places on one map: what stands close together is told as a count, in words.

Clusters are made anew for each zoom and kept; only what lies near the view is
handed to the page.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from uuid import UUID

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.desktop.content.map_features import Feature, FeatureCollection
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.wording import count_text

TOGETHER_PX = 80.0  # locations nearer to each other than this are one mark
POINTS_TOGETHER_PX = 26.0  # points of one location, when zoomed out or too many
APART_ZOOM = 16.0  # from here on everything stands for itself
FAR_BELOW_ZOOM = 13.0
MOST_POINTS = 200  # of one location that are all drawn at any zoom
MOST_QUIET = 120  # vantage points of other locations, at most in one view
_MARGIN = 0.2  # of the view, beyond each side: a pan does not show an edge
_TILE_PX = 256.0
_MOST_LAT_DEG = 85.0511  # where Web Mercator's square ends
_NAMES_TOLD = 3


@dataclass(frozen=True, slots=True)
class View:
    """What the map shows: its middle, its zoom, and its size on the screen."""

    lat_deg: float
    lon_deg: float
    zoom: float
    width_px: float
    height_px: float


class Crowd:
    """The locations of a library, laid out once."""

    def __init__(self, locations: Sequence[Location]) -> None:
        self._locations = list(locations)
        self._at = _world([location.position for location in locations])
        self._clusters = lru_cache(maxsize=32)(self._clusters_at)

    def features(self, view: View, left_out: UUID | None = None) -> FeatureCollection:
        """Marks near a view, but for one location, which is drawn in full."""
        groups, middles = self._clusters(view.zoom, left_out)
        found = [self._mark(groups[i], view) for i in _near_view(middles, view)]
        return {"type": "FeatureCollection", "features": found}

    def _clusters_at(
        self, zoom: float, left_out: UUID | None
    ) -> tuple[list[list[int]], Array]:
        """Who stands together at a zoom, and the middle of each group."""
        kept = [i for i, at in enumerate(self._locations) if at.id != left_out]
        at = self._at[kept]
        if zoom >= APART_ZOOM:
            return [[i] for i in kept], at
        groups = close_together(at, TOGETHER_PX / _scale(zoom))
        middles = np.zeros((len(groups), 2))
        for number, group in enumerate(groups):
            middles[number] = at[group[0]] if len(group) == 1 else at[group].mean(0)
        return [[kept[i] for i in group] for group in groups], middles

    def _mark(self, members: Sequence[int], view: View) -> Feature:
        locations = [self._locations[i] for i in members]
        if len(locations) == 1:
            (only,) = locations
            return _point(
                only.position, view.lon_deg, str(only.id), kind="location",
                label=only.name, note="",
            )  # fmt: skip
        return cluster_feature(
            [location.position for location in locations],
            [location.name for location in locations],
            view.lon_deg,
            ("location", "locations"),
        )


class Bystanders:
    """The vantage points of a library: those of other locations, quietly."""

    def __init__(self, vantage_points: Sequence[VantagePoint]) -> None:
        self._points = list(vantage_points)
        self._at = _world([point.position for point in vantage_points])

    def features(self, view: View, left_out: UUID | None = None) -> list[Feature]:
        """Small marks without words, close up; none where they are too many."""
        if view.zoom < FAR_BELOW_ZOOM:
            return []
        near = [self._points[i] for i in _near_view(self._at, view)]
        points = [point for point in near if point.location_id != left_out]
        if len(points) > MOST_QUIET:
            return []
        return [
            _point(p.position, view.lon_deg, str(p.id), kind="quiet", label="", note="")
            for p in points
        ]


def thinned(
    places: FeatureCollection, zoom: float, chosen: Collection[UUID]
) -> FeatureCollection:
    """The points of one location, those that would cover each other as counts.

    Nothing is thinned close up unless there are very many.  What is chosen, and the
    location itself, always stand for themselves.
    """
    features: list[Feature] = places["features"]
    if zoom >= APART_ZOOM or (zoom >= FAR_BELOW_ZOOM and len(features) <= MOST_POINTS):
        return places
    names = {str(record_id) for record_id in chosen}
    loose = [f for f in features if not _stands(f, names)]
    positions = [_position(feature) for feature in loose]
    groups = close_together(_world(positions), POINTS_TOGETHER_PX / _scale(zoom))
    made = [
        loose[group[0]]
        if len(group) == 1
        else cluster_feature(
            [positions[i] for i in group],
            [loose[i]["properties"]["label"] for i in group],
            loose[group[0]]["geometry"]["coordinates"][0],
            ("point", "points"),
        )
        for group in groups
    ]
    kept = [feature for feature in features if _stands(feature, names)]
    return {"type": "FeatureCollection", "features": [*made, *kept]}


def close_together(at: Array, reach: float) -> list[list[int]]:
    """Groups of points, each within reach of the group's first, in their order.

    `at` has the shape (n, 2); `reach` is in the same unit.
    """
    cells = np.floor(at / reach).astype(np.int64)
    by_cell: dict[tuple[int, int], list[int]] = {}
    for i, (x, y) in enumerate(cells.tolist()):
        by_cell.setdefault((x, y), []).append(i)
    taken = [False] * len(at)
    places = at.tolist()
    groups = []
    for i, (x, y) in enumerate(cells.tolist()):
        if taken[i]:
            continue
        px, py = places[i]
        group = [
            j
            for dx in (-1, 0, 1)
            for dy in (-1, 0, 1)
            for j in by_cell.get((x + dx, y + dy), ())
            if not taken[j]
            and math.hypot(places[j][0] - px, places[j][1] - py) <= reach
        ]
        for j in group:
            taken[j] = True
        groups.append(sorted(group))  # its first is i: all before it are taken
    return groups


def cluster_feature(
    positions: Sequence[Position],
    names: Sequence[str],
    near_lon_deg: float,
    words: tuple[str, str],
) -> Feature:
    """One mark for several places: how many they are, and some of their names."""
    turned = [_near(position.lon_deg, near_lon_deg) for position in positions]
    lats = [position.lat_deg for position in positions]
    count = count_text(len(positions), *words)
    told = sorted(names, key=str.casefold)[:_NAMES_TOLD]
    more = len(names) - len(told)
    listed = ", ".join(told) + (f" and {more} more" if more else "")
    return {
        "type": "Feature",
        "id": "several",
        "geometry": {
            "type": "Point",
            "coordinates": [sum(turned) / len(turned), sum(lats) / len(lats)],
        },
        "properties": {
            "kind": "cluster",
            "label": count,
            "note": "",
            "box": [[min(lats), min(turned)], [max(lats), max(turned)]],
            "card": [count, listed, "Click, or Enter, to go nearer."],
        },
    }


def _stands(feature: Feature, chosen: Collection[str]) -> bool:
    return feature["properties"]["kind"] == "location" or feature.get("id") in chosen


def _position(feature: Feature) -> Position:
    lon_deg, lat_deg = feature["geometry"]["coordinates"]
    return Position(lat_deg, math.remainder(lon_deg, 360.0))


def _point(
    position: Position, near_lon_deg: float, record_id: str, **properties: Any
) -> Feature:
    coordinates = [_near(position.lon_deg, near_lon_deg), position.lat_deg]
    return {
        "type": "Feature",
        "id": record_id,
        "geometry": {"type": "Point", "coordinates": coordinates},
        "properties": properties,
    }


def _near(lon_deg: float, near_lon_deg: float) -> float:
    """The same meridian within half a turn of another, untouched where it can be."""
    turns = round((near_lon_deg - lon_deg) / 360.0)
    return lon_deg if turns == 0 else lon_deg + 360.0 * turns


# Web Mercator, its square from 0 to 1 with y to the south


def _world(positions: Iterable[Position]) -> Array:
    pairs = [(position.lat_deg, position.lon_deg) for position in positions]
    degrees = np.array(pairs, dtype=float).reshape(-1, 2)
    lat = np.radians(np.clip(degrees[:, 0], -_MOST_LAT_DEG, _MOST_LAT_DEG))
    x = degrees[:, 1] / 360.0 + 0.5
    y = 0.5 - np.arcsinh(np.tan(lat)) / (2.0 * np.pi)
    return np.stack([x, y], axis=1)


def _scale(zoom: float) -> float:
    """Pixels to a side of the whole square."""
    return _TILE_PX * math.exp2(zoom)


def _near_view(at: Array, view: View) -> list[int]:
    """Which of some points lie in the view or near it."""
    middle = _world([Position(view.lat_deg, math.remainder(view.lon_deg, 360.0))])[0]
    reach = (0.5 + _MARGIN) / _scale(view.zoom)
    across = np.abs((at[:, 0] - middle[0] + 0.5) % 1.0 - 0.5)
    down = np.abs(at[:, 1] - middle[1])
    near = (across <= reach * view.width_px) & (down <= reach * view.height_px)
    found: list[int] = np.flatnonzero(near).tolist()
    return found
