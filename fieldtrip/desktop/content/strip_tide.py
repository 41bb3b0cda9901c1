"""The strip's Tide column: the curve on its side, the turns and the open spans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from fieldtrip.almanac.tide_day import (
    WEATHER,
    LegTide,
    StandTide,
    common,
    confidence_of,
    turn_pairs,
    without,
    worst_confidence,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.records import Turn
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, from_instant, instants, to_instant
from fieldtrip.wording import clock_text, height_text, span_text

_STEP = timedelta(minutes=6)
_FORTNIGHT = timedelta(days=15)  # springs and neaps: a scale that stays
NO_TABLE = "No tide table for this day. Paste the printed one: Trip ▸ Type tide table…"


@dataclass(frozen=True, slots=True)
class CurvePart:
    """A stretch of the curve between two turns."""

    points: tuple[tuple[datetime, float], ...]  # height in metres above the datum
    is_dashed: bool  # of low confidence


@dataclass(frozen=True, slots=True)
class TurnMark:
    """A high or low water with its words, on one line or on two."""

    instant: datetime
    height_m: float
    is_high: bool
    what: str
    height: str


@dataclass(frozen=True, slots=True)
class Passage:
    """A span with a word written in it, and the same in full."""

    span: Span
    text: str
    tip: str = ""


@dataclass(frozen=True, slots=True)
class ShutLevel:
    """A water level that shuts a leg."""

    height_m: float
    text: str
    tip: str


@dataclass(frozen=True, slots=True)
class TideColumn:
    """Everything the Tide column shows."""

    curve: tuple[CurvePart, ...] = ()
    turns: tuple[TurnMark, ...] = ()
    levels: tuple[ShutLevel, ...] = ()
    open: tuple[Passage, ...] = ()
    stands: tuple[Passage, ...] = ()  # vantage points dry, or with the wanted water
    margins: tuple[Passage, ...] = ()  # open by the bare curve, not with the margins
    doubtful: tuple[Passage, ...] = ()  # open by the tide alone; not known in truth
    gaps: tuple[Passage, ...] = ()  # hours outside the table
    unknown: tuple[Passage, ...] = ()  # where no curve holds, or no crossing is known
    least_m: float = 0.0
    most_m: float = 1.0
    message: str = ""  # in place of everything
    foot: tuple[str, ...] = ()  # lines below the column


def tide_column(
    source: TideSource | None,
    legs: Sequence[LegTide],
    stands: Sequence[StandTide],
    day: Span,
    zone: str,
    settings: Settings,
) -> TideColumn:
    """Draw up the tide of one day; `legs` are those whose opening matters."""
    if source is None:
        return TideColumn(message=NO_TABLE)
    levels = _levels(legs, settings)
    reach = source.reach or Span(day.start - _FORTNIGHT, day.stop + _FORTNIGHT)
    heights = [turn.height_m for turn in source.curve.turns(reach)]
    heights += [level.height_m for level in levels]
    opened, margins = _passages(legs, zone, settings)
    doubtful: tuple[Passage, ...] = ()
    if any(not leg.is_known for leg in legs):
        opened, doubtful = (), opened
    return TideColumn(
        curve=tuple(_curve(source, day)),
        turns=tuple(
            _turn_mark(turn, zone, settings) for turn in source.curve.turns(day)
        ),
        levels=levels,
        open=opened,
        stands=_stands(stands, zone, settings),
        margins=margins,
        doubtful=doubtful,
        gaps=_gaps(source, day),
        unknown=(*_no_curve(source, day), *_no_crossing(legs, stands, day, doubtful)),
        least_m=min(heights, default=0.0),
        most_m=max(heights, default=1.0),
        foot=_foot(source, legs, stands, day, settings),
    )


def _curve(source: TideSource, day: Span) -> list[CurvePart]:
    if isinstance(source.curve, HarmonicCurve):
        confidence = source.curve.confidence(day)
        if confidence is Confidence.UNKNOWN:
            return []
        return [_part(source, day, confidence)]
    parts: list[CurvePart] = []
    for pair in turn_pairs(source, day):
        before, after = pair
        span = Span(max(before.instant, day.start), min(after.instant, day.stop))
        confidence = confidence_of(source, pair)
        if confidence is not Confidence.UNKNOWN:
            parts.append(_part(source, span, confidence))
    return parts


def _part(source: TideSource, span: Span, confidence: Confidence) -> CurvePart:
    at = np.append(instants(span.start, span.stop, _STEP), to_instant(span.stop))
    heights = source.curve.heights_m(at)
    points = zip((from_instant(i) for i in at), map(float, heights), strict=True)
    return CurvePart(tuple(points), confidence is Confidence.LOW)


def _turn_mark(turn: Turn, zone: str, settings: Settings) -> TurnMark:
    kind = "high" if turn.is_high else "low"
    return TurnMark(
        turn.instant,
        turn.height_m,
        turn.is_high,
        f"{clock_text(turn.instant, zone, settings)} {kind}",
        height_text(turn.height_m, settings),
    )


def _levels(legs: Sequence[LegTide], settings: Settings) -> tuple[ShutLevel, ...]:
    names: dict[float, list[str]] = {}
    for leg in legs:
        if not leg.unknown and leg.level.level_m is not None:
            names.setdefault(leg.level.level_m, []).append(leg.leg.name)
    return tuple(
        ShutLevel(
            level,
            _level_text(level, settings),
            f"{', '.join(names[level])}: shut above {_level_text(level, settings)}",
        )
        for level in sorted(names)
    )


def _level_text(level_m: float, settings: Settings) -> str:
    """To a decimetre where it is one; a limit is never rounded up."""
    is_whole = abs(level_m * 10.0 - round(level_m * 10.0)) < 1e-6
    is_metric = settings.length_unit is LengthUnit.METRE
    return height_text(level_m, settings, 1 if is_whole or not is_metric else 2)


def _passages(
    legs: Sequence[LegTide], zone: str, settings: Settings
) -> tuple[tuple[Passage, ...], tuple[Passage, ...]]:
    """Where all legs are open, and where only the margins speak against it.

    One leg of which nothing is known makes the whole way unknown.  Where one is
    in doubt the words say so.
    """
    if not legs or any(leg.unknown for leg in legs):
        return (), ()
    is_known = all(leg.is_known for leg in legs)
    opened = common([leg.windows for leg in legs])
    bare = common([leg.bare for leg in legs])
    if not is_known and not opened:
        opened = bare
    names = ", ".join(leg.leg.name for leg in legs)
    word = "open" if len(legs) == 1 else "all open"
    in_full = "open with all margins"
    why = _why(legs, settings)
    if not is_known:
        word, in_full = f"? {word} if … ({why})", f"not known: {why}"
    elif why:
        word, in_full = f"{word} ▲", f"open, with care: {why}"

    def tip(span: Span, words: str) -> str:
        return f"{names}: {words}, {span_text(span, zone, settings)}. {WEATHER}"

    return (
        tuple(Passage(span, word, tip(span, in_full)) for span in opened),
        tuple(
            Passage(span, "", tip(span, "open only without margins: do not rely on it"))
            for span in without(bare, opened)
        ),
    )


def _why(legs: Sequence[LegTide], settings: Settings) -> str:
    """The gravest doubt about some legs in a few words; empty if there is none."""
    doubts = [leg.doubt for leg in legs if leg.doubt is not None]
    doubts.sort(key=lambda doubt: doubt.is_known)
    return doubts[0].words(settings) if doubts else ""


def _stands(
    stands: Sequence[StandTide], zone: str, settings: Settings
) -> tuple[Passage, ...]:
    """The spans of vantage points that have a level, each in words."""
    found = []
    for stand in stands:
        name = stand.vantage.name
        for spans, word in ((stand.wanted, "wanted water"), (stand.dry, "dry")):
            if word == "dry" and stand.wanted is not None:
                continue  # said on the Tide page; the picture's water matters here
            if word == "dry" and not stand.is_dry_known:
                continue  # the foot says why
            if word == "dry" and stand.doubt is not None:
                word = "dry ▲"
            for span in spans or ():
                when = span_text(span, zone, settings)
                text = f"{name}: {word}"
                found.append(Passage(span, text, f"{text}, {when}. {WEATHER}"))
    return tuple(found)


def _gaps(source: TideSource, day: Span) -> tuple[Passage, ...]:
    text = "no table for these hours"
    known = source.part(day)
    return tuple(Passage(span, text, text) for span in without([day], [known]))


def _no_curve(source: TideSource, day: Span) -> list[Passage]:
    """The parts between turns in which the water's height cannot be told."""
    tip = "The height between the turns is not known."
    if isinstance(source.curve, HarmonicCurve):
        is_unknown = source.curve.confidence(day) is Confidence.UNKNOWN
        return [Passage(day, "? not known", tip)] if is_unknown else []
    return [
        Passage(
            Span(max(a.instant, day.start), min(b.instant, day.stop)),
            "? not known",
            tip,
        )
        for a, b in turn_pairs(source, day)
        if confidence_of(source, (a, b)) is Confidence.UNKNOWN
    ]


