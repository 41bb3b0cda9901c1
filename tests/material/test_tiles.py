"""Numbers of tiles, and what is a picture."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from fieldtrip.material.tiles import Tile, clear_picture, parse_tile, picture_type


def test_rows_are_counted_from_the_south_as_the_specification_has_it() -> None:
    # Source: MBTiles specification 1.3, "Tiles": 11/327/791 is tile_row 1256.
    assert Tile(11, 327, 791).row_from_south == 1256


def test_a_path_names_a_tile() -> None:
    assert parse_tile("11/327/791") == Tile(11, 327, 791)
    assert parse_tile("0/0/0") == Tile(0, 0, 0)


@pytest.mark.parametrize(
    "path",
    ["", "1/2", "1/2/0", "1/0/2", "31/0/0", "-1/0/0", "1/0/0/", "a/b/c", "1/0/0.png",
     "1/\u0660/0"],
)  # fmt: skip
def test_what_is_no_tile_is_none(path: str) -> None:
    assert parse_tile(path) is None


@pytest.mark.parametrize(("name", "media_type"), [
    ("PNG", "image/png"), ("JPEG", "image/jpeg"), ("WEBP", "image/webp"),
    ("GIF", None), ("BMP", None),
])  # fmt: skip
def test_pictures_are_known_by_how_they_begin(
    name: str, media_type: str | None
) -> None:
    written = io.BytesIO()
    Image.new("RGB", (4, 4)).save(written, name)

    assert picture_type(written.getvalue()) == media_type


def test_the_clear_picture_can_be_seen_through() -> None:
    picture = Image.open(io.BytesIO(clear_picture()))

    assert picture.convert("RGBA").getpixel((0, 0)) == (0, 0, 0, 0)
