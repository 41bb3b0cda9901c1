"""A file of heights that a library uses, and where it is found."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path, PurePosixPath
from uuid import UUID, uuid4

from fieldtrip.faults import long_text, missing_name
from fieldtrip.files import own_folder

_LONGEST_PATH = 4000


class Keeping(StrEnum):
    """Where the file itself lies."""

    REFERENCED = "where it lies"
    COPIED = "in the library's folder"
    BUNDLED = "with the program"  # the demo's


@dataclass(frozen=True, slots=True, kw_only=True)
class ElevationFile:
    """A file of heights, and what a person said of it; the file says the rest."""

    name: str
    # Referenced: whole.  Copied: from the library's folder on.  Bundled: from the
    # program's resources on.  The last two with slashes on every system.
    path: str
    keeping: Keeping = Keeping.REFERENCED
    is_surface: bool | None = None  # of trees and roofs; None: nobody said
    leaves_sea_out: bool = False  # there is no tile over open sea, which lies at 0 m
    credit: str = ""  # whose it is, where that must be said
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = missing_name(self.name, "file of heights")
        if not self.path.strip() or len(self.path) > _LONGEST_PATH:
            found.append("Say where the file of heights lies.")
        elif self.keeping is not Keeping.REFERENCED and not _is_below(self.path):
            found.append("A file in the library's folder cannot lie outside it.")
        return [*found, *long_text(self.credit)]


def whereabouts(file: ElevationFile, library: Path | None) -> Path:
    """Where a file should lie, for a library of that path; it may be gone.

    A referenced file that is not where it was is looked for beside the library, under
    its own name: so both can be carried to another machine in one folder.
    """
    match file.keeping:
        case Keeping.BUNDLED:
            return own_folder("resources") / file.path
        case Keeping.COPIED:
            return (library.parent if library else Path()) / file.path
        case Keeping.REFERENCED:
            path = Path(file.path)
            if library is not None and not _is_there(path):
                beside = library.parent / re.split(r"[\\/]", file.path)[-1]
                if _is_there(beside):
                    return beside
            return path


def folder_for_copies(library: Path) -> Path:
    """The library's own folder: beside it, with its name."""
    return library.with_name(f"{library.stem} elevation")


def _is_below(path: str) -> bool:
    pure = PurePosixPath(path)
    return (
        not pure.is_absolute()
        and ".." not in pure.parts
        and "\\" not in path
        and ":" not in path
    )


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False
