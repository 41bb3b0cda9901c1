"""Seasons and hours as a person types them."""

from __future__ import annotations

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.content.typed import (
    hours_shown,
    hours_typed,
    season_shown,
    season_typed,
)
from fieldtrip.errors import UserError
from fieldtrip.places.seasons import MonthDay, OpenHours, Season

NESTING = Season(MonthDay(3, 1), MonthDay(7, 31))
GATE = OpenHours(time(8), time(18, 30))


@pytest.mark.parametrize(
    "text",
    [
        "1 Mar to 31 Jul",
        "1 March – 31 July",
        " 01 mar - 31. july ",
        "1 mar until 31 jul",
    ],
)
def test_a_season_is_read(text: str) -> None:
    assert season_typed(text) == NESTING


@pytest.mark.parametrize(
    "text",
    ["1/3 to 31/7", "March to July", "1 Mar", "31 Apr to 1 May", "1 Ma to 3 Jul",
     "1 Mar 2027 to 31 Jul 2027", "1 Mar to 31 Jul x"],
)  # fmt: skip
def test_what_is_no_season_is_refused(text: str) -> None:
    with pytest.raises(UserError, match=r"no season|not in the calendar"):
        season_typed(text)


@pytest.mark.parametrize(
    "text", ["08:00 to 18:30", "8:00–18:30", "8:00 am - 6:30 pm", " 8:00 until 18:30"]
)
def test_hours_are_read(text: str) -> None:
    assert hours_typed(text) == GATE


@pytest.mark.parametrize(
    "text", ["8 to 18", "08:00", "8:61 to 9:00", "8:00 to 24:00", "13:00 pm to 2:00 pm"]
)
def test_what_are_no_hours_is_refused(text: str) -> None:
    with pytest.raises(UserError):
        hours_typed(text)


def test_nothing_typed_is_nothing_known() -> None:
    assert season_typed(" ") is None
    assert hours_typed("") is None
    assert season_shown(None) == hours_shown(None) == ""


DAYS = st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(
    lambda day: MonthDay(day.month, day.day)
)
CLOCKS = st.times().map(lambda clock: clock.replace(second=0, microsecond=0))


@given(first=DAYS, last=DAYS, opens=CLOCKS, shuts=CLOCKS)
def test_what_is_shown_is_read_again(
    first: MonthDay, last: MonthDay, opens: time, shuts: time
) -> None:
    season, hours = Season(first, last), OpenHours(opens, shuts)

    assert season_typed(season_shown(season)) == season
    assert hours_typed(hours_shown(hours)) == hours
