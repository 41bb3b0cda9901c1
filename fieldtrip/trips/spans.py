"""Sets of times as spans: what belongs to all, to any, or to none of them.

A set is a tuple of spans in order that neither overlap nor touch, each longer
than nothing; `merged` makes one of any spans, and every function here gives one.
Single instants do not count: an end belongs to a span and to what lies beyond it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from functools import reduce

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.times import Span

Spans = tuple[Span, ...]
_NOTHING = timedelta()
_FEWER = 8  # times as many: from there on it pays to look things up


def merged(spans: Iterable[Span]) -> Spans:
    """The set of all that lies in any of some spans, in whatever order."""
    found: list[Span] = []
    for span in sorted(spans, key=lambda each: each.start):
        if span.stop <= span.start:
            continue
        if found and span.start <= found[-1].stop:
            if span.stop > found[-1].stop:
                found[-1] = Span(found[-1].start, span.stop)
        else:
            found.append(span)
    return tuple(found)


def union(one: Spans, other: Spans) -> Spans:
    """What lies in either."""
    return merged((*one, *other))


def intersection(one: Spans, other: Spans) -> Spans:
    """What lies in both."""
    if _FEWER * len(one) < len(other):
        return _intersection_of_few(one, other)
    if _FEWER * len(other) < len(one):
        return _intersection_of_few(other, one)
    found: list[Span] = []
    i = j = 0
    while i < len(one) and j < len(other):
        a, b = one[i], other[j]
        start = a.start if a.start > b.start else b.start
        if a.stop <= b.stop:
            stop = a.stop
            i += 1
        else:
            stop = b.stop
            j += 1
        if start < stop:
            found.append(Span(start, stop))
    return tuple(found)


def _intersection_of_few(few: Spans, many: Spans) -> Spans:
    """The same, without looking at every span of the larger set."""
    found: list[Span] = []
    j = 0
    for a in few:
        j = bisect_right(many, a.start, lo=j, key=_stop_of)
        while j < len(many) and many[j].start < a.stop:
            b = many[j]
            is_whole = a.start <= b.start and b.stop <= a.stop
            found.append(
                b if is_whole else Span(max(a.start, b.start), min(a.stop, b.stop))
            )
            if b.stop > a.stop:
                break
            j += 1
    return tuple(found)


def intersection_of(sets: Iterable[Spans], within: Span) -> Spans:
    """What lies in every set, and within a span; all of the span for no sets."""
    small_first = sorted(sets, key=len)
    if not small_first:
        return merged((within,))
    return clipped(reduce(intersection, small_first), within)


def complement(spans: Spans, within: Span) -> Spans:
    """What lies within a span and in none of a set."""
    found: list[Span] = []
    reached = within.start
    for span in spans:
        if span.start >= within.stop:
            break
        if span.start > reached:
            found.append(Span(reached, span.start))
        reached = max(reached, span.stop)
    if reached < within.stop:
        found.append(Span(reached, within.stop))
    return tuple(found)


def difference(one: Spans, other: Spans) -> Spans:
    """What lies in the first and not in the second."""
    if not one or not other:
        return one
    return intersection(one, complement(other, Span(one[0].start, one[-1].stop)))


def clipped(spans: Spans, within: Span) -> Spans:
    """What lies within a span."""
    first = bisect_right(spans, within.start, key=_stop_of)
    last = bisect_left(spans, within.stop, lo=first, key=_start_of)
    found = list(spans[first:last])
    if found and found[0].start < within.start:
        found[0] = Span(within.start, found[0].stop)
    if found and found[-1].stop > within.stop:
        found[-1] = Span(found[-1].start, within.stop)
    return merged(found) if within.start >= within.stop else tuple(found)


def eroded(spans: Spans, after_start: timedelta, before_stop: timedelta) -> Spans:
    """Each span without so much at its start and at its end; both 0 or more."""
    return tuple(
        Span(span.start + after_start, span.stop - before_stop)
        for span in spans
        if span.length > after_start + before_stop
    )


def widened(spans: Spans, before_start: timedelta, after_stop: timedelta) -> Spans:
    """Each span with so much more at its start and its end; both 0 or more."""
    return merged(
        Span(span.start - before_start, span.stop + after_stop) for span in spans
    )


def lasting(spans: Spans, least: timedelta) -> Spans:
    """The spans that last so long or longer."""
    return tuple(span for span in spans if span.length >= least)


def touching(spans: Spans, others: Spans) -> Spans:
    """The whole spans that share time with any of a set."""
    found: list[Span] = []
    j = 0
    for span in spans:
        while j < len(others) and others[j].stop <= span.start:
            j += 1
        if j < len(others) and others[j].start < span.stop:
            found.append(span)
    return tuple(found)


def _start_of(span: Span) -> datetime:
    return span.start


def _stop_of(span: Span) -> datetime:
    return span.stop


def total(spans: Spans) -> timedelta:
    """How long they last together."""
    return sum((span.length for span in spans), start=_NOTHING)


def of_seconds(starts_and_stops: Array) -> Spans:
    """The set of rows (start, stop) in seconds since 1970, shape (n, 2), in order.

    To the nearest millisecond.
    """
    at = np.round(starts_and_stops.ravel() * 1000.0).astype("datetime64[ms]")
    instants = [instant.replace(tzinfo=UTC) for instant in at.tolist()]
    found: list[Span] = []
    for start, stop in zip(instants[::2], instants[1::2], strict=True):
        if found and start <= found[-1].stop:
            found[-1] = Span(found[-1].start, max(found[-1].stop, stop))
        elif start < stop:
            found.append(Span(start, stop))
    return tuple(found)


def to_seconds(spans: Spans) -> Array:
    """Rows (start, stop) in seconds since 1970, shape (n, 2)."""
    rows = [(span.start.timestamp(), span.stop.timestamp()) for span in spans]
    return np.array(rows, dtype=np.float64).reshape(-1, 2)
