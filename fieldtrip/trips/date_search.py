"""When everything that a picture wants comes together, over up to ten years.

Every condition is answered over the whole span, the cheap ones first; where all of
them hold, or are not known, there is a window.  Windows are ranked; where there is
none, near misses say which condition fails, and by how much.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import partial
from itertools import combinations
from uuid import UUID

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.sky.passages import to_datetime
from fieldtrip.sky.table import require_computed
from fieldtrip.times import Span, local_day
from fieldtrip.trips.conditions import NotKnown, answer_for, together
from fieldtrip.trips.contradictions import contradiction
from fieldtrip.trips.day_conditions import days_of
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.measures import Measure, measure_of, time_margin_min
from fieldtrip.trips.records import DateSearch
from fieldtrip.trips.situation import Answer, Situation, situation_of
from fieldtrip.trips.sky_conditions import aim_of
from fieldtrip.trips.spans import (
    Spans,
    intersection,
    intersection_of,
    lasting,
    merged,
    to_seconds,
    touching,
)
from fieldtrip.trips.wanted import (
    Alignment,
    Allowed,
    ClockTime,
    Condition,
    InSeason,
    OnWeekdays,
    SubjectLight,
    TripPossible,
    WaterLevel,
    WayOpen,
)

MOST_YEARS = 10
_LOOKS = 9  # at each window, for its best instant
_LONG = timedelta(minutes=30)  # a window so long has half of what length can give
_MOST_NEAR = 20  # near misses that are told
_MOST_OF_ONE = 6  # of them, for one condition
_MOST_CANDIDATES = 20_000  # looked at for near misses of one condition

Progress = Callable[[float], None]  # share done, 0..1; may raise `Cancelled`


@dataclass(frozen=True, slots=True)
class Fit:
    """How a condition is met at an instant."""

    condition: Condition
    margin: float  # within its limits
    unit: str  # of margin and value: °, m, %, min
    share: float  # of what would be ample, 0..1
    value: float | None  # what is there; None where only time tells
    is_by_days: bool = False  # a day either meets it or not


@dataclass(frozen=True, slots=True)
class DateWindow:
    """A span in which everything that is known comes together."""

    span: Span
    best: datetime
    score: float  # 0..1, higher is better
    fits: tuple[Fit, ...]  # at the best instant, for each condition known there
    unknown: tuple[NotKnown, ...]  # conditions not known at some time of it

    @property
    def tightest(self) -> Fit | None:
        """The condition nearest to its limit; None where none can be measured."""
        measured = [fit for fit in self.fits if not fit.is_by_days]
        return min(measured, key=lambda fit: fit.share, default=None)


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


@dataclass(frozen=True, slots=True)
class DatesFound:
    """The answer to a search."""

    span: Span
    windows: tuple[DateWindow, ...]  # best first
    unknown: tuple[NotKnown, ...]  # what is not known somewhere that matters
    near_misses: tuple[NearMiss, ...] = ()  # nearest first; only without windows
    clashes: tuple[Clash, ...] = ()  # only without windows and near misses


def search_span(first_day: date, last_day: date, zone: str) -> Span:
    """The civil days of a search, both included.

    Raises `UserError` where they are out of order, more than ten years, or outside
    the years that are computed.
    """
    if last_day < first_day:
        raise UserError("The last day of a search cannot come before its first.")
    years = last_day.year - first_day.year
    if years > MOST_YEARS or (
        years == MOST_YEARS
        and (last_day.month, last_day.day) > (first_day.month, first_day.day)
    ):
        raise UserError(
            f"A search covers at most {MOST_YEARS} years: take a later first day or "
            "an earlier last one."
        )
    require_computed(first_day)
    require_computed(last_day)
    return Span(local_day(first_day, zone).start, local_day(last_day, zone).stop)


def situation_of_search(search: DateSearch, dossier: Dossier) -> Situation:
    """The situation of a kept search; without skylines, a sea or a scheduler.

    Raises `UserError` as `search_span` does, and where the vantage point or subject
    is not there any more.
    """
    vantage = by_id(dossier.vantage_points, search.vantage_point_id)
    subject = by_id(dossier.subjects, search.subject_id)
    if vantage is None and search.vantage_point_id is not None:
        raise UserError("The vantage point of this search is not there any more.")
    if subject is None and search.subject_id is not None:
        raise UserError("The subject of this search is not there any more.")
    span = search_span(search.first_day, search.last_day, dossier.location.zone)
    return situation_of(dossier, span, vantage_point=vantage, subject=subject)


def search_dates(
    conditions: Sequence[Condition],
    situation: Situation,
    *,
    least: timedelta = timedelta(minutes=1),
    progress: Progress | None = None,
) -> DatesFound:
    """Every window of the situation's span in which all conditions come together.

    Raises `UserError` where nothing is wanted, or what can never be.  `progress` is
    told the share done now and then, and ends the search by raising.
    """
    conditions = tuple(dict.fromkeys(conditions))
    if not conditions:
        raise UserError("Say at least one thing that the dates must bring.")
    if found := contradiction(conditions):
        raise UserError(f"These conditions can never meet. {found}")
    for condition in conditions:
        if isinstance(condition, Alignment):
            aim_of(condition, situation)  # refuses a top above the upper altitude
    tell = progress or (lambda _share: None)
    answers = _answers(conditions, situation, lambda share: tell(0.9 * share))
    span = situation.span
    wanted = together(answers.items(), span)
    is_anything_known = any(
        answer.unknown != merged((span,)) for answer in answers.values()
    )
    spans = lasting(wanted.spans, least) if is_anything_known else ()
    tell(0.92)
    if spans:
        measures = _measures(answers, situation)
        tell(0.95)
        windows = _ranked(spans, measures, wanted.unknown)
        unknown = tuple(each for each in wanted.unknown if touching(each.spans, spans))
        tell(1.0)
        return DatesFound(span, windows, unknown)
    unknown = tuple(
        NotKnown(condition, answer.unknown, answer.why)
        for condition, answer in answers.items()
        if answer.unknown
    )
    near = _near_misses(answers, situation, least) if is_anything_known else ()
    tell(0.98)
    clashes = () if near or not is_anything_known else _clashes(answers)
    tell(1.0)
    return DatesFound(span, (), unknown, near, clashes)


_CHEAP = (InSeason, OnWeekdays, ClockTime, Allowed)
_COSTLY = (WaterLevel, Alignment, SubjectLight, WayOpen, TripPossible)


def _answers(
    conditions: Sequence[Condition], situation: Situation, tell: Progress
) -> dict[Condition, Answer]:
    """Each condition answered, in the order in which they were given."""

    def cost(condition: Condition) -> int:
        if isinstance(condition, _CHEAP):
            return 0
        if isinstance(condition, _COSTLY):
            return 2 + _COSTLY.index(type(condition))
        return 1

    found: dict[Condition, Answer] = {}
    for number, condition in enumerate(sorted(conditions, key=cost)):
        done = number / len(conditions)
        tell(done)
        asked = situation
        if isinstance(condition, TripPossible):
            share = partial(_part, tell, done, 1.0 / len(conditions))
            possible = (answer.possible for answer in found.values())
            left = intersection_of(possible, situation.span)
            asked = _of_days_left(situation, left, share)
        found[condition] = answer_for(condition, asked)
    return {condition: found[condition] for condition in conditions}


def _part(tell: Progress, done: float, part: float, share: float) -> None:
    tell(done + part * share)


def _of_days_left(situation: Situation, left: Spans, tell: Progress) -> Situation:
    """The situation in which a trip is tried on days that may still do only.

    Every other day is not known: it fails for another reason.
    """
    test = situation.trip_possible
    if test is None:
        return situation
    zone = situation.zone
    days = sorted({day for span in left for day in days_of(span, zone)})
    numbers = {day: number for number, day in enumerate(days)}

    def possible(trip_id: UUID, day: date) -> bool | None:
        if day not in numbers:
            return None
        tell(numbers[day] / len(numbers))
        return test(trip_id, day)

    return replace(situation, trip_possible=possible)


def _measures(
    answers: dict[Condition, Answer], situation: Situation
) -> list[tuple[Condition, Measure]]:
    return [
        (condition, measure_of(condition, situation, answer))
        for condition, answer in answers.items()
    ]


def _looks_s(spans: Spans) -> Array:
    """Instants in each span, its ends not among them; seconds, shape (n, looks)."""
    rows = to_seconds(spans)
    share = np.arange(1, _LOOKS + 1) / (_LOOKS + 1)
    return np.asarray(rows[:, :1] + (rows[:, 1:] - rows[:, :1]) * share)


def _ranked(
    spans: Spans,
    measures: list[tuple[Condition, Measure]],
    unknown: tuple[NotKnown, ...],
) -> tuple[DateWindow, ...]:
    at_s = _looks_s(spans)
    unknown_in = _unknown_in(spans, unknown)
    # Not known in a window is neither near its limit there nor far from it.
    is_known = {
        condition: np.array(
            [all(each.condition != condition for each in some) for some in unknown_in]
        )
        for condition, _ in measures
    }
    least_share = np.ones(at_s.shape)
    shares: list[Array] = []
    for condition, measure in measures:
        share = np.ones(at_s.shape)
        rows = is_known[condition]
        if not measure.is_by_days and rows.any():
            some = measure.share(at_s[rows].ravel()).reshape(-1, _LOOKS)
            share[rows] = np.clip(np.nan_to_num(some, nan=0.0), 0.0, 1.0)
        shares.append(share)
        least_share = np.minimum(least_share, share)
    lines = np.arange(len(spans))
    # The middle first, so that it is best where all looks are as good.
    order = np.argsort(np.abs(np.arange(_LOOKS) - _LOOKS // 2), kind="stable")
    look = order[np.argmax(least_share[:, order], axis=1)]
    best_s = at_s[lines, look]

    margins = [measure.margin(best_s) for _, measure in measures]
    values = [
        None if measure.value is None else measure.value(best_s)
        for _, measure in measures
    ]
    measured = [k for k, (_, m) in enumerate(measures) if not m.is_by_days]
    closeness = np.ones(len(spans))
    if measured:
        closeness = np.mean([shares[k][lines, look] for k in measured], axis=0)
    length = np.array([span.length / (span.length + _LONG) for span in spans])
    score = (length + least_share[lines, look] + closeness) / 3.0

    windows = []
    for n, span in enumerate(spans):
        fits = tuple(
            Fit(
                condition,
                float(margins[k][n]),
                measure.unit,
                float(shares[k][n, look[n]]),
                None if (value := values[k]) is None else float(value[n]),
                measure.is_by_days,
            )
            for k, (condition, measure) in enumerate(measures)
            if is_known[condition][n]
        )
        best = to_datetime(float(best_s[n]))
        windows.append(DateWindow(span, best, float(score[n]), fits, unknown_in[n]))
    windows.sort(key=lambda w: (len(w.unknown), -w.score, w.span.start))
    return tuple(windows)


def _unknown_in(
    spans: Spans, unknown: tuple[NotKnown, ...]
) -> list[tuple[NotKnown, ...]]:
    """What is not known in each of some spans."""
    touched = [
        (each, {span.start for span in touching(spans, each.spans)}) for each in unknown
    ]
    return [
        tuple(each for each, starts in touched if span.start in starts)
        for span in spans
    ]


def _near_misses(
    answers: dict[Condition, Answer], situation: Situation, least: timedelta
) -> tuple[NearMiss, ...]:
    """Where all conditions hold but one, nearest first."""
    found: list[tuple[float, NearMiss]] = []
    for condition, answer in answers.items():
        others = [a.possible for c, a in answers.items() if c != condition]
        # All the time that there is, where it is the only condition.
        near = lasting(intersection_of(others, situation.span), least)
        if not near or near == merged((situation.span,)):
            continue
        found += _misses_of(condition, answer, situation, near, least)
    found.sort(key=lambda each: each[0])
    return tuple(miss for _, miss in found[:_MOST_NEAR])


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
    at_s = _looks_s(near)
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


def _clashes(answers: dict[Condition, Answer]) -> tuple[Clash, ...]:
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
