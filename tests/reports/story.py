"""Trips for the tests of the sheet: an ordinary, an empty, a long and a hostile one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime, timedelta
from enum import Enum
from typing import Any

from fieldtrip.demo import TRIP_NAME, demo_records, outline_file
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Ground,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Permit,
    Refuge,
    Shape,
    Shore,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.places.seasons import MonthDay, Season
from fieldtrip.reports.sheet import TripSheet
from fieldtrip.reports.sheet_ground import Ground as SheetGround
from fieldtrip.reports.sheet_ground import drawing_ground
from fieldtrip.reports.trip_sheet import Extras, trip_sheet
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, GateKind, SeaState, Stop, Trip, Walk
from fieldtrip.weather.records import Forecast, ForecastHour

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 12, 1, 12, 0, tzinfo=UTC)
EVIL = (
    "<script>alert(1)</script><img src=x onerror=alert(2)>\"'>&amp;"
    "</style><b>\u202e\u0645\u0631\u062d\u0628\u0627 \U0001f9ed\x0b"
)


def demo() -> tuple[Dossier, Trip]:
    """The demo's evening as it is today; it changes with the demo."""
    store = Store.in_memory()
    store.apply(Change(None, record) for record in demo_records(TODAY))
    trip = store.find_trip(TRIP_NAME)
    dossier = store.dossier(trip.location_id)
    store.close()
    return dossier, trip


def utc(hour: int, minute: int = 0, day: int = 1) -> datetime:
    """An instant of December 2026, when it is also the clock of the place."""
    return datetime(2026, 12, day, hour, minute, tzinfo=UTC)


