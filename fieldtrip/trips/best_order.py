"""The search: every order of every choice of stops, on the ticks of a clock.

A table over which stops are done, which was the last and when it was left holds the
best that can have been kept by then; it is filled for one number of stops after the
other, all their choices at once.  What counts is one whole number: first the wanted
light of stops that must be, then that of the others, then how short the trip is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldtrip.trips.light_kept import stay_of
from fieldtrip.trips.question import OpenIn, Question
from fieldtrip.trips.travel import Clock, Flags, Ints, Travel

_NO = np.int64(-(2**60))  # not possible
_MUST = 20_000  # a minute at a stop that must be, in minutes at one that may


@dataclass(frozen=True, slots=True)
class Visit:
    """A stop in an order found, in ticks."""

    index: int  # of the wish
    from_tick: int  # of leaving the place before; of no matter for a first stop
    by_tick: int  # until which it may be reached for its light
    leave: int


@dataclass(frozen=True, slots=True)
class Found:
    """An order and its times, in ticks."""

    light: int  # what counts of the light, musts before all others
    start: int
    visits: tuple[Visit, ...]
    finish: int

    @property
    def order(self) -> tuple[int, ...]:
        """The stops by their index, in order."""
        return tuple(visit.index for visit in self.visits)

    @property
    def must_min(self) -> int:
        """Minutes of wanted light at the stops that must be."""
        return self.light // _MUST

    @property
    def may_min(self) -> int:
        """Minutes of wanted light at the others."""
        return self.light % _MUST


class Roads:
    """When one gets from stop to stop, in ticks, with so much to spare at limits."""

    def __init__(
        self,
        question: Question,
        clock: Clock,
        slack: int = 0,
        travel: Travel | None = None,  # of the same ways on the same clock
        *,
        only_least: bool = False,  # enough to tell whether there is a plan
    ) -> None:
        self.clock, self.slack = clock, slack
        self.travel = travel or Travel(question, clock, slack * clock.step)
        self.stays = tuple(
            stay_of(wish, clock, slack, only_least=only_least)
            for wish in question.wishes
        )
        places = [wish.place for wish in question.wishes]
        has_start, has_finish = question.start is not None, question.finish is not None
        sources = list(dict.fromkeys(places))
        if question.start is not None and question.start not in sources:
            sources.append(question.start)
        table = self.travel.arrivals(sources)
        row = {place: index for index, place in enumerate(sources)}
        half = -(-int(question.break_min) // 2) if has_start and has_finish else None
        whole = -(-int(question.break_min) // 1)
        self.break_out = (half or 0) if has_finish else (whole if has_start else 0)
        self.break_back = whole - self.break_out if has_finish else 0
        count, step, never = clock.ticks, clock.step, clock.never
        self.start_ticks = _open_ticks(question.start_open, clock, 0)
        finish_ticks = _open_ticks(question.finish_open, clock, slack)
        finish_ticks[max(count - slack, 0) :] &= not question.has_latest_return
        self._next_finish = _next(finish_ticks)

        def ticks(minutes: Ints, rest: int = 0) -> Ints:
            late = np.where(minutes >= never, never, minutes + rest)
            found: Ints = np.minimum(-(-late // step), count)
            return found

        # Arrival ticks by the tick of leaving; `count` stands for never.
        self.between = [[ticks(table[row[i], j]) for j in places] for i in places]
        self.first = None
        if question.start is not None:
            out = table[row[question.start]]
            self.first = [ticks(out[j], self.break_out) for j in places]
        self.last: list[Ints] = []
        for i in places:
            back = np.arange(count)
            if question.finish is not None:
                back = ticks(table[row[i], question.finish], self.break_back)
            self.last.append(self._next_finish[back])

    def latest_departure(self, arrivals: Ints) -> Ints:
        """The last tick of leaving by each tick of arrival; -1 for none."""
        ticks = np.arange(self.clock.ticks)
        return np.searchsorted(arrivals, ticks, "right").astype(np.int64) - 1


class Search:
    """The filled table for one question and clock."""

    def __init__(self, question: Question, roads: Roads) -> None:
        self._question, self._roads = question, roads
        self._count = len(question.wishes)
        self._before = _before_masks(question)
        self._musts = sum(1 << i for i, w in enumerate(question.wishes) if w.is_must)
        self._scale = 4 * roads.clock.ticks
        self._back = [
            [roads.latest_departure(arrivals) for arrivals in row]
            for row in roads.between
        ]
        self._latest = [
            [(stay.latest(level, roads.slack), self._worth(index, level.minutes))
             for level in stay.levels]
            for index, stay in enumerate(roads.stays)
        ]  # fmt: skip
        self._start = self._starts()
        self._best = self._filled()
        self._ends = self._ended()

    def best(
        self, choose: Sequence[int] | None = None, not_last: int | None = None
    ) -> Found | None:
        """The best plan; of exactly some stops, or not ending at one, if asked."""
        wanted = None if choose is None else sum(1 << i for i in choose)
        ends = self._ends.copy()
        if not_last is not None:
            ends[:, not_last] = _NO
        sets = np.arange(len(ends))
        fits = (sets & self._musts) == self._musts if wanted is None else sets == wanted
        ends[~fits] = _NO
        if not self._count or ends.max() <= _NO // 2:
            return None
        done = int(ends.max(axis=1).argmax())
        # Of equals the one in the order of the stops, so that a plan that was
        # written down is found again.
        index = self._count - 1 - int(ends[done, ::-1].argmax())
        return self._traced(done, index, int(ends[done, index]))

    def _worth(self, index: int, minutes: int) -> int:
        is_must = self._question.wishes[index].is_must
        return minutes * (_MUST if is_must else 1) * self._scale

    def _starts(self) -> list[Ints]:
        """What it is worth to reach a first stop, by tick; later starts are shorter."""
        roads, count = self._roads, self._roads.clock.ticks
        if roads.first is None:
            return [np.arange(count, dtype=np.int64)] * self._count
        leaving = np.where(roads.start_ticks, np.arange(count), _NO)
        leaving = np.maximum.accumulate(leaving)
        return [_taken(leaving, roads.latest_departure(a)) for a in roads.first]

    def _filled(self) -> Ints:
        """Best by set done, last stop, and tick by which it is left."""
        size = 1 << self._count
        best = np.full((size, self._count, self._roads.clock.ticks), _NO)
        by_size: list[list[int]] = [[] for _ in range(self._count + 1)]
        for done in range(size):
            by_size[done.bit_count()].append(done)
        for sets in by_size[:-1]:
            for index in range(self._count):
                bit, before = 1 << index, self._before[index]
                chosen = [d for d in sets if not d & bit and not d & before]
                if not chosen:
                    continue
                reached = self._reached(best, np.array(chosen), index)
                left = np.full(reached.shape, _NO)
                for latest, worth in self._latest[index]:
                    # Mostly few ticks: the light is wanted for an hour or two.
                    ticks = np.flatnonzero(latest >= 0)
                    kept = reached.take(latest[ticks], axis=1) + worth
                    left[:, ticks] = np.maximum(left[:, ticks], kept)
                np.maximum.accumulate(left, axis=1, out=left)
                best[np.array(chosen) | bit, index] = left
        return best

    def _reached(self, best: Ints, sets: Ints, index: int) -> Ints:
        """What it is worth to be at a stop by each tick, having done some sets."""
        if not sets[0]:
            return self._start[index][np.newaxis]
        found = np.full((len(sets), self._roads.clock.ticks), _NO)
        for other in range(self._count):
            has = np.flatnonzero(sets >> other & 1)
            back = self._back[other][index]
            first = int(np.searchsorted(back, 0))  # before it nobody can be there
            if other != index and len(has) and first < len(back):
                value = best[sets[has], other].take(back[first:], axis=1)
                found[has, first:] = np.maximum(found[has, first:], value)
        return found

    def _ended(self) -> Ints:
        """The worth of every whole plan, by set done and last stop."""
        count = self._roads.clock.ticks
        ends = np.full(self._best.shape[:2], _NO)
        for index in range(self._count):
            finish = self._roads.last[index]
            fits = finish < count
            if fits.any():
                ends[:, index] = (self._best[:, index, fits] - finish[fits]).max(axis=1)
        return ends

    def _traced(self, done: int, index: int, worth: int) -> Found:
        """The plan that has a worth, backwards through the table."""
        roads, count = self._roads, self._roads.clock.ticks
        finish = roads.last[index]
        values = np.where(finish < count, self._best[done, index] - finish, _NO)
        leave = int(np.argmax(values == worth))
        value = int(self._best[done, index, leave])
        end = int(finish[leave])
        light = -(-worth // self._scale)
        visits: list[Visit] = []
        while True:
            leave = int(np.searchsorted(self._best[done, index], value))
            rest = done & ~(1 << index)
            reached = self._reached(self._best, np.array([rest]), index)[0]
            latest, value = next(
                (int(until[leave]), value - gain)
                for until, gain in self._latest[index]
                if until[leave] >= 0 and reached[until[leave]] + gain == value
            )
            by_tick = latest
            if not rest:
                start = value
                visits.append(Visit(index, start, by_tick, leave))
                break
            other = next(
                i
                for i in reversed(range(self._count))
                if rest >> i & 1
                and self._back[i][index][by_tick] >= 0
                and self._best[rest, i, self._back[i][index][by_tick]] == value
            )
            left = int(np.searchsorted(self._best[rest, other], value))
            visits.append(Visit(index, left, by_tick, leave))
            done, index = rest, other
        return Found(light, start, tuple(reversed(visits)), end)


def is_possible(question: Question, roads: Roads) -> bool:
    """Whether the stops that must be can all be had: the earliest way is enough."""
    musts = [i for i, wish in enumerate(question.wishes) if wish.is_must]
    if not musts:
        return bool(question.wishes) and any(
            _earliest(question, roads, [i]) for i in range(len(question.wishes))
        )
    return _earliest(question, roads, musts)


def _earliest(question: Question, roads: Roads, chosen: list[int]) -> bool:
    count, size = roads.clock.ticks, 1 << len(chosen)
    leaving = [np.append(roads.stays[i].leaving(), count) for i in chosen]
    before = _before_masks(question)
    mine = [
        sum(1 << k for k, other in enumerate(chosen) if before[i] >> other & 1)
        for i in chosen
    ]
    left = np.full((size, len(chosen)), count, dtype=np.int64)
    start = int(np.argmax(roads.start_ticks)) if roads.start_ticks.any() else count
    by_size: list[list[int]] = [[] for _ in range(len(chosen) + 1)]
    for done in range(size):
        by_size[done.bit_count()].append(done)
    for sets in by_size[:-1]:
        for k, index in enumerate(chosen):
            fit = np.array([d for d in sets if not d >> k & 1 and not d & mine[k]])
            if not len(fit):
                continue
            if not fit[0]:
                first = 0
                if roads.first is not None:
                    first = count if start >= count else int(roads.first[index][start])
                reached = np.array([first])
            else:
                reached = np.full(len(fit), count)
                for m, other in enumerate(chosen):
                    if m != k:
                        between = np.append(roads.between[other][index], count)
                        np.minimum(reached, between[left[fit, m]], out=reached)
            left[fit | 1 << k, k] = leaving[k][reached]
    ends = [
        int(np.append(roads.last[index], count)[left[size - 1, k]])
        for k, index in enumerate(chosen)
    ]
    return min(ends) < count


def _taken(values: Ints, ticks: Ints) -> Ints:
    """Values at some ticks of the last axis; not possible where a tick is below 0."""
    found: Ints = values[..., np.maximum(ticks, 0)]
    return np.where(ticks >= 0, found, _NO)


def _before_masks(question: Question) -> list[int]:
    """For each stop the set of those that may not be done before it."""
    place = {stop_id: rank for rank, stop_id in enumerate(question.order)}
    ranks = [place.get(wish.id) for wish in question.wishes]
    return [
        sum(
            1 << other
            for other, rank in enumerate(ranks)
            if mine is not None and rank is not None and rank > mine
        )
        for mine in ranks
    ]


def _open_ticks(limit: OpenIn | None, clock: Clock, slack: int) -> Flags:
    """At which ticks a place is open."""
    if limit is None:
        return np.ones(clock.ticks, dtype=np.bool_)
    found = np.zeros(clock.ticks, dtype=np.bool_)
    for span in limit.spans:
        first = clock.tick_up(span.start)
        last = clock.tick_down(span.stop - limit.reserve)
        if last < clock.ticks - 1:
            last -= slack
        if last >= max(first, 0):
            found[max(first, 0) : last + 1] = True
    return found


def _next(ticks: Flags) -> Ints:
    """The next tick at or after each at which a place is open; as many as there are."""
    count = len(ticks)
    found = np.append(np.where(ticks, np.arange(count), count), count)
    result: Ints = np.minimum.accumulate(found[::-1])[::-1]
    return result
