"""Lowest and highest astronomical tide of a station, found year by year, in words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.tides.extremes import NODE_YEARS
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.records import Turn
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, local_date
from fieldtrip.wording import date_text, height_text


def reach_words(
    source: TideSource,
    first_year: int,
    zone: str,
    settings: Settings,
    *,
    progress: Callable[[float], None],
) -> str:
    """Both, with their dates at the place, over the 19 years from a first one.

    Raises `UserError` for a source that cannot tell so many years.
    """
    curve = source.curve
    if not isinstance(curve, HarmonicCurve):
        raise UserError(
            "Only a station with harmonic constants, or fitted to a year, can tell the "
            "lowest and the highest astronomical tide."
        )
    ends: list[Turn] = []
    for year in range(first_year, first_year + NODE_YEARS):
        progress((year - first_year) / NODE_YEARS)
        turns = curve.turns(
            Span(datetime(year, 1, 1, tzinfo=UTC), datetime(year + 1, 1, 1, tzinfo=UTC))
        )
        ends += [
            *sorted(turns, key=lambda turn: turn.height_m)[:1],
            *sorted(turns, key=lambda turn: -turn.height_m)[:1],
        ]
    if not ends:
        raise UserError("This station's tide never turns.")
    lowest = min(ends, key=lambda turn: turn.height_m)
    highest = max(ends, key=lambda turn: turn.height_m)
    last_year = first_year + NODE_YEARS - 1
    return (
        f"Highest astronomical tide {first_year} to {last_year}: "
        f"{_words(highest, zone, settings)}; lowest: {_words(lowest, zone, settings)}, "
        f"above {source.datum}. Weather can take the sea beyond both."
    )


def _words(turn: Turn, zone: str, settings: Settings) -> str:
    day = date_text(local_date(turn.instant, zone))
    return f"{height_text(turn.height_m, settings, 2)} on {day}"
