"""When the water is low enough, against the harmonic curve and against itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldtrip.tides.curve import heights_m
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.tides.windows import (
    Window,
    latest_start,
    passable_windows,
    windows_below,
)
from fieldtrip.times import Span, from_instant, instants, to_instant

MIDNIGHT = datetime(2026, 8, 15, tzinfo=UTC)
WEEK = Span(MIDNIGHT, MIDNIGHT + timedelta(days=7))


def san_francisco() -> TideTable:
    """NOAA's official turns of a week; see tests/data/SOURCES.md."""
    path = Path(__file__).parents[1] / "data" / "noaa_san_francisco_2026-08.csv"
    rows = [line.split(",") for line in path.read_text().splitlines()[1:]]
    turns = tuple(
        Turn(datetime.fromisoformat(f"{when}Z"), float(height), kind == "H")
        for when, height, kind in rows
    )
    return TideTable(
        location_id=uuid4(),
        port="San Francisco",
        zone="UTC",
        datum="MLLW",
        unit="m",
        source="NOAA CO-OPS",
        turns=turns,
        exposure=Exposure.OPEN_COAST,
        is_distorted=False,
    )


TABLE = san_francisco()


def at(day: int, hour: int, minute: int, second: int = 0) -> datetime:
    """An instant of August 2026, UTC."""
    return datetime(2026, 8, day, hour, minute, second, tzinfo=UTC)


def test_windows_agree_with_the_harmonic_curve() -> None:
    # Source: NOAA CO-OPS harmonic constants of station 9414290, predicted after
    # Schureman (1958), SP 98; below 0.60 m above MLLW, UTC.  The cosine on the
    # printed table differs from it by up to 6.2 minutes.
    expected = [
        (at(15, 12, 18, 50), at(15, 17, 21, 51)),
        (at(16, 1, 50, 58), at(16, 4, 46, 40)),
        (at(16, 13, 17, 27), at(16, 17, 30, 10)),
        (at(17, 2, 31, 20), at(17, 5, 58, 50)),
        (at(17, 14, 35, 51), at(17, 17, 22, 6)),
    ]

    windows = windows_below(TABLE.turns, 0.60, WEEK.start, at(17, 20, 0))

    first, *others = windows
    assert first.is_open_at_start
    assert abs(first.stop - at(15, 3, 31, 59)) < timedelta(minutes=7)
    assert len(others) == len(expected)
    for window, (start, stop) in zip(others, expected, strict=True):
        assert abs(window.start - start) < timedelta(minutes=7)
        assert abs(window.stop - stop) < timedelta(minutes=7)
        assert not window.is_open_at_start
        assert not window.is_open_at_stop


def test_the_almanacs_inverse() -> None:
    # Source: New Zealand Nautical Almanac 2013-14, pp. 32-33: low water 0316
    # 0.4 m, high water 0941 3.3 m; the tide reaches 2.2 m at 0700 (2 minutes
    # are what the decimetre is worth there).
    day = datetime(2013, 7, 1, tzinfo=UTC)
    turns = (
        Turn(day + timedelta(hours=3, minutes=16), 0.4, is_high=False),
        Turn(day + timedelta(hours=9, minutes=41), 3.3, is_high=True),
    )

    (window,) = windows_below(turns, 2.2, day, day + timedelta(days=1))

    assert abs(window.stop - day - timedelta(hours=7)) <= timedelta(minutes=2)


def test_a_window_runs_across_midnight() -> None:
    turns = turns_of((18, 3.0), (24, 0.5), (30, 3.0))

    (window,) = windows_below(turns, 1.0, WEEK.start, WEEK.stop)

    assert window.start < at(16, 0, 0) < window.stop
    assert not window.is_open_at_start
    assert not window.is_open_at_stop


def test_the_asked_span_cuts_a_window_and_says_so() -> None:
    (window,) = windows_below(TABLE.turns, 0.60, at(15, 14, 0), at(15, 15, 0))

    assert window == Window(at(15, 14, 0), at(15, 15, 0), True, True)


def test_never_above_is_one_window_and_never_below_none() -> None:
    first, last = TABLE.turns[0].instant, TABLE.turns[-1].instant

    always = windows_below(TABLE.turns, 9.0, WEEK.start, WEEK.stop)
    never = windows_below(TABLE.turns, -9.0, WEEK.start, WEEK.stop)

    assert always == (Window(first, last, True, True),)
    assert never == ()


def test_a_level_that_low_water_touches_gives_nothing_and_a_hair_more_a_moment() -> (
    None
):
    turns = turns_of((0, 3.0), (6, 0.5), (12, 3.0))

    touched = windows_below(turns, 0.5, WEEK.start, WEEK.stop)
    (moment,) = windows_below(turns, 0.5001, WEEK.start, WEEK.stop)

    assert touched == ()
    assert moment.start < at(15, 6, 0) < moment.stop
    assert moment.stop - moment.start < timedelta(minutes=3)


def test_a_level_at_high_water_is_never_shut() -> None:
    turns = turns_of((0, 0.5), (6, 3.0), (12, 0.5))

    assert len(windows_below(turns, 3.0, WEEK.start, WEEK.stop)) == 1
    assert len(windows_below(turns, 2.999, WEEK.start, WEEK.stop)) == 2


def test_no_table_has_no_windows() -> None:
    assert windows_below((), 1.0, WEEK.start, WEEK.stop) == ()


def test_margins_come_off_the_level() -> None:
    # 0.60 m less 0.15 m (cosine; 8 % of 1.742 m is less) less 0.30 m (open coast).
    (with_margins,) = passable_windows(
        TABLE, 0.60, Span(at(15, 12, 0), at(15, 20, 0)), Margins()
    )
    (by_hand,) = windows_below(TABLE.turns, 0.15, at(15, 12, 0), at(15, 20, 0))

    assert with_margins == by_hand
    assert with_margins.start < at(15, 14, 30) < with_margins.stop


