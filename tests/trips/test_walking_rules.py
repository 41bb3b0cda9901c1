"""Four walking rules against what is published of each, and the dark."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.geo import Position
from fieldtrip.places.records import Ground, Leg
from fieldtrip.trips.records import WalkingRule
from fieldtrip.trips.walking import (
    Heights,
    Pace,
    daylight_minutes,
    din_h,
    langmuir_h,
    naismith_h,
    profile_h,
    rule_h,
    swiss_min_per_km,
    time_for_leg,
    tobler_km_h,
)

MINUTE_H = 1.0 / 60.0


@pytest.mark.parametrize(
    ("distance_m", "ascent_m", "hours"),
    [
        # Source: Wikipedia, "Naismith's rule": 20 km and 1600 m; its 6 h 34 min is
        # for Naismith's own 8 to 1, which 5 km and 600 m an hour give as 6 h 40 min.
        (20_000.0, 1600.0, 6.0 + 40.0 / 60.0),
        # Source: Trail magazine, January 2019: 12 min a km and 10 min for 100 m.
        (12_000.0, 900.0, 3.9),
    ],
)
def test_naismith(distance_m: float, ascent_m: float, hours: float) -> None:
    assert naismith_h(distance_m, ascent_m) == pytest.approx(hours, abs=MINUTE_H / 2)


@pytest.mark.parametrize(
    ("distance_m", "descent_m", "minutes"),
    [
        # Source: E. Langmuir, Mountaincraft and Leadership (1984), as the teaching
        # pages on Naismith's rule quote it: 10 min for 300 m, taken off from 5° to 12°
        # and put on above.  4 km down 600 m is 8.5°, 2 km is 16.7°.
        (4000.0, 600.0, 28.0),
        (2000.0, 600.0, 44.0),
        (10_000.0, 300.0, 120.0),  # under 5°
    ],
)
def test_langmuir(distance_m: float, descent_m: float, minutes: float) -> None:
    hours = langmuir_h(distance_m, 0.0, descent_m)

    assert hours * 60.0 == pytest.approx(minutes, abs=0.5)


def test_tobler() -> None:
    # Source: W. Tobler (1993), table in Wikipedia, "Tobler's hiking function".
    slopes = np.array([0.0, -0.05, *np.tan(np.radians([5.0, -5.0, 10.0, -20.0, 30.0]))])

    speeds = tobler_km_h(slopes)

    assert_allclose(speeds[:2], [5.037, 6.000], atol=0.0005)
    assert_allclose(speeds[2:], [3.71, 5.26, 2.72, 2.00, 0.67], atol=0.005)


def test_the_swiss_polynomial() -> None:
    # Source: the Swiss hiking trail federation's coefficients, as swisstopo's profile
    # service has them; 4.2 km/h on the level by the Swiss Alpine Club.
    minutes = swiss_min_per_km(np.array([0.0, 0.1, 0.2, -0.1, -0.2]))

    assert_allclose(minutes, [14.271, 19.999, 32.33, 14.21, 19.84], atol=0.005)
    assert 60.0 / minutes[0] == pytest.approx(4.2, abs=0.05)


def test_the_swiss_polynomial_ends_where_it_is_no_longer_fitted() -> None:
    # Source: the same: 17 minutes a tenth up, and 9 down, beyond 40 %.
    minutes = swiss_min_per_km(np.array([0.5, -0.5]))

    assert_allclose(minutes, [85.0, 45.0])


def test_a_profile_is_walked_as_its_parts() -> None:
    # Up 10 % for a kilometre and down again: the polynomial's own two figures.
    distances = np.arange(0.0, 2001.0, 25.0)
    heights = Heights(distances, 100.0 - np.abs(distances - 1000.0) / 10.0)

    hours = profile_h(WalkingRule.SWISS, heights, is_reversed=False)

    assert hours * 60.0 == pytest.approx(19.999 + 14.21, abs=0.02)
    assert rule_h(WalkingRule.SWISS, 2000.0, 100.0, 100.0) == pytest.approx(hours)


@pytest.mark.parametrize("rule", list(WalkingRule))
def test_up_and_down_change_places_on_the_way_back(rule: WalkingRule) -> None:
    distances = np.linspace(0.0, 900.0, 31)
    up = Heights(distances, distances * 0.2)
    down = Heights(distances, 180.0 - distances * 0.2)

    back = profile_h(rule, up, is_reversed=True)

    assert back == pytest.approx(profile_h(rule, down, is_reversed=False))


def test_the_noise_of_a_grid_does_not_slow_tobler() -> None:
    distances = np.arange(0.0, 1000.0, 5.0)
    noise_m = np.where(np.arange(len(distances)) % 2, 0.5, -0.5)

    hours = profile_h(
        WalkingRule.TOBLER, Heights(distances, noise_m), is_reversed=False
    )

    assert hours == pytest.approx(0.995 / 5.037, rel=0.05)


def leg(**changes: object) -> Leg:
    values: dict[str, object] = {
        "route_id": uuid4(),
        "number": 1,
        "name": "The path",
        "line": (Position(49.0, -8.0), Position(49.0, -7.99)),
        "distance_m": 1000.0,
        "ground": Ground.PATH,
    } | changes
    return Leg(**values)  # type: ignore[arg-type]


PROFILE = Heights(np.linspace(0.0, 1000.0, 21), np.linspace(0.0, 150.0, 21))


def test_a_profile_tells_the_climb_that_nobody_typed() -> None:
    told = time_for_leg(leg(), heights=PROFILE)

    assert told.is_climb_known
    assert told.length / timedelta(hours=1) == pytest.approx(din_h(1000.0, 150.0, 0.0))


def test_a_typed_climb_stands_before_a_profile() -> None:
    typed = time_for_leg(leg(ascent_m=0.0, descent_m=0.0), heights=PROFILE)

    assert typed.length == timedelta(minutes=15)


def test_a_profile_with_a_gap_tells_nothing() -> None:
    heights_m = PROFILE.heights_m.copy()
    heights_m[3] = np.nan

    told = time_for_leg(leg(), heights=Heights(PROFILE.distances_m, heights_m))

    assert not told.is_climb_known
    assert told.length == timedelta(minutes=15)


def test_pace_and_pack_multiply() -> None:
    pace = Pace(factor=1.2, pack_factor=1.5)

    told = time_for_leg(leg(), pace=pace)

    assert told.length == timedelta(minutes=15) * 1.8


@pytest.mark.parametrize("rule", list(WalkingRule))
@given(
    distance_m=st.floats(1.0, 20_000.0),
    ascent_m=st.floats(0.0, 1500.0),
    more_m=st.floats(0.0, 500.0),
)
def test_more_of_a_climb_never_takes_less_time(
    rule: WalkingRule, distance_m: float, ascent_m: float, more_m: float
) -> None:
    if rule is WalkingRule.TOBLER or rule is WalkingRule.SWISS:
        distance_m += ascent_m + more_m  # no wall

    less = rule_h(rule, distance_m, ascent_m, 0.0)

    assert rule_h(rule, distance_m, ascent_m + more_m, 0.0) >= less * (1.0 - 1e-9)


def test_the_dark_takes_half_as_long_again() -> None:
    dark = np.arange(120) >= 30

    walked = daylight_minutes(dark, 120)

    # A walk of an hour by day that begins at once: 30 minutes and 30 × 1.5.
    assert np.searchsorted(walked, 60.0 - 1e-9) == 75


@given(
    dark=st.lists(st.booleans(), min_size=0, max_size=120),
    minutes=st.floats(0.1, 60.0),
    factor=st.floats(1.0, 3.0),
)
def test_whoever_leaves_later_never_arrives_earlier(
    dark: list[bool], minutes: float, factor: float
) -> None:
    walked = daylight_minutes(np.array(dark, dtype=np.bool_), 240, factor)

    arrivals = np.searchsorted(walked, walked + minutes)

    assert (np.diff(arrivals) >= 0).all()
    assert (arrivals[:60] - np.arange(60) >= minutes - 1e-6).all()
