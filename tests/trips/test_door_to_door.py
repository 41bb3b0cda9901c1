"""Tests for the whole day of a trip, from getting up to being home."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

import pytest

from fieldtrip.places.records import StartKind, StartPlace
from fieldtrip.places.seasons import OpenHours
from fieldtrip.trips.door_to_door import DoorToDoor, StepKind, Unsaid, door_to_door
from fieldtrip.trips.plan import facts_of
from tests.safety.story import CLEAR, LOCATION, Story, at

QUAY = StartPlace(
    location_id=LOCATION.id,
    name="The quay",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
    hours=OpenHours(time(5), time(21)),
)
SAID: dict[str, Any] = {
    "start_place_id": QUAY.id,
    "wake": at(12),
    "drive_out_min": 60.0,
    "kit_up_min": 10.0,
    "drive_back_min": 70.0,
}


def day_of(story: Story = CLEAR, quay: StartPlace = QUAY, **trip: Any) -> DoorToDoor:
    story = story.with_trip(**(SAID | trip))
    dossier = replace(story.dossier(), start_places=(quay,))
    return door_to_door(facts_of(dossier, story.trip, story.now))


def test_a_day_is_told_from_getting_up_to_being_home() -> None:
    day = day_of()

    told = [(step.kind, step.about, step.start, step.finish) for step in day.steps]
    assert told == [
        (StepKind.WAKE, "", at(12), at(12)),
        (StepKind.DRIVE_OUT, "The quay", at(13, 20), at(14, 20)),
        (StepKind.KIT_UP, "The quay", at(14, 20), at(14, 30)),
        (StepKind.WALK, "The bar", at(14, 30), at(14, 40)),
        (StepKind.STOP, "The step", at(14, 45), at(14, 55)),
        (StepKind.WALK, "The bar", at(15), at(15, 10)),
        (StepKind.BACK, "The quay", at(15, 10), at(15, 10)),
        (StepKind.DRIVE_BACK, "", at(15, 10), at(16, 20)),
    ]
    assert (day.leave_home, day.at_start, day.home) == (
        at(13, 20),
        at(14, 20),
        at(16, 20),
    )
    assert day.unsaid == ()


def test_hours_awake_end_where_the_wheel_is_left() -> None:
    day = day_of()

    assert day.awake == timedelta(hours=4, minutes=20)
    # The latest return is 16:00.
    assert day.latest_awake == timedelta(hours=5, minutes=10)


@pytest.mark.parametrize(
    ("changes", "unsaid", "unknown"),
    [
        ({"wake": None}, Unsaid.WAKE, ("awake", "latest_awake")),
        ({"drive_out_min": None}, Unsaid.DRIVE_OUT, ("leave_home",)),
        ({"kit_up_min": None}, Unsaid.KIT_UP, ("at_start", "leave_home")),
        ({"drive_back_min": None}, Unsaid.DRIVE_BACK,
         ("home", "latest_home", "awake", "latest_awake")),
    ],
)  # fmt: skip
def test_what_was_not_said_stays_unknown_and_all_that_hangs_on_it(
    changes: dict[str, Any], unsaid: Unsaid, unknown: tuple[str, ...]
) -> None:
    day = day_of(**changes)

    assert day.unsaid == (unsaid,)
    times = ("at_start", "leave_home", "home", "latest_home", "awake", "latest_awake")
    assert tuple(name for name in times if getattr(day, name) is None) == tuple(
        name for name in times if name in unknown
    )


def test_a_drive_of_no_length_is_no_unsaid_drive() -> None:
    day = day_of(drive_out_min=0.0, kit_up_min=0.0, drive_back_min=0.0)

    assert day.unsaid == ()
    assert (day.leave_home, day.home) == (at(14, 30), at(15, 10))


def test_a_plan_of_nothing_has_no_times_but_those_typed() -> None:
    day = day_of(replace(CLEAR, stops=(), walks=()))

    assert Unsaid.PLAN in day.unsaid
    assert [step.kind for step in day.steps if step.start is not None] == [
        StepKind.WAKE
    ]
    assert day.home is None
    assert day.steps[1].length == timedelta(hours=1)


def test_the_hours_of_the_start_are_those_of_the_day() -> None:
    day = day_of()

    # 05:00 to 21:00 in Los Angeles in summer.
    assert day.start_open is not None
    assert day.start_open.start == at(12)
    assert day.start_open.stop == at(4, 0, 16)
    assert day.end_open == day.start_open


def test_hours_that_nobody_said_are_unsaid_and_open_always_is_said() -> None:
    unsaid = day_of(quay=replace(QUAY, hours=None))
    always = day_of(quay=replace(QUAY, hours=None, is_always_open=True))

    assert unsaid.unsaid == (Unsaid.START_HOURS, Unsaid.END_HOURS)
    assert always.unsaid == ()
    assert always.start_open is None


def test_a_trip_across_midnight_is_home_the_next_day() -> None:
    walks = tuple(
        replace(
            walk,
            start=walk.start + timedelta(hours=9, minutes=20),
            finish=walk.finish + timedelta(hours=9, minutes=20),
        )
        for walk in CLEAR.walks
    )
    day = day_of(replace(CLEAR, walks=walks, stops=()), latest_return=None)

    assert day.home == at(1, 40, 16)
    assert day.latest_home is None


def test_a_drive_over_the_change_of_the_clock_lasts_as_long_as_said() -> None:
    # Source: the Energy Policy Act of 2005: the clock goes back on the first Sunday
    # of November, at 02:00 local time, 09:00 UTC there.
    start = datetime(2026, 11, 1, 10, 0, tzinfo=UTC)
    walk = replace(CLEAR.walks[0], start=start, finish=start + timedelta(minutes=10))
    day = day_of(
        replace(CLEAR, walks=(walk,), stops=()),
        wake=datetime(2026, 11, 1, 8, 0, tzinfo=UTC),
        latest_return=None,
        raise_alarm=None,
        drive_out_min=100.0,
    )

    assert day.leave_home == datetime(2026, 11, 1, 8, 10, tzinfo=UTC)
    assert day.awake == timedelta(hours=3, minutes=20)


def test_waking_after_the_time_to_leave_is_noticed() -> None:
    assert day_of(wake=at(13, 30)).wakes_too_late
    assert not day_of().wakes_too_late
    assert not day_of(wake=None).wakes_too_late


def test_a_start_that_is_gone_is_not_said() -> None:
    story = CLEAR.with_trip(**SAID)
    day = door_to_door(facts_of(story.dossier(), story.trip, story.now))

    assert day.unsaid == (Unsaid.START_PLACE,)
