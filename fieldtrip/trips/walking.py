"""How long a leg takes on foot, by four rules, and how the dark slows it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from fieldtrip.arrays import Array
from fieldtrip.places.records import Ground, Leg
from fieldtrip.trips.records import Trip, WalkingRule

# Source: DIN 33466, as in the Alpine clubs' "AV-Wegekonzept" (November 2009).
FLAT_M_PER_H = 4000.0
UP_M_PER_H = 300.0
DOWN_M_PER_H = 500.0

# Source: W. W. Naismith (1892): an hour for three miles, taken as 5 km, and half an
# hour for 1000 feet, taken as 300 m.
NAISMITH_FLAT_M_PER_H = 5000.0
NAISMITH_UP_M_PER_H = 600.0

# Source: E. Langmuir, Mountaincraft and Leadership (1984): ten minutes a 300 m of
# descent, taken off from 5° to 12° and put on above.
LANGMUIR_MIN_PER_M = 10.0 / 300.0
LANGMUIR_GENTLE_DEG, LANGMUIR_STEEP_DEG = 5.0, 12.0

# Source: the Swiss hiking trail federation's formula, minutes for a kilometre by the
# slope in tenths, as swisstopo's profile service has it.
SWISS = (
    14.271, 3.6991, 2.5922, -1.4384, 0.32105, 0.81542, -0.090261, -0.20757, 0.010192,
    0.028588, -5.7466e-4, -2.1842e-3, 1.5176e-5, 8.6894e-5, -1.3584e-7, -1.4026e-6,
)  # fmt: skip
_SWISS_STEEPEST = 4.0  # beyond it 17 minutes a tenth up, and 9 down

DARK_FACTOR = 1.5  # common practice
DARK_DEG = -6.0  # the Sun's altitude at civil dusk; below it one walks slowly
SEGMENT_M = 50.0  # of a profile: shorter ones measure the roughness of the grid

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
    is_in_dark: bool = False  # some of it is walked in the dark, and so more slowly


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How a party walks."""

    rule: WalkingRule = WalkingRule.DIN
    factor: float = 1.0  # of the slowest; above 1 is slower than the rule
    pack_factor: float = 1.0


@dataclass(frozen=True, eq=False)
class Heights:
    """The ground along a leg in the direction of its line, from an elevation model."""

    distances_m: Array  # from its start, rising
    heights_m: Array  # above mean sea level; nan: not known


def pace_of(trip: Trip) -> Pace:
    """How the party of a trip walks."""
    return Pace(
        rule=trip.walking_rule, factor=trip.pace_factor, pack_factor=trip.pack_factor
    )


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
    factor = GROUND_FACTORS[ground] * pace_factor * darkness_factor
    return (
        timedelta(hours=din_h(distance_m, ascent_m or 0.0, descent_m or 0.0)) * factor
    )


def din_h(distance_m: float, ascent_m: float, descent_m: float) -> float:
    """Hours by DIN 33466: the larger of flat and steep, and half the other."""
    flat_h = distance_m / FLAT_M_PER_H
    steep_h = ascent_m / UP_M_PER_H + descent_m / DOWN_M_PER_H
    return max(flat_h, steep_h) + min(flat_h, steep_h) / 2.0


def naismith_h(distance_m: float, ascent_m: float) -> float:
    """Hours by Naismith's rule: 5 km/h, and an hour for 600 m of ascent."""
    return distance_m / NAISMITH_FLAT_M_PER_H + ascent_m / NAISMITH_UP_M_PER_H


def langmuir_h(distance_m: float, ascent_m: float, descent_m: float) -> float:
    """Hours by Naismith with Langmuir's correction for a descent.

    Of a stretch that goes up and down, the descent's slope is reckoned over the
    share of the distance that the descent has of all height.
    """
    slope_deg = 0.0
    if descent_m > 0.0:
        down_m = distance_m * descent_m / (ascent_m + descent_m)
        slope_deg = math.degrees(math.atan2(descent_m, down_m))
    if slope_deg > LANGMUIR_STEEP_DEG:
        minutes = LANGMUIR_MIN_PER_M * descent_m
    elif slope_deg >= LANGMUIR_GENTLE_DEG:
        minutes = -LANGMUIR_MIN_PER_M * descent_m
    else:
        minutes = 0.0
    return naismith_h(distance_m, ascent_m) + minutes / 60.0


def tobler_km_h(slope: Array | float) -> Array:
    """Speed on a path by its slope (rise over run), 6 km/h at most.

    Source: W. Tobler, Three presentations on geographical analysis (1993).
    """
    return np.asarray(6.0 * np.exp(-3.5 * np.abs(np.asarray(slope) + 0.05)))


def swiss_min_per_km(slope: Array | float) -> Array:
    """Minutes for a kilometre on the map, by the slope (rise over run)."""
    tenths = 10.0 * np.asarray(slope, dtype=np.float64)
    inside = np.clip(tenths, -_SWISS_STEEPEST, _SWISS_STEEPEST)
    found = np.polynomial.polynomial.polyval(inside, np.array(SWISS))
    found = np.where(tenths >= _SWISS_STEEPEST, 17.0 * tenths, found)
    return np.where(tenths <= -_SWISS_STEEPEST, -9.0 * tenths, found)


