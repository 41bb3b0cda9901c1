"""The scheduler against trying everything, and against the rules it must keep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import combinations, pairwise
from uuid import UUID

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    AlternativeKind,
    Conflict,
    Obstacle,
    ObstacleKind,
    Plan,
    PlannedWalk,
    Relaxation,
    StepKind,
)
from fieldtrip.trips.best_order import Roads, is_possible
from fieldtrip.trips.conflicts import relaxed
from fieldtrip.trips.question import LimitKind, OpenIn, PlanNote, Question, Way, Wish
from fieldtrip.trips.schedule import schedule, sought
from fieldtrip.trips.travel import clock_of
from tests.trips.plain_schedule import Plain, Value
from tests.trips.random_trips import BASE, MINUTE, random_question

TRIPS = range(300)
DAY = np.zeros(0, dtype=np.bool_)


@cache
def question(seed: int) -> Question:
    return random_question(seed)


@cache
def answer(seed: int) -> Plan | Conflict:
    return schedule(question(seed))


def way(start: int, stop: int, minutes: float, **changes: object) -> Way:
    return replace(
        Way(start=start, stop=stop, name=f"way {start}{stop}", minutes=minutes),
        **changes,  # type: ignore[arg-type]
    )


def both_ways(a: int, b: int, minutes: float, *limits: OpenIn) -> tuple[Way, ...]:
    leg_id = UUID(int=100 + 10 * a + b)
    one = way(a, b, minutes, name=f"leg {a}{b}", leg_id=leg_id, limits=limits)
    return one, replace(one, start=b, stop=a, is_reversed=True)


def wish(number: int, place: int, first: int, last: int, **changes: object) -> Wish:
    made = Wish(
        id=UUID(int=number),
        name=f"stop {number}",
        place=place,
        wanted=(Span(BASE + first * MINUTE, BASE + last * MINUTE),),
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def trip(*wishes: Wish, ways: tuple[Way, ...], minutes: int = 240) -> Question:
    """From place 0 and back, from BASE on."""
    return Question(
        span=Span(BASE, BASE + minutes * MINUTE),
        known=Span(BASE, BASE + (minutes + 120) * MINUTE),
        wishes=wishes,
        ways=ways,
        places=4,
        dark=DAY,
        start=0,
        finish=0,
    )


def plan_for(asked: Question) -> Plan:
    found = schedule(asked)
    assert isinstance(found, Plan)
    return found


def conflict_for(asked: Question) -> Conflict:
    found = schedule(asked)
    assert isinstance(found, Conflict)
    return found


# Against trying everything


@pytest.mark.slow
def test_the_optimum_is_that_of_trying_everything() -> None:
    possible = 0
    for seed in TRIPS:
        asked = question(seed)

        expected = Plain(asked, 5).best()

        free = Roads(asked, clock_of(asked, 5))
        assert is_possible(asked, free) == (expected is not None), seed
        if expected is not None:
            best = sought(asked, free)
            found = best.found
            value = Value(
                found.must_min, found.may_min, best.slack, found.start - found.finish
            )
            assert value == expected, seed
            possible += 1
    assert 100 < possible < 250  # some of each kind


@pytest.mark.slow
def test_what_is_called_impossible_is_so_by_the_minute() -> None:
    seeds = [s for s in TRIPS if isinstance(answer(s), Conflict)]
    small = [s for s in seeds if sum(w.is_must for w in question(s).wishes) == 1]

    for seed in small[:12]:
        asked = question(seed)
        musts = tuple(w for w in asked.wishes if w.is_must)
        assert Plain(replace(asked, wishes=musts), 1).best() is None, seed
    assert len(small) >= 12


# Every plan keeps its limits


def test_every_walk_of_every_plan_keeps_its_limits() -> None:
    walked = 0
    for seed in TRIPS:
        plan, asked = answer(seed), question(seed)
        if not isinstance(plan, Plan):
            continue
        plain = Plain(asked, 1)
        for walk in plan.walks:
            ways = [w for w in asked.ways if is_walked(w, walk)]
            begin = int((walk.start - plain.base) / MINUTE)
            end = int((walk.finish - plain.base) / MINUTE)
            assert any(
                plain.finish(w, begin) == end
                and plain.allowed(w, begin, end) is not None
                for w in ways
            ), (seed, walk)
            walked += 1
        for one, other in pairwise(plan.walks):
            assert one.finish <= other.start
    assert walked > 300


def test_every_stay_of_every_plan_keeps_its_wishes() -> None:
    for seed in TRIPS:
        plan, asked = answer(seed), question(seed)
        if not isinstance(plan, Plan):
            continue
        wishes = {w.id: w for w in asked.wishes}
        assert {w.id for w in asked.wishes if w.is_must} <= {
            s.stop_id for s in plan.stops
        }
        for stop in plan.stops:
            asked_for = wishes[stop.stop_id]
            if asked_for.pinned is not None:
                assert Span(stop.arrive, stop.leave) == asked_for.pinned
            else:
                assert stop.wanted_min >= asked_for.least_min, seed
            if asked_for.dry is not None:
                assert any(
                    span.start <= stop.arrive
                    and stop.leave <= span.stop - asked_for.dry.reserve
                    for span in asked_for.dry.spans
                )
        assert asked.span.start <= plan.start
        if asked.has_latest_return:
            assert plan.finish <= asked.span.stop
        ranks = [asked.order.index(s.stop_id) for s in plan.stops if asked.order]
        assert ranks == sorted(ranks)


def test_stops_and_walks_follow_one_another() -> None:
    for seed in TRIPS:
        plan, asked = answer(seed), question(seed)
        if not isinstance(plan, Plan):
            continue
        place, at = asked.start, plan.start
        walks = list(plan.walks)
        for stop in plan.stops:
            target = next(w.place for w in asked.wishes if w.id == stop.stop_id)
            while place is not None and walks and place != target:
                walk = walks.pop(0)
                assert walk.start >= at
                place, at = walk.place_to, walk.finish
            assert place in (None, target)
            assert stop.arrive >= at or stop.arrive == plan.start
            place, at = target, stop.leave
        if asked.finish is not None:
            for walk in walks:
                assert walk.start >= at
                place, at = walk.place_to, walk.finish
            assert place == asked.finish


def test_nobody_waits_on_the_sands() -> None:
    for seed in TRIPS:
        plan, asked = answer(seed), question(seed)
        if not isinstance(plan, Plan):
            continue
        for one, other in pairwise(plan.walks):
            place = one.place_to
            touching = [w for w in asked.ways if place in (w.start, w.stop)]
            is_end = place in {w.place for w in asked.wishes} | {
                asked.start,
                asked.finish,
            }
            if not is_end and all(w.is_on_sands for w in touching):
                assert one.finish == other.start, seed


def is_walked(way: Way, walk: PlannedWalk) -> bool:
    return (way.start, way.stop, way.leg_id, way.name) == (
        walk.place_from,
        walk.place_to,
        walk.leg_id,
        walk.name,
    )


# How long one may stay


def test_a_stop_may_be_left_as_late_as_said_and_no_later() -> None:
    tried = 0
    for seed in TRIPS:
        plan, asked = answer(seed), question(seed)
        if not isinstance(plan, Plan) or plan.clock_min != 5:
            continue
        for stop in plan.stops:
            if stop.leave_by is None:
                continue
            assert stop.leave_by >= stop.leave, seed
            late = fixed(asked, plan, stop.stop_id, stop.leave_by)
            later = fixed(asked, plan, stop.stop_id, stop.leave_by + 5 * MINUTE)
            assert is_possible(late, Roads(late, clock_of(late, 5))), seed
            assert not is_possible(later, Roads(later, clock_of(later, 5))), seed
            tried += 1
    assert tried > 100


def fixed(asked: Question, plan: Plan, stop_id: UUID, leave: object) -> Question:
    """The rest of a plan in its order, from a stop that is left at a time."""
    order = [stop.stop_id for stop in plan.stops]
    rest = order[order.index(stop_id) :]
    wishes = {w.id: replace(w, is_must=True) for w in asked.wishes}
    pinned = Span(leave, leave)  # type: ignore[arg-type]
    first = replace(wishes[stop_id], pinned=pinned, dry=None, setup_min=0.0)
    return replace(
        asked,
        start=None,
        break_min=asked.break_min if asked.start is None else asked.break_min // 2,
        wishes=(first, *(wishes[each] for each in rest[1:])),
        order=tuple(rest),
    )


# What stands in the way, and what helps


def test_each_obstacle_is_one() -> None:
    tried = 0
    for seed in TRIPS:
        found, asked = answer(seed), question(seed)
        if not isinstance(found, Conflict):
            continue
        assert not has_plan(with_only(asked, found.obstacles)), seed
        for obstacle in found.obstacles:
            if obstacle.kind is ObstacleKind.NO_WAY:
                continue  # no limit, but that no way leads there
            rest = [each for each in found.obstacles if each is not obstacle]
            assert has_plan(with_only(asked, rest)), (seed, obstacle)
            tried += 1
    assert tried > 200


def has_plan(asked: Question) -> bool:
    return not asked.wishes or isinstance(schedule(asked), Plan)


def with_only(asked: Question, obstacles: Sequence[Obstacle]) -> Question:
    """The question with no other limits than some; a stop's own light stays."""
    kept = {(o.kind, o.record_id) for o in obstacles}
    kinds = {kind for kind, _ in kept}
    must = (ObstacleKind.STOP, ObstacleKind.PINNED, ObstacleKind.NO_LIGHT)
    is_of_light = ObstacleKind.NO_LIGHT in kinds
    is_late = ObstacleKind.RETURN in kinds or not asked.has_latest_return
    span, reach = asked.span, asked.reach
    return replace(
        asked,
        span=Span(
            span.start if ObstacleKind.START in kinds or is_of_light else reach.start,
            span.stop if is_late or is_of_light else reach.stop,
        ),
        wishes=tuple(
            w if (ObstacleKind.FLOODED, w.id) in kept else replace(w, dry=None)
            for w in asked.wishes
            if any((kind, w.id) in kept for kind in must)
        ),
        ways=tuple(
            replace(
                w,
                limits=tuple(
                    x
                    for x in w.limits
                    if (ObstacleKind(x.kind.value), w.leg_id) in kept
                ),
            )
            for w in asked.ways
        ),
        order=asked.order if ObstacleKind.ORDER in kinds else (),
        start_open=asked.start_open if ObstacleKind.PARKING in kinds else None,
        finish_open=asked.finish_open if ObstacleKind.PARKING in kinds else None,
    )