def ordinary() -> tuple[Dossier, Trip]:
    """Two stops on an invented coast; the second is left too late for the bar."""
    location = Location(
        name="Grey Holms", position=Position(49.6, -8.404151), zone="Europe/Dublin"
    )
    at = location.id
    head = VantagePoint(
        location_id=at, name="Gully head", position=Position(49.605988, -8.407749),
        ground_m=84.0, position_error_m=4.0, on_headland=True, notes="A flat slab.",
    )  # fmt: skip
    end = VantagePoint(
        location_id=at, name="Bar end", position=Position(49.6049, -8.383671),
        ground_m=4.0, position_error_m=5.0, on_headland=False,
        notes="Reached over the bar only.",
    )  # fmt: skip
    tower = Subject(
        location_id=at, name="Old tower", position=Position(49.605844, -8.380073),
        height_m=14.0, ground_m=22.0,
    )  # fmt: skip
    arch = Subject(location_id=at, name="Arch", position=Position(49.594246, -8.415498))
    shoulder = Refuge(
        location_id=at, name="Holm shoulder", position=Position(49.605394, -8.38118),
        stays_dry=True, confirmed=date(2026, 6, 26),
    )  # fmt: skip
    way = AccessRoute(location_id=at, name="The way")
    slip, neck = Position(49.596224, -8.390867), Position(49.602922, -8.39149)
    easy: dict[str, Any] = {
        "is_exposed": False,
        "daylight_only": False,
        "walked_in_daylight": True,
    }
    moor = Leg(
        route_id=way.id, number=1, name="Moor path", line=(slip, head.position),
        ascent_m=80.0, descent_m=4.0, ground=Ground.PATH, is_tidal=False, **easy,
    )  # fmt: skip
    wall = Leg(
        route_id=way.id, number=2, name="Wall path", line=(slip, neck),
        ascent_m=22.0, descent_m=30.0, ground=Ground.PATH, is_tidal=False, **easy,
    )  # fmt: skip
    bar = Leg(
        route_id=way.id, number=3, name="Shingle bar", line=(neck, end.position),
        ascent_m=2.0, descent_m=2.0, ground=Ground.PATHLESS, is_tidal=True,
        shut_above_m=2.0, shut_datum="chart datum", refuge_id=shoulder.id,
        shore=Shore.STONES, **easy,
    )  # fmt: skip
    hazards = (
        Hazard(
            location_id=at, name="Bar floods fast", kind=HazardKind.TIDE,
            shape=Shape.AREA, applies="an hour and a half after low water",
            line=(neck, Position(49.6056, -8.386), end.position),
            last_confirmed=date(2026, 6, 26),
        ),
        Hazard(
            location_id=at, name="North edge", kind=HazardKind.CLIFF_EDGE,
            shape=Shape.LINE, is_fenced=False, height_m=70.0,
            line=(Position(49.6062, -8.409), Position(49.6062, -8.4065)),
            last_confirmed=date(2025, 5, 26), notes="The turf hides it.",
        ),
    )  # fmt: skip
    notes = (
        AccessNote(
            location_id=at, day=date(2025, 7, 26), kind=NoteKind.CLOSURE,
            text="Terns nest on the holm: keep off in May and June.",
            review_after=date(2026, 7, 26),
        ),
    )  # fmt: skip
    closure = Closure(
        location_id=at, name="Terns", kind=ClosureKind.NESTING,
        season=Season(MonthDay(5, 1), MonthDay(7, 31)), source="A board",
        line=(end.position, tower.position, shoulder.position),
    )  # fmt: skip
    permit = Permit(location_id=at, name="Tripods", owner="The wardens")
    turns = (
        (utc(0) - timedelta(hours=2, minutes=25), 4.1, True), (utc(3, 32), 0.74, False),
        (utc(9, 51), 4.25, True), (utc(16, 9), 0.67, False), (utc(22, 16), 4.03, True),
        (utc(4, 20, day=2), 0.8, False), (utc(10, 35, day=2), 4.2, True),
        (utc(16, 55, day=2), 0.7, False), (utc(23, 0, day=2), 4.0, True),
    )  # fmt: skip
    table = TideTable(
        location_id=at, port="The quay", zone="Europe/Dublin", datum="chart datum",
        unit="m", source="An invented table", exposure=Exposure.OCEAN_ISLAND,
        is_distorted=False, turns=tuple(Turn(*turn) for turn in turns),
    )  # fmt: skip
    forecast = Forecast(
        location_id=at, issued=utc(6), source="An invented service",
        hours=tuple(
            ForecastHour(
                instant=utc(0) + timedelta(hours=n), wind_m_s=5.0, gust_m_s=8.0,
                wind_from_deg=250.0, cloud_percent=40.0, rain_mm=0.0,
            )
            for n in range(34)
        ),
    )  # fmt: skip
    trip = Trip(
        location_id=at, name="Evening on the holms", day=date(2026, 12, 1),
        latest_return=utc(18, 55), raise_alarm=utc(20, 10), lights=2,
        sea=SeaState.CALM, contact="The harbour office", emergency="112",
    )  # fmt: skip
    stops = (
        Stop(trip_id=trip.id, number=1, vantage_point_id=head.id, arrive=utc(13, 30),
             leave=utc(14, 25), subject_id=arch.id, wanted="side light"),
        Stop(trip_id=trip.id, number=2, vantage_point_id=end.id, arrive=utc(15, 40),
             leave=utc(17, 30), subject_id=tower.id, wanted="sunset"),
    )  # fmt: skip
    walks = tuple(
        Walk(trip_id=trip.id, leg_id=leg.id, start=start, finish=finish,
             is_reversed=is_reversed)
        for leg, start, finish, is_reversed in (
            (moor, utc(12, 45), utc(13, 30), False),
            (moor, utc(14, 25), utc(15, 0), True),
            (wall, utc(15, 0), utc(15, 25), False),
            (bar, utc(15, 25), utc(15, 40), False),
            (bar, utc(17, 30), utc(17, 45), True),
            (wall, utc(17, 45), utc(18, 10), True),
        )
    )  # fmt: skip
    dossier = Dossier(
        location=location, vantage_points=(end, head), subjects=(arch, tower),
        routes=(way,), legs=(moor, wall, bar), refuges=(shoulder,), hazards=hazards,
        notes=notes, closures=(closure,), permits=(permit,), tide_tables=(table,),
        forecasts=(forecast,), trips=(trip,), stops=stops, walks=walks,
    )  # fmt: skip
    return dossier, trip


def demo_ground() -> SheetGround:
    """The demo's drawing of the land."""
    value = json.loads(outline_file().read_text(encoding="utf-8"))
    return drawing_ground(value, "An invented coast.")


def bare() -> tuple[Dossier, Trip]:
    """A location and a trip of which nothing else is known."""
    location = Location(
        name="Nowhere", position=Position(49.6, -8.4), zone="Europe/Dublin"
    )
    trip = Trip(location_id=location.id, name="Some day", day=date(2026, 12, 1))
    return Dossier(location=location, trips=(trip,)), trip


