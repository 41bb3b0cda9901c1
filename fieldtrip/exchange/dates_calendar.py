"""The dates that a search found, as entries for a calendar."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from fieldtrip.exchange.calendar import CalendarEvent, calendar_bytes
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.trips.date_search import DateWindow
from fieldtrip.trips.wanted import Condition


def dates_calendar(
    windows: Sequence[DateWindow],
    place: Location | VantagePoint,
    title: str,
    words: Callable[[Condition], str],
    written: datetime,
) -> bytes:
    """One entry for each window, as an iCalendar file.

    `words` puts a condition into words.  What is not known of a date stands in its
    entry.  Raises `UserError` for no windows.
    """
    return calendar_bytes(
        [_event(window, place, title, words) for window in windows], written
    )


def _event(
    window: DateWindow,
    place: Location | VantagePoint,
    title: str,
    words: Callable[[Condition], str],
) -> CalendarEvent:
    lines = [words(fit.condition) for fit in window.fits]
    lines += [
        f"Not known: {words(each.condition)}. {each.why}" for each in window.unknown
    ]
    lines.append("A planning aid: check tide, weather and closures before you go.")
    return CalendarEvent(
        uid=_uid(title, place.position, window.span.start),
        start=window.span.start,
        end=window.span.stop,
        title=title,
        text="\n".join(lines),
        place=place.name,
        position=place.position,
    )


def _uid(title: str, at: Position, start: datetime) -> str:
    """The same for the same title, place and minute: a file read again adds none."""
    minute = start.astimezone(UTC).strftime("%Y%m%dT%H%M")
    short = hashlib.blake2s(
        f"{title} {at.lat_deg:.6f} {at.lon_deg:.6f} {minute}".encode(), digest_size=12
    ).hexdigest()
    return f"{short}@dates.fieldtrip"
