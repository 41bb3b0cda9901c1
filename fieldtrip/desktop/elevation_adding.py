"""Files of heights become records, and copies in the library's own folder; no Qt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.terrain.elevation_files import look_at
from fieldtrip.terrain.records import (
    ElevationFile,
    Keeping,
    folder_for_copies,
    whereabouts,
)

Progress = Callable[[float], None]
_PIECE = 4_000_000  # bytes between two looks at whether to go on


@dataclass(frozen=True, slots=True)
class Added:
    """What became of some files."""

    records: tuple[ElevationFile, ...]
    refusals: tuple[str, ...]  # one sentence for each file that cannot be used


def taken_in(
    paths: Sequence[Path],
    library: Path | None,
    known: Sequence[ElevationFile],
    *,
    is_copied: bool,
    progress: Progress = lambda _: None,
) -> Added:
    """A record for each file that can be used and is not known yet.

    With `is_copied` each is copied into the library's own folder.  Nothing is stored;
    when `progress` ends the work by raising, no half of a copy stays.
    """
    records: list[ElevationFile] = []
    refusals = []
    for k, path in enumerate(paths):
        part = _part_of(progress, k, len(paths))
        part(0.0)
        try:
            if _is_known(path, library, [*known, *records]):
                raise UserError(f"“{path.name}” is among the elevation files already.")
            facts = look_at(path, lambda _, part=part: part(0.0))  # type: ignore[misc]
            keeping, place = Keeping.REFERENCED, str(path.absolute())
            if is_copied:
                if library is None:
                    raise UserError("This library is in no folder that could hold it.")
                keeping = Keeping.COPIED
                place = copied(path, library, part)
        except UserError as error:
            refusals.append(str(error))
            continue
        records.append(
            ElevationFile(
                name=path.stem,
                path=place,
                keeping=keeping,
                is_surface=facts.is_surface,
            )
        )
    return Added(tuple(records), tuple(refusals))


def copied(path: Path, library: Path, progress: Progress = lambda _: None) -> str:
    """Copy a file into a library's own folder; gives its place there for the record.

    Raises `UserError` where it cannot be read or written; nothing is overwritten.
    """
    folder = folder_for_copies(library)
    try:
        folder.mkdir(exist_ok=True)
        target = _free_name(folder / path.name)
        _copy(path, target, progress)
    except OSError as error:
        raise UserError(
            f"“{path.name}” could not be copied to {folder}: {error.strerror}."
        ) from error
    return f"{folder.name}/{target.name}"


def carried_along(
    files: Sequence[ElevationFile],
    library: Path,
    copy: Path,
    *,
    progress: Progress = lambda _: None,
) -> int:
    """Copy the library's own files for a copy of it; gives how many there were.

    Raises `UserError` where one cannot be read or written.
    """
    own = [file for file in files if file.keeping is Keeping.COPIED]
    made = 0
    for k, file in enumerate(own):
        source, target = whereabouts(file, library), whereabouts(file, copy)
        if target.exists() or not source.is_file():
            continue
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            _copy(source, target, _part_of(progress, k, len(own)))
        except OSError as error:
            raise UserError(
                f"“{source.name}” could not be copied to {target.parent}: "
                f"{error.strerror}."
            ) from error
        made += 1
    return made


def _copy(source: Path, target: Path, progress: Progress) -> None:
    """Written beside its place and then renamed, so that it is whole or not there."""
    part = target.with_name(f"{target.name}.part")
    try:
        size = max(1, source.stat().st_size)
        done = 0
        with source.open("rb") as reading, part.open("wb") as writing:
            while piece := reading.read(_PIECE):
                writing.write(piece)
                done += len(piece)
                progress(min(1.0, done / size))
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def _part_of(progress: Progress, number: int, count: int) -> Progress:
    return lambda fraction: progress((number + fraction) / count)


def _free_name(path: Path) -> Path:
    number = 2
    free = path
    while free.exists():
        free = path.with_name(f"{path.stem} {number}{path.suffix}")
        number += 1
    return free


def _is_known(path: Path, library: Path | None, known: Sequence[ElevationFile]) -> bool:
    return any(_is_same(path, whereabouts(file, library)) for file in known)


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False
