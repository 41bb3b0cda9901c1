"""Which ground the map's layers are drawn from: enough for the view, and no more."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from fieldtrip.desktop.content.map_features import FeatureCollection
from fieldtrip.geo import Position, normal_longitude_deg
from fieldtrip.material.box import Box
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.earth import degree_m
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.lattice import Extent
from fieldtrip.terrain.shadow import contours
from fieldtrip.wording import METRES_PER_FOOT, height_text

MOST_CELLS = 1_500_000  # of a layer: a frame of them takes about ten milliseconds
_LEAST_REACH_M, _MOST_REACH_M = 5_000.0, 40_000.0  # shade falls from far away
_ROOM = 1.25  # round the view, so that a short drag shows no bare edge
_TOO_WIDE = 4.0  # times as wide as wanted: finer cells may then be had
_STEPS_M = {LengthUnit.METRE: 1.0, LengthUnit.FOOT: METRES_PER_FOOT}
_MAIN_EVERY = 5  # contours from one stronger line to the next
_LEAST_POINTS = 4  # of a line that is drawn
_FEW_HEIGHTS = 12  # up to which every height is written
_MOST_WRITTEN = 40
_MOST_HEIGHTS = 60


@dataclass(frozen=True, slots=True)
class Around:
    """A middle, and how far to each side."""

    middle: Position
    reach_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """The ground that all layers of a view are drawn from."""

    around: Around
    grid: ElevationGrid | None  # None: no file has heights there
    range_m: float = 0.0  # from its lowest to its highest ground

    @property
    def cell_m(self) -> float:
        """Metres between its heights."""
        return max(self.grid.cell_m) if self.grid else 0.0


def wanted_around(view: Box) -> Around:
    """What a view of the map wants."""
    lat_deg = 0.5 * (view.south_deg + view.north_deg)
    north_m, east_m = degree_m(lat_deg)
    half_m = 0.5 * max(
        (view.north_deg - view.south_deg) * north_m,
        (view.east_deg - view.west_deg) * east_m,
    )
    reach_m = min(max(half_m * _ROOM, _LEAST_REACH_M), _MOST_REACH_M)
    lon_deg = normal_longitude_deg(0.5 * (view.west_deg + view.east_deg))
    return Around(Position(lat_deg, lon_deg), reach_m)


def suffices(around: Around, view: Box) -> bool:
    """Whether ground already at hand does for a view."""
    wanted = wanted_around(view)
    if around.reach_m > _TOO_WIDE * wanted.reach_m:
        return False
    have = Extent.around(around.middle, around.reach_m * 1.001)
    north_m, east_m = degree_m(wanted.middle.lat_deg)
    # A view wider than the layers ever reach is content with its middle.
    up = min(0.5 * (view.north_deg - view.south_deg), _MOST_REACH_M / north_m / 2.0)
    across = min(0.5 * (view.east_deg - view.west_deg), _MOST_REACH_M / east_m / 2.0)
    lat, lon = wanted.middle.lat_deg, wanted.middle.lon_deg
    return any(
        have.holds(lat - up, lon - across + turn)
        and have.holds(lat + up, lon + across + turn)
        for turn in (-360.0, 0.0, 360.0)
    )


def make_scene(
    ground: KnownGround,
    around: Around,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> Scene:
    """Read the ground; for a job.  Raises `UserError` where a file is gone."""
    grid = ground.grid_for(around.middle, around.reach_m, progress)
    grid = grid.around(around.middle, around.reach_m) if grid else None
    if grid is None:
        return Scene(around, None)
    grid = thinned_out(grid)
    return Scene(around, grid, _range_m(grid))


def thinned_out(grid: ElevationGrid, most_cells: int = MOST_CELLS) -> ElevationGrid:
    """Every second, third … cell of a grid that has too many."""
    rows, columns = grid.shape
    by = math.ceil(math.sqrt(rows * columns / most_cells))
    if by <= 1 or min(rows, columns) < 2 * by + 1:
        return grid
    return grid.part(slice(None, None, by), slice(None, None, by))


def contour_step(zoom: float, range_m: float, settings: Settings) -> float:
    """Metres from contour to contour, a round number in the user's unit."""
    by_zoom = ((16.0, 5.0), (14.5, 10.0), (13.0, 20.0), (11.0, 50.0), (0.0, 100.0))
    step = next(step for least, step in by_zoom if zoom >= least)
    unit_m = _STEPS_M[settings.length_unit]
    if settings.length_unit is LengthUnit.FOOT:
        step *= 2.0
        step = {10.0: 10.0, 20.0: 25.0, 40.0: 50.0, 100.0: 100.0}.get(step, 250.0)
    for times in (1.0, 2.0, 5.0, 10.0, 20.0):
        if range_m / (step * times * unit_m) <= _MOST_HEIGHTS:
            return step * times * unit_m
    return step * 50.0 * unit_m


def contour_features(
    grid: ElevationGrid, step_m: float, settings: Settings
) -> FeatureCollection:
    """Lines of equal height; every fifth is stronger, and the longest are written on.

    Where there are few heights all of them are written on, else every fifth.
    """
    found = [
        (height_m, line)
        for height_m, lines in contours(grid, step_m)
        for line in lines
        if len(line) >= _LEAST_POINTS
    ]
    is_few = len({height_m for height_m, _ in found}) <= _FEW_HEIGHTS
    features: list[dict[str, Any]] = []
    for height_m, line in found:
        is_main = height_m != 0.0 and round(height_m / step_m) % _MAIN_EVERY == 0
        properties: dict[str, Any] = {
            "kind": "height-line-main" if is_main else "height-line"
        }
        if is_main or (is_few and height_m != 0.0):
            properties["label"] = height_text(height_m, settings, 0)
        places = [[round(lon, 6), round(lat, 6)] for lat, lon in line.tolist()]
        features.append(
            {
                "type": "Feature",
                "geometry": {"type": "LineString", "coordinates": places},
                "properties": properties,
            }
        )
    _leave_longest_written(features)
    return {"type": "FeatureCollection", "features": features}


def _leave_longest_written(features: list[dict[str, Any]]) -> None:
    """Words cost the page time: the longest line of each height, then the longest."""
    written = [f for f in features if "label" in f["properties"]]
    written.sort(key=lambda f: len(f["geometry"]["coordinates"]), reverse=True)
    firsts = {f["properties"]["label"]: f for f in reversed(written)}.values()
    others = [f for f in written if not any(f is first for first in firsts)]
    for feature in [*firsts, *others][_MOST_WRITTEN:]:
        del feature["properties"]["label"]


def contour_text(grid: ElevationGrid, step_m: float, settings: Settings) -> str:
    """The same as text for the page."""
    return json.dumps(contour_features(grid, step_m, settings), allow_nan=False)


def _range_m(grid: ElevationGrid) -> float:
    known = grid.heights_m[np.isfinite(grid.heights_m)]
    return float(np.ptp(known)) if known.size else 0.0
