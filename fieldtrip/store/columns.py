"""Column types for values that SQLite has no word for.  Private to `fieldtrip.store`.

All are kept as text.  Numbers are written as Python's `repr` writes them and
instants to the microsecond, so what comes back equals what was put in.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime, time
from enum import StrEnum
from typing import Any, TypeVar

from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.store.differences import packed, unpacked
from fieldtrip.tides.constants import Constant
from fieldtrip.tides.records import Turn
from fieldtrip.tides.stations import KnownDifferences
from fieldtrip.trips.records import RecordedFinding
from fieldtrip.trips.wanted import Condition
from fieldtrip.trips.wanted_json import condition_from_json, condition_to_json
from fieldtrip.weather.records import ForecastHour

E = TypeVar("E", bound=StrEnum)


class Instant(TypeDecorator[datetime]):
    """An aware instant, as ``2026-08-15T14:43:00.000000Z``: sorts as it reads."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file."""
        return None if value is None else instant_text(value)

    def process_result_value(self, value: Any, _: Dialect) -> datetime | None:
        """From the file to Python."""
        return None if value is None else instant_of(value)


class Choice(TypeDecorator[E]):
    """One of the words of an enumeration, as the word itself."""

    impl = Text
    cache_ok = True

    def __init__(self, words: type[E]) -> None:
        super().__init__()
        self.words = words

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file; a word that is none of them is refused."""
        return None if value is None else self.words(value).value

    def process_result_value(self, value: Any, _: Dialect) -> E | None:
        """From the file to Python."""
        return None if value is None else self.words(value)


class Yearly(TypeDecorator[Season]):
    """A season of every year, as ``--03-01/--07-31``.

    Source: ISO 8601:2000, 5.2.1.3 d) for the days, 5.5 for the slash.
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file."""
        if value is None:
            return None
        first, last = value.first, value.last
        return f"--{first.month:02}-{first.day:02}/--{last.month:02}-{last.day:02}"

    def process_result_value(self, value: Any, _: Dialect) -> Season | None:
        """From the file to Python.  Raises `ValueError` for what is no season."""
        if value is None:
            return None
        days = (part.removeprefix("--").split("-") for part in value.split("/"))
        first, last = (MonthDay(int(month), int(day)) for month, day in days)
        return Season(first, last)


class Hours(TypeDecorator[OpenHours]):
    """From one clock time to another, as ``08:00/18:30``."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file; hours are kept to the minute."""
        return None if value is None else f"{value.opens:%H:%M}/{value.shuts:%H:%M}"

    def process_result_value(self, value: Any, _: Dialect) -> OpenHours | None:
        """From the file to Python.  Raises `ValueError` for what is no time."""
        if value is None:
            return None
        opens, shuts = (time.fromisoformat(part) for part in value.split("/"))
        return OpenHours(opens, shuts)


class Many(TypeDecorator[tuple[Any, ...]]):
    """A tuple of small values, as JSON."""

    impl = Text
    cache_ok = True

    def __init__(
        self, pack: Callable[[Any], object], unpack: Callable[[Any], object]
    ) -> None:
        super().__init__()
        self.pack = pack
        self.unpack = unpack

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file."""
        if value is None:
            return None
        packed = [self.pack(item) for item in value]
        return json.dumps(packed, ensure_ascii=False, allow_nan=False)

    def process_result_value(self, value: Any, _: Dialect) -> tuple[Any, ...]:
        """From the file to Python.  Raises `ValueError` for what nobody packed."""
        try:
            return tuple(self.unpack(item) for item in json.loads(value))
        except (TypeError, KeyError) as error:
            raise ValueError(f"{error} in {value[:80]!r}") from error


class Differing(TypeDecorator[KnownDifferences]):
    """How a secondary port differs from its standard port, as JSON with its form."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, _: Dialect) -> str | None:
        """From Python to the file."""
        return None if value is None else json.dumps(packed(value), allow_nan=False)

    def process_result_value(self, value: Any, _: Dialect) -> KnownDifferences | None:
        """From the file to Python.  Raises `ValueError` for what nobody packed."""
        return None if value is None else unpacked(value)


def line_column() -> Many:
    """A line of positions: ``[[lat_deg, lon_deg], ...]``."""
    return Many(_pack_position, _unpack_position)


def turn_column() -> Many:
    """High and low waters: ``[[instant, height_m, is_high], ...]``."""
    return Many(_pack_turn, _unpack_turn)


def constant_column() -> Many:
    """Harmonic constants: ``[[name, amplitude_m, greenwich_phase_deg], ...]``."""
    return Many(_pack_constant, _unpack_constant)


def hour_column() -> Many:
    """Hours of a forecast, by the names of their fields; the unknown are absent."""
    return Many(_pack_hour, _unpack_hour)


def condition_column() -> Many:
    """Wanted conditions, as `wanted_json` writes them."""
    return Many(condition_to_json, _unpack_condition)


def finding_column() -> Many:
    """Recorded findings, by the names of their fields."""
    return Many(asdict, _unpack_finding)


def instant_text(instant: datetime) -> str:
    """An instant in UTC, to the microsecond.  Raises `ValueError` without a zone."""
    if instant.tzinfo is None:
        raise ValueError(f"{instant} says no zone")
    utc = instant.astimezone(UTC).replace(tzinfo=None)
    return f"{utc.isoformat(timespec='microseconds')}Z"


def instant_of(text: str) -> datetime:
    """The inverse of `instant_text`."""
    return datetime.fromisoformat(text).astimezone(UTC)


def _pack_position(position: Position) -> list[float]:
    return [position.lat_deg, position.lon_deg]


def _unpack_position(packed: list[float]) -> Position:
    return Position(*packed)


def _pack_turn(turn: Turn) -> list[object]:
    return [instant_text(turn.instant), turn.height_m, turn.is_high]


def _unpack_turn(packed: list[Any]) -> Turn:
    when, height_m, is_high = packed
    return Turn(instant_of(when), height_m, is_high)


def _pack_constant(constant: Constant) -> list[object]:
    return [constant.name, constant.amplitude_m, constant.greenwich_phase_deg]


def _unpack_constant(packed: list[Any]) -> Constant:
    name, amplitude_m, greenwich_phase_deg = packed
    return Constant(name, amplitude_m, greenwich_phase_deg)


def _pack_hour(hour: ForecastHour) -> dict[str, object]:
    known = {name: value for name, value in asdict(hour).items() if value is not None}
    return known | {"instant": instant_text(hour.instant)}


def _unpack_hour(packed: dict[str, Any]) -> ForecastHour:
    return ForecastHour(**packed | {"instant": instant_of(packed["instant"])})


def _unpack_condition(packed: object) -> Condition:
    try:
        return condition_from_json(packed)
    except UserError as error:
        raise ValueError(str(error)) from error


def _unpack_finding(packed: dict[str, str]) -> RecordedFinding:
    return RecordedFinding(**packed)
