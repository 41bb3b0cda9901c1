"""How much wanted light a stay keeps, on ticks: the tables the search looks into."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from fieldtrip.times import Span
from fieldtrip.trips.question import Wish
from fieldtrip.trips.travel import Clock, Ints

NEVER = -1  # no tick of arrival is early enough


@dataclass(frozen=True, slots=True)
class Level:
    """So many minutes of wanted light, and until when to arrive for them."""

    minutes: int
    latest: Ints  # tick of arrival, by the tick of leaving; NEVER: not to be had


@dataclass(frozen=True, slots=True)
class Stay:
    """What a stop asks, by the tick at which it is left."""

    levels: tuple[Level, ...]  # least light first
    last_call: Ints  # the latest arrival for the least before its light ends for good
    from_tick: Ints  # not to be there before; 0 where it does not matter

    def latest(self, level: Level, slack: int) -> Ints:
        """Until when to arrive for a level with some ticks to spare; NEVER: not."""
        tick = np.minimum(level.latest, self.last_call - slack)
        return np.where(tick >= self.from_tick, tick, NEVER)

    def leaving(self) -> Ints:
        """The first tick of leaving, by the tick of arrival, with the least light.

        As many ticks as there are where there is none.
        """
        latest = self.latest(self.levels[0], 0)
        count = len(latest)
        first = np.full(count, count, dtype=np.int64)
        ticks = np.flatnonzero(latest >= 0)
        np.minimum.at(first, latest[ticks], ticks)
        result: Ints = np.minimum.accumulate(first[::-1])[::-1]
        return result


def stay_of(
    wish: Wish, clock: Clock, slack: int = 0, *, only_least: bool = False
) -> Stay:
    """The tables of a stop; `slack` ticks are kept free before it floods."""
    if wish.pinned is None:
        levels, last_call = _levels(wish, clock, only_least)
    else:
        levels, last_call = _pinned(wish, wish.pinned, clock)
    if wish.by is not None:
        by = max(clock.tick_down(wish.by), NEVER)
        levels = tuple(
            Level(level.minutes, np.minimum(level.latest, by)) for level in levels
        )
        last_call = np.minimum(last_call, by)
    count = clock.ticks
    from_tick = np.zeros(count, dtype=np.int64)
    if wish.dry is not None:
        from_tick[:] = count + 1
        for span in wish.dry.spans:
            first, last = dry_ticks(wish, span, clock)
            if last < clock.ticks - 1:
                last -= slack
            if last >= max(first, 0):
                from_tick[max(first, 0) : last + 1] = max(first, 0)
    return Stay(levels, last_call, from_tick)


def dry_ticks(wish: Wish, span: Span, clock: Clock) -> tuple[int, int]:
    """The first and the last tick to be at a stop within one of its dry spans."""
    assert wish.dry is not None
    return clock.tick_up(span.start), clock.tick_down(span.stop - wish.dry.reserve)


def wanted_ticks(wish: Wish, clock: Clock) -> list[tuple[int, int]]:
    """The wanted spans in ticks, rounded inward and cut to the clock."""
    found = []
    for span in wish.wanted:
        first = max(clock.tick_up(span.start), 0)
        last = min(clock.tick_down(span.stop), clock.ticks - 1)
        if last > first or (last == first and wish.least_min == 0.0):
            found.append((first, last))
    return found


def setup_ticks(wish: Wish, clock: Clock) -> int:
    """The time to set up, rounded up."""
    return math.ceil(wish.setup_min / clock.step)


def least_ticks(wish: Wish, clock: Clock) -> int:
    """The least light, rounded up."""
    return math.ceil(wish.least_min / clock.step)


def light_end(wish: Wish, clock: Clock, tick: int) -> tuple[int, datetime] | None:
    """When the wanted light ends in which a stay that ends at a tick was.

    As a tick and as an instant; None where it goes on for longer than the trip.
    """
    found = None
    for span in wish.wanted:
        first, last = clock.tick_up(span.start), clock.tick_down(span.stop)
        if last < first or first > tick:
            continue
        found = None if last >= clock.ticks - 1 else (max(last, 0), span.stop)
    return found


def _levels(
    wish: Wish, clock: Clock, only_least: bool
) -> tuple[tuple[Level, ...], Ints]:
    count, setup = clock.ticks, setup_ticks(wish, clock)
    kept = np.zeros(count, dtype=np.int64)
    spans = wanted_ticks(wish, clock)
    for first, last in spans:
        kept[first + 1 : last + 1] += 1
    kept = np.cumsum(kept)  # wanted ticks by each tick
    least = least_ticks(wish, clock)
    most = max(least, math.ceil(wish.wish_min / clock.step))
    if only_least:
        most = least
    levels = []
    for ticks in range(least, most + 1):
        latest = _latest(kept, kept - ticks, setup)
        if ticks > least and not (latest >= 0).any():
            break
        levels.append(Level(min(int(wish.wish_min), ticks * clock.step), latest))
    end = _ends(spans, count)
    call = _latest(kept, kept[end] - least, setup, end)
    return tuple(levels), np.where((end >= count - 1) | (least == 0), 2 * count, call)


def _latest(kept: Ints, needed: Ints, setup: int, by: Ints | None = None) -> Ints:
    """The latest arrival after which the light kept goes up from `needed`."""
    ready = np.searchsorted(kept, needed, "right") - 1
    leave = np.arange(len(kept)) if by is None else by
    arrive = np.minimum(ready, leave) - setup
    return np.where((needed >= 0) & (arrive >= 0), arrive, NEVER)


def _ends(spans: list[tuple[int, int]], count: int) -> Ints:
    """By each tick the last one of the wanted span it lies in, or of the one before.

    The tick itself where none has begun.
    """
    end = np.arange(count)
    for index, (first, last) in enumerate(spans):
        until = spans[index + 1][0] if index + 1 < len(spans) else count
        end[first:until] = np.maximum(last, 0)
    return end


def _pinned(wish: Wish, pinned: Span, clock: Clock) -> tuple[tuple[Level, ...], Ints]:
    count = clock.ticks
    latest = np.full(count, NEVER, dtype=np.int64)
    arrive, leave = clock.tick_down(pinned.start), clock.tick_up(pinned.stop)
    if arrive >= 0 and leave < count:
        latest[leave] = arrive
    minutes = int(min(wish.wish_min, kept_minutes(wish, pinned.start, pinned.stop)))
    return (Level(minutes, latest),), np.where(latest >= 0, latest, NEVER)


def light_of(wish: Wish, arrive: datetime, leave: datetime) -> tuple[Span, ...]:
    """The wanted light of a stay, once set up."""
    ready = arrive + timedelta(minutes=wish.setup_min)
    clipped = (
        Span(max(span.start, ready), min(span.stop, leave)) for span in wish.wanted
    )
    return tuple(span for span in clipped if span.stop > span.start)


def kept_minutes(wish: Wish, arrive: datetime, leave: datetime) -> float:
    """The minutes of wanted light of a stay, at most as many as were wished."""
    total = sum(span.length.total_seconds() for span in light_of(wish, arrive, leave))
    return min(wish.wish_min, total / 60.0)
