"""When Sun, Moon and galactic centre do what a picture wants.

One function for each condition, over the whole of a situation's span.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import timedelta

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.sky.alignment import Aim, alignments
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.crossings import level_crossings
from fieldtrip.sky.events import events_named
from fieldtrip.sky.light import BACK_WITHIN_DEG, FRONT_WITHIN_DEG
from fieldtrip.sky.moon import longitude_ahead_of_sun_deg
from fieldtrip.sky.passages import SUNRISE_ALTITUDE_DEG, Passages
from fieldtrip.sky.site import Site
from fieldtrip.sky.skyline import above_skyline
from fieldtrip.sky.table import SkyTable, table_for
from fieldtrip.times import Span
from fieldtrip.trips.sight import sight_of_top
from fieldtrip.trips.situation import Answer, Situation, not_known
from fieldtrip.trips.spans import (
    Spans,
    clipped,
    complement,
    difference,
    intersection,
    merged,
    of_seconds,
)
from fieldtrip.trips.wanted import (
    Alignment,
    AroundEvent,
    DayHalf,
    GalacticCentreUp,
    LightFrom,
    LightSide,
    MoonIs,
    MoonLit,
    MoonWish,
    SubjectLight,
    SunBand,
)

# Common practice, no source: the Moon near the landscape while there is light on it.
LOW_MOON_DEG = 10.0
TWILIGHT_DEG = (-12.0, SUNRISE_ALTITUDE_DEG)
LOWEST_SKYLINE_DEG = -3.0  # no sea's horizon lies as low from any ground on Earth
_PHASE_STEP_S = 6 * 3600.0  # the Moon goes 3 degrees from the Sun


def sun_band(wanted: SunBand, situation: Situation) -> Answer:
    """While the Sun's centre lies between two altitudes, refraction not counted."""
    sun = _passages(Body.SUN, situation)
    above_low, above_high = sun.above_altitudes([wanted.low_deg, wanted.high_deg])
    found = difference(of_seconds(above_low), of_seconds(above_high))
    if wanted.half is not DayHalf.EITHER:
        # East of the meridian until noon, west of it until midnight.
        sign = 1.0 if wanted.half is DayHalf.MORNING else -1.0
        half = sun.while_positive(lambda enu_km: sign * enu_km[0])
        found = intersection(found, of_seconds(half))
    return Answer(found)


def around_event(wanted: AroundEvent, situation: Situation) -> Answer:
    """So long before and after each event of a name; an event beyond the span too."""
    span = situation.span
    before = timedelta(minutes=wanted.before_min)
    after = timedelta(minutes=wanted.after_min)
    events = events_named(
        situation.site, (wanted.event,), span.start - after, span.stop + before
    )
    around = merged(Span(e.instant - before, e.instant + after) for e in events)
    return Answer(clipped(around, span))


def aligned(wanted: Alignment, situation: Situation) -> Answer:
    """While a body stands near a bearing and between two apparent altitudes.

    Above the vantage point's skyline too, where that is known; else a level horizon.
    """
    try:
        aim = aim_of(wanted, situation)
    except UserError as error:
        return Answer((), (), str(error))
    if aim is None:
        return not_known(situation.span, _no_aim(situation))

    def windows(skyline_deg: Array | None) -> Spans:
        found = alignments(
            wanted.body,
            situation.site,
            situation.span.start,
            situation.span.stop,
            aim,
            skyline_deg,
        )
        return merged(Span(window.start, window.stop) for window in found)

    surely, perhaps = _by_skyline(
        situation.skyline_deg, situation.skyline_least_deg, windows
    )
    unknown = difference(perhaps, surely)
    return Answer(surely, unknown, NO_GROUND if unknown else "")


