"""The tables of a library file.  Private to `fieldtrip.store`.

A table has one column per field of its record and the same name, so that
`row_of` and `record_of` need no table of their own.  Change a table, and you
add a migration: see DEVELOPERS.md, "A new field".
"""

from __future__ import annotations

from dataclasses import fields
from datetime import date, datetime
from typing import Any, ClassVar
from uuid import UUID

from sqlalchemy import Double, ForeignKey, MetaData, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, composite, mapped_column

from fieldtrip.geo import Line, Position
from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Coverage,
    CrossingObservation,
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
    WantedTurn,
)
from fieldtrip.places.seasons import OpenHours, Season
from fieldtrip.store.columns import (
    Choice,
    Differing,
    Hours,
    Instant,
    Yearly,
    condition_column,
    constant_column,
    finding_column,
    hour_column,
    line_column,
    turn_column,
)
from fieldtrip.terrain.records import ElevationFile, Keeping
from fieldtrip.tides.constants import Constant
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.tides.stations import KnownDifferences, Station, StationKind
from fieldtrip.trips.records import (
    CheckRun,
    DateSearch,
    Gate,
    GateKind,
    RecordedFinding,
    SeaState,
    Stop,
    Tick,
    Trip,
    Walk,
    WalkingRule,
)
from fieldtrip.trips.wanted import Condition
from fieldtrip.weather.records import Forecast, ForecastHour


class Base(DeclarativeBase):
    """Names every constraint, which SQLite migrations need to find it again."""

    metadata = MetaData(
        naming_convention={
            "pk": "pk_%(table_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "ix": "ix_%(table_name)s_%(column_0_name)s",
        }
    )
    type_annotation_map = {str: Text(), datetime: Instant()}  # noqa: RUF012


class RecordRow(Base):
    """What every row that keeps a record has."""

    __abstract__ = True
    record: ClassVar[type[Any]]
    id: Mapped[UUID] = mapped_column(primary_key=True)


class StationRow(RecordRow):
    """Keeps a `Station`."""

    __tablename__ = "station"
    record = Station

    name: Mapped[str]
    kind: Mapped[StationKind] = mapped_column(Choice(StationKind))
    datum: Mapped[str]
    position: Mapped[Position | None] = composite(
        mapped_column("lat_deg", Double(), nullable=True),
        mapped_column("lon_deg", Double(), nullable=True),
    )
    unit: Mapped[str]
    zone: Mapped[str]
    z0_m: Mapped[float | None]
    constants: Mapped[tuple[Constant, ...]] = mapped_column(constant_column())
    fit_margin_m: Mapped[float]
    turns: Mapped[tuple[Turn, ...]] = mapped_column(turn_column())
    standard_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("station.id"), index=True
    )
    differences: Mapped[KnownDifferences | None] = mapped_column(Differing())
    exposure: Mapped[Exposure | None] = mapped_column(Choice(Exposure))
    is_distorted: Mapped[bool | None]
    source: Mapped[str]
    year: Mapped[int | None]
    licence: Mapped[str]


class LocationRow(RecordRow):
    """Keeps a `Location`."""

    __tablename__ = "location"
    record = Location

    name: Mapped[str]
    position: Mapped[Position] = composite(
        mapped_column("lat_deg"), mapped_column("lon_deg")
    )
    zone: Mapped[str]
    notes: Mapped[str]
    station_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("station.id"), index=True
    )
    is_station_beyond_headland: Mapped[bool | None]
    emergency: Mapped[str]
    coverage: Mapped[Coverage | None] = mapped_column(Choice(Coverage))
    nearest_road: Mapped[str]


class VantagePointRow(RecordRow):
    """Keeps a `VantagePoint`."""

    __tablename__ = "vantage_point"
    record = VantagePoint

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    position: Mapped[Position] = composite(
        mapped_column("lat_deg"), mapped_column("lon_deg")
    )
    position_error_m: Mapped[float | None]
    ground_m: Mapped[float | None]
    eye_height_m: Mapped[float]
    on_headland: Mapped[bool | None]
    notes: Mapped[str]
    level_datum: Mapped[str]
    flooded_above_m: Mapped[float | None]
    wanted_above_m: Mapped[float | None]
    wanted_below_m: Mapped[float | None]
    wanted_turn: Mapped[WantedTurn] = mapped_column(Choice(WantedTurn))
    shore: Mapped[Shore | None] = mapped_column(Choice(Shore))
    beach_slope: Mapped[float | None]
    seaward_deg: Mapped[float | None]
    coverage: Mapped[Coverage | None] = mapped_column(Choice(Coverage))


