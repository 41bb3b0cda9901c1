"""The map material of this machine: what lies below our own layers, in which order."""

from __future__ import annotations

import json
import logging
from contextlib import closing
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.errors import UserError
from fieldtrip.material.records import (
    Kind,
    Material,
    Stack,
    changed,
    kept_values,
    moved,
    stack_from,
    usual_stack,
)
from fieldtrip.material.tile_file import SUFFIX, TileFile

log = logging.getLogger(__name__)


class MaterialShelf(QObject):
    """Holds one stack at a time, and keeps it in a file if given one.

    It belongs to the machine and not to a library: paths and servers do.
    """

    changed = Signal()

    def __init__(self, file: Path | None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._file = file
        # Without a file it is the demo, which has a drawing of its own.
        self._stack = read_stack(file) if file else usual_stack(has_coast=False)

    @property
    def stack(self) -> Stack:
        """The sheets, the uppermost first."""
        return self._stack

    def turn_to(self, file: Path) -> None:
        """Take up the stack of a file, and keep it there from now on."""
        if file != self._file:
            self._file = file
            self._stack = read_stack(file)
            self.changed.emit()

    def find(self, material_id: UUID | None) -> Material | None:
        """A sheet by its id."""
        return next((each for each in self._stack if each.id == material_id), None)

    def add(self, material: Material) -> Material:
        """Lay a sheet on top; the same file is not laid twice, but switched on."""
        for each in self._stack:
            if material.source and (each.kind, each.source) == (
                material.kind,
                material.source,
            ):
                if material.kind is not Kind.SERVER:
                    self.change(each.id, is_on=True)
                return each
        self._put((material, *self._stack))
        return material

    def remove(self, material_id: UUID) -> None:
        """Take a sheet away; the coastline can only be switched off."""
        self._put(
            tuple(
                each
                for each in self._stack
                if each.id != material_id or each.kind is Kind.COAST
            )
        )

    def change(self, material_id: UUID, **values: Any) -> None:
        """Change some values of a sheet."""
        self._put(changed(self._stack, material_id, **values))

    def move(self, material_id: UUID, by: int) -> None:
        """Lay a sheet so many places lower; below 0, higher."""
        self._put(moved(self._stack, material_id, by))

    def _put(self, stack: Stack) -> None:
        if stack == self._stack:
            return
        self._stack = stack
        if self._file is not None:
            write_stack(stack, self._file)
        self.changed.emit()


def read_stack(file: Path) -> Stack:
    """The stack kept in a file; the usual one where there is none.

    A file that is not what we wrote is put aside under another name.
    """
    try:
        kept: Any = json.loads(file.read_text("utf-8"))
        return stack_from(kept["sheets"])
    except FileNotFoundError:
        return usual_stack()
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        log.info("map material in %s cannot be read; using the usual one", file)
    try:
        file.replace(file.with_suffix(".damaged"))
    except OSError:
        log.info("%s could not be put aside", file)
    return usual_stack()


def write_stack(stack: Stack, file: Path) -> None:
    """Keep the stack; a disk that refuses costs the order, not the session."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        part.write_text(json.dumps({"sheets": kept_values(stack)}, indent=1), "utf-8")
        part.replace(file)
    except OSError:
        log.info("map material cannot be kept in %s", file)


def material_from_file(path: Path) -> Material:
    """A sheet for a file of map pictures or a drawing, told apart by what is in it.

    Raises `UserError` for map pictures that cannot be shown, and for other files.
    """
    try:
        with path.open("rb") as file:
            head = file.read(64)
    except OSError as error:
        raise UserError(f"“{path.name}” cannot be opened: {error.strerror}.") from error
    source = str(path.absolute())
    if head.startswith(b"SQLite format 3\0") or path.suffix.lower() == SUFFIX:
        with closing(TileFile(path)) as tiles:
            name = tiles.facts.name
        return Material(kind=Kind.PICTURES, name=name, source=source)
    if head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return Material(kind=Kind.DRAWING, name=path.stem, source=source)
    raise UserError(
        f"“{path.name}” is neither a file of map pictures (MBTiles) nor a drawing "
        "(GeoJSON)."
    )