def aim_of(wanted: Alignment, situation: Situation) -> Aim | None:
    """Where the body is wanted; None where the line to the subject is not known.

    Raises `UserError` where the subject's top stands above the upper altitude.
    """
    bearing = wanted.bearing_deg
    low_deg, high_deg = wanted.altitude_min_deg, wanted.altitude_max_deg
    if bearing is None:
        bearing = situation.sight_deg
    if bearing is None:
        return None
    if wanted.over_top:
        vantage, subject = situation.vantage_point, situation.subject
        if vantage is None or subject is None:
            return None
        sight = sight_of_top(vantage, subject)
        if sight is None:
            return None
        low_deg = sight.apparent_altitude_deg
        if low_deg >= high_deg:
            raise UserError(
                f"The top of “{subject.name}” stands {low_deg:.1f}° high from there, "
                f"above the upper altitude of {high_deg:.1f}° that is wanted."
            )
    return Aim(
        bearing_deg=bearing,
        tolerance_deg=wanted.tolerance_deg,
        altitude_min_deg=low_deg,
        altitude_max_deg=high_deg,
    )


def light_from(wanted: LightFrom, situation: Situation) -> Answer:
    """While the Sun is up on a side of the line from camera to subject."""
    bearing = situation.sight_deg
    if bearing is None:
        return not_known(situation.span, NO_SIGHT)
    sun = _passages(Body.SUN, situation)
    is_up = of_seconds(sun.above_horizon())
    front = _towards(sun, bearing + 180.0, FRONT_WITHIN_DEG)
    back = _towards(sun, bearing, BACK_WITHIN_DEG)
    match wanted.side:
        case LightSide.FRONT:
            return Answer(intersection(is_up, front))
        case LightSide.BACK:
            return Answer(intersection(is_up, back))
        case LightSide.SIDE:
            return Answer(difference(difference(is_up, front), back))


def subject_light(wanted: SubjectLight, situation: Situation) -> Answer:
    """While the Sun's centre stands above the subject's own skyline, or does not."""
    skyline = situation.subject_skyline_deg
    if situation.subject is None:
        return not_known(situation.span, "No subject is chosen.")
    if skyline is None:
        return not_known(situation.span, "The skyline around the subject is not known.")
    span, site = situation.span, Site(situation.subject.position)

    def lit(skyline_deg: Array | None) -> Spans:
        assert skyline_deg is not None
        rows = above_skyline(Body.SUN, site, span.start, span.stop, skyline_deg)
        return of_seconds(rows)

    surely, perhaps = _by_skyline(skyline, situation.subject_skyline_least_deg, lit)
    unknown = difference(perhaps, surely)
    why = NO_GROUND if unknown else ""
    holds = surely if wanted.is_lit else complement(perhaps, span)
    return Answer(holds, unknown, why)


def moon_is(wanted: MoonIs, situation: Situation) -> Answer:
    """While the Moon's upper limb is above the horizon, below it, or low in twilight.

    Low in twilight: up, its centre below 10 degrees, and the Sun between nautical
    twilight's -12 degrees and its set.
    """
    moon = _passages(Body.MOON, situation)
    is_up = of_seconds(moon.above_horizon())
    match wanted.wish:
        case MoonWish.UP:
            return Answer(is_up)
        case MoonWish.DOWN:
            return Answer(complement(is_up, situation.span))
        case MoonWish.LOW_IN_TWILIGHT:
            (high,) = moon.above_altitudes([LOW_MOON_DEG])
            dark, day = _passages(Body.SUN, situation).above_altitudes(TWILIGHT_DEG)
            twilight = difference(of_seconds(dark), of_seconds(day))
            low = difference(is_up, of_seconds(high))
            return Answer(intersection(low, twilight))


def moon_lit(wanted: MoonLit, situation: Situation) -> Answer:
    """While so much of the Moon's disc is lit, seen from the Earth's centre."""
    span = situation.span
    table = table_for(span.start, span.stop)
    least, most = wanted.least_percent / 100.0, wanted.most_percent / 100.0
    lit, too_lit = _while_above(
        span, lambda t: lit_fraction(table, t), _PHASE_STEP_S, (least, most)
    )
    # All of the disc and none of it are never passed, and always allowed.
    found = merged((span,)) if least <= 0.0 else lit
    found = found if most >= 1.0 else difference(found, too_lit)
    if wanted.is_waxing is not None:
        sign = 1.0 if wanted.is_waxing else -1.0

        def ahead(times_s: Array) -> Array:
            degrees = longitude_ahead_of_sun_deg(table, times_s)
            return np.asarray(sign * np.sin(np.radians(degrees)))

        (half,) = _while_above(span, ahead, 86400.0, (0.0,))
        found = intersection(found, half)
    return Answer(found)


