"""Turns and windows from NOAA's constants against NOAA's tables and themselves."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import SHORTEST_STAND, HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.windows import Window
from fieldtrip.times import Span, from_instant, instants, to_instant
from tests.tides.published import (
    BOSTON,
    GALVESTON,
    PORTS,
    SAN_FRANCISCO,
    SEATTLE,
    curve,
    official_turns,
)

MIDNIGHT = datetime(2026, 8, 15, tzinfo=UTC)
WEEK = Span(MIDNIGHT, MIDNIGHT + timedelta(days=7))
SECOND = timedelta(seconds=1)
CURVES = {port: curve(port) for port in PORTS}


def at(day: int, hour: int, minute: int, second: int = 0) -> datetime:
    """An instant of August 2026, UTC."""
    return datetime(2026, 8, day, hour, minute, second, tzinfo=UTC)


def height_m(tide: HarmonicCurve, instant: datetime) -> float:
    return float(tide.heights_m(np.array([to_instant(instant)]))[0])


@pytest.mark.parametrize(
    ("nodes", "port", "minutes", "metres"),
    [
        # Source: NOAA CO-OPS, high and low waters of 15 to 21 August 2026, printed
        # to a minute and a millimetre.
        *((Nodes.MIDYEAR, port, 1.0, 0.002) for port in PORTS),
        # Daily nodes: measured against the same table, no outside source; a flat Gulf
        # high moves by 5 min.
        (Nodes.DAILY, BOSTON, 1.5, 0.014),
        (Nodes.DAILY, SAN_FRANCISCO, 1.5, 0.014),
        (Nodes.DAILY, SEATTLE, 1.5, 0.014),
        (Nodes.DAILY, GALVESTON, 5.1, 0.014),
    ],
)
def test_noaas_table(nodes: Nodes, port: str, minutes: float, metres: float) -> None:
    official = official_turns(port)

    turns = curve(port, nodes).turns(WEEK)

    assert len(official) >= 20
    assert [t.is_high for t in turns] == [t.is_high for t in official]
    for turn, expected in zip(turns, official, strict=True):
        assert abs(turn.instant - expected.instant) <= timedelta(minutes=minutes)
        assert turn.height_m == pytest.approx(expected.height_m, abs=metres)


def test_windows_of_san_francisco() -> None:
    # Source: NOAA's constants predicted after Schureman by another program, below
    # 0.60 m above MLLW, UTC, edges to 0.1 s; NOAA's constants have three digits.
    expected = [
        (at(15, 1, 17, 45), at(15, 3, 31, 59)),
        (at(15, 12, 18, 50), at(15, 17, 21, 51)),
        (at(16, 1, 50, 58), at(16, 4, 46, 40)),
        (at(16, 13, 17, 27), at(16, 17, 30, 10)),
        (at(17, 2, 31, 20), at(17, 5, 58, 50)),
        (at(17, 14, 35, 51), at(17, 17, 22, 6)),
    ]

    windows = curve(SAN_FRANCISCO, Nodes.MIDYEAR).windows_below(
        0.60, Span(MIDNIGHT, at(17, 20, 0))
    )

    assert len(windows) == len(expected)
    for window, (start, stop) in zip(windows, expected, strict=True):
        assert abs(window.start - start) <= SECOND
        assert abs(window.stop - stop) <= SECOND
        assert not window.is_open_at_start
        assert not window.is_open_at_stop


def test_a_window_runs_across_midnight_and_a_day_cuts_it() -> None:
    tide = CURVES[BOSTON]
    across = next(
        w
        for w in tide.windows_below(1.0, WEEK)
        if w.start.date() != w.stop.date() and w.stop < WEEK.stop
    )
    midnight = across.stop.replace(hour=0, minute=0, second=0, microsecond=0)

    (*_, before) = tide.windows_below(1.0, Span(midnight - timedelta(days=1), midnight))
    after, *_ = tide.windows_below(1.0, Span(midnight, midnight + timedelta(days=1)))

    assert before == Window(across.start, midnight, False, True)
    assert after == Window(midnight, across.stop, True, False)


def test_never_above_is_one_window_open_at_both_ends_and_never_below_none() -> None:
    always = CURVES[BOSTON].windows_below(9.0, WEEK)
    never = CURVES[BOSTON].windows_below(-9.0, WEEK)

    assert always == (Window(WEEK.start, WEEK.stop, True, True),)
    assert never == ()
    assert CURVES[BOSTON].windows_above(-9.0, WEEK) == always


def test_a_window_may_last_longer_than_a_day() -> None:
    # Galveston's neaps have one high water a day and hardly any.
    longest = max(
        CURVES[GALVESTON].windows_below(0.45, Span(at(1, 0, 0), at(31, 0, 0))),
        key=lambda window: window.stop - window.start,
    )

    assert longest.stop - longest.start > timedelta(days=1)


@pytest.mark.parametrize("port", PORTS)
def test_a_level_just_above_low_water_gives_a_moment_and_just_below_nothing(
    port: str,
) -> None:
    tide = CURVES[port]
    lowest = min(tide.turns(WEEK), key=lambda turn: turn.height_m)

    (moment,) = tide.windows_below(lowest.height_m + 1e-6, WEEK)
    nothing = tide.windows_below(lowest.height_m - 1e-6, WEEK)

    assert moment.start < lowest.instant < moment.stop
    assert moment.stop - moment.start < timedelta(minutes=2)
    assert nothing == ()


def test_a_pair_of_turns_less_than_two_hours_apart_is_left_out() -> None:
    # A double high water: M2 with a large quarter-diurnal tide against it.
    double = HarmonicCurve(
        HarmonicSum(
            HarmonicConstants(
                port="Port",
                datum="MSL",
                z0_m=0.0,
                constants=(Constant("S2", 1.0, 0.0), Constant("S4", 0.27, 180.0)),
            )
        )
    )

    turns = double.turns(Span(at(15, 3, 0), at(15, 21, 0)))

    # By hand: cos x − 0.27 cos 2x turns at noon, at cos x = 1/1.08 (44 minutes
    # from it) and at 6 h from noon.
    assert [turn.is_high for turn in turns] == [False, True, False]
    assert all(b.instant - a.instant >= SHORTEST_STAND for a, b in pairwise(turns))
    for turn in turns:
        if turn.is_high:
            assert turn.height_m == pytest.approx(
                1 / 1.08 - 0.27 * (2 / 1.08**2 - 1), abs=1e-4
            )


def test_the_turns_of_a_day_are_those_of_the_week() -> None:
    week = CURVES[GALVESTON].turns(WEEK)

    days = [
        CURVES[GALVESTON].turns(Span(at(d, 0, 0), at(d + 1, 0, 0)))
        for d in range(15, 22)
    ]

    assert tuple(turn for day in days for turn in day) == week


@settings(max_examples=60, deadline=None)
@given(
    port=st.sampled_from(PORTS),
    level_m=st.floats(-0.5, 4.0),
    minute=st.integers(0, 7 * 1440),
)
def test_a_window_is_exactly_where_the_curve_is_low(
    port: str, level_m: float, minute: int
) -> None:
    tide = CURVES[port]
    instant = MIDNIGHT + timedelta(minutes=minute)
    height = height_m(tide, instant)
    assume(abs(height - level_m) > 1e-5)

    below = tide.windows_below(level_m, WEEK)
    above = tide.windows_above(level_m, WEEK)

    assert any(w.span.contains(instant) for w in below) == (height < level_m)
    assert any(w.span.contains(instant) for w in above) == (height > level_m)


@settings(max_examples=60, deadline=None)
@given(
    port=st.sampled_from(PORTS),
    level_m=st.floats(-1.0, 4.0),
    start_min=st.integers(0, 10_000),
    length_min=st.integers(1, 10_000),
)
def test_windows_and_their_complement_cover_the_span(
    port: str, level_m: float, start_min: int, length_min: int
) -> None:
    start = MIDNIGHT + timedelta(minutes=start_min)
    span = Span(start, start + timedelta(minutes=length_min))

    both = sorted(
        [
            *CURVES[port].windows_below(level_m, span),
            *CURVES[port].windows_above(level_m, span),
        ],
        key=lambda window: window.start,
    )

    assert both[0].start == span.start
    assert both[0].is_open_at_start
    assert both[-1].stop == span.stop
    assert both[-1].is_open_at_stop
    assert all(a.stop == b.start for a, b in pairwise(both))
    assert not any(window.is_open_at_start for window in both[1:])
    assert not any(window.is_open_at_stop for window in both[:-1])


@settings(max_examples=60, deadline=None)
@given(
    port=st.sampled_from(PORTS),
    level_m=st.floats(0.0, 4.0),
    weather_m=st.floats(0.0, 1.0),
    more_m=st.floats(0.0, 1.0),
)
def test_more_margin_never_lengthens_a_window(
    port: str, level_m: float, weather_m: float, more_m: float
) -> None:
    tide = CURVES[port]
    bare = tide.windows_below(level_m, WEEK)
    less = tide.passable_windows(level_m, WEEK, Margins(), weather_m)

    more = tide.passable_windows(level_m, WEEK, Margins(), weather_m + more_m)

    for inner, outer in ((less, bare), (more, less)):
        for window in inner:
            assert any(o.start <= window.start and window.stop <= o.stop for o in outer)


def test_margins_come_off_the_level() -> None:
    # Own judgement: 5 cm for constants; the weather's is given.
    passable = CURVES[SEATTLE].passable_windows(1.0, WEEK, Margins(), 0.30)

    assert passable == CURVES[SEATTLE].windows_below(0.65, WEEK)
    assert CURVES[SEATTLE].prediction_margin_m(WEEK, Margins()) == 0.05
    assert CURVES[SEATTLE].confidence(WEEK) is Confidence.GOOD


FIVE = tuple(Constant(n, 0.3, 0.0) for n in ("M2", "S2", "N2", "K1", "O1"))


@pytest.mark.parametrize("left_out", FIVE)
def test_without_a_main_constituent_it_is_not_relied_on(left_out: Constant) -> None:
    # Common practice, no source: these five are the least that tell a tide.
    def curve(*constants: Constant) -> HarmonicCurve:
        found = HarmonicConstants(
            port="Port", datum="MSL", z0_m=0.0, constants=constants
        )
        return HarmonicCurve(HarmonicSum(found))

    without = curve(*(each for each in FIVE if each is not left_out))

    assert without.confidence(WEEK) is Confidence.UNKNOWN
    assert without.lacking == (left_out.name,)
    assert curve(*FIVE).confidence(WEEK) is Confidence.GOOD


@pytest.mark.parametrize(
    ("left_out_m", "confidence"),
    [(0.02, Confidence.GOOD), (0.2, Confidence.LOW), (0.5, Confidence.UNKNOWN)],
)
def test_what_is_left_out_widens_the_margin(
    left_out_m: float, confidence: Confidence
) -> None:
    tide = HarmonicCurve(
        HarmonicSum(
            HarmonicConstants(
                port="Port",
                datum="MSL",
                z0_m=0.0,
                # All five, since a curve without one of them is not relied on at all.
                constants=(*FIVE, Constant("XX9", left_out_m, 0.0)),
            )
        )
    )

    assert tide.prediction_margin_m(WEEK, Margins()) == pytest.approx(0.05 + left_out_m)
    assert tide.confidence(WEEK) is confidence


def test_at_each_edge_the_water_stands_at_the_level() -> None:
    windows = CURVES[SEATTLE].windows_below(1.7, WEEK)

    edges = [w.start for w in windows] + [w.stop for w in windows]
    inner = [edge for edge in edges if edge not in (WEEK.start, WEEK.stop)]
    assert len(inner) > 20
    for edge in inner:
        # A millisecond at a metre an hour is less than a micrometre.
        assert height_m(CURVES[SEATTLE], edge) == pytest.approx(1.7, abs=5e-6)


def test_every_high_is_higher_than_the_minutes_around_it() -> None:
    minutes = instants(WEEK.start, WEEK.stop, timedelta(minutes=1))
    heights = CURVES[BOSTON].heights_m(minutes)
    index = np.flatnonzero(
        (heights[1:-1] >= heights[:-2]) & (heights[1:-1] >= heights[2:])
    )

    highs = [turn for turn in CURVES[BOSTON].turns(WEEK) if turn.is_high]

    assert len(highs) == len(index)
    for turn, i in zip(highs, index, strict=True):
        peak = from_instant(minutes[i + 1])
        assert abs(turn.instant - peak) <= timedelta(minutes=1)


def test_an_empty_span_has_no_windows() -> None:
    assert CURVES[BOSTON].windows_below(1.0, Span(MIDNIGHT, MIDNIGHT)) == ()


def test_a_level_that_is_no_number_has_no_windows() -> None:
    assert CURVES[BOSTON].windows_below(float("nan"), WEEK) == ()
    assert CURVES[BOSTON].windows_above(float("nan"), WEEK) == ()


def test_windows_do_not_stumble_over_new_year_in_noaas_way() -> None:
    # There the curve jumps by centimetres, and the edge of a window may be the jump.
    new_year = datetime(2027, 1, 1, tzinfo=UTC)
    around = Span(new_year - timedelta(days=1), new_year + timedelta(days=1))
    tide = curve(SEATTLE, Nodes.MIDYEAR)
    before_m = height_m(tide, new_year - timedelta(milliseconds=1))
    level_m = (before_m + height_m(tide, new_year)) / 2.0

    both = sorted(
        [*tide.windows_below(level_m, around), *tide.windows_above(level_m, around)],
        key=lambda window: window.start,
    )

    assert any(abs(w.stop - new_year) < SECOND for w in both)
    assert all(a.stop == b.start for a, b in pairwise(both))
    assert (both[0].start, both[-1].stop) == (around.start, around.stop)
