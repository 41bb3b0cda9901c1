"""When Sun and Moon reach a spot over its own skyline, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from fieldtrip.almanac.spots import Skyline, Spot
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.site import HIGHEST_M, LOWEST_M, Site
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.times import Span
from fieldtrip.trips.sun_on_spot import BodyOnSpot, SpotTime, SunOnSpot, sun_on_spot

_NEAR_M = 300.0  # a crest so near is as uncertain as the model's heights
_LONGEST_PLACE = 22  # letters
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, eq=False)
class SpotLight:
    """Sun and Moon of a day over the skyline of a spot."""

    spot: Spot
    horizon: Horizon
    found: SunOnSpot


@dataclass(frozen=True, slots=True)
class SpotMoment:
    """A body comes over the skyline, or goes behind it."""

    words: str  # "last sun"
    where: str  # "Bar end"
    is_sun: bool
    time: SpotTime

    @property
    def name(self) -> str:
        """Both together, as in ``last sun on Bar end``."""
        where = self.where
        if len(where) > _LONGEST_PLACE:  # a table must not lose its last column
            where = f"{where[: _LONGEST_PLACE - 1].rstrip()}…"
        return f"{self.words} {'on' if self.is_sun else 'at'} {where}"

    @property
    def doubt_min(self) -> int:
        """By how many minutes it may be off, rounded up."""
        time = self.time
        doubt = max(time.instant - time.earliest, time.latest - time.instant)
        return max(1, math.ceil(doubt / _MINUTE))

    @property
    def why(self) -> str:
        """What makes it uncertain, above all."""
        if self.time.crest_m < _NEAR_M:
            return "the ground that hides it is near, and the model off by metres"
        if not self.time.is_complete:
            return "the elevation files end before the skyline can be sure"
        return "heights of the model, and what the weather does to the air"


def spot_light(skyline: Skyline | None, span: Span) -> SpotLight | None:
    """A day of a spot; None where its skyline is not known.

    Raises `UserError` outside the years of the sky's table.
    """
    if skyline is None or skyline.horizon is None:
        return None
    return SpotLight(skyline.spot, skyline.horizon, _found(skyline.horizon, span))


@lru_cache(maxsize=64)
def _found(horizon: Horizon, span: Span) -> SunOnSpot:
    """Kept, as the strip, the Light page and the chart ask for the same days."""
    height_m = horizon.ground_m + horizon.eye_m
    site = Site(horizon.position, min(max(height_m, LOWEST_M), HIGHEST_M))
    return sun_on_spot(horizon, site, span)


def spot_lights(
    skylines: Iterable[Skyline | None], span: Span
) -> tuple[SpotLight, ...]:
    """Of those spots whose skylines are known."""
    found = (spot_light(skyline, span) for skyline in skylines)
    return tuple(light for light in found if light is not None)


def moments(light: SpotLight) -> tuple[SpotMoment, ...]:
    """What comes and goes on a day, by time; a ridge may make it come twice."""
    found = [
        *_moments(light, light.found.sun),
        *_moments(light, light.found.moon),
    ]
    return tuple(sorted(found, key=lambda moment: moment.time.instant))


def is_lit(light: SpotLight, instant: datetime) -> datetime | None:
    """Until when the Sun reaches a spot that it reaches now; None where it does not."""
    for appearance in light.found.sun.appearances:
        if appearance.start <= instant < appearance.stop:
            return appearance.stop
    return None


def next_sun(light: SpotLight, instant: datetime) -> datetime | None:
    """When the Sun next comes to a spot on that day."""
    starts = (each.start for each in light.found.sun.appearances)
    return next((start for start in starts if start > instant), None)


def _moments(light: SpotLight, body: BodyOnSpot) -> list[SpotMoment]:
    is_sun = body.body is Body.SUN
    found = []
    for appearance in body.appearances:
        if (rise := appearance.rise) is not None:
            words = "first sun" if rise == body.first else "sun again"
            words = words if is_sun else "moonrise"
            found.append(SpotMoment(words, light.spot.name, is_sun, rise))
        if (sinks := appearance.set) is not None:
            words = "last sun" if sinks == body.last else "sun hidden"
            words = words if is_sun else "moonset"
            found.append(SpotMoment(words, light.spot.name, is_sun, sinks))
    return found