def galactic_centre_up(wanted: GalacticCentreUp, situation: Situation) -> Answer:
    """While the galactic centre is high enough and the Sun low enough."""
    centre = _passages(Body.GALACTIC_CENTRE, situation)
    (high,) = centre.above_altitudes([wanted.above_deg])
    (light,) = _passages(Body.SUN, situation).above_altitudes([wanted.sun_below_deg])
    return Answer(difference(of_seconds(high), of_seconds(light)))


def lit_fraction(table: SkyTable, times_s: Array) -> Array:
    """The lit part of the Moon's disc, 0..1, seen from the Earth's centre; (n,)."""
    sun_km = table.vectors_km(Body.SUN, times_s)
    moon_km = table.vectors_km(Body.MOON, times_s)
    to_sun, to_earth = sun_km - moon_km, -moon_km
    cosine = (to_sun * to_earth).sum(axis=0)
    cosine /= np.linalg.norm(to_sun, axis=0) * np.linalg.norm(to_earth, axis=0)
    return np.asarray((1.0 + cosine) / 2.0)


NO_GROUND = "The heights of the ground in that direction are not all known."
NO_SIGHT = (
    "Vantage point and subject are not both chosen, so that no line of sight is known."
)


def _by_skyline(
    skyline_deg: Array | None,
    least_deg: Array | None,
    times: Callable[[Array | None], Spans],
) -> tuple[Spans, Spans]:
    """When something is above a skyline surely, and when for all that is known.

    A direction in which the ground is not known is nan: it may hide everything, or
    nothing above the ground that is known there, or above the lowest horizon of the
    sea.
    """
    if skyline_deg is None or not np.isnan(skyline_deg).any():
        found = times(skyline_deg)
        return found, found
    surely = times(np.nan_to_num(skyline_deg, nan=90.0))
    lowest_deg = LOWEST_SKYLINE_DEG if least_deg is None else least_deg
    return surely, times(np.where(np.isnan(skyline_deg), lowest_deg, skyline_deg))


def _no_aim(situation: Situation) -> str:
    if situation.sight_deg is None:
        return NO_SIGHT
    return "How high camera and subject stand, or how tall it is, is not known."


def _passages(body: Body, situation: Situation) -> Passages:
    return Passages(body, situation.site, situation.span.start, situation.span.stop)


def _towards(sun: Passages, bearing_deg: float, within_deg: float) -> Spans:
    """While a body's azimuth lies within less than a right angle of a bearing."""
    sin, cos = math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg))
    width = math.tan(math.radians(within_deg))

    def side(sign: float) -> Callable[[Array], Array]:
        # No angles: east and north are smooth where the azimuth jumps.
        return lambda enu_km: np.asarray(
            width * (sin * enu_km[0] + cos * enu_km[1])
            + sign * (cos * enu_km[0] - sin * enu_km[1])
        )

    left, right = (of_seconds(sun.while_positive(side(sign))) for sign in (1.0, -1.0))
    return intersection(left, right)


def _while_above(
    span: Span,
    function: Callable[[Array], Array],
    step_s: float,
    levels: tuple[float, ...],
) -> list[Spans]:
    """While a smooth function of seconds is above each of some levels."""
    start_s, stop_s = span.start.timestamp(), span.stop.timestamp()
    count = math.ceil((stop_s - start_s) / step_s) + 3
    times_s = start_s - step_s + step_s * np.arange(count, dtype=np.float64)
    values = function(times_s)
    found = []
    for level, (roots, _) in zip(
        levels, level_crossings(function, times_s, values, levels), strict=True
    ):
        is_above = bool(values[0] > level)
        edges = [times_s[0]] if is_above else []
        edges += roots.tolist()
        if len(edges) % 2:
            edges.append(times_s[-1])
        rows = np.array(edges, dtype=np.float64).reshape(-1, 2)
        found.append(clipped(of_seconds(rows), span))
    return found
