"""Small map pictures and files of them, made for the tests."""

from __future__ import annotations

import sqlite3
import struct
import zlib
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path


def png(red: int, green: int, blue: int, size: int = 256) -> bytes:
    """A square picture of one colour."""
    row = b"\0" + bytes((red, green, blue)) * size
    header = struct.pack(">IIBBBBB", size, size, 8, 2, 0, 0, 0)
    chunks = (
        (b"IHDR", header),
        (b"IDAT", zlib.compress(row * size)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body))
        + name
        + body
        + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


def tile_file(
    path: Path,
    tiles: Mapping[tuple[int, int, int], bytes],
    **metadata: str,
) -> Path:
    """An MBTiles file; tiles by zoom, column and row *as in the file*, from the south.

    Source of the layout: MBTiles specification 1.3, "Database specifications".
    """
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("CREATE TABLE metadata (name text, value text)")
        database.execute(
            "CREATE TABLE tiles (zoom_level integer, tile_column integer, "
            "tile_row integer, tile_data blob)"
        )
        database.execute(
            "CREATE UNIQUE INDEX tile_index on tiles "
            "(zoom_level, tile_column, tile_row)"
        )
        said = {"name": "Made", "format": "png", **metadata}
        database.executemany("INSERT INTO metadata VALUES (?, ?)", said.items())
        database.executemany(
            "INSERT INTO tiles VALUES (?, ?, ?, ?)",
            [(*place, data) for place, data in tiles.items()],
        )
    return path
