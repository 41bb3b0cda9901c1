"""The dates that a search found, as entries for a calendar."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from fieldtrip.exchange.calendar import CalendarEvent, calendar_bytes
from fieldtrip.trips.date_search import DateWindow
from fieldtrip.trips.situation import Situation
from fieldtrip.trips.wanted import Condition


def dates_calendar(
    windows: Sequence[DateWindow],
    situation: Situation,
    title: str,
    words: Callable[[Condition], str],
    written: datetime,
) -> bytes:
    """One entry for each window, as an iCalendar file.

    `words` puts a condition into words.  What is not known of a date stands in its
    entry.  Raises `UserError` for no windows.
    """
    return calendar_bytes(
        [_event(window, situation, title, words) for window in windows], written
    )


def _event(
    window: DateWindow,
    situation: Situation,
    title: str,
    words: Callable[[Condition], str],
) -> CalendarEvent:
    vantage = situation.vantage_point
    place = situation.location if vantage is None else vantage
    lines = [words(fit.condition) for fit in window.fits]
    lines += [
        f"Not known: {words(each.condition)}. {each.why}" for each in window.unknown
    ]
    lines.append("A planning aid: check tide, weather and closures before you go.")
    return CalendarEvent(
        uid=_uid(place.id, window.span.start),
        start=window.span.start,
        end=window.span.stop,
        title=title,
        text="\n".join(lines),
        place=place.name,
        position=place.position,
    )


def _uid(place_id: object, start: datetime) -> str:
    """The same for the same place and minute, so that a file read again adds none."""
    minute = start.astimezone(UTC).strftime("%Y%m%dT%H%M")
    short = hashlib.blake2s(f"{place_id} {minute}".encode(), digest_size=12).hexdigest()
    return f"{short}@dates.fieldtrip"
