"""Sun, Moon and galactic centre from the Earth's centre."""

from __future__ import annotations

from datetime import UTC, datetime

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from fieldtrip.sky import ephemeris
from tests.sky.published import (
    ARCSECOND,
    equatorial_deg,
    timescale,
    tt_days,
)

MJD0 = 2_400_000.5


def test_erfa_gives_the_digits_of_its_own_test_vectors() -> None:
    # Source: liberfa/erfa, src/t_erfa_c.c: t_moon98, t_epv00, t_era00, t_nut00b.
    moon = erfa.moon98(MJD0, 43999.9)["p"]
    assert_allclose(
        moon,
        [-0.2601295959971044180e-2, 0.6139750944302742189e-3, 0.2640794528229828909e-3],
        atol=1e-11,
    )
    earth, _ = erfa.epv00(MJD0, 53411.52501161)
    assert_allclose(
        earth["p"],
        [-0.7757238809297706813, 0.5598052241363340596, 0.2426998466481686993],
        atol=1e-14,
    )
    assert_allclose(
        erfa.nut00b(MJD0, 53736.0),
        [-0.9632552291148362783e-5, 0.4063197106621159367e-4],
        atol=1e-13,
    )


def test_our_own_calls_take_the_dates_that_the_vectors_take() -> None:
    # Source: liberfa/erfa, src/t_erfa_c.c: t_epv00 and t_moon98.
    days = np.array([53411.52501161 + MJD0 - ephemeris.J2000])
    position, _, _ = ephemeris.earth(days)
    assert_allclose(position[0, 0], -0.7757238809297706813, atol=1e-11)


def test_earth_rotation_angle_is_that_of_erfa_and_of_the_cookbook() -> None:
    # Source: liberfa/erfa, src/t_erfa_c.c, t_era00: MJD 54388.0.
    midnight = np.array([(54388.0 - 40587.0) * 86400.0])
    assert_allclose(
        ephemeris.earth_rotation_rad(midnight), 0.4022837240028158102, atol=1e-10
    )

    # Source: SOFA Tools for Earth Attitude, section 5.1: 2007-04-05 12:00 UTC,
    # UT1 - UTC = -0.072073685 s, rotation 13.318492966097 degrees.
    noon = datetime(2007, 4, 5, 12, tzinfo=UTC).timestamp() - 0.072073685
    angle = np.degrees(ephemeris.earth_rotation_rad(np.array([noon])))
    assert_allclose(angle, 13.318492966097, atol=1e-8)


def test_sun_of_example_25b() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), example 25.b: 1992 October
    # 13.0 TD, right ascension 198.378178, declination -7.783871, R 0.99760775.
    tt = tt_days(1992, 10, 13.0)
    sun = ephemeris.sun_km(tt)
    ra, dec = equatorial_deg(sun, tt)

    assert ra == pytest.approx(198.378178, abs=0.5 * ARCSECOND)
    assert dec == pytest.approx(-7.783871, abs=0.5 * ARCSECOND)
    # Apparent distance at the light time, so 1e-5 au of difference are in order.
    radius = np.linalg.norm(sun) / ephemeris.KM_PER_AU
    assert radius == pytest.approx(0.99760775, abs=1e-5)


def test_moon_of_example_47a() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), example 47.a: 1992 April
    # 12.0 TD, right ascension 134.688470, declination 13.768368, 368409.7 km.
    tt = tt_days(1992, 4, 12.0)
    moon = ephemeris.moon_km(tt)
    ra, dec = equatorial_deg(moon, tt)

    # Meeus leaves out the light time's 0.7", and gives 10" as the theory's error.
    assert ra == pytest.approx(134.688470, abs=1.0 * ARCSECOND)
    assert dec == pytest.approx(13.768368, abs=1.0 * ARCSECOND)
    assert np.linalg.norm(moon) == pytest.approx(368409.7, abs=1.0)


def test_sun_and_moon_of_jpl_horizons() -> None:
    # Source: JPL Horizons, apparent geocentric, 1980-03-25 00:00 UT, as astropy's
    # coordinates/tests/test_solar_system.py carries it.
    # TT - UTC was 51.184 s (IERS Bulletin C: TAI - UTC = 19 s from 1980-01-01).
    tt = tt_days(1980, 3, 25.0) + 51.184 / 86400.0
    sun_ra, sun_dec = equatorial_deg(ephemeris.sun_km(tt), tt)
    moon_ra, moon_dec = equatorial_deg(ephemeris.moon_km(tt), tt)

    assert sun_ra == pytest.approx(15.0 * (16 / 60 + 31.00 / 3600), abs=0.2 * ARCSECOND)
    assert sun_dec == pytest.approx(1 + 47 / 60 + 16.9 / 3600, abs=0.2 * ARCSECOND)
    # The theory is good to 2.9" root mean square.
    assert moon_ra == pytest.approx(
        15.0 * (7 + 32 / 60 + 2.62 / 3600), abs=3 * ARCSECOND
    )
    assert moon_dec == pytest.approx(18 + 34 / 60 + 5.0 / 3600, abs=3 * ARCSECOND)


def test_terrestrial_time_follows_the_measured_rotation_of_the_earth() -> None:
    years = range(1900, 2031, 5)
    instants = [datetime(year, 7, 1, tzinfo=UTC) for year in years]
    ours = ephemeris.tt_minus_utc_s(np.array([t.timestamp() for t in instants]))

    # Source: skyfield's table of delta T (IERS and Morrison et al. 2020); UT1 and
    # UTC differ by up to 0.9 s, and the knots are ten years apart.
    truth = timescale().from_datetimes(instants).delta_t
    assert np.abs(ours - truth).max() < 3.0


def test_galactic_centre_stands_where_sgr_a_is_listed() -> None:
    # Source: SIMBAD, NAME Gal Center, ICRS 17 45 40.04 -29 00 28.1; aberration moves
    # it by at most 20.5" (constant of aberration, IAU 1976).
    x, y, z = ephemeris.galactic_centre_km(np.array([9500.0]))[0]
    ra = np.degrees(np.arctan2(y, x)) % 360.0
    dec = np.degrees(np.arctan2(z, np.hypot(x, y)))

    assert ra == pytest.approx(266.41683, abs=24 * ARCSECOND)
    assert dec == pytest.approx(-29.00781, abs=21 * ARCSECOND)
