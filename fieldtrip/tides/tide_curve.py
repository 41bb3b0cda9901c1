"""One way to ask for the tide, wherever it comes from.

`fieldtrip.tides.harmonic.HarmonicCurve` answers from constants or a fitted year,
`PrintedCurve` from a printed table.  Heights outside a table are nan, windows end
there open, and its confidence is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from fieldtrip.arrays import Array, Instants
from fieldtrip.tides.curve import Confidence, confidence_between, heights_m
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.tides.windows import (
    Window,
    passable_with,
    windows_above,
    windows_below,
)
from fieldtrip.times import Span

_WORST_LAST = list(Confidence)


class TideCurve(Protocol):
    """The tide of a port as far as it is known, without weather."""

    @property
    def datum(self) -> str:
        """What heights count from; empty if nobody said."""

    def covers(self, span: Span) -> bool:
        """Whether heights are known over the whole of a span."""

    def heights_m(self, instants: Instants) -> Array:
        """Heights above the datum in the shape of `instants`; nan where not known."""

    def turns(self, span: Span) -> tuple[Turn, ...]:
        """High and low waters within a span, both ends belonging to it."""

    def windows_below(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands at or below a level, without margins."""

    def windows_above(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands above a level, without margins."""

    def passable_windows(
        self, shut_above_m: float, span: Span, margins: Margins, weather_m: float
    ) -> tuple[Window, ...]:
        """When a way that shuts above a level is open with all margins."""

    def prediction_margin_m(self, span: Span, margins: Margins) -> float:
        """The largest margin for the prediction that applies within a span."""

    def confidence(self, span: Span) -> Confidence:
        """The least confidence within a span."""


@dataclass(frozen=True, slots=True)
class PrintedCurve:
    """The tide of a printed table: half a cosine from turn to turn."""

    table: TideTable

    @property
    def datum(self) -> str:
        """What heights count from."""
        return self.table.datum

    def covers(self, span: Span) -> bool:
        """Whether a span lies within the table."""
        turns = self.table.turns
        return (
            len(turns) >= 2
            and turns[0].instant <= span.start
            and span.stop <= turns[-1].instant
        )

    def heights_m(self, instants: Instants) -> Array:
        """Heights above the datum; nan outside the table."""
        return heights_m(self.table.turns, instants)

    def turns(self, span: Span) -> tuple[Turn, ...]:
        """The printed turns within a span."""
        return tuple(t for t in self.table.turns if span.contains(t.instant))

    def windows_below(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands at or below a level."""
        return windows_below(self.table.turns, level_m, span.start, span.stop)

    def windows_above(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands above a level."""
        return windows_above(self.table.turns, level_m, span.start, span.stop)

    def passable_windows(
        self, shut_above_m: float, span: Span, margins: Margins, weather_m: float
    ) -> tuple[Window, ...]:
        """When a way is open with all margins, for each rise or fall by itself."""
        return passable_with(self.table, shut_above_m, span, margins, weather_m)

    def prediction_margin_m(self, span: Span, margins: Margins) -> float:
        """The largest margin of the rises and falls that a span touches."""
        found = (margins.prediction_m(a, b) for a, b in self._legs(span))
        return max(found, default=margins.odd_least_m)

    def confidence(self, span: Span) -> Confidence:
        """The least of the rises and falls that a span touches; unknown outside."""
        if not self.covers(span):
            return Confidence.UNKNOWN
        found = (confidence_between(self.table, a, b) for a, b in self._legs(span))
        return max(found, key=_WORST_LAST.index)

    def _legs(self, span: Span) -> list[tuple[Turn, Turn]]:
        return [
            (before, after)
            for before, after in pairwise(self.table.turns)
            if before.instant <= span.stop and span.start <= after.instant
        ]
