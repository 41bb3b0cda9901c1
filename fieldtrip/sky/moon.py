"""The Moon's phase, and how its lit side lies in the sky."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime

import erfa
import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky import ephemeris, horizontal
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.site import Site, site_frame
from fieldtrip.sky.table import SkyTable, table_for

# Half a day's motion away from the Sun: a phase has its name on its own date.
_PRINCIPAL_DEG = 6.1
_PRINCIPAL_NAMES = ("new moon", "first quarter", "full moon", "last quarter")
_BETWEEN_NAMES = (
    "waxing crescent",
    "waxing gibbous",
    "waning gibbous",
    "waning crescent",
)


@dataclass(frozen=True, slots=True)
class MoonPhase:
    """How the Moon is lit."""

    illuminated_fraction: float  # of the disc, 0..1, from the Earth's centre
    is_waxing: bool
    elongation_deg: float  # from the Sun, 0..180, from the Earth's centre
    bright_limb_deg: float  # of the lit side at the site: 0 up, 90 right, 0..360
    name: str  # such as "waxing gibbous"


def moon_phase(site: Site, instant: datetime) -> MoonPhase:
    """The Moon's phase at an instant, and how the lit side lies as seen from a site.

    Fraction and elongation are geocentric, as almanacs print them.  Raises `UserError`
    outside the years 1900 to 2099.
    """
    table = table_for(instant, instant)
    seconds = np.array([instant.timestamp()])
    sun_km = table.vectors_km(Body.SUN, seconds)[:, 0]
    moon_km = table.vectors_km(Body.MOON, seconds)[:, 0]
    elongation = _angle_between(sun_km, moon_km)
    phase_angle = _angle_between(sun_km - moon_km, -moon_km)
    ahead_deg = float(longitude_ahead_of_sun_deg(table, seconds)[0])
    return MoonPhase(
        illuminated_fraction=(1.0 + math.cos(phase_angle)) / 2.0,
        is_waxing=ahead_deg < 180.0,
        elongation_deg=math.degrees(elongation),
        bright_limb_deg=_bright_limb_deg(table, site, seconds),
        name=phase_name(ahead_deg),
    )


def phase_name(ahead_deg: float) -> str:
    """The name of a phase by the Moon's ecliptic longitude ahead of the Sun's.

    New, quarters and full within half a day of their instant.
    """
    quarter = round(ahead_deg / 90.0)
    if abs(ahead_deg - 90.0 * quarter) <= _PRINCIPAL_DEG:
        return _PRINCIPAL_NAMES[quarter % 4]
    return _BETWEEN_NAMES[int(ahead_deg // 90.0) % 4]


def longitude_ahead_of_sun_deg(table: SkyTable, unix_s: Array) -> Array:
    """Apparent ecliptic longitude of the Moon less that of the Sun, 0..360.

    0, 90, 180 and 270 are the instants of the phases.  Shape (n,).
    """
    tt_days = (unix_s + ephemeris.tt_minus_utc_s(unix_s)) / 86400.0 - 10_957.5
    to_cirs = ephemeris.celestial_matrices(tt_days)
    to_ecliptic = np.asarray(erfa.ecm06(ephemeris.J2000, tt_days))
    turn = to_ecliptic @ np.swapaxes(to_cirs, 1, 2)
    longitudes = []
    for body in (Body.MOON, Body.SUN):
        x, y, _ = np.einsum("nij,jn->in", turn, table.vectors_km(body, unix_s))
        longitudes.append(np.degrees(np.arctan2(y, x)))
    return np.asarray((longitudes[0] - longitudes[1]) % 360.0)


def _bright_limb_deg(table: SkyTable, site: Site, seconds: Array) -> float:
    """Direction from Moon to Sun, clockwise from straight up as one looks at it."""
    frame = site_frame(site)
    sun_az, sun_alt = horizontal.azimuth_altitude_deg(
        horizontal.east_north_up_km(table, frame, Body.SUN, seconds)
    )
    moon_az, moon_alt = horizontal.azimuth_altitude_deg(
        horizontal.east_north_up_km(table, frame, Body.MOON, seconds)
    )
    turn = math.radians(float(sun_az[0] - moon_az[0]))
    sun, moon = math.radians(float(sun_alt[0])), math.radians(float(moon_alt[0]))
    right = math.cos(sun) * math.sin(turn)
    up = math.sin(sun) * math.cos(moon)
    up -= math.cos(sun) * math.sin(moon) * math.cos(turn)
    return math.degrees(math.atan2(right, up)) % 360.0


def _angle_between(a: Array, b: Array) -> float:
    # By arctan2: arccos would lose its digits near new and full moon.
    across = float(np.linalg.norm(np.cross(a, b)))
    return math.atan2(across, float(np.dot(a, b)))
