"""What records are called in sentences, and what no record may hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    CrossingObservation,
    Hazard,
    Leg,
    Location,
    Permit,
    Refuge,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.terrain.records import ElevationFile
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.stations import Station
from fieldtrip.trips.records import (
    CheckRun,
    DateSearch,
    Gate,
    Stop,
    Tick,
    Trip,
    Walk,
)
from fieldtrip.weather.records import Forecast

KINDS: dict[type[Any], str] = {
    Station: "tide station",
    Location: "location",
    VantagePoint: "vantage point",
    Photograph: "reference photograph",
    Subject: "subject",
    AccessRoute: "access route",
    Refuge: "refuge",
    StartPlace: "start place",
    Leg: "leg",
    CrossingObservation: "observation of a crossing",
    Hazard: "hazard",
    AccessNote: "access note",
    Permit: "permit",
    Closure: "closure",
    TideTable: "tide table",
    Forecast: "forecast",
    Trip: "trip",
    Stop: "stop",
    Walk: "walk",
    Gate: "gate",
    DateSearch: "search for dates",
    ElevationFile: "elevation file",
    Tick: "tick",
    CheckRun: "check run",
}
_LARGEST_COUNT = 2**31 - 1


def called(record: object) -> str:
    """How a record is named in a sentence: the location “Long Strand”, this stop."""
    kind = KINDS[type(record)]
    name = getattr(record, "name", "") or getattr(record, "port", "")
    return f"The {kind} “{name}”" if name else f"This {kind}"


def counted(count: int, kind: type[Any]) -> str:
    """How many of a kind, as in “1 stop” or “3 check runs”."""
    if kind is CrossingObservation and count != 1:
        return f"{count} observations of a crossing"
    if kind is DateSearch and count != 1:
        return f"{count} searches for dates"
    return f"{count} {KINDS[kind]}{'' if count == 1 else 's'}"


def unkeepable(record: object) -> list[str]:
    """What the file could not give back as it was put in, in plain sentences."""
    found = []
    for value in _values(record):
        if isinstance(value, str) and not is_keepable(value):
            found.append(
                f"{called(record)} holds a character that is no text "
                "(a null character or half a symbol). Delete it and type it again."
            )
        if isinstance(value, int) and abs(value) > _LARGEST_COUNT:
            found.append(f"{called(record)} holds a number that is too large: {value}.")
    return found


def is_keepable(text: str) -> bool:
    """Whether a text has neither null characters nor halves of surrogate pairs."""
    if "\0" in text:
        return False
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _values(value: object) -> Iterator[object]:
    if is_dataclass(value):
        for f in fields(value):
            yield from _values(getattr(value, f.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from _values(item)
    else:
        yield value
