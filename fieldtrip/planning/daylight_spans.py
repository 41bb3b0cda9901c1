"""By when it is light enough for each leg, as the daylight rules count it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from fieldtrip.arrays import Array
from fieldtrip.places.records import Leg
from fieldtrip.safety.limits import Limits
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.question import Dark, LimitKind, OpenIn
from fieldtrip.trips.walking import DARK_DEG

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, eq=False)
class Daylight:
    """The light of every minute of a span, and what it allows."""

    span: Span
    dark: Dark  # below civil dusk: one walks slowly
    day: tuple[Span, ...]  # the Sun is up
    dusk: tuple[Span, ...]  # it is up, or not below civil dusk
    easy_dusk: tuple[Span, ...]  # so too, after sunset only under a known open sky
    has_too_few_lights: bool

    def limits_of(self, leg: Leg) -> tuple[OpenIn, ...]:
        """When a leg may be walked for its light."""
        found: list[OpenIn] = []
        if leg.is_exposed or leg.daylight_only:
            found.append(OpenIn(kind=LimitKind.DAYLIGHT, spans=self.easy_dusk))
        elif not leg.walked_in_daylight:
            found.append(OpenIn(kind=LimitKind.DAYLIGHT, spans=self.dusk))
        return (*found, *self._lights())

    def by_day(self) -> tuple[OpenIn, ...]:
        """Ground that nobody knows: while the Sun is up."""
        return (OpenIn(kind=LimitKind.DAYLIGHT, spans=self.day), *self._lights())

    def _lights(self) -> tuple[OpenIn, ...]:
        if not self.has_too_few_lights:
            return ()
        return (OpenIn(kind=LimitKind.LIGHTS, spans=self.day),)


def daylight_of(facts: TripFacts, limits: Limits, span: Span) -> Daylight:
    """The light at a location over a span of whole minutes, with its forecast.

    Raises `UserError` outside the years in which the Sun is known.
    """
    site = Site(facts.location.position)
    count = math.ceil(span.length / _MINUTE) + 1
    altitude_deg = uniform_track(Body.SUN, site, span.start, 60.0, count).altitude_deg
    lights = facts.trip.lights
    is_day = altitude_deg >= limits.sunset_deg
    is_dusk = altitude_deg >= limits.dusk_deg
    return Daylight(
        span=span,
        dark=altitude_deg < DARK_DEG,
        day=_spans(is_day, span.start),
        dusk=_spans(is_dusk, span.start),
        easy_dusk=_spans(
            is_day | (is_dusk & _open_sky(facts, limits, span, altitude_deg)),
            span.start,
        ),
        has_too_few_lights=lights is not None
        and lights < max(limits.lights, facts.trip.party),
    )


def _open_sky(
    facts: TripFacts, limits: Limits, span: Span, altitude_deg: Array
) -> NDArray[np.bool_]:
    """Minutes whose hour, and the one before it, are forecast without dark cloud."""
    is_open = np.zeros(len(altitude_deg), dtype=np.bool_)
    hours = () if facts.forecast is None else facts.forecast.hours
    fine = {
        hour.instant
        for hour in hours
        if hour.cloud_percent is not None
        and hour.cloud_percent < limits.overcast_percent
    }
    for instant in fine:
        if instant - timedelta(hours=1) in fine:
            first = int((instant - span.start) / _MINUTE)
            is_open[max(first, 0) : max(first + 61, 0)] = True
    return is_open


def _spans(mask: NDArray[np.bool_], start: datetime) -> tuple[Span, ...]:
    """Runs of minutes as spans; a run that goes on to the end is left open there."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], mask.astype(np.int8), [0]])))
    found = []
    for first, after in edges.reshape(-1, 2).tolist():
        last = after - 1 if after < len(mask) else after + 60 * 24
        found.append(Span(start + first * _MINUTE, start + last * _MINUTE))
    return tuple(found)
