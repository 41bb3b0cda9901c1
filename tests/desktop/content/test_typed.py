"""Tests for reading what a person typed."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.typed import (
    date_shown,
    date_typed,
    moved_to_day,
    number_shown,
    number_typed,
    time_shown,
    time_typed,
)
from fieldtrip.errors import UserError
from fieldtrip.times import zone_of

MINUS = "\N{MINUS SIGN}"
ZONE = "Europe/Dublin"
DAY = date(2026, 11, 14)
# Source: Directive 2000/84/EC: summer time runs from 01:00 UTC on the last Sunday of
# March to 01:00 UTC on the last Sunday of October.
CLOCK_FORWARD = date(2026, 3, 29)  # 01:00 to 02:00 does not exist
CLOCK_BACK = date(2026, 10, 25)  # 01:00 to 02:00 exists twice


@pytest.mark.parametrize("text", ["1.5", "1,5", " 1.5 m", "1,5m", "1.50", "+1.5"])
def test_a_number_is_read_with_point_or_comma_and_unit(text: str) -> None:
    assert number_typed(text, "m") == 1.5


def test_an_empty_number_is_not_known() -> None:
    assert number_typed("  ", "m") is None
    assert number_shown(None) == ""


@pytest.mark.parametrize("text", ["", f"{MINUS}3", "0.1", "1234.5", f"{MINUS}0.25"])
def test_a_shown_number_is_read_as_itself(text: str) -> None:
    assert number_shown(number_typed(text)) == text


@pytest.mark.parametrize("text", ["12 ft", "1,234.5", "abc", "1.2.3", "nan", "1e3"])
def test_what_is_no_number_is_refused_by_its_text(text: str) -> None:
    with pytest.raises(UserError, match="is no number"):
        number_typed(text, "m")


def test_a_comma_that_may_part_thousands_is_refused() -> None:
    with pytest.raises(UserError, match="write 1234 or 1\\.2340"):
        number_typed("1,234")
    assert number_typed("0,125") == 0.125
    assert number_typed("1.234") == 1.234


def test_half_a_person_is_refused() -> None:
    with pytest.raises(UserError, match="whole number"):
        number_typed("1.5", whole=True)


@pytest.mark.parametrize(
    "text",
    [
        "14 Nov 2026",
        "2026-11-14",
        "14 november 2026",
        "Sat 14 Nov 2026",
        "14. Nov 2026",
    ],
)
def test_a_date_is_read_in_words_or_year_first(text: str) -> None:
    assert date_typed(text) == DAY


@pytest.mark.parametrize("text", ["14/11/2026", "11-14-2026", "14 Ma 2026", "tomorrow"])
def test_a_date_with_two_readings_or_none_is_refused(text: str) -> None:
    with pytest.raises(UserError, match="14 Nov 2026 or 2026-11-14"):
        date_typed(text)


def test_a_day_that_no_calendar_has_is_refused() -> None:
    with pytest.raises(UserError, match="no day"):
        date_typed("30 Feb 2026")


@given(st.dates())
def test_a_shown_date_is_read_as_itself(day: date) -> None:
    assert date_typed(date_shown(day)) == day


def test_a_time_is_told_by_the_clock_of_the_place() -> None:
    summer = date(2026, 7, 1)

    assert time_typed("16:30", DAY, ZONE) == datetime(2026, 11, 14, 16, 30, tzinfo=UTC)
    assert time_typed("4:30 pm", summer, ZONE) == datetime(
        2026, 7, 1, 15, 30, tzinfo=UTC
    )
    assert time_typed("", DAY, ZONE) is None


def test_a_time_may_lie_on_the_day_after() -> None:
    instant = time_typed("00:40 +1", DAY, ZONE)

    assert instant == datetime(2026, 11, 15, 0, 40, tzinfo=UTC)
    assert time_shown(instant, DAY, ZONE) == "00:40 +1"
    assert time_shown(instant, date(2026, 11, 16), ZONE) == f"00:40 {MINUS}1"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("half four", "Write it as 16:30"),
        ("1630", "Write it as 16:30"),
        ("25:10", "There is no time"),
        ("13:61", "There is no time"),
        ("13:10 pm", "There is no time"),
        ("24:00", "00:00 \\+1"),
    ],
)
def test_what_is_no_time_is_refused(text: str, says: str) -> None:
    with pytest.raises(UserError, match=says):
        time_typed(text, DAY, ZONE)


def test_an_hour_that_the_clock_skips_is_refused() -> None:
    with pytest.raises(UserError, match="01:30 does not exist on 29 March 2026"):
        time_typed("01:30", CLOCK_FORWARD, ZONE)


def test_an_hour_that_comes_twice_can_be_told_apart() -> None:
    first = time_typed("01:30", CLOCK_BACK, ZONE)
    second = time_typed("01:30 second", CLOCK_BACK, ZONE)

    assert first == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert second == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    with pytest.raises(UserError, match="only once"):
        time_typed("03:30 second", CLOCK_BACK, ZONE)


@given(
    instant=st.datetimes(
        datetime(2026, 1, 1),  # noqa: DTZ001 (hypothesis adds the zone)
        datetime(2026, 12, 31),  # noqa: DTZ001
        timezones=st.just(UTC),
    ),
    zone=st.sampled_from(["Europe/Dublin", "America/St_Johns", "Pacific/Chatham"]),
    shift=st.integers(-3, 3),
)
def test_a_shown_time_is_read_as_itself(
    instant: datetime, zone: str, shift: int
) -> None:
    instant = instant.replace(second=0, microsecond=0)
    local = instant.astimezone(zone_of(zone)).date()
    day = date.fromordinal(local.toordinal() + shift)

    assert time_typed(time_shown(instant, day, zone), day, zone) == instant


def test_a_time_moved_to_another_day_keeps_its_clock_time() -> None:
    instant = time_typed("00:40 +1", DAY, ZONE)
    assert instant is not None

    moved = moved_to_day(instant, DAY, date(2026, 7, 1), ZONE)

    assert time_shown(moved, date(2026, 7, 1), ZONE) == "00:40 +1"
    assert moved == datetime(2026, 7, 1, 23, 40, tzinfo=UTC)
