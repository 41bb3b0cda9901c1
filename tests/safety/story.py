"""A trip on which nothing is wrong, for tests to spoil one fact at a time.

The tide is NOAA's for San Francisco; everything else is invented.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from fieldtrip.geo import Position, destination
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Coverage,
    Ground,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Permit,
    Refuge,
    Shape,
    Shore,
    StartKind,
    StartPlace,
    VantagePoint,
)
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Gate, GateKind, Stop, Tick, Trip, Walk
from fieldtrip.weather.records import Forecast, ForecastHour

NOAA = Path(__file__).parents[1] / "data" / "noaa_san_francisco_2026-08.csv"


def at(hour: int, minute: int = 0, day: int = 15) -> datetime:
    """An instant of August 2026, UTC."""
    return datetime(2026, 8, day, hour, minute, tzinfo=UTC)


NOW = at(12)
LOCATION = Location(
    name="Grey Strand",
    position=Position(37.8, -122.5),
    zone="America/Los_Angeles",
    coverage=Coverage.GOOD,
    nearest_road="The shore road, a mile inland",
)
ROUTE = AccessRoute(location_id=LOCATION.id, name="Over the bar")
REFUGE = Refuge(
    location_id=LOCATION.id,
    name="Gorse Mound",
    position=LOCATION.position,
    stays_dry=True,
    confirmed=date(2026, 5, 2),
)
LEG = Leg(
    route_id=ROUTE.id,
    number=1,
    name="The bar",
    line=(LOCATION.position, destination(LOCATION.position, 270.0, 300.0)),
    ascent_m=0.0,
    descent_m=0.0,
    ground=Ground.PATH,
    is_exposed=True,
    daylight_only=False,
    walked_in_daylight=True,
    is_tidal=True,
    shut_above_m=0.60,
    shut_datum="MLLW",
    shore=Shore.SHELTERED,
    refuge_id=REFUGE.id,
    on_headland=False,
    crosses_water=False,
)
VANTAGE = VantagePoint(
    location_id=LOCATION.id,
    name="The step",
    position=LEG.line[-1],
    position_error_m=3.0,
    ground_m=12.0,
    on_headland=False,
    shore=Shore.SHELTERED,
)
CAR_PARK = StartPlace(
    location_id=LOCATION.id,
    name="Shore car park",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
    hours=OpenHours(time(5, 0), time(22, 0)),
)
WORKS = Closure(
    location_id=LOCATION.id,
    name="Sea wall works",
    kind=ClosureKind.WORKS,
    first_day=date(2026, 9, 1),
    last_day=date(2026, 9, 30),
    last_confirmed=date(2026, 8, 1),
)
NESTING = Closure(
    location_id=LOCATION.id,
    name="Plover ground",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(3, 1), MonthDay(7, 31)),
    last_confirmed=date(2026, 8, 1),
)
PERMIT = Permit(location_id=LOCATION.id, name="Tripods", expires=date(2026, 12, 31))


def edge_at(distance_m: float, **changes: Any) -> Hazard:
    """An edge that runs north and south, so far west of the vantage point."""
    middle = destination(VANTAGE.position, 270.0, distance_m)
    line = (destination(middle, 0.0, 200.0), destination(middle, 180.0, 200.0))
    edge = Hazard(
        location_id=LOCATION.id,
        name="West edge",
        kind=HazardKind.CLIFF_EDGE,
        shape=Shape.LINE,
        line=line,
        is_fenced=False,
        is_soft=False,
        last_confirmed=date(2026, 5, 2),
    )
    return replace(edge, **changes)


def san_francisco() -> TideTable:
    """NOAA's official turns of a week; see tests/data/SOURCES.md."""
    rows = [line.split(",") for line in NOAA.read_text().splitlines()[1:]]
    return TideTable(
        location_id=LOCATION.id,
        port="San Francisco",
        zone="UTC",
        datum="MLLW",
        unit="m",
        source="NOAA CO-OPS",
        turns=tuple(
            Turn(datetime.fromisoformat(f"{when}Z"), float(height), kind == "H")
            for when, height, kind in rows
        ),
        exposure=Exposure.OPEN_COAST,
        is_distorted=False,
    )


def calm(**values: Any) -> Forecast:
    """A quiet forecast from the day before; what is given holds in every hour."""
    usual: dict[str, Any] = {
        "wind_m_s": 3.0,
        "gust_m_s": 5.0,
        "wind_from_deg": 270.0,  # from the drop that `edge_at` makes
        "cloud_percent": 20.0,
        "rain_mm": 0.0,
        "pressure_hpa": 1015.0,
        "temperature_c": 15.0,
        "thunder_percent": 0.0,
        "visibility_m": 20_000.0,
        "wave_height_m": 0.5,
        "wave_period_s": 6.0,
        "wave_from_deg": 270.0,
    }
    first = at(12, day=14)
    return Forecast(
        location_id=LOCATION.id,
        issued=at(6),
        source="Coastal forecast",
        hours=tuple(
            ForecastHour(instant=first + timedelta(hours=i), **(usual | values))
            for i in range(40)
        ),
    )