def ten_stops() -> tuple[Dossier, Trip]:
    """Ten stops a kilometre apart, with a gate at each, and no walk planned."""
    dossier, trip = bare()
    at = dossier.location.id
    vantages = tuple(
        VantagePoint(
            location_id=at,
            name=f"Rock number {n}",
            position=Position(49.6 + 0.009 * n, -8.4 + 0.004 * (n % 3)),
            position_error_m=5.0,
            ground_m=10.0,
            notes="Flat, with room for a tripod. " * 4,
        )
        for n in range(1, 11)
    )
    start = datetime(2026, 12, 1, 8, 0, tzinfo=UTC)
    subject = Subject(location_id=at, name="Stack", position=Position(49.65, -8.41))
    stops = tuple(
        Stop(
            trip_id=trip.id,
            number=n,
            vantage_point_id=vantage.id,
            arrive=start + timedelta(minutes=50 * n),
            leave=start + timedelta(minutes=50 * n + 35),
            subject_id=subject.id,
            wanted="low light from the side",
        )
        for n, vantage in enumerate(vantages, 1)
    )
    gates = tuple(
        Gate(
            trip_id=trip.id,
            number=n,
            name=f"Before rock {n}",
            kind=GateKind.STOP,
            vantage_point_id=vantage.id,
            must_see="no swell over the step",
            fallback="stay on the path",
        )
        for n, vantage in enumerate(vantages, 1)
    )
    return (
        replace(
            dossier, vantage_points=vantages, stops=stops, subjects=(subject,),
            gates=gates,
        ),
        trip,
    )  # fmt: skip


def hostile(text: str = EVIL) -> tuple[Dossier, Trip]:
    """A trip in which somebody typed the same text into every field."""
    dossier, trip = ordinary()
    location = replace(
        dossier.location, name=text, emergency=text, nearest_road=text, notes=text
    )
    at, here = location.id, location.position
    start = StartPlace(
        location_id=at, name=text, kind=StartKind.CAR_PARK, position=here, notes=text
    )
    named: dict[str, tuple[object, ...]] = {
        "vantage_points": tuple(
            replace(v, name=text, notes=text) for v in dossier.vantage_points
        ),
        "subjects": tuple(replace(s, name=text) for s in dossier.subjects),
        "legs": tuple(replace(leg, name=text) for leg in dossier.legs),
        "refuges": tuple(replace(r, name=text, notes=text) for r in dossier.refuges),
        "hazards": tuple(
            replace(h, name=text, notes=text, applies=text) for h in dossier.hazards
        ),
        "notes": tuple(replace(n, text=text) for n in dossier.notes),
        "permits": tuple(
            replace(p, name=text, owner=text, allows=text, notes=text)
            for p in dossier.permits
        ),
        "closures": tuple(
            replace(c, name=text, source=text, notes=text) for c in dossier.closures
        ),
        "stops": tuple(replace(s, wanted=text) for s in dossier.stops),
        "forecasts": tuple(replace(f, source=text) for f in dossier.forecasts),
        "tide_tables": tuple(
            replace(t, port=text, source=text) for t in dossier.tide_tables
        ),
        "start_places": (start,),
        "gates": (
            Gate(
                trip_id=trip.id, number=1, name=text, kind=GateKind.START,
                must_see=text, fallback=text,
            ),
        ),
    }  # fmt: skip
    spoiled = replace(
        trip, name=text, contact=text, emergency=text, notes=text, car=text,
        alarm_with=text, kit=text, start_place_id=start.id, meeting_place_id=start.id,
    )  # fmt: skip
    return replace(dossier, location=location, trips=(spoiled,), **named), spoiled  # type: ignore[arg-type]


def sheet_of(
    story: tuple[Dossier, Trip],
    settings: Settings | None = None,
    extras: Extras | None = None,
    now: datetime = NOW,
) -> TripSheet:
    """The sheet of a story."""
    dossier, trip = story
    return trip_sheet(dossier, trip, settings or Settings(), now, extras=extras)


def texts_of(value: object, name: str = "") -> Iterator[tuple[str, str]]:
    """Every text in a frozen value, each with the name of its field."""
    if isinstance(value, Enum):
        return  # drawn, not written
    if isinstance(value, str):
        yield name, value
    elif isinstance(value, tuple):
        for each in value:
            yield from texts_of(each, name)
    elif is_dataclass(value):
        for field in fields(value):
            own = f"{type(value).__name__}.{field.name}"
            yield from texts_of(getattr(value, field.name), own)
