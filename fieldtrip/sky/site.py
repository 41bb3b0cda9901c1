"""A place from which the sky is seen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import erfa
import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Position

LOWEST_M, HIGHEST_M = -500.0, 9000.0
_WGS84 = 1  # ERFA's number for the ellipsoid


@dataclass(frozen=True, slots=True)
class Site:
    """A position and its height above the ellipsoid; sea level will do."""

    position: Position
    elevation_m: float = 0.0

    def __post_init__(self) -> None:
        # Written so that nan fails too.
        if not LOWEST_M <= self.elevation_m <= HIGHEST_M:
            raise ValueError(f"elevation {self.elevation_m} m is not within -500..9000")


@dataclass(frozen=True, slots=True)
class SiteFrame:
    """East, north and up at a site, in axes that turn with the Earth.

    ::

        seen from the site = axes @ (geocentric vector) - centre_km
    """

    axes: Array  # (3, 3): rows east, north, up
    centre_km: Array  # (3,): the site from the Earth's centre, along the same rows


@lru_cache(maxsize=256)
def site_frame(site: Site) -> SiteFrame:
    """The directions of a site, and where it lies from the Earth's centre."""
    lat = math.radians(site.position.lat_deg)
    lon = math.radians(site.position.lon_deg)
    sin_lat, cos_lat = math.sin(lat), math.cos(lat)
    sin_lon, cos_lon = math.sin(lon), math.cos(lon)
    axes = np.array(
        [
            [-sin_lon, cos_lon, 0.0],
            [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
            [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat],
        ]
    )
    geocentric_km = np.asarray(erfa.gd2gc(_WGS84, lon, lat, site.elevation_m)) / 1000.0
    return SiteFrame(axes, axes @ geocentric_km)
