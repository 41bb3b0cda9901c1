"""The way open both ways: beside a plain loop, and beside the checks themselves."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from fieldtrip.places.records import CrossingObservation, Ground, Leg, Shore
from fieldtrip.safety.finding import Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.tide_crossing import tide_crossing
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.tides.margins import Margins
from fieldtrip.times import Span, instants
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for, spans_for
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import SeaState, Trip, Walk
from fieldtrip.trips.situation import TIDE_RESERVE, Situation, situation_of
from fieldtrip.trips.spans import total
from tests.trips.condition_story import (
    BAR,
    LEGS,
    LOCATION,
    ROUTE,
    SPAN,
    STATION,
    STATION_LOCATION,
    VANTAGE,
    ZONE,
    day,
    tidal_dossier,
)

# By DIN 33466 at 4 km/h: the bar 15 minutes, the head 7.5; half as long again in the
# dark, which begins at civil dusk (common practice, no source).
BAR_BY_DAY = timedelta(minutes=15)
HEAD_BY_DAY = timedelta(minutes=7, seconds=30)
BEFORE = BAR_BY_DAY + HEAD_BY_DAY
MINUTE = timedelta(minutes=1)
LOOK = timedelta(seconds=10)
FIRST_LOOK = SPAN.start - timedelta(days=3)
SUN_DEG = uniform_track(
    Body.SUN,
    Site(LOCATION.position),
    FIRST_LOOK,
    LOOK.total_seconds(),
    int((SPAN.length + timedelta(days=6)) / LOOK),
).altitude_deg
TRIP = Trip(location_id=LOCATION.id, name="Trip", day=day("2027-10-29"))


def tidal(dossier: Dossier, trip: Trip | None = None, span: Span = SPAN) -> Situation:
    """A situation of the place with a tide."""
    return situation_of(dossier, span, vantage_point=VANTAGE, trip=trip)


def with_bar(**changed: object) -> Dossier:
    """The place with a bar of which something else is said."""
    bar = replace(BAR, **changed)  # type: ignore[arg-type]
    return tidal_dossier(legs=(LEGS[0], bar, LEGS[2]))


def walked(start: datetime, by_day: timedelta, way: int) -> datetime:
    """When a walk that starts is over; with -1 for `way`, when one that ends began."""
    at, left = start, by_day
    while left > timedelta():
        number = int((at - FIRST_LOOK) / LOOK) - (way < 0)
        left -= LOOK / 1.5 if SUN_DEG[number] < -6.0 else LOOK
        at += way * LOOK
    return at


@pytest.mark.parametrize("stay_min", [0.0, 200.0])
def test_one_can_stay_while_the_water_leaves_time_to_come_and_go(
    stay_min: float,
) -> None:
    here = tidal(tidal_dossier())
    curve = here.tide_sources[0].curve
    start = SPAN.start - timedelta(days=1)
    every = instants(start, SPAN.stop + timedelta(days=1), MINUTE)
    # 0.05 m for the constants and 0.30 m for an open coast.
    is_passable = curve.heights_m(every) <= 2.6 - 0.35

    def is_wanted(instant: datetime) -> bool:
        number = int((instant - start) / MINUTE)
        if not is_passable[number]:
            return False
        first = last = number
        while is_passable[first - 1]:
            first -= 1
        while is_passable[last + 1]:
            last += 1
        come = walked(start + first * MINUTE, BEFORE, 1)
        go = walked(start + last * MINUTE - timedelta(minutes=30), BEFORE, -1)
        return come <= instant <= go and go - come >= timedelta(minutes=stay_min)

    answer = answer_for(wanted.WayOpen(stay_min=stay_min), here)

    # A minute's grid knows the ends to a minute.
    inner = replace(
        answer,
        holds=tuple(
            Span(s.start + MINUTE, s.stop - MINUTE)
            for s in answer.holds
            if s.length > 2 * MINUTE
        ),
    )
    for span in inner.holds:
        assert is_wanted(span.start)
        assert is_wanted(span.stop)
    assert any(not is_wanted(SPAN.start + k * 30 * MINUTE) for k in range(48))
    assert answer.holds
    outside = [
        SPAN.start + k * 13 * MINUTE
        for k in range(600)
        if not any(
            s.start - MINUTE <= SPAN.start + k * 13 * MINUTE <= s.stop + MINUTE
            for s in answer.holds
        )
    ]
    assert not any(is_wanted(instant) for instant in outside)


def checks_say_clear(dossier: Dossier, arrive: datetime, leave: datetime) -> bool:
    """Whether the checks find every crossing of a stay clear."""
    on_head, off_head = walked(arrive, HEAD_BY_DAY, -1), walked(leave, HEAD_BY_DAY, 1)
    walks = (
        Walk(
            trip_id=TRIP.id,
            leg_id=BAR.id,
            start=walked(on_head, BAR_BY_DAY, -1),
            finish=on_head,
        ),
        Walk(
            trip_id=TRIP.id,
            leg_id=BAR.id,
            start=off_head,
            finish=walked(off_head, BAR_BY_DAY, 1),
            is_reversed=True,
        ),
    )
    facts = facts_of(replace(dossier, trips=(TRIP,), walks=walks), TRIP, SPAN.start)
    found = tide_crossing(facts, Limits())
    return all(finding.severity is Severity.CLEAR for finding in found)


@pytest.mark.parametrize(
    ("dossier", "can_be_clear"),
    [
        (tidal_dossier(), True),
        (with_bar(shut_above_m=1.9), True),
        (with_bar(shore=Shore.ROCK), False),
        (with_bar(shore=None), False),
        (with_bar(ground=Ground.UNKNOWN), False),
        (with_bar(is_tidal=None), False),
        (with_bar(shut_datum="mean sea level"), False),
        (with_bar(shut_above_m=None), False),
        (tidal_dossier(stations=(replace(STATION, exposure=None),)), False),
        (tidal_dossier(stations=(replace(STATION, position=None),)), False),
        (tidal_dossier(stations=(), location=LOCATION), False),
    ],
)
def test_it_holds_where_the_checks_say_clear_and_nowhere_else(
    dossier: Dossier, can_be_clear: bool
) -> None:
    answer = answer_for(wanted.WayOpen(stay_min=10.0), tidal(dossier))

    stay = timedelta(minutes=20)
    agreed = 0
    for k in range(0, 26 * 60, 31 if can_be_clear else 260):
        arrive = SPAN.start + k * MINUTE
        is_inside = any(
            s.start <= arrive and arrive + stay <= s.stop for s in answer.holds
        )
        is_clear = checks_say_clear(dossier, arrive, arrive + stay)
        assert is_inside == is_clear, arrive
        agreed += is_clear
    assert (agreed > 0) == can_be_clear
    if not can_be_clear:
        assert answer.holds == ()
        assert answer.unknown
        assert answer.why


def test_what_is_proven_shut_stays_shut_though_other_things_are_not_known() -> None:
    dossier = with_bar(shore=None)
    here = tidal(dossier)
    height = here.tide_sources[0].curve.heights_m

    answer = answer_for(wanted.WayOpen(), here)
    every = instants(SPAN.start, SPAN.stop, timedelta(minutes=10))
    high = every[height(every) > 2.6]

    assert len(high) > 100
    for instant in high.tolist():
        at = instant.replace(tzinfo=SPAN.start.tzinfo)
        assert not any(span.contains(at) for span in answer.unknown)


def test_a_sea_that_is_said_settles_how_far_waves_run_up() -> None:
    dossier = with_bar(shore=Shore.STONES, shut_above_m=3.4)
    condition = wanted.WayOpen(stay_min=10.0)

    nothing_said = answer_for(condition, tidal(dossier))
    calm = answer_for(condition, tidal(dossier, replace(TRIP, sea=SeaState.CALM)))
    heavy = answer_for(condition, tidal(dossier, replace(TRIP, sea=SeaState.HEAVY)))

    assert spans_for(condition, tidal(dossier)) == ()
    assert "before the day" in nothing_said.why
    assert nothing_said.unknown
    assert calm.holds
    assert not calm.unknown
    assert total(heavy.holds) < total(calm.holds)


def test_seen_shut_once_lowers_the_level_for_all_days() -> None:
    seen = CrossingObservation(
        leg_id=BAR.id,
        instant=SPAN.start - timedelta(days=300),
        is_passable=False,
        level_m=1.4,
        datum="chart datum",
    )
    lowered = tidal_dossier(observations=(seen,))
    condition = wanted.WayOpen(stay_min=0.0)

    before = answer_for(condition, tidal(tidal_dossier()))
    after = answer_for(condition, tidal(lowered))

    assert total(after.holds) < total(before.holds)


def test_a_way_without_tidal_legs_is_always_open_and_one_without_legs_not_known() -> (
    None
):
    dry: tuple[Leg, ...] = (LEGS[0], LEGS[2])
    condition = wanted.WayOpen(route_id=ROUTE.id)

    assert spans_for(condition, tidal(tidal_dossier(legs=dry))) == (SPAN,)
    assert spans_for(condition, tidal(tidal_dossier(legs=()))) is None
    assert spans_for(condition, tidal(tidal_dossier(routes=()))) is None


def test_wider_margins_and_a_longer_reserve_leave_less() -> None:
    here = tidal(tidal_dossier())
    condition = wanted.WayOpen(stay_min=0.0)

    usual = answer_for(condition, here).holds
    wide = replace(here, margins=Margins(open_coast_m=0.6))
    long = replace(here, reserve=TIDE_RESERVE + timedelta(minutes=20))

    for changed in (wide, long):
        found = answer_for(condition, changed).holds
        assert found
        for span in found:
            assert any(u.start <= span.start and span.stop <= u.stop for u in usual)
        assert found != usual
    assert STATION_LOCATION.zone == ZONE
