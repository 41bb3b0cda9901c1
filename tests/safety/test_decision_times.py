"""Tests for gates: where they stand, and by when they must be decided."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta
from typing import Any
from uuid import uuid4

import pytest

from fieldtrip.places.records import StartKind, StartPlace
from fieldtrip.places.seasons import OpenHours
from fieldtrip.safety.decision_times import (
    Because,
    DecisionTime,
    Missing,
    decision_time,
    latest_starts,
)
from fieldtrip.safety.finding import Rule
from fieldtrip.safety.limits import Limits
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.gates import gate_place, gates_in_order
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Gate, GateKind
from tests.safety.story import CLEAR, LEG, LOCATION, TRIP, VANTAGE, Story, at, calm

QUAY = StartPlace(
    location_id=LOCATION.id,
    name="The quay",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
    is_always_open=True,
)
MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)


def gate(kind: GateKind = GateKind.LEG, **changes: Any) -> Gate:
    usual = Gate(trip_id=TRIP.id, number=1, name="Edge of the bar", kind=kind)
    if kind is GateKind.LEG:
        usual = replace(usual, leg_id=LEG.id)
    return replace(usual, **changes)


def facts(
    story: Story = CLEAR, quay: StartPlace | None = QUAY, **trip: Any
) -> TripFacts:
    """The facts of a story whose trip starts and ends at the quay."""
    start = None if quay is None else quay.id
    story = story.with_trip(start_place_id=start, **trip)
    dossier: Dossier = story.dossier()
    if quay is not None:
        dossier = replace(dossier, start_places=(quay,))
    return facts_of(dossier, story.trip, story.now)


def decided(
    found: TripFacts | None = None, asked: Gate | None = None, **limits: Any
) -> DecisionTime:
    return decision_time(found or facts(), asked or gate(), Limits(**limits))


def test_a_gate_before_a_crossing_is_decided_with_the_way_back_in_mind() -> None:
    found = facts(latest_return=at(23))
    back = CLEAR.with_trip(latest_return=at(23)).found(Rule.TURN_BACK)
    turn_back = back.instant("turn_back")
    assert turn_back is not None

    time = decided(found)

    # Out and back take 10 minutes each; the stay is never counted above the plan's.
    assert time.at == turn_back - 20 * MINUTE
    assert time.because is Because.TIDE
    assert time.about == "The bar"
    assert time.planned == at(14, 30)
    assert time.is_known
    assert not time.is_late


def test_a_walk_starts_while_it_and_all_after_it_still_work() -> None:
    found = facts(latest_return=at(23))

    out, back = latest_starts(found, Limits())

    assert out.at == decided(found).at
    assert back.at is not None
    # Out takes 10 minutes, and 10 are stayed: they are never over the plan's.
    assert out.at == back.at - 20 * MINUTE
    assert out.because is back.because is Because.TIDE
    assert out.is_known
    assert not out.is_shut


def test_no_walk_starts_in_time_where_a_crossing_is_shut() -> None:
    early = tuple(
        replace(walk, start=walk.start - 9 * HOUR, finish=walk.finish - 9 * HOUR)
        for walk in CLEAR.walks
    )
    story = replace(CLEAR, walks=early, stops=())

    starts = latest_starts(facts(story, latest_return=at(23)), Limits())

    for start in starts:
        assert start.is_shut
        assert not start.is_known
        assert start.at is None


def test_the_latest_return_sets_it_where_that_is_sooner() -> None:
    time = decided(facts(latest_return=at(15, 15)))

    assert time.at == at(14, 45)
    assert time.because is Because.LATEST_RETURN


def test_what_must_be_waited_for_counts_and_what_may_be_left_out_does_not() -> None:
    stop = replace(CLEAR.stops[0], is_must=False)

    time = decided(facts(replace(CLEAR, stops=(stop,)), latest_return=at(15, 15)))

    assert time.at == at(14, 55)


def test_a_car_park_that_shuts_sets_it_where_that_is_sooner() -> None:
    hours = OpenHours(time(5), time(8, 10))  # until 15:10 UTC
    shut = replace(QUAY, hours=hours, is_always_open=None)

    found = decided(facts(quay=shut))

    assert found.at == at(14, 40)
    assert found.because is Because.PLACE_SHUTS
    assert found.about == "The quay"


def test_dusk_sets_it_on_a_leg_where_a_fall_would_hurt() -> None:
    # Sunset comes near 03:00 UTC, on the evening of the same day there.
    late = replace(CLEAR, walks=CLEAR.walks[1:], stops=())
    late = replace(
        late,
        walks=(replace(late.walks[0], start=at(2, 0, 16), finish=at(2, 10, 16)),),
    ).with_leg(is_tidal=False, shut_above_m=None)

    clear_sky = decided(facts(late, latest_return=at(9, 0, 16)))
    overcast = decided(
        facts(
            replace(late, forecast=calm(cloud_percent=100.0)),
            latest_return=at(9, 0, 16),
        )
    )
    no_forecast = decided(
        facts(replace(late, forecast=None), latest_return=at(9, 0, 16))
    )

    assert clear_sky.because is Because.DAYLIGHT
    assert clear_sky.at is not None
    assert overcast.at is not None
    assert no_forecast.at == overcast.at
    # Civil twilight lasts 25 to 35 minutes at 38° in August (common practice).
    assert 25 * MINUTE < clear_sky.at - overcast.at < 35 * MINUTE


def test_an_easy_leg_known_by_day_is_not_bound_to_the_light() -> None:
    easy = CLEAR.with_leg(
        is_tidal=False, shut_above_m=None, is_exposed=False, daylight_only=False
    )

    assert decided(facts(easy)).because is Because.LATEST_RETURN


def test_a_typed_time_counts_only_where_it_is_sooner() -> None:
    sooner = decided(asked=gate(decide_by=at(14)))
    later = decided(asked=gate(decide_by=at(23)))

    assert (sooner.at, sooner.because) == (at(14), Because.TYPED)
    assert sooner.is_late
    assert later.at == later.computed
    assert later.because is not Because.TYPED
    assert later.is_typed_too_late
    assert not sooner.is_typed_too_late


def test_a_crossing_that_is_never_open_has_no_time_by_which_to_decide() -> None:
    time = decided(facts(CLEAR.with_leg(shut_above_m=-5.0)))

    assert time.at is None
    assert time.because is None
    assert Missing.SHUT in time.missing


def test_before_leaving_home_the_drive_and_kitting_up_come_off() -> None:
    asked = gate(GateKind.HOME, leg_id=None)
    bound = facts(latest_return=at(15, 15), drive_out_min=None, kit_up_min=None)

    known = decided(facts(latest_return=at(15, 15), drive_out_min=50, kit_up_min=10.0),
                    asked)  # fmt: skip
    unknown = decided(bound, asked)

    assert known.at == at(13, 45)
    assert known.planned == at(13, 30)
    assert known.missing == ()
    assert unknown.at == at(14, 45)
    assert unknown.planned is None
    assert unknown.missing == (Missing.BEFORE_WALKING,)


def test_a_gate_at_a_stop_leaves_time_to_stay_and_to_walk_back() -> None:
    asked = gate(GateKind.STOP, vantage_point_id=VANTAGE.id)

    time = decided(facts(latest_return=at(15, 15)), asked)

    assert time.planned == at(14, 45)
    assert time.at == at(14, 55)  # 10 minutes there and 10 back


def test_a_spot_that_the_sea_floods_sets_the_time_at_a_stop() -> None:
    # NOAA's tide there is above 0.5 m less the margins before noon comes.
    story = replace(
        CLEAR.with_leg(is_tidal=False, shut_above_m=None),
        vantage=replace(
            VANTAGE, flooded_above_m=0.6, level_datum="MLLW", shore=LEG.shore
        ),
    )
    asked = gate(GateKind.STOP, vantage_point_id=VANTAGE.id)

    time = decided(facts(story, latest_return=at(23)), asked)

    assert time.because is Because.FLOODED
    assert time.about == "The step"
    assert time.is_known


@pytest.mark.parametrize(
    ("found", "missing"),
    [
        (facts(latest_return=None), Missing.NO_LATEST_RETURN),
        (facts(quay=None), Missing.END_NOT_NAMED),
        (facts(quay=replace(QUAY, is_always_open=None)), Missing.END_HOURS),
        (facts(CLEAR.with_leg(ascent_m=None)), Missing.LEG_TIME),
        (facts(CLEAR.with_leg(is_exposed=None)), Missing.LEG_LIGHT),
        (facts(CLEAR.with_leg(is_tidal=None)), Missing.TIDE),
        (facts(CLEAR.with_leg(shut_above_m=None)), Missing.TIDE),
        (facts(replace(CLEAR, tables=())), Missing.TIDE),
        (facts(CLEAR.with_leg(shore=None)), Missing.TIDE),
    ],
)
def test_each_missing_fact_alone_is_said(found: TripFacts, missing: Missing) -> None:
    time = decided(found)

    assert time.missing == (missing,)
    assert not time.is_known


def test_a_gate_whose_leg_or_stop_is_gone_says_so_and_keeps_its_typed_time() -> None:
    for asked in (
        gate(leg_id=uuid4()),
        gate(GateKind.STOP, vantage_point_id=uuid4()),
        gate(leg_id=uuid4(), decide_by=at(14)),
    ):
        time = decided(asked=asked)

        assert time.missing == (Missing.NOT_IN_PLAN,)
        assert time.at == asked.decide_by
        assert time.planned is None


def test_a_gate_that_names_nothing_has_the_typed_time_or_none() -> None:
    nowhere = decided(asked=gate(GateKind.OTHER))

    assert nowhere.at is None
    assert nowhere.missing == (Missing.NOT_NAMED,)
    assert decided(asked=gate(GateKind.OTHER, decide_by=at(9))).at == at(9)


def test_no_walk_at_all_leaves_home_and_start_without_a_time() -> None:
    empty = facts(replace(CLEAR, walks=(), stops=()))

    for kind in (GateKind.HOME, GateKind.START):
        time = decided(empty, gate(kind, leg_id=None))

        assert time.at is None
        assert time.missing == (Missing.NOT_IN_PLAN,)


def test_more_reserve_asks_for_an_earlier_decision() -> None:
    found = facts(latest_return=at(23))

    usual = decided(found)
    longer = decided(found, tide_reserve=timedelta(minutes=50))

    assert usual.at is not None
    assert longer.at == usual.at - 20 * MINUTE


def test_gates_stand_in_the_order_of_the_day() -> None:
    found = facts()
    gone = gate(name="gone", number=1, leg_id=uuid4())
    at_stop = gate(GateKind.STOP, name="stop", number=2, vantage_point_id=VANTAGE.id)
    bar = gate(name="bar", number=3)
    start = gate(GateKind.START, name="start", number=4)
    home = gate(GateKind.HOME, name="home", number=5)
    typed = gate(GateKind.OTHER, name="typed", number=6, decide_by=at(14, 40))

    ordered = gates_in_order(found, (gone, at_stop, bar, start, home, typed))

    names = [one.name for one in ordered]
    assert names == ["home", "start", "bar", "typed", "stop", "gone"]
    assert gate_place(found, bar).planned == at(14, 30)
