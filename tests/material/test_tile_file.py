"""MBTiles: rows from the south, read only, and what is refused."""

from __future__ import annotations

import gzip
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from fieldtrip.errors import UserError
from fieldtrip.material.box import Box
from fieldtrip.material.credits import Credit
from fieldtrip.material.tile_file import TileFile
from fieldtrip.material.tiles import Tile
from tests.material.pictures import png, tile_file

RED, BLUE = png(200, 0, 0), png(0, 0, 200)


def test_the_specification_s_example_finds_its_row(tmp_path: Path) -> None:
    # Source: MBTiles specification 1.3, "Tiles": the tile with the URL .../11/327/791
    # is inserted as zoom_level 11, tile_column 327, tile_row 1256.
    path = tile_file(tmp_path / "a.mbtiles", {(11, 327, 1256): RED})

    with closing(TileFile(path)) as file:
        assert file.picture(Tile(11, 327, 791)) == RED
        assert file.picture(Tile(11, 327, 1256)) is None


def test_a_file_says_what_it_is(tmp_path: Path) -> None:
    path = tile_file(
        tmp_path / "a.mbtiles",
        {(3, 0, 0): RED},
        name=" Island\nsurvey ",
        # Source: MBTiles specification 1.3, "Metadata": left, bottom, right, top.
        bounds="-8.5,49.5,-8.3,49.7",
        minzoom="3",
        maxzoom="14",
        attribution="© <a href='https://example.org/a'>Survey</a>",
    )

    with closing(TileFile(path)) as file:
        facts = file.facts

    assert facts.name == "Island survey"
    assert facts.bounds == Box(49.5, -8.5, 49.7, -8.3)
    assert (facts.min_zoom, facts.max_zoom) == (3, 14)
    assert facts.credits == (
        Credit("©"),
        Credit(" "),
        Credit("Survey", "https://example.org/a"),
    )


def test_zooms_that_a_file_does_not_tell_are_looked_up(tmp_path: Path) -> None:
    tiles = {(5, 0, 0): RED, (9, 1, 1): RED}
    path = tile_file(tmp_path / "a.mbtiles", tiles, minzoom="9", maxzoom="x")

    with closing(TileFile(path)) as file:
        assert (file.facts.min_zoom, file.facts.max_zoom) == (5, 9)


@pytest.mark.parametrize(
    "bounds",
    ["", "1,2,3", "a,b,c,d", "nan,0,1,1", "-8,50,-9,51", "0,-91,1,1", "-inf,0,1,inf"],
)
def test_bounds_that_are_unsound_are_none(tmp_path: Path, bounds: str) -> None:
    path = tile_file(tmp_path / "a.mbtiles", {(0, 0, 0): RED}, bounds=bounds)

    with closing(TileFile(path)) as file:
        assert file.facts.bounds is None


def test_tiles_may_be_a_view(tmp_path: Path) -> None:
    # Source: MBTiles specification 1.3, "Tiles": "a table or view named tiles".
    path = tile_file(tmp_path / "a.mbtiles", {(0, 0, 0): RED})
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("ALTER TABLE tiles RENAME TO kept")
        database.execute("CREATE VIEW tiles AS SELECT * FROM kept")

    with closing(TileFile(path)) as file:
        assert file.picture(Tile(0, 0, 0)) == RED


def test_a_view_that_never_ends_holds_nothing_up(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "a.mbtiles", {(0, 0, 0): RED}, minzoom="0", maxzoom="1")
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("ALTER TABLE tiles RENAME TO kept")
        database.execute(
            "CREATE VIEW tiles AS SELECT * FROM kept UNION ALL "
            "SELECT 1, n, n, x'00' FROM (WITH RECURSIVE r(n) AS "
            "(SELECT 5 UNION ALL SELECT n + 1 FROM r) SELECT n FROM r)"
        )

    with closing(TileFile(path)) as file:
        assert file.picture(Tile(1, 1, 1)) is None


def test_a_file_is_never_changed_and_nothing_is_put_beside_it(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "a b#c?.mbtiles", {(0, 0, 0): RED})
    before = path.read_bytes()
    path.chmod(0o444)

    with closing(TileFile(path)) as file:
        assert file.picture(Tile(0, 0, 0)) == RED
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            file._database.execute("DELETE FROM tiles")

    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_several_files_are_open_side_by_side(tmp_path: Path) -> None:
    paths = [
        tile_file(tmp_path / f"{k}.mbtiles", {(0, 0, 0): data})
        for k, data in enumerate((RED, BLUE))
    ]
    files = [TileFile(path) for path in paths]

    assert [file.picture(Tile(0, 0, 0)) for file in files] == [RED, BLUE]
    for file in files:
        file.close()


@pytest.mark.parametrize(
    "data", [b"", b"<html>no</html>", gzip.compress(b"x", mtime=0), None]
)
def test_what_is_no_picture_is_left_out(tmp_path: Path, data: bytes | None) -> None:
    tiles = {(0, 0, 0): RED, (1, 0, 0): data}
    path = tile_file(tmp_path / "a.mbtiles", tiles)  # type: ignore[arg-type]

    with closing(TileFile(path)) as file:
        assert file.picture(Tile(1, 0, 1)) is None


def _vector(path: Path) -> None:
    tile_file(
        path, {(0, 0, 0): gzip.compress(b"\x1a\0", mtime=0)}, format="pbf", json="{}"
    )


def _vector_untold(path: Path) -> None:
    tile_file(path, {(0, 0, 0): gzip.compress(b"\x1a\0", mtime=0)}, format="")


def _strange(path: Path) -> None:
    tile_file(path, {(0, 0, 0): RED}, format="image/<tiff>")


def _empty(path: Path) -> None:
    tile_file(path, {})


def _text(path: Path) -> None:
    path.write_text("<!doctype html><title>404</title>")


def _nothing(path: Path) -> None:
    path.write_bytes(b"")


def _cut_short(path: Path) -> None:
    tile_file(path, {(5, k, 0): RED for k in range(32)})
    path.write_bytes(path.read_bytes()[:5000])


def _scrambled(path: Path) -> None:
    tile_file(path, {(5, k, 0): RED for k in range(32)})
    data = bytearray(path.read_bytes())
    data[100:] = b"\xa5" * (len(data) - 100)
    path.write_bytes(data)


def _other_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("CREATE TABLE notes (words text)")


def _folder(path: Path) -> None:
    path.mkdir()


def _missing(path: Path) -> None:
    assert not path.exists()


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_vector, "vector tiles"),
        (_vector_untold, "vector tiles"),
        (_strange, "“<tiff>”"),
        (_empty, "holds no map pictures"),
        (_text, "no file of map pictures"),
        (_nothing, "no file of map pictures"),
        (_cut_short, "damaged"),
        (_scrambled, "damaged"),
        (_other_database, "damaged, or is no file"),
        (_folder, "cannot be opened"),
        (_missing, "no file"),
    ],
)
def test_what_cannot_be_shown_is_refused_with_one_sentence(
    tmp_path: Path, make: Callable[[Path], None], words: str
) -> None:
    path = tmp_path / "chart.mbtiles"
    make(path)

    with pytest.raises(UserError, match=words) as refused:
        TileFile(path)

    assert "chart.mbtiles" in str(refused.value)
