"""A subject's top against the sky: over a curved Earth, through bending air."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.sky.refraction import sea_horizon_dip_deg
from fieldtrip.trips.sight import apparent_altitude_deg, sight_of_top
from tests.trips.condition_story import TOWER, VANTAGE


def test_a_tower_on_a_hill_900_m_away() -> None:
    sight = sight_of_top(VANTAGE, TOWER)

    assert sight is not None
    assert_allclose(sight.bearing_deg, 250.0, atol=1e-6)
    assert_allclose(sight.distance_m, 900.0, atol=1e-4)
    # By hand: 21 + 14 m above 6 + 1.6 m is 27.4 m, less 900²/2R × 0.87 = 0.055 m.
    by_hand = math.degrees(math.atan(27.345 / 900.0))
    assert_allclose(sight.apparent_altitude_deg, by_hand, atol=1e-4)


@pytest.mark.parametrize("height_m", [10.0, 100.0, 1000.0])
def test_the_sea_at_its_horizon_stands_as_low_as_the_almanac_says(
    height_m: float,
) -> None:
    # Source: Nautical Almanac, dip 0.0293 degrees times the root of metres; it
    # rests on a coefficient of refraction of about 0.166 (0.0321 without any).
    radius_m = 6_371_000.0 / (1.0 - 0.166)
    farthest_m = math.sqrt(2.0 * radius_m * height_m)

    found = apparent_altitude_deg(height_m, 0.0, farthest_m, 0.166)

    assert_allclose(found, -sea_horizon_dip_deg(height_m), rtol=0.003)


@given(st.floats(0.0, 2_000.0), st.floats(0.0, 2_000.0), st.floats(100.0, 100_000.0))
def test_it_is_the_trade_formula_within_its_own_error(
    eye_m: float, top_m: float, away_m: float
) -> None:
    # Source: common practice, rise over distance less d (1 - k) / 2R.
    slope = (top_m - eye_m) / away_m - away_m * (1.0 - 0.13) / (2.0 * 6_371_000.0)

    found = apparent_altitude_deg(eye_m, top_m, away_m)

    assert_allclose(math.tan(math.radians(found)), slope, rtol=1e-3, atol=2e-5)


def test_what_is_not_known_gives_no_sight() -> None:
    for vantage, subject in (
        (replace(VANTAGE, ground_m=None), TOWER),
        (VANTAGE, replace(TOWER, ground_m=None)),
        (VANTAGE, replace(TOWER, height_m=None)),
        (VANTAGE, replace(TOWER, position=VANTAGE.position)),
    ):
        assert sight_of_top(vantage, subject) is None
