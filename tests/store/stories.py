"""Records to keep: one small invented coast, and any record at all."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, timezone
from enum import StrEnum
from typing import Any, TypeVar
from uuid import UUID

from hypothesis import strategies as st

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
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
from fieldtrip.store.changes import Change, Record
from fieldtrip.terrain.records import ElevationFile, Keeping
from fieldtrip.tides.constants import Constant
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.tides.secondary import (
    ClockDifferences,
    HighAndLowOffsets,
    InterpolatedDifferences,
    Offset,
    RatioAboutMeanLevel,
)
from fieldtrip.tides.stations import Station, StationKind
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
from fieldtrip.trips.wanted import (
    Alignment,
    Allowed,
    AroundEvent,
    AroundTurn,
    ClockTime,
    DayHalf,
    GalacticCentreUp,
    InSeason,
    LightFrom,
    LightSide,
    MoonIs,
    MoonLit,
    MoonWish,
    OnWeekdays,
    SubjectLight,
    SunBand,
    TideRange,
    TripPossible,
    WaterLevel,
    WayOpen,
    Weather,
)
from fieldtrip.weather.records import Forecast, ForecastHour

NOON = datetime(2026, 8, 15, 12, 0, tzinfo=UTC)
HERE = Position(49.6, -8.4)
THERE = Position(49.61, -8.41)
PORT = Station(
    name="Outer port",
    kind=StationKind.CONSTANTS,
    position=THERE,
    datum="chart datum",
    z0_m=2.1,
    constants=(Constant("M2", 1.2, 140.0), Constant("S2", 0.4, 170.0)),
    source="typed",
)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
ROCK = VantagePoint(location_id=BAY.id, name="Rock", position=HERE)
VIEW = Photograph(
    location_id=BAY.id,
    vantage_point_id=ROCK.id,
    caption="At low water",
    jpeg=b"\xff\xd8\xff\xe0\x00",
    taken=NOON,
)
TOWER = Subject(location_id=BAY.id, name="Tower", position=THERE)
WAY = AccessRoute(location_id=BAY.id, name="Over the bar")
CAR_PARK = StartPlace(
    location_id=BAY.id,
    name="Above the slip",
    kind=StartKind.CAR_PARK,
    position=HERE,
    hours=OpenHours(time(8), time(20)),
)
LEDGE = Refuge(location_id=BAY.id, name="Ledge", position=THERE)
BAR = Leg(route_id=WAY.id, number=1, name="Bar", line=(HERE, THERE), refuge_id=LEDGE.id)
SEEN = CrossingObservation(
    leg_id=BAR.id, instant=NOON, is_passable=False, level_m=1.4, datum="chart datum"
)
EDGE = Hazard(
    location_id=BAY.id,
    name="Edge",
    kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE,
    line=(HERE, THERE),
)
NOTE = AccessNote(
    location_id=BAY.id, day=date(2026, 3, 1), kind=NoteKind.WAY, text="Stile broken."
)
PERMIT = Permit(
    location_id=BAY.id,
    name="Tripod",
    owner="The estate",
    allows="A tripod on the shore",
    commercial_use=False,
    expires=date(2026, 12, 31),
)
CLOSURE = Closure(
    location_id=BAY.id,
    name="Tern colony",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(4, 1), MonthDay(7, 31)),
    line=(HERE, THERE, Position(49.6, -8.41)),
    source="Notice at the gate",
)
TABLE = TideTable(
    location_id=BAY.id,
    port="Quay",
    zone="Europe/Dublin",
    datum="chart datum",
    unit="m",
    source="typed",
    turns=(Turn(NOON, 4.1, True), Turn(NOON + timedelta(hours=6), 0.3, False)),
)
OUTLOOK = Forecast(
    location_id=BAY.id,
    issued=NOON,
    source="typed",
    hours=(ForecastHour(instant=NOON, wind_m_s=3.0), ForecastHour(
        instant=NOON + timedelta(hours=1))),
)  # fmt: skip
EVENING = Trip(location_id=BAY.id, name="Evening", day=date(2026, 8, 15))
STAY = Stop(
    trip_id=EVENING.id,
    number=1,
    vantage_point_id=ROCK.id,
    arrive=NOON,
    leave=NOON,
    subject_id=TOWER.id,
)
CROSSING = Walk(
    trip_id=EVENING.id, leg_id=BAR.id, start=NOON, finish=NOON + timedelta(minutes=9)
)
STEP = Gate(
    trip_id=EVENING.id,
    number=1,
    name="Top of the gully",
    kind=GateKind.LEG,
    leg_id=BAR.id,
    must_see="No swell over the step",
    fallback="Stay on the near shore",
)
SPRINGS = DateSearch(
    location_id=BAY.id,
    name="Dry sand at dusk",
    first_day=date(2026, 9, 1),
    last_day=date(2027, 9, 1),
    conditions=(SunBand(low_deg=-6.0, high_deg=-4.0), WaterLevel(below_m=1.0)),
    vantage_point_id=ROCK.id,
    subject_id=TOWER.id,
)
TOLD = Tick(trip_id=EVENING.id, item="contact", at=NOON, by="M")
RUN = CheckRun(
    trip_id=EVENING.id,
    at=NOON,
    overall="stop",
    findings=(RecordedFinding("tide", "Bar", "stop", "Shut at 13:10."),),
)
TILES = ElevationFile(
    name="One tile", path="tiles/N49W009.hgt", keeping=Keeping.COPIED, credit="Typed"
)
# In an order in which they can be added.
COAST: tuple[Any, ...] = (
    PORT, BAY, ROCK, VIEW, TOWER, WAY, LEDGE, CAR_PARK, BAR, SEEN, EDGE, NOTE, PERMIT,
    CLOSURE, TABLE, OUTLOOK, EVENING, STAY, CROSSING, STEP, SPRINGS, TOLD, RUN,
    TILES,
)  # fmt: skip


def added(*records: Record) -> list[Change]:
    """The changes that add some records."""
    return [Change(None, record) for record in records]


# Whatever may be typed or pasted: all of Unicode but null characters and halves
# of surrogate pairs, with some texts that have broken other programs.
TEXTS = st.one_of(
    st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"])),
    st.sampled_from(
        [
            "",
            "<script>alert(1)</script>",
            "'; DROP TABLE location; --",
            "\u202e\u05e9\u05dc\u05d5\u05dd",  # right to left
            "\U0001f468\u200d\U0001f469\u200d\U0001f467 \U0001f3f4",
            "cafe\u0301 against caf\u00e9",
            "line\r\nline\rline\u2028line",
        ]
    ),
)
NAMES = TEXTS.map(lambda text: f"{text[:150]} x")
NUMBERS = st.floats(-30.0, 30.0)
HEIGHTS = st.floats(0.0, 100.0)
BEARINGS = st.floats(0.0, 360.0)
MAYBE = st.one_of(st.none(), st.booleans())
POSITIONS = st.builds(Position, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))
LINES: st.SearchStrategy[Line] = st.lists(POSITIONS, min_size=3, max_size=9).map(tuple)
DAYS = st.dates(date(1900, 1, 1), date(2200, 1, 1))
INSTANTS = st.datetimes(datetime(1900, 1, 1), datetime(2200, 1, 1)).map(  # noqa: DTZ001
    lambda naive: naive.replace(tzinfo=UTC)
)
HOUR_VALUES = st.one_of(st.none(), st.floats(0.0, 50.0))

W = TypeVar("W", bound=StrEnum)


def some(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """A value, or not known."""
    return st.one_of(st.none(), strategy)


def words(kind: type[W]) -> st.SearchStrategy[W]:
    """Any word of an enumeration."""
    return st.sampled_from(list(kind))


@st.composite
def turns(draw: st.DrawFn) -> tuple[Turn, ...]:
    """High and low waters that follow one another."""
    instants = sorted(draw(st.sets(INSTANTS, min_size=2, max_size=6)))
    first = draw(st.integers(0, 1))
    return tuple(
        Turn(instant, draw(st.floats(2, 9) if high else st.floats(-1, 1)), high)
        for instant, high in zip(
            instants, [(i + first) % 2 == 0 for i in range(len(instants))], strict=True
        )
    )


@st.composite
def hours(draw: st.DrawFn) -> tuple[ForecastHour, ...]:
    """Hours of a forecast that follow one another, some values not known."""
    return tuple(
        ForecastHour(
            instant=instant,
            wind_m_s=draw(HOUR_VALUES),
            wind_from_deg=draw(HOUR_VALUES),
            cloud_percent=draw(HOUR_VALUES),
            rain_mm=draw(HOUR_VALUES),
            temperature_c=draw(HOUR_VALUES),
            thunder_percent=draw(HOUR_VALUES),
            is_thunder=draw(MAYBE),
            visibility_m=draw(some(st.floats(0.0, 50_000.0))),
            wave_height_m=draw(some(st.floats(0.0, 30.0))),
            wave_period_s=draw(some(st.floats(1.0, 40.0))),
            wave_from_deg=draw(some(BEARINGS)),
        )
        for instant in sorted(draw(st.sets(INSTANTS, min_size=1, max_size=4)))
    )


MONTH_DAYS = st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(
    lambda day: MonthDay(day.month, day.day)
)
CLOCKS = st.times().map(lambda clock: clock.replace(second=0, microsecond=0))
OPEN_HOURS = st.builds(OpenHours, CLOCKS, CLOCKS).filter(
    lambda hours: hours.opens != hours.shuts
)
_STARTS = st.tuples(INSTANTS, st.timedeltas(timedelta(microseconds=1), timedelta(9)))


@st.composite
def spans(draw: st.DrawFn) -> tuple[datetime, datetime]:
    """Two instants, the later one last."""
    start, length = draw(_STARTS)
    return start, start + length


def any_station() -> tuple[st.SearchStrategy[Station], ...]:
    """Any sound station of each kind."""
    common: dict[str, st.SearchStrategy[Any]] = {
        "name": NAMES,
        "datum": NAMES,
        "source": NAMES,
        "licence": TEXTS,
        "position": some(POSITIONS),
        "unit": st.sampled_from(["m", "cm", "ft"]),
        "zone": st.sampled_from(["Asia/Kathmandu", "UTC"]),
        "exposure": some(words(Exposure)),
        "is_distorted": MAYBE,
        "year": some(st.integers(1900, 2100)),
    }
    names = st.lists(st.sampled_from(["M2", "S2", "N2", "K1"]), min_size=1, unique=True)
    constants = names.flatmap(
        lambda some_names: st.tuples(
            *(
                st.builds(Constant, st.just(name), st.floats(0, 9), st.floats(0, 360))
                for name in some_names
            )
        )
    )
    return (
        st.builds(
            Station,
            **common,
            kind=st.sampled_from([StationKind.CONSTANTS, StationKind.FIT]),
            z0_m=NUMBERS,
            constants=constants,
            fit_margin_m=st.floats(0.0, 1.0),
        ),
        st.builds(Station, **common, kind=st.just(StationKind.PRINTED), turns=turns()),
        st.builds(
            Station,
            **common,
            kind=st.just(StationKind.SECONDARY),
            standard_id=st.sampled_from([None, PORT.id]),
            differences=_DIFFERENCES,
        ),
    )


_LATER = st.timedeltas(timedelta(hours=-6), timedelta(hours=6))
_OFFSETS = st.builds(Offset, _LATER, st.floats(0.1, 3.0), NUMBERS)
_BY_CLOCK = st.builds(
    ClockDifferences,
    first_hour=st.floats(0.0, 12.0),
    at_first=_LATER,
    at_second=_LATER,
    springs_m=NUMBERS,
    neaps_m=NUMBERS,
    at_springs_m=NUMBERS,
    at_neaps_m=NUMBERS,
)
_DIFFERENCES = st.one_of(
    st.builds(
        RatioAboutMeanLevel,
        high=_LATER,
        low=_LATER,
        ratio=st.floats(0.1, 3.0),
        standard_mean_level_m=NUMBERS,
        mean_level_m=NUMBERS,
    ),
    st.builds(HighAndLowOffsets, _OFFSETS, _OFFSETS),
    st.builds(
        InterpolatedDifferences,
        high=_BY_CLOCK,
        low=_BY_CLOCK,
        clock=st.sampled_from([UTC, timezone(timedelta(hours=-3, minutes=-30))]),
        standard_season_m=NUMBERS,
        season_m=NUMBERS,
    ),
)


_SHARES = st.tuples(st.floats(0.0, 49.0), st.floats(50.0, 100.0))
CONDITIONS = st.lists(
    st.one_of(
        st.builds(
            SunBand,
            low_deg=st.floats(-90.0, -1.0),
            high_deg=st.floats(0.0, 90.0),
            half=words(DayHalf),
        ),
        st.builds(
            AroundEvent, event=words(EventName), before_min=HEIGHTS, after_min=HEIGHTS
        ),
        st.builds(
            Alignment,
            body=words(Body),
            bearing_deg=some(BEARINGS),
            tolerance_deg=st.floats(0.01, 90.0),
            over_top=st.booleans(),
        ),
        st.builds(LightFrom, side=words(LightSide)),
        st.builds(SubjectLight, is_lit=st.booleans()),
        st.builds(MoonIs, wish=words(MoonWish)),
        st.builds(
            lambda shares, is_waxing: MoonLit(
                least_percent=shares[0], most_percent=shares[1], is_waxing=is_waxing
            ),
            _SHARES,
            MAYBE,
        ),
        st.builds(GalacticCentreUp, above_deg=st.floats(0.0, 90.0)),
        st.builds(
            WaterLevel,
            above_m=some(st.floats(-30.0, -1.0)),
            below_m=some(st.floats(0.0, 30.0)),
            turn=words(WantedTurn),
        ),
        st.builds(
            AroundTurn, is_high=st.booleans(), before_min=HEIGHTS, after_min=HEIGHTS
        ),
        st.builds(TideRange, least_m=some(st.floats(0.0, 30.0))),
        st.builds(WayOpen, route_id=st.sampled_from([None, WAY.id]), stay_min=HEIGHTS),
        st.builds(TripPossible, trip_id=st.just(EVENING.id)),
        st.builds(ClockTime, hours=OPEN_HOURS),
        st.builds(
            OnWeekdays,
            days=st.sets(st.integers(0, 6), min_size=1).map(
                lambda days: tuple(sorted(days))
            ),
        ),
        st.builds(InSeason, season=st.builds(Season, MONTH_DAYS, MONTH_DAYS)),
        st.just(Allowed()),
        st.builds(
            lambda shares, wind: Weather(
                cloud_least_percent=shares[0],
                cloud_most_percent=shares[1],
                wind_below_m_s=wind,
            ),
            _SHARES,
            HOUR_VALUES,
        ),
    ),
    max_size=4,
).map(tuple)


def any_record() -> st.SearchStrategy[Any]:
    """Any sound record of any kind, belonging to the records of `COAST`."""
    here: dict[str, st.SearchStrategy[UUID]] = {"location_id": st.just(BAY.id)}
    trip = {"trip_id": st.just(EVENING.id)}
    return st.one_of(
        st.builds(
            Location,
            name=NAMES,
            position=POSITIONS,
            zone=st.sampled_from(["Europe/Dublin", "Pacific/Apia", "UTC"]),
            notes=TEXTS,
            station_id=st.sampled_from([None, PORT.id]),
            is_station_beyond_headland=MAYBE,
            emergency=TEXTS,
            coverage=some(words(Coverage)),
            nearest_road=TEXTS,
        ),
        st.builds(
            VantagePoint,
            **here,
            name=NAMES,
            position=POSITIONS,
            position_error_m=some(HEIGHTS),
            ground_m=some(NUMBERS),
            eye_height_m=HEIGHTS,
            on_headland=st.none() | st.booleans(),
            notes=TEXTS,
            level_datum=TEXTS,
            flooded_above_m=some(NUMBERS),
            wanted_above_m=some(st.floats(-30.0, -1.0)),
            wanted_below_m=some(st.floats(0.0, 30.0)),
            wanted_turn=words(WantedTurn),
            shore=some(words(Shore)),
            beach_slope=some(st.floats(0.01, 1.0)),
            seaward_deg=some(BEARINGS),
            coverage=some(words(Coverage)),
        ),
        st.builds(
            Photograph,
            **here,
            vantage_point_id=st.just(ROCK.id),
            caption=NAMES,
            jpeg=st.binary(max_size=99).map(lambda data: b"\xff\xd8\xff" + data),
            taken=some(INSTANTS),
        ),
        st.builds(
            Subject,
            **here,
            name=NAMES,
            position=POSITIONS,
            height_m=some(HEIGHTS),
            ground_m=some(NUMBERS),
            notes=TEXTS,
        ),
        st.builds(AccessRoute, **here, name=NAMES, notes=TEXTS),
        st.builds(
            Refuge,
            **here,
            name=NAMES,
            position=POSITIONS,
            stays_dry=MAYBE,
            confirmed=some(DAYS),
            notes=TEXTS,
        ),
        st.builds(
            Leg,
            route_id=st.just(WAY.id),
            number=st.integers(1, 99),
            name=NAMES,
            line=LINES,
            distance_m=some(HEIGHTS),
            ascent_m=some(HEIGHTS),
            descent_m=some(HEIGHTS),
            ground=words(Ground),
            is_exposed=MAYBE,
            daylight_only=MAYBE,
            walked_in_daylight=MAYBE,
            is_tidal=MAYBE,
            shut_above_m=some(NUMBERS),
            shut_datum=TEXTS,
            refuge_id=st.sampled_from([None, LEDGE.id]),
            shore=some(words(Shore)),
            beach_slope=some(st.floats(0.01, 1.0)),
            last_storm=some(DAYS),
            on_headland=MAYBE,
            crosses_water=MAYBE,
            seaward_deg=some(BEARINGS),
        ),
        st.builds(
            lambda known_hours, **known: StartPlace(
                hours=known_hours[0], is_always_open=known_hours[1], **known
            ),
            st.one_of(
                st.tuples(some(OPEN_HOURS), st.sampled_from([None, False])),
                st.tuples(st.none(), MAYBE),
            ),
            **here,
            name=NAMES,
            kind=words(StartKind),
            position=POSITIONS,
            notes=TEXTS,
        ),
        st.builds(
            CrossingObservation,
            leg_id=st.just(BAR.id),
            instant=INSTANTS,
            is_passable=st.booleans(),
            level_m=NUMBERS,
            datum=NAMES,
            pressure_hpa=some(st.floats(850.0, 1100.0)),
            is_confirmed=st.booleans(),
            remark=TEXTS,
        ),
        *any_station(),
        st.builds(
            Hazard,
            **here,
            name=NAMES,
            kind=words(HazardKind),
            shape=words(Shape),
            line=LINES,
            is_fenced=MAYBE,
            is_soft=MAYBE,
            height_m=some(HEIGHTS),
            applies=TEXTS,
            last_confirmed=some(DAYS),
            notes=TEXTS,
        ),
        st.builds(
            AccessNote, **here, day=DAYS, kind=words(NoteKind), text=NAMES,
            review_after=st.just(date(2200, 1, 1)),
        ),
        st.builds(
            Permit,
            **here,
            name=NAMES,
            owner=TEXTS,
            allows=TEXTS,
            commercial_use=MAYBE,
            drone=MAYBE,
            expires=some(DAYS),
            notes=TEXTS,
        ),
        st.builds(
            lambda days, season, **known: Closure(
                first_day=None if season else days[0],
                last_day=None if season else days[1],
                season=season,
                **known,
            ),
            st.tuples(some(st.just(date(2026, 3, 1))), some(st.just(date(2026, 8, 1)))),
            some(st.builds(Season, MONTH_DAYS, MONTH_DAYS)),
            **here,
            name=NAMES,
            kind=words(ClosureKind),
            hours=some(OPEN_HOURS),
            shape=words(Shape),
            line=st.one_of(st.just(()), LINES),
            source=TEXTS,
            last_confirmed=some(DAYS),
            notes=TEXTS,
        ),
        st.builds(
            TideTable,
            **here,
            port=NAMES,
            zone=st.just("Asia/Kathmandu"),
            datum=NAMES,
            unit=st.sampled_from(["m", "cm", "ft"]),
            source=NAMES,
            turns=turns(),
            exposure=some(words(Exposure)),
            is_distorted=MAYBE,
        ),
        st.builds(Forecast, **here, issued=INSTANTS, source=NAMES, hours=hours()),
        st.builds(
            lambda back_and_alarm, **known: Trip(
                latest_return=back_and_alarm[0], raise_alarm=back_and_alarm[1], **known
            ),
            st.one_of(st.just((None, None)), spans()),
            **here,
            name=NAMES,
            day=DAYS,
            party=st.integers(1, 9),
            lights=some(st.integers(0, 9)),
            contact=TEXTS,
            emergency=TEXTS,
            pace_factor=st.floats(0.5, 5.0),
            notes=TEXTS,
            sea=some(words(SeaState)),
            wave_height_m=some(st.floats(0.0, 30.0)),
            wave_period_s=some(st.floats(1.0, 40.0)),
            rain_48h_mm=some(HEIGHTS),
            start_place_id=st.sampled_from([None, CAR_PARK.id]),
            end_place_id=st.sampled_from([None, CAR_PARK.id]),
            meeting_place_id=st.sampled_from([None, CAR_PARK.id]),
            walking_rule=words(WalkingRule),
            pack_factor=st.floats(1.0, 3.0),
            break_min=HEIGHTS,
            wake=some(INSTANTS),
            drive_out_min=some(HEIGHTS),
            drive_back_min=some(HEIGHTS),
            kit_up_min=some(HEIGHTS),
            car=TEXTS,
            alarm_with=TEXTS,
            kit=TEXTS,
        ),
        st.builds(
            lambda span, **known: Stop(arrive=span[0], leave=span[1], **known),
            spans(),
            **trip,
            number=st.integers(1, 99),
            vantage_point_id=st.just(ROCK.id),
            subject_id=st.sampled_from([None, TOWER.id]),
            wanted=TEXTS,
            conditions=CONDITIONS,
            is_must=st.booleans(),
            least_min=st.floats(0.0, 20.0),
            wish_min=st.floats(20.0, 90.0),
            setup_min=st.floats(0.0, 60.0),
            is_pinned=st.booleans(),
        ),
        st.builds(
            lambda span, **known: Walk(start=span[0], finish=span[1], **known),
            spans(),
            **trip,
            leg_id=st.just(BAR.id),
            is_reversed=st.booleans(),
            from_share=st.floats(0.0, 0.4),
            to_share=st.floats(0.6, 1.0),
        ),
        st.builds(
            Gate,
            **trip,
            number=st.integers(1, 99),
            name=NAMES,
            kind=words(GateKind),
            leg_id=st.sampled_from([None, BAR.id]),
            vantage_point_id=st.sampled_from([None, ROCK.id]),
            must_see=TEXTS,
            fallback=TEXTS,
            decide_by=some(INSTANTS),
        ),
        st.builds(
            DateSearch,
            **here,
            name=NAMES,
            first_day=st.just(date(1950, 1, 1)),
            last_day=DAYS.filter(lambda day: day.year >= 1950),
            conditions=CONDITIONS,
            vantage_point_id=st.sampled_from([None, ROCK.id]),
            subject_id=st.sampled_from([None, TOWER.id]),
            least_min=st.floats(0.0, 90.0),
        ),
        st.builds(
            ElevationFile,
            name=NAMES,
            path=NAMES,
            keeping=st.just(Keeping.REFERENCED),
            is_surface=MAYBE,
            leaves_sea_out=st.booleans(),
            credit=TEXTS,
        ),
        st.builds(Tick, **trip, item=TEXTS, at=INSTANTS, by=NAMES, reason=TEXTS),
        st.builds(
            CheckRun,
            **trip,
            at=INSTANTS,
            overall=TEXTS,
            findings=st.lists(
                st.builds(RecordedFinding, TEXTS, TEXTS, TEXTS, TEXTS), max_size=4
            ).map(tuple),
        ),
    )  # fmt: skip
