"""Alignments of ten years, beside skyfield's own search over one year.

The peer is asked whether the body is aligned every two minutes of the year, and
refines each change; it misses what is shorter.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from time import perf_counter
from typing import Any

import numpy as np
from skyfield.api import wgs84
from skyfield.searchlib import find_discrete

from fieldtrip.sky.alignment import Aim, alignments
from fieldtrip.sky.bodies import Body
from tests.bench.rows import Row, best_s
from tests.sky.published import de421, site, timescale

PLACE = site(49.6, -8.4)
START = datetime(2027, 1, 1, tzinfo=UTC)
ONE_YEAR = datetime(2028, 1, 1, tzinfo=UTC)
TEN_YEARS = datetime(2037, 1, 1, tzinfo=UTC)
LOW = Aim(
    bearing_deg=245.0, tolerance_deg=0.25, altitude_min_deg=-0.3, altitude_max_deg=3.0
)
HIGH = Aim(
    bearing_deg=160.0, tolerance_deg=0.25, altitude_min_deg=0.0, altitude_max_deg=60.0
)
SKYFIELD_STEP_DAYS = 1.0 / 720.0
BODIES = (Body.SUN, Body.MOON)


def run() -> list[Row]:
    """Milliseconds for Sun and Moon together."""
    ten_ms = _ours_ms(LOW, TEN_YEARS)
    one_ms = _ours_ms(LOW, ONE_YEAR)
    started = perf_counter()
    theirs = sum(_skyfield(body) for body in BODIES)
    theirs_ms = 1e3 * (perf_counter() - started)
    ours = sum(len(alignments(b, PLACE, START, ONE_YEAR, LOW)) for b in BODIES)
    return [
        Row("ten years, low over 245°", ten_ms, "ms"),
        Row("ten years, 160° up to 60°", _ours_ms(HIGH, TEN_YEARS), "ms"),
        Row("one year, low over 245°", one_ms, "ms", "skyfield, one year", theirs_ms),
        Row("windows in that year", float(ours), "", "skyfield", float(theirs)),
    ]


def _ours_ms(aim: Aim, stop: datetime) -> float:
    def work() -> None:
        for body in BODIES:
            alignments(body, PLACE, START, stop, aim)

    return 1e3 * best_s(work)


def _skyfield(body: Body) -> int:
    """How many windows skyfield's search finds in one year."""
    planets = de421()
    here = planets["earth"] + wgs84.latlon(49.6, -8.4)
    target = planets[str(body)]
    is_aligned: Callable[[Any], Any] = partial(_is_aligned, here, target)
    is_aligned.step_days = SKYFIELD_STEP_DAYS  # type: ignore[attr-defined]
    clock = timescale()
    _, values = find_discrete(
        clock.from_datetime(START), clock.from_datetime(ONE_YEAR), is_aligned
    )
    return int(np.sum(values == 1))


def _is_aligned(here: Any, target: Any, at: Any) -> Any:
    apparent = here.at(at).observe(target).apparent()
    altitude, azimuth, _ = apparent.altaz(temperature_C=10.0, pressure_mbar=1010.0)
    off = (azimuth.degrees - LOW.bearing_deg + 180.0) % 360.0 - 180.0
    is_high = altitude.degrees >= LOW.altitude_min_deg
    is_low = altitude.degrees <= LOW.altitude_max_deg
    return (np.abs(off) <= LOW.tolerance_deg) & is_high & is_low