def test_each_relaxation_helps_and_none_of_its_parts_does() -> None:
    tried = 0
    for seed in TRIPS[:150]:
        found, asked = answer(seed), question(seed)
        if not isinstance(found, Conflict):
            continue
        for relaxation in found.relaxations:
            assert isinstance(schedule(relaxed(asked, relaxation)), Plan), seed
            steps = relaxation.steps
            for count in range(1, len(steps)):
                for part in combinations(steps, count):
                    less = relaxed(asked, Relaxation(part))
                    assert isinstance(schedule(less), Conflict), (seed, part)
            for index, step in enumerate(steps):
                if step.minutes > 1:
                    smaller = replace(step, minutes=step.minutes - 1)
                    part = (*steps[:index], smaller, *steps[index + 1 :])
                    less = relaxed(asked, Relaxation(part))
                    assert isinstance(schedule(less), Conflict), (seed, part)
            tried += 1
    assert tried > 30


# Single trips


def test_of_equal_light_the_plan_with_more_slack_is_taken() -> None:
    asked = trip(wish(1, 1, 60, 180, wish_min=30.0), ways=both_ways(0, 1, 20.0))

    plan = plan_for(asked)

    assert plan.must_min == 30.0
    assert plan.slack is not None
    assert plan.slack >= 30 * MINUTE
    assert plan.length == 20 * 2 * MINUTE + 15 * MINUTE + 30 * MINUTE


