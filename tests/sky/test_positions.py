"""Azimuth and altitude against published values and against DE421."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import astropy.coordinates
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from skyfield.api import Star, wgs84

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.sky import ephemeris, horizontal
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.ephemeris import KM_PER_AU
from fieldtrip.sky.positions import sky_position, track, uniform_track
from fieldtrip.sky.refraction import apparent_altitude_deg
from fieldtrip.sky.site import Site, site_frame
from fieldtrip.times import from_instant, to_instant
from tests.sky.published import (
    ARCSECOND,
    de421,
    site,
    timescale,
    topocentric_deg_km,
    usno_positions,
)

ATLANTA = site(33.76, -84.41, 322.0)
instants = st.integers(-69 * 365 * 86400, 129 * 365 * 86400).map(
    lambda unix_s: datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=unix_s)
)
sites = st.builds(
    site, st.floats(-90, 90), st.floats(-180, 180), st.floats(-400.0, 5000.0)
)


def test_sun_of_the_nrel_report() -> None:
    # Source: Reda & Andreas, Solar Position Algorithm, NREL/TP-560-34302 (2008),
    # appendix A.5: 2003-10-17 12:30:30 at UTC-7, 39.742476 N, 105.1786 W, 1830.14 m,
    # 820 hPa, 11 C: azimuth 194.340241, e0 39.872046, zenith 50.111622.
    golden = site(39.742476, -105.1786, 1830.14)
    sun = sky_position(Body.SUN, golden, datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC))

    # The report states its uncertainty as 0.0003 degrees.
    assert sun.azimuth_deg == pytest.approx(194.340241, abs=0.0003)
    assert sun.altitude_deg == pytest.approx(39.872046, abs=0.0003)
    zenith = 90.0 - float(apparent_altitude_deg(sun.altitude_deg, 820.0, 11.0))
    assert zenith == pytest.approx(50.111622, abs=0.0005)


def test_venus_of_example_13b_through_the_same_axes() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), example 13.b: 1987 April 10
    # at 19:21 UT, 38 55 17 N, 5h08m15.7s W, RA 23h09m16.641s, dec -6 43 11.61,
    # apparent sidereal time at Greenwich 8h34m56.853s:
    # azimuth 68.0337 west of south, altitude 15.1249.
    ra = 15.0 * (23 + 9 / 60 + 16.641 / 3600)
    dec = np.radians(-(6 + 43 / 60 + 11.61 / 3600))
    sidereal = 15.0 * (8 + 34 / 60 + 56.853 / 3600)
    angle = np.radians(ra - sidereal)  # east of Greenwich's meridian
    direction = np.array(
        [np.cos(dec) * np.cos(angle), np.cos(dec) * np.sin(angle), np.sin(dec)]
    )
    washington = site(38 + 55 / 60 + 17 / 3600, -15 * (5 + 8 / 60 + 15.7 / 3600))

    east_north_up = site_frame(washington).axes @ direction[:, None]
    azimuth, altitude = horizontal.azimuth_altitude_deg(east_north_up)

    assert_allclose(azimuth, 180.0 + 68.0337, atol=0.00006)
    assert_allclose(altitude, 15.1249, atol=0.00006)


def test_sun_of_the_naval_observatory_over_atlanta() -> None:
    # Source: US Naval Observatory, apparent topocentric positions of the Sun, 2007,
    # in the ephem wheel. It agreed to 0.03" and 0.06" when this was written.
    rows = list(usno_positions("apptopo_sun.txt"))
    assert len(rows) == 12
    for instant, ra, dec, distance_au in rows:
        ours = topocentric_deg_km(Body.SUN, ATLANTA, instant)

        assert ours[0] == pytest.approx(ra, abs=0.2 * ARCSECOND)
        assert ours[1] == pytest.approx(dec, abs=0.2 * ARCSECOND)
        assert ours[2] / KM_PER_AU == pytest.approx(distance_au, abs=2e-5)


def test_moon_of_the_naval_observatory_over_atlanta() -> None:
    # Source: US Naval Observatory, apparent topocentric positions of the Moon, 2008,
    # in the ephem wheel. Tolerance: the theory's own worst error, 18.3" (moon98).
    rows = list(usno_positions("apptopo_moon.txt"))
    assert len(rows) == 12
    for instant, ra, dec, distance_km in rows:
        ours = topocentric_deg_km(Body.MOON, ATLANTA, instant)

        assert ours[0] == pytest.approx(ra, abs=18.3 * ARCSECOND)
        assert ours[1] == pytest.approx(dec, abs=18.3 * ARCSECOND)
        assert ours[2] == pytest.approx(distance_km, abs=40.0)


def test_moon_of_jpl_horizons_over_a_high_desert() -> None:
    # Source: JPL Horizons, apparent topocentric Moon from 22.959748 S, 67.787260 W,
    # 5186 m on 2020-04-06, hourly, in astropy's coordinates/tests/data/jpl_moon.dat.
    folder = Path(astropy.coordinates.__file__).parent / "tests" / "data"
    rows = np.loadtxt(folder / "jpl_moon.dat")
    assert len(rows) == 24
    place = site(-22.959748, -67.787260, 5186.0)

    for hour, (ra, dec) in enumerate(rows):
        instant = datetime(2020, 4, 6, hour, tzinfo=UTC)
        ours = topocentric_deg_km(Body.MOON, place, instant)
        assert ours[0] == pytest.approx(ra, abs=18.3 * ARCSECOND)
        assert ours[1] == pytest.approx(dec, abs=18.3 * ARCSECOND)


@pytest.mark.slow
@pytest.mark.parametrize("lat_deg", [-78.0, -45.9, 0.0, 49.6, 66.0, 89.0])
def test_sun_and_moon_agree_with_de421(lat_deg: float) -> None:
    # Source: JPL DE421 through skyfield; UT1 - UTC counts against us.
    place = site(lat_deg, 23.4, 120.0)
    random = np.random.default_rng(round(lat_deg * 10) + 2000)
    start = datetime(2024, 1, 1, tzinfo=UTC)
    moments = sorted(
        start + timedelta(seconds=float(s))
        for s in random.uniform(0, 11.9 * 365.25 * 86400, 250)
    )
    array = np.array([to_instant(moment) for moment in moments])
    moments = [from_instant(instant) for instant in array]
    observer = de421()["earth"] + wgs84.latlon(lat_deg, 23.4, elevation_m=120.0)
    seen = observer.at(timescale().from_datetimes(moments))

    for body, limit_deg in ((Body.SUN, 0.001), (Body.MOON, 0.005)):
        altitude, azimuth, _ = seen.observe(de421()[str(body)]).apparent().altaz()
        ours = track(body, place, array)

        across = _turn(ours.azimuth_deg - azimuth.degrees)
        across *= np.cos(np.radians(altitude.degrees))
        assert np.abs(across).max() < limit_deg
        assert np.abs(ours.altitude_deg - altitude.degrees).max() < limit_deg


def test_galactic_centre_agrees_with_skyfield() -> None:
    # Source: skyfield's star with the coordinates that SIMBAD lists.
    start = datetime(2025, 1, 1, tzinfo=UTC)
    moments = [start + timedelta(days=37.3 * k) for k in range(100)]
    star = Star(ra_hours=(17, 45, 40.04), dec_degrees=(-29, 0, 28.1))
    observer = de421()["earth"] + wgs84.latlon(35.0, -8.4)
    seen = observer.at(timescale().from_datetimes(moments))
    altitude, azimuth, _ = seen.observe(star).apparent().altaz()

    array = np.array([to_instant(moment) for moment in moments])
    ours = track(Body.GALACTIC_CENTRE, site(35.0, -8.4), array)

    assert np.abs(_turn(ours.azimuth_deg - azimuth.degrees)).max() < 0.002
    assert np.abs(ours.altitude_deg - altitude.degrees).max() < 0.001


def test_parallax_lowers_the_moon_by_a_degree_and_elevation_hardly_matters() -> None:
    moment = datetime(2026, 8, 15, 18, tzinfo=UTC)
    low, high = site(49.6, -8.4), site(49.6, -8.4, 1000.0)
    moon = sky_position(Body.MOON, low, moment)

    geocentric = horizontal.azimuth_altitude_deg(
        site_frame(low).axes @ _turned_moon_km(moment)
    )[1]
    expected = 57.0 / 60.0 * np.cos(np.radians(moon.altitude_deg))
    assert float(geocentric[0]) - moon.altitude_deg == pytest.approx(expected, rel=0.1)
    raised = sky_position(Body.MOON, high, moment).altitude_deg
    assert abs(raised - moon.altitude_deg) < 0.0005


def test_semidiameters_are_those_of_the_almanac() -> None:
    # Source: Astronomical Almanac: Sun 15' 44" at aphelion to 16' 16" at perihelion.
    near = sky_position(Body.SUN, site(0, 0), datetime(2026, 1, 3, 12, tzinfo=UTC))
    far = sky_position(Body.SUN, site(0, 0), datetime(2026, 7, 6, 12, tzinfo=UTC))

    assert near.semidiameter_deg == pytest.approx((16 + 16 / 60) / 60, abs=0.0003)
    assert far.semidiameter_deg == pytest.approx((15 + 44 / 60) / 60, abs=0.0003)
    star = sky_position(
        Body.GALACTIC_CENTRE, site(0, 0), datetime(2026, 7, 6, tzinfo=UTC)
    )
    assert (star.semidiameter_deg, star.distance_km) == (0.0, np.inf)


@given(
    body=st.sampled_from(list(Body)),
    place=sites,
    start=instants,
    step_s=st.floats(0.5, 40_000.0),
    count=st.integers(0, 400),
)
def test_an_even_grid_is_the_same_as_its_instants_one_by_one(
    body: Body, place: Site, start: datetime, step_s: float, count: int
) -> None:
    grid = uniform_track(body, place, start, step_s, count)
    single = track(body, place, grid.instants)

    assert len(grid.azimuth_deg) == len(grid.apparent_altitude_deg) == count
    assert_allclose(grid.altitude_deg, single.altitude_deg, atol=1e-5)
    across = _turn(grid.azimuth_deg - single.azimuth_deg)
    across *= np.cos(np.radians(single.altitude_deg))
    assert_allclose(across, 0.0, atol=1e-5)


@given(body=st.sampled_from(list(Body)), place=sites, moment=instants)
def test_one_position_is_the_same_as_a_track_of_one(
    body: Body, place: Site, moment: datetime
) -> None:
    one = sky_position(body, place, moment)
    path = track(body, place, np.array([to_instant(moment)]))

    assert one.altitude_deg == pytest.approx(float(path.altitude_deg[0]), abs=1e-9)
    assert 0.0 <= one.azimuth_deg < 360.0
    assert -90.0 <= one.altitude_deg <= one.apparent_altitude_deg <= 90.1


def test_the_zone_in_which_an_instant_is_told_does_not_matter() -> None:
    utc = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    place = site(49.6, -8.4)

    for hours in (-11, 1, 14):
        local = utc.astimezone(timezone(timedelta(hours=hours)))
        assert sky_position(Body.SUN, place, local) == sky_position(
            Body.SUN, place, utc
        )


@pytest.mark.parametrize("elevation_m", [float("nan"), float("inf"), -501.0, 9001.0])
def test_an_elevation_that_cannot_be_is_refused(elevation_m: float) -> None:
    with pytest.raises(ValueError, match="elevation"):
        Site(Position(0.0, 0.0), elevation_m)


@pytest.mark.parametrize("step_s", [0.0, -60.0, 0.0001])
def test_a_grid_needs_a_step(step_s: float) -> None:
    with pytest.raises(ValueError, match="make no grid"):
        uniform_track(Body.SUN, site(0, 0), datetime(2026, 1, 1, tzinfo=UTC), step_s, 3)


def _turned_moon_km(moment: datetime) -> Array:
    """Geocentric Moon in axes that turn with the Earth, (3, 1)."""
    unix_s = np.array([moment.timestamp()])
    tt = (unix_s + ephemeris.tt_minus_utc_s(unix_s)) / 86400.0 - 10_957.5
    x, y, z = ephemeris.celestial_matrices(tt)[0] @ ephemeris.moon_km(tt)[0]
    angle = float(ephemeris.earth_rotation_rad(unix_s)[0])
    return np.array(
        [
            [x * np.cos(angle) + y * np.sin(angle)],
            [y * np.cos(angle) - x * np.sin(angle)],
            [z],
        ]
    )


def _turn(angle_deg: Array) -> Array:
    return (angle_deg + 180.0) % 360.0 - 180.0
