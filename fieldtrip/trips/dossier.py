"""Everything kept about one location, as one value that a computation can be handed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol, TypeVar
from uuid import UUID

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
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.stations import Station
from fieldtrip.trips.plan_ground import PlanGround
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


class _HasId(Protocol):
    @property
    def id(self) -> UUID: ...


R = TypeVar("R", bound=_HasId)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """The records of one location, each kind in the order in which it is listed."""

    location: Location
    vantage_points: tuple[VantagePoint, ...] = ()  # by name
    photographs: tuple[Photograph, ...] = ()  # by caption
    subjects: tuple[Subject, ...] = ()  # by name
    routes: tuple[AccessRoute, ...] = ()  # by name
    legs: tuple[Leg, ...] = ()  # by route, then by number
    refuges: tuple[Refuge, ...] = ()  # by name
    start_places: tuple[StartPlace, ...] = ()  # by name
    hazards: tuple[Hazard, ...] = ()  # by name
    notes: tuple[AccessNote, ...] = ()  # newest first
    permits: tuple[Permit, ...] = ()  # by name
    closures: tuple[Closure, ...] = ()  # by name
    tide_tables: tuple[TideTable, ...] = ()  # by first turn
    stations: tuple[Station, ...] = ()  # its own first, then the standard ports
    observations: tuple[CrossingObservation, ...] = ()  # newest first
    forecasts: tuple[Forecast, ...] = ()  # newest issue first
    trips: tuple[Trip, ...] = ()  # by day
    stops: tuple[Stop, ...] = ()  # by trip, then by number
    walks: tuple[Walk, ...] = ()  # by start
    gates: tuple[Gate, ...] = ()  # by trip, then by number
    searches: tuple[DateSearch, ...] = ()  # by name
    ticks: tuple[Tick, ...] = ()  # by time
    check_runs: tuple[CheckRun, ...] = ()  # newest first
    # From elevation files, which are no part of the library; put in by who reads them.
    ground: PlanGround = field(default_factory=PlanGround, compare=False)

    def stops_of(self, trip: Trip) -> tuple[Stop, ...]:
        """The stops of a trip, in order."""
        return tuple(stop for stop in self.stops if stop.trip_id == trip.id)

    def walks_of(self, trip: Trip) -> tuple[Walk, ...]:
        """The walks of a trip, by start."""
        return tuple(walk for walk in self.walks if walk.trip_id == trip.id)

    def gates_of(self, trip: Trip) -> tuple[Gate, ...]:
        """The gates of a trip, in order."""
        return tuple(gate for gate in self.gates if gate.trip_id == trip.id)

    def ticks_of(self, trip: Trip) -> tuple[Tick, ...]:
        """The ticks of a trip, by time."""
        return tuple(tick for tick in self.ticks if tick.trip_id == trip.id)

    def observations_of(self, leg: Leg) -> tuple[CrossingObservation, ...]:
        """What was seen of a leg, newest first."""
        return tuple(each for each in self.observations if each.leg_id == leg.id)

    def legs_of(self, route: AccessRoute) -> tuple[Leg, ...]:
        """The legs of a route, in order."""
        return tuple(leg for leg in self.legs if leg.route_id == route.id)


def by_id(records: Sequence[R], record_id: UUID | None) -> R | None:
    """The record of an id among some, or None."""
    return next((record for record in records if record.id == record_id), None)