def test_the_critical_limit_says_when_the_way_back_shuts() -> None:
    shuts = BASE + 145 * MINUTE
    open_till = OpenIn(
        kind=LimitKind.TIDE,
        spans=(Span(BASE - 60 * MINUTE, shuts),),
        reserve=30 * MINUTE,
    )
    asked = trip(
        wish(1, 1, 40, 200, least_min=60.0, wish_min=60.0),
        ways=both_ways(0, 1, 10.0, open_till),
    )

    plan = plan_for(asked)

    critical = plan.critical
    assert critical is not None
    assert critical.kind is LimitKind.TIDE
    assert critical.at == shuts
    assert critical.by == shuts - 40 * MINUTE  # the reserve, and the way itself
    assert critical.leave_by == critical.by
    assert critical.leave_id == UUID(int=1)
    assert plan.stops[0].leave_by == plan.stops[0].turn_back == critical.by


def test_a_stop_that_may_be_left_out_gives_way() -> None:
    must = wish(1, 1, 60, 90, least_min=30.0, wish_min=30.0)
    may = wish(2, 2, 60, 90, is_must=False)

    plan = plan_for(trip(may, must, ways=both_ways(0, 1, 10.0) + both_ways(0, 2, 10.0)))

    assert [stop.stop_id for stop in plan.stops] == [must.id]
    assert plan.left_out == (may.id,)


