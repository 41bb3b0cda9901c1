"""Where Sun, Moon and galactic centre stand, seen from the centre of the Earth.

The costly, exact evaluation; `fieldtrip.sky.table` keeps its results as
polynomials.  Every function takes TT as days since J2000.0, an array of shape
(n,), and gives vectors of shape (n, 3) in kilometres.
"""

from __future__ import annotations

import erfa
import numpy as np
from numpy.linalg import norm

from fieldtrip.arrays import Array

KM_PER_AU = 149_597_870.7  # IAU 2012 resolution B2, exact
LIGHT_AU_PER_DAY = 173.144_632_684_669_3  # from 299792.458 km/s and the above
STAR_DISTANCE_KM = 1e15  # so far that no site on Earth shows a parallax
J2000 = 2_451_545.0  # Julian date

# Sagittarius A*, ICRS: 17h 45m 40.04s, -29 deg 00' 28.1".
# Source: Reid & Brunthaler 2004 (ApJ 616, 872), rounded as SIMBAD lists it.
_GALACTIC_CENTRE_RA_DEG = 15.0 * (17 + 45 / 60 + 40.04 / 3600)
_GALACTIC_CENTRE_DEC_DEG = -(29 + 0 / 60 + 28.1 / 3600)

# TT - UT1 in seconds at the start of a year, 1900 to 2010; afterwards the
# constant TT - UTC since the leap second of 2017, as none has been announced.
# Source: Astronomical Almanac, "Reduction of time scales", decennial values.
_DELTA_T_YEARS = (1900, 1910, 1920, 1930, 1940, 1950, 1960, 1970, 1980, 1990, 2000)
_DELTA_T_S = (-2.72, 10.46, 21.16, 24.02, 24.33, 29.15, 33.15, 40.18, 50.54, 56.86)
_DELTA_T_KNOTS = np.array([(y - 1970) * 31_556_952.0 for y in (*_DELTA_T_YEARS, 2017)])
_DELTA_T_VALUES = np.array([*_DELTA_T_S, 63.83, 69.184])


def tt_minus_utc_s(unix_s: Array) -> Array:
    """Terrestrial time less UTC, in seconds, at seconds since 1970.

    Exact from 2017 on; before that linear between published decennial values,
    within 2 s, which moves the Moon by 1 arcsecond.
    """
    return np.asarray(np.interp(unix_s, _DELTA_T_KNOTS, _DELTA_T_VALUES))


def earth(tt_days: Array) -> tuple[Array, Array, Array]:
    """Position from the Sun, velocity from it, and velocity from the barycentre.

    In au and au/day on GCRS axes.  VSOP2000 as ERFA's `epv00` abridges it.
    """
    # The plain ufunc: the wrapper would warn for the few days around 1900 and
    # 2100 that complete a table.
    heliocentric, barycentric, _ = erfa.ufunc.epv00(J2000, tt_days)
    return heliocentric["p"], heliocentric["v"], barycentric["v"]


def sun_km(tt_days: Array) -> Array:
    """Apparent geocentric Sun on GCRS axes.

    The Earth's heliocentric place a light time ago holds light time and annual
    aberration together.
    """
    position, velocity, _ = earth(tt_days)
    light_time = norm(position, axis=-1) / LIGHT_AU_PER_DAY
    return np.asarray(-(position - velocity * light_time[:, None]) * KM_PER_AU)


def moon_km(tt_days: Array) -> Array:
    """Apparent geocentric Moon on GCRS axes, after Meeus chapter 47 (`moon98`).

    2.9 arcseconds root mean square, 18 at worst, says its header.
    """
    moon = erfa.moon98(J2000, tt_days)
    light_time = norm(moon["p"], axis=-1) / LIGHT_AU_PER_DAY
    return np.asarray((moon["p"] - moon["v"] * light_time[:, None]) * KM_PER_AU)


def galactic_centre_km(tt_days: Array) -> Array:
    """Apparent direction of the galactic centre on GCRS axes, at `STAR_DISTANCE_KM`."""
    ra = np.radians(_GALACTIC_CENTRE_RA_DEG)
    dec = np.radians(_GALACTIC_CENTRE_DEC_DEG)
    direction = np.array(
        [np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)]
    )
    position, _, velocity = earth(tt_days)
    beta = velocity / LIGHT_AU_PER_DAY
    reciprocal_gamma = np.sqrt(1.0 - (beta * beta).sum(axis=-1))
    apparent = erfa.ab(direction, beta, norm(position, axis=-1), reciprocal_gamma)
    return np.asarray(apparent * STAR_DISTANCE_KM)


def celestial_matrices(tt_days: Array) -> Array:
    """Matrices (n, 3, 3) from GCRS to CIRS axes: precession and nutation 2000B."""
    return np.asarray(erfa.c2i00b(J2000, tt_days))


def earth_rotation_rad(unix_s: Array) -> Array:
    """Earth rotation angle at UT1 = UTC seconds since 1970, not reduced to a turn.

    Source: IAU 2000 resolution B1.8.  Days and their fraction are kept apart so
    that the angle keeps its last digits.
    """
    days = unix_s / 86400.0 - 10_957.5  # since J2000.0
    fraction = days - np.floor(days)
    turns = 0.779_057_273_264_0 + 0.002_737_811_911_354_48 * days + fraction
    return 2.0 * np.pi * (turns - np.floor(turns))
