"""When Sun and Moon stand above the ground's own outline, as seen from a spot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.passages import Passages, to_datetime
from fieldtrip.sky.positions import sky_position, uniform_track
from fieldtrip.sky.refraction import (
    STANDARD_C,
    STANDARD_HPA,
    apparent_altitude_deg,
    refraction_deg,
)
from fieldtrip.sky.site import Site
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.times import Span, unix_seconds

_STEP_S = 10.0
_AROUND = timedelta(hours=2)  # looked at before and after, for what is not sure
_SIZE_EVERY_S = 7200.0
_MOST_LEFT_MIN = 24 * 60.0
# What ordinary weather does to refraction: a part of it, and layers near the horizon.
# Together 0.13 degrees at the horizon.  Common practice, no source.
_REFRACTION_SHARE, _LAYERS_DEG, _LAYERS_FADE_DEG = 0.07, 0.09, 1.0


@dataclass(frozen=True, slots=True)
class SpotTime:
    """When the upper limb comes over the skyline, or goes behind it."""

    instant: datetime
    earliest: datetime  # by the skyline's error and the air's, one standard deviation
    latest: datetime
    azimuth_deg: float
    skyline_deg: float  # apparent altitude of the ground there
    crest_m: float  # how far away it stands
    is_complete: bool  # False: higher ground may stand where heights are missing


@dataclass(frozen=True, slots=True)
class Appearance:
    """A stretch of time in which some of the body is seen."""

    start: datetime
    stop: datetime
    rise: SpotTime | None  # None: it was up before
    set: SpotTime | None  # None: it stays up
    is_sure: bool  # it clears the skyline by more than the error at some time


@dataclass(frozen=True, slots=True)
class BodyOnSpot:
    """Sun or Moon over the skyline of a spot, beside what almanacs say of level sea."""

    body: Body
    span: Span
    appearances: tuple[Appearance, ...]  # in order; a ridge may make several
    doubtful: tuple[Span, ...]  # it might just be seen, and probably is not
    almanac_rises: tuple[datetime, ...]
    almanac_sets: tuple[datetime, ...]

    @property
    def first(self) -> SpotTime | None:
        """The first rise over the skyline; None where it was up, or never is."""
        rises = (appearance.rise for appearance in self.appearances)
        return next((rise for rise in rises if rise is not None), None)

    @property
    def last(self) -> SpotTime | None:
        """The last setting behind the skyline; None where it stays up, or never is."""
        sets = (appearance.set for appearance in reversed(self.appearances))
        return next((sinks for sinks in sets if sinks is not None), None)


@dataclass(frozen=True, slots=True)
class SunOnSpot:
    """Sun and Moon of a day over the skyline of a spot."""

    sun: BodyOnSpot
    moon: BodyOnSpot

    @property
    def first_sun(self) -> SpotTime | None:
        """First direct sunlight of the day."""
        return self.sun.first

    @property
    def last_sun(self) -> SpotTime | None:
        """Last direct sunlight of the day."""
        return self.sun.last

    @property
    def moonrise(self) -> SpotTime | None:
        """First rise of the Moon over the skyline."""
        return self.moon.first

    @property
    def moonset(self) -> SpotTime | None:
        """Last setting of the Moon behind the skyline."""
        return self.moon.last


def sun_on_spot(horizon: Horizon, site: Site, span: Span) -> SunOnSpot:
    """Sun and Moon of a day over a skyline.

    Raises `UserError` outside the years 1900 to 2099.
    """
    return SunOnSpot(
        body_on_spot(horizon, Body.SUN, site, span),
        body_on_spot(horizon, Body.MOON, site, span),
    )


def body_on_spot(horizon: Horizon, body: Body, site: Site, span: Span) -> BodyOnSpot:
    """When some of a body is seen over a skyline, between two instants.

    The upper limb, lifted by the air, against the ground, lifted too.  Within some
    seconds of the model; how far the model may be off is told with each time.

    Raises `UserError` outside the years 1900 to 2099.
    """
    passages = Passages(body, site, span.start, span.stop)
    times_s, directions = passages.of_horizon()
    rises, sets = (
        tuple(to_datetime(float(time_s)) for time_s in times_s[directions == way])
        for way in (1, -1)
    )
    above = _Above.of(
        horizon, body, site, Span(span.start - _AROUND, span.stop + _AROUND)
    )
    appearances = tuple(
        above.appearance(start_s, stop_s, span)
        for start_s, stop_s in _stretches(above.times_s, above.margin_deg)
        if stop_s > span.start.timestamp() and start_s < span.stop.timestamp()
    )
    return BodyOnSpot(body, span, appearances, above.doubtful(span), rises, sets)


def minutes_left(
    horizon: Horizon, site: Site, instant: datetime, body: Body = Body.SUN
) -> float:
    """Minutes of direct light left: 0 behind the skyline, 1440 at most.

    Raises `UserError` outside the years 1900 to 2099.
    """
    above = _Above.of(horizon, body, site, Span(instant, instant + timedelta(hours=24)))
    if above.margin_deg[0] <= 0.0:
        return 0.0
    _, stop_s = _stretches(above.times_s, above.margin_deg)[0]
    return min((stop_s - float(above.times_s[0])) / 60.0, _MOST_LEFT_MIN)


@dataclass(frozen=True, slots=True, eq=False)
class _Above:
    """How far a body's upper limb stands above the skyline; arrays of shape (n,)."""

    horizon: Horizon
    times_s: Array  # since 1970
    azimuths_deg: Array
    margin_deg: Array
    error_deg: Array

    @classmethod
    def of(cls, horizon: Horizon, body: Body, site: Site, span: Span) -> _Above:
        count = 2 + int(span.length.total_seconds() / _STEP_S)
        way = uniform_track(body, site, span.start, _STEP_S, count)
        times_s = unix_seconds(way.instants)
        limb_deg = way.altitude_deg + _semidiameters_deg(body, site, times_s)
        # Source: the lower troposphere of the International Standard Atmosphere.
        height_m = horizon.ground_m + horizon.eye_m
        pressure_hpa = STANDARD_HPA * (1.0 - 0.0065 * height_m / 283.0) ** 5.256
        temperature_c = STANDARD_C - 0.0065 * height_m
        seen_deg = apparent_altitude_deg(limb_deg, pressure_hpa, temperature_c)
        layers_deg = _LAYERS_DEG * np.exp(-np.maximum(seen_deg, 0.0) / _LAYERS_FADE_DEG)
        air_deg = layers_deg + _REFRACTION_SHARE * refraction_deg(limb_deg)
        return cls(
            horizon,
            times_s,
            way.azimuth_deg,
            seen_deg - horizon.altitudes_at(way.azimuth_deg),
            np.hypot(horizon.errors_at(way.azimuth_deg), air_deg),
        )

    def appearance(self, start_s: float, stop_s: float, span: Span) -> Appearance:
        """What happens between a rise and the setting after it, within a span."""
        is_here = (self.times_s >= start_s) & (self.times_s <= stop_s)
        first_s, last_s = span.start.timestamp(), span.stop.timestamp()
        return Appearance(
            start=to_datetime(max(start_s, first_s)),
            stop=to_datetime(min(stop_s, last_s)),
            rise=self._rise(start_s, stop_s) if start_s >= first_s else None,
            set=self._set(start_s, stop_s) if stop_s < last_s else None,
            is_sure=bool((self.margin_deg > self.error_deg)[is_here].any()),
        )

    def doubtful(self, span: Span) -> tuple[Span, ...]:
        """When it would be seen by an error, in stretches where it is not."""
        seen = _stretches(self.times_s, self.margin_deg)
        first_s, last_s = span.start.timestamp(), span.stop.timestamp()
        return tuple(
            Span(to_datetime(max(start_s, first_s)), to_datetime(min(stop_s, last_s)))
            for start_s, stop_s in _stretches(
                self.times_s, self.margin_deg + self.error_deg
            )
            if stop_s > first_s
            and start_s < last_s
            and not any(a < stop_s and b > start_s for a, b in seen)
        )

    def _rise(self, start_s: float, stop_s: float) -> SpotTime:
        earliest_s = max(
            (a for a, _ in self._by_most() if a <= start_s), default=start_s
        )
        latest_s = min(
            (a for a, _ in self._by_least() if start_s <= a <= stop_s), default=stop_s
        )
        return self._time(start_s, earliest_s, latest_s)

    def _set(self, start_s: float, stop_s: float) -> SpotTime:
        earliest_s = max(
            (b for _, b in self._by_least() if start_s <= b <= stop_s), default=start_s
        )
        latest_s = min((b for _, b in self._by_most() if b >= stop_s), default=stop_s)
        return self._time(stop_s, earliest_s, latest_s)

    def _by_most(self) -> list[tuple[float, float]]:
        return _stretches(self.times_s, self.margin_deg + self.error_deg)

    def _by_least(self) -> list[tuple[float, float]]:
        return _stretches(self.times_s, self.margin_deg - self.error_deg)

    def _time(self, time_s: float, earliest_s: float, latest_s: float) -> SpotTime:
        turned = np.unwrap(self.azimuths_deg, period=360.0)
        azimuth = np.array([np.interp(time_s, self.times_s, turned) % 360.0])
        nearest = round(float(azimuth[0]) * len(self.horizon.distances_m) / 360.0)
        return SpotTime(
            instant=to_datetime(time_s),
            earliest=to_datetime(earliest_s),
            latest=to_datetime(latest_s),
            azimuth_deg=float(azimuth[0]),
            skyline_deg=float(self.horizon.altitudes_at(azimuth)[0]),
            crest_m=float(
                self.horizon.distances_m[nearest % len(self.horizon.distances_m)]
            ),
            is_complete=bool(self.horizon.is_complete_at(azimuth)[0]),
        )


def _semidiameters_deg(body: Body, site: Site, times_s: Array) -> Array:
    nodes_s = np.arange(times_s[0], times_s[-1] + _SIZE_EVERY_S, _SIZE_EVERY_S)
    sizes_deg = [
        sky_position(body, site, to_datetime(float(node_s))).semidiameter_deg
        for node_s in nodes_s
    ]
    return np.asarray(np.interp(times_s, nodes_s, sizes_deg))


def _stretches(times_s: Array, values: Array) -> list[tuple[float, float]]:
    """From when to when values are above zero, even between samples; ends included."""
    is_above = values > 0.0
    turns = np.flatnonzero(is_above[1:] != is_above[:-1])
    at, after = values[turns], values[turns + 1]
    roots_s = times_s[turns] + (times_s[turns + 1] - times_s[turns]) * at / (at - after)
    ends = roots_s.tolist()
    if is_above[0]:
        ends.insert(0, float(times_s[0]))
    if is_above[-1]:
        ends.append(float(times_s[-1]))
    return list(zip(ends[::2], ends[1::2], strict=True))
