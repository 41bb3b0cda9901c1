"""Where a subject's top stands against the sky, seen from a vantage point."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fieldtrip.geo import bearing_deg, distance_m
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.terrain.earth import MEAN_REFRACTION, bent_radius_m


@dataclass(frozen=True, slots=True)
class Sight:
    """The line from a camera to the top of a subject."""

    bearing_deg: float  # true, 0 <= bearing < 360
    distance_m: float  # along the ground
    apparent_altitude_deg: float  # of the top, as seen through the air


def sight_of_top(
    vantage_point: VantagePoint,
    subject: Subject,
    refraction_k: float = MEAN_REFRACTION,
) -> Sight | None:
    """The top of a subject as the camera sees it, over a curved Earth.

    None where the ground at either, or the subject's height, is not known, or the
    two stand at one spot.
    """
    eye_ground_m, foot_m = vantage_point.ground_m, subject.ground_m
    height_m = subject.height_m
    if eye_ground_m is None or foot_m is None or height_m is None:
        return None
    away_m = distance_m(vantage_point.position, subject.position)
    if away_m == 0.0:
        return None
    return Sight(
        bearing_deg(vantage_point.position, subject.position),
        away_m,
        apparent_altitude_deg(
            eye_ground_m + vantage_point.eye_height_m,
            foot_m + height_m,
            away_m,
            refraction_k,
        ),
    )


def apparent_altitude_deg(
    eye_m: float, top_m: float, away_m: float, refraction_k: float = MEAN_REFRACTION
) -> float:
    """Altitude of a point above the horizontal of an eye; both above mean sea level.

    Exact on a sphere on which light runs straight, wider than the Earth by what
    refraction takes back of its curve.
    """
    radius_m = bent_radius_m(refraction_k)
    angle = away_m / radius_m
    # The rise over the eye's horizontal, without the difference of two radii.
    up_m = (top_m - eye_m) - (radius_m + top_m) * 2.0 * math.sin(angle / 2.0) ** 2
    return math.degrees(math.atan2(up_m, (radius_m + top_m) * math.sin(angle)))