def test_other_orders_and_fewer_stops_are_offered() -> None:
    ways = both_ways(0, 1, 10.0) + both_ways(1, 2, 10.0) + both_ways(0, 2, 10.0)

    plan = plan_for(trip(wish(1, 1, 30, 200), wish(2, 2, 30, 200), ways=ways))

    order = tuple(stop.stop_id for stop in plan.stops)
    kinds = {a.kind: a for a in plan.alternatives}
    assert kinds[AlternativeKind.OTHER_ORDER].order == order[::-1]
    dropped = {
        a.dropped for a in plan.alternatives if a.kind is AlternativeKind.DROPPED
    }
    assert dropped == set(order)


def test_what_fits_only_by_the_minute_is_found() -> None:
    asked = trip(
        wish(1, 1, 61, 68, least_min=6.0, wish_min=6.0, setup_min=0.0),
        ways=both_ways(0, 1, 20.0),
    )

    plan = plan_for(asked)

    assert plan.clock_min == 1
    assert plan.stops[0].wanted_min == 6.0


def test_a_trip_goes_on_across_midnight() -> None:
    night = BASE + timedelta(hours=7)  # midnight in UTC
    asked = trip(wish(1, 1, 400, 500), ways=both_ways(0, 1, 20.0), minutes=600)

    plan = plan_for(asked)

    assert plan.start < night < plan.finish


def test_the_dark_slows_the_way_back() -> None:
    ways = both_ways(0, 1, 20.0)
    asked = replace(
        trip(wish(1, 1, 40, 70, wish_min=30.0), ways=ways),
        dark=np.arange(400) >= 70,
    )

    plan = plan_for(asked)

    out, back = plan.walks
    assert out.finish - out.start == 20 * MINUTE
    assert back.start >= BASE + 70 * MINUTE
    assert back.finish - back.start == 30 * MINUTE


