"""An invented coast with a tidal bar, a day of it, and what hangs on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessRoute,
    Leg,
    Location,
    Shore,
    Subject,
    VantagePoint,
)
from fieldtrip.store.store import Change, Store
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk
from fieldtrip.weather.records import Forecast, ForecastHour

DAY = date(2026, 11, 14)
HOURS = 24


def at(hour: int, minute: int = 0, day: int = 14) -> datetime:
    """An instant of November 2026, UTC, which is the coast's time in winter."""
    return datetime(2026, 11, day, hour, minute, tzinfo=UTC)


KEEL = Location(
    name="Keel Holms", position=Position(49.604, -8.401), zone="Europe/Dublin"
)
BAR_END = VantagePoint(
    location_id=KEEL.id,
    name="Bar end",
    position=Position(49.606, -8.39),
    ground_m=4.0,
)
GULLY = VantagePoint(
    location_id=KEEL.id, name="Gully head", position=Position(49.605, -8.41)
)
TOWER = Subject(
    location_id=KEEL.id,
    name="Old signal tower",
    position=Position(49.608, -8.386),
    height_m=18.0,
)
ROUTE = AccessRoute(location_id=KEEL.id, name="West way")
PATH = Leg(
    route_id=ROUTE.id,
    number=1,
    name="gully path",
    line=(Position(49.6, -8.41), Position(49.605, -8.41)),
    ascent_m=60.0,
    descent_m=0.0,
    is_tidal=False,
)
BAR = Leg(
    route_id=ROUTE.id,
    number=2,
    name="Shingle bar",
    line=(Position(49.605, -8.40), Position(49.606, -8.39)),
    ascent_m=0.0,
    descent_m=0.0,
    is_tidal=True,
    shut_above_m=1.9,
    shut_datum="Chart datum",
    shore=Shore.SHELTERED,
)


def turns(first: datetime, heights: list[float], apart: timedelta) -> tuple[Turn, ...]:
    """Low and high waters in turn, evenly spaced, a low one first."""
    return tuple(
        Turn(first + apart * n, height, is_high=n % 2 == 1)
        for n, height in enumerate(heights)
    )


TABLE = TideTable(
    location_id=KEEL.id,
    port="Keel harbour",
    zone="UTC",
    datum="Chart datum",
    unit="m",
    source="an invented almanac, 2026",
    turns=turns(at(1, 40, day=11), [0.5, 3.7] * 10, timedelta(hours=6, minutes=14)),
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
)
FORECAST = Forecast(
    location_id=KEEL.id,
    issued=at(18, day=13),
    source="the coastal forecast",
    hours=tuple(
        ForecastHour(
            instant=at(hour),
            wind_m_s=5.0 + hour % 6,
            gust_m_s=9.0 + hour % 6,
            wind_from_deg=250.0,
        )
        for hour in range(HOURS)
    ),
)
TRIP = Trip(
    location_id=KEEL.id, name="Evening on the holms", day=DAY, latest_return=at(19)
)
STOP_1 = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=GULLY.id,
    arrive=at(14, 45),
    leave=at(15, 45),
    wanted="side light",
)
STOP_2 = Stop(
    trip_id=TRIP.id,
    number=2,
    vantage_point_id=BAR_END.id,
    arrive=at(16, 10),
    leave=at(18, 5),
    wanted="sunset",
    subject_id=TOWER.id,
)
OUT = Walk(trip_id=TRIP.id, leg_id=BAR.id, start=at(15, 45), finish=at(16, 10))
BACK = Walk(
    trip_id=TRIP.id,
    leg_id=BAR.id,
    start=at(18, 5),
    finish=at(18, 30),
    is_reversed=True,
)


DOSSIER = Dossier(
    location=KEEL,
    vantage_points=(BAR_END, GULLY),
    subjects=(TOWER,),
    routes=(ROUTE,),
    legs=(PATH, BAR),
    tide_tables=(TABLE,),
    forecasts=(FORECAST,),
    trips=(TRIP,),
    stops=(STOP_1, STOP_2),
    walks=(OUT, BACK),
)


def with_bar(**changes: object) -> Dossier:
    """The coast with another bar."""
    bar = replace(BAR, **changes)  # type: ignore[arg-type]
    return replace(DOSSIER, legs=(PATH, bar))


def with_table(**changes: object) -> Dossier:
    """The coast with another tide table."""
    table = replace(TABLE, **changes)  # type: ignore[arg-type]
    return replace(DOSSIER, tide_tables=(table,))


def fill(store: Store) -> None:
    """Put the coast into an empty library."""
    places = (KEEL, BAR_END, GULLY, TOWER, ROUTE, PATH, BAR)
    plan = (TABLE, FORECAST, TRIP, STOP_1, STOP_2, OUT, BACK)
    store.apply([Change(None, record) for record in (*places, *plan)])
