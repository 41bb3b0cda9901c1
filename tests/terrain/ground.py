"""Ground for tests: a real model, made surfaces, and rays followed step by step."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from geographiclib.geodesic import Geodesic
from matplotlib import cbook

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.terrain.grid import ElevationGrid

_FILE = "jacksboro_fault_dem.npz"
EARTH_RADIUS_M = 6_371_000.0


@lru_cache(maxsize=1)
def jacksboro() -> ElevationGrid:
    """A valley in Tennessee by cells of 3 arcseconds, 236 to 1076 m high.

    Source: Shuttle Radar Topography Mission (public domain), as in Matplotlib's
    sample data; its `ymin` is the north edge.
    """
    with np.load(str(cbook.get_sample_data(_FILE, asfileobj=False))) as data:
        heights_m = data["elevation"].astype(np.float32)
        step_deg = float(data["dx"]), float(data["dy"])
        west_deg, north_deg = float(data["xmin"]), float(data["ymin"])
    return ElevationGrid(
        heights_m,
        north_deg - 0.5 * step_deg[1],
        west_deg + 0.5 * step_deg[0],
        step_deg[1],
        step_deg[0],
    )


def made(
    middle: Position,
    rows: int,
    columns: int,
    step_m: float,
    height_m: Callable[[Array, Array], Array],
) -> ElevationGrid:
    """Cells of one size about a middle; heights from metres east and north of it."""
    lat = math.radians(middle.lat_deg)
    w2 = 1.0 - 0.00669437999014 * math.sin(lat) ** 2
    across_m = 6_378_137.0 / math.sqrt(w2)
    row_deg = math.degrees(step_m / (across_m * (1.0 - 0.00669437999014) / w2))
    column_deg = math.degrees(step_m / (across_m * math.cos(lat)))
    row = np.arange(rows) - (rows - 1) / 2.0
    column = np.arange(columns) - (columns - 1) / 2.0
    # Meridians close up towards the pole.
    lats = np.radians(middle.lat_deg - row * row_deg / 2.0)[:, None]
    w2s = 1.0 - 0.00669437999014 * np.sin(lats) ** 2
    east_m = np.radians(column * column_deg) * 6_378_137.0 / np.sqrt(w2s) * np.cos(lats)
    north_m = -np.radians(row * row_deg)[:, None] * (
        6_378_137.0 * (1.0 - 0.00669437999014) / w2s**1.5
    )
    heights = height_m(east_m, np.broadcast_to(north_m, east_m.shape))
    return ElevationGrid(
        np.broadcast_to(heights, (rows, columns)).astype(np.float32),
        middle.lat_deg + (rows - 1) / 2.0 * row_deg,
        (middle.lon_deg - (columns - 1) / 2.0 * column_deg + 180.0) % 360.0 - 180.0,
        row_deg,
        column_deg,
    )


def followed(
    start: Position, azimuth_deg: float, distances_m: Array
) -> tuple[Array, Array]:
    """Latitudes and longitudes along a geodesic, exact every 500 m and even between."""
    line = Geodesic.WGS84.Line(start.lat_deg, start.lon_deg, azimuth_deg)
    nodes_m = np.arange(0.0, float(distances_m.max()) + 500.0, 500.0)
    nodes = [line.Position(node_m, Geodesic.STANDARD) for node_m in nodes_m]
    lat = np.interp(distances_m, nodes_m, [node["lat2"] for node in nodes])
    lon = np.interp(distances_m, nodes_m, [node["lon2"] for node in nodes])
    return np.asarray(lat), np.asarray(lon)


def seen_deg(eye_m: float, heights_m: Array, distances_m: Array, k: float) -> Array:
    """Altitude of ground on a sphere on which light runs straight, by coordinates."""
    radius_m = EARTH_RADIUS_M / (1.0 - k)
    angle = distances_m / radius_m
    x = (radius_m + heights_m) * np.sin(angle)
    y = (radius_m + heights_m) * np.cos(angle) - (radius_m + eye_m)
    return np.asarray(np.degrees(np.arctan2(y, x)))
