"""The scheduler: single trips, many days, and beside two peers in the same run.

One peer tries everything, in plain Python, on a trip small enough for it; the other is
a general constraint solver that comes with the extra ``bench``, given the very same
tables.  Both find the same optimum, or the bench says so.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from time import perf_counter
from uuid import UUID

import numpy as np

from fieldtrip.planning.planned import compare_days
from fieldtrip.times import Span
from fieldtrip.trips.answer import Plan
from fieldtrip.trips.best_order import Found, Roads, Search
from fieldtrip.trips.question import LimitKind, OpenIn, Question, Way, Wish
from fieldtrip.trips.schedule import schedule
from fieldtrip.trips.travel import clock_of
from fieldtrip.trips.wanted import SunBand
from tests.bench.rows import Row, best_s
from tests.planning.coast import OUTLOOK, coast, stop_at
from tests.safety.story import NOW, TRIP, VANTAGE, at
from tests.trips.plain_schedule import Plain
from tests.trips.random_trips import random_question

BASE = datetime(2027, 6, 5, 5, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def run() -> list[Row]:
    """Milliseconds a trip, seconds for sixty days, ratios beside the peers."""
    six, ten = a_day(6), a_day(10)
    small = next(q for q in map(random_question, range(99)) if _is_of_three(q))
    plain_s = best_s(partial(_tried, small), 1)
    six_ms, ten_ms = (1e3 * best_s(partial(schedule, q)) for q in (six, ten))
    solver, solver_s, is_same = _solver(six)
    search_ms = 1e3 * best_s(partial(_searched, six))
    days_s, shares, planned_days = _days()
    return [
        Row("6 stops, two shut legs, in full", six_ms, "ms"),
        Row("10 stops in full", ten_ms, "ms"),
        Row(
            "3 stops of one small trip",
            1e3 * best_s(partial(_searched, small)),
            "ms",
            "trying everything, the same optimum"
            if _tried(small) == _value(_searched(small))
            else "trying everything, ANOTHER OPTIMUM",
            1e3 * plain_s,
        ),
        Row(
            "6 stops, two shut legs, best light and length",
            search_ms,
            "ms",
            solver if is_same else f"{solver}, ANOTHER OPTIMUM",
            None if solver_s is None else 1e3 * solver_s,
        ),
        Row("60 days of one trip compared, with checks", days_s, "s"),
        Row("of them with a plan", float(planned_days), "days"),
        Row("calls of progress", float(shares), "calls"),
    ]


def a_day(stops: int) -> Question:
    """A day on a coast: stops on paths from one start, every third beyond a bar.

    The first two bars shut, each twice a day.
    """
    chance = np.random.default_rng(7)
    ways: list[Way] = []
    wishes = []
    for number in range(stops):
        place, junction = 2 * number + 1, 2 * number + 2
        shut: tuple[OpenIn, ...] = ()
        if number % 3 == 1 and number < 6:
            first = 150 + 40 * number
            spans = tuple(
                Span(BASE + a * MINUTE, BASE + (a + 320) * MINUTE)
                for a in (first, first + 745)
            )
            tide = OpenIn(kind=LimitKind.TIDE, spans=spans, reserve=30 * MINUTE)
            shut = (tide,)
        before = 0 if number == 0 else 2 * number
        ways += _both(before, junction, float(chance.integers(8, 20)), ())
        ways += _both(junction, place, float(chance.integers(5, 15)), shut)
        begin = 60 + 80 * number + int(chance.integers(0, 60))
        wishes.append(
            Wish(
                id=UUID(int=number + 1),
                name=f"stop {number + 1}",
                place=place,
                wanted=(Span(BASE + begin * MINUTE, BASE + (begin + 120) * MINUTE),),
                is_must=number < 3,
            )
        )
    return Question(
        span=Span(BASE, BASE + 17 * 60 * MINUTE),
        wishes=tuple(wishes),
        ways=tuple(ways),
        places=2 * stops + 1,
        dark=np.arange(17 * 60) > 16 * 60,
        start=0,
        finish=0,
    )


def _both(a: int, b: int, minutes: float, limits: tuple[OpenIn, ...]) -> list[Way]:
    leg_id = UUID(int=1000 + 100 * a + b)
    out = Way(
        start=a,
        stop=b,
        name=f"leg {a} {b}",
        minutes=minutes,
        leg_id=leg_id,
        limits=limits,
        is_on_sands=bool(limits),
    )
    return [out, replace(out, start=b, stop=a, is_reversed=True)]


def _is_of_three(question: Question) -> bool:
    plan = schedule(question)
    return isinstance(plan, Plan) and (len(plan.stops), plan.clock_min) == (3, 5)


def _tried(question: Question) -> tuple[int, int]:
    best = Plain(question, 5).best()
    assert best is not None
    return best.must_min, best.may_min


def _searched(question: Question) -> Found:
    found = Search(question, Roads(question, clock_of(question, 5))).best()
    assert found is not None
    return found


def _value(found: Found) -> tuple[int, int]:
    return found.must_min, found.may_min


def _days() -> tuple[float, int, int]:
    """Seconds for sixty days of a trip of four stops with its checks."""
    trip = replace(TRIP, earliest_start=at(11), latest_return=at(4, day=16))
    band = (SunBand(low_deg=-4.0, high_deg=20.0),)
    stops = [
        stop_at(VANTAGE if number == 1 else OUTLOOK, number, conditions=band)
        for number in (1, 2, 3, 4)
    ]
    stops = [replace(stops[0], is_must=False), *stops[1:]]
    calls: list[float] = []
    begin = perf_counter()
    rows = compare_days(
        coast(*stops, trip=trip),
        trip,
        date(2026, 8, 1),
        date(2026, 9, 29),
        NOW,
        None,
        calls.append,
    )
    took = perf_counter() - begin
    return took, len(calls), sum(row.plan is not None for row in rows)


def _solver(question: Question) -> tuple[str, float | None, bool]:
    """A constraint solver's time for the same light and length, and if it agrees."""
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        return "the solver is not installed: pip install 'fieldtrip[bench]'", None, True
    roads = Roads(question, clock_of(question, 5))
    begin = perf_counter()
    model = cp_model.CpModel()
    count, stops = roads.clock.ticks, range(len(question.wishes))
    depot = len(question.wishes)
    start = model.new_int_var(0, count - 1, "start")
    finish = model.new_int_var(0, count - 1, "finish")
    arrive = [model.new_int_var(0, count - 1, f"arrive {i}") for i in stops]
    leave = [model.new_int_var(0, count - 1, f"leave {i}") for i in stops]
    arcs, worth = [], []
    for i in stops:
        is_in = model.new_bool_var(f"in {i}")
        if question.wishes[i].is_must:
            model.add(is_in == 1)
        arcs.append((i, i, ~is_in))
        levels = []
        for level in roads.stays[i].levels:
            has = model.new_bool_var(f"level {i} {level.minutes}")
            latest = model.new_int_var(-1, count, "")
            model.add_element(
                leave[i], roads.stays[i].latest(level, 0).tolist(), latest
            )
            model.add(arrive[i] <= latest).only_enforce_if(has)
            levels.append(has)
            scale = 20_000 if question.wishes[i].is_must else 1
            worth.append(has * (level.minutes * scale * 4 * count))
        model.add(sum(levels) == is_in)
        assert roads.first is not None
        out, back = model.new_bool_var(""), model.new_bool_var("")
        reached, home = (model.new_int_var(0, count, "") for _ in range(2))
        model.add_element(start, roads.first[i].tolist(), reached)
        model.add(arrive[i] >= reached).only_enforce_if(out)
        model.add_element(leave[i], roads.last[i].tolist(), home)
        model.add(finish >= home).only_enforce_if(back)
        arcs += [(depot, i, out), (i, depot, back)]
        for j in stops:
            if i != j:
                goes = model.new_bool_var("")
                then = model.new_int_var(0, count, "")
                model.add_element(leave[i], roads.between[i][j].tolist(), then)
                model.add(arrive[j] >= then).only_enforce_if(goes)
                arcs.append((i, j, goes))
    model.add_circuit(arcs)
    model.maximize(sum(worth) + start - finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = 120.0
    status = solver.solve(model)
    took = perf_counter() - begin
    best = _searched(question)
    ours = best.light * 4 * count + best.start - best.finish
    is_same = status == cp_model.OPTIMAL and round(solver.objective_value) == ours
    return "a constraint solver on the same tables", took, is_same
