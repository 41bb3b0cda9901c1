"""The same trip on many days, in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from fieldtrip.desktop.content.compare_days import (
    COLUMNS,
    DaysContent,
    compared,
    to_day,
    to_day_with_plan,
)
from fieldtrip.errors import Cancelled, UserError
from fieldtrip.planning.asking import Asked
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, GateKind, Stop, Trip
from tests.desktop.plan_story import (
    BEYOND,
    COAST,
    NOW,
    ON_LAND,
    TRIP,
    with_trip,
)
from tests.desktop.strip_story import DAY, at

A_DAY = timedelta(days=1)


def days(
    dossier: Dossier = COAST, trip: Trip = TRIP, first: date = DAY, count: int = 3
) -> DaysContent:
    last = first + (count - 1) * A_DAY
    return compared(
        dossier, trip, first, last, NOW, Asked(), Settings(), lambda _: None
    )


def test_each_day_says_what_it_keeps_hangs_on_and_is_warned_of() -> None:
    content = days()

    line = next(each for each in content.lines if each.day == DAY)
    told = dict(zip(COLUMNS, line.texts, strict=True))
    assert told["Day"] == "Sat 14 Nov 2026"
    assert told["Wanted light"] == "90 of 90 min"
    assert told["In hand"].endswith(" min")
    assert told["Weather"] == "forecast"
    assert told["Hangs on"].startswith("Leave ")
    assert ": " in told["Worst finding"]


def test_the_best_day_comes_first_and_days_without_a_plan_last() -> None:
    # The tide table ends with the morning of the 16th.
    content = days(count=5)

    values = [line.row.value for line in content.lines]
    assert values == sorted(values, reverse=True)
    assert content.lines[-1].texts[1] == "no plan"
    assert "nothing is known of its tide" in content.lines[-1].texts[-1]
    possible = sum(line.row.plan is not None for line in content.lines)
    assert content.heading == f"A plan on {possible} of 5 days."


def test_a_day_without_a_forecast_says_so() -> None:
    content = days(count=2)

    weather = {line.day: line.texts[3] for line in content.lines}
    assert weather == {DAY: "forecast", DAY + A_DAY: "not known"}


def test_days_on_which_nothing_can_be_asked_say_why() -> None:
    gone = replace(COAST, vantage_points=())

    content = days(gone, count=1)

    assert "is gone" in content.lines[0].texts[-1]
    assert content.heading == "No plan on any of 1 day."


def test_a_span_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(UserError):
        days(count=0)


def test_it_can_be_ended_on_the_way() -> None:
    def stop(_: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        compared(COAST, TRIP, DAY, DAY + A_DAY, NOW, Asked(), Settings(), stop)


def test_moving_to_a_day_moves_every_time_by_the_clock() -> None:
    gate = Gate(
        trip_id=TRIP.id, number=1, name="Door", kind=GateKind.HOME, decide_by=at(10)
    )
    coast, trip = with_trip(raise_alarm=at(20), wake=at(7))
    coast = replace(coast, gates=(gate,))

    changes = {c.record.id: c.after for c in to_day(coast, trip, DAY + A_DAY)}

    after = changes[trip.id]
    assert isinstance(after, Trip)
    for name in ("earliest_start", "latest_return", "raise_alarm", "wake"):
        assert getattr(after, name) - getattr(trip, name) == A_DAY, name
    moved_gate, stop = changes[gate.id], changes[BEYOND.id]
    assert isinstance(moved_gate, Gate)
    assert moved_gate.decide_by == at(10, day=15)
    assert isinstance(stop, Stop)
    assert stop.arrive == BEYOND.arrive + A_DAY
    assert to_day(coast, trip, DAY) == []


def test_a_day_can_be_taken_with_its_plan_in_one_step() -> None:
    line = next(each for each in days(count=2).lines if each.day != DAY)
    plan = line.row.plan
    assert plan is not None

    changes = to_day_with_plan(COAST, TRIP, line.day, plan)

    after = {c.record.id: (c.before, c.after) for c in changes}
    before, gully = after[ON_LAND.id]
    assert before == ON_LAND
    assert isinstance(gully, Stop)
    assert gully.arrive == plan.stops[0].arrive
    assert len(after) == len(changes)
