"""The Universal Transverse Mercator grid on WGS 84.

Krüger's series in the third flattening to the fourth order: within a
micrometre in a zone.

Source: Karney, Transverse Mercator with an accuracy of a few nanometers,
J. Geod. 85 (2011) 475, equations 7 to 12, 35 and 36; the grid: NGA.SIG.0012.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fieldtrip.geo import Position, normal_longitude_deg

BANDS = "CDEFGHJKLMNPQRSTUVWX"  # from 80° S, eight degrees each, X twelve
_SOUTH_DEG, _NORTH_DEG = -80.0, 84.0
_WIDEST_DEG = 6.1  # from a zone's middle; zone 32V reaches six degrees west
_SCALE = 0.9996
_FALSE_EASTING_M, _FALSE_NORTHING_M = 500_000.0, 10_000_000.0

_FLATTENING = 1.0 / 298.257223563  # WGS 84
_N = _FLATTENING / (2.0 - _FLATTENING)
_ECCENTRICITY = math.sqrt(_FLATTENING * (2.0 - _FLATTENING))
_RADIUS_M = 6_378_137.0 / (1.0 + _N) * (1.0 + _N**2 / 4.0 + _N**4 / 64.0)
_ALPHA = (
    _N / 2 - 2 / 3 * _N**2 + 5 / 16 * _N**3 + 41 / 180 * _N**4,
    13 / 48 * _N**2 - 3 / 5 * _N**3 + 557 / 1440 * _N**4,
    61 / 240 * _N**3 - 103 / 140 * _N**4,
    49561 / 161280 * _N**4,
)
_BETA = (
    _N / 2 - 2 / 3 * _N**2 + 37 / 96 * _N**3 - 1 / 360 * _N**4,
    1 / 48 * _N**2 + 1 / 15 * _N**3 - 437 / 1440 * _N**4,
    17 / 480 * _N**3 - 37 / 840 * _N**4,
    4397 / 161280 * _N**4,
)


@dataclass(frozen=True, slots=True)
class UtmPoint:
    """A point on the grid."""

    zone: int  # 1..60
    band: str  # of latitude: one of `BANDS`
    easting_m: float
    northing_m: float  # from the equator; south of it from 10 000 km below


def to_utm(position: Position) -> UtmPoint | None:
    """The grid point of a position, or None beyond 84° N and 80° S."""
    lat_deg, lon_deg = position.lat_deg, position.lon_deg
    if not _SOUTH_DEG <= lat_deg <= _NORTH_DEG:
        return None
    band = _band(lat_deg)
    zone = _zone(band, lon_deg)
    lat, lon = math.radians(lat_deg), math.radians(_from_middle_deg(zone, lon_deg))

    # The conformal latitude's tangent, then Gauss-Schreiber, then the series.
    sine = math.sin(lat)
    conformal = math.sinh(
        math.atanh(sine) - _ECCENTRICITY * math.atanh(_ECCENTRICITY * sine)
    )
    xi = math.atan2(conformal, math.cos(lon))
    eta = math.asinh(math.sin(lon) / math.hypot(conformal, math.cos(lon)))
    north = xi + sum(
        a * math.sin(2 * k * xi) * math.cosh(2 * k * eta)
        for k, a in enumerate(_ALPHA, 1)
    )
    east = eta + sum(
        a * math.cos(2 * k * xi) * math.sinh(2 * k * eta)
        for k, a in enumerate(_ALPHA, 1)
    )
    northing_m = _SCALE * _RADIUS_M * north
    if band < "N":
        northing_m += _FALSE_NORTHING_M
    easting_m = _FALSE_EASTING_M + _SCALE * _RADIUS_M * east
    return UtmPoint(zone, band, easting_m, northing_m)


def from_utm(point: UtmPoint) -> Position | None:
    """The position of a grid point, or None where its zone does not reach."""
    northing_m = point.northing_m
    if point.band < "N":
        northing_m -= _FALSE_NORTHING_M
    xi = northing_m / (_SCALE * _RADIUS_M)
    eta = (point.easting_m - _FALSE_EASTING_M) / (_SCALE * _RADIUS_M)
    if abs(xi) >= math.pi / 2:
        return None
    xi_sphere = xi - sum(
        b * math.sin(2 * k * xi) * math.cosh(2 * k * eta)
        for k, b in enumerate(_BETA, 1)
    )
    eta_sphere = eta - sum(
        b * math.cos(2 * k * xi) * math.sinh(2 * k * eta)
        for k, b in enumerate(_BETA, 1)
    )
    lon_deg = math.degrees(math.atan2(math.sinh(eta_sphere), math.cos(xi_sphere)))
    if abs(lon_deg) > _WIDEST_DEG:
        return None
    conformal = math.sin(xi_sphere) / math.hypot(
        math.sinh(eta_sphere), math.cos(xi_sphere)
    )
    lat = math.atan(_geographic_tangent(conformal))
    middle_deg = 6.0 * point.zone - 183.0
    return Position(math.degrees(lat), normal_longitude_deg(middle_deg + lon_deg))


def band_range_deg(band: str) -> tuple[float, float]:
    """South and north edge of a band of latitude."""
    south = _SOUTH_DEG + 8.0 * BANDS.index(band)
    return south, _NORTH_DEG if band == "X" else south + 8.0


def _band(lat_deg: float) -> str:
    return BANDS[min(int((lat_deg - _SOUTH_DEG) // 8.0), len(BANDS) - 1)]


def _zone(band: str, lon_deg: float) -> int:
    """Six degrees each, but for south-west Norway and Svalbard."""
    if band == "V" and 3.0 <= lon_deg < 12.0:
        return 32
    if band == "X" and 0.0 <= lon_deg < 42.0:
        return 31 + 2 * int((lon_deg + 3.0) // 12.0)
    return int((lon_deg + 180.0) // 6.0) % 60 + 1


def _from_middle_deg(zone: int, lon_deg: float) -> float:
    return (lon_deg - (6.0 * zone - 183.0) + 180.0) % 360.0 - 180.0


def _geographic_tangent(conformal: float) -> float:
    """Tangent of the latitude from that of the conformal latitude, by Newton."""
    e2 = _ECCENTRICITY**2
    tangent = conformal / math.sqrt(1.0 - e2)
    for _ in range(6):
        root = math.hypot(1.0, tangent)
        sigma = math.sinh(_ECCENTRICITY * math.atanh(_ECCENTRICITY * tangent / root))
        guess = tangent * math.hypot(1.0, sigma) - sigma * root
        slope = (1.0 - e2) * math.hypot(1.0, guess) * root
        slope /= 1.0 + (1.0 - e2) * tangent**2
        tangent += (conformal - guess) / slope
    return tangent
