"""What the tide does on one day at one location, for the strip and the Tide page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.places.records import Leg
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.tides.curve import Confidence, confidence_between
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.windows import passable_windows, windows_below
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.weather.records import Forecast

WEATHER = "Predictions exclude weather and sea state."


@dataclass(frozen=True, slots=True)
class LegTide:
    """When the tide leaves one leg passable on a day, or why that is not known."""

    leg: Leg
    tables: tuple[TideTable, ...] = ()  # it rests on
    windows: tuple[Span, ...] = ()  # with all margins
    bare: tuple[Span, ...] = ()  # by the predicted curve alone
    unknown: str = ""  # why nothing can be said; then there are no windows
    is_part: bool = False  # nothing is known for the hours outside the table

    @property
    def is_known(self) -> bool:
        """Whether the windows say anything."""
        return not self.unknown


def table_of_day(tables: Sequence[TideTable], day: Span) -> TideTable | None:
    """The table that covers most of a day; None where none has a part of it.

    Of two that cover as much, the later in the list.
    """
    best: TideTable | None = None
    longest = timedelta()
    for table in tables:
        if len(table.turns) < 2:
            continue
        covered = covered_part(table, day).length
        if covered > timedelta() and covered >= longest:
            best, longest = table, covered
    return best


def covered_part(table: TideTable, day: Span) -> Span:
    """The part of a day between a table's first and last turn; negative if none."""
    return Span(
        max(day.start, table.turns[0].instant), min(day.stop, table.turns[-1].instant)
    )


def worst_confidence(table: TideTable, day: Span) -> Confidence:
    """The least reliable part of a day's curve."""
    found = {
        confidence_between(table, before, after)
        for before, after in pairwise(table.turns)
        if before.instant < day.stop and after.instant > day.start
    }
    for confidence in (Confidence.UNKNOWN, Confidence.LOW):
        if confidence in found:
            return confidence
    return Confidence.GOOD if found else Confidence.UNKNOWN


def lowest_pressure_hpa(forecasts: Sequence[Forecast], day: Span) -> float | None:
    """The lowest pressure typed for a day; None where none was."""
    found = [
        hour.pressure_hpa
        for forecast in forecasts
        for hour in forecast.hours
        if hour.pressure_hpa is not None and day.contains(hour.instant)
    ]
    return min(found, default=None)


def legs_in_question(
    dossier: Dossier, trip: Trip | None, leg_id: UUID | None
) -> tuple[Leg, ...]:
    """The legs whose tide matters: the chosen one, the trip's, or all of the location.

    Legs that the sea surely never shuts are left out; of a trip, those of which
    nobody said so stay in.
    """
    chosen = tuple(leg for leg in dossier.legs if leg.id == leg_id and is_tidal(leg))
    if chosen:
        return chosen
    if trip is not None:
        walked = {walk.leg_id for walk in dossier.walks_of(trip)}
        crossed = tuple(leg for leg in dossier.legs if leg.id in walked)
        if any(_is_said_tidal(leg) for leg in crossed):
            return tuple(leg for leg in crossed if is_tidal(leg))
    return tuple(leg for leg in dossier.legs if _is_said_tidal(leg))


def leg_tide(
    leg: Leg,
    tables: Sequence[TideTable],
    day: Span,
    margins: Margins,
    pressure_hpa: float | None,
) -> LegTide:
    """When a leg is passable on a day, with all margins and without any.

    Where several tables of its datum have a part of the day, it is open only
    when it is by each of them.
    """
    covering = [table for table in tables if table_of_day([table], day)]
    fitting = [table for table in covering if _same(table.datum, leg.shut_datum)]
    if reason := _why_unknown(leg, covering, fitting, day):
        return LegTide(leg, unknown=reason)
    level_m = leg.shut_above_m or 0.0  # its absence was a reason
    if len(fitting) > 1:
        fitting = [t for t in fitting if covered_part(t, day) == day] or fitting
    safe = [
        [w.span for w in passable_windows(t, level_m, day, margins, pressure_hpa)]
        for t in fitting
    ]
    bare = [
        [w.span for w in windows_below(t.turns, level_m, day.start, day.stop)]
        for t in fitting
    ]
    longest = max(fitting, key=lambda t: covered_part(t, day).length)
    return LegTide(
        leg,
        tuple(fitting),
        common(safe),
        common(bare),
        is_part=covered_part(longest, day) != day,
    )


def common(spans: Sequence[Sequence[Span]]) -> tuple[Span, ...]:
    """The spans that lie in one span of each list."""
    if not spans:
        return ()
    found = list(spans[0])
    for others in spans[1:]:
        found = [
            Span(max(a.start, b.start), min(a.stop, b.stop))
            for a in found
            for b in others
            if a.overlaps(b)
        ]
    return tuple(found)


def without(spans: Sequence[Span], taken: Sequence[Span]) -> tuple[Span, ...]:
    """What is left of some spans when others are cut out of them."""
    left = list(spans)
    for cut in taken:
        left = [
            piece
            for span in left
            for piece in (
                Span(span.start, min(span.stop, cut.start)),
                Span(max(span.start, cut.stop), span.stop),
            )
            if piece.start < piece.stop
        ]
    return tuple(left)


def _is_said_tidal(leg: Leg) -> bool:
    return leg.is_tidal is True or leg.shut_above_m is not None


def _why_unknown(
    leg: Leg, covering: list[TideTable], fitting: list[TideTable], day: Span
) -> str:
    if not _is_said_tidal(leg):
        return "Nobody said whether the sea can shut it."
    if leg.shut_above_m is None:
        return "The water level that shuts it is not written down."
    if not covering:
        return "There is no tide table for this day."
    if not leg.shut_datum.strip():
        return "The datum of its closing level is not written down."
    if not fitting:
        return (
            f"Its closing level counts from “{leg.shut_datum}”, the tide table from "
            f"“{covering[-1].datum}”."
        )
    for table in fitting:
        if worst_confidence(table, day) is Confidence.UNKNOWN:
            if table.is_distorted:
                return (
                    "The port is shallow or estuarine: no curve between the turns "
                    "can be relied on."
                )
            return "Nobody said whether the port is shallow or estuarine."
    return ""


def _same(datum: str, other: str) -> bool:
    return datum.split() != [] and _folded(datum) == _folded(other)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
