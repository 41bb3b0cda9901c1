"""How far within its limits a condition is at an instant, or how far beyond them.

A measure gives a margin in the condition's own unit: above nought where the condition
holds, below where it does not.  Divided by `ample` it is a share: 1 in the middle of a
band, 0 at its limit, so that a degree can be held beside a minute.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.sky import horizontal, refraction
from fieldtrip.sky.alignment import Aim
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.light import BACK_WITHIN_DEG, FRONT_WITHIN_DEG
from fieldtrip.sky.site import site_frame
from fieldtrip.sky.table import table_for
from fieldtrip.trips.situation import Answer, Situation
from fieldtrip.trips.sky_conditions import aim_of, lit_fraction
from fieldtrip.trips.spans import to_seconds
from fieldtrip.trips.wanted import (
    Alignment,
    Allowed,
    Condition,
    GalacticCentreUp,
    InSeason,
    LightFrom,
    LightSide,
    MoonIs,
    MoonLit,
    MoonWish,
    OnWeekdays,
    SunBand,
    TripPossible,
    WaterLevel,
)
from fieldtrip.trips.water_conditions import tides_of

# What counts as ample where a limit has no other side.  Own judgement.
AMPLE_DEG, AMPLE_M = 10.0, 0.5
_BY_DAYS = (Allowed, InSeason, OnWeekdays, TripPossible)

Values = Callable[[Array], Array]  # of seconds since 1970, (n,)


@dataclass(frozen=True, slots=True)
class Measure:
    """How a condition is measured; every function takes seconds since 1970, (n,)."""

    unit: str
    margin: Values
    share: Values  # of what would be ample; at most 1
    value: Values | None = None  # what is there, such as an altitude
    is_by_days: bool = False  # nothing of a day is nearer to the aim than the rest


def measure_of(condition: Condition, situation: Situation, answer: Answer) -> Measure:
    """The measure of a condition that is answered.

    By what it speaks of, where that can be put into a number; else by the minutes
    to the nearest time at which it begins or ceases to hold.
    """
    found = _own_measure(condition, situation)
    if found is not None:
        return found
    return _by_time(answer, is_by_days=isinstance(condition, _BY_DAYS))


def time_margin_min(answer: Answer) -> Values:
    """Minutes within the times at which a condition holds; below nought outside."""
    return _by_time(answer, is_by_days=False).margin


def _own_measure(condition: Condition, situation: Situation) -> Measure | None:
    match condition:
        case SunBand():
            return _band(
                "°",
                _altitude(Body.SUN, situation),
                condition.low_deg,
                condition.high_deg,
                AMPLE_DEG,
            )
        case Alignment():
            try:
                aim = aim_of(condition, situation)
            except UserError:
                return None
            return None if aim is None else _aligned(condition.body, aim, situation)
        case LightFrom():
            return _light_from(condition, situation)
        case MoonIs() if condition.wish is not MoonWish.LOW_IN_TWILIGHT:
            altitude = _altitude(Body.MOON, situation)
            is_up = condition.wish is MoonWish.UP
            low, high = (0.0, None) if is_up else (None, 0.0)
            return _band("°", altitude, low, high, AMPLE_DEG)
        case MoonLit():
            span = situation.span
            table = table_for(span.start, span.stop)
            least, most = condition.least_percent, condition.most_percent
            return _band(
                "%",
                lambda t: 100.0 * lit_fraction(table, t),
                None if least <= 0.0 else least,
                None if most >= 100.0 else most,
                10.0,
            )
        case GalacticCentreUp():
            altitude = _altitude(Body.GALACTIC_CENTRE, situation)
            return _band("°", altitude, condition.above_deg, None, AMPLE_DEG)
        case WaterLevel():
            height = _height(situation)
            if height is None:
                return None
            return _band("m", height, condition.above_m, condition.below_m, AMPLE_M)
        case _:
            return None


def _band(
    unit: str, value: Values, low: float | None, high: float | None, ample: float
) -> Measure | None:
    """Of a value between two limits; None without any."""
    if low is None and high is None:
        return None
    if low is not None and high is not None:
        ample = min(ample, (high - low) / 2.0)

    def margin(times_s: Array) -> Array:
        values = value(times_s)
        found = np.full(values.shape, np.inf)
        if low is not None:
            found = np.minimum(found, values - low)
        if high is not None:
            found = np.minimum(found, high - values)
        return found

    return Measure(unit, margin, _share(margin, ample), value)


def _share(margin: Values, ample: float) -> Values:
    return lambda times_s: np.minimum(margin(times_s) / ample, 1.0)


def _aligned(body: Body, aim: Aim, situation: Situation) -> Measure:
    angles = _angles(body, situation)

    def off_deg(times_s: Array) -> Array:
        azimuth, _ = angles(times_s)
        return np.asarray((azimuth - aim.bearing_deg + 180.0) % 360.0 - 180.0)

    def margin(times_s: Array) -> Array:
        _, altitude = angles(times_s)
        apparent = refraction.apparent_altitude_deg(altitude)
        in_band = np.minimum(
            apparent - aim.altitude_min_deg, aim.altitude_max_deg - apparent
        )
        return np.minimum(in_band, aim.tolerance_deg - np.abs(off_deg(times_s)))

    height_deg = (aim.altitude_max_deg - aim.altitude_min_deg) / 2.0
    ample = min(aim.tolerance_deg, height_deg)
    return Measure("°", margin, _share(margin, ample), off_deg)


def _light_from(condition: LightFrom, situation: Situation) -> Measure | None:
    bearing = situation.sight_deg
    if bearing is None:
        return None
    angles = _angles(Body.SUN, situation)

    def angle_deg(times_s: Array) -> Array:
        azimuth, _ = angles(times_s)
        return np.asarray(np.abs((azimuth - bearing + 180.0) % 360.0 - 180.0))

    front_deg, back_deg = 180.0 - FRONT_WITHIN_DEG, BACK_WITHIN_DEG
    limits: dict[LightSide, tuple[float | None, float | None]] = {
        LightSide.FRONT: (front_deg, None),
        LightSide.SIDE: (back_deg, front_deg),
        LightSide.BACK: (None, back_deg),
    }
    low, high = limits[condition.side]
    return _band("°", angle_deg, low, high, AMPLE_DEG)


def _by_time(answer: Answer, *, is_by_days: bool) -> Measure:
    spans_s = to_seconds(answer.holds)
    starts, stops = spans_s[:, 0], spans_s[:, 1]

    def margin(times_s: Array) -> Array:
        if not len(starts):
            return np.full(times_s.shape, -np.inf)
        after = np.clip(np.searchsorted(starts, times_s), 0, len(starts) - 1)
        found = np.full(times_s.shape, -np.inf)
        for number in (after, np.maximum(after - 1, 0)):
            inside = np.minimum(times_s - starts[number], stops[number] - times_s)
            found = np.maximum(found, inside)
        return found / 60.0

    def share(times_s: Array) -> Array:
        if not len(starts):
            return np.full(times_s.shape, -np.inf)
        number = np.searchsorted(starts, times_s, side="right") - 1
        number = np.clip(number, 0, len(starts) - 1)
        half_min = (stops[number] - starts[number]) / 120.0
        return np.minimum(margin(times_s) / half_min, 1.0)

    return Measure("min", margin, share, is_by_days=is_by_days)


def _angles(body: Body, situation: Situation) -> Callable[[Array], tuple[Array, Array]]:
    span = situation.span
    table, frame = table_for(span.start, span.stop), site_frame(situation.site)
    return lambda times_s: horizontal.azimuth_altitude_deg(
        horizontal.east_north_up_km(table, frame, body, times_s)
    )


def _altitude(body: Body, situation: Situation) -> Values:
    span = situation.span
    table, frame = table_for(span.start, span.stop), site_frame(situation.site)
    return lambda times_s: horizontal.altitude_deg(
        horizontal.east_north_up_km(table, frame, body, times_s)
    )


def _height(situation: Situation) -> Values | None:
    tides = tides_of(situation)
    if not tides:
        return None

    def height_m(times_s: Array) -> Array:
        found = np.full(times_s.shape, np.nan)
        for tide in tides:
            start, stop = tide.span.start.timestamp(), tide.span.stop.timestamp()
            is_its = np.isnan(found) & (times_s >= start) & (times_s <= stop)
            if is_its.any():
                at = np.round(times_s[is_its] * 1000.0).astype("datetime64[ms]")
                found[is_its] = tide.source.curve.heights_m(at)
        return found

    return height_m
