"""What a forecast says about a span, and whether for all of it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.times import Span
from fieldtrip.weather.hours import Reading, hours_over, is_covered, largest, total
from fieldtrip.weather.records import ForecastHour

NOON = datetime(2026, 8, 15, 12, tzinfo=UTC)


def at(hours: float) -> datetime:
    """So many hours after noon."""
    return NOON + timedelta(hours=hours)


def hour(hours: float, rain_mm: float | None = None) -> ForecastHour:
    """One hour of a forecast."""
    return ForecastHour(instant=at(hours), rain_mm=rain_mm)


HOURS = (hour(0, 1.0), hour(1, 3.0), hour(2, 2.0), hour(4, 8.0))


@pytest.mark.parametrize(
    ("start", "stop", "count"),
    [(0.5, 1.5, 2), (1, 2, 1), (0, 3, 3), (3, 4, 0), (3.5, 4.5, 1), (1, 1, 1)],
)
def test_an_hour_counts_from_its_time_on(start: float, stop: float, count: int) -> None:
    assert len(hours_over(HOURS, Span(at(start), at(stop)))) == count


@pytest.mark.parametrize(
    ("start", "stop", "expected"),
    [
        (0, 3, True),
        (0.2, 2.9, True),
        (-0.1, 1, False),
        (2.5, 3.1, False),
        (2, 5, False),
        (4, 5, True),
        (1, 1, True),
        (3.5, 3.5, False),
        (9, 10, False),
    ],
)
def test_a_gap_is_not_covered(start: float, stop: float, expected: bool) -> None:
    assert is_covered(HOURS, Span(at(start), at(stop))) is expected


def test_values_of_a_span() -> None:
    span = Span(at(0), at(3))

    assert largest(HOURS, span, lambda h: h.rain_mm) == Reading(3.0, is_complete=True)
    assert total(HOURS, span, lambda h: h.rain_mm) == Reading(6.0, is_complete=True)


def test_what_is_missing_is_told_and_what_is_known_is_kept() -> None:
    hours = (hour(0, 1.0), hour(1), hour(2, 2.0))
    span = Span(at(0), at(3))

    known = largest(hours, span, lambda h: h.rain_mm)

    assert known == Reading(2.0, is_complete=False)
    assert largest((), span, lambda h: h.rain_mm) == Reading(None, is_complete=False)
    assert total(hours, span, lambda h: h.gust_m_s) == Reading(None, is_complete=False)
