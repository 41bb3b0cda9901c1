"""Secondary ports against the almanacs' worked examples and a whole printed year."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.errors import UserError
from fieldtrip.tides.records import Turn, turn_faults
from fieldtrip.tides.secondary import (
    ClockDifferences,
    HighAndLowOffsets,
    InterpolatedDifferences,
    Offset,
    RatioAboutMeanLevel,
    secondary_turns,
    without_stands,
)
from tests.tides.published import annual_turns

FOOT_M = 0.3048


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def turn(day: int, clock: str, height_m: float, is_high: bool) -> Turn:
    instant = datetime(2013, 7, day, int(clock[:2]), int(clock[2:]), tzinfo=UTC)
    return Turn(instant, height_m, is_high)


def test_the_new_zealand_almanacs_example() -> None:
    # Source: New Zealand Nautical Almanac 2013-14, pp. 30-31: standard port 0316 0.4,
    # 0941 3.3, 1546 0.6, 2207 3.1; mean differences HW −0022, LW +0032; mean levels
    # 1.92 and 1.3 m; ratio 0.74; the secondary port has 0919 2.3, 2145 2.2, 0348
    # 0.2, 1618 0.3.
    standard = (
        turn(1, "0316", 0.4, False),
        turn(1, "0941", 3.3, True),
        turn(1, "1546", 0.6, False),
        turn(1, "2207", 3.1, True),
    )
    differences = RatioAboutMeanLevel(
        high=minutes(-22),
        low=minutes(32),
        ratio=0.74,
        standard_mean_level_m=1.92,
        mean_level_m=1.3,
    )

    turns = secondary_turns(standard, differences)

    expected = [("0348", 0.2), ("0919", 2.3), ("1618", 0.3), ("2145", 2.2)]
    assert [f"{t.instant:%H%M}" for t in turns] == [clock for clock, _ in expected]
    for found, (_, height) in zip(turns, expected, strict=True):
        assert found.height_m == pytest.approx(height, abs=0.05 + 1e-9)


def test_mystery_bay_from_port_townsend_for_a_whole_year() -> None:
    # Source: NOAA CO-OPS, annual tables of 2017: Mystery Bay (9444971) is Port
    # Townsend (9444900) with high × 0.95, +15 min and low × 0.99, +52 min.  Heights
    # are rounded to 0.1 foot at either port, and then to a centimetre.
    differences = HighAndLowOffsets(
        high=Offset(minutes(15), factor=0.95), low=Offset(minutes(52), factor=0.99)
    )
    standard = annual_turns("port_townsend")
    printed = {t.instant: t for t in annual_turns("mystery_bay")}

    turns = secondary_turns(standard, differences)

    assert len(turns) > 1400
    compared = [(t, printed[t.instant]) for t in turns if t.instant in printed]
    # The last one may fall into the next year.
    assert len(compared) >= len(turns) - 1
    for found, official in compared:
        assert found.is_high == official.is_high
        assert found.height_m == pytest.approx(
            official.height_m, abs=0.1 * FOOT_M + 0.01
        )


def test_a_height_may_be_added_instead() -> None:
    # Source: NOAA CO-OPS: Marrowstone Point (9444972) is Port Townsend with high
    # +0.40 ft, +2 min and low −0.10 ft, +5 min.
    differences = HighAndLowOffsets(
        high=Offset(minutes(2), higher_m=0.40 * FOOT_M),
        low=Offset(minutes(5), higher_m=-0.10 * FOOT_M),
    )

    low, high = secondary_turns(
        (turn(1, "0300", 1.0, False), turn(1, "0900", 3.0, True)), differences
    )

    assert (f"{low.instant:%H%M}", f"{high.instant:%H%M}") == ("0305", "0902")
    assert low.height_m == pytest.approx(1.0 - 0.03048)
    assert high.height_m == pytest.approx(3.0 + 0.12192)


def clock_differences(
    first_hour: float, at_first: float, at_second: float, springs: float, neaps: float
) -> ClockDifferences:
    return ClockDifferences(
        first_hour=first_hour,
        at_first=minutes(at_first),
        at_second=minutes(at_second),
        springs_m=5.0,
        neaps_m=4.0,
        at_springs_m=springs,
        at_neaps_m=neaps,
    )


def test_a_difference_of_time_between_two_clock_hours() -> None:
    # Source: nauticalive.com, Barfleur: high water 1846 between 1500 (+0051) and
    # 2100 (+0044) gives +0047, so 1933.
    high = clock_differences(3.0, 51, 44, 0.0, 0.0)
    differences = InterpolatedDifferences(high=high, low=high, clock=UTC)

    found = differences.applied(turn(1, "1846", 4.0, True))

    assert f"{found.instant:%H%M}" == "1933"


def test_a_difference_of_height_between_springs_and_neaps() -> None:
    # Rule: Admiralty Tide Tables, as corvidia.net explains it; by hand: high water
    # 0638 of 4.2 m, 0000 and 1200 +0035, 0600 and 1800 +0023; at springs +1.1 m:
    # 0702, 5.3 m.
    high = ClockDifferences(
        first_hour=6.0,
        at_first=minutes(23),
        at_second=minutes(35),
        springs_m=4.2,
        neaps_m=3.2,
        at_springs_m=1.1,
        at_neaps_m=0.9,
    )
    differences = InterpolatedDifferences(high=high, low=high, clock=UTC)

    found = differences.applied(turn(1, "0638", 4.2, True))

    assert f"{found.instant:%H%M}" == "0702"
    assert found.height_m == pytest.approx(5.3, abs=0.05)


def test_height_differences_run_on_beyond_springs() -> None:
    line = clock_differences(0.0, 0, 0, springs=1.0, neaps=0.6)

    # By hand: 0.4 m for each metre.
    assert line.higher_m(4.5) == pytest.approx(0.8)
    assert line.higher_m(5.5) == pytest.approx(1.2)
    assert line.higher_m(3.0) == pytest.approx(0.2)


def test_the_season_comes_off_first_and_on_last() -> None:
    line = clock_differences(0.0, 0, 0, springs=1.0, neaps=0.6)
    differences = InterpolatedDifferences(
        high=line, low=line, clock=UTC, standard_season_m=0.1, season_m=-0.2
    )

    found = differences.applied(turn(1, "0600", 4.6, True))

    # By hand: 4.6 − 0.1 = 4.5; + 0.8; − 0.2.
    assert found.height_m == pytest.approx(5.1)


def test_time_differences_repeat_after_twelve_hours() -> None:
    line = clock_differences(0.0, 20, 50, 0.0, 0.0)

    def later(clock: str) -> float:
        return line.later(turn(1, clock, 4.0, True), UTC) / minutes(1)

    assert [later(c) for c in ("0000", "0300", "0600", "0900", "1200", "1800")] == [
        20, 35, 50, 35, 20, 50,
    ]  # fmt: skip


def test_a_turn_may_fall_on_the_next_day() -> None:
    differences = HighAndLowOffsets(high=Offset(minutes(15)), low=Offset(minutes(52)))

    (found,) = secondary_turns((turn(1, "2350", 3.0, True),), differences)

    assert found.instant == datetime(2013, 7, 2, 0, 5, tzinfo=UTC)


def test_where_the_tide_stands_a_pair_may_be_left_out() -> None:
    # Source: NOAA CO-OPS, Mystery Bay, 16 May 2017: low 1.83 m, high 1.83 m.
    turns = annual_turns("mystery_bay")

    kept = without_stands(turns)

    assert turn_faults(turns)
    assert not turn_faults(kept)
    assert 0 < len(turns) - len(kept) <= 20


def test_differences_that_turn_the_tide_over_are_refused() -> None:
    differences = HighAndLowOffsets(
        high=Offset(minutes(0), factor=0.1), low=Offset(minutes(0))
    )

    with pytest.raises(UserError, match="With these differences"):
        secondary_turns(
            (turn(1, "0300", 1.0, False), turn(1, "0900", 3.0, True)), differences
        )
