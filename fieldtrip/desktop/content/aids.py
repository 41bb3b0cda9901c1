"""Range rings and bearings to look along: what helps one judge a place on the map."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from fieldtrip import geo
from fieldtrip.desktop.content.map_features import (
    RAY_LENGTH_M,
    Feature,
    FeatureCollection,
    ray_line,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.wording import METRES_PER_FOOT, METRES_PER_MILE, number_text

LEAST_RADIUS_M, MOST_RADIUS_M = 1.0, 200_000.0
_LEAST_PX, _MOST_PX = 45.0, 420.0  # of a ring's radius on the screen
_METRES_PER_PIXEL = 156_543.034  # at zoom 0 on the equator: 2 pi a / 256 of WGS 84
_WORDS_DEG = 35.0  # where on a ring its words stand: off the ways due north and east
_RING_STEPS = 90
_STEPS = (1.0, 2.0, 5.0)
_UNITS = {
    "m": 1.0, "km": 1000.0, "ft": METRES_PER_FOOT, "mi": METRES_PER_MILE
}  # fmt: skip
_RADIUS = re.compile(r"([0-9]{1,9}(?:[.,][0-9]{1,6})?) *(m|km|ft|mi)?")
_BEARING = re.compile(
    r"([0-9]{1,3}(?:[.,][0-9]{1,4})?) *°? *(t|true|m|mag|magnetic)?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class TypedBearing:
    """A bearing as somebody typed it."""

    degrees: float  # 0 <= degrees < 360
    is_magnetic: bool


@dataclass(frozen=True, slots=True)
class Look:
    """A direction in which one looks from a vantage point."""

    vantage_id: UUID
    true_deg: float


def read_radius(text: str, settings: Settings) -> float:
    """Metres of a radius such as ``500``, ``1.5 km`` or ``300 ft``.

    Without a unit it is metres, or feet, as the user has it.  Raises `UserError`.
    """
    match = _RADIUS.fullmatch(text.strip())
    if match is None:
        raise UserError("Write a radius like 500 m, 1.5 km, 300 ft or 2 mi.")
    own = "ft" if settings.length_unit is LengthUnit.FOOT else "m"
    radius_m = float(match[1].replace(",", ".")) * _UNITS[match[2] or own]
    if not LEAST_RADIUS_M <= radius_m <= MOST_RADIUS_M:
        raise UserError("A ring has a radius of 1 m to 200 km.")
    return radius_m


def read_bearing(text: str) -> TypedBearing:
    """A bearing such as ``137``, ``137 true`` or ``139 magnetic``.

    Without a word it is true.  Raises `UserError`.
    """
    match = _BEARING.fullmatch(text.strip())
    degrees = math.inf if match is None else float(match[1].replace(",", "."))
    if match is None or degrees > 360.0:
        raise UserError("Write a bearing of 0 to 360 like 137, or 139 magnetic.")
    is_magnetic = (match[2] or "").lower().startswith("m")
    return TypedBearing(degrees % 360.0, is_magnetic)


def ring_radii_m(lat_deg: float, zoom: float, settings: Settings) -> Sequence[float]:
    """Radii in steps of 1, 2 and 5 that can be told apart at a zoom, in metres."""
    pixel_m = _METRES_PER_PIXEL * math.cos(math.radians(lat_deg)) / 2.0**zoom
    least_m, most_m = _LEAST_PX * pixel_m, _MOST_PX * pixel_m
    return [
        radius_m
        for radius_m in _round_radii(settings.length_unit)
        if least_m <= radius_m <= most_m
    ]


def ring_features(
    centre: Position, radii_m: Iterable[float], settings: Settings
) -> FeatureCollection:
    """Circles round a point, each as far from it over the ground as it says."""
    return _collection(
        _line_feature(
            _ring(centre, radius_m),
            centre,
            kind="ring",
            label=radius_text(radius_m, settings),
        )
        for radius_m in radii_m
    )


def look_features(looks: Iterable[tuple[Position, Look, str]]) -> FeatureCollection:
    """Rays from where one stands along bearings, each with its words."""
    return _collection(
        _line_feature(
            ray_line(stand, look.true_deg, RAY_LENGTH_M),
            stand,
            kind="ray",
            stroke="look",
            label=words,
            azimuth_deg=look.true_deg,
        )
        for stand, look, words in looks
    )


def radius_text(radius_m: float, settings: Settings) -> str:
    """A ring's radius: round ones without decimals, ``500 m``, ``2 km``."""
    is_metric = settings.length_unit is LengthUnit.METRE
    small_m, large_m = (
        (1.0, 1000.0) if is_metric else (METRES_PER_FOOT, METRES_PER_MILE)
    )
    small, large = ("m", "km") if is_metric else ("ft", "mi")
    is_large = radius_m >= (large_m if is_metric else 0.2 * METRES_PER_MILE)
    value = radius_m / (large_m if is_large else small_m)
    text = number_text(value, 2).rstrip("0").rstrip(".")
    return f"{text} {large if is_large else small}"


def _round_radii(unit: LengthUnit) -> Iterable[float]:
    if unit is LengthUnit.METRE:
        return [step * 10.0**power for power in range(6) for step in _STEPS]
    feet = [step * 10.0**power for power in range(4) for step in _STEPS]
    miles = [step * 10.0**power for power in (-1, 0, 1, 2) for step in _STEPS]
    fifth_m = 0.2 * METRES_PER_MILE
    return [
        *(foot * METRES_PER_FOOT for foot in feet if foot * METRES_PER_FOOT < fifth_m),
        *(mile * METRES_PER_MILE for mile in miles if mile >= 0.2),
    ]


def _ring(centre: Position, radius_m: float) -> Line:
    bearings = [_WORDS_DEG + 360.0 * i / _RING_STEPS for i in range(_RING_STEPS)]
    line = tuple(geo.destination(centre, bearing, radius_m) for bearing in bearings)
    return (*line, line[0])


def _collection(features: Iterable[Feature]) -> FeatureCollection:
    return {"type": "FeatureCollection", "features": list(features)}


def _line_feature(line: Line, near: Position, **properties: object) -> Feature:
    """Longitudes go on past the date line from those of `near`."""
    coordinates, lon_deg = [], near.lon_deg
    for position in line:
        lon_deg += math.remainder(position.lon_deg - lon_deg, 360.0)
        coordinates.append([lon_deg, position.lat_deg])
    return {
        "type": "Feature",
        "geometry": {"type": "LineString", "coordinates": coordinates},
        "properties": properties,
    }
