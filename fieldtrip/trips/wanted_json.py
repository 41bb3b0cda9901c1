"""Conditions as plain values, as the library keeps them and a request file holds them.

A condition is a dict with the word ``want`` and one entry for each of its parts;
a part that may be left out and is, stands as the record's own default.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from datetime import time
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.trips import wanted
from fieldtrip.trips.wanted import Condition

WORDS: dict[str, type[Condition]] = {
    "sun_band": wanted.SunBand,
    "around_event": wanted.AroundEvent,
    "alignment": wanted.Alignment,
    "light_from": wanted.LightFrom,
    "subject_light": wanted.SubjectLight,
    "moon_is": wanted.MoonIs,
    "moon_lit": wanted.MoonLit,
    "galactic_centre_up": wanted.GalacticCentreUp,
    "water_level": wanted.WaterLevel,
    "around_turn": wanted.AroundTurn,
    "tide_range": wanted.TideRange,
    "way_open": wanted.WayOpen,
    "trip_possible": wanted.TripPossible,
    "clock_time": wanted.ClockTime,
    "on_weekdays": wanted.OnWeekdays,
    "in_season": wanted.InSeason,
    "allowed": wanted.Allowed,
    "weather": wanted.Weather,
}
_WORD_OF = {condition: word for word, condition in WORDS.items()}
_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_MONTH_DAY = re.compile(r"(\d\d)-(\d\d)")


def condition_to_json(condition: Condition) -> dict[str, object]:
    """A condition as strings, numbers, lists and dicts."""
    found: dict[str, object] = {"want": _WORD_OF[type(condition)]}
    for part in fields(condition):
        found[part.name] = _plain(getattr(condition, part.name))
    return found


def condition_from_json(value: object) -> Condition:
    """The condition of such a value.  Raises `UserError` in one sentence."""
    if not isinstance(value, Mapping):
        raise UserError(
            "A condition is a set of parts in braces, “want” among them, not "
            f"{_shown(value)}."
        )
    word = value.get("want")
    if not isinstance(word, str) or word not in WORDS:
        raise UserError(
            f"A condition cannot want {_shown(word)}; “want” is one of "
            f"{', '.join(WORDS)}."
            if "want" in value
            else "A condition needs “want”, which says what sort it is."
        )
    sort = WORDS[word]
    parts = {part.name: part for part in fields(sort)}
    for name in value:
        if name != "want" and name not in parts:
            raise UserError(_no_such_part(word, name, tuple(parts)))
    hints = get_type_hints(sort)
    given: dict[str, Any] = {}
    for name, part in parts.items():
        if name in value:
            given[name] = _read(value[name], hints[name], f"“{name}” of “{word}”")
        elif not _may_be_left_out(part):
            raise UserError(f"The condition “{word}” needs “{name}”.")
    condition: Condition = sort(**given)
    if faults := condition.faults():
        raise UserError(faults[0])
    return condition


def _plain(value: object) -> object:
    match value:
        case Enum():
            return value.name.lower()
        case UUID():
            return str(value)
        case OpenHours():
            return {
                "opens": f"{value.opens:%H:%M}",
                "shuts": f"{value.shuts:%H:%M}",
            }
        case Season():
            return {
                "first": _month_day_text(value.first),
                "last": _month_day_text(value.last),
            }
        case tuple():
            return [_plain(each) for each in value]
        case _:
            return value


def _read(value: object, hint: Any, what: str) -> Any:
    """A part's value from its plain form, by the type that the record gives it."""
    if get_origin(hint) in (Union, UnionType):
        if value is None:
            return None
        (hint,) = (each for each in get_args(hint) if each is not NoneType)
    if hint is float:
        return _number(value, what)
    if hint is bool:
        return _is(value, bool, what, "true or false")
    if hint is UUID:
        return _uuid(value, what)
    if hint is OpenHours:
        opens, shuts = _pair(value, what, ("opens", "shuts"))
        return OpenHours(_clock(opens, what), _clock(shuts, what))
    if hint is Season:
        first, last = _pair(value, what, ("first", "last"))
        return Season(_month_day(first, what), _month_day(last, what))
    if get_origin(hint) is tuple:
        return tuple(
            _is(each, int, what, "a list of whole numbers")
            for each in _is(value, list, what, "a list of whole numbers")
        )
    return _word(value, hint, what)


def _number(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UserError(f"{what} must be a number, not {_shown(value)}.")
    try:
        return float(value)
    except OverflowError as error:
        raise UserError(f"{what} is too large a number.") from error


def _is(value: object, kind: type, what: str, wanted_words: str) -> Any:
    # True is an int to Python, and no number to whoever wrote it.
    if isinstance(value, kind) and (kind is bool or not isinstance(value, bool)):
        return value
    raise UserError(f"{what} must be {wanted_words}, not {_shown(value)}.")


def _uuid(value: object, what: str) -> UUID:
    try:
        return UUID(value if isinstance(value, str) else "")
    except ValueError as error:
        raise UserError(f"{what} must be an id, not {_shown(value)}.") from error


def _pair(value: object, what: str, names: tuple[str, str]) -> tuple[object, object]:
    if not isinstance(value, Mapping) or set(value) != set(names):
        raise UserError(
            f"{what} needs “{names[0]}” and “{names[1]}”, not {_shown(value)}."
        )
    return value[names[0]], value[names[1]]


def _clock(value: object, what: str) -> time:
    if not isinstance(value, str) or not _CLOCK.fullmatch(value):
        raise UserError(
            f"{what} needs times of the clock such as 06:30, not {_shown(value)}."
        )
    return time.fromisoformat(value)


def _month_day(value: object, what: str) -> MonthDay:
    found = _MONTH_DAY.fullmatch(value) if isinstance(value, str) else None
    try:
        if found is not None:
            return MonthDay(int(found[1]), int(found[2]))
    except ValueError:
        pass  # 30 February; the same sentence serves
    raise UserError(
        f"{what} needs days of the year such as 04-30, month first, "
        f"not {_shown(value)}."
    )


def _month_day_text(day: MonthDay) -> str:
    return f"{day.month:02d}-{day.day:02d}"


def _word(value: object, sort: type[Enum], what: str) -> Enum:
    words = {each.name.lower(): each for each in sort}
    if not isinstance(value, str) or value not in words:
        raise UserError(
            f"{what} must be one of {', '.join(words)}, not {_shown(value)}."
        )
    return words[value]


def _may_be_left_out(part: Field[Any]) -> bool:
    return part.default is not MISSING or part.default_factory is not MISSING


def _no_such_part(word: str, name: object, parts: tuple[str, ...]) -> str:
    known = f"it has {', '.join(parts)}" if parts else "it has none"
    return f"The condition “{word}” has no part {_shown(name)}; {known}."


def _shown(value: object) -> str:
    """What was given, short enough for a sentence."""
    match value:
        case None:
            return "nothing"
        case bool():
            return "true" if value else "false"
        case str() if len(value) <= 40:
            return f"“{value}”"
        case int() | float() if abs(value) < 1e15:
            return f"{value}"
    kinds: dict[type, Literal["a long text", "a list", "a dictionary", "that"]] = {
        str: "a long text",
        list: "a list",
        dict: "a dictionary",
    }
    return kinds.get(type(value), "that")
