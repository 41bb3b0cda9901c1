"""First and last light over a skyline, beside almanacs and plain searches."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.passages import Passages, to_datetime
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.refraction import apparent_altitude_deg, true_altitude_deg
from fieldtrip.sky.site import Site
from fieldtrip.terrain.horizon import Horizon, horizon
from fieldtrip.terrain.shadow import lit
from fieldtrip.times import Span, local_day
from fieldtrip.trips.sun_on_spot import body_on_spot, minutes_left, sun_on_spot
from tests.terrain.ground import made

SPOT = Position(49.6, -8.4)
SITE = Site(SPOT)
DAY = local_day(date(2026, 10, 14), "Europe/Dublin")


def skyline(
    altitudes_deg: Array,
    *,
    error_deg: float = 0.05,
    eye_m: float = 0.0,
    is_complete: bool = True,
) -> Horizon:
    count = len(altitudes_deg)
    return Horizon(
        position=SPOT,
        ground_m=0.0,
        eye_m=eye_m,
        azimuths_deg=np.arange(count, dtype=np.float64) * (360.0 / count),
        altitudes_deg=altitudes_deg,
        distances_m=np.full(count, 5000.0),
        error_deg=np.full(count, error_deg),
        is_complete=np.full(count, is_complete),
    )


def level(altitude_deg: float = 0.0, error_deg: float = 0.05) -> Horizon:
    return skyline(np.full(720, altitude_deg), error_deg=error_deg)


def seconds(a: datetime, b: datetime) -> float:
    return abs((a - b).total_seconds())


def test_over_a_level_skyline_sun_and_moon_keep_the_almanacs_times() -> None:
    found = sun_on_spot(level(), SITE, DAY)

    for time, almanac in (
        (found.first_sun, found.sun.almanac_rises),
        (found.last_sun, found.sun.almanac_sets),
        (found.moonrise, found.moon.almanac_rises),
        (found.moonset, found.moon.almanac_sets),
    ):
        assert time is not None
        assert len(almanac) == 1
        # Almanacs reckon with 34' of refraction; the formula has 34.5' there.
        assert seconds(time.instant, almanac[0]) < 15.0


def test_behind_a_ridge_the_sun_comes_when_its_limb_has_the_ridges_altitude() -> None:
    found = body_on_spot(level(5.0), Body.SUN, SITE, DAY)

    # Altitudes without refraction, searched for by the sky's own engine.
    size_deg = sky_position(Body.SUN, SITE, DAY.start).semidiameter_deg
    centre_deg = float(true_altitude_deg(5.0)) - size_deg
    passages = Passages(Body.SUN, SITE, DAY.start, DAY.stop)
    ((times_s, _),) = passages.of_altitudes([centre_deg])
    rise, sinks = (to_datetime(float(time_s)) for time_s in times_s)
    assert found.first is not None
    assert found.last is not None
    assert seconds(found.first.instant, rise) < 2.0
    assert seconds(found.last.instant, sinks) < 2.0
    assert found.first.skyline_deg == pytest.approx(5.0)
    assert found.first.crest_m == 5000.0


def test_from_a_cliff_top_the_sun_rises_over_the_sea_as_the_supplement_says() -> None:
    height_m = 100.0
    # Source: Nautical Almanac, dip 1.76' times the root of metres.
    sea = skyline(np.full(720, -1.76 * 10.0 / 60.0), eye_m=height_m)

    found = body_on_spot(sea, Body.SUN, SITE, DAY)

    # Source: Explanatory Supplement to the Astronomical Almanac (1992) pp. 484, 488:
    # 34' + 2.12' times the root of metres, and 16' semidiameter.
    passages = Passages(Body.SUN, SITE, DAY.start, DAY.stop)
    ((times_s, _),) = passages.of_altitudes([-(50.0 + 2.12 * 10.0) / 60.0])
    assert found.first is not None
    # A minute of arc is 6 seconds here.
    assert seconds(found.first.instant, to_datetime(float(times_s[0]))) < 10.0


def test_a_ridge_with_a_notch_makes_three_sunrises() -> None:
    ridge = np.full(720, -0.5)
    ridge[212:330] = 18.0  # from azimuth 106; the Sun rises at 101
    ridge[226:232] = 2.0  # a notch at 113 to 115.5

    found = body_on_spot(skyline(ridge), Body.SUN, SITE, DAY)

    over_sea, in_notch, over_ridge = found.appearances
    for before, after in pairwise(found.appearances):
        assert before.set is not None
        assert after.rise is not None
        assert before.stop < after.start
    assert found.first == over_sea.rise
    assert found.last == over_ridge.set
    assert in_notch.rise is not None
    assert 112.0 < in_notch.rise.azimuth_deg < 114.0
    assert over_ridge.rise is not None
    assert over_ridge.rise.skyline_deg == pytest.approx(18.0)


def test_what_is_not_sure_is_wider_for_a_ridge_that_is_less_well_known() -> None:
    near = body_on_spot(level(4.0, error_deg=1.0), Body.SUN, SITE, DAY)
    far = body_on_spot(level(4.0, error_deg=0.05), Body.SUN, SITE, DAY)

    for found, least_s, most_s in ((near, 300.0, 1200.0), (far, 20.0, 180.0)):
        for time in (found.first, found.last):
            assert time is not None
            assert time.earliest < time.instant < time.latest
            assert least_s < (time.latest - time.earliest).total_seconds() < most_s


def test_over_the_far_sea_a_rise_is_sure_to_about_a_minute() -> None:
    found = body_on_spot(level(-0.1, error_deg=0.02), Body.SUN, SITE, DAY)

    assert found.first is not None
    late = (found.first.latest - found.first.instant).total_seconds()
    # 0.13 degrees of refraction, at 10 degrees an hour or so.
    assert 30.0 < late < 90.0


def test_in_a_gorge_no_sun_comes() -> None:
    found = body_on_spot(level(60.0), Body.SUN, SITE, DAY)

    assert found.appearances == ()
    assert found.first is None
    assert found.last is None
    assert found.doubtful == ()
    assert len(found.almanac_rises) == 1


def test_a_sun_that_might_just_clear_the_ridge_is_doubtful() -> None:
    times_s = Passages(Body.SUN, SITE, DAY.start, DAY.stop).of_meridian()
    noon = to_datetime(float(times_s[0]))
    top_deg = sky_position(Body.SUN, SITE, noon).apparent_altitude_deg + 0.27

    under = body_on_spot(level(top_deg + 0.2, error_deg=0.5), Body.SUN, SITE, DAY)
    over = body_on_spot(level(top_deg - 0.2, error_deg=0.5), Body.SUN, SITE, DAY)

    assert under.appearances == ()
    (perhaps,) = under.doubtful
    assert perhaps.contains(noon)
    (seen,) = over.appearances
    assert not seen.is_sure
    assert over.doubtful == ()


def test_a_midnight_sun_neither_rises_nor_sets() -> None:
    north = Site(Position(71.0, 25.0))
    span = local_day(date(2026, 6, 21), "Europe/Oslo")

    found = body_on_spot(level(), Body.SUN, north, span)

    (all_day,) = found.appearances
    assert (all_day.start, all_day.stop) == (span.start, span.stop)
    assert (all_day.rise, all_day.set) == (None, None)
    assert (found.first, found.last) == (None, None)
    assert minutes_left(level(), north, span.start) == 1440.0


def test_missing_heights_are_told_with_the_time() -> None:
    unknown = skyline(np.zeros(720), is_complete=False)

    found = body_on_spot(unknown, Body.SUN, SITE, DAY)

    assert found.first is not None
    assert not found.first.is_complete


def test_minutes_left_run_down_to_the_last_sun() -> None:
    ridge = level(7.0)
    found = body_on_spot(ridge, Body.SUN, SITE, DAY)
    assert found.first is not None
    assert found.last is not None

    for minutes in (1.0, 42.0, 180.0):
        before = found.last.instant - timedelta(minutes=minutes)
        assert minutes_left(ridge, SITE, before) == pytest.approx(minutes, abs=0.05)
    assert minutes_left(ridge, SITE, found.last.instant + timedelta(minutes=1)) == 0.0
    assert minutes_left(ridge, SITE, found.first.instant - timedelta(minutes=1)) == 0.0


def test_behind_a_straight_range_five_kilometres_off_it_is_right_to_a_minute() -> None:
    away_m, high_m, eye_m = 5_000.0, 600.0, 1.7

    def range_to_the_east(east_m: Array, north_m: Array) -> Array:
        return np.maximum(0.0, high_m - 0.4 * np.abs(east_m - away_m))

    grid = made(SPOT, 801, 561, 30.0, range_to_the_east)

    found = body_on_spot(horizon(grid, SPOT, eye_m=eye_m), Body.SUN, SITE, DAY)

    # Closed form: the crest stands away / sin(azimuth) off, and the Earth and its air
    # lower it by d (1 - k) / 2R.
    def above_deg(instant: datetime) -> float:
        sun = sky_position(Body.SUN, SITE, instant)
        crest_m = away_m / math.sin(math.radians(sun.azimuth_deg))
        rise = (high_m - eye_m) / crest_m - crest_m * 0.87 / (2.0 * 6_371_000.0)
        limb_deg = sun.altitude_deg + sun.semidiameter_deg
        seen_deg = float(apparent_altitude_deg(limb_deg))
        return seen_deg - math.degrees(math.atan(rise))

    assert found.first is not None
    assert found.first.crest_m == pytest.approx(
        away_m / math.sin(math.radians(found.first.azimuth_deg)), rel=0.01
    )
    # The crest falls between two cells, which cut metres off it.
    before, after = (timedelta(seconds=second) for second in (-45.0, 45.0))
    assert above_deg(found.first.instant + before) < 0.0
    assert above_deg(found.first.instant + after) > 0.0
    # And it says itself that it is right to about a minute.
    late = found.first.latest - found.first.instant
    assert timedelta(seconds=10) < late < timedelta(seconds=75)


@pytest.mark.parametrize("azimuth", ["first", "last"])
def test_the_spot_is_lit_in_the_layer_when_its_own_skyline_says_so(
    azimuth: str,
) -> None:
    def hills(east_m: Array, north_m: Array) -> Array:
        return np.asarray(
            100.0
            + 90.0 * np.sin(east_m / 700.0 + 0.4) * np.cos(north_m / 900.0)
            + 20.0 * np.sin(east_m / 260.0 + north_m / 310.0)
        )

    grid = made(SPOT, 301, 301, 25.0, hills)
    ridge = horizon(grid, SPOT, eye_m=0.0)
    found = body_on_spot(ridge, Body.SUN, SITE, DAY)
    time = found.first if azimuth == "first" else found.last
    assert time is not None
    way = 1.0 if azimuth == "first" else -1.0

    for minutes, is_lit in ((way * 4.0, True), (way * -4.0, False)):
        sun = sky_position(Body.SUN, SITE, time.instant + timedelta(minutes=minutes))
        limb_deg = sun.apparent_altitude_deg + sun.semidiameter_deg
        assert lit(grid, sun.azimuth_deg, limb_deg)[150, 150] == is_lit


@settings(max_examples=25)
@given(
    ridge=st.lists(st.floats(-0.3, 35.0), min_size=36, max_size=36),
    higher=st.floats(0.1, 10.0),
    day=st.integers(0, 364),
)
def test_behind_higher_ground_there_is_less_light(
    ridge: list[float], higher: float, day: int
) -> None:
    start = datetime(2027, 1, 1, tzinfo=UTC) + timedelta(days=day)
    span = Span(start, start + timedelta(days=1))
    altitudes_deg = np.array(ridge)

    low = body_on_spot(skyline(altitudes_deg), Body.SUN, SITE, span)
    high = body_on_spot(skyline(altitudes_deg + higher), Body.SUN, SITE, span)

    for seen in high.appearances:
        assert any(
            other.start <= seen.start and seen.stop <= other.stop
            for other in low.appearances
        )
    for appearances in (low.appearances, high.appearances):
        for before, after in pairwise(appearances):
            assert before.stop <= after.start
