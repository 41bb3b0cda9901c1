"""Square pictures of the map, numbered as the Web Mercator pyramid numbers them."""

from __future__ import annotations

import re
import struct
import zlib
from dataclasses import dataclass

MAX_ZOOM = 30
_PATH = re.compile(r"([0-9]{1,2})/([0-9]{1,10})/([0-9]{1,10})")
_PICTURES = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
)


@dataclass(frozen=True, slots=True)
class Tile:
    """Column from the west, row from the north: 0/0/0 is the whole world."""

    zoom: int
    column: int
    row: int

    @property
    def row_from_south(self) -> int:
        """The row counted from the south, as the Tile Map Service has it.

        Source: MBTiles specification 1.3, "Tiles": 11/327/791 is row 1256.
        """
        return (1 << self.zoom) - 1 - self.row


def parse_tile(path: str) -> Tile | None:
    """The tile of ``zoom/column/row``, or None where the pyramid has no such tile."""
    match = _PATH.fullmatch(path)
    if match is None:
        return None
    zoom, column, row = (int(group) for group in match.groups())
    if zoom > MAX_ZOOM or column >> zoom or row >> zoom:
        return None
    return Tile(zoom, column, row)


def picture_type(data: bytes) -> str | None:
    """The media type of a PNG, JPEG or WebP picture by how it begins, else None."""
    for start, media_type in _PICTURES:
        if data.startswith(start):
            return media_type
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "image/webp"
    return None


def clear_picture() -> bytes:
    """A PNG of one transparent pixel: what stands where there is no picture."""
    header = struct.pack(">IIBBBBB", 1, 1, 8, 6, 0, 0, 0)
    chunks = (
        (b"IHDR", header),
        (b"IDAT", zlib.compress(b"\0" * 5)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body))
        + name
        + body
        + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )
