"""How long a leg takes on foot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from fieldtrip.places.records import Ground, Leg

# Source: DIN 33466, as in the Alpine clubs' "AV-Wegekonzept" (November 2009).
FLAT_M_PER_H = 4000.0
UP_M_PER_H = 300.0
DOWN_M_PER_H = 500.0

# Common practice, no source.
GROUND_FACTORS = {
    Ground.PATH: 1.0,
    Ground.PATHLESS: 1.67,
    Ground.BOULDERS: 2.5,
    Ground.UNKNOWN: 2.0,
}


@dataclass(frozen=True, slots=True)
class LegTime:
    """How long a leg takes, and whether its climb went into that."""

    length: timedelta
    is_climb_known: bool  # if not, the missing ascent or descent counted as none


def walking_time(
    distance_m: float,
    ascent_m: float | None,
    descent_m: float | None,
    ground: Ground,
    pace_factor: float = 1.0,
    darkness_factor: float = 1.0,
) -> timedelta:
    """Time on foot: the larger of the flat and the steep part, and half the other.

    A climb that is not known counts as none.  `pace_factor` is that of the
    slowest of the party; above 1 is slower, as with `darkness_factor`.

    Source: DIN 33466 (4 km/h flat, 300 m/h up, 500 m/h down).
    """
    flat_h = distance_m / FLAT_M_PER_H
    steep_h = (ascent_m or 0.0) / UP_M_PER_H + (descent_m or 0.0) / DOWN_M_PER_H
    hours = max(flat_h, steep_h) + min(flat_h, steep_h) / 2.0
    factor = GROUND_FACTORS[ground] * pace_factor * darkness_factor
    return timedelta(hours=hours * factor)


def time_for_leg(
    leg: Leg,
    *,
    is_reversed: bool = False,
    pace_factor: float = 1.0,
    darkness_factor: float = 1.0,
) -> LegTime:
    """The time for a leg in the direction in which it is walked."""
    up_m, down_m = leg.ascent_m, leg.descent_m
    if is_reversed:
        up_m, down_m = down_m, up_m
    length = walking_time(
        leg.length_m, up_m, down_m, leg.ground, pace_factor, darkness_factor
    )
    return LegTime(length, leg.ascent_m is not None and leg.descent_m is not None)
