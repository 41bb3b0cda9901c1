"""Ground: horizon, cast light, what is seen, beside plain NumPy that steps along rays.

On a made tile of 3601 by 3601 cells of one arcsecond, and parts of it.  The stepping
peers are so slow that they are given a sample, and their time is multiplied.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import partial

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, destination
from fieldtrip.sky.site import Site
from fieldtrip.terrain.drops import drops_near
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.horizon import Horizon, horizon
from fieldtrip.terrain.shadow import contours, lit, relief, steepness_deg
from fieldtrip.terrain.sightline import sightline
from fieldtrip.terrain.viewshed import viewshed
from fieldtrip.times import local_day
from fieldtrip.trips.sun_on_spot import minutes_left, sun_on_spot
from tests.bench.rows import Row, best_s

CELLS = 3601
SPOT = Position(43.5, 7.5)
EYE_M, REACH_M = 1.7, 60_000.0
AZIMUTH_EVERY, CELL_EVERY = 24, 20
RADIUS_M = 6_371_000.0 / 0.87


def run() -> list[Row]:
    """Milliseconds."""
    tile = _tile()
    near = tile.part(slice(1300, 2300), slice(1300, 2300))
    return [
        *_horizons(tile),
        *_light(near),
        *_views(tile, near),
        *_times(horizon(tile, SPOT, eye_m=EYE_M)),
    ]


def _horizons(tile: ElevationGrid) -> list[Row]:
    found = horizon(tile, SPOT, eye_m=EYE_M)
    numbers = range(0, 720, AZIMUTH_EVERY)

    def peer() -> list[float]:
        return [_stepped_deg(tile, found, number) for number in numbers]

    peer_ms = AZIMUTH_EVERY * _ms(peer, 2)
    ours_ms = _ms(lambda: horizon(tile, SPOT, eye_m=EYE_M), 15)
    return [
        Row(
            "horizon, 720 azimuths to 60 km", ours_ms, "ms",
            f"steps of 15 m, every {AZIMUTH_EVERY}th azimuth", peer_ms,
        ),
    ]  # fmt: skip


def _stepped_deg(tile: ElevationGrid, found: Horizon, number: int) -> float:
    """The highest ground along one azimuth by even steps, each on a sphere's way."""
    distances_m = np.arange(15.0, REACH_M, 15.0)
    angle, azimuth = distances_m / 6_371_000.0, math.radians(found.azimuths_deg[number])
    lat = math.radians(SPOT.lat_deg)
    there = np.arcsin(
        math.sin(lat) * np.cos(angle)
        + math.cos(lat) * np.sin(angle) * math.cos(azimuth)
    )
    east = np.arctan2(
        math.sin(azimuth) * np.sin(angle) * math.cos(lat),
        np.cos(angle) - math.sin(lat) * np.sin(there),
    )
    heights_m = tile.heights_at(np.degrees(there), SPOT.lon_deg + np.degrees(east))
    bent = distances_m / RADIUS_M
    rise_m = (RADIUS_M + heights_m) * np.cos(bent) - (RADIUS_M + found.ground_m + EYE_M)
    seen = np.arctan2(rise_m, (RADIUS_M + heights_m) * np.sin(bent))
    return math.degrees(float(np.nanmax(seen)))


def _light(near: ElevationGrid) -> list[Row]:
    rows, columns = near.shape
    rows_of_note = []
    for azimuth_deg, altitude_deg in ((135.0, 25.0), (250.0, 10.0), (300.0, 3.0)):
        ours = partial(lit, near, azimuth_deg, altitude_deg)
        peer = partial(_stepped_light, near, azimuth_deg, altitude_deg)
        what = f"cast light, {rows} × {columns}, Sun {altitude_deg:.0f}° high"
        steps = f"steps of a quarter cell, every {CELL_EVERY**2}th cell"
        peer_ms = CELL_EVERY**2 * _ms(peer, 1)
        rows_of_note.append(Row(what, _ms(ours, 15), "ms", steps, peer_ms))
    rows_of_note += [
        Row(f"relief, {rows} × {columns}", _ms(lambda: relief(near)), "ms"),
        Row(f"steepness, {rows} × {columns}", _ms(lambda: steepness_deg(near)), "ms"),
        Row(
            f"contours every 50 m, {rows} × {columns}",
            _ms(lambda: contours(near, 50.0)),
            "ms",
        ),
    ]
    return rows_of_note


def _stepped_light(
    near: ElevationGrid, azimuth_deg: float, altitude_deg: float
) -> Array:
    """How far ground on the way stands above the ray to the Sun, by cell."""
    north_m, east_m = near.cell_m
    cells = np.mgrid[0 : near.shape[0] : CELL_EVERY, 0 : near.shape[1] : CELL_EVERY]
    row, column = (part.astype(np.float64).ravel() for part in cells)
    east, north = (
        math.sin(math.radians(azimuth_deg)),
        math.cos(math.radians(azimuth_deg)),
    )
    rise = math.tan(math.radians(altitude_deg))
    start_m, top_m = near.heights_in_cells(row, column), float(near.heights_m.max())
    worst_m = np.full(len(row), -np.inf)
    step_m = 0.25 * min(north_m, east_m)
    farthest_m = (top_m - float(start_m.min())) / rise
    for run_m in np.arange(4.0 * step_m, farthest_m, step_m):
        ground_m = near.heights_in_cells(
            row - run_m * north / north_m, column + run_m * east / east_m
        )
        ray_m = start_m + run_m * rise + run_m**2 / (2.0 * RADIUS_M)
        np.fmax(worst_m, ground_m - ray_m, out=worst_m)
    return worst_m


def _views(tile: ElevationGrid, near: ElevationGrid) -> list[Row]:
    far = destination(SPOT, 57.0, 30_000.0)
    path = tuple(destination(SPOT, 100.0, away_m) for away_m in range(0, 5000, 250))
    return [
        Row("viewshed, 1000 × 1000", _ms(lambda: viewshed(near, SPOT, EYE_M), 3), "ms"),
        Row(
            "line of sight, 30 km",
            _ms(lambda: sightline(tile, SPOT, EYE_M, far, 5.0)),
            "ms",
        ),
        Row("drops near a tripod", _ms(lambda: drops_near(tile, SPOT)), "ms"),
        Row("drops along 5 km", _ms(lambda: drops_near(tile, path)), "ms"),
    ]


def _times(found: Horizon) -> list[Row]:
    site, day = Site(SPOT), local_day(date(2026, 11, 25), "Europe/Paris")
    noon = datetime(2026, 11, 25, 11, tzinfo=UTC)
    return [
        Row(
            "first and last Sun and Moon of a day",
            _ms(lambda: sun_on_spot(found, site, day)),
            "ms",
        ),
        Row(
            "minutes of light left", _ms(lambda: minutes_left(found, site, noon)), "ms"
        ),
    ]


def _tile() -> ElevationGrid:
    row, column = np.mgrid[0:CELLS, 0:CELLS].astype(np.float32)
    heights_m = 500.0 + 300.0 * np.sin(column / 90.0) * np.cos(row / 70.0)
    heights_m += 100.0 * np.sin(column / 13.0 + row / 17.0)
    heights_m = np.maximum(heights_m - 250.0, 0.0).astype(np.float32)
    return ElevationGrid(heights_m, 44.0, 7.0, 1.0 / 3600.0, 1.0 / 3600.0)


def _ms(work: Callable[[], object], rounds: int = 5) -> float:
    return 1000.0 * best_s(work, rounds)
