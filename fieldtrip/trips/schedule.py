"""The best order and times of a trip, or what stands in the way.

Exact on a clock of five minutes; where nothing fits, once more by the minute.  Of
all plans the one that keeps most of the wanted light at the stops that must be, then
at the others; of those, one whose smallest slack is largest, as far as half an hour;
of those, the shortest.

The slack at a limit is how much later the plan could be there, taken by itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldtrip.trips.answer import Alternative, AlternativeKind, Conflict, Plan
from fieldtrip.trips.best_order import Found, Roads, Search, is_possible
from fieldtrip.trips.conflicts import conflict_of
from fieldtrip.trips.plan_making import plan_of
from fieldtrip.trips.question import Question
from fieldtrip.trips.travel import Clock, clock_of

STEP_MIN = 5
ENOUGH_MIN = 30  # more slack than this is not sought


@dataclass(frozen=True, slots=True)
class Sought:
    """The best order on a clock, with as much slack as keeps its light."""

    found: Found
    slack: int  # ticks to spare at every limit, as far as half an hour
    roads: Roads  # with that slack
    search: Search


def schedule(question: Question, *, in_full: bool = True) -> Plan | Conflict:
    """The best plan, or what stands in the way and what would help.

    Not in full, it comes without alternatives, or without what would help.
    Raises `UserError` for a question that cannot be planned at all.
    """
    question.check()
    for step in (STEP_MIN, 1):
        clock = clock_of(question, step)
        free = Roads(question, clock)
        if not is_possible(question, free):
            continue
        best = sought(question, free)
        plan = plan_of(question, free, best.roads, best.found)
        if not in_full:
            return plan
        others = tuple(_alternatives(question, clock, best.search, best.found))
        return replace(plan, alternatives=others)
    return conflict_of(question, in_full=in_full)


def has_plan(question: Question) -> bool:
    """Whether there is a plan at all; quicker than asking for it."""
    question.check()
    roads = Roads(question, clock_of(question, 1), only_least=True)
    return is_possible(question, roads)


def sought(question: Question, free: Roads) -> Sought:
    """The best order on roads without slack, on which there is one."""
    clock, search = free.clock, Search(question, free)
    found = search.best()
    if found is None:
        raise ValueError("nothing is possible on these roads")
    best = Sought(found, 0, free, search)
    # The largest slack that keeps the same light: all that is sought, or by halves.
    low, high = 0, -(-ENOUGH_MIN // clock.step)
    trial = high
    while trial > low:
        roads = Roads(question, clock, trial)
        search = Search(question, roads)
        found = search.best()
        if found is not None and found.light == best.found.light:
            best, low = Sought(found, trial, roads, search), trial
        else:
            high = trial - 1
        trial = (low + high + 1) // 2
    return best


def _alternatives(
    question: Question, clock: Clock, search: Search, best: Found
) -> list[Alternative]:
    """The best that ends at another stop, and the best without each of the stops."""
    order = best.order
    others: list[tuple[Found | None, int | None]] = [
        (search.best(order, not_last=order[-1]), None)
    ]
    if len(order) > 1:
        others += [
            (search.best([i for i in order if i != index]), index) for index in order
        ]
    return [
        Alternative(
            kind=AlternativeKind.OTHER_ORDER
            if dropped is None
            else AlternativeKind.DROPPED,
            order=tuple(question.wishes[i].id for i in found.order),
            dropped=None if dropped is None else question.wishes[dropped].id,
            must_min=found.must_min,
            may_min=found.may_min,
            start=clock.instant(found.start * clock.step),
            finish=clock.instant(found.finish * clock.step),
        )
        for found, dropped in others
        if found is not None
    ]
