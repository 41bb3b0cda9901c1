"""Tide files as they are opened: what they say, and what somebody has to say."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_bytes import LARGEST_FILE
from fieldtrip.exchange.tide_columns import Columns, columns_of, table_of
from fieldtrip.exchange.tide_facts import (
    asked,
)
from fieldtrip.exchange.tide_file import TideFile, TideKind
from fieldtrip.exchange.tide_files_in import Unsettled, belonging, read_tide_file
from fieldtrip.tides.fit import SHORTEST


class Becomes(StrEnum):
    """What files become."""

    TABLE = "a printed table of this location"
    FIT = "a tide station, its curve found from these tides"
    CONSTANTS = "a tide station with these constants"


@dataclass(frozen=True, slots=True)
class Opened:
    """Files as they were read."""

    files: tuple[TideFile, ...] = ()
    tables: tuple[Unsettled, ...] = ()  # CSVs of any layout, settled or not
    unsettled: tuple[Unsettled, ...] = ()
    faults: tuple[str, ...] = ()


def open_files(
    paths: Sequence[Path],
    columns: Mapping[str, str],
    progress: Callable[[float], None] | None = None,
) -> Opened:
    """Read files; those of one port together.  `columns` are those remembered."""
    files: list[TideFile] = []
    tables: list[Unsettled] = []
    unsettled: list[Unsettled] = []
    faults: list[str] = []
    known = _known(columns)
    for number, path in enumerate(paths):
        if progress is not None:
            progress(number / len(paths))
        try:
            data = _bytes(path)
            found = read_tide_file(data, path.name, known)
        except UserError as error:
            faults.append(str(error))
            continue
        if isinstance(found, Unsettled):
            tables.append(found)
            unsettled.append(found)
        else:
            files.append(found)
            if found.layout.startswith("CSV with chosen columns"):
                table = table_of(data.decode("utf-8-sig", "replace"))
                tables += [Unsettled(found.name, table)] if table else []
    belong: tuple[TideFile, ...] = ()
    if files and not faults and not unsettled:
        try:
            belong = belonging(files)
        except UserError as error:
            faults.append(str(error))
    return Opened(belong, tuple(tables), tuple(unsettled), tuple(faults))


def unsaid(opened: Opened) -> tuple[str, ...]:
    """Which of zone, unit, datum, port and z0 somebody has to say."""
    return asked(opened.files[0]) if opened.files else ()


def said(opened: Opened) -> dict[str, str]:
    """What the files say of zone, unit and datum, so that nobody can say otherwise."""
    if not opened.files:
        return {}
    first = opened.files[0]
    zone = first.zone or (
        "UTC" if first.is_timed and "zone" not in unsaid(opened) else ""
    )
    found = {"zone": zone, "unit": first.unit, "datum": first.datum}
    return {fact: text for fact, text in found.items() if text}


def hint(opened: Opened) -> str:
    """What the files say of themselves, and of their clock without naming a zone."""
    if not opened.files:
        return ""
    if opened.files[0].zone or not opened.files[0].is_timed:
        words = " and ".join(said(opened))
        return f"The file says its {words}." if words else ""
    match opened.files[0].has_summer_time:
        case True:
            return "The file says: local time, with summer time. Choose its zone."
        case False:
            return "The file says: local standard time all year. Choose its offset."
        case None:
            return ""


def choices_of(files: tuple[TideFile, ...]) -> tuple[Becomes, ...]:
    """What files of this sort may become."""
    match files[0].kind:
        case TideKind.CONSTANTS:
            return (Becomes.CONSTANTS,)
        case TideKind.SERIES:
            return (Becomes.FIT,)
        case _:
            return (Becomes.TABLE, Becomes.FIT) if _is_long(files) else (Becomes.TABLE,)


def _known(columns: Mapping[str, str]) -> dict[str, Columns]:
    found = {}
    for heading, text in columns.items():
        try:
            found[heading] = columns_of(text)
        except UserError:
            continue  # of a damaged settings file: asked anew
    return found


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise UserError(f"“{path.name}” is a folder; choose the files in it.")
        if path.stat().st_size > LARGEST_FILE:
            raise UserError(f"{path.name}: This file is too large for a tide file.")
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise UserError(f"{path.name} cannot be read: {reason}.") from error


def _is_long(files: tuple[TideFile, ...]) -> bool:
    """Whether the clock times alone span a year; gaps are told later."""
    if any(file.text for file in files):
        return True  # told once it is read
    clocks = [r.clock.replace(tzinfo=None) for f in files for r in f.turns or f.series]
    return max(clocks) - min(clocks) >= SHORTEST
