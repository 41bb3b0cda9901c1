"""Where a tide comes from: a typed table or a station, each as one curve.

What is computed, checked and shown takes a `TideSource`, and need not know whether
a table, constants, a fitted year or a secondary port's differences lie behind it.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.tides.secondary import secondary_turns, without_stands
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.tides.tide_curve import PrintedCurve, TideCurve
from fieldtrip.tides.windows import Window
from fieldtrip.times import Span, from_instant

_AROUND = timedelta(days=2)  # turns that differences may move in
_WORST_LAST = list(Confidence)


@dataclass(frozen=True, slots=True)
class TideSource:
    """One curve, and what a person wants to know about where it comes from."""

    curve: TideCurve
    name: str  # of the port
    origin: str  # authority and edition
    kind: StationKind
    unit: str  # as printed
    zone: str  # as printed
    exposure: Exposure | None
    is_distorted: bool | None
    reach: Span | None = None  # of its table; None: any date
    is_station: bool = False  # else a table typed for one place
    position: Position | None = None
    licence: str = ""
    away_m: float | None = None  # a station from the place; None: not known

    @property
    def datum(self) -> str:
        """What heights count from; empty if nobody said."""
        return self.curve.datum

    def part(self, span: Span) -> Span:
        """The part of a span that it knows; negative if none."""
        if self.reach is None:
            return span
        return Span(max(span.start, self.reach.start), min(span.stop, self.reach.stop))

    def has_part(self, span: Span) -> bool:
        """Whether it knows any of a span."""
        return self.part(span).length > timedelta()

    def covers(self, span: Span) -> bool:
        """Whether it knows the whole of a span, which may be an instant."""
        return self.part(span) == span


@dataclass(frozen=True, slots=True)
class SecondaryCurve:
    """The tide of a secondary port: half a cosine between its turns.

    They follow from the standard port's around whatever is asked.
    """

    station: Station
    standard: TideCurve

    @property
    def datum(self) -> str:
        """What heights count from."""
        return self.station.datum

    def covers(self, span: Span) -> bool:
        """Whether turns are known on both sides of a span."""
        return self._near(span).covers(span)

    def heights_m(self, instants: Instants) -> Array:
        """Heights above the datum; nan where not known."""
        if instants.size == 0:
            return np.full(instants.shape, np.nan)
        first, last = instants.min(), instants.max()
        near = self._near(Span(from_instant(first), from_instant(last)))
        return near.heights_m(instants)

    def turns(self, span: Span) -> tuple[Turn, ...]:
        """High and low waters within a span."""
        return self._near(span).turns(span)

    def windows_below(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands at or below a level."""
        return self._near(span).windows_below(level_m, span)

    def windows_above(self, level_m: float, span: Span) -> tuple[Window, ...]:
        """When the water stands above a level."""
        return self._near(span).windows_above(level_m, span)

    def passable_windows(
        self, shut_above_m: float, span: Span, margins: Margins, weather_m: float
    ) -> tuple[Window, ...]:
        """When a way is open with all margins, the standard port's among them."""
        level_m = shut_above_m - self._standard_margin_m(span, margins)
        return self._near(span).passable_windows(level_m, span, margins, weather_m)

    def prediction_margin_m(self, span: Span, margins: Margins) -> float:
        """Half a cosine's margin on top of the standard port's."""
        own_m = self._near(span).prediction_margin_m(span, margins)
        return own_m + self._standard_margin_m(span, margins)

    def confidence(self, span: Span) -> Confidence:
        """The least within a span, of its own and of the standard port's."""
        own = self._near(span).confidence(span)
        if isinstance(self.standard, HarmonicCurve):
            return max(own, self.standard.confidence(span), key=_WORST_LAST.index)
        return own

    def _standard_margin_m(self, span: Span, margins: Margins) -> float:
        # A printed turn is as good as the turns of the table that it follows from.
        if isinstance(self.standard, HarmonicCurve):
            return self.standard.prediction_margin_m(span, margins)
        return 0.0

    def _near(self, span: Span) -> PrintedCurve:
        around = Span(span.start - _AROUND, span.stop + _AROUND)
        differences = self.station.differences
        turns: tuple[Turn, ...] = ()
        if differences is not None:
            standard = self.standard.turns(around)
            with suppress(UserError):  # told as not known, not as an error
                turns = without_stands(secondary_turns(standard, differences))
        return PrintedCurve(_table(self.station, turns))


def lacking_of(curve: TideCurve) -> tuple[str, ...]:
    """The main constituents that a curve, or its standard port's, is without."""
    if isinstance(curve, SecondaryCurve):
        return lacking_of(curve.standard)
    return curve.lacking if isinstance(curve, HarmonicCurve) else ()


def source_of_table(table: TideTable) -> TideSource:
    """The source that a typed table is."""
    return TideSource(
        curve=PrintedCurve(table),
        name=table.port,
        origin=table.source,
        kind=StationKind.PRINTED,
        unit=table.unit,
        zone=table.zone,
        exposure=table.exposure,
        is_distorted=table.is_distorted,
        reach=Span(table.turns[0].instant, table.turns[-1].instant),
    )


def source_of_station(
    station: Station, others: Sequence[Station] = ()
) -> TideSource | None:
    """The source that a station is; None where its standard port is not among others.

    `others` are the standard ports; a chain that comes back to itself gives None.
    """
    found = _curve(station, tuple(other for other in others if other != station))
    if found is None:
        return None
    curve, reach = found
    return TideSource(
        curve=curve,
        name=station.name,
        origin=station.source,
        kind=station.kind,
        unit=station.unit,
        zone=station.zone,
        exposure=station.exposure,
        is_distorted=station.is_distorted,
        reach=reach,
        is_station=True,
        position=station.position,
        licence=station.licence,
    )


# Making a curve of constants costs more than a day's windows do.
@lru_cache(maxsize=32)
def _curve(
    station: Station, others: tuple[Station, ...]
) -> tuple[TideCurve, Span | None] | None:
    match station.kind:
        case StationKind.CONSTANTS | StationKind.FIT:
            constants = station.harmonic_constants()
            if constants is None:
                return None
            return HarmonicCurve(HarmonicSum(constants), station.fit_margin_m), None
        case StationKind.PRINTED:
            return PrintedCurve(_table(station, station.turns)), _reach(station.turns)
        case StationKind.SECONDARY:
            standard = next((o for o in others if o.id == station.standard_id), None)
            if standard is None or station.differences is None:
                return None
            rest = tuple(other for other in others if other != standard)
            found = _curve(standard, rest)
            if found is None:
                return None
            curve, reach = found
            if reach is not None:
                first = station.differences.applied(curve.turns(reach)[0])
                last = station.differences.applied(curve.turns(reach)[-1])
                reach = Span(first.instant, last.instant)
            return SecondaryCurve(station, curve), reach


def _reach(turns: tuple[Turn, ...]) -> Span:
    return Span(turns[0].instant, turns[-1].instant)


def _table(station: Station, turns: tuple[Turn, ...]) -> TideTable:
    return TideTable(
        location_id=station.id,  # of no one location
        port=station.name,
        zone=station.zone,
        datum=station.datum,
        unit=station.unit,
        source=station.source,
        turns=turns,
        exposure=station.exposure,
        is_distorted=station.is_distorted,
    )
