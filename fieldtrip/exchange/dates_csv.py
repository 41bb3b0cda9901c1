"""The dates that a search found, as a table for other programs."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from fieldtrip.times import zone_of
from fieldtrip.trips.date_search import DatesFound, DateWindow
from fieldtrip.trips.wanted import Condition

HEADING = (
    "date", "start", "end", "minutes", "best", "zone", "start_utc", "end_utc",
    "score", "tightest", "not_known",
)  # fmt: skip
# What a spreadsheet would take for a formula.
_FORMULA = ("=", "+", "-", "@", "\t")


def dates_csv(found: DatesFound, zone: str, words: Callable[[Condition], str]) -> str:
    """One line a window, best first; times by the clock of the place and in UTC.

    `words` puts a condition into words.  RFC 4180, with a heading.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(HEADING)
    writer.writerows(_row(window, zone, words) for window in found.windows)
    return text.getvalue()


def _row(
    window: DateWindow, zone: str, words: Callable[[Condition], str]
) -> tuple[str, ...]:
    tz = zone_of(zone)
    start, stop = window.span.start.astimezone(tz), window.span.stop.astimezone(tz)
    tightest = window.tightest
    minutes = window.span.length / timedelta(minutes=1)
    unknown = "; ".join(words(each.condition) for each in window.unknown)
    return (
        start.date().isoformat(),
        _clock(start),
        _clock(stop),
        f"{minutes:.0f}",
        _clock(window.best.astimezone(tz)),
        zone,
        _utc(window.span.start),
        _utc(window.span.stop),
        f"{window.score:.3f}",
        "" if tightest is None else _plain(words(tightest.condition)),
        _plain(unknown),
    )


def _clock(local: datetime) -> str:
    return local.isoformat(timespec="seconds")


def _utc(instant: datetime) -> str:
    at = instant.astimezone(UTC).isoformat(timespec="seconds")
    return at.replace("+00:00", "Z")


def _plain(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
