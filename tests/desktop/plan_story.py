"""An invented coast whose ways join: a car park, a spot on land, one beyond a bar."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from fieldtrip.geo import Position
from fieldtrip.places.records import (
    Ground,
    Leg,
    StartKind,
    StartPlace,
    VantagePoint,
)
from fieldtrip.sky.events import EventName
from fieldtrip.store.changes import Change
from fieldtrip.store.store import Store
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.trips.wanted import AroundEvent
from tests.desktop.strip_story import (
    BAR,
    BAR_END,
    DAY,
    FORECAST,
    GULLY,
    KEEL,
    PATH,
    ROUTE,
    TABLE,
    TOWER,
    at,
)

FIELD = StartPlace(
    location_id=KEEL.id,
    name="Field",
    kind=StartKind.CAR_PARK,
    position=PATH.line[0],
    is_always_open=True,
)
UP = replace(
    PATH,
    ground=Ground.PATH,
    is_exposed=False,
    daylight_only=False,
    walked_in_daylight=True,
)
LANE = replace(
    UP,
    number=3,
    name="Lane",
    line=(PATH.line[-1], BAR.line[0]),
    ascent_m=0.0,
    id=Leg(route_id=ROUTE.id, number=3, name="Lane", line=()).id,
)
OVER = replace(
    BAR,
    ground=Ground.PATH,
    is_exposed=False,
    daylight_only=False,
    walked_in_daylight=True,
)
FAR = VantagePoint(  # off every leg
    location_id=KEEL.id, name="Far stack", position=Position(49.6075, -8.4105)
)
TRIP = Trip(
    location_id=KEEL.id,
    name="Evening on the holms",
    day=DAY,
    earliest_start=at(12),
    latest_return=at(19),
    start_place_id=FIELD.id,
    kit_up_min=0.0,
    lights=2,
)
SUNSET = AroundEvent(event=EventName.SUNSET, before_min=40.0, after_min=20.0)
ON_LAND = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=GULLY.id,
    arrive=at(13),
    leave=at(14),
)
BEYOND = Stop(
    trip_id=TRIP.id,
    number=2,
    vantage_point_id=BAR_END.id,
    subject_id=TOWER.id,
    arrive=at(16),
    leave=at(17),
    conditions=(SUNSET,),
    least_min=20.0,
)
COAST = Dossier(
    location=KEEL,
    vantage_points=(BAR_END, FAR, GULLY),
    subjects=(TOWER,),
    routes=(ROUTE,),
    legs=(UP, OVER, LANE),
    start_places=(FIELD,),
    tide_tables=(TABLE,),
    forecasts=(FORECAST,),
    trips=(TRIP,),
    stops=(ON_LAND, BEYOND),
)
NOW = at(9)
MINUTE = timedelta(minutes=1)


def with_trip(**changes: object) -> tuple[Dossier, Trip]:
    """The coast with a trip that differs."""
    trip = replace(TRIP, **changes)  # type: ignore[arg-type]
    return replace(COAST, trips=(trip,)), trip


def with_stops(*stops: Stop) -> Dossier:
    """The coast with other stops."""
    return replace(COAST, stops=stops)


def fill(store: Store, dossier: Dossier = COAST) -> None:
    """Put a coast into an empty library."""
    d = dossier
    kinds = (
        (d.location,), d.vantage_points, d.subjects, d.routes, d.legs, d.start_places,
        d.tide_tables, d.forecasts, d.trips, d.stops, d.walks, d.ticks,
    )  # fmt: skip
    store.apply([Change(None, record) for kind in kinds for record in kind])
