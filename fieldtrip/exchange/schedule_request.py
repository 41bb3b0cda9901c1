"""A request for a schedule as a JSON file: places by name, legs, stops, times.

Its form is told in ``resources/help/schedule_request.md``.  Nothing in it is guessed:
a leg that the sea shuts and whose open times are not given is not crossed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import NAMESPACE_URL, UUID, uuid5

import numpy as np

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Ground, Location
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.times import Span, zone_of
from fieldtrip.trips.conditions import wanted_spans
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.question import (
    LimitKind,
    OpenIn,
    PlanNote,
    Question,
    Way,
    Wish,
)
from fieldtrip.trips.records import WalkingRule
from fieldtrip.trips.situation import Situation, situation_of
from fieldtrip.trips.spans import Spans, merged
from fieldtrip.trips.walking import GROUND_FACTORS, rule_h
from fieldtrip.trips.wanted_json import condition_from_json

Parts = Mapping[str, Any]
LONGEST_TEXT = 1_000_000  # characters
MOST_LEGS = 500
RESERVE_MIN = 30.0  # HM Coastguard: leave time to spare
_SUNSET_DEG, _DUSK_DEG = -50.0 / 60.0, -6.0  # US Naval Observatory
_MINUTE = timedelta(minutes=1)
_ROOM = timedelta(hours=6)  # in which a later return can be proposed
_RULES = {rule.name.lower(): rule for rule in WalkingRule}
_REQUEST = (
    "place", "earliest_start", "latest_return", "start", "finish", "start_open",
    "finish_open", "break_min", "pace", "rule", "keeps_order", "legs", "stops",
)  # fmt: skip
_LEG = (
    "name", "from", "to", "minutes", "minutes_back", "distance_m", "ascent_m",
    "descent_m", "ground", "is_tidal", "open", "reserve_min", "accepted",
    "daylight_only",
)  # fmt: skip
_STOP = (
    "name", "at", "wanted", "conditions", "must", "least_min", "wish_min", "setup_min",
    "pinned", "dry", "reserve_min",
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class ScheduleRequest:
    """What is asked, and how its places are called."""

    question: Question
    zone: str
    places: tuple[str, ...]


def read_request(text: str) -> ScheduleRequest:
    """The request of a file.  Raises `UserError` in one sentence."""
    parts = _object(_json(text), "The request")
    _no_others(parts, _REQUEST, "The request")
    place = _object(parts.get("place"), "“place”")
    _no_others(place, ("lat", "lon", "zone"), "“place”")
    zone = place.get("zone")
    if not isinstance(zone, str):
        raise UserError("“zone” of place must be a name such as Europe/Dublin.")
    zone_of(zone)
    lat = _number(place, "lat", "place", -90.0, 90.0)
    lon = _number(place, "lon", "place", -180.0, 180.0)
    position = Position(lat, lon)
    span = Span(_instant(parts, "earliest_start"), _instant(parts, "latest_return"))
    if span.length <= timedelta():
        raise UserError("“latest_return” must come after “earliest_start”.")
    known = Span(_minute(span.start - _ROOM), span.stop + _ROOM)
    light = _Light(position, known)
    names: dict[str, int] = {}
    ways, unknown = _ways(parts, names, light)
    wishes = _wishes(parts, names, position, zone, known)
    order = tuple(wish.id for wish in wishes)
    return ScheduleRequest(
        question=Question(
            span=span,
            known=known,
            wishes=wishes,
            ways=ways,
            places=len(names),
            dark=light.altitude_deg < _DUSK_DEG,
            start=_place(parts, "start", names),
            finish=_place(parts, "finish", names),
            start_open=_hours(parts, "start_open"),
            finish_open=_hours(parts, "finish_open"),
            order=order if _flag(parts, "keeps_order", "the request") else (),
            break_min=_number(parts, "break_min", "the request", 0.0, 720.0, 0.0),
            unknown=unknown,
        ),
        zone=zone,
        places=tuple(names),
    )


class _Light:
    """The Sun at the place, by the minute."""

    def __init__(self, position: Position, span: Span) -> None:
        self._span = span
        count = int(span.length / _MINUTE) + 1
        track = uniform_track(Body.SUN, Site(position), span.start, 60.0, count)
        self.altitude_deg = track.altitude_deg

    def day(self) -> Spans:
        """While the Sun is up."""
        up = (self.altitude_deg >= _SUNSET_DEG).astype(np.int8)
        edges = np.flatnonzero(np.diff(np.concatenate([[0], up, [0]])))
        start = self._span.start
        return tuple(
            Span(
                start + first * _MINUTE,
                start + (after - 1 if after < len(up) else after + 1440) * _MINUTE,
            )
            for first, after in edges.reshape(-1, 2).tolist()
        )


# Legs


def _ways(
    parts: Parts, names: dict[str, int], light: _Light
) -> tuple[tuple[Way, ...], tuple[UUID, ...]]:
    legs = _list(parts, "legs", "the request")
    if len(legs) > MOST_LEGS:
        raise UserError(f"A request has at most {MOST_LEGS} legs.")
    rule = parts.get("rule", "din")
    if rule not in _RULES:
        raise UserError(f"“rule” must be one of {', '.join(_RULES)}.")
    pace = _number(parts, "pace", "the request", 0.5, 5.0, 1.0)
    ways: list[Way] = []
    unknown: list[UUID] = []
    for number, each in enumerate(legs, 1):
        what = f"leg {number}"
        leg = _object(each, f"“legs”, {what},")
        _no_others(leg, _LEG, f"“legs”, {what},")
        made, is_unknown = _leg(leg, what, names, light, _RULES[rule], pace)
        ways += made
        if is_unknown and made[0].leg_id is not None:
            unknown.append(made[0].leg_id)
    return tuple(ways), tuple(unknown)


def _leg(
    leg: Parts,
    what: str,
    names: dict[str, int],
    light: _Light,
    rule: WalkingRule,
    pace: float,
) -> tuple[list[Way], bool]:
    """A leg there and back, and whether it is shut because its tide is unknown."""
    name = _text(leg, "name", what)
    out, back = _minutes(leg, what, rule, pace)
    reserve = _number(leg, "reserve_min", what, 0.0, 600.0, RESERVE_MIN) * _MINUTE
    limits: list[OpenIn] = []
    notes: tuple[PlanNote, ...] = ()
    is_unknown = False
    is_tidal = leg.get("open") is not None or _flag(leg, "is_tidal", what)
    if leg.get("open") is not None:
        spans = _spans(leg, "open", what)
        limits.append(OpenIn(kind=LimitKind.TIDE, spans=spans, reserve=reserve))
    elif is_tidal and str(leg.get("accepted") or "").strip():
        notes = (PlanNote.ACCEPTED_UNKNOWN,)
    elif is_tidal:
        limits.append(OpenIn(kind=LimitKind.TIDE, spans=()))
        is_unknown = True
    elif leg.get("is_tidal") is None:
        notes = (PlanNote.TIDAL_NOT_SAID,)
    if _flag(leg, "daylight_only", what):
        limits.append(OpenIn(kind=LimitKind.DAYLIGHT, spans=light.day()))
    a = names.setdefault(_text(leg, "from", what), len(names))
    b = names.setdefault(_text(leg, "to", what), len(names))
    if a == b:
        raise UserError(f"{name} must lead from one place to another.")
    leg_id = uuid5(NAMESPACE_URL, what)
    ways = [
        Way(
            start=start,
            stop=stop,
            name=name,
            minutes=minutes,
            leg_id=leg_id,
            is_reversed=is_reversed,
            distance_m=_number(leg, "distance_m", what, 0.0, 200_000.0, 0.0),
            limits=tuple(limits),
            is_on_sands=is_tidal,
            notes=notes,
        )
        for start, stop, minutes, is_reversed in (
            (a, b, out, False),
            (b, a, back, True),
        )
    ]
    return ways, is_unknown


def _minutes(
    leg: Parts, what: str, rule: WalkingRule, pace: float
) -> tuple[float, float]:
    """How long a leg takes, there and back; typed minutes win."""
    if leg.get("minutes") is not None:
        out = _number(leg, "minutes", what, 0.1, 2880.0)
        return out, _number(leg, "minutes_back", what, 0.1, 2880.0, out)
    if leg.get("distance_m") is None:
        raise UserError(f"{what.capitalize()} needs “minutes” or “distance_m”.")
    ground = leg.get("ground", "unknown")
    grounds = {each.name.lower(): each for each in Ground}
    if ground not in grounds:
        raise UserError(f"“ground” of {what} must be one of {', '.join(grounds)}.")
    distance_m = _number(leg, "distance_m", what, 1.0, 200_000.0)
    up_m = _number(leg, "ascent_m", what, 0.0, 9_000.0, 0.0)
    down_m = _number(leg, "descent_m", what, 0.0, 9_000.0, 0.0)
    factor = 60.0 * GROUND_FACTORS[grounds[ground]] * pace
    return (
        rule_h(rule, distance_m, up_m, down_m) * factor,
        rule_h(rule, distance_m, down_m, up_m) * factor,
    )


# Stops


def _wishes(
    parts: Parts, names: dict[str, int], position: Position, zone: str, known: Span
) -> tuple[Wish, ...]:
    location = Location(name="Place", position=position, zone=zone)
    situation = situation_of(Dossier(location=location), known)
    found = []
    for number, each in enumerate(_list(parts, "stops", "the request"), 1):
        what = f"stop {number}"
        stop = _object(each, f"“stops”, {what},")
        _no_others(stop, _STOP, f"“stops”, {what},")
        place = _place(stop, "at", names)
        if place is None:
            raise UserError(f"“at” of {what} must name a place.")
        wanted, notes = _wanted(stop, what, situation)
        reserve = _number(stop, "reserve_min", what, 0.0, 600.0, RESERVE_MIN) * _MINUTE
        pinned = stop.get("pinned")
        least = _number(stop, "least_min", what, 0.0, 1440.0, 15.0)
        found.append(
            Wish(
                id=uuid5(NAMESPACE_URL, what),
                name=_text(stop, "name", what),
                place=place,
                wanted=wanted,
                is_must=stop.get("must") is None or _flag(stop, "must", what),
                least_min=least,
                wish_min=_number(stop, "wish_min", what, 0.0, 1440.0, max(least, 45.0)),
                setup_min=_number(stop, "setup_min", what, 0.0, 1440.0, 15.0),
                pinned=None if pinned is None else _span(pinned, f"“pinned” of {what}"),
                dry=None
                if stop.get("dry") is None
                else OpenIn(
                    kind=LimitKind.FLOODED,
                    spans=_spans(stop, "dry", what),
                    reserve=reserve,
                ),
                notes=notes,
            )
        )
    return tuple(found)


def _wanted(
    stop: Parts, what: str, situation: Situation
) -> tuple[Spans, tuple[PlanNote, ...]]:
    """When the light is as wanted: given, or of conditions, or always."""
    if stop.get("wanted") is not None:
        if stop.get("conditions") is not None:
            raise UserError(
                f"Give either “wanted” or “conditions” of {what}, not both."
            )
        return _spans(stop, "wanted", what), ()
    conditions = []
    listed = stop.get("conditions") or []
    if not isinstance(listed, list):
        raise UserError(f"“conditions” of {what} must be a list.")
    for each in listed:
        try:
            conditions.append(condition_from_json(each))
        except UserError as error:
            raise UserError(f"{what.capitalize()}: {error}") from error
    found = wanted_spans(conditions, situation)
    return found.spans, (PlanNote.WANTED_NOT_KNOWN,) if found.unknown else ()


# Parts


def _json(text: str) -> object:
    if len(text) > LONGEST_TEXT:
        raise UserError("This file is too long for a request.")
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise UserError(
            f"This file is not whole JSON: line {error.lineno} cannot be read."
        ) from error
    except (RecursionError, ValueError) as error:
        raise UserError("This file is no request for a schedule.") from error


def _object(value: object, what: str) -> Parts:
    if not isinstance(value, dict):
        raise UserError(f"{what} must be a set of parts in braces.")
    return value


def _no_others(parts: Parts, known: Sequence[str], what: str) -> None:
    for key in parts:
        if key not in known:
            raise UserError(f"{what} has no part “{key}”; it has {', '.join(known)}.")


def _list(parts: Parts, key: str, what: str) -> list[object]:
    value = parts.get(key)
    if not isinstance(value, list) or not value:
        raise UserError(f"“{key}” of {what} must be a list with one or more.")
    return value


def _text(parts: Parts, key: str, what: str) -> str:
    value = parts.get(key)
    if not isinstance(value, str) or not value.strip() or len(value) > 200:
        raise UserError(f"“{key}” of {what} must be a short text.")
    return value


def _number(
    parts: Parts,
    key: str,
    what: str,
    low: float,
    high: float,
    usual: float | None = None,
) -> float:
    value = parts.get(key, usual)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    # Written so that nan fails too.
    if not is_number or value is None or not low <= value <= high:
        raise UserError(f"“{key}” of {what} must be a number from {low:g} to {high:g}.")
    return float(value)


def _flag(parts: Parts, key: str, what: str) -> bool:
    value = parts.get(key)
    if value is None or isinstance(value, bool):
        return bool(value)
    raise UserError(f"“{key}” of {what} must be true or false.")


def _place(parts: Parts, key: str, names: dict[str, int]) -> int | None:
    """A place by its name; None where it is left out."""
    value = parts.get(key)
    if value is None:
        return None
    if not isinstance(value, str) or value not in names:
        raise UserError(
            f"“{key}” names the place “{value}”, to which no leg leads; there are "
            f"{', '.join(names)}."
        )
    return names[value]


def _hours(parts: Parts, key: str) -> OpenIn | None:
    if parts.get(key) is None:
        return None
    return OpenIn(kind=LimitKind.PARKING, spans=_spans(parts, key, "the request"))


def _spans(parts: Parts, key: str, what: str) -> Spans:
    value = parts.get(key)
    if not isinstance(value, list):
        raise UserError(f"“{key}” of {what} must be a list of spans of time.")
    return merged(_span(each, f"a span in “{key}” of {what}") for each in value)


def _span(value: object, what: str) -> Span:
    parts = _object(value, what[:1].upper() + what[1:])
    _no_others(parts, ("from", "to"), what[:1].upper() + what[1:])
    span = Span(_instant(parts, "from"), _instant(parts, "to"))
    if span.length < timedelta():
        raise UserError(f"{what[:1].upper()}{what[1:]} ends before it begins.")
    return span


def _instant(parts: Parts, key: str) -> datetime:
    value = parts.get(key)
    try:
        instant = datetime.fromisoformat(value if isinstance(value, str) else "")
    except ValueError as error:
        raise UserError(
            f"“{key}” must be an instant such as 2027-06-12T18:00:00Z."
        ) from error
    if instant.tzinfo is None:
        raise UserError(
            f"“{key}” does not say in which zone: add Z for UTC, or an offset such as "
            "+01:00."
        )
    if not 1900 <= instant.year <= 2099:
        raise UserError(f"“{key}” must lie in the years 1900 to 2099.")
    return instant.astimezone(UTC)


def _minute(instant: datetime) -> datetime:
    return instant.replace(second=0, microsecond=0)
