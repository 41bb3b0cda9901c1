"""Reads a location's records in the order in which they are listed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from fieldtrip.errors import UserError
from fieldtrip.store.tables import (
    AccessNoteRow,
    AccessRouteRow,
    CheckRunRow,
    ClosureRow,
    CrossingObservationRow,
    DateSearchRow,
    ForecastRow,
    GateRow,
    HazardRow,
    LegRow,
    LocationRow,
    PermitRow,
    PhotographRow,
    RefugeRow,
    StartPlaceRow,
    StationRow,
    StopRow,
    SubjectRow,
    TickRow,
    TideTableRow,
    TripRow,
    VantagePointRow,
    WalkRow,
    record_of,
)
from fieldtrip.tides.stations import Station
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip

Order = Callable[[Any], Any]


def read_dossier(session: Session, location_id: UUID) -> Dossier:
    """Everything kept about a location; `UserError` if it is not in the library."""
    location = session.get(LocationRow, location_id)
    if location is None:
        raise UserError("That location is no longer in the library.")

    def here(row: Any, order: Order, *, last_first: bool = False) -> tuple[Any, ...]:
        query = select(row).where(row.location_id == location_id)
        return _read(session, query, order, last_first)

    def of_trips(row: Any, order: Order, *, last_first: bool = False) -> Any:
        query = select(row).join(TripRow).where(TripRow.location_id == location_id)
        return _read(session, query, order, last_first)

    routes = here(AccessRouteRow, by_name)
    trips = here(TripRow, by_trip_day)
    route_place = {route.id: place for place, route in enumerate(routes)}
    trip_place = {trip.id: place for place, trip in enumerate(trips)}
    legs = (
        select(LegRow)
        .join(AccessRouteRow)
        .where(AccessRouteRow.location_id == location_id)
    )
    seen = (
        select(CrossingObservationRow)
        .join(LegRow)
        .join(AccessRouteRow)
        .where(AccessRouteRow.location_id == location_id)
    )
    return Dossier(
        location=record_of(location),
        vantage_points=here(VantagePointRow, by_name),
        photographs=here(PhotographRow, lambda one: one.caption),
        subjects=here(SubjectRow, by_name),
        routes=routes,
        legs=_read(
            session, legs, lambda leg: (route_place[leg.route_id], leg.number), False
        ),
        refuges=here(RefugeRow, by_name),
        start_places=here(StartPlaceRow, by_name),
        hazards=here(HazardRow, by_name),
        notes=here(AccessNoteRow, lambda note: note.day, last_first=True),
        permits=here(PermitRow, by_name),
        closures=here(ClosureRow, by_name),
        tide_tables=here(TideTableRow, lambda table: table.turns[0].instant),
        stations=_stations(session, location.station_id),
        observations=_read(session, seen, lambda one: one.instant, True),
        forecasts=here(ForecastRow, lambda one: one.issued, last_first=True),
        trips=trips,
        stops=of_trips(StopRow, lambda one: (trip_place[one.trip_id], one.number)),
        walks=of_trips(WalkRow, lambda walk: walk.start),
        gates=of_trips(GateRow, lambda one: (trip_place[one.trip_id], one.number)),
        searches=here(DateSearchRow, by_name),
        ticks=of_trips(TickRow, lambda tick: tick.at),
        check_runs=of_trips(CheckRunRow, lambda run: run.at, last_first=True),
    )


def _stations(session: Session, station_id: UUID | None) -> tuple[Station, ...]:
    """A station, then its standard port, and so on; each once."""
    found: dict[UUID, Station] = {}
    while station_id is not None and station_id not in found:
        row = session.get(StationRow, station_id)
        if row is None:
            break
        found[station_id] = station = record_of(row)
        station_id = station.standard_id
    return tuple(found.values())


def by_name(record: Any) -> tuple[str, str]:
    """Order of names as a person expects it: capitals do not count first."""
    return record.name.casefold(), record.name


def by_trip_day(trip: Trip) -> tuple[Any, ...]:
    """Order of trips: by day, then by name."""
    return trip.day, *by_name(trip)


def _read(
    session: Session,
    query: Select[Any],
    order: Order,
    last_first: bool,
) -> tuple[Any, ...]:
    """Records in an order; equal ones by id, so that a list never jumps about."""
    records = [record_of(row) for row in session.scalars(query)]
    records.sort(key=lambda record: record.id)
    return tuple(sorted(records, key=order, reverse=last_first))
