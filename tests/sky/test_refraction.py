"""Refraction and the dip of the sea's horizon."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.sky.refraction import (
    apparent_altitude_deg,
    refraction_deg,
    sea_horizon_dip_deg,
    sea_horizon_sunrise_altitude_deg,
    true_altitude_deg,
)

ARCMINUTE = 1.0 / 60.0


def test_refraction_of_example_16a() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), example 16.a: 24.618' at the
    # true altitude 0.5541 (formula 16.4).
    assert float(refraction_deg(0.5541)) / ARCMINUTE == pytest.approx(24.618, abs=0.001)

    # The same example's apparent altitude 0.5 has 28.754' by the other formula, with
    # which this one agrees to 0.1' by its author.
    true = float(true_altitude_deg(0.5))
    assert (0.5 - true) / ARCMINUTE == pytest.approx(28.754, abs=0.1)


def test_cold_and_heavy_air_refracts_more() -> None:
    # Source: Meeus, chapter 16: times P/1010 and 283/(273 + T).
    factor = 1030.0 / 1010.0 * 283.0 / 253.0

    assert float(refraction_deg(1.0, 1030.0, -20.0)) == pytest.approx(
        factor * float(refraction_deg(1.0)), rel=1e-12
    )


@given(
    apparent=st.floats(-8.0, 90.0),
    pressure=st.floats(600.0, 1060.0),
    temperature=st.floats(-30.0, 45.0),
)
def test_there_and_back_closes(
    apparent: float, pressure: float, temperature: float
) -> None:
    true = true_altitude_deg(apparent, pressure, temperature)

    back = float(apparent_altitude_deg(true, pressure, temperature))
    assert back == pytest.approx(apparent, abs=1e-8)


def test_what_stands_higher_is_seen_higher() -> None:
    seen = apparent_altitude_deg(np.linspace(-10.0, 90.0, 100_001))

    assert (np.diff(seen) > 0.0).all()


def test_refraction_is_never_negative_and_none_far_below_the_horizon() -> None:
    lift = refraction_deg(np.linspace(-90.0, 90.0, 1801))

    assert lift.min() == 0.0
    assert float(refraction_deg(-6.0)) == 0.0
    assert lift.max() < 1.0


def test_dip_of_the_nautical_almanac() -> None:
    # Source: Nautical Almanac, dip table: 1.76' times the root of metres.
    assert sea_horizon_dip_deg(100.0) / ARCMINUTE == pytest.approx(17.6, abs=0.05)


@pytest.mark.parametrize(
    ("height_m", "depression_arcmin"), [(0, 50.0), (100, 71.2), (1000, 117.0)]
)
def test_sunrise_over_the_sea_from_a_height(
    height_m: float, depression_arcmin: float
) -> None:
    # Source: Explanatory Supplement to the Astronomical Almanac (1992), p. 484:
    # 34' + 2.12' times the root of metres, with the semidiameter of 16'.
    altitude = sea_horizon_sunrise_altitude_deg(height_m)

    assert altitude / ARCMINUTE == pytest.approx(-depression_arcmin, abs=0.05)
