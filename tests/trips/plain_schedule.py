"""The scheduler's rules once more, by trying everything: slow, plain, and unrelated.

Nothing of the program's search is used: every order, every way, every minute of
setting out and every tick of leaving is tried.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import permutations
from uuid import UUID

from fieldtrip.trips.question import (
    LimitKind,
    OpenIn,
    Question,
    Way,
    WayKind,
    Wish,
)

MINUTE = timedelta(minutes=1)
ENOUGH = 30  # minutes of slack beyond which no more is sought
NO_LIMIT = 10**6
_ANY = LimitKind.WANTED


@dataclass(frozen=True, order=True)
class Value:
    """What counts, in order."""

    must_min: int
    may_min: int
    slack: int  # ticks
    shortness: int  # ticks, negative


class Plain:
    """One question on one clock."""

    def __init__(self, question: Question, step: int) -> None:
        self.q, self.step = question, step
        start = question.span.start
        self.base = start
        while (self.base.minute % step, self.base.second) != (0, 0):
            self.base += timedelta(seconds=1)
        self.last = int((question.span.stop - self.base) / MINUTE)
        self.count = self.last // step + 1
        self._ways: dict[tuple[int, int, int], list[tuple[int, int]]] = {}
        self._kept: dict[tuple[UUID, int, int], tuple[int, int] | None] = {}
        self._wanted: dict[UUID, set[int]] = {}
        self._over: dict[tuple[float, WayKind, int], int | None] = {}
        self._allowed: dict[tuple[int, int], int | None] = {}

    def minute(self, at: datetime) -> float:
        """Minutes since the base."""
        return (at - self.base) / MINUTE

    def best(self) -> Value | None:
        """The best of everything, or None where nothing is possible."""
        wishes = self.q.wishes
        found: list[Value] = []
        musts = {i for i, w in enumerate(wishes) if w.is_must}
        for size in range(1, len(wishes) + 1):
            for order in permutations(range(len(wishes)), size):
                if musts <= set(order) and self.keeps_order(order):
                    found += self.plans(order)
        return max(found, default=None)

    def keeps_order(self, order: tuple[int, ...]) -> bool:
        """Whether stops come as they were ordered."""
        ids = [self.q.wishes[i].id for i in order]
        ranks = [self.q.order.index(i) for i in ids if i in self.q.order]
        return ranks == sorted(ranks)

    def plans(self, order: tuple[int, ...]) -> Iterator[Value]:
        """Every plan of an order."""
        first = self.q.wishes[order[0]]
        rest_out, rest_back = self.rests()
        for tick in range(self.count):
            if self.q.start is None:
                yield from self.stay(order, 0, tick, tick, 0, 0, NO_LIMIT, rest_back)
            elif self.is_open(self.q.start_open, tick) is not None:
                leave = tick * self.step
                for minute, slack in self.ways(self.q.start, first.place, leave):
                    at = self.tick_up(minute + rest_out)
                    yield from self.stay(order, 0, tick, at, 0, 0, slack, rest_back)

    def stay(
        self,
        order: tuple[int, ...],
        rank: int,
        start: int,
        at: int,
        must: int,
        may: int,
        slack: int,
        rest_back: int,
    ) -> Iterator[Value]:
        """Every tick of leaving a stop that was reached at a tick."""
        wish = self.q.wishes[order[rank]]
        for leave in range(at, self.count):
            kept = self.kept(wish, at, leave)
            if kept is None:
                continue
            minutes, own_slack = kept
            now = (must + minutes, may) if wish.is_must else (must, may + minutes)
            less = min(slack, own_slack)
            if rank + 1 < len(order):
                there = self.q.wishes[order[rank + 1]].place
                for minute, way in self.ways(wish.place, there, leave * self.step):
                    yield from self.stay(
                        order, rank + 1, start, self.tick_up(minute), *now,
                        min(less, way), rest_back,
                    )  # fmt: skip
            elif self.q.finish is None:
                yield from self.end(start, leave, *now, less)
            else:
                back = self.ways(wish.place, self.q.finish, leave * self.step)
                for minute, way in back:
                    at_end = self.tick_up(minute + rest_back)
                    yield from self.end(start, at_end, *now, min(less, way))

    def end(
        self, start: int, at: int, must: int, may: int, slack: int
    ) -> Iterator[Value]:
        """Every tick at which a plan may be over."""
        for finish in range(at, self.count):
            left = self.is_open(self.q.finish_open, finish)
            if left is None:
                continue
            less = min(slack, left * self.step)
            if self.q.has_latest_return:
                less = min(less, (self.count - 1 - finish) * self.step)
            yield Value(must, may, min(less, ENOUGH) // self.step, start - finish)

    def rests(self) -> tuple[int, int]:
        """Minutes of rest on the way out and on the way back."""
        rest = math.ceil(self.q.break_min)
        has_start, has_finish = self.q.start is not None, self.q.finish is not None
        if has_start and has_finish:
            return math.ceil(rest / 2), rest - math.ceil(rest / 2)
        return (rest, 0) if has_start else (0, rest if has_finish else 0)

    def tick_up(self, minute: float) -> int:
        """The tick at or after a minute."""
        return math.ceil(minute / self.step)

    def is_open(self, limit: OpenIn | None, tick: int) -> int | None:
        """How many ticks longer a place is open; None where it is shut."""
        if limit is None:
            return NO_LIMIT
        for span in limit.spans:
            first = math.ceil(self.minute(span.start) / self.step)
            last = math.floor(self.minute(span.stop - limit.reserve) / self.step)
            if first <= tick <= last:
                return NO_LIMIT if last >= self.count - 1 else last - tick
        return None

    # Light

    def kept(self, wish: Wish, at: int, leave: int) -> tuple[int, int] | None:
        """Minutes of wanted light of a stay, and the slack in minutes; None: not."""
        key = wish.id, at, leave
        if key not in self._kept:
            self._kept[key] = self.reckon_kept(wish, at, leave)
        return self._kept[key]

    def reckon_kept(self, wish: Wish, at: int, leave: int) -> tuple[int, int] | None:
        """The same, reckoned anew."""
        slack = NO_LIMIT
        if wish.dry is not None:
            ends = [
                (first, last)
                for first, last in self.inward(wish.dry)
                if first <= leave <= last
            ]
            if not ends:
                return None
            at = max(at, ends[0][0])
            if ends[0][1] < self.count - 1:
                slack = (ends[0][1] - leave) * self.step
        if at > leave:
            return None
        if wish.pinned is not None:
            arrive = math.floor(self.minute(wish.pinned.start) / self.step)
            if leave != math.ceil(self.minute(wish.pinned.stop) / self.step):
                return None
            if at > arrive:
                return None
            ready = wish.pinned.start + wish.setup_min * MINUTE
            light = sum(
                max((min(s.stop, wish.pinned.stop) - max(s.start, ready)) / MINUTE, 0)
                for s in wish.wanted
            )
            late = (arrive - at) * self.step
            return int(min(light, wish.wish_min)), min(slack, late)
        least = math.ceil(wish.least_min / self.step)
        setup = math.ceil(wish.setup_min / self.step)
        ticks = self.light(wish, at + setup, leave)
        if at + setup > leave or ticks < least:
            return None
        if least:
            end = self.light_end(wish, leave)
            if end < self.count - 1:
                call = max(
                    a
                    for a in range(self.count)
                    if self.light(wish, a + setup, end) >= least
                )
                slack = min(slack, (call - at) * self.step)
        return min(ticks * self.step, int(wish.wish_min)), slack

    def inward(self, limit: OpenIn) -> list[tuple[int, int]]:
        """Spans in ticks, rounded inward."""
        return [
            (
                math.ceil(self.minute(span.start) / self.step),
                math.floor(self.minute(span.stop - limit.reserve) / self.step),
            )
            for span in limit.spans
        ]

    def light(self, wish: Wish, start: int, stop: int) -> int:
        """Wanted ticks between two."""
        if wish.id not in self._wanted:
            spans = self.inward(OpenIn(kind=_ANY, spans=wish.wanted))
            self._wanted[wish.id] = {
                tick
                for first, last in spans
                for tick in range(max(first, 0), min(last, self.count - 1))
            }
        wanted = self._wanted[wish.id]
        return sum(tick in wanted for tick in range(start, stop))

    def light_end(self, wish: Wish, leave: int) -> int:
        """The last tick of the wanted light in which a stay was."""
        spans = self.inward(OpenIn(kind=_ANY, spans=wish.wanted))
        ends = [last for first, last in spans if last > first and first <= leave]
        return max(ends, default=leave)

    # Ways

    def ways(self, start: int, stop: int, minute: int) -> list[tuple[int, int]]:
        """Every way without a place twice: arrival minute, and the least slack."""
        key = start, stop, minute
        if key not in self._ways:
            found = set(self.walked(start, stop, minute, (start,), NO_LIMIT, None))
            self._ways[key] = [
                each
                for each in sorted(found)
                if not any(a <= each[0] and s > each[1] for a, s in found)
                and not any(a < each[0] and s >= each[1] for a, s in found)
            ]
        return self._ways[key]

    def walked(
        self,
        here: int,
        stop: int,
        minute: int,
        been: tuple[int, ...],
        slack: int,
        before: Way | None,
    ) -> Iterator[tuple[int, int]]:
        """Every way on from a place."""
        if here == stop:
            yield minute, slack
            return
        ends = {w.place for w in self.q.wishes} | {self.q.start, self.q.finish}
        for way in self.q.ways:
            if way.start != here or way.stop in been:
                continue
            # On sands one waits only where the trip stops or the ground is dry.
            is_wet = here not in ends and all(
                w.is_on_sands for w in self.q.ways if here in (w.start, w.stop)
            )
            may_wait = before is None or not is_wet
            for begin in range(minute, self.last + 1 if may_wait else minute + 1):
                finish = self.finish(way, begin)
                if finish is None:
                    break
                left = self.allowed(way, begin, finish)
                if left is not None:
                    yield from self.walked(
                        way.stop, stop, finish, (*been, way.stop),
                        min(slack, left), way,
                    )  # fmt: skip
                    if not may_wait or not self.is_wet_next(way):
                        break

    def is_wet_next(self, way: Way) -> bool:
        """Whether after a way one cannot wait, so that setting out later may help."""
        ends = {w.place for w in self.q.wishes} | {self.q.start, self.q.finish}
        return way.stop not in ends and all(
            w.is_on_sands for w in self.q.ways if way.stop in (w.start, w.stop)
        )

    def finish(self, way: Way, begin: int) -> int | None:
        """When a walk is over, going minute by minute; None: after the trip."""
        key = way.minutes, way.kind, begin
        if key not in self._over:
            self._over[key] = self.reckon_finish(way, begin)
        return self._over[key]

    def reckon_finish(self, way: Way, begin: int) -> int | None:
        """The same, reckoned anew."""
        left, minute = way.minutes, begin
        first = int((self.base - self.q.reach.start) / MINUTE)
        while left > 1e-9:
            if minute >= self.last:
                return None
            index = first + minute
            is_dark = index < len(self.q.dark) and bool(self.q.dark[index])
            is_slow = is_dark and way.kind is not WayKind.DRIVE
            left -= 1.0 / self.q.dark_factor if is_slow else 1.0
            minute += 1
        return minute

    def allowed(self, way: Way, begin: int, finish: int) -> int | None:
        """By how many minutes a walk could start later; None: it is not allowed."""
        key = id(way), begin
        if key not in self._allowed:
            self._allowed[key] = self.reckon_allowed(way, begin, finish)
        return self._allowed[key]

    def reckon_allowed(self, way: Way, begin: int, finish: int) -> int | None:
        """The same, reckoned anew."""
        slack = NO_LIMIT
        for limit in way.limits:
            for span in limit.spans:
                first = math.ceil(self.minute(span.start))
                last = math.floor(self.minute(span.stop - limit.reserve))
                if first <= begin and finish <= last:
                    break
            else:
                return None
            if last < self.last:
                later = 0
                while True:
                    over = self.finish(way, begin + later + 1)
                    if over is None or over > last:
                        break
                    later += 1
                slack = min(slack, later)
        return slack
