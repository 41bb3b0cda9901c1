"""When a body passes an altitude, its rising line or the meridian of a site."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky import horizontal
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.crossings import level_crossings
from fieldtrip.sky.positions import semidiameter_deg
from fieldtrip.sky.site import Site, site_frame
from fieldtrip.sky.table import table_for

# What the air lifts the horizon by, in almanacs.
# Source: US Naval Observatory, "Rise, Set, and Twilight Definitions".
HORIZON_REFRACTION_DEG = 34.0 / 60.0
SUNRISE_ALTITUDE_DEG = -50.0 / 60.0  # of the Sun's centre: 34' and 16' semidiameter
_STEP_S = 600.0  # the Earth turns 2.5 degrees

Measure = Callable[[Array], Array]  # vectors east, north, up (3, n) to values (n,)
Crossings = tuple[Array, Array]  # seconds since 1970, and +1 rising or -1 falling


class Passages:
    """A body over a site between two instants, sampled once for several searches.

    Each search gives seconds since 1970, within start <= time < stop and in
    order, and whether the body rises there (+1) or falls (-1).
    """

    def __init__(self, body: Body, site: Site, start: datetime, stop: datetime) -> None:
        """Sample every ten minutes.  Raises `UserError` outside 1900 to 2099."""
        self._body = body
        self._frame = site_frame(site)
        self._table = table_for(start, stop)
        self._start_s, self._stop_s = start.timestamp(), stop.timestamp()
        first_s = self._start_s - _STEP_S
        count = int(np.ceil((self._stop_s - first_s) / _STEP_S)) + 2
        self._times_s = first_s + np.arange(count, dtype=np.float64) * _STEP_S
        self._samples_km = horizontal.east_north_up_grid_km(
            self._table, self._frame, body, first_s, _STEP_S, count
        )

    def of_altitudes(self, altitudes_deg: Sequence[float]) -> list[Crossings]:
        """When the centre passes each of some altitudes, refraction not counted."""
        return self._search(_altitude_deg, altitudes_deg)

    def of_horizon(self) -> Crossings:
        """When the upper limb passes the refracted horizon, as almanacs reckon.

        Sun: centre at -50', whatever its semidiameter.  Moon: centre at 34'
        and its semidiameter of that moment below the horizontal.

        Source: US Naval Observatory, "Rise, Set, and Twilight Definitions".
        """
        if self._body is Body.SUN:
            return self.of_altitudes([SUNRISE_ALTITUDE_DEG])[0]
        return self._search(self._limb_above_horizon_deg, [0.0])[0]

    def of_meridian(self) -> Array:
        """When the centre stands on the meridian on the equator's side of the pole."""
        # Due east of the meridian before, west of it after: east falls through 0.
        times_s, direction = self._search(lambda enu_km: enu_km[0], [0.0])[0]
        return np.asarray(times_s[direction < 0])

    def above_altitudes(self, altitudes_deg: Sequence[float]) -> list[Array]:
        """While the centre is above each of some altitudes, refraction not counted.

        Rows (start, stop) in seconds since 1970, shape (n, 2), in order; cut off
        where the asked span starts and stops.
        """
        at_start_deg = float(_altitude_deg(self._enu_at_start_km())[0])
        return [
            self._rows(crossings, at_start_deg - altitude_deg)
            for altitude_deg, crossings in zip(
                altitudes_deg, self.of_altitudes(altitudes_deg), strict=True
            )
        ]

    def above_horizon(self) -> Array:
        """While the upper limb is above the refracted horizon; rows as above."""
        if self._body is Body.SUN:
            return self.above_altitudes([SUNRISE_ALTITUDE_DEG])[0]
        at_start = self._limb_above_horizon_deg(self._enu_at_start_km())
        return self._rows(self.of_horizon(), float(at_start[0]))

    def while_positive(self, measure: Measure) -> Array:
        """While a smooth measure of the vectors is above nought; rows as above."""
        at_start = measure(self._enu_at_start_km())
        return self._rows(self._search(measure, [0.0])[0], float(at_start[0]))

    def azimuth_deg(self, times_s: Array) -> Array:
        """Azimuths at some instants, 0..360."""
        return horizontal.azimuth_altitude_deg(self._enu_km(times_s))[0]

    def _search(self, measure: Measure, levels: Sequence[float]) -> list[Crossings]:
        found = level_crossings(
            lambda times_s: measure(self._enu_km(times_s)),
            self._times_s,
            measure(self._samples_km),
            levels,
        )
        return [self._within(*crossings) for crossings in found]

    def _rows(self, crossings: Crossings, at_start: float) -> Array:
        times_s, direction = crossings
        is_positive = bool(direction[0] < 0) if len(direction) else at_start > 0.0
        before = np.concatenate([[1 if is_positive else -1], direction])
        times_s = times_s[before[1:] != before[:-1]]  # a touch may be found once
        edges = [self._start_s] if is_positive else []
        edges += times_s.tolist()
        if len(edges) % 2:
            edges.append(self._stop_s)
        return np.array(edges, dtype=np.float64).reshape(-1, 2)

    def _enu_at_start_km(self) -> Array:
        return self._enu_km(np.array([self._start_s]))

    def _within(self, roots: Array, direction: Array) -> Crossings:
        is_within = (roots >= self._start_s) & (roots < self._stop_s)
        return roots[is_within], direction[is_within]

    def _enu_km(self, times_s: Array) -> Array:
        return horizontal.east_north_up_km(
            self._table, self._frame, self._body, times_s
        )

    def _limb_above_horizon_deg(self, enu_km: Array) -> Array:
        radius_deg = semidiameter_deg(self._body, horizontal.distance_km(enu_km))
        return np.asarray(_altitude_deg(enu_km) + radius_deg + HORIZON_REFRACTION_DEG)


def to_datetime(unix_s: float) -> datetime:
    """An instant of seconds since 1970, to the nearest millisecond."""
    # From whole milliseconds, so that equal roots give equal instants.
    milliseconds = round(unix_s * 1000.0)
    whole_s, rest_ms = divmod(milliseconds, 1000)
    return datetime.fromtimestamp(whole_s, UTC).replace(microsecond=rest_ms * 1000)


def _altitude_deg(enu_km: Array) -> Array:
    return horizontal.altitude_deg(enu_km)
