"""What stands in the way of a plan, and the least that a person can give up.

Asked by the minute, and only whether the stops that must be can all be had.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import combinations
from uuid import UUID

from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    Conflict,
    Obstacle,
    ObstacleKind,
    Relaxation,
    Step,
    StepKind,
)
from fieldtrip.trips.best_order import Roads, is_possible
from fieldtrip.trips.light_kept import stay_of
from fieldtrip.trips.question import LimitKind, Question, Wish
from fieldtrip.trips.travel import Clock, Travel, clock_of

MOST_MIN = 360  # later or earlier than this is another trip
MOST_STEPS = 3
MOST_RELAXATIONS = 6
_MINUTE = timedelta(minutes=1)
_OBSTACLES = {
    LimitKind.TIDE: ObstacleKind.TIDE,
    LimitKind.DAYLIGHT: ObstacleKind.DAYLIGHT,
    LimitKind.LIGHTS: ObstacleKind.LIGHTS,
    LimitKind.SHUT: ObstacleKind.SHUT,
}
_Key = tuple[int, Span, tuple[int, ...]]
_Loosen = Callable[[Question], Question]


def conflict_of(question: Question, *, in_full: bool = True) -> Conflict:
    """Why a question has no plan, and in full also what would help.

    Where no stop must be, that of the first one, as if it had to.
    """
    asked = _with_a_must(question)
    probe = _Probe()
    lightless = _lightless(asked)
    obstacles = lightless or _obstacles(asked, probe)
    helps = _relaxations(asked, obstacles, probe) if in_full else ()
    return Conflict(obstacles=obstacles, relaxations=helps)


def relaxed(question: Question, relaxation: Relaxation) -> Question:
    """The question with what a relaxation gives up."""
    for step in relaxation.steps:
        question = _given_up(question, step)
    return question


class _Probe:
    """Asks whether a question has a plan, and keeps the ways it has asked about."""

    def __init__(self) -> None:
        self._known: dict[_Key, tuple[Question, Clock, Travel]] = {}

    def is_free(self, question: Question) -> bool:
        """Whether the stops that must be can be had; so it is where there are none."""
        is_asked = any(wish.is_must for wish in question.wishes)
        return not is_asked or self.is_possible(question)

    def is_possible(self, question: Question) -> bool:
        """Whether there is a plan."""
        if not question.wishes:
            return False
        places = tuple(wish.place for wish in question.wishes)
        key = id(question.ways), question.span, places
        if key not in self._known:
            clock = clock_of(question, 1)
            # The question is kept too, so that no other one gets its identity.
            self._known[key] = question, clock, Travel(question, clock)
        _, clock, travel = self._known[key]
        roads = Roads(question, clock, 0, travel, only_least=True)
        return is_possible(question, roads)


def _with_a_must(question: Question) -> Question:
    if any(wish.is_must for wish in question.wishes):
        return question
    first = replace(question.wishes[0], is_must=True)
    return replace(question, wishes=(first, *question.wishes[1:]))


def _lightless(question: Question) -> tuple[Obstacle, ...]:
    """The first stop whose light does not come within the trip, whoever walks there."""
    clock = clock_of(question, 1)
    for wish in question.wishes:
        if not wish.is_must or wish.pinned is not None:
            continue
        alone = stay_of(replace(wish, dry=None), clock, only_least=True)
        if not (alone.levels[0].latest >= 0).any():
            return (Obstacle(ObstacleKind.NO_LIGHT, wish.name, wish.id),)
    return ()


# What stands in the way


def _obstacles(question: Question, probe: _Probe) -> tuple[Obstacle, ...]:
    """Limits that cannot all be kept; without any one of them there is a plan.

    One after the other is let go for good where there is no plan even so.
    """
    found: list[Obstacle] = []
    for obstacle, loosen in _limits(question):
        looser = loosen(question)
        if probe.is_free(looser):
            found.append(obstacle)
        else:
            question = looser
    if all(each.kind is ObstacleKind.STOP for each in found):
        found.append(Obstacle(ObstacleKind.NO_WAY, ""))
    return tuple(found)


def _limits(question: Question) -> list[tuple[Obstacle, _Loosen]]:
    """Every limit of a question, and the question without it."""
    found: list[tuple[Obstacle, _Loosen]] = []
    musts = [wish for wish in question.wishes if wish.is_must]
    for wish in reversed(musts):
        kind = ObstacleKind.STOP if wish.pinned is None else ObstacleKind.PINNED
        found.append((Obstacle(kind, wish.name, wish.id), _without_stop(wish)))
    if question.order:
        found.append((Obstacle(ObstacleKind.ORDER, ""), _without_order))
    if question.start_open is not None or question.finish_open is not None:
        found.append((Obstacle(ObstacleKind.PARKING, ""), _without_parking))
    for wish in musts:
        if wish.dry is not None:
            is_wet = wish.dry.kind is LimitKind.FLOODED
            kind = ObstacleKind.FLOODED if is_wet else ObstacleKind.SHUT
            if wish.id in question.unknown:
                kind = ObstacleKind.TIDE_UNKNOWN
            obstacle = Obstacle(kind, wish.name, wish.id)
            found.append((obstacle, _without_flood(wish)))
    for limit in _OBSTACLES:
        ways = [w for w in question.ways if any(x.kind is limit for x in w.limits)]
        for key, name in {(w.leg_id, w.name): w.name for w in ways}.items():
            leg_id = key[0]
            is_unknown = limit is LimitKind.TIDE and leg_id in question.unknown
            obstacle = Obstacle(
                ObstacleKind.TIDE_UNKNOWN if is_unknown else _OBSTACLES[limit],
                name,
                leg_id,
            )
            found.append((obstacle, _without_limit(limit, leg_id, name)))
    found.append((Obstacle(ObstacleKind.START, ""), _without_start))
    if question.has_latest_return:
        found.append((Obstacle(ObstacleKind.RETURN, ""), _without_return))
    return found


def _without_stop(wish: Wish) -> _Loosen:
    def loosen(question: Question) -> Question:
        rest = tuple(each for each in question.wishes if each.id != wish.id)
        return replace(question, wishes=rest)

    return loosen


def _without_flood(wish: Wish) -> _Loosen:
    return lambda question: _with_wish(question, replace(wish, dry=None))


def _without_limit(kind: LimitKind, leg_id: UUID | None, name: str) -> _Loosen:
    def loosen(question: Question) -> Question:
        ways = tuple(
            replace(way, limits=tuple(x for x in way.limits if x.kind is not kind))
            if (way.leg_id, way.name) == (leg_id, name)
            else way
            for way in question.ways
        )
        return replace(question, ways=ways)

    return loosen


def _without_order(question: Question) -> Question:
    return replace(question, order=())


def _without_parking(question: Question) -> Question:
    return replace(question, start_open=None, finish_open=None)


def _without_start(question: Question) -> Question:
    return replace(question, span=Span(question.reach.start, question.span.stop))


def _without_return(question: Question) -> Question:
    return replace(question, span=Span(question.span.start, question.reach.stop))


def _with_wish(question: Question, wish: Wish) -> Question:
    wishes = tuple(wish if w.id == wish.id else w for w in question.wishes)
    return replace(question, wishes=wishes)


# What would help


def _relaxations(
    question: Question, obstacles: Sequence[Obstacle], probe: _Probe
) -> tuple[Relaxation, ...]:
    """The fewest steps that help, each as small as it can be."""
    steps = _steps(question)
    touched = {each.record_id for each in obstacles}
    for count in range(1, MOST_STEPS + 1):
        found: list[Relaxation] = []
        for chosen in combinations(steps, count):
            # Whatever helps must touch what stands in the way.
            if not any(s.stop_id is None or s.stop_id in touched for s in chosen):
                continue
            if probe.is_possible(relaxed(question, Relaxation(chosen))):
                found.append(Relaxation(_smallest(question, chosen, probe)))
            if len(found) == MOST_RELAXATIONS:
                break
        if found:
            return tuple(found)
    return ()


def _steps(question: Question) -> list[Step]:
    """Everything that can be given up, as much of it as can be."""
    found: list[Step] = []
    reach, span = question.reach, question.span
    later = min(int((reach.stop - span.stop) / _MINUTE), MOST_MIN)
    earlier = min(int((span.start - reach.start) / _MINUTE), MOST_MIN)
    if question.has_latest_return and later > 0:
        found.append(Step(StepKind.LATER_RETURN, minutes=later))
    if earlier > 0:
        found.append(Step(StepKind.EARLIER_START, minutes=earlier))
    musts = [wish for wish in question.wishes if wish.is_must]
    for wish in musts:
        if wish.pinned is not None:
            found.append(Step(StepKind.UNPIN, wish.name, wish.id))
        elif wish.least_min > 1.0:
            less = int(wish.least_min - 1.0)
            found.append(Step(StepKind.LESS_LIGHT, wish.name, wish.id, less))
    if question.order:
        found.append(Step(StepKind.FREE_ORDER))
    # A trip of one stop less that stop is none.
    if len(question.wishes) > 1:
        found += [Step(StepKind.DROP, wish.name, wish.id) for wish in musts]
    return found


def _smallest(
    question: Question, steps: tuple[Step, ...], probe: _Probe
) -> tuple[Step, ...]:
    """The same steps, each with as few minutes as still help."""
    for index, step in enumerate(steps):
        low, high = 1, step.minutes
        while low < high:
            middle = (low + high) // 2
            tried = _exchanged(steps, index, replace(step, minutes=middle))
            if probe.is_possible(relaxed(question, Relaxation(tried))):
                high = middle
            else:
                low = middle + 1
        if step.minutes:
            steps = _exchanged(steps, index, replace(step, minutes=high))
    return steps


def _exchanged(steps: tuple[Step, ...], index: int, step: Step) -> tuple[Step, ...]:
    return (*steps[:index], step, *steps[index + 1 :])


def _given_up(question: Question, step: Step) -> Question:
    span, minutes = question.span, step.minutes * _MINUTE
    wish = next((w for w in question.wishes if w.id == step.stop_id), None)
    match step.kind:
        case StepKind.LATER_RETURN:
            return replace(question, span=Span(span.start, span.stop + minutes))
        case StepKind.EARLIER_START:
            return replace(question, span=Span(span.start - minutes, span.stop))
        case StepKind.FREE_ORDER:
            return replace(question, order=())
    if wish is None:
        return question
    match step.kind:
        case StepKind.DROP:
            return _without_stop(wish)(question)
        case StepKind.UNPIN:
            return _with_wish(question, replace(wish, pinned=None))
        case _:
            less = replace(wish, least_min=wish.least_min - step.minutes)
            return _with_wish(question, less)
