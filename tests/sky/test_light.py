"""Bands of light, light on a subject, and shadows."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.light import (
    LIGHT_LIMITS_DEG,
    Light,
    Shadow,
    Side,
    light_bands,
    light_of,
    light_on_subject,
    shadow,
)
from fieldtrip.sky.positions import SkyPosition, sky_position, uniform_track
from fieldtrip.times import local_day
from tests.sky.published import site


def sun_at(altitude_deg: float, azimuth_deg: float = 180.0) -> SkyPosition:
    return SkyPosition(azimuth_deg, altitude_deg, altitude_deg, 1.5e8, 0.266)


@given(
    lat=st.floats(-90.0, 90.0),
    lon=st.floats(-180.0, 180.0),
    hour=st.integers(0, 2 * 365 * 24),
    minutes=st.integers(1, 3000),
)
def test_bands_cover_the_span_and_tell_the_light_of_every_minute(
    lat: float, lon: float, hour: int, minutes: int
) -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hour)
    stop = start + timedelta(minutes=minutes)
    bands = light_bands(site(lat, lon), start, stop)

    assert (bands[0].start, bands[-1].stop) == (start, stop)
    for a, b in pairwise(bands):
        assert a.stop == b.start
        assert a.light is not b.light
    path = uniform_track(Body.SUN, site(lat, lon), start, 60.0, minutes)
    for k, altitude in enumerate(path.altitude_deg):
        if min(abs(altitude - limit) for limit in LIGHT_LIMITS_DEG) < 1e-3:
            continue
        instant = start + timedelta(minutes=k)
        band = next(b for b in bands if b.start <= instant < b.stop)
        assert band.light is light_of(float(altitude))


def test_bands_change_where_the_events_say() -> None:
    place, day = site(49.6, -8.4), date(2026, 11, 14)
    span = local_day(day, "Europe/Dublin")
    events = day_events(place, day, "Europe/Dublin")

    bands = light_bands(place, span.start, span.stop)

    evening = [b for b in bands if b.light is Light.BLUE_HOUR][1]
    start = events.all_of(EventName.BLUE_HOUR_START)[1]
    end = events.all_of(EventName.BLUE_HOUR_END)[1]
    assert abs(evening.start - start.instant) <= timedelta(milliseconds=5)
    assert abs(evening.stop - end.instant) <= timedelta(milliseconds=5)


def test_a_polar_day_is_one_band_and_a_span_of_no_length_none() -> None:
    start = datetime(2026, 6, 20, tzinfo=UTC)

    (band,) = light_bands(site(78.2, 15.6), start, start + timedelta(days=1))
    assert band.light is Light.DAY
    assert light_bands(site(78.2, 15.6), start, start) == ()


@pytest.mark.parametrize(
    ("altitude", "light"),
    [
        # Source: US Naval Observatory for -18, -12, -6; -4 and +6: common practice.
        (-18.1, Light.NIGHT),
        (-17.9, Light.ASTRONOMICAL),
        (-11.9, Light.NAUTICAL),
        (-5.9, Light.BLUE_HOUR),
        (-3.9, Light.GOLDEN_HOUR),
        (5.9, Light.GOLDEN_HOUR),
        (6.1, Light.DAY),
    ],
)
def test_kinds_of_light(altitude: float, light: Light) -> None:
    assert light_of(altitude) is light


@pytest.mark.parametrize(
    ("sun", "sight", "angle", "side", "is_left"),
    [
        (270.0, 90.0, 180.0, Side.FRONT, True),
        (245.0, 90.0, 155.0, Side.FRONT, False),
        (180.0, 90.0, 90.0, Side.SIDE, False),
        (0.0, 90.0, 90.0, Side.SIDE, True),
        (90.0, 90.0, 0.0, Side.BACK, False),
        (350.0, 20.0, 30.0, Side.BACK, True),
        (10.0, 330.0, 40.0, Side.BACK, False),
        (10.0, 320.0, 50.0, Side.SIDE, False),
    ],
)
def test_light_on_a_subject(
    sun: float, sight: float, angle: float, side: Side, is_left: bool
) -> None:
    # Front light within 30 degrees of behind the camera: common practice, no source.
    light = light_on_subject(sun, sight)

    assert light.angle_deg == pytest.approx(angle)
    assert (light.side, light.sun_is_left) == (side, is_left)


@given(st.floats(0.0, 360.0), st.floats(0.0, 360.0), st.floats(0.0, 360.0))
def test_turning_everything_changes_nothing(
    sun: float, sight: float, turn: float
) -> None:
    light = light_on_subject(sun, sight)
    turned = light_on_subject((sun + turn) % 360.0, (sight + turn) % 360.0)

    assert turned.angle_deg == pytest.approx(light.angle_deg, abs=1e-9)
    assert 0.0 <= light.angle_deg <= 180.0


def test_a_shadow_is_as_long_as_its_caster_at_45_degrees_and_points_away() -> None:
    cast = shadow(sun_at(45.0, azimuth_deg=250.0), 12.0)

    assert cast is not None
    assert cast.bearing_deg == pytest.approx(70.0)
    assert cast.length_m == pytest.approx(12.0)


def test_no_sun_no_shadow_and_no_height_no_length() -> None:
    assert shadow(sun_at(-0.1), 12.0) is None
    assert shadow(sun_at(30.0, azimuth_deg=10.0), None) == Shadow(190.0, None)


def test_low_sun_is_lifted_by_the_air_before_it_casts() -> None:
    place = site(49.6, -8.4)
    sunset = day_events(place, date(2026, 11, 14), "UTC").first(EventName.SUNSET)
    assert sunset is not None
    sun = sky_position(Body.SUN, place, sunset.instant - timedelta(minutes=3))

    assert sun.altitude_deg < 0.0 < sun.apparent_altitude_deg
    assert shadow(sun, 10.0) is not None
