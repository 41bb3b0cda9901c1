"""Files of heights are read as their standards say, and bad ones are refused."""

from __future__ import annotations

import shutil
import struct
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
import rasterio.warp
import rasterio.windows
from numpy.testing import assert_allclose

from fieldtrip.errors import UserError
from fieldtrip.geo import Position, destination, distance_m
from fieldtrip.terrain.elevation_files import look_at
from fieldtrip.terrain.mosaic import grid_around, grid_over
from tests.terrain.elevation_story import (
    HERE,
    degrees_grid,
    hand_made_tif,
    hills,
    projected_grid,
    source,
    truth,
    write_hgt,
    write_tif,
)

ENCODINGS: dict[str, dict[str, Any]] = {
    "plain strips": {"dtype": "int16"},
    "LZW with differences": {"dtype": "int16", "compress": "lzw", "predictor": 2},
    "ZSTD in tiles": {
        "dtype": "int16", "compress": "zstd", "predictor": 2, "tiled": True,
        "blockxsize": 64, "blockysize": 64,
    },
    "deflated floats in tiles": {
        "dtype": "float32", "compress": "deflate", "predictor": 3, "tiled": True,
        "blockxsize": 128, "blockysize": 128,
    },
    "the other byte order": {"dtype": "float32", "ENDIANNESS": "BIG"},
    "more than four gigabytes allowed": {"dtype": "float64", "BIGTIFF": "YES"},
}  # fmt: skip


# HGT


@pytest.mark.parametrize(("count", "spacing_m"), [(1201, 92.7), (3601, 30.9)])
def test_a_tile_is_found_by_its_south_west_corner(
    tmp_path: Path, count: int, spacing_m: float
) -> None:
    path = write_hgt(tmp_path / "N00E006.hgt", count, count)

    facts = look_at(path)

    # Source: SRTM Topography, section 2.1: the corner is the lower left cell's centre.
    half = 0.5 / (count - 1)
    assert_allclose(
        (facts.extent.south_deg, facts.extent.west_deg), (0 - half, 6 - half)
    )
    assert_allclose(
        (facts.extent.north_deg, facts.extent.east_deg), (1 + half, 7 + half)
    )
    # Source: a second of arc at the equator is 30.7 m north and 30.9 m east (WGS 84).
    assert facts.spacing_m == pytest.approx(spacing_m, rel=0.01)
    assert facts.is_surface is None


def test_a_tiles_numbers_stand_on_whole_seconds(tmp_path: Path) -> None:
    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    spots = [Position(49.0, -9.0), Position(50.0, -8.0), Position(49.5, -8.25)]

    grid = grid_over([source(path)], look_at(path).extent)

    assert grid is not None
    assert grid.shape == (1201, 1201)
    for spot in spots:
        expected = round(float(hills(np.array(spot.lat_deg), np.array(spot.lon_deg))))
        assert grid.height_m(spot) == pytest.approx(expected, abs=1e-6)


def test_columns_may_be_wider_than_rows(tmp_path: Path) -> None:
    path = write_hgt(tmp_path / "N69W019.hgt", 3601, 1801)

    grid = grid_around([source(path)], Position(69.4, -18.5), 2000.0)

    assert grid is not None
    assert grid.column_step_deg == pytest.approx(2.0 * grid.row_step_deg)
    assert_allclose(grid.heights_m, truth(grid), atol=0.501)


def test_voids_of_a_tile_are_not_known(tmp_path: Path) -> None:
    def holed(lat: Any, lon: Any) -> Any:
        return np.where(np.hypot(lat - 49.6, lon + 8.4) < 0.01, -32768, hills(lat, lon))

    path = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201, holed)

    grid = grid_around([source(path)], HERE, 3000.0)

    assert grid is not None
    assert grid.height_m(HERE) is None
    assert np.nanmin(grid.heights_m) > 0.0


# GeoTIFF


@pytest.mark.parametrize("encoding", ENCODINGS.values(), ids=ENCODINGS)
def test_every_encoding_gives_the_same_heights(
    tmp_path: Path, encoding: dict[str, Any]
) -> None:
    options = dict(encoding)
    heights = degrees_grid(240, 260).astype(options.pop("dtype"))
    path = write_tif(tmp_path / "heights.tif", heights, **options)

    facts = look_at(path)
    grid = grid_over([source(path)], facts.extent)

    assert (facts.rows, facts.columns) == (240, 260)
    assert grid is not None
    assert_allclose(grid.heights_m, heights.astype(np.float32))
    assert_allclose(
        (grid.north_deg, grid.west_deg), (49.7 - 0.5 / 1200.0, -8.5 + 0.5 / 1200.0)
    )


