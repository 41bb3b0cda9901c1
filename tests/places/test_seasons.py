"""Seasons of every year, as they stand on a notice."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.places.seasons import MonthDay, Season

DAYS = st.dates(date(1999, 1, 1), date(2101, 1, 1))
MONTH_DAYS = st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(
    lambda day: MonthDay(day.month, day.day)
)
SUMMER = Season(MonthDay(3, 1), MonthDay(7, 31))
WINTER = Season(MonthDay(11, 15), MonthDay(2, 29))


def test_both_ends_belong_to_a_season() -> None:
    assert not SUMMER.contains(date(2027, 2, 28))
    assert SUMMER.contains(date(2027, 3, 1))
    assert SUMMER.contains(date(2027, 7, 31))
    assert not SUMMER.contains(date(2027, 8, 1))


def test_a_season_may_span_new_year() -> None:
    assert WINTER.contains(date(2026, 12, 31))
    assert WINTER.contains(date(2027, 1, 1))
    assert not WINTER.contains(date(2027, 3, 1))
    assert WINTER.last_day_from(date(2026, 12, 31)) == date(2027, 2, 28)
    assert WINTER.last_day_from(date(2028, 1, 1)) == date(2028, 2, 29)
    assert WINTER.first_day_after(date(2027, 3, 1)) == date(2027, 11, 15)


def test_a_day_that_no_year_has_is_refused() -> None:
    with pytest.raises(ValueError, match="day"):
        MonthDay(4, 31)


@given(first=MONTH_DAYS, last=MONTH_DAYS, day=DAYS)
def test_a_season_holds_up_to_its_last_day_and_begins_at_its_first(
    first: MonthDay, last: MonthDay, day: date
) -> None:
    season = Season(first, last)

    # The days are walked one by one, as on a calendar on the wall.
    if season.contains(day):
        end = season.last_day_from(day)
        assert end >= day
        assert all(
            season.contains(day + timedelta(n)) for n in range((end - day).days + 1)
        )
        assert end == last.in_year(end.year)
    else:
        start = season.first_day_after(day)
        assert start > day
        between = range((start - day).days)
        assert not any(season.contains(day + timedelta(n)) for n in between)
        assert start == first.in_year(start.year)
