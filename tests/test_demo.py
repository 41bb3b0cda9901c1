"""The demo tells the same story on whatever day it is opened.

Everything in it is invented, so it is compared with nothing outside; what is
checked is that the story holds together.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from fieldtrip.almanac.gates import gates_in_words
from fieldtrip.demo import TRIP_NAME, ZONE, demo_records, make_demo, outline_file
from fieldtrip.geo import distance_m
from fieldtrip.places.records import Leg, Location, VantagePoint
from fieldtrip.planning.planned import planned
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Change, Store
from fieldtrip.tides.stations import Station
from fieldtrip.times import local_day
from fieldtrip.trips.door_to_door import door_to_door
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.question import WayKind
from fieldtrip.trips.records import Stop, Walk
from fieldtrip.trips.walking import walking_time

DAYS = [date(2026, 11, 25), date(2027, 1, 31), date(2027, 6, 19), date(2028, 2, 29)]


def opened(today: date) -> Store:
    store = Store.in_memory()
    store.apply(Change(None, record) for record in demo_records(today))
    return store


def morning(today: date) -> datetime:
    return local_day(today, ZONE).start + timedelta(hours=9)


@pytest.mark.parametrize("today", DAYS)
def test_it_has_a_finding_of_every_severity(today: date) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)

    found = check(
        facts_of(store.dossier(trip.location_id), trip, morning(today)), Limits()
    )

    severities = {finding.severity for finding in found.findings}
    assert severities >= {
        Severity.STOP,
        Severity.UNKNOWN,
        Severity.CAUTION,
        Severity.CLEAR,
    }
    assert found.overall is Severity.STOP
    store.close()


@pytest.mark.parametrize("today", DAYS)
def test_the_walks_join_and_last_as_long_as_the_rule_says(today: date) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)
    legs = {leg.id: leg for leg in store.all(Leg)}
    walks = sorted(
        (w for w in store.all(Walk) if w.trip_id == trip.id), key=lambda w: w.start
    )

    for walk in walks:
        leg = legs[walk.leg_id]
        up, down = leg.ascent_m or 0.0, leg.descent_m or 0.0
        if walk.is_reversed:
            up, down = down, up
        rule = walking_time(leg.length_m, up, down, leg.ground, trip.pace_factor)
        assert walk.finish - walk.start >= rule, leg.name
    for one, next_one in pairwise(walks):
        ends = [
            legs[w.leg_id].line[:: -1 if w.is_reversed else 1] for w in (one, next_one)
        ]
        assert one.finish <= next_one.start
        assert distance_m(ends[0][-1], ends[1][0]) < 60.0
    store.close()


@pytest.mark.parametrize("today", DAYS)
def test_the_second_stop_has_the_sunset(today: date) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)
    last = max(
        (s for s in store.all(Stop) if s.trip_id == trip.id), key=lambda s: s.number
    )
    point = store.get(VantagePoint, last.vantage_point_id)

    assert point is not None
    site = Site(point.position)
    assert sky_position(Body.SUN, site, last.arrive).altitude_deg > 0.0
    assert sky_position(Body.SUN, site, last.leave).altitude_deg < 0.0
    store.close()


def test_all_records_are_sound_and_the_place_has_its_station() -> None:
    for today in DAYS:
        records = demo_records(today)
        (station,) = [r for r in records if isinstance(r, Station)]
        (keel,) = [
            r for r in records if isinstance(r, Location) and r.name == "Keel Holms"
        ]
        assert keel.station_id == station.id
        assert [fault for r in records for fault in r.faults()] == []


def test_a_fresh_copy_opens_from_its_file(tmp_path: Path) -> None:
    path = tmp_path / "demo.fieldtrip"
    make_demo(path, DAYS[0])

    store = Store.open(path)
    assert [location.name for location in store.locations()] == [
        "Anvil Strand",
        "Keel Holms",
    ]
    store.close()
    assert outline_file().is_file()


@pytest.mark.parametrize("today", DAYS)
def test_its_stops_can_be_planned_over_known_ways_with_light_and_time_to_spare(
    today: date,
) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)

    plan = planned(store.dossier(trip.location_id), trip, morning(today)).plan

    assert plan is not None
    assert [stop.name for stop in plan.stops] == ["Gully head", "Bar end"]
    assert all(stop.wanted_min >= 20.0 for stop in plan.stops)
    assert all(walk.kind is WayKind.LEG for walk in plan.walks)
    assert plan.critical is not None
    assert plan.critical.slack >= timedelta(minutes=5)
    store.close()


@pytest.mark.parametrize("today", DAYS)
def test_every_gate_has_a_time_a_sign_and_a_fallback(today: date) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)
    facts = facts_of(store.dossier(trip.location_id), trip, morning(today))

    gates = gates_in_words(facts, Settings())

    assert [one.gate.name for one in gates] == [
        "The door",
        "Top of the moor",
        "Edge of the bar",
    ]
    for one in gates:
        assert one.decision.at is not None
        assert one.gate.must_see
        assert one.gate.fallback
    store.close()


@pytest.mark.parametrize("today", DAYS)
def test_the_day_is_known_from_door_to_door(today: date) -> None:
    store = opened(today)
    trip = store.find_trip(TRIP_NAME)

    day = door_to_door(facts_of(store.dossier(trip.location_id), trip, morning(today)))

    assert day.unsaid == ()
    assert not day.wakes_too_late
    assert day.start_open is not None
    assert day.at_start is not None
    assert day.start_open.contains(day.at_start)
    store.close()
