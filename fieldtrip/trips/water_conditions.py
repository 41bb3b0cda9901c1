"""When the water stands and moves as a picture wants it.

One function for each condition, over the whole of a situation's span.  These are for
pictures: heights are without weather, and no margin is taken off.  Whether a way is
open is asked in `fieldtrip.trips.way_condition`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

from fieldtrip.places.records import WantedTurn
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import is_of_possible_length
from fieldtrip.tides.records import Turn
from fieldtrip.tides.sources import SecondaryCurve, TideSource
from fieldtrip.times import Span
from fieldtrip.trips.situation import Answer, Situation, known_within, not_known
from fieldtrip.trips.spans import (
    Spans,
    clipped,
    complement,
    difference,
    intersection,
    merged,
)
from fieldtrip.trips.tide_sources import (
    counts_from,
    is_out_of_reach,
    source_for,
    sources_in_force,
)
from fieldtrip.trips.wanted import AroundTurn, TideRange, WaterLevel

# Longer than from one turn to the next, so that those beyond a span are seen.
_AROUND = timedelta(days=2)
_NO_TIDE = "No tide is known here."
_PARTLY = "No tide is known for all of these days."
_NOT_RELIED_ON = "The height of the tide between its turns cannot be relied on here."
_OTHER_DATUM = "No tide here counts from the datum of the vantage point's levels."


@dataclass(frozen=True, slots=True)
class Tide:
    """A source and the part of a span for which it is to be asked."""

    source: TideSource
    span: Span


def water_level(wanted: WaterLevel, situation: Situation) -> Answer:
    """While the water stands between two levels, above the source's own datum.

    A level that is not set does not limit.  Where the curve between printed turns
    cannot be relied on, it is not known.
    """

    def holds(tide: Tide) -> Spans:
        curve, span = tide.source.curve, tide.span
        found = merged((span,))
        if wanted.below_m is not None:
            low = curve.windows_below(wanted.below_m, span)
            found = merged(window.span for window in low)
        if wanted.above_m is not None:
            high = curve.windows_above(wanted.above_m, span)
            found = intersection(found, merged(window.span for window in high))
        if wanted.turn is not WantedTurn.EITHER:
            found = intersection(found, _going(tide, wanted.turn))
        return found

    return _by_source(situation, holds, needs_curve=True)


def around_turn(wanted: AroundTurn, situation: Situation) -> Answer:
    """So long before and after each high or each low water."""
    before = timedelta(minutes=wanted.before_min)
    after = timedelta(minutes=wanted.after_min)

    def holds(tide: Tide) -> Spans:
        return merged(
            Span(turn.instant - before, turn.instant + after)
            for turn in turns_around(tide)
            if turn.is_high is wanted.is_high
        )

    return _by_source(situation, holds)


def tide_range(wanted: TideRange, situation: Situation) -> Answer:
    """From turn to turn, while the rise or fall is large or small enough."""

    def is_wanted(before: Turn, after: Turn) -> bool:
        range_m = abs(after.height_m - before.height_m)
        is_least = wanted.least_m is None or range_m >= wanted.least_m
        return is_least and (wanted.most_m is None or range_m <= wanted.most_m)

    def holds(tide: Tide) -> Spans:
        return merged(
            Span(before.instant, after.instant)
            for before, after in pairwise(turns_around(tide))
            if is_wanted(before, after)
        )

    return _by_source(situation, holds)


def tides_of(situation: Situation) -> tuple[Tide, ...]:
    """Which source tells the tide when: the best one first, others where it ends.

    All count from one datum: that of the vantage point's levels if it names one, or
    else the best source's.  A station that is out of reach tells nothing.
    """
    span, vantage = situation.span, situation.vantage_point
    datum = "" if vantage is None else vantage.level_datum.strip()
    sources = sources_in_force(situation.tide_sources, span, datum)
    sources = tuple(source for source in sources if not is_out_of_reach(source))
    best = source_for(sources, span)
    if best is None:
        return ()
    others = (
        source
        for source in sources
        if source is not best and counts_from(source, best.datum)
    )
    found: list[Tide] = []
    left = merged((span,))
    for source in (best, *others):
        for free in left:
            part = source.part(free)
            if part.length > timedelta():
                found.append(Tide(source, part))
        left = complement(merged(tide.span for tide in found), span)
    return tuple(found)


def turns_around(tide: Tide) -> tuple[Turn, ...]:
    """The turns of a source's span, and those next to it as far as it reaches."""
    wide = Span(tide.span.start - _AROUND, tide.span.stop + _AROUND)
    return tide.source.curve.turns(tide.source.part(wide))


def reliable(tide: Tide) -> Spans:
    """Where a source's heights between turns can be relied on, within its span."""
    source, span = tide.source, tide.span
    curve = source.curve
    harmonic = curve.standard if isinstance(curve, SecondaryCurve) else curve
    if isinstance(harmonic, HarmonicCurve):
        if harmonic.confidence(span) is Confidence.UNKNOWN:
            return ()
        if curve is harmonic:
            return merged((span,))
    # Half a cosine from turn to turn: at a shallow port it may be wrong by a metre.
    if source.is_distorted is not False:
        return ()
    legs = merged(
        Span(before.instant, after.instant)
        for before, after in pairwise(turns_around(tide))
        if is_of_possible_length(before, after)
    )
    return clipped(legs, span)


def _going(tide: Tide, turn: WantedTurn) -> Spans:
    """While the water rises, or falls."""
    return merged(
        Span(before.instant, after.instant)
        for before, after in pairwise(turns_around(tide))
        if after.is_high is (turn is WantedTurn.RISING)
    )


def _by_source(
    situation: Situation,
    holds: Callable[[Tide], Spans],
    *,
    needs_curve: bool = False,
) -> Answer:
    """What each source says of its own part; not known where none has one."""
    span = situation.span
    tides = tides_of(situation)
    if not tides:
        has_some = bool(sources_in_force(situation.tide_sources, span))
        return not_known(span, _OTHER_DATUM if has_some else _NO_TIDE)
    found: list[Span] = []
    known: list[Span] = []
    doubtful: list[Span] = []
    for tide in tides:
        found += clipped(holds(tide), tide.span)
        known.append(tide.span)
        if needs_curve:
            doubtful += difference(merged((tide.span,)), reliable(tide))
    sure = difference(merged(known), merged(doubtful))
    why = _NOT_RELIED_ON if doubtful else _PARTLY
    return known_within(merged(found), sure, span, why)
