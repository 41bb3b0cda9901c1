"""Opens GeoTIFF files of heights, and refuses what is none, or damaged."""

from __future__ import annotations

import logging
import math
import re
import struct
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np

from fieldtrip.errors import UserError

SUFFIXES = (".tif", ".tiff")
HEADS = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_LARGEST_BLOCK = 256_000_000  # bytes that must be read at once, whatever is asked for
_LOOK_AT_ONCE = 1024  # cells
WGS_84 = "EPSG:4326"
_GEO_KEYS = 34735
Window = tuple[int, int, int, int]  # column, row, columns and rows


def library() -> Any:
    """The library that reads GeoTIFF, when it is first needed."""
    try:
        import rasterio
        import rasterio._err
        import rasterio.enums
        import rasterio.errors
        import rasterio.warp
        import rasterio.windows
    except ImportError as error:
        raise UserError(
            "GeoTIFF cannot be read here: install the package “rasterio” first."
        ) from error
    # What GDAL says of a bad file would stand in the log beside our own sentence.
    logging.getLogger("rasterio").setLevel(logging.CRITICAL)
    return rasterio


def environment() -> Any:
    """What must hold while the library opens or reads a file."""
    return library().Env(
        GDAL_CACHEMAX=64,  # megabytes
        GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR",  # nothing that lies beside it
        GDAL_PAM_ENABLED="NO",
    )


@contextmanager
def plain_words(name: str) -> Iterator[None]:
    """Say in a sentence what goes wrong with a file that is not what it says.

    A file may be damaged in any number of ways, and GDAL and PROJ have as many errors.
    """
    rasterio = library()
    troubles = (
        rasterio.errors.RasterioError,
        rasterio._err.CPLE_BaseError,  # noqa: SLF001 (it has no other name)
        ArithmeticError,
        MemoryError,
        OSError,
        ValueError,
    )
    try:
        with environment(), np.errstate(all="ignore"):
            yield
    except troubles as error:
        raise UserError(
            f"“{name}” is damaged, or says of itself what cannot be."
        ) from error


def opened_tif(path: Path) -> Any:
    """A GeoTIFF of heights, as the library gives it.

    Raises `UserError`, one or two sentences, for what is none, a picture, without a
    place on the Earth, or not to be read in parts.
    """
    rasterio = library()
    try:
        with path.open("rb") as start:
            head = start.read(4)
    except OSError as error:
        raise UserError(f"“{path.name}” cannot be opened: {error.strerror}.") from error
    if head not in HEADS:
        raise UserError(f"“{path.name}” is no GeoTIFF.")
    errors = rasterio.errors
    try:
        with warnings.catch_warnings(), environment():
            warnings.simplefilter("ignore", errors.NotGeoreferencedWarning)
            # A path, not a text: GDAL would fetch some texts from the network.
            file = rasterio.open(path.absolute(), driver="GTiff")
    except (errors.RasterioError, OSError, ValueError) as error:
        raise UserError(
            f"“{path.name}” is damaged, or is no GeoTIFF that can be read."
        ) from error
    try:
        with plain_words(path.name):
            _refuse_other(file, path.name)
    except BaseException:
        file.close()
        raise
    return file


def has_place(path: Path) -> bool:
    """Whether a TIFF has the standard's list of keys among its first entries.

    Source: TIFF 6.0, section 2; BigTIFF; GeoKeyDirectoryTag is 34735.
    """
    try:
        with path.open("rb") as file:
            head = file.read(16)
            if head[:4] not in HEADS:
                return False
            order = "<" if head[:1] == b"I" else ">"
            is_big = head[2:4] in (b"+\0", b"\0+")
            (start,) = struct.unpack_from(
                f"{order}{'Q' if is_big else 'I'}", head[4:], 4 if is_big else 0
            )
            file.seek(start)
            width, size = (8, 20) if is_big else (2, 12)
            (count,) = struct.unpack(
                f"{order}{'Q' if is_big else 'H'}", file.read(width)
            )
            entries = file.read(min(count, 500) * size)
    except (OSError, ValueError, struct.error, OverflowError):
        return False
    tags = (
        struct.unpack_from(f"{order}H", entries, at)[0]
        for at in range(0, len(entries) - size + 1, size)
    )
    return _GEO_KEYS in tags


def is_wgs_84(system: Any) -> bool:
    """Whether a coordinate system is latitude and longitude on WGS 84."""
    return bool(system.is_geographic) and system.to_epsg() == 4326


def system_name(system: Any) -> str:
    """What a coordinate system calls itself."""
    match = re.search(r'"([^"]{1,120})"', system.to_wkt())
    name = match[1] if match else "a coordinate system without a name"
    return f"{name}, latitude and longitude" if system.is_geographic else name


def parts_there(
    file: Any, path: Path, progress: Callable[[float], None]
) -> list[Window]:
    """Windows of whole blocks, about a thousand cells high and wide, with any.

    Blocks that were left out on purpose are void.  Raises `UserError` where one
    does not end within the file: none may be missed later.
    """
    size = path.stat().st_size
    rows, columns = file.block_shapes[0]
    down, across = max(1, _LOOK_AT_ONCE // rows), max(1, _LOOK_AT_ONCE // columns)
    found = set()
    for x in range(math.ceil(file.width / columns)):
        progress(0.0)
        for y in range(math.ceil(file.height / rows)):
            offset = file.get_tag_item(f"BLOCK_OFFSET_{x}_{y}", "TIFF", bidx=1)
            if offset is None:
                continue
            length = file.get_tag_item(f"BLOCK_SIZE_{x}_{y}", "TIFF", bidx=1)
            if int(offset) + int(length or 0) > size:
                raise UserError(
                    f"“{path.name}” is cut off: a part of it is missing. Fetch "
                    "it again."
                )
            found.add((y // down * down * rows, x // across * across * columns))
    return [
        (
            column,
            row,
            min(across * columns, file.width - column),
            min(down * rows, file.height - row),
        )
        for row, column in sorted(found)
    ]


def spread(windows: list[Window]) -> Iterator[Window]:
    """All of them, in an order that jumps about, so that land is soon met."""
    step = max(1, round(len(windows) * 0.381966))
    while windows and math.gcd(step, len(windows)) != 1:
        step += 1
    for k in range(len(windows)):
        yield windows[k * step % len(windows)]


def _refuse_other(file: Any, name: str) -> None:
    kind = str(file.dtypes[0])
    colours = {str(each).rpartition(".")[2] for each in file.colorinterp}
    if file.count > 1 or kind == "uint8" or "palette" in colours:
        bands = "one band" if file.count == 1 else f"{file.count} bands"
        raise UserError(
            f"“{name}” is a picture and no elevation model: it has {bands} of "
            f"{'8-bit shades' if kind == 'uint8' else 'numbers'}, and heights have "
            "one band of metres."
        )
    if np.dtype(kind).kind not in "iuf":
        raise UserError(f"“{name}” holds numbers of a sort that heights are not.")
    if file.crs is None or file.transform.is_identity:
        raise UserError(
            f"“{name}” does not say where on the Earth it lies, so it cannot be "
            "used. Ask for it with its coordinate system."
        )
    if file.transform.determinant == 0.0 or min(file.width, file.height) < 2:
        raise UserError(f"“{name}” covers no ground.")
    rows, columns = file.block_shapes[0]
    if rows * columns * np.dtype(kind).itemsize > _LARGEST_BLOCK:
        raise UserError(
            f"“{name}” can only be read in pieces that are too large for this "
            "computer’s memory. Ask for it as a tiled GeoTIFF."
        )
