"""What dropping, moving, giving up and using a plan change."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from fieldtrip.desktop.content.plan_deeds import (
    dropping,
    lets_order_go,
    merged,
    moved_changes,
    moved_words,
    moving,
    planned_as,
    relaxing,
    stops_at,
    using,
)
from fieldtrip.errors import UserError
from fieldtrip.planning.asking import Asked
from fieldtrip.planning.planned import planned
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.trips.answer import AlternativeKind, Conflict, Relaxation, Step, StepKind
from fieldtrip.trips.records import Stop, Trip, Walk
from tests.desktop.plan_story import (
    BEYOND,
    COAST,
    FAR,
    NOW,
    ON_LAND,
    TRIP,
    with_trip,
)
from tests.desktop.strip_story import DAY, GULLY, at

SETTINGS, ASKED = Settings(), Asked()
FIVE = timedelta(minutes=5)


def test_a_dropped_spot_takes_its_place_by_time_and_the_others_move_on() -> None:
    made = dropping(COAST, TRIP, DAY, FAR.id, at(15), SETTINGS)

    assert (made.stop.number, made.stop.arrive) == (2, at(15))
    assert made.stop.leave - made.stop.arrive == timedelta(minutes=60)
    assert made.changes == (
        Change(BEYOND, replace(BEYOND, number=3)),
        Change(None, made.stop),
    )
    assert made.words.startswith("Far stack is a stop at 15:00.")


def test_without_a_trip_a_dropped_spot_begins_one_on_the_day_that_is_shown() -> None:
    made = dropping(COAST, None, DAY, FAR.id, at(15), SETTINGS)

    trip, stop = (change.after for change in made.changes)
    assert isinstance(trip, Trip)
    assert trip.day == DAY
    assert stop == made.stop
    assert made.stop.trip_id == trip.id


def test_a_trip_of_another_day_and_a_spot_of_another_place_are_refused() -> None:
    with pytest.raises(UserError, match="is planned for Sat 14 Nov"):
        dropping(COAST, TRIP, DAY + timedelta(days=1), FAR.id, at(15), SETTINGS)
    with pytest.raises(UserError, match="Only vantage points of Keel Holms"):
        dropping(COAST, TRIP, DAY, uuid4(), at(15), SETTINGS)


def test_several_spots_become_stops_one_after_the_other() -> None:
    changes = stops_at(COAST, TRIP, [FAR.id, GULLY.id], at(12))

    first, second = (change.after for change in changes)
    assert isinstance(first, Stop)
    assert isinstance(second, Stop)
    assert (first.number, second.number) == (3, 4)
    assert second.arrive == first.leave
    with pytest.raises(UserError, match="no longer there"):
        stops_at(COAST, TRIP, [uuid4()], at(12))


def test_a_moved_stop_is_pinned_and_the_rest_is_fitted_to_it() -> None:
    moved = moving(COAST, TRIP, NOW, ASKED, BEYOND.id, at(16, 20))

    changes = moved_changes(COAST, TRIP, moved)

    after = {c.record.id: c.after for c in changes}
    bar_end, gully = after[BEYOND.id], after[ON_LAND.id]
    assert isinstance(bar_end, Stop)
    assert isinstance(gully, Stop)
    assert (bar_end.arrive, bar_end.leave) == (at(16, 20), at(17, 20))
    assert bar_end.is_pinned
    assert gully.leave < at(16, 20)
    assert any(isinstance(each, Walk) for each in after.values())
    assert moved_words(COAST, TRIP, moved).startswith("Fits, ")
    assert len({change.record.id for change in changes}) == len(changes)


def test_a_stop_that_is_moved_too_late_says_what_breaks() -> None:
    moved = moving(COAST, TRIP, NOW, ASKED, BEYOND.id, at(18), is_final=True)

    words = moved_words(COAST, TRIP, moved)

    assert isinstance(moved.planned.answer, Conflict)
    assert not moved.is_stuck
    assert words.startswith("Does not fit: ")
    assert "latest return" in words or "shut by the tide" in words
    assert "pinned times of Bar end" not in words


def test_a_trip_that_had_no_plan_either_is_told_apart() -> None:
    coast, trip = with_trip(latest_return=at(12, 30))

    moved = moving(coast, trip, NOW, ASKED, BEYOND.id, at(16, 20), is_final=True)

    assert moved.is_stuck
    changes = moved_changes(coast, trip, moved)
    assert [change.record.id for change in changes] == [BEYOND.id]


def test_a_stop_that_is_gone_cannot_be_moved() -> None:
    with pytest.raises(UserError, match="not in the trip any more"):
        moving(COAST, TRIP, NOW, ASKED, uuid4(), at(16))


def test_a_later_return_moves_the_alarm_along() -> None:
    coast, trip = with_trip(raise_alarm=at(20))
    step = Step(StepKind.LATER_RETURN, minutes=90)

    (change,) = relaxing(coast, trip, Relaxation((step,)), {})

    after = change.after
    assert isinstance(after, Trip)
    assert (after.latest_return, after.raise_alarm) == (at(20, 30), at(21, 30))
    assert after.faults() == []


def test_each_small_step_is_one_change_of_what_it_speaks_of() -> None:
    pinned = replace(BEYOND, is_pinned=True)
    coast = replace(COAST, stops=(ON_LAND, pinned))
    steps = (
        Step(StepKind.EARLIER_START, minutes=15),
        Step(StepKind.LESS_LIGHT, "Gully head", ON_LAND.id, 5),
        Step(StepKind.UNPIN, "Bar end", pinned.id),
    )

    changes = relaxing(coast, TRIP, Relaxation(steps), {})

    assert changes == [
        Change(ON_LAND, replace(ON_LAND, least_min=10.0)),
        Change(pinned, replace(pinned, is_pinned=False)),
        Change(TRIP, replace(TRIP, earliest_start=at(11, 45))),
    ]


def test_a_stop_that_is_left_out_closes_the_gap_in_the_numbers() -> None:
    step = Step(StepKind.DROP, "Gully head", ON_LAND.id)
    removal = {ON_LAND.id: [Change(ON_LAND, None)]}

    changes = relaxing(COAST, TRIP, Relaxation((step,)), removal)

    assert changes == [
        Change(ON_LAND, None),
        Change(BEYOND, replace(BEYOND, number=1)),
    ]


def test_letting_the_order_go_is_no_change_of_a_record() -> None:
    freed = Relaxation((Step(StepKind.FREE_ORDER),))

    assert lets_order_go(freed)
    assert relaxing(COAST, TRIP, freed, {}) == []


def test_another_plan_is_made_of_its_own_stops_in_its_own_order() -> None:
    best = planned(COAST, TRIP, NOW).plan
    assert best is not None
    other = next(
        each for each in best.alternatives if each.kind is AlternativeKind.OTHER_ORDER
    )

    plan = planned_as(COAST, TRIP, NOW, ASKED, other).plan

    assert plan is not None
    assert tuple(stop.stop_id for stop in plan.stops) == other.order
    assert plan.must_min >= other.must_min  # which kept more time in hand


def test_a_plan_without_a_stop_takes_it_out_of_the_trip() -> None:
    best = planned(COAST, TRIP, NOW).plan
    assert best is not None
    other = next(each for each in best.alternatives if each.dropped == ON_LAND.id)
    plan = planned_as(COAST, TRIP, NOW, ASKED, other).plan
    assert plan is not None

    changes = using(COAST, TRIP, plan)

    assert Change(ON_LAND, None) in changes


def test_changes_of_one_record_become_one() -> None:
    middle = replace(BEYOND, number=5)
    end = replace(BEYOND, is_pinned=True)

    assert merged([Change(BEYOND, middle), Change(middle, end)]) == [
        Change(BEYOND, end)
    ]
    assert merged([Change(BEYOND, middle), Change(middle, BEYOND)]) == []