class PhotographRow(RecordRow):
    """Keeps a `Photograph`."""

    __tablename__ = "photograph"
    record = Photograph

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    vantage_point_id: Mapped[UUID] = mapped_column(
        ForeignKey("vantage_point.id"), index=True
    )
    caption: Mapped[str]
    jpeg: Mapped[bytes]
    taken: Mapped[datetime | None]


class SubjectRow(RecordRow):
    """Keeps a `Subject`."""

    __tablename__ = "subject"
    record = Subject

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    position: Mapped[Position] = composite(
        mapped_column("lat_deg"), mapped_column("lon_deg")
    )
    height_m: Mapped[float | None]
    ground_m: Mapped[float | None]
    notes: Mapped[str]


class AccessRouteRow(RecordRow):
    """Keeps an `AccessRoute`."""

    __tablename__ = "access_route"
    record = AccessRoute

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    notes: Mapped[str]


class RefugeRow(RecordRow):
    """Keeps a `Refuge`."""

    __tablename__ = "refuge"
    record = Refuge

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    position: Mapped[Position] = composite(
        mapped_column("lat_deg"), mapped_column("lon_deg")
    )
    stays_dry: Mapped[bool | None]
    confirmed: Mapped[date | None]
    notes: Mapped[str]


class StartPlaceRow(RecordRow):
    """Keeps a `StartPlace`."""

    __tablename__ = "start_place"
    record = StartPlace

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    kind: Mapped[StartKind] = mapped_column(Choice(StartKind))
    position: Mapped[Position] = composite(
        mapped_column("lat_deg"), mapped_column("lon_deg")
    )
    hours: Mapped[OpenHours | None] = mapped_column(Hours())
    is_always_open: Mapped[bool | None]
    notes: Mapped[str]


class LegRow(RecordRow):
    """Keeps a `Leg`."""

    __tablename__ = "leg"
    record = Leg

    route_id: Mapped[UUID] = mapped_column(ForeignKey("access_route.id"), index=True)
    number: Mapped[int]
    name: Mapped[str]
    line: Mapped[Line] = mapped_column(line_column())
    distance_m: Mapped[float | None]
    ascent_m: Mapped[float | None]
    descent_m: Mapped[float | None]
    ground: Mapped[Ground] = mapped_column(Choice(Ground))
    is_exposed: Mapped[bool | None]
    daylight_only: Mapped[bool | None]
    walked_in_daylight: Mapped[bool | None]
    is_tidal: Mapped[bool | None]
    shut_above_m: Mapped[float | None]
    shut_datum: Mapped[str]
    refuge_id: Mapped[UUID | None] = mapped_column(ForeignKey("refuge.id"), index=True)
    shore: Mapped[Shore | None] = mapped_column(Choice(Shore))
    beach_slope: Mapped[float | None]
    last_storm: Mapped[date | None]
    on_headland: Mapped[bool | None]
    crosses_water: Mapped[bool | None]
    seaward_deg: Mapped[float | None]


class CrossingObservationRow(RecordRow):
    """Keeps a `CrossingObservation`."""

    __tablename__ = "crossing_observation"
    record = CrossingObservation

    leg_id: Mapped[UUID] = mapped_column(ForeignKey("leg.id"), index=True)
    instant: Mapped[datetime]
    is_passable: Mapped[bool]
    level_m: Mapped[float]
    datum: Mapped[str]
    pressure_hpa: Mapped[float | None]
    is_confirmed: Mapped[bool]
    remark: Mapped[str]


class HazardRow(RecordRow):
    """Keeps a `Hazard`."""

    __tablename__ = "hazard"
    record = Hazard

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    kind: Mapped[HazardKind] = mapped_column(Choice(HazardKind))
    shape: Mapped[Shape] = mapped_column(Choice(Shape))
    line: Mapped[Line] = mapped_column(line_column())
    is_fenced: Mapped[bool | None]
    is_soft: Mapped[bool | None]
    height_m: Mapped[float | None]
    applies: Mapped[str]
    last_confirmed: Mapped[date | None]
    notes: Mapped[str]


