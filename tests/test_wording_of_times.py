"""Times in words at the hour that a clock shows twice."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from fieldtrip.settings import Settings
from fieldtrip.wording import when_text


def test_a_time_that_the_clock_shows_twice_says_which() -> None:
    # Source: IANA time zone database: London leaves summer time at 01:00 UTC.
    day, first = date(2026, 10, 25), datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    second, later = first + timedelta(hours=1), first + timedelta(hours=2)

    told = [
        when_text(instant, "Europe/London", Settings(), day)
        for instant in (first, second, later)
    ]

    assert told == ["01:30 BST", "01:30 GMT", "02:30"]
    eve = when_text(first, "Europe/London", Settings(), date(2026, 10, 24))
    assert eve == "01:30 BST on Sun 25 Oct"