@pytest.mark.parametrize("is_point", [False, True])
def test_numbers_stand_for_cells_or_for_points_as_the_file_says(
    tmp_path: Path, is_point: bool
) -> None:
    heights = np.arange(40 * 50, dtype=np.int16).reshape(40, 50)
    first = Position(49.7, -8.5)
    path = hand_made_tif(tmp_path / "made.tif", heights, is_point=is_point, first=first)

    grid = grid_over([source(path)], look_at(path).extent)

    # Source: OGC GeoTIFF 1.1, B.6: the tie point of an area is its corner, that of a
    # point its centre.
    half = 0.0 if is_point else 0.5 / 1200.0
    assert grid is not None
    assert_allclose((grid.north_deg, grid.west_deg), (49.7 - half, -8.5 + half))
    assert_allclose(grid.heights_m, heights)


@pytest.mark.parametrize(
    ("crs", "east", "north", "name"),
    [
        ("EPSG:32629", 540_000.0, 5_500_000.0, "WGS 84 / UTM zone 29N"),
        ("EPSG:25829", 540_000.0, 5_500_000.0, "ETRS89 / UTM zone 29N"),
        ("EPSG:3857", -940_000.0, 6_385_000.0, "WGS 84 / Pseudo-Mercator"),
    ],
)
def test_projected_heights_are_brought_to_latitude_and_longitude(
    tmp_path: Path, crs: str, east: float, north: float, name: str
) -> None:
    heights = projected_grid(crs, east, north, 20.0, 500).astype(np.float32)
    path = write_tif(
        tmp_path / "p.tif", heights, north=north, west=east, step=20.0, crs=crs
    )
    facts = look_at(path)
    middle = Position(
        0.5 * (facts.extent.south_deg + facts.extent.north_deg),
        0.5 * (facts.extent.west_deg + facts.extent.east_deg),
    )

    grid = grid_around([source(path)], middle, 2000.0)

    assert facts.system == name
    assert grid is not None
    # Straight between cells of 20 m on such hills: within centimetres.
    assert_allclose(grid.heights_m, truth(grid), atol=0.06)


def test_grid_north_of_a_projection_is_not_taken_for_true_north(tmp_path: Path) -> None:
    # Four kilometres along the geodesic to the true north of a spot far from the
    # central meridian of its zone, where the grid turns by more than two degrees.
    # Source: convergence = atan(tan(lon - lon0) sin lat) = 2.28 degrees here.
    ridge_to = destination(Position(49.55, -6.0), 0.0, 4000.0)
    xs, ys = rasterio.warp.transform("EPSG:4326", "EPSG:32629", [-6.0], [49.55])
    east, north = xs[0] - 1000.0, ys[0] + 5000.0
    columns, rows = np.meshgrid(np.arange(200) * 10 + 5, np.arange(600) * 10 + 5)
    lon, _ = rasterio.warp.transform(
        "EPSG:32629", "EPSG:4326", (east + columns).ravel(), (north - rows).ravel()
    )
    off_m = (np.array(lon) + 6.0) * 72_265.0
    heights = (100.0 * np.exp(-((off_m / 30.0) ** 2))).reshape(600, 200)
    path = write_tif(
        tmp_path / "u.tif", heights.astype(np.float32), north=north, west=east,
        step=10.0, crs="EPSG:32629",
    )  # fmt: skip

    grid = grid_around([source(path)], Position(49.55, -6.0), 4500.0)

    assert grid is not None
    for spot in (Position(49.55, -6.0), ridge_to):
        crest = grid.height_m(spot)
        assert crest is not None
        assert crest > 97.0  # along the grid's own north it would be 160 m off, and 0


def test_spacing_is_measured_on_the_ground(tmp_path: Path) -> None:
    path = write_tif(tmp_path / "a.tif", degrees_grid(50, 50).astype(np.float32))

    facts = look_at(path)

    middle = 49.7 - 25.0 / 1200.0
    expected_m = distance_m(
        Position(middle, -8.4), Position(middle, -8.4 + 1.0 / 1200.0)
    )
    assert facts.spacing_m == pytest.approx(expected_m, rel=1e-4)


def test_declared_undeclared_and_impossible_voids_are_not_known(tmp_path: Path) -> None:
    heights = degrees_grid(60, 60).astype(np.float32)
    heights[10, 10], heights[20, 20], heights[30, 30] = -77.0, -9999.0, 3.4e38
    heights[40, 40] = np.nan
    path = write_tif(tmp_path / "v.tif", heights, nodata=-77.0)

    grid = grid_over([source(path)], look_at(path).extent)

    assert grid is not None
    voids = np.argwhere(np.isnan(grid.heights_m)).tolist()
    assert voids == [[10, 10], [20, 20], [30, 30], [40, 40]]


