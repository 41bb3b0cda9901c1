"""The curve of a year or more of tide files."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldtrip.exchange.tide_facts import Facts, SeriesRead, series_of, turns_of
from fieldtrip.exchange.tide_file import TideFile, TideKind
from fieldtrip.tides.fit import SHORTEST, Fit, fit_heights, fit_turns
from fieldtrip.tides.nodes import Nodes
from fieldtrip.times import from_instant

MOST_FITTED = 17_600  # heights: two years by the hour


def fit_of(
    files: Sequence[TideFile],
    facts: Facts,
    *,
    port: str,
    datum: str,
    nodes: Nodes = Nodes.DAILY,
) -> Fit:
    """The constants that give the files' tides back.

    From even heights where the files have a year of them, since these know the water
    between the turns too.  Raises `UserError` for less than 355 days.
    """
    series = _even_heights(files, facts)
    if series is None:
        return fit_turns(turns_of(files, facts).turns, port, datum, nodes)
    return fit_heights(series.instants, series.heights_m, port, datum, nodes)


def by_the_hour(series: SeriesRead) -> SeriesRead:
    """At most the last two years, and no more than a height an hour.

    More gives no better curve, and takes the memory of a small machine.
    """
    if len(series.instants) < 2:
        return series
    step = np.median(np.diff(series.instants))
    every = max(1, round(np.timedelta64(1, "h") / step))
    return SeriesRead(
        series.instants[::every][-MOST_FITTED:],
        series.heights_m[::every][-MOST_FITTED:],
        series.notes,
    )


def _even_heights(files: Sequence[TideFile], facts: Facts) -> SeriesRead | None:
    """Even heights of a year; None where turns tell more."""
    if not files or not all(file.series for file in files):
        return None
    found = series_of(files, facts)
    length = from_instant(found.instants[-1]) - from_instant(found.instants[0])
    is_only = files[0].kind is TideKind.SERIES
    return by_the_hour(found) if is_only or length >= SHORTEST else None
