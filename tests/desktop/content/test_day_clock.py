"""Tests for moving from day to day by a place's clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.day_clock import (
    hour_marks,
    on_day,
    step_day,
    step_minutes,
)
from fieldtrip.settings import Settings
from fieldtrip.times import local_date, local_day
from fieldtrip.wording import clock_line

DUBLIN = "Europe/Dublin"


def utc(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


# Source: Directive 2000/84/EC: summer time begins at 01:00 UTC on the last Sunday
# of March (29 March 2026) and ends at 01:00 UTC on that of October (25 October 2026).


def test_the_clock_keeps_its_minute_over_the_start_of_summer_time() -> None:
    moved = on_day(date(2026, 3, 30), utc(27, 16, 12), DUBLIN)
    assert moved == utc(30, 15, 12)


def test_a_skipped_minute_becomes_the_first_after_the_gap() -> None:
    moved = on_day(date(2026, 3, 29), utc(28, 1, 20), DUBLIN)
    assert moved == utc(29, 1, 0)


def test_a_repeated_minute_is_the_first_of_the_two() -> None:
    moved = on_day(date(2026, 10, 25), utc(24, 0, 30, month=10), DUBLIN)
    assert moved == utc(25, 0, 30, month=10)


def test_a_skipped_midnight_is_still_on_its_day() -> None:
    # Source: IANA time zone database, "asia", rule Lebanon from 1993: on the last
    # Sunday of March the clock goes from 0:00 to 1:00; from memory.
    day = date(2024, 3, 31)
    moved = on_day(day, datetime(2024, 3, 29, 22, 10, tzinfo=UTC), "Asia/Beirut")
    assert local_date(moved, "Asia/Beirut") == day
    assert moved == local_day(day, "Asia/Beirut").start


@given(
    days=st.integers(-400, 400),
    minutes=st.integers(0, 1439),
    zone=st.sampled_from([DUBLIN, "America/Los_Angeles", "Pacific/Chatham", "UTC"]),
)
def test_a_moved_minute_always_lies_on_its_day(
    days: int, minutes: int, zone: str
) -> None:
    day = date(2026, 3, 1) + timedelta(days=days)
    moved = on_day(day, utc(1, 0) + timedelta(minutes=minutes), zone)
    assert local_date(moved, zone) == day


def test_minutes_run_over_midnight_into_the_next_day() -> None:
    assert step_minutes(utc(1, 23, 59), 1, "UTC") == (date(2026, 3, 2), utc(2, 0))
    assert step_minutes(utc(1, 0, 5), -10, "UTC") == (
        date(2026, 2, 28),
        datetime(2026, 2, 28, 23, 55, tzinfo=UTC),
    )


def test_days_end_where_nothing_can_be_computed() -> None:
    assert step_day(date(2099, 12, 30), 1, "UTC") == date(2099, 12, 30)
    assert step_day(date(1900, 1, 2), -1, "UTC") == date(1900, 1, 2)


def test_a_day_that_a_zone_left_out_is_passed_over() -> None:
    # Source: IANA time zone database, "australasia": Samoa had no 30 December 2011.
    assert step_day(date(2011, 12, 29), 1, "Pacific/Apia") == date(2011, 12, 31)
    assert step_day(date(2011, 12, 31), -1, "Pacific/Apia") == date(2011, 12, 29)


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2026, 3, 29), 23), (date(2026, 3, 30), 24), (date(2026, 10, 25), 25)],
)
def test_a_day_has_as_many_marks_as_hours_and_its_end(day: date, hours: int) -> None:
    marks = hour_marks(day, DUBLIN, Settings())
    assert len(marks) == hours + 1
    assert marks[-1].text == "24:00"


def test_the_repeated_hour_is_written_twice_with_its_zone() -> None:
    marks = hour_marks(date(2026, 10, 25), DUBLIN, Settings())
    texts = [f"{mark.text} {mark.note}".strip() for mark in marks]
    assert texts[:5] == ["00:00", "01:00 IST", "01:00 GMT", "02:00", "03:00"]


def test_the_skipped_hour_is_not_written() -> None:
    texts = [mark.text for mark in hour_marks(date(2026, 3, 29), DUBLIN, Settings())]
    assert texts[:3] == ["00:00", "02:00", "03:00"]


def test_the_clock_line_names_the_zone_and_an_odd_length() -> None:
    assert clock_line(date(2026, 11, 14), DUBLIN) == "GMT"
    assert clock_line(date(2026, 7, 14), DUBLIN) == "IST (UTC+1)"
    assert (
        clock_line(date(2026, 10, 25), DUBLIN)
        == "IST (UTC+1), then GMT: a day of 25 hours"
    )
