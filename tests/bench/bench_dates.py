"""Ten years of light, tide, passable way, weekday and Moon, beside a plain loop.

The peer asks Sun, Moon, water and weekday one instant after the other, every ten
minutes of a month; the way is left out.  Its figure is that month's, times the months.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from time import perf_counter

import numpy as np

from fieldtrip.places.records import WantedTurn
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.times import Span, to_instant
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for
from fieldtrip.trips.date_search import search_dates, search_span
from fieldtrip.trips.situation import Situation, situation_of
from tests.bench.rows import Row, best_s
from tests.trips.condition_story import TOWER, VANTAGE, ZONE, tidal_dossier

CONDITIONS = (
    wanted.SunBand(low_deg=-4.0, high_deg=6.0, half=wanted.DayHalf.EVENING),
    wanted.WaterLevel(below_m=1.8, turn=WantedTurn.RISING),
    wanted.WayOpen(stay_min=30.0),
    wanted.OnWeekdays(days=(5, 6)),
    wanted.MoonIs(wish=wanted.MoonWish.UP),
)
NEVER = wanted.WaterLevel(below_m=-1.0)
_MONTHS = 120


def run() -> list[Row]:
    """Seconds for all at once, and milliseconds for each condition alone."""
    here = _situation(search_span(date(2027, 1, 1), date(2036, 12, 31), ZONE))
    month = _situation(search_span(date(2027, 3, 1), date(2027, 3, 31), ZONE))
    together_s = best_s(lambda: search_dates(CONDITIONS, here))
    missing_s = best_s(lambda: search_dates((*CONDITIONS, NEVER), here))
    started = perf_counter()
    _plain_loop(month)
    plain_s = (perf_counter() - started) * _MONTHS
    found = search_dates(CONDITIONS, here)
    rows = [
        Row("ten years, five conditions", together_s, "s", "a plain loop", plain_s),
        Row("the same, with near misses", missing_s, "s"),
        Row("windows found", float(len(found.windows)), ""),
    ]
    for condition in CONDITIONS:
        alone_ms = 1e3 * best_s(partial(answer_for, condition, here), 3)
        rows.append(Row(f"  {type(condition).__name__} alone", alone_ms, "ms"))
    return rows


def _situation(span: Span) -> Situation:
    return situation_of(tidal_dossier(), span, vantage_point=VANTAGE, subject=TOWER)


def _plain_loop(here: Situation) -> int:
    """How many steps of ten minutes have Sun, water, Moon and weekday as wanted."""
    curve = here.tide_sources[0].curve
    instant, hits = here.span.start, 0
    while instant < here.span.stop:
        at = np.array([to_instant(instant), to_instant(instant + timedelta(minutes=1))])
        now_m, then_m = curve.heights_m(at)
        sun = sky_position(Body.SUN, here.site, instant)
        moon = sky_position(Body.MOON, here.site, instant)
        hits += (
            -4.0 < sun.altitude_deg < 6.0
            and now_m <= 1.8
            and then_m > now_m
            and instant.weekday() in (5, 6)
            and moon.altitude_deg > -0.8
        )
        instant += timedelta(minutes=10)
    return hits
