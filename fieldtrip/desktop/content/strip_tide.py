"""The strip's Tide column: the curve on its side, the turns and the open spans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np

from fieldtrip.desktop.content.tide_day import (
    WEATHER,
    LegTide,
    common,
    covered_part,
    without,
    worst_confidence,
)
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence, confidence_between, heights_m
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.times import Span, from_instant, instants, to_instant
from fieldtrip.wording import clock_text, height_text, span_text

_STEP = timedelta(minutes=6)
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
    margins: tuple[Passage, ...] = ()  # open by the bare curve, not with the margins
    gaps: tuple[Passage, ...] = ()  # hours outside the table
    unknown: tuple[Passage, ...] = ()  # where no curve holds, or no crossing is known
    least_m: float = 0.0
    most_m: float = 1.0
    message: str = ""  # in place of everything
    foot: tuple[str, ...] = ()  # lines below the column


def tide_column(
    table: TideTable | None,
    legs: Sequence[LegTide],
    day: Span,
    zone: str,
    settings: Settings,
) -> TideColumn:
    """Draw up the tide of one day; `legs` are those whose opening matters."""
    if table is None:
        return TideColumn(message=NO_TABLE)
    levels = _levels(legs, settings)
    heights = [turn.height_m for turn in table.turns]
    heights += [level.height_m for level in levels]
    opened, margins = _passages(legs, zone, settings)
    return TideColumn(
        curve=tuple(_curve(table, day)),
        turns=tuple(
            _turn_mark(turn, zone, settings)
            for turn in table.turns
            if day.contains(turn.instant)
        ),
        levels=levels,
        open=opened,
        margins=margins,
        gaps=_gaps(table, day),
        unknown=(*_no_curve(table, day), *_no_crossing(legs, day)),
        least_m=min(heights),
        most_m=max(heights),
        foot=_foot(table, legs, day, settings),
    )


def _curve(table: TideTable, day: Span) -> list[CurvePart]:
    parts: list[CurvePart] = []
    for before, after in pairwise(table.turns):
        start, stop = max(before.instant, day.start), min(after.instant, day.stop)
        confidence = confidence_between(table, before, after)
        if start >= stop or confidence is Confidence.UNKNOWN:
            continue
        at = np.append(instants(start, stop, _STEP), to_instant(stop))
        heights = heights_m((before, after), at)
        points = zip((from_instant(i) for i in at), map(float, heights), strict=True)
        parts.append(CurvePart(tuple(points), confidence is Confidence.LOW))
    return parts


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
        if leg.is_known and leg.leg.shut_above_m is not None:
            names.setdefault(leg.leg.shut_above_m, []).append(leg.leg.name)
    return tuple(
        ShutLevel(
            level,
            height_text(level, settings),
            f"{', '.join(names[level])}: shut above {height_text(level, settings)}",
        )
        for level in sorted(names)
    )


def _passages(
    legs: Sequence[LegTide], zone: str, settings: Settings
) -> tuple[tuple[Passage, ...], tuple[Passage, ...]]:
    """Where all legs are open, and where only the margins speak against it.

    One leg of which nothing is known makes the whole way unknown.
    """
    if not legs or any(not leg.is_known for leg in legs):
        return (), ()
    opened = common([leg.windows for leg in legs])
    bare = common([leg.bare for leg in legs])
    names = ", ".join(leg.leg.name for leg in legs)
    word = "open" if len(legs) == 1 else "all open"

    def tip(span: Span, words: str) -> str:
        return f"{names}: {words}, {span_text(span, zone, settings)}. {WEATHER}"

    return (
        tuple(
            Passage(span, word, tip(span, "open with all margins")) for span in opened
        ),
        tuple(
            Passage(span, "", tip(span, "open only without margins: do not rely on it"))
            for span in without(bare, opened)
        ),
    )


def _gaps(table: TideTable, day: Span) -> tuple[Passage, ...]:
    text = "no table for these hours"
    return tuple(
        Passage(span, text, text) for span in without([day], [covered_part(table, day)])
    )


def _no_curve(table: TideTable, day: Span) -> list[Passage]:
    """The parts between turns in which the water's height cannot be told."""
    tip = "The height between the turns is not known."
    return [
        Passage(
            Span(max(a.instant, day.start), min(b.instant, day.stop)),
            "? not known",
            tip,
        )
        for a, b in pairwise(table.turns)
        if a.instant < day.stop
        and b.instant > day.start
        and confidence_between(table, a, b) is Confidence.UNKNOWN
    ]


def _no_crossing(legs: Sequence[LegTide], day: Span) -> list[Passage]:
    """Said once, so that an empty column is not taken for a way that is shut."""
    unknown = [leg for leg in legs if not leg.is_known]
    tip = "\n".join(f"{leg.leg.name}: not known. {leg.unknown}" for leg in unknown)
    return [Passage(day, "? crossing not known", tip)] if unknown else []


def _foot(
    table: TideTable, legs: Sequence[LegTide], day: Span, settings: Settings
) -> tuple[str, ...]:
    words = {
        Confidence.GOOD: "confidence good",
        Confidence.LOW: (
            "dashed: low confidence, a rise or fall does not last from 5 to 7 hours"
        ),
        Confidence.UNKNOWN: "between the turns not known, so no curve is drawn",
    }
    confidence = words[worst_confidence(table, day)]
    lines = [f"Tide: {table.port}, above {table.datum}; {confidence}. {WEATHER}"]
    unknown = [leg for leg in legs if not leg.is_known]
    lines += [f"{leg.leg.name}: not known. {leg.unknown}" for leg in unknown]
    if legs and not unknown:
        names = ", ".join(
            f"{leg.leg.name} (shuts above "
            f"{height_text(leg.leg.shut_above_m or 0.0, settings)})"
            for leg in legs
        )
        lines.append(f"Open with all margins: {names}; hatched: only without them.")
    return tuple(lines)