def test_a_mask_inside_the_file_counts(tmp_path: Path) -> None:
    heights = degrees_grid(60, 60).astype(np.float32)
    path = write_tif(tmp_path / "m.tif", heights)
    with (
        rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True),
        rasterio.open(path, "r+") as file,
    ):
        seen = np.full((60, 60), 255, dtype=np.uint8)
        seen[5, 7] = 0
        file.write_mask(seen)

    grid = grid_over([source(path)], look_at(path).extent)

    assert grid is not None
    assert np.argwhere(np.isnan(grid.heights_m)).tolist() == [[5, 7]]


def test_decimetres_and_feet_become_metres(tmp_path: Path) -> None:
    metres = degrees_grid(60, 60) * 4.0  # up to 1 500 m: as decimetres beyond 9 000
    for name, scale, unit, factor in (
        ("dm.tif", 0.1, "metre", 10.0),
        ("ft.tif", 1.0, "ft", 1.0 / 0.3048),
    ):
        path = write_tif(tmp_path / name, np.rint(metres * factor).astype(np.int16))
        with rasterio.open(path, "r+") as file:
            file.scales, file.units = (scale,), (unit,)

        grid = grid_over([source(path)], look_at(path).extent)

        assert grid is not None
        assert_allclose(grid.heights_m, metres, atol=0.16)


def test_a_word_in_the_name_tells_ground_from_surface(tmp_path: Path) -> None:
    heights = degrees_grid(20, 20).astype(np.float32)

    found = {
        name: look_at(write_tif(tmp_path / name, heights)).is_surface
        for name in ("bay_dsm_10m.tif", "bay-DTM.tif", "bay.tif")
    }

    assert list(found.values()) == [True, False, None]


# What cannot be used


def damaged(tmp_path: Path) -> dict[str, Path]:
    """Files that are none, by what is wrong with them."""
    good = degrees_grid(300, 300).astype(np.float32)
    tiles: dict[str, Any] = {"tiled": True, "blockxsize": 64, "blockysize": 64}

    def tif(name: str, heights: Any, **options: Any) -> Path:
        return write_tif(tmp_path / f"{name}.tif", heights, **options)

    whole = tif("whole", good, compress="deflate", **tiles)
    cut = tmp_path / "cut.tif"
    cut.write_bytes(whole.read_bytes()[:-2000])
    headless = tmp_path / "headless.tif"
    headless.write_bytes(whole.read_bytes()[:60])
    scrambled = tmp_path / "scrambled.tif"
    data = bytearray(whole.read_bytes())
    data[2000:-200] = b"\x5a" * (len(data) - 2200)
    scrambled.write_bytes(bytes(data))
    empty = tmp_path / "empty.tif"
    empty.write_bytes(b"")
    text = tmp_path / "text.tif"
    text.write_text("heights, honestly", "utf-8")
    packed = tmp_path / "N49W009.zip"
    packed.write_bytes(b"PK\3\4 and so on")
    short = tmp_path / "N49W009.hgt"
    short.write_bytes(b"\0" * 5000)
    nameless = write_hgt(tmp_path / "N49W010.hgt", 1201, 1201)
    shutil.move(nameless, tmp_path / "bay.hgt")
    nonsense = tmp_path / "N50W009.hgt"
    nonsense.write_bytes(np.random.default_rng(1).bytes(2 * 1201 * 1201))
    void = tmp_path / "N51W009.hgt"
    void.write_bytes(struct.pack(">h", -32768) * (1201 * 1201))
    return {
        "cut off": cut,
        "cut in its head": headless,
        "scrambled": scrambled,
        "empty": empty,
        "text": text,
        "packed": packed,
        "gone": tmp_path / "gone.tif",
        "a folder": tmp_path,
        "of no known size": short,
        "without a corner": tmp_path / "bay.hgt",
        "noise": nonsense,
        "all void": void,
        "a picture": tif("rgb", np.zeros((3, 40, 40), np.uint8), photometric="RGB"),
        "a shaded picture": tif("grey", np.zeros((40, 40), np.uint8)),
        "nowhere": write_tif(tmp_path / "lost.tif", good, crs=None),
        "beyond the pole": tif("pole", good, north=94.0),
        "nan only": tif("nan", np.full((50, 50), np.nan, np.float32)),
        "no heights": tif("big", np.full((50, 50), 1e20, np.float32)),
        "complex": tif("complex", np.zeros((40, 40), np.complex64)),
    }


# Writing a file without a place on purpose.
@pytest.mark.filterwarnings("ignore:Dataset has no geotransform")
def test_what_cannot_be_used_is_refused_in_a_sentence_and_left_alone(
    tmp_path: Path,
) -> None:
    files = damaged(tmp_path)
    before = {path: path.read_bytes() for path in files.values() if path.is_file()}

    said = {}
    for what, path in files.items():
        with pytest.raises(UserError) as refusal:
            look_at(path)
        said[what] = str(refusal.value)

    for what, sentence in said.items():
        assert files[what].name in sentence, what
        assert sentence.endswith("."), what
        assert len(sentence) < 220, what
    assert len(set(said.values())) == len(said)
    assert {path: path.read_bytes() for path in before} == before
    assert not list(tmp_path.glob("*.aux.xml"))


