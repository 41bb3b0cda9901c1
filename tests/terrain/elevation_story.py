"""Invented ground, and the files in which a test writes it."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import rasterio
import rasterio.warp

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.grid import ElevationGrid

Ground = Callable[[Array, Array], Array]
HERE = Position(49.6, -8.4)


def hills(lat_deg: Array, lon_deg: Array) -> Array:
    """Smooth hills some kilometres wide, 20 to 380 m."""
    return np.asarray(
        200.0 + 100.0 * np.sin(lat_deg * 150.0) + 80.0 * np.cos(lon_deg * 100.0)
    )


def write_hgt(path: Path, rows: int, columns: int, ground: Ground = hills) -> Path:
    """A tile of one degree, as its name says; whole metres."""
    sign = -1 if path.stem[0] == "S" else 1
    west = -1 if path.stem[3] == "W" else 1
    north = sign * int(path.stem[1:3]) + 1
    west = west * int(path.stem[4:7])
    lat: Array = north - np.arange(rows, dtype=np.float64)[:, None] / (rows - 1)
    lon: Array = west + np.arange(columns, dtype=np.float64)[None, :] / (columns - 1)
    path.write_bytes(np.rint(ground(lat, lon)).astype(">i2").tobytes())
    return path


def write_tif(
    path: Path,
    heights: npt.NDArray[Any],
    *,
    north: float = 49.7,
    west: float = -8.5,
    step: float | tuple[float, float] = 1.0 / 1200.0,
    crs: str | None = "EPSG:4326",
    **encoding: Any,
) -> Path:
    """A GeoTIFF whose outer corner lies at north and west, in its own units."""
    row_step, column_step = step if isinstance(step, tuple) else (step, step)
    bands = heights if heights.ndim == 3 else heights[np.newaxis]
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=bands.shape[2],
        height=bands.shape[1],
        count=bands.shape[0],
        dtype=bands.dtype,
        crs=crs,
        transform=rasterio.Affine(column_step, 0.0, west, 0.0, -row_step, north),
        **encoding,
    ) as file:
        file.write(bands)
    return path


def degrees_grid(
    rows: int,
    columns: int,
    *,
    north: float = 49.7,
    west: float = -8.5,
    step: float | tuple[float, float] = 1.0 / 1200.0,
    ground: Ground = hills,
) -> Array:
    """Heights at the centres of cells whose outer corner lies at north and west."""
    row_step, column_step = step if isinstance(step, tuple) else (step, step)
    lat: Array = north - (np.arange(rows, dtype=np.float64)[:, None] + 0.5) * row_step
    lon: Array = (
        west + (np.arange(columns, dtype=np.float64)[None, :] + 0.5) * column_step
    )
    return ground(lat, lon)


def projected_grid(
    crs: str, east: float, north: float, step: float, count: int
) -> Array:
    """Heights at the centres of square cells of a projection."""
    x, y = np.meshgrid(
        east + (np.arange(count) + 0.5) * step, north - (np.arange(count) + 0.5) * step
    )
    lon, lat = rasterio.warp.transform(crs, "EPSG:4326", x.ravel(), y.ravel())
    return hills(np.array(lat), np.array(lon)).reshape(count, count)


def source(path: Path, **said: Any) -> ElevationSource:
    """A file as the program knows it."""
    return ElevationSource(path, look_at(path), name=path.name, **said)


def truth(grid: ElevationGrid, ground: Ground = hills) -> Array:
    """What the ground is at a grid's centres."""
    rows, columns = grid.shape
    down, across = np.arange(rows, dtype=np.float64), np.arange(columns, dtype=float)
    lat: Array = grid.north_deg - down[:, None] * grid.row_step_deg
    lon: Array = grid.west_deg + across[None, :] * grid.column_step_deg
    return ground(lat, lon)


def hand_made_tif(
    path: Path, heights: npt.NDArray[np.int16], *, is_point: bool, first: Position
) -> Path:
    """A GeoTIFF made byte by byte, as the standard says, and by no library.

    `first` is where the tie point of the first cell lies.  Source: TIFF 6.0 and OGC
    GeoTIFF 1.1: ModelPixelScale 33550, ModelTiepoint 33922, GeoKeyDirectory 34735.
    """
    rows, columns = heights.shape
    strip = zlib.compress(heights.astype("<i2").tobytes())
    keys = (1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 2 if is_point else 1,
            2048, 0, 1, 4326)  # fmt: skip
    step = 1.0 / 1200.0
    extras: list[tuple[int, int, int, bytes]] = [
        (33550, 12, 3, struct.pack("<3d", step, step, 0.0)),
        (33922, 12, 6, struct.pack("<6d", 0, 0, 0, first.lon_deg, first.lat_deg, 0)),
        (34735, 3, len(keys), struct.pack(f"<{len(keys)}H", *keys)),
    ]
    plain = [
        (256, 4, columns), (257, 4, rows), (258, 3, 16), (259, 3, 8), (262, 3, 1),
        (273, 4, 0), (277, 3, 1), (278, 4, rows), (279, 4, len(strip)), (339, 3, 2),
    ]  # fmt: skip
    count = len(plain) + len(extras)
    at = 8 + 2 + 12 * count + 4
    body = b""
    entries = []
    for tag, kind, number, data in extras:
        entries.append((tag, struct.pack("<HHII", tag, kind, number, at + len(body))))
        body += data
    strip_at = at + len(body)
    for tag, kind, value in plain:
        value = strip_at if tag == 273 else value
        packed = (
            struct.pack("<HHIHH", tag, kind, 1, value, 0)
            if kind == 3
            else struct.pack("<HHII", tag, kind, 1, value)
        )
        entries.append((tag, packed))
    directory = b"".join(packed for _, packed in sorted(entries))
    path.write_bytes(
        b"II*\0" + struct.pack("<IH", 8, count) + directory + b"\0\0\0\0" + body + strip
    )
    return path
