"""Writes a calendar file (iCalendar) that any calendar can take in.

Source: RFC 5545.  Every time is written in UTC, so that no reader has to know a
zone; texts are kept whole, folded and escaped as the standard asks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from types import ModuleType
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.geo import Position

SUFFIX = ".ics"
MIME_TYPE = "text/calendar"
_PRODUCT = "-//Fieldtrip//EN"


@dataclass(frozen=True, slots=True)
class CalendarAlarm:
    """Rings so long before an event starts; at its start for none."""

    before: timedelta
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """One entry; the same `uid` written again replaces it in a calendar."""

    uid: str  # the same for the same thing, for ever
    start: datetime
    end: datetime
    title: str
    text: str = ""
    place: str = ""  # in words
    position: Position | None = None
    alarms: tuple[CalendarAlarm, ...] = ()


def calendar_bytes(events: Sequence[CalendarEvent], written: datetime) -> bytes:
    """Events as one iCalendar file, in UTF-8.

    `written` is the moment at which it is written.  Raises `UserError` for no
    events, and `ValueError` for an event that ends before it starts.
    """
    if not events:
        raise UserError("There is nothing to write into a calendar.")
    # Imported when a file is written: it would take its part of every start.
    import icalendar

    calendar = icalendar.Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for event in events:
        calendar.add_component(_event(icalendar, event, written))
    return bytes(calendar.to_ical())


def _event(icalendar: ModuleType, event: CalendarEvent, written: datetime) -> Any:
    if event.end < event.start:
        raise ValueError(f"{event.uid} ends before it starts")
    made = icalendar.Event()
    made.add("uid", event.uid)
    made.add("dtstamp", _utc(written))
    made.add("dtstart", _utc(event.start))
    # The standard wants an end after the start; without one it takes no time.
    if _utc(event.end) > _utc(event.start):
        made.add("dtend", _utc(event.end))
    made.add("summary", _sound(event.title))
    if event.text:
        made.add("description", _sound(event.text))
    if event.place:
        made.add("location", _sound(event.place))
    if event.position is not None:
        made.add(
            "geo", icalendar.vGeo((event.position.lat_deg, event.position.lon_deg))
        )
    for alarm in event.alarms:
        made.add_component(_alarm(icalendar, alarm))
    return made


def _alarm(icalendar: ModuleType, alarm: CalendarAlarm) -> Any:
    made = icalendar.Alarm()
    made.add("action", "DISPLAY")
    made.add("description", _sound(alarm.text))
    made.add("trigger", icalendar.vDuration(-alarm.before))
    return made


def _utc(instant: datetime) -> datetime:
    """In UTC, to the second: the standard has no finer time."""
    return instant.astimezone(UTC).replace(microsecond=0)


def _sound(text: str) -> str:
    """Without the control characters that no calendar takes."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(c for c in lines if c in "\n\t" or (c.isprintable() or ord(c) > 159))
