"""The sheet's tide: curve, turns and windows of the day, and what they rest on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

import numpy as np

from fieldtrip.almanac.tide import leg_windows, source_lines, stand_windows
from fieldtrip.almanac.tide_day import (
    WEATHER,
    TideFacts,
    confidence_of,
    leg_tide,
    legs_in_question,
    stand_tide,
    stands_in_question,
    tide_facts,
    turn_pairs,
    worst_confidence,
)
from fieldtrip.reports.sheet import TideChart, TidePart, TidePassage
from fieldtrip.reports.sheet_times import Teller
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import (
    Span,
    from_instant,
    instants,
    local_date,
    local_day,
    to_instant,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Trip
from fieldtrip.wording import (
    clock_line,
    clock_text,
    count_text,
    height_text,
    nearest_minute,
    short_date_text,
)

_STEP = timedelta(minutes=10)
_HOUR = timedelta(hours=1)
_AROUND = timedelta(hours=4)  # shown before and after the trip
_MOST_DAYS = 3
_NO_TABLE = (
    "There is no tide table or station for this day: high and low waters, and when a "
    "crossing is open, are not known."
)

Curve = tuple[tuple[tuple[datetime, float], ...], ...]


def tide_part(
    dossier: Dossier, trip: Trip, facts: TripFacts, settings: Settings, limits: Limits
) -> TidePart:
    """The tide round a trip: what it walks over, where it stands, and the curve."""
    zone, tell = dossier.location.zone, Teller(facts, settings)
    days = _days(facts, zone)
    passages = tuple(
        passage
        for day in days
        for passage in _passages(dossier, trip, day, days, settings, limits)
    )
    span = Span(facts.span.start - _AROUND, facts.span.stop + _AROUND)
    seen = tide_facts(dossier, local_day(trip.day, zone), limits.margins, trip)
    source = seen.source
    heading = f"Times in {clock_line(trip.day, zone)}."
    if source is None:
        return TidePart(
            heading=heading,
            chart=None,
            turns=(),
            passages=passages,
            lines=(_NO_TABLE, WEATHER),
        )
    turns = source.curve.turns(
        Span(local_day(days[0], zone).start, local_day(days[-1], zone).stop)
    )
    return TidePart(
        heading=f"{heading} Heights above {source.datum or 'a datum not named'}.",
        chart=_chart(source, span, facts, seen, passages, tell),
        turns=tuple(
            (
                "high water" if turn.is_high else "low water",
                tell.at(turn.instant),
                height_text(turn.height_m, settings, 2),
            )
            for turn in turns
        ),
        passages=passages,
        lines=source_lines(source, seen, settings),  # the weather's among them
    )


def _days(facts: TripFacts, zone: str) -> list[date]:
    """The civil days that the trip has a part of; of a very long one the first few."""
    first = min(facts.trip.day, local_date(facts.span.start, zone))
    last = local_date(facts.span.stop - timedelta(seconds=1), zone)
    count = min(max((last - first).days + 1, 1), _MOST_DAYS)
    return [first + timedelta(days=k) for k in range(count)]


def _passages(
    dossier: Dossier,
    trip: Trip,
    day: date,
    days: Sequence[date],
    settings: Settings,
    limits: Limits,
) -> Iterator[TidePassage]:
    zone = dossier.location.zone
    seen = tide_facts(dossier, local_day(day, zone), limits.margins, trip)
    suffix = f", {short_date_text(day)}" if len(days) > 1 else ""
    for leg in legs_in_question(dossier, trip, None):
        tide = leg_tide(leg, seen)
        words = leg_windows(tide, seen, settings, limits)
        yield TidePassage(
            name=f"{words.name}{suffix}",
            state=words.state,
            lines=tuple(line for line in words.lines if line != WEATHER),
            is_known=words.is_known,
            spans=tuple((s.start, s.stop) for s in tide.windows)
            if words.is_known
            else (),
        )
    for vantage in stands_in_question(dossier, trip, None):
        stand = stand_tide(vantage, seen)
        words = stand_windows(stand, seen, settings)
        yield TidePassage(
            name=f"{words.name}{suffix}",
            state=words.state,
            lines=tuple(line for line in words.lines if line != WEATHER),
            is_known=words.is_known,
            spans=tuple((s.start, s.stop) for s in stand.dry or ())
            if words.is_known
            else (),
        )


def _chart(
    source: TideSource,
    span: Span,
    facts: TripFacts,
    seen: TideFacts,
    passages: Sequence[TidePassage],
    tell: Teller,
) -> TideChart | None:
    if span.length > timedelta(days=_MOST_DAYS):
        span = Span(span.start, span.start + timedelta(days=_MOST_DAYS))
    good, rough = _curve(source, span)
    turns = tuple(
        (
            turn.instant,
            turn.height_m,
            f"{clock_text(turn.instant, facts.location.zone, tell.settings)} "
            f"{height_text(turn.height_m, tell.settings)}",
        )
        for turn in source.curve.turns(span)
    )
    if not turns and not good and not rough:
        return None
    highs = [words for _, _, words in turns]
    return TideChart(
        start=span.start,
        stop=span.stop,
        parts=good,
        rough=rough,
        turns=turns,
        levels=_levels(facts, seen, tell.settings),
        hours=tuple(_hours(span, facts.location.zone, tell.settings)),
        stays=tuple(
            (s.stop.arrive, s.stop.leave, str(s.stop.number)) for s in facts.stops
        ),
        words=(
            f"Tide curve with {count_text(len(highs), 'turn')}: {', '.join(highs)}; "
            f"{count_text(sum(len(p.spans) for p in passages), 'open window')} marked."
        ),
    )


def _levels(
    facts: TripFacts, seen: TideFacts, settings: Settings
) -> tuple[tuple[float, str], ...]:
    names: dict[float, list[str]] = {}
    for leg in legs_in_question(seen.dossier, facts.trip, None):
        tide = leg_tide(leg, seen)
        if tide.level.level_m is not None and not tide.unknown:
            names.setdefault(tide.level.level_m, []).append(leg.name)
    return tuple(
        (
            level,
            f"{', '.join(names[level])} shuts above {height_text(level, settings, 2)}",
        )
        for level in sorted(names)
    )


def _curve(source: TideSource, span: Span) -> tuple[Curve, Curve]:
    """The stretches that can be relied on, and those that are rough."""
    good: list[tuple[tuple[datetime, float], ...]] = []
    rough: list[tuple[tuple[datetime, float], ...]] = []
    known = source.part(span)
    if known.length <= timedelta():
        return (), ()
    if isinstance(source.curve, HarmonicCurve):
        confidence = worst_confidence(source, span)
        if confidence is Confidence.UNKNOWN:
            return (), ()
        part = _points(source, known)
        return ((part,), ()) if confidence is Confidence.GOOD else ((), (part,))
    for pair in turn_pairs(source, span):
        before, after = pair
        confidence = confidence_of(source, pair)
        if confidence is Confidence.UNKNOWN:
            continue
        part = _points(
            source,
            Span(max(before.instant, span.start), min(after.instant, span.stop)),
        )
        (good if confidence is Confidence.GOOD else rough).append(part)
    return tuple(good), tuple(rough)


def _points(source: TideSource, span: Span) -> tuple[tuple[datetime, float], ...]:
    at = np.append(instants(span.start, span.stop, _STEP), to_instant(span.stop))
    heights = source.curve.heights_m(at)
    return tuple(
        (from_instant(instant), round(float(height), 3))
        for instant, height in zip(at, heights, strict=True)
        if np.isfinite(height)
    )


def _hours(span: Span, zone: str, settings: Settings) -> Iterator[tuple[datetime, str]]:
    """Every third full hour by the place's clock, or wider where there are many."""
    every = 3 if span.length <= timedelta(hours=36) else 6
    at = span.start.replace(minute=0, second=0, microsecond=0) + _HOUR
    while at < span.stop:
        text = clock_text(at, zone, settings)
        shown = clock_text(nearest_minute(at), zone, Settings(clock_24h=True))
        hour, minute = (int(part) for part in shown.split(":"))
        if minute == 0 and hour % every == 0:
            yield at, text
        at += _HOUR
