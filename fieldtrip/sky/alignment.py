"""When a body stands near a bearing and between two altitudes.

No angle is needed to tell: of the body's unit vector, the part along the bearing
and the part across it say whether it lies in the wedge, and the part upwards whether
it lies in the band.  An azimuth jumps at north and turns back in the tropics; these
parts do neither, so that nothing is missed there or near the zenith.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky import horizontal, refraction
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.crossings import Function, roots_in_brackets
from fieldtrip.sky.passages import to_datetime
from fieldtrip.sky.runs import Cells, rows_above_nought
from fieldtrip.sky.site import Site, SiteFrame, site_frame
from fieldtrip.sky.skyline import skyline_at_deg
from fieldtrip.sky.table import SkyTable, table_for

_STEP_S = 1800.0  # the sky turns 7.5 degrees
_PARTS, _PARTS_BY_SKYLINE = 15, 90  # of a step, where the edge may lie in it
# What a unit vector may lie off the chord of a step: (turn)²/8, twice over since the
# Moon's parallax quickens it.
_BULGE = 2.0 * (horizontal.EARTH_RAD_PER_S * _STEP_S) ** 2 / 8.0
_FASTEST = 1.2 * horizontal.EARTH_RAD_PER_S  # of any body, as the site turns too
_SKYLINE_TIMES = 20.0  # how much steeper than the body's own way a skyline may be
_LOOKS = 9  # at a window, for the best instant in it
_SECTIONS = 20


@dataclass(frozen=True, slots=True)
class AlignedWindow:
    """A span in which a body is aligned, and where it stands at the best instant.

    Best is on the bearing itself; where the body does not reach it, nearest to it.
    """

    start: datetime
    stop: datetime
    best: datetime
    azimuth_deg: float  # at `best`
    apparent_altitude_deg: float  # at `best`, 10 °C and 1010 hPa


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """Where a body's centre is wanted: near a true bearing, between two altitudes.

    The altitudes are apparent, 10 °C and 1010 hPa.  Raises `ValueError` for a
    tolerance outside 0..90 degrees, and for a band with nothing in it.
    """

    bearing_deg: float
    tolerance_deg: float  # to either side
    altitude_min_deg: float
    altitude_max_deg: float

    def __post_init__(self) -> None:
        # Written so that nan fails too.
        if not 0.0 < self.tolerance_deg <= 90.0:
            raise ValueError(f"a tolerance of {self.tolerance_deg}° is not in 0..90")
        if not self.altitude_min_deg < self.altitude_max_deg:
            raise ValueError("the lower altitude must lie below the upper one")
        if not math.isfinite(self.bearing_deg):
            raise ValueError("a bearing must be a number")


def alignments(
    body: Body,
    site: Site,
    start: datetime,
    stop: datetime,
    aim: Aim,
    skyline_deg: Array | None = None,
) -> tuple[AlignedWindow, ...]:
    """Every window between two instants in which a body's centre is aligned.

    With a skyline (apparent altitudes at even azimuths from north, clockwise) only
    while the centre stands above it.  Windows are cut off at start and stop.  Raises
    `UserError` outside the years 1900 to 2099.
    """
    if stop <= start:
        return ()
    sky = _Sky(table_for(start, stop), site_frame(site), body)
    first_s, last_s = start.timestamp(), stop.timestamp()
    count = math.ceil((last_s - first_s) / _STEP_S) + 1
    times_s = first_s + np.arange(count, dtype=np.float64) * _STEP_S
    wedge = _Wedge(aim, skyline_deg)
    samples_km = horizontal.east_north_up_grid_km(
        sky.table, sky.frame, body, first_s, _STEP_S, count
    )
    starts_above, is_open = wedge.open_cells(samples_km)
    rows = rows_above_nought(
        lambda t: wedge.depth(sky.enu_km(t)),
        times_s,
        starts_above,
        is_open,
        _PARTS if skyline_deg is None else _PARTS_BY_SKYLINE,
        _FASTEST * (1.0 if skyline_deg is None else _SKYLINE_TIMES),
    )
    rows = np.minimum(rows, last_s)
    rows = rows[rows[:, 1] > rows[:, 0]]
    return _windows(sky, wedge, rows)


@dataclass(frozen=True)
class _Sky:
    table: SkyTable
    frame: SiteFrame
    body: Body

    def enu_km(self, times_s: Array) -> Array:
        return horizontal.east_north_up_km(self.table, self.frame, self.body, times_s)


class _Wedge:
    """The directions that are wanted; each measure is above nought inside."""

    def __init__(self, aim: Aim, skyline_deg: Array | None) -> None:
        bearing, width = math.radians(aim.bearing_deg), math.radians(aim.tolerance_deg)
        self._sin, self._cos = math.sin(bearing), math.cos(bearing)
        self._sin_width, self._cos_width = math.sin(width), math.cos(width)
        low, high = refraction.true_altitude_deg(
            np.array([aim.altitude_min_deg, aim.altitude_max_deg])
        )
        self._low, self._high = _sin_of(low), _sin_of(high)
        self._skyline_deg = skyline_deg

    def off_bearing(self, enu_km: Array) -> Array:
        """How far right of the bearing, in radians."""
        east, north, _ = enu_km
        across = self._cos * east - self._sin * north
        return np.asarray(np.arctan2(across, self._sin * east + self._cos * north))

    def depth(self, enu_km: Array) -> Array:
        """How deep in the wedge, in radians or less: the least of all measures."""
        inside = np.minimum.reduce(self._measures(enu_km))
        if self._skyline_deg is None:
            return np.asarray(inside)
        return np.minimum(inside, self._above_skyline(enu_km))

    def open_cells(self, enu_km: Array) -> tuple[bool, Cells]:
        """Whether the first sample lies inside, and the cells whose edge may not."""
        measures = self._measures(enu_km)
        may_be_inside = np.ones(enu_km.shape[1] - 1, dtype=np.bool_)
        for measure in measures:
            may_be_inside &= np.maximum(measure[:-1], measure[1:]) > -_BULGE
        inside = np.minimum.reduce(measures)
        is_inside = np.minimum(inside[:-1], inside[1:]) > _BULGE
        if self._skyline_deg is not None:
            highest = _sin_of(float(np.max(self._skyline_deg)) + 0.1)
            upwards = measures[2] + self._low
            is_inside &= np.minimum(upwards[:-1], upwards[1:]) > highest + _BULGE
        first = self.depth(enu_km[:, :1])
        return bool(first[0] > 0.0), may_be_inside & ~is_inside

    def _measures(self, enu_km: Array) -> tuple[Array, Array, Array, Array]:
        east, north, up = enu_km
        shrink = 1.0 / np.sqrt(east * east + north * north + up * up)
        along = (self._sin * east + self._cos * north) * (self._sin_width * shrink)
        across = (self._cos * east - self._sin * north) * (self._cos_width * shrink)
        upwards = up * shrink
        return along - across, along + across, upwards - self._low, self._high - upwards

    def _above_skyline(self, enu_km: Array) -> Array:
        assert self._skyline_deg is not None
        azimuth, altitude = horizontal.azimuth_altitude_deg(enu_km)
        apparent = refraction.apparent_altitude_deg(altitude)
        clear_deg = apparent - skyline_at_deg(self._skyline_deg, azimuth)
        return np.asarray(np.radians(clear_deg))


def _windows(sky: _Sky, wedge: _Wedge, rows: Array) -> tuple[AlignedWindow, ...]:
    if not len(rows):
        return ()
    best_s = _best_s(lambda t: wedge.off_bearing(sky.enu_km(t)), rows)
    azimuth, altitude = horizontal.azimuth_altitude_deg(sky.enu_km(best_s))
    apparent = refraction.apparent_altitude_deg(altitude)
    return tuple(
        AlignedWindow(to_datetime(a), to_datetime(b), to_datetime(best), az, alt)
        for (a, b), best, az, alt in zip(
            rows.tolist(),
            best_s.tolist(),
            azimuth.tolist(),
            apparent.tolist(),
            strict=True,
        )
    )


def _best_s(off: Function, rows: Array) -> Array:
    """For each row the instant on the bearing, or else nearest to it."""
    share = np.linspace(0.0, 1.0, _LOOKS)
    at_s = rows[:, :1] + (rows[:, 1:] - rows[:, :1]) * share
    values = off(at_s.ravel()).reshape(at_s.shape)
    nearest = np.argmin(np.abs(values), axis=1)
    lines = np.arange(len(rows))
    best_s: Array = at_s[lines, nearest]

    passes = (values[:, :-1] < 0.0) != (values[:, 1:] < 0.0)
    line = np.nonzero(passes.any(axis=1))[0]
    look = np.argmax(passes[line], axis=1)
    best_s[line] = roots_in_brackets(
        lambda t, _which: off(t),
        at_s[line, look],
        at_s[line, look + 1],
        values[line, look],
        values[line, look + 1],
    )
    # It may come near, or even touch, between two looks and turn back.
    turned = np.nonzero(~passes.any(axis=1) & (nearest > 0) & (nearest < _LOOKS - 1))[0]
    if len(turned):
        best_s[turned] = _nearest_s(
            off, at_s[turned, nearest[turned] - 1], at_s[turned, nearest[turned] + 1]
        )
    return best_s


def _nearest_s(off: Function, low: Array, high: Array) -> Array:
    """Where a function comes nearest to nought between two instants, by thirds."""
    for _ in range(2 * _SECTIONS):
        one, two = low + (high - low) / 3.0, high - (high - low) / 3.0
        is_left = np.abs(off(one)) < np.abs(off(two))
        low, high = np.where(is_left, low, one), np.where(is_left, two, high)
    return np.asarray((low + high) / 2.0)


def _sin_of(degrees: float) -> float:
    return math.sin(math.radians(min(90.0, max(-90.0, float(degrees)))))
