"""The cosine between printed turns, against the almanac that prints it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.tides.curve import Confidence, height_at, heights_m
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.times import instants, to_instant

DAY = datetime(2013, 7, 1, tzinfo=UTC)
# Source: New Zealand Nautical Almanac 2013-14, pp. 32-33: low water 0316 0.4 m,
# high water 0941 3.3 m.
LOW = Turn(DAY.replace(hour=3, minute=16), 0.4, is_high=False)
HIGH = Turn(DAY.replace(hour=9, minute=41), 3.3, is_high=True)
TABLE = TideTable(
    location_id=uuid4(),
    port="Port",
    zone="UTC",
    datum="chart datum",
    unit="m",
    source="almanac",
    turns=(LOW, HIGH),
    is_distorted=False,
)


def test_the_almanacs_height_at_seven() -> None:
    at = np.array([to_instant(DAY.replace(hour=7))])

    height = heights_m(TABLE.turns, at)

    # Source: the same pages: 2.2 m at 0700, printed to a decimetre.
    assert height[0] == pytest.approx(2.2, abs=0.05)


def test_one_height_is_the_same_as_many() -> None:
    at = instants(LOW.instant, HIGH.instant, timedelta(minutes=13))

    many = heights_m(TABLE.turns, at)
    one = [
        height_at(TABLE, LOW.instant + timedelta(minutes=13 * i))
        for i in range(len(at))
    ]

    assert [h.height_m for h in one if h] == pytest.approx(list(many), abs=1e-9)
    assert len(one) == len(many)


def test_nothing_is_said_outside_the_table() -> None:
    before = LOW.instant - timedelta(minutes=1)
    after = HIGH.instant + timedelta(minutes=1)

    heights = heights_m(TABLE.turns, np.array([to_instant(before), to_instant(after)]))

    assert np.isnan(heights).all()
    assert height_at(TABLE, before) is None
    assert height_at(TABLE, after) is None


def test_the_turns_themselves_are_in_the_table() -> None:
    low, high = height_at(TABLE, LOW.instant), height_at(TABLE, HIGH.instant)

    assert low is not None
    assert high is not None
    assert (low.height_m, high.height_m) == pytest.approx((0.4, 3.3))


@pytest.mark.parametrize(
    ("hours", "minutes", "range_m", "confidence", "margin_m"),
    [
        # Source: New Zealand Nautical Almanac 2013-14: from 5 to 7 hours.
        # Margins: our own judgement on a year at nine ports; no outside source.
        (5, 0, 1.0, Confidence.GOOD, 0.15),
        (7, 0, 1.0, Confidence.GOOD, 0.15),
        (6, 0, 4.0, Confidence.GOOD, 0.32),
        (4, 59, 1.0, Confidence.LOW, 0.30),
        (7, 1, 1.0, Confidence.LOW, 0.30),
        (8, 0, 4.0, Confidence.LOW, 0.60),
        # Common practice, no source: beyond 3 to 16 hours a turn is missing.
        (3, 0, 1.0, Confidence.LOW, 0.30),
        (2, 59, 1.0, Confidence.UNKNOWN, 0.30),
        (16, 0, 1.0, Confidence.LOW, 0.30),
        (16, 1, 1.0, Confidence.UNKNOWN, 0.30),
    ],
)
def test_confidence_and_margin_follow_the_length_of_the_rise(
    hours: int, minutes: int, range_m: float, confidence: Confidence, margin_m: float
) -> None:
    high = Turn(
        LOW.instant + timedelta(hours=hours, minutes=minutes), 0.4 + range_m, True
    )

    height = height_at(replace(TABLE, turns=(LOW, high)), LOW.instant)

    assert height is not None
    assert height.confidence is confidence
    assert height.margin_m == pytest.approx(margin_m)


@pytest.mark.parametrize("is_distorted", [True, None])
def test_a_port_that_may_be_shallow_is_not_known(is_distorted: bool | None) -> None:
    table = replace(TABLE, is_distorted=is_distorted)

    height = height_at(table, DAY.replace(hour=7))

    assert height is not None
    assert height.confidence is Confidence.UNKNOWN


@given(part=st.floats(0.0, 1.0))
def test_the_height_lies_between_its_turns(part: float) -> None:
    at = LOW.instant + (HIGH.instant - LOW.instant) * part

    height = height_at(TABLE, at)

    assert height is not None
    assert LOW.height_m - 1e-9 <= height.height_m <= HIGH.height_m + 1e-9
