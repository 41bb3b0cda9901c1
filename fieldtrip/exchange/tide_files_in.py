"""Any tide file, told apart by what is in it; and files that belong together.

Nothing is half-read: a file is read whole, or one sentence says why not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.coops_annual import is_coops_annual, read_coops_annual
from fieldtrip.exchange.coops_tables import (
    is_coops_csv,
    read_coops_csv,
    read_coops_json,
)
from fieldtrip.exchange.format_13 import is_format_13, read_format_13
from fieldtrip.exchange.linz_table import is_linz, read_linz
from fieldtrip.exchange.tide_bytes import json_of, one_line, text_of
from fieldtrip.exchange.tide_columns import Columns, Table, read_columns, table_of
from fieldtrip.exchange.tide_constants_json import (
    DATUMS,
    HARCON,
    read_datums,
    read_harcon,
    read_own_station,
)
from fieldtrip.exchange.tide_file import TideFile, TideKind
from fieldtrip.exchange.tide_text import LONGEST_TEXT

SUFFIXES = (".csv", ".txt", ".json", ".dat", ".tsv", ".asc")


@dataclass(frozen=True, slots=True)
class Unsettled:
    """A CSV of which nobody has said yet which column holds what."""

    name: str
    table: Table


def read_tide_file(
    data: bytes, name: str, columns: Mapping[str, Columns] | None = None
) -> TideFile | Unsettled:
    """Read a file; `columns` are those settled before, by the line of heading.

    Raises `UserError`, one sentence that names the file, for anything that is no
    whole tide file.
    """
    try:
        return _read(text_of(data), name, columns or {})
    except UserError as error:
        raise UserError(f"{name}: {error}") from error


def belonging(files: Sequence[TideFile]) -> tuple[TideFile, ...]:
    """Files of one port: constants with their levels are one, tables stay several.

    Raises `UserError` where they do not belong together.
    """
    kinds = {file.kind for file in files}
    if kinds == {TideKind.CONSTANTS, TideKind.LEVELS} and len(files) == 2:
        constants, levels = sorted(files, key=lambda f: f.kind is TideKind.LEVELS)
        return (_with_levels(constants, levels),)
    if TideKind.LEVELS in kinds:
        raise UserError(
            "Levels alone give no tide: choose the constants of the station "
            "(harcon.json) with them."
        )
    if len(files) > 1:
        _refuse_strangers(files)
    return tuple(files)


def _read(text: str, name: str, columns: Mapping[str, Columns]) -> TideFile | Unsettled:
    if text.startswith(("{", "[")):
        return _of_json(text, name)
    if is_coops_csv(text):
        return read_coops_csv(text, name)
    if is_coops_annual(text):
        return read_coops_annual(text, name)
    if is_linz(text):
        return read_linz(text, name)
    if is_format_13(text):
        return read_format_13(text, name)
    if text.casefold().startswith("error"):
        raise UserError(f"The service answered with an error: {one_line(text)}")
    table = table_of(text)
    if table is not None:
        settled = columns.get(table.heading)
        if settled is None:
            return Unsettled(name, table)
        return read_columns(text, name, settled)
    if len(text) > LONGEST_TEXT or not any(c.isdigit() for c in text[:10_000]):
        raise UserError("This is no tide file of a sort that is read here.")
    return TideFile(
        name=name, kind=TideKind.TURNS, layout="High and low waters as text", text=text
    )


def _of_json(text: str, name: str) -> TideFile:
    found = json_of(text)
    if not isinstance(found, dict):
        raise UserError("This JSON is no tide file.")
    if "error" in found:
        raise UserError(f"The service answered with an error: {_message(found)}")
    if "predictions" in found:
        return read_coops_json(found, name)
    if HARCON in found:
        return read_harcon(found, name)
    if DATUMS in found:
        return read_datums(found, name)
    if "constants" in found:
        return read_own_station(found, name)
    raise UserError("This JSON holds neither heights, nor constants, nor levels.")


def _message(found: dict[str, Any]) -> str:
    error = found["error"]
    return one_line(error.get("message", "") if isinstance(error, dict) else error)


def _with_levels(constants: TideFile, levels: TideFile) -> TideFile:
    """Constants with how far the mean sea level lies above MLLW."""
    if constants.levels:
        raise UserError(
            f"{constants.name} says its own mean level; leave out the other."
        )
    by_name = dict(levels.levels)
    if not {"MSL", "MLLW"} <= set(by_name):
        raise UserError(f"{levels.name} does not give both MSL and MLLW.")
    return replace(
        constants,
        datum=constants.datum or "MLLW",
        levels=levels.levels,
        levels_unit=levels.levels_unit,
        notes=(*constants.notes, *levels.notes),
    )


def _refuse_strangers(files: Sequence[TideFile]) -> None:
    """Tables of one port say the same of it."""
    first, *others = files
    for other in others:
        if other.kind is not first.kind or first.kind is TideKind.CONSTANTS:
            raise UserError(
                f"{first.name} and {other.name} do not belong together: choose one "
                "with constants, or tables of one sort."
            )
        for fact in ("port", "zone", "datum", "unit", "has_summer_time"):
            if getattr(first, fact) != getattr(other, fact):
                word = "clock" if fact == "has_summer_time" else fact
                raise UserError(
                    f"{first.name} and {other.name} do not state the same {word}; "
                    "bring them in one by one."
                )
