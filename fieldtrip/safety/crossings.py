"""One walk over a leg that the sea can shut: when it is open, and what is not known.

Shared by the rules on crossing and on turning back, so that they cannot differ.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.places.records import Ground, Leg
from fieldtrip.safety.finding import Note, Reason
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.curve import Confidence, confidence_between, height_at
from fieldtrip.tides.records import Exposure, TideTable
from fieldtrip.tides.windows import (
    Window,
    passable_windows,
    windows_below,
)
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts, WalkFacts
from fieldtrip.weather.hours import smallest

_AROUND = timedelta(days=2)  # windows are not cut off near the walk


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """What one tide table says about one walk over a tidal leg.

    Every sort of window is in order of time; `safe` has all margins, `loosest`
    the smallest margins that what is not known leaves possible.
    """

    walk: WalkFacts
    table: TideTable
    shut_above_m: float
    bare: tuple[Window, ...]
    safe: tuple[Window, ...]
    loosest: tuple[Window, ...]
    confidence: Confidence
    highest_m: float  # the tide at its highest during the walk
    prediction_margin_m: float  # the largest that applies during the walk
    weather_margin_m: float
    pressure_hpa: float | None  # where it made that margin larger

    def last_opened(self, windows: tuple[Window, ...]) -> Window | None:
        """The last window to open by the time the walk starts; None if none has."""
        opened = [w for w in windows if w.start <= self.walk.span.start]
        return opened[-1] if opened else None


def is_tidal(leg: Leg) -> bool:
    """Whether the sea shuts a leg, or may, for all that was said."""
    return leg.is_tidal is not False or leg.shut_above_m is not None


def crossings_of(
    walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits
) -> tuple[tuple[Crossing, ...], Reason | None]:
    """What every fitting tide table says about a walk, or why there is none.

    A table fits that counts its heights from the leg's datum and reaches over
    the walk; of several, each is heard and the worst counts.
    """
    if leg.shut_above_m is None:
        if leg.is_tidal is None:
            return (), Reason.TIDAL_NOT_SAID
        return (), Reason.LEVEL_NOT_KNOWN
    if not leg.shut_datum.strip():
        return (), Reason.DATUM_NOT_SAID
    if not facts.tide_tables:
        return (), Reason.NO_TABLE
    covering = [table for table in facts.tide_tables if _covers(table, walk.span)]
    if not covering:
        return (), Reason.OUTSIDE_TABLE
    fitting = [table for table in covering if _same(table.datum, leg.shut_datum)]
    if not fitting:
        return (), Reason.DATUM_DIFFERS
    found = (_crossing(walk, leg.shut_above_m, t, facts, limits) for t in fitting)
    return tuple(found), None


def tidal_legs(facts: TripFacts) -> list[tuple[Leg, list[WalkFacts]]]:
    """The tidal legs that are walked, each with its walks by start."""
    legs: dict[UUID, tuple[Leg, list[WalkFacts]]] = {}
    for walk in facts.walks:
        if walk.leg is not None and is_tidal(walk.leg):
            legs.setdefault(walk.leg.id, (walk.leg, []))[1].append(walk)
    return list(legs.values())


def is_time_known(walk: WalkFacts) -> bool:
    """Whether climb and ground are known, so that the walk's time is no guess."""
    return (
        walk.leg is not None
        and walk.leg.ground is not Ground.UNKNOWN
        and walk.by_rule is not None
        and walk.by_rule.is_climb_known
    )


def walk_notes(walk: WalkFacts) -> tuple[Note, ...]:
    """What is to be said about how long a walk takes."""
    notes: tuple[Note, ...] = ()
    if walk.needed > walk.walk.finish - walk.walk.start:
        notes += (Note.RULE_IS_SLOWER,)
    if walk.by_rule is not None and not walk.by_rule.is_climb_known:
        notes += (Note.CLIMB_NOT_KNOWN,)
    if walk.leg is not None and walk.leg.ground is Ground.UNKNOWN:
        notes += (Note.GROUND_NOT_KNOWN,)
    return notes


def inside(windows: tuple[Window, ...], span: Span) -> Window | None:
    """The window in which a span lies whole, or None."""
    for window in windows:
        if window.start <= span.start and span.stop <= window.stop:
            return window
    return None


def _crossing(
    walk: WalkFacts,
    shut_above_m: float,
    table: TideTable,
    facts: TripFacts,
    limits: Limits,
) -> Crossing:
    around = Span(walk.span.start - _AROUND, walk.span.stop + _AROUND)
    pressure_hpa = _pressure_hpa(facts, walk.span)
    least = replace(table, exposure=table.exposure or _calmest(limits))
    legs = [
        (a, b)
        for a, b in pairwise(table.turns)
        if a.instant <= walk.span.stop + limits.tide_reserve
        and walk.span.start <= b.instant
    ]
    confidences = [confidence_between(table, a, b) for a, b in legs]
    weather_m = limits.margins.weather_m(table.exposure, pressure_hpa)
    return Crossing(
        walk=walk,
        table=table,
        shut_above_m=shut_above_m,
        bare=windows_below(table.turns, shut_above_m, around.start, around.stop),
        safe=passable_windows(
            table, shut_above_m, around, limits.margins, pressure_hpa
        ),
        loosest=passable_windows(
            least, shut_above_m, around, limits.margins, pressure_hpa
        ),
        confidence=max(confidences, key=list(Confidence).index),
        highest_m=_highest_m(table, walk.span),
        prediction_margin_m=max(limits.margins.prediction_m(a, b) for a, b in legs),
        weather_margin_m=weather_m,
        pressure_hpa=pressure_hpa
        if weather_m > limits.margins.weather_m(table.exposure)
        else None,
    )


def _covers(table: TideTable, span: Span) -> bool:
    """Whether a table reaches over a span."""
    turns = table.turns
    return (
        len(turns) >= 2
        and turns[0].instant <= span.start
        and span.stop <= turns[-1].instant
    )


def _same(datum: str, other: str) -> bool:
    return datum.split() != [] and _folded(datum) == _folded(other)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def _calmest(limits: Limits) -> Exposure:
    return min(Exposure, key=lambda exposure: limits.margins.weather_m(exposure))


def _highest_m(table: TideTable, span: Span) -> float:
    """The tide at its highest in a span that the table reaches over."""
    at_ends = [height_at(table, instant) for instant in (span.start, span.stop)]
    between = [t.height_m for t in table.turns if span.contains(t.instant)]
    return max([*between, *(height.height_m for height in at_ends if height)])


def _pressure_hpa(facts: TripFacts, span: Span) -> float | None:
    if facts.forecast is None:
        return None
    return smallest(facts.forecast.hours, span, lambda h: h.pressure_hpa).value
