"""Tests for the hours of a gate, also across midnight and a change of the clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from fieldtrip.places.seasons import OpenHours
from fieldtrip.trips.opening import open_span, open_span_at

DUBLIN = "Europe/Dublin"


def test_hours_of_a_day_are_by_the_clock_of_the_place() -> None:
    span = open_span(OpenHours(time(8), time(18, 30)), date(2026, 7, 4), DUBLIN)

    assert span.start == datetime(2026, 7, 4, 7, tzinfo=UTC)
    assert span.stop == datetime(2026, 7, 4, 17, 30, tzinfo=UTC)


def test_hours_that_end_earlier_than_they_begin_end_the_next_morning() -> None:
    span = open_span(OpenHours(time(16), time(2)), date(2026, 1, 4), DUBLIN)

    assert span.start == datetime(2026, 1, 4, 16, tzinfo=UTC)
    assert span.stop == datetime(2026, 1, 5, 2, tzinfo=UTC)


def test_an_instant_after_midnight_lies_in_the_hours_of_the_evening_before() -> None:
    hours = OpenHours(time(16), time(2))
    after_midnight = datetime(2026, 1, 5, 1, tzinfo=UTC)

    assert open_span_at(hours, after_midnight, DUBLIN).contains(after_midnight)


def test_an_instant_in_no_hours_is_given_those_of_its_day() -> None:
    hours = OpenHours(time(8), time(18))
    early = datetime(2026, 1, 5, 6, tzinfo=UTC)

    assert open_span_at(hours, early, DUBLIN).start == datetime(
        2026, 1, 5, 8, tzinfo=UTC
    )


def test_a_shutting_that_the_clock_skips_or_repeats_is_the_earlier_one() -> None:
    hours = OpenHours(time(0, 10), time(1, 30))

    # Source: European Union Directive 2000/84/EC: the last Sundays of March and
    # October, at 01:00 UTC.
    spring = open_span(hours, date(2026, 3, 29), DUBLIN)
    autumn = open_span(hours, date(2026, 10, 25), DUBLIN)

    assert spring.stop == datetime(2026, 3, 29, 0, 30, tzinfo=UTC)
    assert autumn.stop == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