def test_a_file_that_can_only_be_read_whole_is_refused_if_it_is_gigantic(
    tmp_path: Path,
) -> None:
    # One strip of 40 000 by 40 000 floats, none of which is there.
    path = tmp_path / "gigantic.tif"
    whole = hand_made_tif(
        path, np.zeros((40, 40), np.int16), is_point=False, first=HERE
    ).read_bytes()
    huge = bytearray(whole)
    for k in range(struct.unpack_from("<H", huge, 8)[0]):
        at = 10 + 12 * k
        if struct.unpack_from("<H", huge, at)[0] in (256, 257, 278):
            struct.pack_into("<I", huge, at + 8, 40_000)
    path.write_bytes(bytes(huge))

    with pytest.raises(UserError, match="tiled"):
        look_at(path)


def test_a_large_sparse_file_is_read_in_parts_only(tmp_path: Path) -> None:
    path = tmp_path / "large.tif"
    with rasterio.open(
        path, "w", driver="GTiff", width=60_000, height=60_000, count=1,
        dtype="float32", crs="EPSG:4326", tiled=True, blockxsize=512, blockysize=512,
        transform=rasterio.Affine(1e-5, 0.0, -8.5, 0.0, -1e-5, 49.7),
        SPARSE_OK=True, BIGTIFF="YES", nodata=-9999.0, compress="deflate",
    ) as file:  # fmt: skip
        corner = np.full((512, 512), 12.0, np.float32)
        file.write(corner, 1, window=rasterio.windows.Window(0, 0, 512, 512))

    grid = grid_around([source(path)], Position(49.698, -8.498), 100.0)

    assert grid is not None
    assert grid.height_m(Position(49.698, -8.498)) == 12.0
    assert grid.heights_m.size < 100_000


@pytest.mark.parametrize("crs", ["EPSG:9518", "EPSG:4258"])
def test_other_latitudes_and_longitudes_are_taken_too(tmp_path: Path, crs: str) -> None:
    # WGS 84 with heights over a geoid, and ETRS89: the same places within a metre.
    heights = degrees_grid(200, 200).astype(np.float32)
    path = write_tif(tmp_path / "e.tif", heights, crs=crs)

    grid = grid_around([source(path)], HERE, 2000.0)

    assert grid is not None
    assert_allclose(grid.heights_m, truth(grid), atol=0.6)


def test_longitudes_may_count_on_past_180(tmp_path: Path) -> None:
    heights = degrees_grid(60, 60).astype(np.float32)
    path = write_tif(tmp_path / "p.tif", heights, west=351.5)

    grid = grid_around([source(path)], Position(49.68, -8.48), 1000.0)

    assert grid is not None
    height_m = grid.height_m(Position(49.68, -8.48))
    assert height_m == pytest.approx(
        float(hills(np.array(49.68), np.array(-8.48))), abs=0.3
    )


def test_a_machine_that_cannot_read_geotiff_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_tif(tmp_path / "a.tif", degrees_grid(20, 20).astype(np.float32))
    monkeypatch.setitem(sys.modules, "rasterio", None)

    with pytest.raises(UserError, match="rasterio"):
        look_at(path)
    write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    assert look_at(tmp_path / "N49W009.hgt").rows == 1201


def test_a_file_with_wrong_bytes_is_read_or_refused_and_nothing_else(
    tmp_path: Path,
) -> None:
    wholes = [
        write_tif(
            tmp_path / "a.tif", degrees_grid(120, 120).astype(np.float32), tiled=True,
            blockxsize=64, blockysize=64, compress="deflate",
        ).read_bytes(),
        write_tif(
            tmp_path / "b.tif",
            projected_grid("EPSG:32629", 5.4e5, 5.5e6, 20.0, 80).astype(np.int16),
            north=5.5e6, west=5.4e5, step=20.0, crs="EPSG:32629",
        ).read_bytes(),
    ]  # fmt: skip
    chance = np.random.default_rng(4)
    path = tmp_path / "wrong.tif"
    said = []

    for k in range(200):
        data = bytearray(wholes[k % 2])
        for at in chance.integers(4, (300, 700, len(data))[k % 3], 1 + k % 5):
            data[at] = chance.integers(256)
        path.write_bytes(bytes(data))
        try:
            facts = look_at(path)
            grid_over([source(path)], facts.extent, most_cells=100_000)
        except UserError as error:
            said.append(str(error))

    assert 20 < len(said) < 180
    assert all("wrong.tif" in sentence for sentence in said)
