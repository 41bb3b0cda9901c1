"""Several files become one grid, the finest first; what is unknown stays so."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.errors import Cancelled, UserError
from fieldtrip.geo import Position
from fieldtrip.terrain.elevation_files import look_at
from fieldtrip.terrain.horizon import horizon
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.lattice import Extent
from fieldtrip.terrain.mosaic import grid_around, grid_over
from tests.terrain.elevation_story import (
    HERE,
    degrees_grid,
    hills,
    source,
    truth,
    write_hgt,
    write_tif,
)

STEP = 1.0 / 1200.0
NEAR = Extent(49.55, -8.45, 49.65, -8.35)


def gentle(lat_deg: Array, lon_deg: Array) -> Array:
    """Ground that bends little within a kilometre."""
    return hills(lat_deg / 6.0, lon_deg / 6.0)


def test_neighbouring_tiles_share_their_edge(tmp_path: Path) -> None:
    tiles = [
        source(write_hgt(tmp_path / name, 1201, 1201))
        for name in ("N49W009.hgt", "N49W008.hgt", "N50W009.hgt", "N50W008.hgt")
    ]

    grid = grid_around(tiles, Position(50.0, -8.0), 20_000.0)

    assert grid is not None
    assert grid.row_step_deg == pytest.approx(STEP)
    assert_allclose(grid.heights_m, truth(grid), atol=0.501)


def test_tiles_without_a_shared_edge_meet_without_a_gap(tmp_path: Path) -> None:
    # As those are whose last row and column are left out, with a finer file between
    # whose cells lie elsewhere.
    east = write_tif(
        tmp_path / "e.tif",
        degrees_grid(240, 240, north=49.7 + STEP / 2, west=-8.4 - STEP / 2),
        north=49.7 + STEP / 2,
        west=-8.4 - STEP / 2,
    )
    west = write_tif(
        tmp_path / "w.tif",
        degrees_grid(240, 240, north=49.7 + STEP / 2, west=-8.6 - STEP / 2),
        north=49.7 + STEP / 2,
        west=-8.6 - STEP / 2,
    )
    fine = write_tif(
        tmp_path / "fine.tif",
        degrees_grid(9, 9, north=49.55, west=-8.4, step=STEP / 3.7),
        north=49.55,
        west=-8.4,
        step=STEP / 3.7,
    )

    grid = grid_around(
        [source(west), source(east), source(fine)], Position(49.5496, -8.3996), 2000.0
    )

    assert grid is not None
    assert grid.row_step_deg == pytest.approx(STEP / 3.7)
    assert not np.isnan(grid.heights_m).any()
    assert_allclose(grid.heights_m, truth(grid), atol=3.0)


def test_the_finest_file_wins_where_it_has_heights(tmp_path: Path) -> None:
    coarse = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    fine_heights = degrees_grid(100, 100, north=49.61, west=-8.41, step=0.0002) + 50.0
    fine_heights[40:60, 40:60] = -9999.0
    fine = write_tif(
        tmp_path / "f.tif", fine_heights, north=49.61, west=-8.41, step=0.0002,
        nodata=-9999.0,
    )  # fmt: skip

    grid = grid_around([source(coarse), source(fine)], HERE, 3000.0)

    assert grid is not None
    off = grid.heights_m - truth(grid)
    here = [
        grid.cells_at(np.array([lat]), np.array([lon]))
        for lat, lon in ((49.606, -8.406), (49.6, -8.4), (49.62, -8.4))
    ]
    lifted, filled, beyond = (
        off[round(float(r[0])), round(float(c[0]))] for r, c in here
    )
    assert grid.row_step_deg == pytest.approx(0.0002)
    assert lifted == pytest.approx(50.0, abs=0.1)  # the fine file's own
    assert filled == pytest.approx(0.0, abs=1.5)  # its void, from the other
    assert beyond == pytest.approx(0.0, abs=1.5)


def test_a_missing_tile_is_not_known_unless_it_was_said_to_be_sea(
    tmp_path: Path,
) -> None:
    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    other = write_hgt(tmp_path / "N50W008.hgt", 1201, 1201)
    corner, in_the_sea = Position(50.0, -8.0), Position(49.95, -7.95)

    silent = grid_around([source(path), source(other)], corner, 9000.0)
    said = grid_around(
        [source(path, leaves_sea_out=True), source(other)], corner, 9000.0
    )

    assert silent is not None
    assert said is not None
    assert silent.height_m(in_the_sea) is None
    assert silent.notes == ()
    assert said.height_m(in_the_sea) == 0.0
    assert len(said.notes) == 1
    assert "N49W009.hgt" in said.notes[0]
    assert "missing" in said.notes[0]


def test_a_void_inside_a_file_never_becomes_sea(tmp_path: Path) -> None:
    heights = degrees_grid(100, 100)
    heights[30:60, 30:60] = -9999.0
    path = write_tif(tmp_path / "v.tif", heights, nodata=-9999.0)

    grid = grid_over([source(path, leaves_sea_out=True)], look_at(path).extent)

    assert grid is not None
    assert np.isnan(grid.heights_m[35:55, 35:55]).all()


def test_where_no_file_lies_there_is_no_grid(tmp_path: Path) -> None:
    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)

    assert grid_around([source(path)], Position(10.0, 10.0), 60_000.0) is None
    assert grid_around([], HERE, 60_000.0) is None


def test_files_are_found_across_the_date_line(tmp_path: Path) -> None:
    tiles = [
        source(write_hgt(tmp_path / name, 1201, 1201))
        for name in ("N51E179.hgt", "N51W180.hgt")
    ]

    grid = grid_around(tiles, Position(51.5, 179.99), 5000.0)

    assert grid is not None
    for lon_deg in (179.96, -179.97):
        height_m = grid.height_m(Position(51.5, lon_deg))
        expected = hills(np.array(51.5), np.array(lon_deg))
        assert height_m == pytest.approx(float(expected), abs=1.0)


def test_too_many_cells_become_coarser_ones_of_the_mean_height(tmp_path: Path) -> None:
    paths = [
        write_hgt(tmp_path / "N49W009.hgt", 1201, 1201, gentle),
        write_tif(
            tmp_path / "t.tif",
            degrees_grid(1200, 1200, north=50.0, west=-9.0, ground=gentle),
            north=50.0,
            west=-9.0,
        ),
    ]

    for path in paths:
        grid = grid_over([source(path)], look_at(path).extent, most_cells=100_000)

        assert grid is not None
        assert 50_000 < grid.heights_m.size <= 101_000
        off = grid.heights_m - truth(grid, gentle)
        assert_allclose(off[2:-2, 2:-2], 0.0, atol=0.6)
        assert_allclose(off[2:-2, 2:-2].mean(), 0.0, atol=0.05)


def test_what_the_ground_follows_is_told_only_where_all_agree(tmp_path: Path) -> None:
    one = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    two = write_hgt(tmp_path / "N49W008.hgt", 1201, 1201)
    edge = Position(49.5, -8.0)

    both = grid_around(
        [source(one, is_surface=True), source(two, is_surface=True)], edge, 3000.0
    )
    mixed = grid_around(
        [source(one, is_surface=True), source(two, is_surface=False)], edge, 3000.0
    )

    assert both is not None
    assert mixed is not None
    assert both.is_surface is True
    assert both.notes == ()
    assert mixed.is_surface is None
    assert len(mixed.notes) == 1


def test_a_file_that_went_is_told_and_work_can_be_ended(tmp_path: Path) -> None:
    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    gone = source(path)

    def stop(_: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        grid_around([gone], HERE, 60_000.0, progress=stop)
    path.unlink()
    with pytest.raises(UserError, match="N49W009"):
        grid_around([gone], HERE, 60_000.0)


def test_places_near_by_share_a_grid_until_files_change(tmp_path: Path) -> None:
    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    ground = KnownGround((source(path),))

    first = ground.grid_for(HERE, 5000.0)
    again = ground.grid_for(Position(49.6001, -8.4001), 5000.0)
    far = ground.grid_for(Position(49.3, -8.2), 5000.0)

    assert first is not None
    assert first is again
    assert first is not far
    south_deg, west_deg, north_deg, east_deg = first.box
    assert north_deg - 49.6 > 5000.0 / 111_300.0 < 49.6 - south_deg
    assert east_deg + 8.4 > 5000.0 / 72_300.0 < -8.4 - west_deg
    assert ground.fingerprint == KnownGround((source(path),)).fingerprint
    os.utime(path, (1, 1))
    assert ground.fingerprint != KnownGround((source(path),)).fingerprint
    assert ground.covers(HERE)
    assert not ground.covers(Position(10.0, 10.0))


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="no such measure there")
def test_a_whole_fine_tile_takes_little_memory(tmp_path: Path) -> None:
    heights = degrees_grid(3601, 3601, north=50.0, west=-9.0, step=1 / 3600)
    tif = write_tif(
        tmp_path / "t.tif", heights.astype(np.float32), north=50.0, west=-9.0,
        step=1 / 3600, tiled=True, compress="deflate", predictor=3,
    )  # fmt: skip
    hgt = write_hgt(tmp_path / "N49W009.hgt", 3601, 3601)

    for path in (tif, hgt):
        # Of a process of its own, whose highest use is known.
        took = subprocess.run(
            [sys.executable, "-c", _MEASURE, str(path)],
            capture_output=True,
            text=True,
            check=True,
            cwd=Path(__file__).parents[2],
        ).stdout

        assert 50.0 < float(took) < 200.0, path.name


_MEASURE = """
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
grid = grid_around(
    [ElevationSource(path, look_at(path))], Position(49.5, -8.5), 60_000.0
)
assert grid.heights_m.size > 12_000_000
print(highest_mb() - idle)
"""


def test_a_horizon_over_sea_that_was_said_to_be_there_is_complete(
    tmp_path: Path,
) -> None:
    # One cell above the sea, in a tile that ends two kilometres away.
    heights = np.zeros((40, 40))
    heights[18:22, 18:22] = 98.25
    path = write_tif(tmp_path / "rock.tif", heights, step=1 / 1200)
    rock = Position(49.7 - 20.0 / 1200.0, -8.5 + 20.0 / 1200.0)

    silent = grid_around([source(path)], rock, 60_000.0)
    said = grid_around([source(path, leaves_sea_out=True)], rock, 60_000.0)

    assert silent is not None
    assert said is not None
    unknown, known = (horizon(grid, rock, eye_m=1.75) for grid in (silent, said))
    assert not unknown.is_complete.any()
    assert known.is_complete.all()
    # Source: the dip of the sea's horizon from 100 m, R = 6 371 km, k = 0.13:
    # acos(R' / (R' + h)) with R' = R / (1 - k), that is -0.29943 degrees.
    assert_allclose(known.altitudes_deg, -0.29943, atol=0.002)


def test_a_long_view_from_a_fine_file_keeps_the_near_ground_fine(
    tmp_path: Path,
) -> None:
    # A ridge 20 m wide, 40 m high and 300 m to the north in a file of 5 m cells, and
    # a range of 1 000 m some 30 km to the east in a coarse tile.
    fine = np.zeros((800, 1200), np.float32)
    fine[334:338] = 40.0
    step = (5.0 / 111_229.0, 5.0 / 72_265.0)
    here = Position(49.6, -8.4)
    near = write_tif(
        tmp_path / "near.tif", fine, north=49.6 + 397.5 * step[0],
        west=-8.4 - 600.5 * step[1], step=step,
    )  # fmt: skip

    def range_in_the_east(lat: Array, lon: Array) -> Array:
        return np.where(np.abs(lon + 7.985) + 0.0 * lat < 0.005, 1000.0, 0.0)

    tiles = [
        write_hgt(tmp_path / name, 1201, 1201, range_in_the_east)
        for name in ("N49W009.hgt", "N49W008.hgt")
    ]
    ground = KnownGround(tuple(source(path) for path in (near, *tiles)))

    grids = ground.grids_for(here, 60_000.0)

    assert grids is not None
    grid, beyond = grids
    assert beyond is not None
    assert min(grid.cell_at_m(49.6)) == pytest.approx(5.0, abs=0.1)
    assert min(beyond.cell_at_m(49.6)) > 15.0
    both = horizon(grid, here, eye_m=2.0, beyond=beyond, count=4)
    coarse = horizon(beyond, here, eye_m=2.0, count=4)
    # 38 m over 300 m; the means of coarser cells are lower.
    assert both.altitudes_deg[0] == pytest.approx(7.22, abs=0.25)
    assert coarse.altitudes_deg[0] < both.altitudes_deg[0] - 0.5
    # Source: 998 m at 29.6 km over a sphere of R / (1 - 0.13): 1.815 degrees.
    assert both.altitudes_deg[1] == pytest.approx(1.815, abs=0.03)
    assert ground.grids_for(here, 3000.0) is not None
    alone = KnownGround((source(tiles[0]),)).grids_for(here, 20_000.0)
    assert alone is not None
    assert alone[1] is None
