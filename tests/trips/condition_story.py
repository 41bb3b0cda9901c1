"""An invented place, and a plain loop to hold conditions against."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from fieldtrip.geo import Position, destination
from fieldtrip.places.records import (
    AccessRoute,
    Ground,
    Leg,
    Location,
    Shore,
    Subject,
    VantagePoint,
)
from fieldtrip.tides.constants import Constant
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.situation import Answer, Situation, situation_of

ZONE = "Europe/Dublin"
HERE = Position(49.6, -8.4)
LOCATION = Location(name="Invented strand", position=HERE, zone=ZONE)
VANTAGE = VantagePoint(
    location_id=LOCATION.id, name="Ledge", position=HERE, ground_m=6.0
)
TOWER = Subject(
    location_id=LOCATION.id,
    name="Tower",
    position=destination(HERE, 250.0, 900.0),
    height_m=14.0,
    ground_m=21.0,
)
# Around the end of summer time, with dark evenings and a Moon that changes.
SPAN = Span(datetime(2027, 10, 28, 5, tzinfo=UTC), datetime(2027, 11, 3, tzinfo=UTC))


def situation(span: Span = SPAN, dossier: Dossier | None = None) -> Situation:
    """The invented place over a span."""
    return situation_of(
        dossier or Dossier(location=LOCATION),
        span,
        vantage_point=VANTAGE,
        subject=TOWER,
    )


def assert_as_in_a_plain_loop(
    answer: Answer,
    is_wanted: Callable[[datetime], bool | None],
    span: Span = SPAN,
    step: timedelta = timedelta(minutes=13),
    blink: timedelta = timedelta(seconds=2),
) -> None:
    """Every step of a span is in the answer as a plain look at it says.

    Not where the look changes within a blink, where either may be right.
    """
    seen: dict[bool | None, int] = {True: 0, False: 0, None: 0}
    instant = span.start + 1.5 * blink
    while instant < span.stop - blink:
        looks = {is_wanted(instant + k * blink) for k in (-1, 0, 1)}
        if len(looks) == 1:
            (look,) = looks
            seen[look] += 1
            holds = any(each.contains(instant) for each in answer.holds)
            unknown = any(each.contains(instant) for each in answer.unknown)
            found = None if unknown else holds
            assert found == look, f"{instant}: {found} instead of {look}"
        instant += step
    assert sum(count > 0 for count in seen.values()) > 1, "a loop that saw no change"


def day(text: str) -> date:
    """A date."""
    return date.fromisoformat(text)


STATION = Station(
    name="Invented port",
    kind=StationKind.CONSTANTS,
    datum="chart datum",
    position=destination(HERE, 20.0, 4_000.0),
    z0_m=2.4,
    constants=(
        Constant("M2", 1.4, 41.0),
        Constant("S2", 0.5, 15.0),
        Constant("N2", 0.28, 17.0),
        Constant("K1", 0.09, 122.0),
        Constant("O1", 0.07, 310.0),
    ),
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
    source="invented",
)
STATION_LOCATION = replace(
    LOCATION, station_id=STATION.id, is_station_beyond_headland=False
)
ROUTE = AccessRoute(location_id=LOCATION.id, name="Bar way")


def a_leg(number: int, name: str, **known: object) -> Leg:
    """A leg of the way, level, on a path, 1 km long unless said."""
    facts: dict[str, object] = {
        "line": (HERE, destination(HERE, 250.0, 900.0)),
        "distance_m": 1_000.0,
        "ascent_m": 0.0,
        "descent_m": 0.0,
        "ground": Ground.PATH,
        "is_tidal": False,
    }
    return Leg(
        route_id=ROUTE.id,
        number=number,
        name=name,
        **{**facts, **known},  # type: ignore[arg-type]
    )


BAR = a_leg(
    2,
    "Bar",
    is_tidal=True,
    shut_above_m=2.6,
    shut_datum="chart datum",
    shore=Shore.SHELTERED,
)
LEGS = (a_leg(1, "Lane"), BAR, a_leg(3, "Head", distance_m=500.0))


def tidal_dossier(**changed: object) -> Dossier:
    """The place with its station and a way over a bar."""
    known: dict[str, object] = {
        "location": STATION_LOCATION,
        "vantage_points": (VANTAGE,),
        "subjects": (TOWER,),
        "stations": (STATION,),
        "routes": (ROUTE,),
        "legs": LEGS,
    }
    return Dossier(**{**known, **changed})  # type: ignore[arg-type]
