"""Where nothing matches: which condition fails, where it comes nearest, by how much."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky.passages import to_datetime
from fieldtrip.times import Span
from fieldtrip.trips.measures import measure_of, time_margin_min
from fieldtrip.trips.situation import Answer, Situation
from fieldtrip.trips.spans import (
    Spans,
    intersection,
    intersection_of,
    lasting,
    merged,
    to_seconds,
)
from fieldtrip.trips.wanted import Condition

LOOKS = 9  # at each span, for its best or nearest instant
_MOST = 20  # near misses that are told
_MOST_OF_ONE = 6  # of them, for one condition
_MOST_CANDIDATES = 20_000  # looked at for one condition


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A time at which all conditions but one hold."""

    span: Span  # in which the others hold
    at: datetime  # where the one comes nearest
    condition: Condition  # that fails
    by: float  # how far it is beyond its limit, or how much too short
    unit: str  # °, m, %, min
    is_too_short: bool = False  # all hold, for less time than is needed


@dataclass(frozen=True, slots=True)
class Clash:
    """Conditions that never hold at once within the span; one alone: never at all."""

    conditions: tuple[Condition, ...]


def looks_s(spans: Spans) -> Array:
    """Instants in each span, its ends not among them; seconds, shape (n, looks)."""
    rows = to_seconds(spans)
    share = np.arange(1, LOOKS + 1) / (LOOKS + 1)
    return np.asarray(rows[:, :1] + (rows[:, 1:] - rows[:, :1]) * share)


def near_misses(
    answers: dict[Condition, Answer], situation: Situation, least: timedelta
) -> tuple[NearMiss, ...]:
    """Where all conditions hold but one, nearest first."""
    found: list[tuple[float, NearMiss]] = []
    for condition, answer in answers.items():
        others = [a.possible for c, a in answers.items() if c != condition]
        near = lasting(intersection_of(others, situation.span), least)
        # All the time that there is, where it is the only condition: then it can be
        # told for how long it holds, but not at which instant it comes nearest.
        is_alone = near == merged((situation.span,)) and not answer.possible
        if not near or is_alone:
            continue
        found += _misses_of(condition, answer, situation, near, least)
    found.sort(key=lambda each: each[0])
    return tuple(miss for _, miss in found[:_MOST])


def _misses_of(
    condition: Condition,
    answer: Answer,
    situation: Situation,
    near: Spans,
    least: timedelta,
) -> list[tuple[float, NearMiss]]:
    """The nearest misses of one condition, each with how near it is: 0 would do."""
    short = intersection(near, answer.possible)
    if short:
        longest = sorted(short, key=lambda span: span.length, reverse=True)
        return [
            (
                (least - span.length) / least,
                NearMiss(
                    span,
                    span.start + span.length / 2,
                    condition,
                    (least - span.length) / timedelta(minutes=1),
                    "min",
                    is_too_short=True,
                ),
            )
            for span in longest[:_MOST_OF_ONE]
        ]
    near = near[:: max(1, len(near) // _MOST_CANDIDATES)]
    at_s = looks_s(near)
    measure = measure_of(condition, situation, answer)
    margin = measure.margin(at_s.ravel()).reshape(at_s.shape)
    share = measure.share(at_s.ravel()).reshape(at_s.shape)
    unit = measure.unit
    # Within its own limits and yet not held: something else of it fails, for a time.
    is_other = np.max(margin, axis=1) >= 0.0
    if is_other.any():
        margin = time_margin_min(answer)(at_s.ravel()).reshape(at_s.shape)
        share, unit = margin / 60.0, "min"
    look = np.argmax(np.nan_to_num(margin, nan=-np.inf), axis=1)
    lines = np.arange(len(near))
    by, nearness = -margin[lines, look], -share[lines, look]
    best = [n for n in np.argsort(nearness, kind="stable") if np.isfinite(by[n])]
    return [
        (
            float(nearness[n]),
            NearMiss(
                near[n],
                to_datetime(float(at_s[n, look[n]])),
                condition,
                float(by[n]),
                unit,
            ),
        )
        for n in best[:_MOST_OF_ONE]
    ]


def clashes_of(answers: dict[Condition, Answer]) -> tuple[Clash, ...]:
    """Conditions that never hold, or else pairs that never hold at once."""
    never = tuple(
        Clash((condition,)) for condition, a in answers.items() if not a.possible
    )
    if never:
        return never
    return tuple(
        Clash((one, other))
        for (one, a), (other, b) in combinations(answers.items(), 2)
        if not intersection(a.possible, b.possible)
    )