class AccessNoteRow(RecordRow):
    """Keeps an `AccessNote`."""

    __tablename__ = "access_note"
    record = AccessNote

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    day: Mapped[date]
    kind: Mapped[NoteKind] = mapped_column(Choice(NoteKind))
    text: Mapped[str]
    review_after: Mapped[date | None]


class PermitRow(RecordRow):
    """Keeps a `Permit`."""

    __tablename__ = "permit"
    record = Permit

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    owner: Mapped[str]
    allows: Mapped[str]
    commercial_use: Mapped[bool | None]
    drone: Mapped[bool | None]
    expires: Mapped[date | None]
    notes: Mapped[str]


class ClosureRow(RecordRow):
    """Keeps a `Closure`."""

    __tablename__ = "closure"
    record = Closure

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    kind: Mapped[ClosureKind] = mapped_column(Choice(ClosureKind))
    first_day: Mapped[date | None]
    last_day: Mapped[date | None]
    season: Mapped[Season | None] = mapped_column(Yearly())
    hours: Mapped[OpenHours | None] = mapped_column(Hours())
    shape: Mapped[Shape] = mapped_column(Choice(Shape))
    line: Mapped[Line] = mapped_column(line_column())
    source: Mapped[str]
    last_confirmed: Mapped[date | None]
    notes: Mapped[str]


class TideTableRow(RecordRow):
    """Keeps a `TideTable`."""

    __tablename__ = "tide_table"
    record = TideTable

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    port: Mapped[str]
    zone: Mapped[str]
    datum: Mapped[str]
    unit: Mapped[str]
    source: Mapped[str]
    turns: Mapped[tuple[Turn, ...]] = mapped_column(turn_column())
    exposure: Mapped[Exposure | None] = mapped_column(Choice(Exposure))
    is_distorted: Mapped[bool | None]


class ForecastRow(RecordRow):
    """Keeps a `Forecast`."""

    __tablename__ = "forecast"
    record = Forecast

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    issued: Mapped[datetime]
    source: Mapped[str]
    hours: Mapped[tuple[ForecastHour, ...]] = mapped_column(hour_column())


class TripRow(RecordRow):
    """Keeps a `Trip`."""

    __tablename__ = "trip"
    record = Trip

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    day: Mapped[date]
    latest_return: Mapped[datetime | None]
    raise_alarm: Mapped[datetime | None]
    party: Mapped[int]
    lights: Mapped[int | None]
    contact: Mapped[str]
    emergency: Mapped[str]
    pace_factor: Mapped[float]
    notes: Mapped[str]
    sea: Mapped[SeaState | None] = mapped_column(Choice(SeaState))
    wave_height_m: Mapped[float | None]
    wave_period_s: Mapped[float | None]
    rain_48h_mm: Mapped[float | None]
    start_place_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("start_place.id"), index=True
    )
    end_place_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("start_place.id"), index=True
    )
    meeting_place_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("start_place.id"), index=True
    )
    earliest_start: Mapped[datetime | None]
    walking_rule: Mapped[WalkingRule] = mapped_column(Choice(WalkingRule))
    pack_factor: Mapped[float]
    break_min: Mapped[float]
    wake: Mapped[datetime | None]
    drive_out_min: Mapped[float | None]
    drive_back_min: Mapped[float | None]
    kit_up_min: Mapped[float | None]
    car: Mapped[str]
    alarm_with: Mapped[str]
    kit: Mapped[str]


class StopRow(RecordRow):
    """Keeps a `Stop`."""

    __tablename__ = "stop"
    record = Stop

    trip_id: Mapped[UUID] = mapped_column(ForeignKey("trip.id"), index=True)
    number: Mapped[int]
    vantage_point_id: Mapped[UUID] = mapped_column(
        ForeignKey("vantage_point.id"), index=True
    )
    arrive: Mapped[datetime]
    leave: Mapped[datetime]
    subject_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("subject.id"), index=True
    )
    wanted: Mapped[str]
    conditions: Mapped[tuple[Condition, ...]] = mapped_column(condition_column())
    is_must: Mapped[bool]
    least_min: Mapped[float]
    wish_min: Mapped[float]
    setup_min: Mapped[float]
    is_pinned: Mapped[bool]


