"""Conditions as plain values for a file or a request, and back.

A condition is an object whose ``"want"`` says which; its other members bear the
names of the fields.  What may be left out has the field's own default.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import MISSING, fields
from datetime import time
from enum import StrEnum
from types import NoneType, UnionType
from typing import Any, get_args, get_type_hints
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.trips.wanted import Condition

_KINDS: dict[str, type[Any]] = {
    re.sub(r"(?<!^)(?=[A-Z])", "_", kind.__name__).lower(): kind
    for kind in get_args(Condition)
}
WANTS = tuple(_KINDS)  # the words that "want" may be
_WORD_OF = {kind: word for word, kind in _KINDS.items()}


def condition_to_json(condition: Condition) -> dict[str, object]:
    """A condition as plain values; every field is written."""
    found: dict[str, object] = {"want": _WORD_OF[type(condition)]}
    for f in fields(condition):
        found[f.name] = _plain(getattr(condition, f.name))
    return found


def condition_from_json(value: object) -> Condition:
    """The inverse of `condition_to_json`.

    Raises `UserError` for what is no condition, or an unsound one.
    """
    if not isinstance(value, Mapping):
        raise UserError("A condition must be an object with a “want”.")
    word = value.get("want")
    kind = _KINDS.get(word) if isinstance(word, str) else None
    if kind is None:
        raise UserError(
            f"A condition cannot want {word!r}. It may be one of: {', '.join(WANTS)}."
        )
    hints = get_type_hints(kind)
    known = {f.name: f for f in fields(kind)}
    for name in value:
        if name != "want" and name not in known:
            raise UserError(f"A condition “{word}” has no “{name}”.")
    found: dict[str, Any] = {}
    for name, f in known.items():
        if name in value:
            try:
                found[name] = _value(hints[name], value[name])
            except (ValueError, TypeError, KeyError):
                raise UserError(
                    f"The “{name}” of the condition “{word}” cannot be {value[name]!r}."
                ) from None
        elif f.default is MISSING:
            raise UserError(f"The condition “{word}” needs a “{name}”.")
    condition: Condition = kind(**found)
    faults = condition.faults()
    if faults:
        raise UserError(" ".join(faults))
    return condition


def _plain(value: object) -> object:
    match value:
        case StrEnum():
            return value.value
        case UUID():
            return str(value)
        case Season(first=first, last=last):
            return [f"{day.month:02}-{day.day:02}" for day in (first, last)]
        case OpenHours(opens=opens, shuts=shuts):
            return [f"{clock:%H:%M}" for clock in (opens, shuts)]
        case tuple():
            return list(value)
    return value


def _value(hint: Any, value: Any) -> Any:
    """A plain value as what a field holds.  Raises `ValueError` where it cannot be."""
    if isinstance(hint, UnionType):
        if value is None:
            return None
        hint = next(part for part in get_args(hint) if part is not NoneType)
    if hint is bool:
        return _only(bool, value)
    if hint is float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(value)
        return float(value)
    if hint is UUID:
        return UUID(_only(str, value))
    if hint is Season:
        first, last = (_month_day(part) for part in _only(list, value))
        return Season(first, last)
    if hint is OpenHours:
        opens, shuts = (time.fromisoformat(part) for part in _only(list, value))
        return OpenHours(opens, shuts)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint(_only(str, value))
    return tuple(_whole(part) for part in _only(list, value))


def _only(kind: type[Any], value: Any) -> Any:
    if not isinstance(value, kind):
        raise ValueError(value)
    return value


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(value)
    return value


def _month_day(text: str) -> MonthDay:
    month, day = text.split("-")
    return MonthDay(int(month), int(day))
