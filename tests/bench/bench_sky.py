"""Sun and Moon over a year by the minute, beside skyfield and astral.

The peers are slower by so much that they are given a sample of the same instants:
skyfield every 40th in one array, astral every 400th one by one.
"""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from time import perf_counter

import astral.moon
import astral.sun
import numpy as np
from astral import Observer
from skyfield.api import wgs84

from fieldtrip.arrays import Array, Instants
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import day_events
from fieldtrip.sky.positions import Track, sky_position, track, uniform_track
from fieldtrip.sky.table import SkyTable
from fieldtrip.times import from_instant
from tests.bench.rows import Row, best_s
from tests.sky.published import de421, site, timescale

PLACE = site(49.6, -8.4)
START = datetime(2027, 1, 1, tzinfo=UTC)
MINUTES = 365 * 1440
SKYFIELD_EVERY, ASTRAL_EVERY = 40, 400


def run() -> list[Row]:
    """Nanoseconds an instant, and how far from DE421."""
    rows: list[Row] = []
    for body in (Body.SUN, Body.MOON):
        year = uniform_track(body, PLACE, START, 60.0, MINUTES)
        instants = year.instants
        grid = partial(uniform_track, body, PLACE, START, 60.0, MINUTES)
        ours_ns = _per_instant_ns(best_s(grid))
        any_ns = _per_instant_ns(best_s(partial(track, body, PLACE, instants)))
        skyfield_ns, off_deg = _skyfield(body, year)
        astral_ns = _astral_ns(body, instants)
        name = f"{body}, a year by the minute"
        rows += [
            Row(name, ours_ns, "ns", "skyfield, every 40th", skyfield_ns),
            Row(name, ours_ns, "ns", "astral, every 400th", astral_ns),
            Row(f"{body}, any instants", any_ns, "ns", "skyfield", skyfield_ns),
            Row(f"{body}, farthest from DE421", off_deg, "degrees"),
        ]
    half_year = START.timestamp() + 0.5 * 365 * 86400.0
    two_years_s = 2 * 365.25 * 86400.0
    rows += [
        Row(
            "one position",
            1e6 * best_s(lambda: sky_position(Body.MOON, PLACE, START), 50),
            "µs",
        ),
        Row(
            "events of a day",
            1e3 * best_s(lambda: day_events(PLACE, START.date(), "UTC"), 20),
            "ms",
        ),
        Row(
            "table of two years",
            1e3 * best_s(lambda: SkyTable(half_year, half_year + two_years_s), 5),
            "ms",
        ),
    ]
    return rows


def _per_instant_ns(seconds: float) -> float:
    return seconds / MINUTES * 1e9


def _skyfield(body: Body, year: Track) -> tuple[float, float]:
    """Nanoseconds an instant, and our largest difference from it in degrees."""
    some = slice(None, None, SKYFIELD_EVERY)
    moments = [from_instant(instant) for instant in year.instants[some]]
    observer = de421()["earth"] + wgs84.latlon(49.6, -8.4)
    target = de421()[str(body)]
    start = perf_counter()
    instants = timescale().from_datetimes(moments)
    seen = observer.at(instants).observe(target).apparent().altaz()
    took_s = perf_counter() - start
    off_deg = _farthest_deg(
        year.azimuth_deg[some],
        year.altitude_deg[some],
        seen[1].degrees,
        seen[0].degrees,
    )
    return took_s / len(moments) * 1e9, off_deg


def _astral_ns(body: Body, instants: Instants) -> float:
    moments = [from_instant(instant) for instant in instants[::ASTRAL_EVERY]]
    observer = Observer(49.6, -8.4, 0.0)
    of_body = astral.sun if body is Body.SUN else astral.moon
    start = perf_counter()
    for moment in moments:
        of_body.azimuth(observer, moment)
        of_body.elevation(observer, moment)
    return (perf_counter() - start) / len(moments) * 1e9


def _farthest_deg(az1: Array, alt1: Array, az2: Array, alt2: Array) -> float:
    across = ((az1 - az2 + 180.0) % 360.0 - 180.0) * np.cos(np.radians(alt2))
    return float(max(np.abs(across).max(), np.abs(alt1 - alt2).max()))
