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
from fieldtrip.trips.measures import Measure, measure_of
from fieldtrip.trips.near_misses import (
    LOOKS,
    Clash,
    NearMiss,
    clashes_of,
    looks_s,
    near_misses,
)
from fieldtrip.trips.records import DateSearch
from fieldtrip.trips.situation import Answer, Situation, situation_of
from fieldtrip.trips.sky_conditions import aim_of
from fieldtrip.trips.spans import (
    Spans,
    intersection_of,
    lasting,
    merged,
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
_LONG = timedelta(minutes=30)  # a window so long has half of what length can give

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
    near = near_misses(answers, situation, least) if is_anything_known else ()
    tell(0.98)
    clashes = () if near or not is_anything_known else clashes_of(answers)
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


def _ranked(
    spans: Spans,
    measures: list[tuple[Condition, Measure]],
    unknown: tuple[NotKnown, ...],
) -> tuple[DateWindow, ...]:
    at_s = looks_s(spans)
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
            some = measure.share(at_s[rows].ravel()).reshape(-1, LOOKS)
            share[rows] = np.clip(np.nan_to_num(some, nan=0.0), 0.0, 1.0)
        shares.append(share)
        least_share = np.minimum(least_share, share)
    lines = np.arange(len(spans))
    # The middle first, so that it is best where all looks are as good.
    order = np.argsort(np.abs(np.arange(LOOKS) - LOOKS // 2), kind="stable")
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