def rule_h(
    rule: WalkingRule, distance_m: float, ascent_m: float, descent_m: float
) -> float:
    """Hours for a stretch of which only the climb is known, on a path by day.

    By Tobler and by the Swiss polynomial as one stretch up and one down, at the
    same slope: less exact than along a profile.
    """
    match rule:
        case WalkingRule.DIN:
            return din_h(distance_m, ascent_m, descent_m)
        case WalkingRule.NAISMITH:
            return langmuir_h(distance_m, ascent_m, descent_m)
    climb_m = ascent_m + descent_m
    if climb_m == 0.0 or distance_m == 0.0:
        return _slope_h(rule, distance_m, 0.0)
    up_m = distance_m * ascent_m / climb_m
    slope = climb_m / distance_m
    return _slope_h(rule, up_m, slope) + _slope_h(rule, distance_m - up_m, -slope)


def profile_h(rule: WalkingRule, heights: Heights, *, is_reversed: bool) -> float:
    """Hours along a profile, by segments of 50 m or more, on a path by day.

    By DIN the whole climb counts at once, as on the signposts.  Raises `ValueError`
    where a height is not known.
    """
    distances, levels = _segments(heights)
    if is_reversed:
        distances, levels = distances[-1] - distances[::-1], levels[::-1]
    runs, rises = np.diff(distances), np.diff(levels)
    if rule is WalkingRule.DIN:
        ascent_m, descent_m = rises[rises > 0.0].sum(), -rises[rises < 0.0].sum()
        return din_h(float(runs.sum()), float(ascent_m), float(descent_m))
    return sum(
        langmuir_h(run, max(rise, 0.0), max(-rise, 0.0))
        if rule is WalkingRule.NAISMITH
        else _slope_h(rule, run, rise / run)
        for run, rise in zip(runs.tolist(), rises.tolist(), strict=True)
    )


def time_for_leg(
    leg: Leg,
    *,
    is_reversed: bool = False,
    pace_factor: float = 1.0,
    darkness_factor: float = 1.0,
    share: float = 1.0,
    pace: Pace | None = None,
    heights: Heights | None = None,
) -> LegTime:
    """The time for a leg, or a share of it, in the direction in which it is walked.

    A typed climb stands in place of a profile's; `pace` comes on top of `pace_factor`.
    """
    pace = pace or Pace()
    up_m, down_m = leg.ascent_m, leg.descent_m
    is_typed = up_m is not None and down_m is not None
    has_profile = (
        heights is not None
        and up_m is None
        and down_m is None
        and len(heights.distances_m) > 1
        and bool(np.isfinite(heights.heights_m).all())
    )
    if heights is not None and has_profile:
        drawn_m = float(heights.distances_m[-1] - heights.distances_m[0])
        hours = profile_h(pace.rule, heights, is_reversed=is_reversed)
        # A typed distance is longer than the line on the map, and no less steep.
        hours *= leg.length_m / drawn_m if drawn_m > 0.0 else 1.0
    else:
        if is_reversed:
            up_m, down_m = down_m, up_m
        hours = rule_h(pace.rule, leg.length_m, up_m or 0.0, down_m or 0.0)
    factor = GROUND_FACTORS[leg.ground] * pace.factor * pace.pack_factor
    length = timedelta(hours=hours * factor * pace_factor * darkness_factor * share)
    return LegTime(length, is_typed or has_profile)


def daylight_minutes(
    dark: NDArray[np.bool_], minutes: int, factor: float = DARK_FACTOR
) -> Array:
    """How many minutes by day are walked by each minute, shape (minutes + 1,).

    `dark` says for each minute whether it is dark, and what it leaves out is by day.
    A walk that takes so many minutes by day is over when this has risen by as much:
    so whoever starts later never arrives earlier.
    """
    pace = np.ones(minutes)
    used = dark[:minutes]
    pace[: len(used)][used] = 1.0 / factor
    return np.concatenate([[0.0], np.cumsum(pace)])


def _slope_h(rule: WalkingRule, distance_m: float, slope: float) -> float:
    if rule is WalkingRule.TOBLER:
        return distance_m / 1000.0 / float(tobler_km_h(slope))
    return distance_m / 1000.0 * float(swiss_min_per_km(slope)) / 60.0


def _segments(heights: Heights) -> tuple[Array, Array]:
    """Distances and heights some 50 m apart, or the ends of a shorter profile."""
    distances = np.asarray(heights.distances_m, dtype=np.float64)
    if not np.isfinite(heights.heights_m).all():
        raise ValueError("a height along the profile is not known")
    length_m = float(distances[-1] - distances[0])
    count = max(int(length_m // SEGMENT_M), 1)
    at = np.linspace(distances[0], distances[-1], count + 1)
    return at - distances[0], np.interp(at, distances, heights.heights_m)