def test_light_that_does_not_come_is_said() -> None:
    found = conflict_for(trip(wish(1, 1, 500, 520), ways=both_ways(0, 1, 20.0)))

    assert [o.kind for o in found.obstacles] == [ObstacleKind.NO_LIGHT]


def test_a_leg_with_unknown_tide_is_not_planned_across() -> None:
    never = OpenIn(kind=LimitKind.TIDE, spans=())
    ways = both_ways(0, 1, 20.0, never)
    asked = replace(
        trip(wish(1, 1, 60, 120), ways=ways), unknown=(ways[0].leg_id or UUID(int=0),)
    )

    found = conflict_for(asked)

    assert ObstacleKind.TIDE_UNKNOWN in {o.kind for o in found.obstacles}
    assert found.relaxations == ()


def test_a_later_return_is_proposed_to_the_minute() -> None:
    asked = trip(
        wish(1, 1, 60, 120, least_min=60.0, wish_min=60.0),
        ways=both_ways(0, 1, 33.0),
        minutes=130,
    )

    found = conflict_for(asked)

    later = [
        r.steps[0]
        for r in found.relaxations
        if r.steps[0].kind is StepKind.LATER_RETURN
    ]
    assert [step.minutes for step in later] == [120 + 33 - 130]


def test_without_a_start_or_a_latest_return_that_is_said() -> None:
    asked = replace(
        trip(wish(1, 1, 60, 120), ways=both_ways(0, 1, 20.0)),
        start=None,
        has_latest_return=False,
    )

    plan = plan_for(asked)

    notes = {caution.note for caution in plan.cautions}
    assert {PlanNote.NO_START, PlanNote.NO_LATEST_RETURN} <= notes
    assert plan.start == plan.stops[0].arrive
    assert LimitKind.RETURN not in {limit.kind for limit in plan.limits}


def test_the_same_question_has_the_same_answer() -> None:
    for seed in range(20):
        assert schedule(question(seed)) == answer(seed)


def test_a_plan_asked_for_in_its_own_order_is_found_again() -> None:
    plans = [(question(s), answer(s)) for s in TRIPS[:80]]
    tried = [(asked, plan) for asked, plan in plans if isinstance(plan, Plan)]
    assert len(tried) > 20

    for asked, plan in tried:
        rank = {stop.stop_id: place for place, stop in enumerate(plan.stops)}
        kept = sorted(
            (wish for wish in asked.wishes if wish.id in rank),
            key=lambda wish: rank[wish.id],
        )
        again = schedule(replace(asked, wishes=tuple(kept)), in_full=False)
        assert isinstance(again, Plan)
        assert again.stops == plan.stops
        assert again.walks == plan.walks


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"least_min": -5.0}, "least time must be from 0"),
        ({"wish_min": float("nan")}, "wished time must be from 0"),
        ({"setup_min": -1.0}, "time to set up must be from 0"),
        ({"wish_min": 5.0}, "below the least time"),
        ({"is_in_place": False}, "its vantage point is gone"),
    ],
)
def test_a_stop_that_makes_no_sense_is_refused(
    changes: dict[str, object], words: str
) -> None:
    asked = trip(wish(1, 1, 60, 120, **changes), ways=both_ways(0, 1, 20.0))

    with pytest.raises(UserError, match=words):
        schedule(asked)


def test_a_walk_of_no_minutes_is_refused() -> None:
    with pytest.raises(UserError, match="must take some time"):
        schedule(trip(wish(1, 1, 60, 120), ways=both_ways(0, 1, -3.0)))


def test_more_than_ten_stops_are_refused() -> None:
    wishes = [wish(n, 1, 60, 120) for n in range(1, 12)]

    with pytest.raises(UserError, match="At most 10 stops"):
        schedule(trip(*wishes, ways=both_ways(0, 1, 20.0)))


def test_a_trip_without_stops_is_refused() -> None:
    with pytest.raises(UserError, match="no stops yet"):
        schedule(trip(ways=both_ways(0, 1, 20.0)))
