"""Whether a closure holds on a day, and a permit still does."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from typing import Any
from uuid import uuid4

import pytest

from fieldtrip.geo import Position
from fieldtrip.places.closures import ClosureState, Force, closure_state, has_expired
from fieldtrip.places.records import Closure, ClosureKind, Permit, Shape
from fieldtrip.places.seasons import MonthDay, OpenHours, Season

DAY = date(2027, 5, 20)
PLAIN = Closure(location_id=uuid4(), name="Terns", kind=ClosureKind.NESTING)
NESTING = Season(MonthDay(3, 1), MonthDay(7, 31))
GATE = OpenHours(time(8), time(18, 30))
HERE = Position(49.6, -8.4)


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        ({}, ClosureState(Force.UNKNOWN)),
        ({"season": NESTING}, ClosureState(Force.SHUT, date(2027, 7, 31))),
        (
            {"season": Season(MonthDay(9, 1), MonthDay(3, 31))},
            ClosureState(Force.NONE, next_day=date(2027, 9, 1)),
        ),
        ({"first_day": DAY}, ClosureState(Force.SHUT)),
        ({"last_day": DAY}, ClosureState(Force.SHUT, DAY)),
        ({"last_day": date(2027, 5, 19)}, ClosureState(Force.NONE)),
        (
            {"first_day": date(2027, 5, 21)},
            ClosureState(Force.NONE, next_day=date(2027, 5, 21)),
        ),
        ({"hours": GATE}, ClosureState(Force.HOURS)),
        (
            {"hours": GATE, "season": NESTING},
            ClosureState(Force.HOURS, date(2027, 7, 31)),
        ),
        ({"kind": ClosureKind.HOURS}, ClosureState(Force.UNKNOWN)),
        (
            {"kind": ClosureKind.HOURS, "last_day": DAY},
            ClosureState(Force.UNKNOWN, DAY),
        ),
        (
            {"kind": ClosureKind.HOURS, "season": NESTING},
            ClosureState(Force.UNKNOWN, date(2027, 7, 31)),
        ),
    ],
)
def test_a_closure_holds_on_its_days_and_is_never_read_as_open(
    known: dict[str, Any], expected: ClosureState
) -> None:
    assert closure_state(replace(PLAIN, **known), DAY) == expected


def test_a_permit_holds_through_its_last_day() -> None:
    permit = Permit(location_id=uuid4(), name="Tripod", expires=DAY)

    assert has_expired(permit, DAY) is False
    assert has_expired(permit, date(2027, 5, 21)) is True
    assert has_expired(replace(permit, expires=None), DAY) is None


@pytest.mark.parametrize(
    ("known", "sentence"),
    [
        ({"name": " "}, "A closure needs a name."),
        (
            {"first_day": DAY, "last_day": date(2027, 5, 1)},
            "The last day of a closure cannot come before its first.",
        ),
        (
            {"first_day": DAY, "season": NESTING},
            "Give a closure either its days or its yearly season, not both: "
            "empty the one first.",
        ),
        (
            {"hours": OpenHours(time(8), time(8))},
            "A gate cannot open and shut at the same minute.",
        ),
        (
            {"shape": Shape.AREA, "line": (HERE, HERE)},
            "A closure drawn as area needs 3 or more points.",
        ),
    ],
)
def test_what_makes_no_sense_is_said(known: dict[str, Any], sentence: str) -> None:
    assert replace(PLAIN, **known).faults() == [sentence]


def test_a_closure_need_not_be_drawn() -> None:
    assert PLAIN.faults() == []
    assert replace(PLAIN, shape=Shape.LINE, line=(HERE, HERE)).faults() == []
