"""Where a compass needle points: magnetic declination by the World Magnetic Model.

The coefficients are those that NOAA and the British Geological Survey publish for
five years at a time; pygeomag brings and evaluates them.  The model knows the
Earth's core alone: rock, iron and the camera bag turn a needle further.

Source: The US/UK World Magnetic Model for 2025-2030, technical report (NOAA NCEI
and BGS, 2024).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from pygeomag import GeoMag
from pygeomag.wmm.wmm_2025 import WMM_2025

from fieldtrip.geo import Position

MODEL = "World Magnetic Model 2025"
FIRST_YEAR, LAST_YEAR = 2025, 2029

# Below these a compass is of no use, or of little.  Source: the same report, 1.10.
BLIND_BELOW_NT, WEAK_BELOW_NT = 2000.0, 6000.0


@dataclass(frozen=True, slots=True)
class Declination:
    """How far magnetic north lies from true north, at sea level on a day."""

    east_deg: float  # positive where the needle points east of true north
    error_deg: float  # one standard deviation, by the model's own account
    horizontal_nt: float  # strength of the field that turns the needle

    @property
    def is_blind(self) -> bool:
        """Whether a compass is of no use there."""
        return self.horizontal_nt < BLIND_BELOW_NT

    @property
    def is_weak(self) -> bool:
        """Whether a compass is to be trusted less than usual there."""
        return self.horizontal_nt < WEAK_BELOW_NT


def declination(position: Position, day: date) -> Declination | None:
    """The declination at sea level; None for a day of which the model does not speak.

    Source: technical report of the World Magnetic Model 2025, chapter 1.
    """
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        return None
    return field(position, _decimal_year(day), 0.0)


@lru_cache(maxsize=256)
def field(position: Position, year: float, height_km: float) -> Declination:
    """The same for a decimal year and a height in km above WGS 84.

    Raises `ValueError` for a year outside 2025.0 to 2030.0.
    """
    found = _model().calculate(
        glat=position.lat_deg, glon=position.lon_deg, alt=height_km, time=year
    )
    return Declination(found.d, found.calculate_uncertainty().d, found.h)


def magnetic_bearing_deg(true_deg: float, here: Declination) -> float:
    """What a compass shows along a true bearing, 0 <= bearing < 360."""
    return (true_deg - here.east_deg) % 360.0


def true_bearing_deg(magnetic_deg: float, here: Declination) -> float:
    """The true bearing along which a compass shows a magnetic one."""
    return (magnetic_deg + here.east_deg) % 360.0


@lru_cache(maxsize=1)
def _model() -> GeoMag:
    return GeoMag(coefficients_data=WMM_2025)


def _decimal_year(day: date) -> float:
    start, end = date(day.year, 1, 1), date(day.year + 1, 1, 1)
    return day.year + (day - start).days / (end - start).days
