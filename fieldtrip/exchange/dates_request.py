"""A request for dates as a JSON file: a place, what is known there, what is wanted.

Its form is told in ``resources/help/dates_request.md``.  Nothing in it is guessed:
what a condition needs and the request does not say, is not known.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import Any, TypeVar
from uuid import uuid4

from fieldtrip.errors import UserError
from fieldtrip.exchange.station_file import read_station
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessRoute,
    Ground,
    Leg,
    Location,
    Shore,
    Subject,
    VantagePoint,
)
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import zone_of
from fieldtrip.trips.date_search import search_span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import SeaState, Trip
from fieldtrip.trips.situation import Situation, situation_of
from fieldtrip.trips.wanted import Condition
from fieldtrip.trips.wanted_json import condition_from_json

LONGEST_TEXT = 1_000_000  # characters
MOST_CONDITIONS = 50
Parts = Mapping[str, Any]
Word = TypeVar("Word", bound=Enum)

_REQUEST = ("place", "subject", "tide", "way", "sea", "from", "to", "least_min")
_PLACE = ("name", "lat", "lon", "zone", "ground_m", "eye_height_m", "level_datum")
_SUBJECT = ("name", "lat", "lon", "ground_m", "height_m")
_TIDE = ("name", "datum", "z0_m", "constants", "exposure")
_LEG = (
    "name", "distance_m", "ascent_m", "descent_m", "ground", "is_tidal",
    "shut_above_m", "shut_datum", "shore", "beach_slope",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DatesRequest:
    """What is asked, ready to be searched."""

    situation: Situation
    conditions: tuple[Condition, ...]
    least: timedelta


def read_request(text: str) -> DatesRequest:
    """The request of a file.  Raises `UserError` in one sentence."""
    parts = _object(_json(text), "The request")
    _no_others(parts, (*_REQUEST, "conditions"), "The request")
    place = _object(parts.get("place"), "“place”")
    _no_others(place, _PLACE, "“place”")
    zone = _text(place, "zone", "place")
    zone_of(zone)
    position = _position(place, "place")
    tide = _station(parts.get("tide"), position)
    location = Location(
        name=_text(place, "name", "place", "Place"),
        position=position,
        zone=zone,
        station_id=None if tide is None else tide.id,
        is_station_beyond_headland=False,
    )
    vantage = VantagePoint(
        location_id=location.id,
        name=location.name,
        position=position,
        ground_m=_number(place, "ground_m", "place"),
        eye_height_m=_number(place, "eye_height_m", "place", 1.6) or 0.0,
        level_datum=_text(place, "level_datum", "place", ""),
    )
    subject = _subject(parts.get("subject"), location)
    route, legs = _way(parts.get("way"), location)
    dossier = Dossier(
        location=location,
        vantage_points=(vantage,),
        subjects=() if subject is None else (subject,),
        stations=() if tide is None else (tide,),
        routes=() if route is None else (route,),
        legs=legs,
    )
    _refuse(location.name, location.faults() + vantage.faults())
    for other in dossier.subjects:
        _refuse(other.name, other.faults())
    for station in dossier.stations:
        _refuse(station.name, station.faults())
    for leg in legs:
        _refuse(leg.name, leg.faults())
    span = search_span(_day(parts, "from"), _day(parts, "to"), zone)
    return DatesRequest(
        situation=situation_of(
            dossier,
            span,
            vantage_point=vantage,
            subject=subject,
            trip=_trip(parts.get("sea"), location, _day(parts, "from")),
        ),
        conditions=_conditions(parts.get("conditions")),
        least=timedelta(minutes=_within(parts, "least_min", 0.0, 1_440.0, 1.0)),
    )


def _refuse(name: str, faults: list[str]) -> None:
    if faults:
        raise UserError(f"{name}: {faults[0]}")


def _conditions(value: object) -> tuple[Condition, ...]:
    if not isinstance(value, list) or not value:
        raise UserError("The request needs “conditions”, a list with one or more.")
    if len(value) > MOST_CONDITIONS:
        raise UserError(f"A request has at most {MOST_CONDITIONS} conditions.")
    found: list[Condition] = []
    for number, each in enumerate(value, 1):
        try:
            found.append(condition_from_json(each))
        except UserError as error:
            raise UserError(f"Condition {number}: {error}") from error
    return tuple(found)


def _subject(value: object, location: Location) -> Subject | None:
    if value is None:
        return None
    parts = _object(value, "“subject”")
    _no_others(parts, _SUBJECT, "“subject”")
    return Subject(
        location_id=location.id,
        name=_text(parts, "name", "subject", "Subject"),
        position=_position(parts, "subject"),
        ground_m=_number(parts, "ground_m", "subject"),
        height_m=_number(parts, "height_m", "subject"),
    )


def _station(value: object, position: Position) -> Station | None:
    """The tide at the place itself."""
    if value is None:
        return None
    parts = _object(value, "“tide”")
    _no_others(parts, _TIDE, "“tide”")
    constants = read_station(
        json.dumps({key: parts[key] for key in parts if key != "exposure"})
    )
    return Station(
        name=constants.port,
        kind=StationKind.CONSTANTS,
        datum=constants.datum,
        position=position,
        z0_m=constants.z0_m,
        constants=constants.constants,
        exposure=_word(parts, "exposure", "tide", Exposure),
        is_distorted=False,
        source="the request",
    )


def _way(
    value: object, location: Location
) -> tuple[AccessRoute | None, tuple[Leg, ...]]:
    if value is None:
        return None, ()
    if not isinstance(value, list) or not value:
        raise UserError("“way” is a list of legs, in the order of the way in.")
    route = AccessRoute(location_id=location.id, name="Way", id=uuid4())
    here = location.position
    legs: list[Leg] = []
    for number, each in enumerate(value, 1):
        what = f"leg {number}"
        parts = _object(each, f"“way”, {what},")
        _no_others(parts, _LEG, f"“way”, {what},")
        length_m = _number(parts, "distance_m", what)
        if length_m is None:
            raise UserError(f"“distance_m” of {what} must be a number.")
        legs.append(
            Leg(
                route_id=route.id,
                number=number,
                name=_text(parts, "name", what, f"Leg {number}"),
                line=(here, here),  # how long it is, is said
                distance_m=length_m,
                ascent_m=_number(parts, "ascent_m", what),
                descent_m=_number(parts, "descent_m", what),
                ground=_word(parts, "ground", what, Ground) or Ground.UNKNOWN,
                is_tidal=_flag(parts, "is_tidal", what),
                shut_above_m=_number(parts, "shut_above_m", what),
                shut_datum=_text(parts, "shut_datum", what, ""),
                shore=_word(parts, "shore", what, Shore),
                beach_slope=_number(parts, "beach_slope", what),
            )
        )
    return route, tuple(legs)


def _trip(sea: object, location: Location, day: date) -> Trip | None:
    """What is assumed of the sea on every day; None where nothing is."""
    if sea is None:
        return None
    state = _word({"sea": sea}, "sea", "the request", SeaState)
    return Trip(location_id=location.id, name="Request", day=day, sea=state)


def _json(text: str) -> object:
    if len(text) > LONGEST_TEXT:
        raise UserError("This file is too long for a request.")
    try:
        return json.loads(text, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise UserError(
            f"This file is not whole JSON: line {error.lineno} cannot be read."
        ) from error
    except (RecursionError, ValueError) as error:
        raise UserError("This file is no request for dates.") from error


def _once(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for key, value in pairs:
        if key in found:
            raise UserError(f"“{key}” stands twice in the same braces.")
        found[key] = value
    return found


def _object(value: object, what: str) -> Parts:
    if not isinstance(value, dict):
        raise UserError(f"{what} must be a set of parts in braces.")
    return value


def _no_others(parts: Parts, known: Sequence[str], what: str) -> None:
    for key in parts:
        if key not in known:
            raise UserError(f"{what} has no part “{key}”; it has {', '.join(known)}.")


def _text(parts: Parts, key: str, what: str, usual: str | None = None) -> str:
    value = parts.get(key, usual)
    if not isinstance(value, str) or (usual != "" and not value.strip()):
        raise UserError(f"“{key}” of {what} must be a text.")
    return value


def _number(
    parts: Parts, key: str, what: str, usual: float | None = None
) -> float | None:
    value = parts.get(key)
    if value is None:
        return usual
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UserError(f"“{key}” of {what} must be a number.")
    try:
        return float(value)
    except OverflowError as error:
        raise UserError(f"“{key}” of {what} is too large a number.") from error


def _within(parts: Parts, key: str, low: float, high: float, usual: float) -> float:
    value = _number(parts, key, "the request", usual)
    if value is None or not low <= value <= high:  # written so that nan fails too
        raise UserError(f"“{key}” must be a number from {low:g} to {high:g}.")
    return value


def _flag(parts: Parts, key: str, what: str) -> bool | None:
    value = parts.get(key)
    if value is None or isinstance(value, bool):
        return value
    raise UserError(f"“{key}” of {what} must be true or false.")


def _word(parts: Parts, key: str, what: str, sort: type[Word]) -> Word | None:
    value = parts.get(key)
    words = {each.name.lower(): each for each in sort}
    if value is None:
        return None
    if not isinstance(value, str) or value not in words:
        raise UserError(f"“{key}” of {what} must be one of {', '.join(words)}.")
    return words[value]


def _position(parts: Parts, what: str) -> Position:
    lat, lon = _number(parts, "lat", what), _number(parts, "lon", what)
    if lat is None or lon is None or not -90.0 <= lat <= 90.0:
        raise UserError(f"{what.capitalize()} needs “lat” and “lon” in degrees.")
    if not -180.0 <= lon <= 180.0:
        raise UserError(f"“lon” of {what} must be a number from -180 to 180.")
    return Position(lat, lon)


def _day(parts: Parts, key: str) -> date:
    value = parts.get(key)
    try:
        return date.fromisoformat(value if isinstance(value, str) else "")
    except ValueError as error:
        raise UserError(
            f"“{key}” must be a date at the place, such as 2027-03-01."
        ) from error