TRIP = Trip(
    location_id=LOCATION.id,
    name="Morning on the bar",
    day=date(2026, 8, 15),
    latest_return=at(16),
    raise_alarm=at(18),
    party=1,
    lights=2,
    contact="A. Friend, by telephone",
    emergency="112; coverage at the car park",
    alarm_with="The coastguard, 112",
    rain_48h_mm=0.0,
    start_place_id=CAR_PARK.id,
    wake=at(12),
    drive_out_min=60.0,
    drive_back_min=60.0,
    kit_up_min=15.0,
)
GATE = Gate(
    trip_id=TRIP.id,
    number=1,
    name="Before the bar",
    kind=GateKind.LEG,
    leg_id=LEG.id,
    must_see="The bar bare from end to end",
    fallback="Photograph from the shore",
)


def tick(item: str, reason: str = "") -> Tick:
    """A tick by the photographer on the morning."""
    return Tick(
        trip_id=TRIP.id, item=item, at=at(11), by="P. Hotographer", reason=reason
    )


def walk(hour: int, minute: int, minutes: int = 10, *, back: bool = False) -> Walk:
    """The bar walked at a time."""
    start = at(hour, minute)
    return Walk(
        trip_id=TRIP.id,
        leg_id=LEG.id,
        start=start,
        finish=start + timedelta(minutes=minutes),
        is_reversed=back,
    )


def stop(arrive: datetime, leave: datetime) -> Stop:
    """A stay at the step."""
    return Stop(
        trip_id=TRIP.id,
        number=1,
        vantage_point_id=VANTAGE.id,
        arrive=arrive,
        leave=leave,
    )


@dataclass(frozen=True, kw_only=True)
class Story:
    """The records of a trip; `replace` one to spoil it."""

    leg: Leg = LEG
    refuge: Refuge | None = REFUGE
    vantage: VantagePoint = VANTAGE
    edges: tuple[Hazard, ...] = (edge_at(30.0),)
    notes: tuple[AccessNote, ...] = ()
    tables: tuple[TideTable, ...] = field(default_factory=lambda: (san_francisco(),))
    forecast: Forecast | None = field(default_factory=calm)
    trip: Trip = TRIP
    stops: tuple[Stop, ...] = (stop(at(14, 45), at(14, 55)),)
    walks: tuple[Walk, ...] = (walk(14, 30), walk(15, 0, back=True))
    gates: tuple[Gate, ...] = (GATE,)
    starts: tuple[StartPlace, ...] = (CAR_PARK,)
    closures: tuple[Closure, ...] = (WORKS, NESTING)
    permits: tuple[Permit, ...] = (PERMIT,)
    location: Location = LOCATION
    ticks: tuple[Tick, ...] = field(
        default_factory=lambda: (tick(told_key()), tick(foot_key()))
    )
    now: datetime = NOW

    def dossier(self) -> Dossier:
        """The same as the store would hand it out."""
        return Dossier(
            location=self.location,
            vantage_points=(self.vantage,),
            routes=(ROUTE,),
            legs=(self.leg,),
            refuges=() if self.refuge is None else (self.refuge,),
            hazards=self.edges,
            notes=self.notes,
            tide_tables=self.tables,
            forecasts=() if self.forecast is None else (self.forecast,),
            trips=(self.trip,),
            stops=self.stops,
            walks=self.walks,
            gates=self.gates,
            start_places=self.starts,
            closures=self.closures,
            permits=self.permits,
            ticks=self.ticks,
        )

    def facts(self) -> TripFacts:
        """What the checks are given."""
        return facts_of(self.dossier(), self.trip, self.now)

    def found(self, rule: Rule, limits: Limits | None = None) -> Finding:
        """The worst finding of a rule."""
        findings = check(self.facts(), limits).findings
        return next(finding for finding in findings if finding.rule is rule)

    def with_leg(self, **changes: Any) -> Story:
        """The same with other facts about the leg."""
        return replace(self, leg=replace(self.leg, **changes))

    def with_vantage(self, **changes: Any) -> Story:
        """The same with other facts about the vantage point."""
        return replace(self, vantage=replace(self.vantage, **changes))

    def with_forecast(self, **values: Any) -> Story:
        """The same with these values in every hour of the forecast."""
        return replace(self, forecast=calm(**values))

    def with_table(self, **changes: Any) -> Story:
        """The same with other facts about the port."""
        return replace(self, tables=(replace(self.tables[0], **changes),))

    def with_trip(self, **changes: Any) -> Story:
        """The same with other facts about the trip."""
        return replace(self, trip=replace(self.trip, **changes))

    def walked_at(self, hour: int, minute: int) -> Story:
        """The same with one walk over the bar and nothing else."""
        return replace(self, walks=(walk(hour, minute),), stops=())


def told_key() -> str:
    """What a tick for having told someone of the story as it is names."""
    return Story(ticks=()).found(Rule.SOMEONE_TOLD).key


def foot_key() -> str:
    """What a tick for having looked for cliffs above the bar names."""
    return Story(ticks=()).found(Rule.CLIFF_FOOT).key


CLEAR = Story()
BAD = (Severity.STOP, Severity.UNKNOWN)
NOBODY = UUID(int=0)
ANOTHER = uuid4()
