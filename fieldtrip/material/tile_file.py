"""Files of map pictures: MBTiles 1.3 with pictures of dots, not of vectors.

Source: MBTiles specification 1.3, https://github.com/mapbox/mbtiles-spec.
"""

from __future__ import annotations

import math
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.material.box import Box
from fieldtrip.material.credits import Credit, credits_from, plain
from fieldtrip.material.tiles import MAX_ZOOM, Tile, picture_type

SUFFIX = ".mbtiles"
_HEAD = b"SQLite format 3\0"
_VECTOR_FORMATS = ("pbf", "mvt", "application/vnd.mapbox-vector-tile")
_PICTURE_FORMATS = ("", "png", "jpg", "jpeg", "webp")
_GZIP = b"\x1f\x8b"
_LARGEST_BYTES = 8_000_000  # of one picture
# SQLite asks every so many of its steps whether to go on: `tiles` may be a view, and
# one that never ends must not hold up the window.
_ASK_EVERY = 10_000
_ASK_AT_MOST = 200  # for one picture
_ASK_AT_MOST_FIRST = 2_000  # for all facts together


@dataclass(frozen=True, slots=True)
class TileFileFacts:
    """What a file says of itself, as far as it is sound."""

    name: str
    credits: tuple[Credit, ...]
    bounds: Box | None
    min_zoom: int
    max_zoom: int


class TileFile:
    """An open file, read and never written; used from one thread."""

    def __init__(self, path: Path) -> None:
        """Open a file.

        Raises `UserError`, one sentence, for what is no such file, is damaged, holds
        no tiles, or vector tiles.
        """
        self._path = path
        self._database = _opened(path)
        self._asks_left = _ASK_AT_MOST_FIRST
        self._database.set_progress_handler(self._is_enough, _ASK_EVERY)
        try:
            self.facts = self._read_facts()
        except sqlite3.Error as error:
            self.close()
            raise UserError(
                f"“{path.name}” is damaged, or is no file of map pictures (MBTiles)."
            ) from error
        except UserError:
            self.close()
            raise

    def close(self) -> None:
        """Let the file go."""
        self._database.close()

    def picture(self, tile: Tile) -> bytes | None:
        """The picture of a tile, or None: not there, not a picture, or not readable."""
        row: tuple[object] | None
        self._asks_left = _ASK_AT_MOST
        try:
            row = self._database.execute(
                "SELECT tile_data FROM tiles "
                "WHERE zoom_level = ? AND tile_column = ? AND tile_row = ?",
                (tile.zoom, tile.column, tile.row_from_south),
            ).fetchone()
        except sqlite3.Error:
            return None
        data = row[0] if row else None
        if not isinstance(data, bytes) or len(data) > _LARGEST_BYTES:
            return None
        return data if picture_type(data) else None

    def _is_enough(self) -> bool:
        self._asks_left -= 1
        return self._asks_left < 0

    def _read_facts(self) -> TileFileFacts:
        said = self._metadata()
        kind = said.get("format", "").strip().lower().removeprefix("image/")
        if kind in _VECTOR_FORMATS or self._any_tile()[:2] == _GZIP:
            raise UserError(
                f"“{self._path.name}” holds vector tiles, which this map cannot draw. "
                "Ask for the same map as pictures (PNG, JPEG or WebP)."
            )
        if kind not in _PICTURE_FORMATS:
            raise UserError(
                f"“{self._path.name}” holds pictures of the sort “{plain(kind)[:40]}”, "
                "which this map cannot draw: it takes PNG, JPEG and WebP."
            )
        if picture_type(self._any_tile()) is None:
            raise UserError(f"“{self._path.name}” holds no map pictures.")
        lowest, highest = self._zooms(said)
        return TileFileFacts(
            name=plain(said.get("name", ""))[:80] or self._path.stem,
            credits=credits_from(said.get("attribution", "")),
            bounds=_bounds(said.get("bounds", "")),
            min_zoom=lowest,
            max_zoom=highest,
        )

    def _metadata(self) -> dict[str, str]:
        rows = self._database.execute(
            "SELECT name, value FROM metadata WHERE length(value) < 100000 LIMIT 1000"
        )
        return {str(name): str(value) for name, value in rows if value is not None}

    def _any_tile(self) -> bytes:
        row = self._database.execute("SELECT tile_data FROM tiles LIMIT 1").fetchone()
        return row[0] if row and isinstance(row[0], bytes) else b""

    def _zooms(self, said: dict[str, str]) -> tuple[int, int]:
        """What the file says, or else what it has."""
        given = [_zoom(said.get(name, "")) for name in ("minzoom", "maxzoom")]
        if None in given or given[0] > given[1]:  # type: ignore[operator]
            row = self._database.execute(
                "SELECT min(zoom_level), max(zoom_level) FROM tiles"
            ).fetchone()
            given = [_zoom(str(value)) for value in row]
        lowest, highest = given
        if lowest is None or highest is None:
            raise UserError(f"“{self._path.name}” holds no map pictures.")
        return lowest, highest


def _opened(path: Path) -> sqlite3.Connection:
    """A connection that cannot write, and leaves no file beside the other."""
    name = path.name
    try:
        with path.open("rb") as file:
            head = file.read(len(_HEAD))
    except FileNotFoundError as error:
        raise UserError(f"There is no file “{name}” there any more.") from error
    except OSError as error:
        raise UserError(f"“{name}” cannot be opened: {error.strerror}.") from error
    if head != _HEAD:
        raise UserError(f"“{name}” is no file of map pictures (MBTiles).")
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    try:
        database = sqlite3.connect(address, uri=True)
    except sqlite3.Error as error:
        raise UserError(f"“{name}” cannot be opened.") from error
    with closing(database.cursor()) as cursor:
        # A file from anywhere may hold views: they get no functions with effects.
        cursor.execute("PRAGMA trusted_schema = OFF")
    database.text_factory = lambda data: data.decode("utf-8", "replace")
    return database


def _zoom(text: str) -> int | None:
    try:
        zoom = int(text)
    except ValueError:
        return None
    return zoom if 0 <= zoom <= MAX_ZOOM else None


def _bounds(text: str) -> Box | None:
    """West, south, east, north, or None where that is not sound."""
    try:
        west, south, east, north = (float(part) for part in text.split(","))
        if not all(map(math.isfinite, (west, south, east, north))):
            return None
        if max(abs(south), abs(north)) > 90.0 or max(abs(west), abs(east)) > 360.0:
            return None
        return Box(south, west, north, east)
    except ValueError:
        return None
