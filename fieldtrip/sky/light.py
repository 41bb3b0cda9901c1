"""What kind of light there is, and how it falls on a subject."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import pairwise

from fieldtrip.sky.bodies import Body
from fieldtrip.sky.passages import Passages, to_datetime
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.site import Site


class Light(StrEnum):
    """Kinds of light by the Sun's altitude, darkest first."""

    NIGHT = "night"
    ASTRONOMICAL = "astronomical twilight"
    NAUTICAL = "nautical twilight"
    BLUE_HOUR = "blue hour"
    GOLDEN_HOUR = "golden hour"
    DAY = "day"


# Altitudes of the Sun's centre, refraction not counted, at which one kind ends and
# the next begins.  Twilights: US Naval Observatory; golden and blue hour: common
# practice, no source.
LIGHT_LIMITS_DEG = (-18.0, -12.0, -6.0, -4.0, 6.0)


@dataclass(frozen=True, slots=True)
class LightBand:
    """One kind of light, from one instant to another."""

    light: Light
    start: datetime
    stop: datetime


class Side(StrEnum):
    """From where the Sun shines on a subject."""

    FRONT = "front light"
    SIDE = "side light"
    BACK = "back light"


FRONT_WITHIN_DEG = 30.0  # of straight behind the camera; common practice, no source
BACK_WITHIN_DEG = 45.0  # of straight behind the subject; common practice, no source


@dataclass(frozen=True, slots=True)
class SubjectLight:
    """How the Sun shines on a subject as the camera sees it."""

    angle_deg: float  # from line of sight to Sun, 0 behind the subject, 180 camera
    side: Side
    sun_is_left: bool  # of the line of sight


@dataclass(frozen=True, slots=True)
class Shadow:
    """The shadow of an upright on level ground."""

    bearing_deg: float  # true, away from the Sun, 0 <= bearing < 360
    length_m: float | None  # None where the height is not known


def light_of(sun_altitude_deg: float) -> Light:
    """The kind of light at an altitude of the Sun's centre, without refraction."""
    return tuple(Light)[bisect_right(LIGHT_LIMITS_DEG, sun_altitude_deg)]


def light_bands(site: Site, start: datetime, stop: datetime) -> tuple[LightBand, ...]:
    """The kinds of light from `start` to `stop`, one after the other without a gap.

    Raises `UserError` outside the years 1900 to 2099.
    """
    if stop <= start:
        return ()
    sun = Passages(Body.SUN, site, start, stop)
    cuts = {start, stop}
    for times_s, _ in sun.of_altitudes(LIGHT_LIMITS_DEG):
        cuts |= {to_datetime(float(time_s)) for time_s in times_s}
    edges = sorted(cut for cut in cuts if start <= cut <= stop)

    bands: list[LightBand] = []
    for left, right in pairwise(edges):
        middle = sky_position(Body.SUN, site, left + (right - left) / 2)
        light = light_of(middle.altitude_deg)
        if bands and bands[-1].light is light:
            bands[-1] = LightBand(light, bands[-1].start, right)
        else:
            bands.append(LightBand(light, left, right))
    return tuple(bands)


def light_on_subject(sun_azimuth_deg: float, sight_bearing_deg: float) -> SubjectLight:
    """How the Sun at an azimuth lights what is seen along a true bearing.

    Front light with the Sun within 30 degrees of straight behind the camera,
    back light within 45 of straight behind the subject, else side light.
    """
    turn_deg = (sun_azimuth_deg - sight_bearing_deg + 180.0) % 360.0 - 180.0
    angle_deg = abs(turn_deg)
    if angle_deg >= 180.0 - FRONT_WITHIN_DEG:
        side = Side.FRONT
    elif angle_deg <= BACK_WITHIN_DEG:
        side = Side.BACK
    else:
        side = Side.SIDE
    return SubjectLight(angle_deg, side, sun_is_left=turn_deg < 0.0)


def shadow(sun: SkyPosition, height_m: float | None) -> Shadow | None:
    """The shadow of an upright of a height, or None while the Sun is not up.

    Up: its centre, as seen, above the horizontal.  Level ground, no terrain in the way.
    """
    if sun.apparent_altitude_deg <= 0.0:
        return None
    bearing_deg = (sun.azimuth_deg + 180.0) % 360.0
    if height_m is None:
        return Shadow(bearing_deg, None)
    tangent = math.tan(math.radians(sun.apparent_altitude_deg))
    return Shadow(bearing_deg, height_m / tangent)
