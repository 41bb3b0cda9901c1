"""How the air lifts what is seen near the horizon, and how far down the sea lies."""

from __future__ import annotations

from typing import TypeVar

import numpy as np

from fieldtrip.arrays import Array

STANDARD_HPA = 1010.0  # for which the formula is given
STANDARD_C = 10.0
_LOWEST_SEEN_DEG = -1.9  # of the sea's horizon from 3000 m
_NOTHING_SEEN_DEG = -6.0

Angle = TypeVar("Angle", float, Array)


def refraction_deg(
    altitude_deg: Array | float,
    pressure_hpa: float = STANDARD_HPA,
    temperature_c: float = STANDARD_C,
) -> Array:
    """What refraction adds to an altitude without it; never negative.

    Sæmundsson's formula, within 0.1 arcminutes above 15 degrees of true
    altitude and 0.5 at the horizon in a standard atmosphere; ordinary weather
    moves the horizon's value by 0.05 to 0.13 degrees.  Below -1.9 degrees, where no
    ray arrives, it fades to none at -6, so that apparent altitude still rises
    with the true one.

    Source: Sæmundsson, Sky & Telescope 72 (1986) 70, as in Meeus, Astronomical
    Algorithms, formula 16.4.
    """
    seen = np.maximum(altitude_deg, _LOWEST_SEEN_DEG)
    argument_deg = seen + 10.3 / (seen + 5.11)
    lift = 1.02 / 60.0 / np.tan(np.radians(argument_deg))
    lift *= pressure_hpa / STANDARD_HPA * 283.0 / (273.0 + temperature_c)
    fading = np.minimum(altitude_deg, _LOWEST_SEEN_DEG) - _NOTHING_SEEN_DEG
    fading = fading / (_LOWEST_SEEN_DEG - _NOTHING_SEEN_DEG)
    return np.asarray(np.maximum(lift, 0.0) * np.maximum(fading, 0.0))


def apparent_altitude_deg(
    altitude_deg: Array | float,
    pressure_hpa: float = STANDARD_HPA,
    temperature_c: float = STANDARD_C,
) -> Array:
    """Altitude as seen through the air, of an altitude without refraction."""
    lift = refraction_deg(altitude_deg, pressure_hpa, temperature_c)
    return np.asarray(altitude_deg + lift)


def true_altitude_deg(
    apparent_deg: Array | float,
    pressure_hpa: float = STANDARD_HPA,
    temperature_c: float = STANDARD_C,
) -> Array:
    """Altitude without refraction, of an altitude as seen.

    The exact inverse of `apparent_altitude_deg` (Newton's method), so that there and
    back closes; Bennett's formula for this direction does not.
    """
    apparent = np.asarray(apparent_deg, dtype=np.float64)
    true = apparent - refraction_deg(apparent, pressure_hpa, temperature_c)
    half_step = 1e-5
    for _ in range(8):
        above = apparent_altitude_deg(true + half_step, pressure_hpa, temperature_c)
        below = apparent_altitude_deg(true - half_step, pressure_hpa, temperature_c)
        missing = apparent_altitude_deg(true, pressure_hpa, temperature_c) - apparent
        true = true - missing * (2.0 * half_step) / (above - below)
    return true


def sea_horizon_dip_deg(height_m: float) -> float:
    """How far the sea's horizon lies below the horizontal, from a height above the sea.

    Refraction along the way included.

    Source: Nautical Almanac, dip = 0.0293 degrees times the root of metres.
    """
    return float(0.0293 * np.sqrt(height_m))


def sea_horizon_sunrise_altitude_deg(height_m: float) -> float:
    """Altitude without refraction of the Sun's centre as it rises over the sea.

    From a height above the *visible sea*, never above the ground, and never
    for twilight.  The ray that grazes the sea is refracted once more on its way up,
    so this is lower than dip and 50 arcminutes together.

    Source: Explanatory Supplement to the Astronomical Almanac (1992) pp. 484,
    488: 34' + 2.12' times the root of metres, and 16' semidiameter.
    """
    return float(-(50.0 + 2.12 * np.sqrt(height_m)) / 60.0)