@pytest.mark.parametrize(
    ("exposure", "expected_m"),
    [
        (Exposure.OCEAN_ISLAND, 0.10),
        (Exposure.OPEN_COAST, 0.30),
        (Exposure.SHELF_OR_ESTUARY, 0.70),
        (None, 0.70),
    ],
)
def test_weather_takes_more_where_it_can_lift_the_sea_more(
    exposure: Exposure | None, expected_m: float
) -> None:
    # Near the 99th percentile at three gauges; our own judgement.
    assert Margins().weather_m(exposure) == expected_m


def test_low_pressure_raises_the_margin_and_high_pressure_never_lowers_it() -> None:
    margins = Margins()

    # Source: Bureau of Meteorology: 10 hPa from the average is about 0.1 m.
    # 43.25 hPa below: 0.43 m, and half of the open coast's 0.30 m.
    assert margins.weather_m(Exposure.OPEN_COAST, 970.0) == pytest.approx(
        0.58, abs=0.01
    )
    assert margins.weather_m(Exposure.OPEN_COAST, 1010.0) == 0.30
    assert margins.weather_m(Exposure.OPEN_COAST, 1040.0) == 0.30


def test_the_latest_start_leaves_the_crossing_and_the_reserve() -> None:
    window = Window(at(15, 13, 0), at(15, 16, 0))

    start = latest_start(window, timedelta(minutes=20), timedelta(minutes=30))

    assert start == at(15, 15, 10)


@st.composite
def tables(draw: st.DrawFn) -> tuple[Turn, ...]:
    """Alternating turns some hours apart."""
    hours = draw(st.lists(st.floats(3.0, 16.0), min_size=1, max_size=12))
    ups = draw(st.lists(st.floats(0.01, 8.0), min_size=len(hours), max_size=len(hours)))
    is_high = draw(st.booleans())
    turns = [Turn(MIDNIGHT, draw(st.floats(-2.0, 6.0)), is_high)]
    for gap, up in zip(hours, ups, strict=True):
        is_high = not is_high
        before = turns[-1]
        height = before.height_m + (up if is_high else -up)
        turns.append(Turn(before.instant + timedelta(hours=gap), height, is_high))
    return tuple(turns)


@given(turns=tables(), level_m=st.floats(-3.0, 8.0), minute=st.integers(0, 3000))
def test_a_window_is_exactly_where_the_curve_is_low(
    turns: tuple[Turn, ...], level_m: float, minute: int
) -> None:
    instant = MIDNIGHT + timedelta(minutes=minute)
    height = heights_m(turns, np.array([to_instant(instant)]))[0]
    assume(not abs(height - level_m) < 1e-5)

    windows = windows_below(turns, level_m, MIDNIGHT, WEEK.stop)

    is_in = any(window.span.contains(instant) for window in windows)
    assert is_in == bool(height < level_m)


@given(turns=tables(), level_m=st.floats(-3.0, 8.0))
def test_windows_and_what_lies_between_them_cover_the_table(
    turns: tuple[Turn, ...], level_m: float
) -> None:
    low = windows_below(turns, level_m, MIDNIGHT, WEEK.stop)
    # Upside down, the high water becomes low.
    flipped = tuple(Turn(t.instant, -t.height_m, not t.is_high) for t in turns)
    high = windows_below(flipped, -level_m, MIDNIGHT, WEEK.stop)

    both = sorted([*low, *high], key=lambda window: window.start)
    end = min(turns[-1].instant, WEEK.stop)
    length = sum((w.stop - w.start for w in both), timedelta())
    assert abs(length - (end - MIDNIGHT)) < timedelta(seconds=1)
    assert all(b.start >= a.stop - timedelta(seconds=1) for a, b in pairwise(both))


@given(
    turns=tables(),
    level_m=st.floats(-1.0, 8.0),
    more_m=st.floats(0.0, 1.0),
    pressure_hpa=st.floats(940.0, 1050.0),
)
def test_more_margin_never_opens_a_minute(
    turns: tuple[Turn, ...], level_m: float, more_m: float, pressure_hpa: float
) -> None:
    table = replace(TABLE, turns=turns)
    less = passable_windows(table, level_m, WEEK, Margins())
    wider = Margins(open_coast_m=0.30 + more_m)

    windows = passable_windows(table, level_m, WEEK, wider, pressure_hpa)

    for window in windows:
        assert any(o.start <= window.start and window.stop <= o.stop for o in less)


def test_the_times_of_a_window_are_where_the_curve_has_the_level() -> None:
    minutes = instants(WEEK.start, WEEK.stop, timedelta(minutes=1))
    heights = heights_m(TABLE.turns, minutes)

    windows = windows_below(TABLE.turns, 0.60, WEEK.start, WEEK.stop)

    for moment, height in zip(minutes, heights, strict=True):
        if not np.isnan(height) and abs(height - 0.60) > 1e-6:
            is_in = any(w.span.contains(from_instant(moment)) for w in windows)
            assert is_in == bool(height < 0.60)


def turns_of(*hours_and_heights: tuple[float, float]) -> tuple[Turn, ...]:
    """Turns at hours after midnight, high where higher than the one beside it."""
    heights = [height for _, height in hours_and_heights]
    mean = (min(heights) + max(heights)) / 2.0
    return tuple(
        Turn(MIDNIGHT + timedelta(hours=hour), height, height > mean)
        for hour, height in hours_and_heights
    )
