"""When one arrives: tables by the minute for every way, and between the places.

Walks are rounded up to whole minutes and windows rounded inward.  One may wait before
any piece of way, but not between two that lie on the sands.  So whoever leaves later
never arrives earlier, and the earliest way is found as if it took the same time always.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from fieldtrip.trips.question import OpenIn, Question, Way, WayKind
from fieldtrip.trips.walking import daylight_minutes

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
_MINUTE = timedelta(minutes=1)
_TINY = 1e-9
_MOST_CHAINS = 400  # of pieces on the sands, from one place where one may wait


@dataclass(frozen=True, slots=True)
class Clock:
    """Minutes since a base, and ticks of some minutes each."""

    base: datetime
    minutes: int  # the last minute that counts
    step: int  # minutes to a tick

    @property
    def ticks(self) -> int:
        """How many ticks there are, the one at the base among them."""
        return self.minutes // self.step + 1

    @property
    def never(self) -> int:
        """The minute that stands for not at all."""
        return self.minutes + 1

    def minute_up(self, at: datetime) -> int:
        """The first whole minute at or after an instant; may be negative."""
        return math.ceil((at - self.base) / _MINUTE - _TINY)

    def minute_down(self, at: datetime) -> int:
        """The last whole minute at or before an instant; may be negative."""
        return math.floor((at - self.base) / _MINUTE + _TINY)

    def tick_up(self, at: datetime) -> int:
        """The first tick at or after an instant."""
        return -(-self.minute_up(at) // self.step)

    def tick_down(self, at: datetime) -> int:
        """The last tick at or before an instant."""
        return self.minute_down(at) // self.step

    def instant(self, minute: int) -> datetime:
        """The instant of a minute."""
        return self.base + minute * _MINUTE


def clock_of(question: Question, step: int) -> Clock:
    """The clock of a question: whole steps of the hour within its span."""
    start = question.span.start
    hour = start.replace(minute=0, second=0, microsecond=0)
    base = hour + math.ceil((start - hour) / (step * _MINUTE)) * step * _MINUTE
    minutes = math.floor((question.span.stop - base) / _MINUTE + _TINY)
    return Clock(base, max(minutes, 0), step)


class Chain:
    """Pieces of way walked one right after the other, mostly only one."""

    def __init__(self, ways: Sequence[Way], tables: Sequence[_Piece]) -> None:
        self.ways, self._tables = tuple(ways), tables
        self.start, self.stop = ways[0].start, ways[-1].stop
        never = len(tables[0].raw) - 1
        reached = tables[0].through(np.arange(never + 1))
        for table in tables[1:]:
            reached = table.through(reached)
        self.begin = _next_where(reached < never)  # when one sets out, having waited
        self.arrive: Ints = reached[self.begin]  # by the minute at which one is there

    def pieces(self, minute: int) -> list[tuple[Way, int, int]]:
        """Each way with its first and last minute, if one is there at a minute."""
        at, found = int(self.begin[minute]), []
        for way, table in zip(self.ways, self._tables, strict=True):
            finish = int(table.raw[at])
            found.append((way, at, finish))
            at = finish
        return found


class Travel:
    """The ways of a question on a clock, with so much time to spare at each limit."""

    def __init__(self, question: Question, clock: Clock, slack: int = 0) -> None:
        self.clock, self._slack = clock, slack
        self._places = question.places
        self._paces = _Paces(question, clock)
        pieces = [self._piece(way) for way in question.ways]
        ends = {wish.place for wish in question.wishes}
        ends |= {p for p in (question.start, question.finish) if p is not None}
        self._chains = _chains(question, pieces, ends)
        self._from: list[list[Chain]] = [[] for _ in range(question.places)]
        for chain in self._chains:
            self._from[chain.start].append(chain)

    def arrivals(self, sources: Sequence[int]) -> Ints:
        """Earliest minute at every place, shape (source, place, tick of leaving)."""
        clock = self.clock
        shape = (len(sources), self._places, clock.ticks)
        found = np.full(shape, clock.never, dtype=np.int64)
        leaving = np.arange(clock.ticks) * clock.step
        for row, place in enumerate(sources):
            found[row, place] = leaving
        queue = deque(dict.fromkeys(sources))
        waiting = set(queue)
        while queue:
            place = queue.popleft()
            waiting.discard(place)
            for chain in self._from[place]:
                reached = chain.arrive[found[:, place]]
                now = found[:, chain.stop]
                if (reached < now).any():
                    np.minimum(now, reached, out=now)
                    if chain.stop not in waiting:
                        waiting.add(chain.stop)
                        queue.append(chain.stop)
        return found

    def way_between(
        self, start: int, stop: int, minute: int
    ) -> list[tuple[Way, int, int]]:
        """The earliest way from one place to another, leaving at a minute.

        Each piece with the minutes at which it begins and ends.  Of several that
        arrive together, the one of fewer pieces.  Raises `ValueError` where there is
        none.
        """
        best = {start: (minute, 0)}
        came: dict[int, tuple[Chain, int]] = {}
        done: set[int] = set()
        while True:
            left = [place for place in best if place not in done]
            if not left:
                raise ValueError(f"no way from {start} to {stop} at {minute}")
            place = min(left, key=lambda each: (*best[each], each))
            if place == stop:
                break
            done.add(place)
            at, count = best[place]
            for chain in self._from[place]:
                reached = int(chain.arrive[at])
                if reached >= self.clock.never or chain.stop in done:
                    continue
                value = (reached, count + len(chain.ways))
                if chain.stop not in best or value < best[chain.stop]:
                    best[chain.stop] = value
                    came[chain.stop] = chain, at
        found: list[tuple[Way, int, int]] = []
        while place != start:
            chain, at = came[place]
            found[:0] = chain.pieces(at)
            place = chain.start
        return found

    def latest_start(
        self, way: Way, minute: int
    ) -> tuple[int, OpenIn, datetime] | None:
        """The latest minute to set out on a way, in the windows of a minute.

        With the limit that sets it and when its span ends; None where none does.
        """
        raw = self._paces.raw(way)
        found: tuple[int, OpenIn, datetime] | None = None
        for limit in way.limits:
            for span in limit.spans:
                first, last = _inward(self.clock, limit, span.start, span.stop)
                if not (first <= minute and raw[minute] <= last < self.clock.minutes):
                    continue
                latest = int(np.searchsorted(raw, last, "right")) - 1
                if found is None or latest < found[0]:
                    found = latest, limit, span.stop
                break
        return found

    def _piece(self, way: Way) -> _Piece:
        raw = self._paces.raw(way)
        never = self.clock.never
        may = raw < never
        for limit in way.limits:
            allowed = np.zeros(len(raw), dtype=np.bool_)
            for span in limit.spans:
                first, last = _inward(self.clock, limit, span.start, span.stop)
                latest = int(np.searchsorted(raw, min(last, never - 1), "right")) - 1
                if last < self.clock.minutes:
                    latest -= self._slack
                if latest >= max(first, 0):
                    allowed[max(first, 0) : latest + 1] = True
            may &= allowed
        return _Piece(np.where(may, raw, never), raw)


@dataclass(frozen=True, slots=True)
class _Piece:
    """Arrivals by the minute of setting out at once."""

    at_once: Ints  # never where one must not
    raw: Ints  # whether one may or not

    def through(self, minutes: Ints) -> Ints:
        return self.at_once[minutes]


class _Paces:
    """When a walk is over, by the minute of its start and by the light."""

    def __init__(self, question: Question, clock: Clock) -> None:
        self._clock = clock
        self._known: dict[tuple[float, bool], Ints] = {}
        first = math.floor((clock.base - question.reach.start) / _MINUTE)
        dark = question.dark[max(first, 0) : first + clock.minutes]
        self._walked = daylight_minutes(dark, clock.minutes, question.dark_factor)

    def raw(self, way: Way) -> Ints:
        key = way.minutes, way.kind is WayKind.DRIVE
        if key not in self._known:
            self._known[key] = self._reckon(*key)
        return self._known[key]

    def _reckon(self, minutes: float, is_driven: bool) -> Ints:
        never = self._clock.never
        walked = np.arange(never, dtype=np.float64) if is_driven else self._walked
        reached = np.searchsorted(walked, walked + minutes - _TINY)
        return np.append(np.minimum(reached, never), never)


def _inward(
    clock: Clock, limit: OpenIn, start: datetime, stop: datetime
) -> tuple[int, int]:
    """The first and the last minute of a span, less its reserve."""
    return clock.minute_up(start), clock.minute_down(stop - limit.reserve)


def _next_where(mask: Flags) -> Ints:
    """For each index the next at or after it where a mask holds; else the last."""
    last = len(mask) - 1
    found = np.where(mask, np.arange(len(mask)), last)
    result: Ints = np.minimum.accumulate(found[::-1])[::-1]
    return result


def _chains(
    question: Question, pieces: Sequence[_Piece], ends: set[int]
) -> list[Chain]:
    """Every way by itself, and those on the sands strung together where they meet."""
    touching: dict[int, list[int]] = {}
    for index, way in enumerate(question.ways):
        touching.setdefault(way.start, []).append(index)
        touching.setdefault(way.stop, []).append(index)
    wet = {
        place
        for place, indices in touching.items()
        if place not in ends and all(question.ways[i].is_on_sands for i in indices)
    }
    leaving: dict[int, list[int]] = {}
    for index, way in enumerate(question.ways):
        leaving.setdefault(way.start, []).append(index)
    found: list[Chain] = []
    for place in sorted(leaving):
        if place in wet:
            continue
        strung = [[index] for index in leaving[place]]
        count = 0
        while strung and count < _MOST_CHAINS:
            indices = strung.pop()
            count += 1
            reached = question.ways[indices[-1]].stop
            if reached not in wet:
                ways = [question.ways[i] for i in indices]
                found.append(Chain(ways, [pieces[i] for i in indices]))
                continue
            been = {question.ways[i].start for i in indices}
            strung += [
                [*indices, index]
                for index in leaving.get(reached, ())
                if question.ways[index].stop not in been
            ]
    return found
