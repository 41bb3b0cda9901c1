"""Sets of times as spans: what belongs to all, to any, or to none of them.

A set is a tuple of spans in order that neither overlap nor touch, each longer
than nothing; `merged` makes one of any spans, and every function here gives one.
Single instants do not count: an end belongs to a span and to what lies beyond it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from functools import reduce

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.sky.passages import to_datetime
from fieldtrip.times import Span

Spans = tuple[Span, ...]
_NOTHING = timedelta()


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


def intersection_of(sets: Iterable[Spans], within: Span) -> Spans:
    """What lies in every set, and within a span; all of the span for no sets."""
    return reduce(intersection, sets, merged((within,)))


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
    return intersection(spans, merged((within,)))


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


def total(spans: Spans) -> timedelta:
    """How long they last together."""
    return sum((span.length for span in spans), start=_NOTHING)


def of_seconds(starts_and_stops: Array) -> Spans:
    """The set of rows (start, stop) in seconds since 1970, shape (n, 2), in order."""
    return merged(
        Span(to_datetime(start), to_datetime(stop))
        for start, stop in starts_and_stops.tolist()
    )


def to_seconds(spans: Spans) -> Array:
    """Rows (start, stop) in seconds since 1970, shape (n, 2)."""
    rows = [(span.start.timestamp(), span.stop.timestamp()) for span in spans]
    return np.array(rows, dtype=np.float64).reshape(-1, 2)
