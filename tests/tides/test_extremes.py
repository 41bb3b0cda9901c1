"""Lowest and highest astronomical tide against NOAA's, and words for a range."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.extremes import (
    RangeClass,
    UsualRanges,
    astronomical_tides,
    form_factor,
    largest_range_m,
    range_class,
    usual_ranges,
)
from fieldtrip.tides.nodes import Nodes
from fieldtrip.times import Span
from tests.tides.published import (
    BOSTON,
    GALVESTON,
    SAN_FRANCISCO,
    SEATTLE,
    constants,
    curve,
)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("port", "first_year", "lowest", "highest"),
    [
        # Source: NOAA CO-OPS, datums of the stations, with date and time; UTC, metres
        # above MLLW.  NOAA looks at 6-minute heights.
        (
            SAN_FRANCISCO, 2003,
            (-0.595, datetime(2008, 6, 4, 13, 30, tzinfo=UTC)),
            (2.206, datetime(2003, 12, 23, 18, 24, tzinfo=UTC)),
        ),
        (
            SEATTLE, 2012,
            (-1.310, datetime(2026, 6, 15, 18, 36, tzinfo=UTC)),
            (4.035, datetime(2014, 1, 4, 15, 24, tzinfo=UTC)),
        ),
    ],
)  # fmt: skip
def test_lowest_and_highest_astronomical_tide(
    port: str,
    first_year: int,
    lowest: tuple[float, datetime],
    highest: tuple[float, datetime],
) -> None:
    found = astronomical_tides(curve(port, Nodes.MIDYEAR), first_year)

    for turn, (height_m, instant) in (
        (found.lowest, lowest),
        (found.highest, highest),
    ):
        assert turn.height_m == pytest.approx(height_m, abs=0.002)
        assert abs(turn.instant - instant) <= timedelta(minutes=4)


@pytest.mark.parametrize(
    ("instant", "height_m"),
    [
        # Source: NOAA CO-OPS, datums of Boston.
        (datetime(2016, 11, 15, 16, 6, tzinfo=UTC), 3.757),
        (datetime(2036, 1, 14, 22, 54, tzinfo=UTC), -0.646),
    ],
)
def test_bostons_extremes_are_turns(instant: datetime, height_m: float) -> None:
    around = Span(instant - timedelta(hours=2), instant + timedelta(hours=2))

    (turn,) = curve(BOSTON, Nodes.MIDYEAR).turns(around)

    assert turn.height_m == pytest.approx(height_m, abs=0.002)
    assert abs(turn.instant - instant) <= timedelta(minutes=4)


@pytest.mark.parametrize(
    ("port", "expected"),
    # Source: NOAA's constants; Defant's limits: below 0.25 semidiurnal, to 1.5 mixed
    # and mainly semidiurnal, to 3 mixed and mainly diurnal.
    [(BOSTON, 0.16), (SAN_FRANCISCO, 0.84), (SEATTLE, 0.97), (GALVESTON, 2.33)],
)
def test_form_factors(port: str, expected: float) -> None:
    assert form_factor(constants(port)) == pytest.approx(expected, abs=0.006)


def test_usual_ranges_follow_the_sort_of_tide() -> None:
    boston, galveston = (usual_ranges(constants(port)) for port in (BOSTON, GALVESTON))

    # By hand from NOAA's M2 1.371 and S2 0.208 m at Boston.
    assert boston is not None
    assert boston.large_m == pytest.approx(2 * (1.371 + 0.208))
    assert boston.small_m == pytest.approx(2 * (1.371 - 0.208))
    assert not boston.is_diurnal
    assert galveston is not None
    assert galveston.is_diurnal


def test_without_the_four_main_constituents_nothing_is_told() -> None:
    bare = HarmonicConstants(
        port="Port", datum="MSL", z0_m=0.0, constants=(Constant("M2", 1.0, 0.0),)
    )

    assert form_factor(bare) is None
    assert usual_ranges(bare) is None


@pytest.mark.parametrize(
    ("range_m", "is_diurnal", "expected"),
    [
        # Common practice, no source: thirds between mean neaps and mean springs.
        (1.0, False, RangeClass.NEAPS), (2.2, False, RangeClass.NEAPS),
        (2.6, False, RangeClass.BETWEEN), (3.1, False, RangeClass.SPRINGS),
        (4.5, False, RangeClass.SPRINGS), (4.5, True, RangeClass.TROPIC),
        (2.6, True, RangeClass.BETWEEN_TROPIC), (1.0, True, RangeClass.EQUATORIAL),
    ],
)  # fmt: skip
def test_words_for_a_range(
    range_m: float, is_diurnal: bool, expected: RangeClass
) -> None:
    usual = UsualRanges(large_m=3.2, small_m=2.0, is_diurnal=is_diurnal)

    assert range_class(range_m, usual) is expected


def test_ports_without_springs_and_neaps_have_no_word() -> None:
    assert range_class(1.0, UsualRanges(1.0, 1.0, is_diurnal=False)) is None


def test_springs_come_after_new_and_full_moon() -> None:
    # From memory: full moon on 28 August 2026 about 04:18 UTC, first quarter on 20
    # August; Boston's springs follow by a day or two.
    usual = usual_ranges(constants(BOSTON))
    assert usual is not None

    def word(day: int) -> RangeClass | None:
        start = datetime(2026, 8, day, tzinfo=UTC)
        turns = curve(BOSTON).turns(Span(start, start + timedelta(hours=25)))
        range_m = largest_range_m(turns)
        assert range_m is not None
        return range_class(range_m, usual)

    assert word(30) is RangeClass.SPRINGS
    assert word(22) is RangeClass.NEAPS
    assert largest_range_m(()) is None
