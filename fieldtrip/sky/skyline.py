"""While a body stands above the ground around a site.

A skyline is the ground's apparent altitude in degrees at even azimuths, the first
due north, clockwise; shape (n,).
"""

from __future__ import annotations

import math
from datetime import datetime

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky import horizontal, refraction
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.runs import rows_above_nought
from fieldtrip.sky.site import Site, site_frame
from fieldtrip.sky.table import table_for

_STEP_S = 600.0
_PARTS = 10
_MOVES_DEG = 3.0  # more than any altitude changes in a step
_STEEPEST_DEG_S = 0.1  # of altitude against a skyline: 20 times the sky's own pace


def skyline_at_deg(skyline_deg: Array, azimuth_deg: Array) -> Array:
    """The ground's apparent altitude at azimuths 0..360, by a line between two."""
    count = len(skyline_deg)
    around = np.append(skyline_deg, skyline_deg[0])
    azimuths_deg = np.arange(count + 1) * (360.0 / count)
    return np.asarray(np.interp(azimuth_deg, azimuths_deg, around))


def above_skyline(
    body: Body, site: Site, start: datetime, stop: datetime, skyline_deg: Array
) -> Array:
    """While a body's centre, as seen, stands above a skyline.

    Rows (start, stop) in seconds since 1970, shape (n, 2), cut off at start and stop.
    Raises `UserError` outside the years 1900 to 2099.
    """
    if stop <= start:
        return np.empty((0, 2))
    table, frame = table_for(start, stop), site_frame(site)
    first_s, last_s = start.timestamp(), stop.timestamp()
    count = math.ceil((last_s - first_s) / _STEP_S) + 1
    times_s = first_s + np.arange(count, dtype=np.float64) * _STEP_S
    samples_km = horizontal.east_north_up_grid_km(
        table, frame, body, first_s, _STEP_S, count
    )
    _, altitude = horizontal.azimuth_altitude_deg(samples_km)
    lowest = float(np.min(skyline_deg)) - _MOVES_DEG
    highest = float(np.max(skyline_deg)) + _MOVES_DEG
    # Against apparent altitudes: refraction lifts by less than the moves leave room.
    is_near = (altitude > lowest) & (altitude < highest)

    def clearance_deg(at_s: Array) -> Array:
        enu_km = horizontal.east_north_up_km(table, frame, body, at_s)
        azimuth, above = horizontal.azimuth_altitude_deg(enu_km)
        apparent = refraction.apparent_altitude_deg(above)
        return np.asarray(apparent - skyline_at_deg(skyline_deg, azimuth))

    rows = rows_above_nought(
        clearance_deg,
        times_s,
        bool(clearance_deg(times_s[:1])[0] > 0.0),
        is_near[:-1] | is_near[1:],
        _PARTS,
        _STEEPEST_DEG_S,
    )
    rows = np.minimum(rows, last_s)
    return np.asarray(rows[rows[:, 1] > rows[:, 0]])
