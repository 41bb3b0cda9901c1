"""How far one walks in a time, by the light of each moment of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.times import Span
from fieldtrip.trips.situation import Situation
from fieldtrip.trips.sky_conditions import sun_band
from fieldtrip.trips.spans import Spans, merged, of_seconds, to_seconds, widened
from fieldtrip.trips.walking import DARK_DEG, DARK_FACTOR
from fieldtrip.trips.wanted import SunBand

# The checks look at the light of each minute's first moment.
_LOOK = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, eq=False)
class Walking:
    """What one has walked at each moment, in seconds of walking by day."""

    at_s: Array  # moments at which it gets dark or light, seconds since 1970, (n,)
    walked_s: Array  # by then, (n,)

    def eroded(
        self, spans: Spans, before: timedelta, after: timedelta, reserve: timedelta
    ) -> Spans:
        """Each span without the walk at its start, and without the one before its end.

        The walks take so long by day, longer in the dark; the second one ends a
        reserve before the span does.
        """
        if not spans:
            return ()
        rows = to_seconds(spans)
        first = self._ahead(rows[:, 0], before.total_seconds())
        last = self._ahead(rows[:, 1] - reserve.total_seconds(), -after.total_seconds())
        kept = first < last
        return of_seconds(np.column_stack([first[kept], last[kept]]))

    def _ahead(self, at_s: Array, walk_s: float) -> Array:
        """When so much is walked from some moments on; below nought: back from them."""
        walked = np.interp(at_s, self.at_s, self.walked_s)
        return np.asarray(np.interp(walked + walk_s, self.walked_s, self.at_s))


def walking_in(situation: Situation, around: Span) -> Walking:
    """The walking at a place over a span, slower below civil dusk.

    Where the Sun is not known, all of it is taken for dark.
    """
    wanted = SunBand(low_deg=-90.0, high_deg=DARK_DEG)
    try:
        dark = sun_band(wanted, replace(situation, span=around)).holds
    except UserError:
        dark = merged((around,))
    # A day before and after, so that what lies at the very ends can be asked for.
    edges = to_seconds((around,)).ravel() + np.array([-86_400.0, 86_400.0])
    rows = np.clip(to_seconds(widened(dark, _LOOK, _LOOK)), edges[0], edges[1])
    at_s = np.unique(np.concatenate([edges, rows.ravel()]))
    middles = (at_s[:-1] + at_s[1:]) / 2.0
    is_dark = np.zeros(len(middles), dtype=np.bool_)
    if len(rows):
        place = np.searchsorted(rows[:, 0], middles, side="right") - 1
        is_dark = (place >= 0) & (middles < rows[np.maximum(place, 0), 1])
    rate = np.where(is_dark, 1.0 / DARK_FACTOR, 1.0)
    walked_s = np.concatenate([[0.0], np.cumsum(np.diff(at_s) * rate)])
    return Walking(at_s, walked_s)
