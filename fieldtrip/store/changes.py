"""Any edit at all, as two values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol
from uuid import UUID


class Record(Protocol):
    """Anything the store can keep: a frozen dataclass with an id."""

    @property
    def id(self) -> UUID:
        """Made by the program, never by the database, so that redo restores it."""

    def faults(self) -> list[str]:
        """What is wrong with it, in plain sentences."""


@dataclass(frozen=True, slots=True)
class Change:
    """A record before and after; None before means added, None after removed."""

    before: Record | None
    after: Record | None

    def reversed(self) -> Change:
        """The change that takes this one back."""
        return Change(self.after, self.before)

    @property
    def record(self) -> Record:
        """The record it speaks of, after it if that is still there.

        Raises `ValueError` for a change of nothing, or of one record into another.
        """
        record = self.after if self.after is not None else self.before
        if record is None:
            raise ValueError("a change of nothing")
        if self.before is not None and (
            type(self.before) is not type(record) or self.before.id != record.id
        ):
            raise ValueError("a change of one record into another")
        return record


def undoing(changes: Sequence[Change]) -> list[Change]:
    """The changes that take all of `changes` back, last one first."""
    return [change.reversed() for change in reversed(changes)]
