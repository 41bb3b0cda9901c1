"""A plan in words: every kind of limit, caution, obstacle and step has its sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

import pytest

from fieldtrip.plan_phrasing import (
    caution_text,
    critical_text,
    limit_text,
    obstacle_text,
    relaxation_text,
)
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    Caution,
    Limit,
    Obstacle,
    ObstacleKind,
    Plan,
    Relaxation,
    Step,
    StepKind,
)
from fieldtrip.trips.question import LimitKind, OpenIn, PlanNote
from fieldtrip.trips.schedule import schedule
from tests.trips.random_trips import BASE, MINUTE
from tests.trips.test_schedule import both_ways, trip, wish

ZONE = "Europe/Dublin"  # an hour ahead of UTC in June


def limit(kind: LimitKind) -> Limit:
    return Limit(
        kind=kind,
        name="Shingle bar",
        record_id=UUID(int=1),
        at=BASE + timedelta(minutes=100),
        by=BASE + timedelta(minutes=60),
        planned=BASE,
        leave_by=BASE + timedelta(minutes=55),
        leave_id=UUID(int=2),
    )


def test_the_critical_limit_says_by_when_to_leave_and_what_shuts() -> None:
    tide = OpenIn(
        kind=LimitKind.TIDE,
        spans=(Span(BASE - 60 * MINUTE, BASE + 145 * MINUTE),),
        reserve=30 * MINUTE,
    )
    plan = schedule(
        trip(
            wish(1, 1, 40, 200, least_min=60.0, wish_min=60.0),
            ways=both_ways(0, 1, 10.0, tide),
        )
    )
    assert isinstance(plan, Plan)

    text = critical_text(plan, ZONE, Settings())

    # BASE is 17:00 in UTC, so the bar shuts at 20:25 by the clock of the place.
    assert text == (
        "Leave stop 1 by 19:45: the tide shuts leg 01 at 20:25. "
        "The plan has 5 min in hand."
    )


def test_a_plan_that_hangs_on_nothing_says_nothing() -> None:
    free = replace(
        trip(wish(1, 1, 0, 9999), ways=both_ways(0, 1, 10.0)), has_latest_return=False
    )
    plan = schedule(free)
    assert isinstance(plan, Plan)

    assert critical_text(plan, ZONE, Settings()) == ""


@pytest.mark.parametrize("kind", list(LimitKind))
def test_every_limit_has_its_sentence(kind: LimitKind) -> None:
    text = limit_text(limit(kind), "Bar end", ZONE, Settings())

    assert text.startswith("Leave Bar end by 18:55: ")
    assert "19:40" in text
    assert text.endswith(".")
    assert limit_text(limit(kind), "", ZONE, Settings()).startswith("Set out by 18:55")


@pytest.mark.parametrize("note", list(PlanNote))
def test_every_caution_has_its_sentence(note: PlanNote) -> None:
    text = caution_text(Caution(note, "Shingle bar"))

    assert text.endswith(".")
    assert "{" not in text


@pytest.mark.parametrize("kind", list(ObstacleKind))
def test_every_obstacle_has_its_words(kind: ObstacleKind) -> None:
    text = obstacle_text(Obstacle(kind, "Shingle bar"))

    assert text
    assert "{" not in text


def test_what_would_help_is_one_sentence() -> None:
    steps = (
        Step(StepKind.LATER_RETURN, minutes=25),
        Step(StepKind.LESS_LIGHT, "Bar end", UUID(int=1), 10),
    )

    text = relaxation_text(Relaxation(steps))

    assert text == (
        "Come back 25 min later and be content with 10 min less light at Bar end."
    )


@pytest.mark.parametrize("kind", list(StepKind))
def test_every_step_has_its_words(kind: StepKind) -> None:
    text = relaxation_text(Relaxation((Step(kind, "Bar end", UUID(int=1), 5),)))

    assert text[0].isupper()
    assert text.endswith(".")
