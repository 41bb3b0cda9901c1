"""The demo library: an invented island group, an invented port, an evening's trip.

Nothing here is real, and the window says so.  The days follow the day on which the
demo is opened: the trip falls on the first evening from tomorrow on with low water
shortly before sunset, so that the story is always the same.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from pathlib import Path

from fieldtrip.files import own_folder
from fieldtrip.geo import Line, Position
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
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.sky.events import EventName, events_between
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Change, Record, Store
from fieldtrip.terrain.records import ElevationFile, Keeping
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.records import Exposure, Turn
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import Span, local_day
from fieldtrip.trips.records import Gate, GateKind, SeaState, Stop, Trip, Walk
from fieldtrip.trips.walking import walking_time
from fieldtrip.trips.wanted import AroundEvent, DayHalf, SunBand
from fieldtrip.weather.records import Forecast, ForecastHour

ZONE = "Europe/Dublin"
TRIP_NAME = "Evening on the holms"
_MINUTE = timedelta(minutes=1)
_HOUR = timedelta(hours=1)

# An invented semidiurnal port, with the five constituents that say most.
_PORT = HarmonicConstants(
    port="Keel quay (invented)",
    datum="chart datum",
    z0_m=2.4,
    constants=(
        Constant("M2", 1.46, 108.0),
        Constant("S2", 0.48, 15.0),
        Constant("N2", 0.29, 77.0),
        Constant("K1", 0.08, 137.0),
        Constant("O1", 0.06, 0.0),
    ),
)


def outline_file() -> Path:
    """The drawing of the land, as GeoJSON."""
    return own_folder("resources") / "demo" / "coast.geojson"


def ground_file() -> ElevationFile:
    """The heights of the land, which come with the program."""
    return ElevationFile(
        name="Keel Holms, 10 m (invented)",
        path="demo/terrain.tif",
        keeping=Keeping.BUNDLED,
        is_surface=False,
        leaves_sea_out=True,
    )


def make_demo(path: Path, today: date) -> None:
    """Write the demo library to a new file."""
    store = Store.open(path)
    try:
        store.apply(Change(None, record) for record in demo_records(today))
    finally:
        store.close()


def demo_records(today: date) -> list[Record]:
    """Every record of the demo, in the order in which they depend on each other."""
    port = _station()
    keel = Location(
        name="Keel Holms",
        position=_at(-300, 0),
        zone=ZONE,
        notes="An invented island group. Boat slip in the east; no shelter on the "
        "holm.",
        emergency="112, or the harbour office (invented) on ship's radio",
        coverage=Coverage.PATCHY,
        nearest_road="None on the islands; help comes by boat to the slip",
        station_id=port.id,
        is_station_beyond_headland=False,
    )
    anvil = Location(
        name="Anvil Strand",
        position=_at(-1200, 2250),
        zone=ZONE,
        notes="Not visited yet. Looks worth a low spring tide.",
    )
    day, low_water, sunset = _evening(keel.position, today)
    places = _Keel(keel, today)
    trip = Trip(
        location_id=keel.id,
        name=TRIP_NAME,
        day=day,
        latest_return=_up_to_five(sunset + 2 * _HOUR + 15 * _MINUTE),
        raise_alarm=_up_to_five(sunset + 3 * _HOUR + 30 * _MINUTE),
        lights=2,
        sea=SeaState.CALM,
        rain_48h_mm=4.0,
        contact="Harbour office, Keel quay (invented), ship's radio or 000 555 0100",
        emergency="112; signal on the heights only",
        notes="Low sun over the arch first, then the tower against the sunset.",
        start_place_id=places.field.id,
        meeting_place_id=places.quay.id,
        wake=local_day(day, ZONE).start + 8 * _HOUR,
        drive_out_min=75.0,
        drive_back_min=75.0,
        kit_up_min=15.0,
        car="Grey estate car, plate 000-K-000 (invented)",
        alarm_with="Coastguard, 112: ask for the Keel boat",
        kit="Two headlamps, spare batteries\nShip's radio in a dry bag\nTide table, "
        "printed\nWarm layer, whistle",
    )
    dawn = Trip(
        location_id=keel.id,
        name="Dawn, lagoon",
        day=day + timedelta(days=9),
        notes="Draft. Mirror of the boathouse; wants calm and a high lagoon.",
    )
    return [
        port,
        keel,
        anvil,
        *places.records(),
        VantagePoint(
            location_id=anvil.id, name="Strand west end", position=_at(-1600, 2250)
        ),
        ground_file(),
        _forecast(keel, day, today),
        trip,
        dawn,
        *_evening_plan(trip, places, low_water),
        *_gates(trip, places),
        *_dawn_plan(dawn, places),
    ]


class _Keel:
    """What stands and lies on the main island and its holm."""

    def __init__(self, keel: Location, today: date) -> None:
        def months_ago(months: int) -> date:
            return today - timedelta(days=round(30.44 * months))

        at = keel.id
        self.gully_head = VantagePoint(
            location_id=at, name="Gully head", position=_at(-560, 666), ground_m=84.0,
            position_error_m=4.0, on_headland=True, coverage=Coverage.GOOD,
            shore=Shore.SHELTERED,
            notes="Flat slab, room for one tripod. The turf ends without warning.",
        )  # fmt: skip
        self.bar_end = VantagePoint(
            location_id=at, name="Bar end", position=_at(1180, 545), ground_m=4.0,
            position_error_m=5.0, on_headland=False, coverage=Coverage.NONE,
            shore=Shore.STONES, seaward_deg=215.0,
            level_datum="chart datum", flooded_above_m=5.6,
            notes="Shingle shelf on the holm's side. Reached over the bar only.",
        )  # fmt: skip
        self.lagoon_step = VantagePoint(
            location_id=at, name="Lagoon step", position=_at(95, -765), ground_m=2.0,
            position_error_m=5.0, eye_height_m=0.6, on_headland=False,
            shore=Shore.SHELTERED, coverage=Coverage.PATCHY,
            notes="Low down: the boathouse mirrors when the wind drops.",
        )  # fmt: skip
        self.tower = Subject(
            location_id=at, name="Old signal tower", position=_at(1440, 650),
            height_m=14.0, ground_m=22.0,
        )  # fmt: skip
        self.arch = Subject(
            location_id=at, name="Split arch", position=_at(-1120, -640),
            height_m=11.0, ground_m=1.0,
        )  # fmt: skip
        self.boathouse = Subject(
            location_id=at, name="Boathouse", position=_at(140, -548),
            height_m=5.0, ground_m=2.0,
        )  # fmt: skip
        self.shoulder = Refuge(
            location_id=at, name="Holm shoulder", position=_at(1360, 600),
            stays_dry=True, confirmed=months_ago(5),
            notes="Turf above the wrack line. No shelter from wind.",
        )  # fmt: skip
        self.field = StartPlace(
            location_id=at, name="Slip field", kind=StartKind.CAR_PARK,
            position=_at(560, -510), hours=OpenHours(time(5), time(1)),
            notes="Room for six cars. The barrier is shut by hand.",
        )  # fmt: skip
        self.quay = StartPlace(
            location_id=at, name="Keel quay", kind=StartKind.MEETING,
            position=_at(760, -560), is_always_open=True,
            notes="The harbour office can be seen from here.",
        )  # fmt: skip
        self.gully_way = AccessRoute(
            location_id=at, name="Gully way", notes="From the slip to the north edge."
        )
        self.bar_way = AccessRoute(
            location_id=at, name="Bar way", notes="The only way to the holm."
        )
        self.moor = Leg(
            route_id=self.gully_way.id, number=1, name="Moor path",
            line=_line((575, -500), (660, -420), (430, -300), (120, -160), (-180, 60)),
            ascent_m=38.0, descent_m=4.0, ground=Ground.PATH, is_exposed=False,
            daylight_only=False, walked_in_daylight=True, is_tidal=False,
            on_headland=False, crosses_water=True,
        )  # fmt: skip
        self.gully = Leg(
            route_id=self.gully_way.id, number=2, name="Gully path",
            line=_line((-180, 60), (-300, 240), (-430, 420), (-520, 560), (-560, 660)),
            ascent_m=46.0, descent_m=2.0, ground=Ground.PATHLESS, is_exposed=True,
            daylight_only=True, walked_in_daylight=True, is_tidal=False,
            on_headland=True, crosses_water=False,
        )  # fmt: skip
        self.to_bar = Leg(
            route_id=self.bar_way.id, number=1, name="Wall path",
            line=_line((575, -500), (660, -420), (560, -220), (500, 60), (520, 220),
                       (615, 325)),
            ascent_m=22.0, descent_m=30.0, ground=Ground.PATH, is_exposed=False,
            daylight_only=False, walked_in_daylight=True, is_tidal=False,
            on_headland=False, crosses_water=False,
        )  # fmt: skip
        self.bar = Leg(
            route_id=self.bar_way.id, number=2, name="Shingle bar",
            line=_line((615, 325), (790, 440), (960, 500), (1140, 520), (1172, 541)),
            ascent_m=2.0, descent_m=2.0, ground=Ground.PATHLESS, is_exposed=False,
            daylight_only=False, walked_in_daylight=True, is_tidal=True,
            shut_above_m=2.0, shut_datum="chart datum", refuge_id=self.shoulder.id,
            shore=Shore.STONES, seaward_deg=215.0,
            on_headland=False, crosses_water=False,
        )  # fmt: skip
        self.north_edge = Hazard(
            location_id=at, name="North edge", kind=HazardKind.CLIFF_EDGE,
            shape=Shape.LINE,
            # The drop, to the north, on the right hand.
            line=_line((-255, 440), (-330, 560), (-420, 625), (-500, 676),
                       (-640, 682), (-800, 690), (-1020, 648)),
            is_fenced=False, height_m=70.0, last_confirmed=months_ago(18),
            is_soft=False,
            notes="Firm rock. The turf runs to the very edge and hides it.",
        )  # fmt: skip
        self.hazards = (
            self.north_edge,
            Hazard(
                location_id=at, name="Bar floods fast", kind=HazardKind.TIDE,
                shape=Shape.AREA,
                line=_line((640, 300), (800, 390), (1130, 470), (1120, 580),
                           (780, 500), (610, 390)),
                applies="from about an hour and a half after low water",
                last_confirmed=months_ago(5),
            ),
            Hazard(
                location_id=at, name="Weed on the slip steps",
                kind=HazardKind.SLIPPERY, shape=Shape.POINT, line=(_at(700, -430),),
                last_confirmed=months_ago(7),
            ),
        )  # fmt: skip
        self.notes = (
            AccessNote(
                location_id=at, day=months_ago(5), kind=NoteKind.PARKING,
                text="Mooring at the slip for two small boats; ask at the quay.",
                review_after=today + timedelta(days=210),
            ),
            AccessNote(
                location_id=at, day=months_ago(16), kind=NoteKind.CLOSURE,
                text="Terns nest on the holm from May to July: keep off then.",
                review_after=months_ago(4),
            ),
        )  # fmt: skip

        self.permit = Permit(
            location_id=at, name="Tripods on the holm", owner="The island wardens",
            allows="A tripod on the shore and on the shoulder, not in the turf.",
            commercial_use=True, drone=False, expires=today + timedelta(days=200),
        )  # fmt: skip
        self.closures = (
            Closure(
                location_id=at, name="Tern colony", kind=ClosureKind.NESTING,
                season=Season(MonthDay(5, 1), MonthDay(7, 31)),
                line=_line((1130, 640), (1250, 700), (1380, 680), (1400, 560),
                           (1260, 520)),
                source="The wardens' board at the slip", last_confirmed=months_ago(5),
            ),
            Closure(
                location_id=at, name="Slip gate", kind=ClosureKind.HOURS,
                hours=OpenHours(time(5, 30), time(0, 30)),
                shape=Shape.POINT, line=(_at(640, -470),),
                source="The board at the gate", last_confirmed=months_ago(5),
            ),
        )  # fmt: skip

    def records(self) -> list[Record]:
        """All of them, routes before their legs."""
        return [
            self.gully_head, self.bar_end, self.lagoon_step,
            self.tower, self.arch, self.boathouse, self.shoulder,
            self.field, self.quay,
            self.gully_way, self.bar_way,
            self.moor, self.gully, self.to_bar, self.bar,
            *self.hazards, *self.notes, self.permit, *self.closures,
        ]  # fmt: skip


def _evening_plan(trip: Trip, keel: _Keel, low_water: datetime) -> Iterable[Record]:
    """Two stops; the second is left too late for the bar, as the checks will say."""
    over_bar = _down_to_five(low_water - 40 * _MINUTE)
    leave_bar_end = _down_to_five(low_water + 95 * _MINUTE)
    way_over = [(keel.gully, True), (keel.moor, True), (keel.to_bar, False)]
    leave_gully_head = _down_to_five(
        over_bar - sum((_time(*step) for step in way_over), timedelta())
    )
    reach_gully_head = leave_gully_head - 55 * _MINUTE
    way_up = [(keel.moor, False), (keel.gully, False)]
    start = _down_to_five(
        reach_gully_head - sum((_time(*step) for step in way_up), timedelta())
    )
    return [
        Stop(
            trip_id=trip.id, number=1, vantage_point_id=keel.gully_head.id,
            arrive=reach_gully_head, leave=leave_gully_head,
            subject_id=keel.arch.id,
            conditions=(SunBand(low_deg=3.0, high_deg=25.0, half=DayHalf.EVENING),),
            least_min=20.0, wish_min=45.0, setup_min=10.0,
        ),
        Stop(
            trip_id=trip.id, number=2, vantage_point_id=keel.bar_end.id,
            arrive=over_bar + _time(keel.bar, False), leave=leave_bar_end,
            subject_id=keel.tower.id, wanted="sunset, tower",
            conditions=(
                AroundEvent(event=EventName.SUNSET, before_min=40.0, after_min=20.0),
            ),
            least_min=20.0, wish_min=45.0, setup_min=15.0,
        ),
        *_walks(trip, start, way_up),
        *_walks(trip, leave_gully_head, way_over),
        *_walks(trip, over_bar, [(keel.bar, False)]),
        *_walks(trip, leave_bar_end, [(keel.bar, True), (keel.to_bar, True)]),
    ]  # fmt: skip


def _gates(trip: Trip, keel: _Keel) -> Iterable[Record]:
    """Where one decides, what must be seen there, and what is done instead."""
    return [
        Gate(
            trip_id=trip.id, number=1, name="The door", kind=GateKind.HOME,
            must_see="the forecast looked up again, and no thunder in it",
            fallback="stay at home; the next spring tide is in a fortnight",
        ),
        Gate(
            trip_id=trip.id, number=2, name="Top of the moor", kind=GateKind.LEG,
            leg_id=keel.gully.id,
            must_see="dry turf, and gusts in which one stands without leaning",
            fallback="the boathouse from Lagoon step",
        ),
        Gate(
            trip_id=trip.id, number=3, name="Edge of the bar", kind=GateKind.LEG,
            leg_id=keel.bar.id,
            must_see="the bar bare from end to end, and no swell over the shingle",
            fallback="the tower from the end of the wall path",
        ),
    ]  # fmt: skip


def _walks(
    trip: Trip, start: datetime, way: Iterable[tuple[Leg, bool]]
) -> Iterable[Walk]:
    """Legs walked one after another, each in the direction given (True: back)."""
    for leg, is_reversed in way:
        finish = start + _time(leg, is_reversed)
        yield Walk(
            trip_id=trip.id,
            leg_id=leg.id,
            start=start,
            finish=finish,
            is_reversed=is_reversed,
        )
        start = finish


def _time(leg: Leg, is_reversed: bool) -> timedelta:
    """The walking rule's time for a leg, up to a whole minute."""
    up, down = leg.ascent_m, leg.descent_m
    if is_reversed:
        up, down = down, up
    time = walking_time(leg.length_m, up, down, leg.ground, 1.0)
    return -(-time // _MINUTE) * _MINUTE


def _dawn_plan(trip: Trip, keel: _Keel) -> Iterable[Record]:
    site = Site(keel.lagoon_step.position)
    day = local_day(trip.day, ZONE)
    rises = [
        event.instant
        for event in events_between(site, day.start, day.stop)
        if event.name is EventName.SUNRISE
    ]
    return [
        Stop(
            trip_id=trip.id,
            number=1,
            vantage_point_id=keel.lagoon_step.id,
            arrive=_down_to_five(rise - 40 * _MINUTE),
            leave=_up_to_five(rise + 30 * _MINUTE),
            subject_id=keel.boathouse.id,
            wanted="mirror before sunrise",
        )
        for rise in rises[:1]
    ]


def _evening(position: Position, today: date) -> tuple[date, datetime, datetime]:
    """The first day from tomorrow on with low water shortly before sunset."""
    site = Site(position)
    for ahead in range(1, 60):
        day = today + timedelta(days=ahead)
        span = local_day(day, ZONE)
        sunsets = [
            event.instant
            for event in events_between(site, span.start, span.stop)
            if event.name is EventName.SUNSET
        ]
        for turn in _turns(span.start, span.stop):
            if turn.is_high:
                continue
            for sunset in sunsets:
                before = sunset - turn.instant
                if 5 * _MINUTE <= before <= 65 * _MINUTE and turn.height_m < 1.25:
                    return day, turn.instant, sunset
    raise AssertionError("springs return every fortnight")


def _station() -> Station:
    return Station(
        name=_PORT.port,
        kind=StationKind.CONSTANTS,
        datum=_PORT.datum,
        position=_at(760, -560),
        zone=ZONE,
        z0_m=_PORT.z0_m,
        constants=_PORT.constants,
        exposure=Exposure.OCEAN_ISLAND,
        is_distorted=False,
        source="Invented for the demo",
    )


def _forecast(keel: Location, day: date, today: date) -> Forecast:
    """Typed this morning for the day of the trip: a breeze that goes down at dusk."""
    span = local_day(day, ZONE)
    hours = []
    for i in range(-16, 23):  # with the day before, whose rain counts at an edge
        wind = 6.2 + 1.5 * math.exp(-(((i % 24 - 15.0) / 3.0) ** 2))
        hours.append(
            ForecastHour(
                instant=span.start + i * _HOUR,
                wind_m_s=round(wind, 1),
                gust_m_s=round(wind * 1.42, 1),
                wind_from_deg=float(295 + (i - 8)),
                cloud_percent=float(35 + (i - 8)),
                rain_mm=0.0,
                temperature_c=round(12.5 - abs(i % 24 - 14) * 0.35, 1),
                pressure_hpa=1014.0 - 0.3 * (i - 8),
                thunder_percent=2.0,
                visibility_m=1000.0 * (18 - abs(i % 24 - 14) // 3),
                wave_height_m=round(0.7 + 0.01 * (i - 8), 1),
                wave_period_s=8.0,
                wave_from_deg=245.0,
            )
        )
    return Forecast(
        location_id=keel.id,
        issued=local_day(today, ZONE).start + 6 * _HOUR,
        source="Invented for the demo",
        hours=tuple(hours),
    )


def _turns(start: datetime, stop: datetime) -> tuple[Turn, ...]:
    """High and low waters of the invented port."""
    return HarmonicCurve(HarmonicSum(_PORT)).turns(Span(start, stop))


def _at(east_m: float, north_m: float) -> Position:
    """Metres east and north of 49.6° N, 8.4° W, as in resources/demo/make_coast.py."""
    return Position(
        round(49.6 + north_m / 111_229.0, 6), round(-8.4 + east_m / 72_265.0, 6)
    )


def _line(*points: tuple[float, float]) -> Line:
    return tuple(_at(east, north) for east, north in points)


def _down_to_five(instant: datetime) -> datetime:
    return instant.replace(minute=instant.minute // 5 * 5, second=0, microsecond=0)


def _up_to_five(instant: datetime) -> datetime:
    return _down_to_five(instant + 5 * _MINUTE - timedelta(microseconds=1))
