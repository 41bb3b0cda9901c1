"""Mean longitudes at an instant, and what the Moon's node does to a constituent.

Source: Schureman, SP 98 (1958), equations 65 to 78, 191, 195 to 215 and 224 to
235; mean longitudes after Meeus, Astronomical Algorithms (2nd ed., 1998),
chapters 22, 25 and 47.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.tides.constituents import (
    HOURS_PER_CENTURY,
    MOON_DEG_PER_CENTURY,
    PERIGEE_DEG_PER_CENTURY,
    SOLAR_PERIGEE_DEG_PER_CENTURY,
    SUN_DEG_PER_CENTURY,
    Factor,
)

FACTORS = tuple(Factor)  # the order of rows in `NodeFactors`
_J2000_UNIX_H = 10_957.5 * 24.0
_OBLIQUITY = np.radians(23.452)  # as Schureman's tables have it, for 1900
_LUNAR_INCLINATION = np.radians(5.145)


class Nodes(StrEnum):
    """At which instant the Moon's node is taken."""

    DAILY = "daily"  # noon of each day: no jumps
    MIDYEAR = "midyear"  # the middle of each year, as NOAA's tables; jumps at New Year


@dataclass(frozen=True, slots=True)
class NodeFactors:
    """Node factors and node angles, shape (factors, n), in the order of `FACTORS`."""

    factor: Array
    angle_deg: Array


def longitudes_deg(unix_h: Array) -> Array:
    """T, s, h, p and p1, shape (5, n), not reduced; at hours since 1970, shape (n,)."""
    centuries = _centuries(unix_h)
    return np.stack(
        [
            15.0 * (unix_h % 24.0) + 180.0,
            218.3164477 + (MOON_DEG_PER_CENTURY - 0.0015786 * centuries) * centuries,
            280.46646 + (SUN_DEG_PER_CENTURY + 0.0003032 * centuries) * centuries,
            perigee_deg(unix_h),
            282.93735 + (SOLAR_PERIGEE_DEG_PER_CENTURY + 0.00046 * centuries)
            * centuries,
        ]
    )  # fmt: skip


def perigee_deg(unix_h: Array) -> Array:
    """The mean longitude p of the lunar perigee, not reduced."""
    centuries = _centuries(unix_h)
    return np.asarray(
        83.3532465 + (PERIGEE_DEG_PER_CENTURY - 0.0103200 * centuries) * centuries
    )


def node_factors(unix_h: Array) -> NodeFactors:
    """Node factors and angles at hours since 1970, shape (n,)."""
    node = np.radians((_node_deg(unix_h) + 180.0) % 360.0 - 180.0)
    w, i = _OBLIQUITY, _LUNAR_INCLINATION

    # The lunar orbit's inclination to the equator, and where the two meet.
    inclined = np.arccos(np.cos(w) * np.cos(i) - np.sin(w) * np.sin(i) * np.cos(node))
    tangent = np.tan(node / 2.0)
    a = np.arctan(np.cos((w - i) / 2.0) / np.cos((w + i) / 2.0) * tangent)
    b = np.arctan(np.sin((w - i) / 2.0) / np.sin((w + i) / 2.0) * tangent)
    xi, nu = node - a - b, a - b
    perigee = np.radians(perigee_deg(unix_h)) - xi

    twice, square = np.sin(2.0 * inclined), np.sin(inclined) ** 2
    half, small = np.cos(inclined / 2.0) ** 2, np.tan(inclined / 2.0) ** 2
    m2, o1 = half**2 / 0.9154, np.sin(inclined) * half / 0.3800
    factor = {
        Factor.M2: m2,
        Factor.O1: o1,
        Factor.J1: twice / 0.7214,
        Factor.OO1: np.sin(inclined) * np.sin(inclined / 2.0) ** 2 / 0.0164,
        Factor.MM: (2.0 / 3.0 - square) / 0.5021,
        Factor.MF: square / 0.1578,
        Factor.K1: np.sqrt(0.8965 * twice**2 + 0.6001 * twice * np.cos(nu) + 0.1006),
        Factor.K2: np.sqrt(
            19.0444 * square**2 + 2.7702 * square * np.cos(2.0 * nu) + 0.0981
        ),
        Factor.L2: m2
        * np.sqrt(1.0 - 12.0 * small * np.cos(2.0 * perigee) + 36.0 * small**2),
        Factor.M1: o1 * np.sqrt(2.310 + 1.435 * np.cos(2.0 * perigee)),
    }
    angle = {
        Factor.M2: 2.0 * (xi - nu),
        Factor.O1: 2.0 * xi - nu,
        Factor.J1: -nu,
        Factor.OO1: -2.0 * xi - nu,
        Factor.MM: np.zeros_like(nu),
        Factor.MF: -2.0 * xi,
        Factor.K1: -np.arctan2(twice * np.sin(nu), twice * np.cos(nu) + 0.3347),
        Factor.K2: -np.arctan2(
            square * np.sin(2.0 * nu), square * np.cos(2.0 * nu) + 0.0727
        ),
        Factor.L2: 2.0 * (xi - nu)
        - np.arctan2(
            np.sin(2.0 * perigee), 1.0 / (6.0 * small) - np.cos(2.0 * perigee)
        ),
        # Schureman's Q stands in for the perigee, which the argument already has.
        Factor.M1: xi
        - nu
        + np.arctan2(0.483 * np.sin(perigee), np.cos(perigee))
        - np.radians(perigee_deg(unix_h)),
    }
    return NodeFactors(
        np.stack([factor[name] for name in FACTORS]),
        np.degrees(np.stack([angle[name] for name in FACTORS])),
    )


def _node_deg(unix_h: Array) -> Array:
    centuries = _centuries(unix_h)
    return np.asarray(125.04452 + (-1934.136261 + 0.0020708 * centuries) * centuries)


def _centuries(unix_h: Array) -> Array:
    """Julian centuries since 2000 January 1, noon."""
    return np.asarray((unix_h - _J2000_UNIX_H) / HOURS_PER_CENTURY)
