"""A small coast to plan on: a bar that shuts, a path that does not, and a car park."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

import numpy as np

from fieldtrip.geo import destination
from fieldtrip.places.records import (
    Closure,
    ClosureKind,
    Ground,
    Leg,
    Shape,
    VantagePoint,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, Stop, Trip
from fieldtrip.trips.wanted import SunBand
from fieldtrip.weather.records import Forecast
from tests.safety.story import (
    CAR_PARK,
    CLEAR,
    LEG,
    LOCATION,
    NOW,
    ROUTE,
    TRIP,
    VANTAGE,
    at,
    calm,
)

PATH = Leg(
    route_id=ROUTE.id,
    number=2,
    name="Shore path",
    line=(LOCATION.position, destination(LOCATION.position, 0.0, 900.0)),
    ascent_m=30.0,
    descent_m=5.0,
    ground=Ground.PATH,
    is_exposed=False,
    daylight_only=False,
    walked_in_daylight=True,
    is_tidal=False,
)
OUTLOOK = VantagePoint(
    location_id=LOCATION.id,
    name="Outlook",
    position=PATH.line[-1],
    position_error_m=3.0,
    on_headland=False,
)


def stop_at(vantage: VantagePoint, number: int, **changes: Any) -> Stop:
    made = Stop(
        id=UUID(int=number),
        trip_id=TRIP.id,
        number=number,
        vantage_point_id=vantage.id,
        arrive=at(14),
        leave=at(14, 30),
        least_min=15.0,
        wish_min=30.0,
    )
    return replace(made, **changes)


def coast(*stops: Stop, trip: Trip = TRIP, **changes: Any) -> Dossier:
    """The records of the coast with some stops, and no walks yet."""
    wanted = stops or (stop_at(VANTAGE, 1), stop_at(OUTLOOK, 2))
    made = replace(
        CLEAR.dossier(),
        legs=(LEG, PATH),
        vantage_points=(OUTLOOK, VANTAGE),
        trips=(trip,),
        stops=wanted,
        walks=(),
        gates=(),
    )
    return replace(made, **changes)


def stormy(seed: int) -> Forecast:
    """Hours of which some are too windy, thundery, dark or low in pressure."""
    chance = np.random.default_rng(seed)
    base = calm()
    hours = []
    for hour in base.hours:
        gust = float(chance.choice([4.0, 9.0, 16.0, 21.0, 28.0]))
        hours.append(
            replace(
                hour,
                gust_m_s=gust,
                wind_m_s=gust * 0.7,
                thunder_percent=float(chance.choice([0.0, 0.0, 15.0, 45.0])),
                cloud_percent=float(chance.choice([10.0, 60.0, 95.0])),
                pressure_hpa=float(chance.choice([1015.0, 1000.0, 975.0])),
                rain_mm=float(chance.choice([0.0, 0.0, 0.0, 6.0])),
            )
        )
    return replace(base, hours=tuple(hours))


def random_coast(seed: int) -> tuple[Dossier, Trip, datetime]:
    """A trip by chance: of light, weather, tides, lights, closures and hours."""
    chance = np.random.default_rng(seed)
    start = at(10) + timedelta(minutes=int(chance.integers(0, 240)))
    trip = replace(
        TRIP,
        earliest_start=start if chance.random() < 0.7 else None,
        latest_return=start + timedelta(minutes=int(chance.integers(150, 800)))
        if chance.random() < 0.8
        else None,
        raise_alarm=None,
        lights=int(chance.integers(0, 4)) if chance.random() < 0.7 else None,
        party=int(chance.integers(1, 3)),
        pace_factor=float(chance.choice([1.0, 1.4])),
        break_min=float(chance.choice([0.0, 10.0])),
        start_place_id=CAR_PARK.id if chance.random() < 0.9 else None,
    )
    stops = []
    for number in range(1, int(chance.integers(2, 5))):
        vantage = VANTAGE if chance.random() < 0.5 else OUTLOOK
        band = SunBand(low_deg=float(chance.choice([-8.0, -4.0, 5.0])), high_deg=70.0)
        arrive = start + timedelta(minutes=int(chance.integers(30, 200)))
        stops.append(
            stop_at(
                vantage,
                number,
                conditions=(band,) if chance.random() < 0.5 else (),
                is_must=chance.random() < 0.7,
                is_pinned=chance.random() < 0.15,
                arrive=arrive,
                leave=arrive + timedelta(minutes=25),
            )
        )
    closures: tuple[Closure, ...] = CLEAR.closures
    if chance.random() < 0.2:
        closures += (
            Closure(
                location_id=LOCATION.id,
                name="Slide on the path",
                kind=ClosureKind.WORKS,
                first_day=date(2026, 8, 1),
                last_day=date(2026, 8, 31),
                shape=Shape.POINT,
                line=(OUTLOOK.position,),
                last_confirmed=date(2026, 8, 1),
            ),
        )
    vantage = replace(
        VANTAGE,
        flooded_above_m=float(chance.choice([0.8, 1.4])),
        level_datum="MLLW",
        shore=LEG.shore,
    )
    leg = replace(
        LEG,
        shut_above_m=float(chance.choice([0.6, 0.9, 1.3])),
        daylight_only=bool(chance.random() < 0.5),
    )
    gates: tuple[Gate, ...] = CLEAR.gates if chance.random() < 0.3 else ()
    dossier = coast(
        *stops,
        trip=trip,
        closures=closures,
        vantage_points=(OUTLOOK, vantage if chance.random() < 0.5 else VANTAGE),
        legs=(leg, PATH),
        gates=gates,
        forecasts=(stormy(seed),) if chance.random() < 0.6 else (calm(),),
    )
    return dossier, trip, NOW
