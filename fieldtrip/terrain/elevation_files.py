"""Files of heights: which sorts there are, and what one says of itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.terrain import geotiff_opening, hgt_file
from fieldtrip.terrain.facts import ElevationFacts
from fieldtrip.terrain.geotiff_file import GeoTiff
from fieldtrip.terrain.hgt_file import HgtFile

SUFFIXES = (hgt_file.SUFFIX, *geotiff_opening.SUFFIXES)


@dataclass(frozen=True, slots=True)
class ElevationSource:
    """A file as it lies on this machine, with what was found in it and said of it."""

    path: Path
    facts: ElevationFacts
    name: str = ""
    is_surface: bool | None = None
    leaves_sea_out: bool = False


def look_at(
    path: Path, progress: Callable[[float], None] = lambda _: None
) -> ElevationFacts:
    """What a file of heights covers, how fine it is, and in which coordinates.

    `progress` is called now and then, and may end the work by raising.  Raises
    `UserError`, one or two sentences, for every file that cannot be used; nothing is
    ever written.
    """
    with opened(path) as file:
        if isinstance(file, GeoTiff):
            return file.facts(progress)
        return file.facts()


def is_elevation_file(path: Path) -> bool:
    """Whether a file means to be one: an HGT tile, or a TIFF that says where it lies.

    A photograph in a TIFF may have a position too, but no coordinate system.
    """
    if path.suffix.lower() == hgt_file.SUFFIX:
        return True
    return (
        path.suffix.lower() in geotiff_opening.SUFFIXES
        and geotiff_opening.has_place(path)
    )


@contextmanager
def opened(path: Path) -> Iterator[HgtFile | GeoTiff]:
    """A file of heights, told apart by its name and its first bytes."""
    file = _opened(path)
    try:
        yield file
    finally:
        file.close()


def _opened(path: Path) -> HgtFile | GeoTiff:
    try:
        with path.open("rb") as start:
            head = start.read(4)
    except FileNotFoundError as error:
        raise UserError(f"There is no file “{path.name}” there any more.") from error
    except OSError as error:
        raise UserError(f"“{path.name}” cannot be opened: {error.strerror}.") from error
    except ValueError as error:  # a null character
        raise UserError("That is no name that a file can have.") from error
    if path.suffix.lower() == hgt_file.SUFFIX:
        return HgtFile(path)
    if head in geotiff_opening.HEADS:
        return GeoTiff(path)
    if head[:2] == b"PK":
        raise UserError(f"“{path.name}” is packed. Unpack it first, then add it.")
    raise UserError(
        f"“{path.name}” is no file of heights: those are HGT tiles and GeoTIFF."
    )
