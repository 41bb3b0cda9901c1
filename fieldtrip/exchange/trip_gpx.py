"""A trip as GPX: its stops and what matters round them, and the way through them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fieldtrip.exchange.found import FoundPlace, Part
from fieldtrip.exchange.gpx import gpx_bytes
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Shape
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.network import walked_line
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Trip
from fieldtrip.wording import short_date_text, span_text, start_place_text, zone_text

_DRY = {
    True: "stays dry",
    False: "does not stay dry",
    None: "whether it stays dry is not known",
}


def trip_gpx(dossier: Dossier, trip: Trip, settings: Settings, now: datetime) -> bytes:
    """Way points for stops, subjects, refuges, hazards and starts, and one route.

    Raises `UserError` for a trip outside the years in which the Sun is known.
    """
    facts = facts_of(dossier, trip, now)
    places = (
        *_starts(facts, settings),
        *_stops(facts, settings),
        *_around(dossier, facts),
        *_route(facts),
    )
    return gpx_bytes(places, f"{trip.name}, {trip.day}", dossier.location.position)


def way_of(facts: TripFacts) -> Line:
    """The whole way as it is walked; the stops in order where no walk is planned."""
    way: list[Position] = []
    for walk in facts.walks:
        if walk.leg is not None:
            line = walked_line(walk.leg, walk.walk)
            way += line[1:] if way and line and way[-1] == line[0] else line
    if not way:
        way = [s.vantage_point.position for s in facts.stops if s.vantage_point]
    return tuple(way)


def _point(
    name: str, position: Position, notes: str, height_m: float | None = None
) -> FoundPlace:
    return FoundPlace(
        shape=Shape.POINT,
        parts=(Part((position,)),),
        name=name,
        notes=notes,
        height_m=height_m,
    )


def _starts(facts: TripFacts, settings: Settings) -> Iterator[FoundPlace]:
    places = (facts.start_place, facts.end_place, facts.meeting_place)
    for place in dict.fromkeys(place for place in places if place is not None):
        notes = f"{start_place_text(place, settings)}\n{place.notes}".strip()
        yield _point(place.name, place.position, notes)


def _stops(facts: TripFacts, settings: Settings) -> Iterator[FoundPlace]:
    zone = facts.location.zone
    for stop in facts.stops:
        vantage = stop.vantage_point
        if vantage is None:
            continue
        arrive, leave = stop.stop.arrive, max(stop.stop.arrive, stop.stop.leave)
        when = span_text(Span(arrive, leave), zone, settings)
        day = short_date_text(facts.trip.day)
        notes = f"{day} {when} {zone_text(arrive, zone)}"
        if stop.stop.wanted.strip():
            notes += f"; {stop.stop.wanted.strip()}"
        name = f"{stop.stop.number}. {vantage.name}"
        yield _point(name, vantage.position, notes, vantage.ground_m)


def _around(dossier: Dossier, facts: TripFacts) -> Iterator[FoundPlace]:
    wanted = dict.fromkeys(stop.stop.subject_id for stop in facts.stops)
    for subject_id in wanted:
        subject = by_id(dossier.subjects, subject_id)
        if subject is not None:
            yield _point(subject.name, subject.position, "subject", subject.ground_m)
    for refuge in dossier.refuges:
        dry = _DRY[refuge.stays_dry]
        yield _point(refuge.name, refuge.position, f"refuge; {dry}")
    for hazard in dossier.hazards:
        if hazard.line:
            notes = f"hazard: {hazard.kind}; {hazard.applies}".rstrip("; ")
            yield _point(hazard.name, hazard.line[len(hazard.line) // 2], notes)


def _route(facts: TripFacts) -> Iterator[FoundPlace]:
    way = way_of(facts)
    if len(way) >= 2:
        yield FoundPlace(
            shape=Shape.LINE,
            parts=(Part(way),),
            name=facts.trip.name,
            notes="" if facts.walks else "straight from stop to stop: no way is known",
        )
