"""Files of heights: a whole tile, and the ground within some kilometres of a spot.

Expected: memory for a tile of 3601 by 3601 below 200 MB above idle.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

import numpy as np
import rasterio

from fieldtrip.geo import Position
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.mosaic import grid_around
from tests.bench.rows import Row, best_s
from tests.terrain.elevation_story import degrees_grid, write_hgt, write_tif

HERE = Position(49.5, -8.5)
COUNT = 3601
_PEAK = """
import sys
from pathlib import Path
import rasterio.warp
from fieldtrip.geo import Position
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.mosaic import grid_around

def highest_mb():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(float(l.split()[1]) for l in lines if l.startswith("VmHWM")) / 1e3

idle = highest_mb()
path = Path(sys.argv[1])
grid_around([ElevationSource(path, look_at(path))], Position(49.5, -8.5), 60_000.0)
print(highest_mb() - idle)
"""


def run() -> list[Row]:
    """Milliseconds to read, beside the library's own whole read; megabytes."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        heights = degrees_grid(COUNT, COUNT, north=50.0, west=-9.0, step=1 / 3600)
        tif = write_tif(
            folder / "tile.tif", heights.astype(np.float32), north=50.0, west=-9.0,
            step=1 / 3600, tiled=True, compress="deflate", predictor=3,
        )  # fmt: skip
        hgt = write_hgt(folder / "N49W009.hgt", COUNT, COUNT)
        rows = []
        for kind, path in (("HGT", hgt), ("GeoTIFF, deflated", tif)):
            source = ElevationSource(path, look_at(path))
            whole = 1e3 * best_s(partial(_read_whole, path), 3)
            for reach_m in (60_000.0, 5_000.0):
                around = partial(grid_around, [source], HERE, reach_m)
                rows.append(
                    Row(
                        f"{kind}: grid within {reach_m / 1e3:g} km",
                        1e3 * best_s(around, 3),
                        "ms",
                        "rasterio, the whole file",
                        whole,
                    )
                )
            if sys.platform == "linux":
                rows.append(Row(f"{kind}: memory of a tile", _peak_mb(path), "MB"))
        return rows


def _read_whole(path: Path) -> None:
    with rasterio.open(path) as file:
        file.read(1)


def _peak_mb(path: Path) -> float:
    told = subprocess.run(
        [sys.executable, "-c", _PEAK, str(path)],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    return float(told.stdout)
