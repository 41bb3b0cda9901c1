"""From the table of the sky to east, north and up at a site.

Parallax comes from subtracting the site *before* any angle is taken: ignored,
it would be a whole degree on the Moon.  UT1 is taken as UTC (up to 0.9 s, which
is 0.004 degrees); polar motion and diurnal aberration (0.3 arcseconds each) are
left out.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.polynomial import chebyshev

from fieldtrip.arrays import Array
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.ephemeris import earth_rotation_rad
from fieldtrip.sky.site import SiteFrame
from fieldtrip.sky.table import SkyTable, chebyshev_fit

EARTH_RAD_PER_S = 2.0 * np.pi * 1.002_737_811_911_354_48 / 86400.0  # IAU 2000 B1.8
LONGEST_GRID_STEP_S = 6 * 3600.0
_DAY_DEGREES = {Body.SUN: 4, Body.MOON: 6, Body.GALACTIC_CENTRE: 2}  # over one day


def east_north_up_km(
    table: SkyTable, frame: SiteFrame, body: Body, unix_s: Array
) -> Array:
    """Topocentric vectors, shape (3, n), at any seconds since 1970, shape (n,)."""
    x, y, z = table.vectors_km(body, unix_s)
    angle = earth_rotation_rad(unix_s)
    cos, sin = np.cos(angle), np.sin(angle)
    turned = np.stack([x * cos + y * sin, y * cos - x * sin, z])
    return np.asarray(frame.axes @ turned - frame.centre_km[:, None])


def east_north_up_grid_km(
    table: SkyTable,
    frame: SiteFrame,
    body: Body,
    start_unix_s: float,
    step_s: float,
    count: int,
) -> Array:
    """The same on an even grid, by one matrix product: some 3 ns an instant.

    Within a day the geocentric vector is a polynomial in time, and the Earth
    turns evenly.  So east, north and up are sums over a fixed basis, the same for every
    day: the Chebyshev polynomials, and these times the cosine and the sine of the angle
    turned since the day's start.  Turning and parallax go into the factors.

    Steps of at most `LONGEST_GRID_STEP_S`.
    """
    if not 0.0 < step_s <= LONGEST_GRID_STEP_S:
        raise ValueError(f"a step of {step_s} s is not within 0..6 h")
    per_block = max(1, min(count, int(86400.0 // step_s)))
    blocks = -(-count // per_block)
    terms = _DAY_DEGREES[body] + 1
    nodes, weights = chebyshev_fit(terms)
    block_s = per_block * step_s
    starts = start_unix_s + np.arange(blocks, dtype=np.float64) * block_s

    node_unix_s = (starts[:, None] + 0.5 * (nodes + 1.0) * block_s).ravel()
    vectors = table.vectors_km(body, node_unix_s).reshape(3, blocks, terms)
    x, y, z = vectors @ weights.T  # each (blocks, terms)
    angle = earth_rotation_rad(starts)[:, None]
    cos, sin = np.cos(angle), np.sin(angle)
    toward = x * cos + y * sin
    across = y * cos - x * sin

    # After a further turn, x is toward cos + across sin, y is across cos - toward sin.
    factors = np.empty((3, blocks, 3 * terms))
    for row, (a, b, c) in enumerate(frame.axes):
        factors[row, :, :terms] = a * toward + b * across
        factors[row, :, terms : 2 * terms] = a * across - b * toward
        factors[row, :, 2 * terms :] = c * z
        factors[row, :, 2 * terms] -= frame.centre_km[row]
    basis = _basis(per_block, step_s, terms)
    grid = factors.reshape(3 * blocks, 3 * terms) @ basis
    return np.asarray(grid.reshape(3, blocks * per_block)[:, :count])


def azimuth_altitude_deg(east_north_up: Array) -> tuple[Array, Array]:
    """Azimuth from north through east, 0..360, and altitude without refraction.

    By arctan2 throughout: it keeps its digits at the zenith.  `where=` instead
    of a remainder and a square root instead of hypot, as both cost more than
    all the rest.
    """
    east, north, _ = east_north_up
    azimuth = np.arctan2(east, north)
    azimuth *= 180.0 / np.pi
    np.add(azimuth, 360.0, out=azimuth, where=azimuth < 0.0)
    return azimuth, altitude_deg(east_north_up)


def altitude_deg(east_north_up: Array) -> Array:
    """Altitude without refraction alone, for half the cost."""
    east, north, up = east_north_up
    level = east * east
    level += north * north
    np.sqrt(level, out=level)
    altitude = np.arctan2(up, level)
    altitude *= 180.0 / np.pi
    return np.asarray(altitude)


def distance_km(east_north_up: Array) -> Array:
    """Length of topocentric vectors."""
    return np.asarray(np.sqrt((east_north_up * east_north_up).sum(axis=0)))


@lru_cache(maxsize=32)
def _basis(per_block: int, step_s: float, terms: int) -> Array:
    """Polynomials times cosine, times sine, and alone: shape (3 terms, per_block)."""
    since_start_s = np.arange(per_block, dtype=np.float64) * step_s
    x = 2.0 * since_start_s / (per_block * step_s) - 1.0
    polynomials = chebyshev.chebvander(x, terms - 1)
    angle = (EARTH_RAD_PER_S * since_start_s)[:, None]
    columns = [polynomials * np.cos(angle), polynomials * np.sin(angle), polynomials]
    return np.ascontiguousarray(np.concatenate(columns, axis=1).T)