class WalkRow(RecordRow):
    """Keeps a `Walk`."""

    __tablename__ = "walk"
    record = Walk

    trip_id: Mapped[UUID] = mapped_column(ForeignKey("trip.id"), index=True)
    leg_id: Mapped[UUID] = mapped_column(ForeignKey("leg.id"), index=True)
    start: Mapped[datetime]
    finish: Mapped[datetime]
    is_reversed: Mapped[bool]
    from_share: Mapped[float]
    to_share: Mapped[float]


class GateRow(RecordRow):
    """Keeps a `Gate`."""

    __tablename__ = "gate"
    record = Gate

    trip_id: Mapped[UUID] = mapped_column(ForeignKey("trip.id"), index=True)
    number: Mapped[int]
    name: Mapped[str]
    kind: Mapped[GateKind] = mapped_column(Choice(GateKind))
    leg_id: Mapped[UUID | None] = mapped_column(ForeignKey("leg.id"), index=True)
    vantage_point_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("vantage_point.id"), index=True
    )
    must_see: Mapped[str]
    fallback: Mapped[str]
    decide_by: Mapped[datetime | None]


class DateSearchRow(RecordRow):
    """Keeps a `DateSearch`."""

    __tablename__ = "date_search"
    record = DateSearch

    location_id: Mapped[UUID] = mapped_column(ForeignKey("location.id"), index=True)
    name: Mapped[str]
    first_day: Mapped[date]
    last_day: Mapped[date]
    conditions: Mapped[tuple[Condition, ...]] = mapped_column(condition_column())
    vantage_point_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("vantage_point.id"), index=True
    )
    subject_id: Mapped[UUID | None] = mapped_column(
        ForeignKey("subject.id"), index=True
    )
    least_min: Mapped[float]


class ElevationFileRow(RecordRow):
    """Keeps an `ElevationFile`."""

    __tablename__ = "elevation_file"
    record = ElevationFile

    name: Mapped[str]
    path: Mapped[str]
    keeping: Mapped[Keeping] = mapped_column(Choice(Keeping))
    is_surface: Mapped[bool | None]
    leaves_sea_out: Mapped[bool]
    credit: Mapped[str]


class TickRow(RecordRow):
    """Keeps a `Tick`."""

    __tablename__ = "tick"
    record = Tick

    trip_id: Mapped[UUID] = mapped_column(ForeignKey("trip.id"), index=True)
    item: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]
    reason: Mapped[str]


class CheckRunRow(RecordRow):
    """Keeps a `CheckRun`."""

    __tablename__ = "check_run"
    record = CheckRun

    trip_id: Mapped[UUID] = mapped_column(ForeignKey("trip.id"), index=True)
    at: Mapped[datetime]
    overall: Mapped[str]
    findings: Mapped[tuple[RecordedFinding, ...]] = mapped_column(finding_column())


class DraftRow(Base):
    """Keeps what is being typed into a field and is no edit yet."""

    __tablename__ = "draft"

    record_id: Mapped[UUID] = mapped_column(primary_key=True)
    field: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]


ROW_OF: dict[type[Any], type[RecordRow]] = {
    row.record: row
    for row in (
        StationRow,
        LocationRow,
        VantagePointRow,
        PhotographRow,
        SubjectRow,
        AccessRouteRow,
        RefugeRow,
        StartPlaceRow,
        LegRow,
        CrossingObservationRow,
        HazardRow,
        AccessNoteRow,
        PermitRow,
        ClosureRow,
        TideTableRow,
        ForecastRow,
        TripRow,
        StopRow,
        WalkRow,
        GateRow,
        DateSearchRow,
        ElevationFileRow,
        TickRow,
        CheckRunRow,
    )
}


def row_of(record: Any) -> RecordRow:
    """A new row that keeps a record."""
    values = {f.name: getattr(record, f.name) for f in fields(record)}
    return ROW_OF[type(record)](**values)


def record_of(row: RecordRow) -> Any:
    """The record that a row keeps."""
    return row.record(**{f.name: getattr(row, f.name) for f in fields(row.record)})
