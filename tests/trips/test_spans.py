"""Sets of times: laws that hold for all of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.times import Span
from fieldtrip.trips import spans as algebra
from fieldtrip.trips.spans import Spans, complement, intersection, merged, union

START = datetime(2027, 3, 27, tzinfo=UTC)
WITHIN = Span(START, START + timedelta(hours=8))
EVERYTHING = merged((WITHIN,))
MINUTES = 8 * 60


def minute(number: int) -> datetime:
    """So many minutes after the start."""
    return START + timedelta(minutes=number)


@st.composite
def span_sets(draw: st.DrawFn) -> Spans:
    """Sets of times within 8 hours."""
    ends = st.integers(0, MINUTES)
    pairs = draw(st.lists(st.tuples(ends, ends), max_size=8))
    return merged(Span(minute(min(pair)), minute(max(pair))) for pair in pairs)


def minutes_in(spans: Spans) -> set[int]:
    """The minutes of which the middle lies in a set: a plain loop over all of them."""
    half = timedelta(seconds=30)
    return {
        number
        for number in range(MINUTES)
        if any(span.contains(minute(number) + half) for span in spans)
    }


@given(span_sets(), span_sets())
def test_every_operation_does_minute_by_minute_what_its_name_says(
    one: Spans, other: Spans
) -> None:
    a, b, every = minutes_in(one), minutes_in(other), set(range(MINUTES))

    assert minutes_in(union(one, other)) == a | b
    assert minutes_in(intersection(one, other)) == a & b
    assert minutes_in(complement(one, WITHIN)) == every - a
    assert minutes_in(algebra.difference(one, other)) == a - b


@given(span_sets(), span_sets())
def test_a_set_is_in_order_and_its_spans_neither_overlap_nor_touch(
    one: Spans, other: Spans
) -> None:
    minus = complement(one, WITHIN)
    for found in (one, union(one, other), intersection(one, other), minus):
        assert all(span.length > timedelta() for span in found)
        assert all(a.stop < b.start for a, b in pairwise(found))
        assert merged(found) == found


@given(span_sets(), span_sets(), span_sets())
def test_intersections_keep_the_laws_of_sets(
    one: Spans, other: Spans, third: Spans
) -> None:
    assert intersection(one, other) == intersection(other, one)
    assert intersection(one, one) == one
    assert intersection(one, EVERYTHING) == one
    assert intersection(one, ()) == ()
    assert intersection(intersection(one, other), third) == intersection(
        one, intersection(other, third)
    )
    assert intersection(one, union(other, third)) == union(
        intersection(one, other), intersection(one, third)
    )
    assert algebra.intersection_of((one, other, third), WITHIN) == intersection(
        one, intersection(other, third)
    )


@given(span_sets(), span_sets())
def test_what_lies_in_neither_is_what_both_complements_share(
    one: Spans, other: Spans
) -> None:
    neither = complement(union(one, other), WITHIN)

    assert complement(complement(one, WITHIN), WITHIN) == one
    assert neither == intersection(complement(one, WITHIN), complement(other, WITHIN))


@given(span_sets(), st.integers(0, 300), st.integers(0, 300))
def test_eroding_leaves_what_has_room_and_widening_comes_back(
    spans: Spans, first: int, last: int
) -> None:
    before, after = timedelta(minutes=first), timedelta(minutes=last)

    eroded = algebra.eroded(spans, before, after)
    back = algebra.widened(eroded, before, after)

    assert intersection(back, spans) == back
    assert back == tuple(s for s in spans if s.length > before + after)
    assert algebra.widened(spans, before, after) == merged(
        Span(span.start - before, span.stop + after) for span in spans
    )


@given(span_sets(), span_sets())
def test_the_spans_that_touch_a_set_are_those_that_share_time_with_it(
    one: Spans, other: Spans
) -> None:
    found = algebra.touching(one, other)

    assert found == tuple(s for s in one if any(s.overlaps(o) for o in other))


@given(span_sets())
def test_a_set_comes_back_from_its_seconds(spans: Spans) -> None:
    assert algebra.of_seconds(algebra.to_seconds(spans)) == spans


@given(span_sets(), st.integers(0, MINUTES), st.integers(0, MINUTES))
def test_clipping_is_meeting_one_span(spans: Spans, one: int, other: int) -> None:
    within = Span(minute(min(one, other)), minute(max(one, other)))

    assert algebra.clipped(spans, within) == intersection(spans, merged((within,)))


@given(st.lists(st.integers(0, MINUTES), min_size=2, max_size=3), span_sets())
def test_few_meet_many_as_any_two_sets_do(ends: list[int], spans: Spans) -> None:
    few = merged((Span(minute(min(ends)), minute(max(ends))),))
    many = merged(
        span
        for number in range(0, MINUTES, 30)
        for span in (*spans[:1], Span(minute(number), minute(number + 20)))
    )

    found = intersection(few, many)

    assert found == intersection(many, few)
    assert minutes_in(found) == minutes_in(few) & minutes_in(many)


def test_the_least_length_counts_as_long_enough() -> None:
    spans = (Span(minute(0), minute(30)), Span(minute(40), minute(69)))

    assert algebra.lasting(spans, timedelta(minutes=30)) == spans[:1]
    assert algebra.total(spans) == timedelta(minutes=59)
