"""What is said of closures and permits on a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from typing import Any
from uuid import uuid4

import pytest

from fieldtrip.places.records import Closure, ClosureKind, Permit
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.settings import Settings
from fieldtrip.wording import closure_text, permit_text

DAY = date(2027, 5, 20)
TERNS = Closure(location_id=uuid4(), name="Terns", kind=ClosureKind.NESTING)
GATE = OpenHours(time(8), time(18, 30))


@pytest.mark.parametrize(
    ("known", "words"),
    [
        (
            {"season": Season(MonthDay(3, 1), MonthDay(7, 31))},
            "closed until 31 July",
        ),
        (
            {"season": Season(MonthDay(5, 1), MonthDay(2, 29))},
            "closed until 29 February 2028",
        ),
        (
            {"season": Season(MonthDay(9, 1), MonthDay(2, 29))},
            "not now, closed from 1 September",
        ),
        ({"first_day": date(2027, 1, 1)}, "closed, its end not known"),
        ({"last_day": DAY}, "closed until 20 May"),
        ({"last_day": date(2027, 5, 19)}, "no longer in force"),
        ({"hours": GATE}, "open 08:00 to 18:30 only"),
        ({"hours": GATE, "last_day": DAY}, "open 08:00 to 18:30 only until 20 May"),
        ({}, "its days not known, may be closed"),
        ({"kind": ClosureKind.HOURS}, "its hours not known, may be closed"),
        (
            {"kind": ClosureKind.HOURS, "last_day": DAY},
            "its hours not known until 20 May, may be closed",
        ),
    ],
)
def test_a_closure_says_what_it_does_on_the_day(
    known: dict[str, Any], words: str
) -> None:
    assert closure_text(replace(TERNS, **known), DAY, Settings()) == words


def test_hours_are_told_on_the_users_clock() -> None:
    text = closure_text(replace(TERNS, hours=GATE), DAY, Settings(clock_24h=False))

    assert text == "open 8:00 am to 6:30 pm only"


def test_a_permit_says_whether_it_holds() -> None:
    permit = Permit(location_id=uuid4(), name="Tripod", expires=DAY)

    assert permit_text(permit, DAY) == "holds until 20 May"
    assert permit_text(permit, date(2027, 5, 21)) == "expired on 20 May"
    assert permit_text(permit, date(2028, 1, 1)) == "expired on 20 May 2027"
    assert permit_text(replace(permit, expires=None), DAY) == "expiry not known"
