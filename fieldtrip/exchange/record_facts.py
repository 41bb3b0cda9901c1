"""A record's plain fields as names and words for a file, and back.

Files carry them beside name, notes and positions, so that a place which goes out
comes in as it was.  What a person must have seen is not among them: see `PERSONAL`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import fields
from datetime import date, time
from enum import StrEnum
from types import NoneType
from typing import Any, get_args, get_type_hints

from fieldtrip.exchange.found import Facts
from fieldtrip.places.seasons import MonthDay, OpenHours, Season

# Nobody else's word counts for these: they come in as not known.
PERSONAL = frozenset({"walked_in_daylight", "confirmed", "last_confirmed", "stays_dry"})
# Carried by the format itself, or of no meaning outside this library.
_APART = frozenset({"id", "name", "notes", "text", "position", "line"})
_YES_NO = {"yes": True, "no": False}


def facts_of(record: Any) -> Facts:
    """What is known in a record's plain fields; the field `kind` is called ``sort``."""
    return tuple(
        (_told_as(name), _word(getattr(record, name)))
        for name in _readers(type(record))
        if getattr(record, name) not in (None, "")
    )


def fields_from(kind: type, facts: Mapping[str, str]) -> dict[str, Any]:
    """The fields of a record that facts fill; what cannot be read stays not known."""
    found = {}
    for name, read in _readers(kind).items():
        word = facts.get(_told_as(name))
        if word is not None:
            with suppress(ValueError, TypeError, KeyError):
                found[name] = read(word)
    return found


def _told_as(name: str) -> str:
    return "sort" if name == "kind" else name


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, Season):
        return "/".join(
            f"--{d.month:02d}-{d.day:02d}" for d in (value.first, value.last)
        )
    if isinstance(value, OpenHours):
        return f"{value.opens:%H:%M}/{value.shuts:%H:%M}"
    return value.isoformat() if isinstance(value, date) else str(value)


def _readers(kind: Any) -> dict[str, Callable[[str], Any]]:
    """How each plain field of a kind of record is read."""
    hints = get_type_hints(kind)
    found = {}
    for field in fields(kind):
        hint = hints[field.name]
        plain = [t for t in get_args(hint) or (hint,) if t is not NoneType]
        if field.name in _APART | PERSONAL or len(plain) != 1:
            continue
        read = _reader(plain[0])
        if read is not None:
            found[field.name] = read
    return found


def _season(word: str) -> Season:
    """Days of every year, as XML Schema's gMonthDay: ``--05-01/--07-31``."""
    first, last = (
        MonthDay(*(int(number) for number in day.removeprefix("--").split("-")))
        for day in word.split("/")
    )
    return Season(first, last)


def _hours(word: str) -> OpenHours:
    """Clock times: ``09:00/18:00``."""
    opens, shuts = (time.fromisoformat(clock) for clock in word.split("/"))
    return OpenHours(opens, shuts)


def _reader(plain: Any) -> Callable[[str], Any] | None:
    if plain is bool:
        return _YES_NO.__getitem__
    if plain is date:
        return date.fromisoformat
    if plain is Season:
        return _season
    if plain is OpenHours:
        return _hours
    if plain in (str, int, float) or (
        isinstance(plain, type) and issubclass(plain, StrEnum)
    ):
        reader: Callable[[str], Any] = plain
        return reader
    return None  # ids of other records
