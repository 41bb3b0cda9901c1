"""Any file of places or any photograph, told apart by what is in it."""

from __future__ import annotations

from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import Found, Progress
from fieldtrip.exchange.geojson import read_geojson
from fieldtrip.exchange.gpx import read_gpx
from fieldtrip.exchange.kml import read_kml, read_kmz
from fieldtrip.exchange.photo_exif import read_photo
from fieldtrip.exchange.xml_reader import refuse_too_large

_HEAD_BYTES = 4096
_PICTURES = (b"\xff\xd8\xff", b"II*\0", b"MM\0*", b"\x89PNG", b"RIFF")
_BYTE_ORDERS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
SUFFIXES = (
    ".gpx", ".geojson", ".json", ".kml", ".kmz",
    ".jpg", ".jpeg", ".tif", ".tiff", ".png", ".webp",
)  # fmt: skip


def read_file(path: Path, progress: Progress | None = None) -> Found:
    """Read GPX, GeoJSON, KML, KMZ or a photograph, by content and not by name.

    Raises `UserError`, one sentence, for anything else or anything unsound.
    """
    name = path.name
    try:
        if path.is_dir():
            raise UserError(f"“{name}” is a folder; choose the files in it.")
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
        if head.startswith(_PICTURES):
            return read_photo(path)
        if head[4:8] == b"ftyp":
            raise UserError(
                f"“{name}” is a picture or film of a sort that is not read here; "
                "save it as JPEG first."
            )
        refuse_too_large(path.stat().st_size, name)
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise UserError(f"There is no file “{name}” there.") from error
    except OSError as error:
        raise UserError(f"“{name}” cannot be opened: {error.strerror}.") from error
    if head.startswith(b"PK\x03\x04"):
        return read_kmz(data, name, progress)
    start = _start(head)
    if start.startswith(("{", "[")):
        return read_geojson(data, name, progress)
    if not start.startswith("<"):
        what = "is empty" if not data else "is none of GPX, GeoJSON, KML and photograph"
        raise UserError(f"“{name}” {what}, so nothing came in.")
    if "<kml" in start or ("<gpx" not in start and path.suffix.lower() == ".kml"):
        return read_kml(data, name, progress)
    return read_gpx(data, name, progress)


def _start(head: bytes) -> str:
    encoding = _BYTE_ORDERS.get(head[:2], "utf-8-sig")
    return head.decode(encoding, "replace").lstrip()