def _no_crossing(
    legs: Sequence[LegTide],
    stands: Sequence[StandTide],
    day: Span,
    doubtful: Sequence[Passage],
) -> list[Passage]:
    """Said once, so that an empty column is not taken for a way that is shut."""
    unknown = [leg for leg in legs if leg.unknown]
    tip = "\n".join(f"{leg.leg.name}: not known. {leg.unknown}" for leg in unknown)
    if unknown:
        return [Passage(day, "? crossing not known", tip)]
    if any(not leg.is_known for leg in legs) and not doubtful:
        return [Passage(day, "? crossing not known", "Not known together.")]
    lost = [s for s in stands if not s.is_known]
    tips = [f"{s.vantage.name}: not known. {s.unknown}" for s in lost]
    if not lost:
        lost = [s for s in stands if not s.is_dry_known and s.wanted is None]
        tips = [f"{s.vantage.name}: dry hours not known" for s in lost]
    tip = "\n".join(tips)
    return [Passage(day, "? water there not known", tip)] if lost else []


def _foot(
    source: TideSource,
    legs: Sequence[LegTide],
    stands: Sequence[StandTide],
    day: Span,
    settings: Settings,
) -> tuple[str, ...]:
    is_harmonic = isinstance(source.curve, HarmonicCurve)
    words = {
        Confidence.GOOD: "confidence good",
        Confidence.LOW: "dashed: low confidence, the curve is rough"
        if is_harmonic
        else "dashed: low confidence, a rise or fall does not last from 5 to 7 hours",
        Confidence.UNKNOWN: "between the turns not known, so no curve is drawn",
    }
    confidence = words[worst_confidence(source, day)]
    lines = [f"Tide: {source.name}, above {source.datum}; {confidence}. {WEATHER}"]
    unknown = [leg for leg in legs if leg.unknown]
    lines += [f"{leg.leg.name}: not known. {leg.unknown}" for leg in unknown]
    lines += [
        f"{leg.leg.name}: {'▲ with care' if leg.is_known else 'opening not known'}: "
        f"{leg.doubt.words(settings)}."
        for leg in legs
        if leg.doubt is not None
    ]
    lines += [
        f"{stand.vantage.name}: not known. {stand.unknown}"
        for stand in stands
        if not stand.is_known
    ]
    lines += [
        f"{stand.vantage.name}: "
        f"{'▲ dry with care' if stand.is_dry_known else 'dry hours not known'}: "
        f"{stand.doubt.words(settings)}."
        for stand in stands
        if stand.doubt is not None
    ]
    spots = [s.vantage.name for s in stands if s.wanted or (s.dry and s.is_dry_known)]
    if spots:
        lines.append(f"Bar at the edge: {', '.join(spots)}, dry or with wanted water.")
    if legs and all(leg.is_known for leg in legs):
        names = ", ".join(
            f"{leg.leg.name} (shuts above "
            f"{_level_text(leg.level.level_m or 0.0, settings)})"
            for leg in legs
        )
        lines.append(f"Open with all margins: {names}; hatched: only without them.")
    return tuple(lines)
