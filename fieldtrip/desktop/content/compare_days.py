"""The same trip on many days: what each would keep, hang on and be warned of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from fieldtrip.desktop.content.plan_deeds import merged, using
from fieldtrip.desktop.content.trip import on_another_day
from fieldtrip.phrasing import finding_words
from fieldtrip.plan_phrasing import limit_text, obstacle_text, spare_text
from fieldtrip.planning.asking import Asked
from fieldtrip.planning.planned import DayRow, compare_days
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.times import Span, local_day
from fieldtrip.trips.answer import Conflict, Plan
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk
from fieldtrip.weather.hours import hours_over, is_covered
from fieldtrip.wording import count_text, short_date_text

COLUMNS = ("Day", "Wanted light", "In hand", "Weather", "Worst finding", "Hangs on")
NOTE = (
    "The wanted light is what the best plan of the day keeps, of what the stops wish. "
    "A day without a forecast is judged without weather."
)
_WEATHER = {2: "forecast", 1: "forecast in part", 0: "not known"}
_NEVER = timedelta(days=-1)


@dataclass(frozen=True, slots=True)
class DayLine:
    """One day, as it stands in the table, and what sorts its columns."""

    texts: tuple[str, ...]  # as COLUMNS
    keys: tuple[Any, ...]
    hint: str  # the whole of what is said
    row: DayRow

    @property
    def day(self) -> date:
        """The day."""
        return self.row.day


@dataclass(frozen=True, slots=True)
class DaysContent:
    """Everything that the comparison shows."""

    heading: str
    lines: tuple[DayLine, ...] = ()  # best first
    note: str = ""


def compared(
    dossier: Dossier,
    trip: Trip,
    first: date,
    last: date,
    now: datetime,
    asked: Asked,
    settings: Settings,
    progress: Callable[[float], None],
) -> DaysContent:
    """Plan the trip on every day.  Raises `UserError` for a span that is no such."""
    rows = compare_days(dossier, trip, first, last, now, asked, progress)
    return days_content(dossier, trip, rows, settings)


def days_content(
    dossier: Dossier, trip: Trip, rows: Sequence[DayRow], settings: Settings
) -> DaysContent:
    """The days in words, the one that keeps most light first."""
    lines = [_line(dossier, trip, row, settings) for row in rows]
    # Days are in order; what is equally good stays so.
    lines.sort(key=lambda line: line.row.value, reverse=True)
    possible = sum(row.plan is not None for row in rows)
    heading = f"A plan on {possible} of {count_text(len(rows), 'day')}."
    if not possible:
        heading = f"No plan on any of {count_text(len(rows), 'day')}."
    return DaysContent(heading, tuple(lines), NOTE)


def to_day(dossier: Dossier, trip: Trip, day: date) -> list[Change]:
    """Move the trip: every time of it keeps what the clock shows.

    Raises `UserError` where the clock skips one of them.
    """
    return [] if day == trip.day else on_another_day(dossier, trip, day)


def to_day_with_plan(
    dossier: Dossier, trip: Trip, day: date, plan: Plan
) -> list[Change]:
    """Move the trip, and take that day's plan for it, as changes of one step."""
    moving = to_day(dossier, trip, day)
    after = {c.record.id: c.record for c in moving}
    stops = [after.get(stop.id, stop) for stop in dossier.stops]
    walks = [after.get(walk.id, walk) for walk in dossier.walks]
    there = after.get(trip.id, trip)
    assert isinstance(there, Trip)
    moved = replace(
        dossier,
        stops=tuple(each for each in stops if isinstance(each, Stop)),
        walks=tuple(each for each in walks if isinstance(each, Walk)),
    )
    return merged([*moving, *using(moved, there, plan)])


def _line(dossier: Dossier, trip: Trip, row: DayRow, settings: Settings) -> DayLine:
    zone = dossier.location.zone
    weather = _weather(dossier, row)
    worst = _worst(dossier, row, settings)
    day = _day_words(row.day)
    plan = row.plan
    if plan is None:
        hangs, hand = _why_none(row), ""
        slack, light = _NEVER, "no plan"
    else:
        wished = sum(
            stop.wish_min
            for stop in dossier.stops_of(trip)
            if stop.id not in plan.left_out
        )
        light = f"{plan.must_min + plan.may_min:.0f} of {wished:.0f} min"
        if plan.left_out:
            light += f", {count_text(len(plan.left_out), 'stop')} left out"
        hangs, slack = "nothing", timedelta.max
        hand = ""
        if plan.critical is not None:
            leave_id = plan.critical.leave_id
            leave = next((s.name for s in plan.stops if s.stop_id == leave_id), "")
            hangs = limit_text(plan.critical, leave, zone, settings)
            slack = plan.critical.slack
            hand = spare_text(slack)
    texts = (day, light, hand, _WEATHER[weather], worst[1], hangs)
    return DayLine(
        texts=texts,
        keys=(row.day, row.value, slack, -weather, worst[0], hangs),
        hint=". ".join(text.rstrip(".") for text in texts if text) + ".",
        row=row,
    )


def _why_none(row: DayRow) -> str:
    if row.planned is None:
        return row.refusal
    answer = row.planned.answer
    assert isinstance(answer, Conflict)
    told = "; ".join(obstacle_text(each) for each in answer.obstacles)
    return f"{told[:1].upper()}{told[1:]}."


def _worst(dossier: Dossier, row: DayRow, settings: Settings) -> tuple[int, str]:
    """How bad the worst finding is, and which."""
    if row.worst is None:
        return len(Severity), ""
    words = finding_words(row.worst, dossier.location.zone, settings, row.day)
    return row.worst.severity.rank, f"{words.severity_word}: {words.title}"


def _weather(dossier: Dossier, row: DayRow) -> int:
    """2: a forecast for all of it; 1: for some hours; 0: none."""
    plan = row.plan
    span = local_day(row.day, dossier.location.zone)
    if plan is not None and plan.length:
        span = Span(plan.start, plan.finish)
    forecast = next(iter(dossier.forecasts), None)
    if forecast is None:
        return 0
    if is_covered(forecast.hours, span):
        return 2
    return int(bool(hours_over(forecast.hours, span)))


def _day_words(day: date) -> str:
    return f"{short_date_text(day)} {day.year}"
