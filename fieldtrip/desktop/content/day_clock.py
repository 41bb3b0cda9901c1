"""Moves from minute to minute and from day to day by the clock of a place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from fieldtrip.settings import Settings
from fieldtrip.times import Span, local_date, local_day, zone_of
from fieldtrip.wording import clock_text, date_text

MINUTE = timedelta(minutes=1)
_FIRST_DAY = date(1900, 1, 2)  # beyond these no table of the sky is made
_LAST_DAY = date(2099, 12, 30)


@dataclass(frozen=True, slots=True)
class HourMark:
    """A full hour on the strip's edge."""

    instant: datetime
    text: str
    note: str = ""  # the name of the zone, in an hour that the clock shows twice


def on_day(day: date, instant: datetime, zone: str) -> datetime:
    """The instant at which the clock shows on `day` what it shows at `instant`.

    Where the clock skips that minute, the first minute after the gap; where it
    shows it twice, the first of the two, or the second if `instant` is a second.
    """
    local = instant.astimezone(zone_of(zone))
    clock = time(local.hour, local.minute, fold=local.fold)
    # In a gap the zone reads fold=0 with the offset from before it, which lands
    # as far behind the gap as the clock stood in it: 01:20 becomes 02:20.
    moved = datetime.combine(day, clock, tzinfo=zone_of(zone)).astimezone(UTC)
    back = moved.astimezone(zone_of(zone))
    if (back.hour, back.minute) != (local.hour, local.minute):
        moved = _end_of_gap(day, zone, moved)
    return _within(moved, local_day(day, zone))


def step_day(day: date, days: int, zone: str) -> date:
    """A day so many days later, or the last that can be computed.

    Passes over a day that the zone left out as it crossed the date line.
    """
    moved = min(max(day + timedelta(days=days), _FIRST_DAY), _LAST_DAY)
    if local_day(moved, zone).length <= timedelta():
        moved += timedelta(days=1 if days >= 0 else -1)
    return moved


def step_minutes(instant: datetime, minutes: int, zone: str) -> tuple[date, datetime]:
    """The instant so many minutes later, and the day at the place on which it lies."""
    moved = instant + timedelta(minutes=minutes)
    moved = _within(
        moved, Span(local_day(_FIRST_DAY, zone).start, local_day(_LAST_DAY, zone).stop)
    )
    return local_date(moved, zone), moved


def hour_marks(day: date, zone: str, settings: Settings) -> tuple[HourMark, ...]:
    """The full hours of a civil day, each written as the place's clock shows it.

    An hour that the clock shows twice is there twice, each time with the name of
    its zone; a skipped hour is not there.
    """
    span = local_day(day, zone)
    marks: list[HourMark] = []
    instant = span.start
    while instant <= span.stop:
        local = instant.astimezone(zone_of(zone))
        if local.minute == 0:
            text = clock_text(instant, zone, settings)
            if instant == span.stop and settings.clock_24h:
                text = "24:00"
            note = local.tzname() if _is_repeated(instant, zone) else None
            marks.append(HourMark(instant, text, note or ""))
            instant += timedelta(hours=1)
        else:
            instant += 15 * MINUTE
    return tuple(marks)


def day_heading(day: date) -> str:
    """The day in full, as in ``Saturday 14 November 2026``."""
    return date_text(day)


def _is_repeated(instant: datetime, zone: str) -> bool:
    local = instant.astimezone(zone_of(zone))
    other = local.replace(fold=1 - local.fold)
    return other.utcoffset() != local.utcoffset() and (
        other.astimezone(UTC).astimezone(zone_of(zone)).hour == local.hour
    )


def _end_of_gap(day: date, zone: str, near: datetime) -> datetime:
    """The first instant after the skipped part of a day."""
    before, after = near - timedelta(hours=3), near + timedelta(hours=3)
    tz = zone_of(zone)
    offset = before.astimezone(tz).utcoffset()
    while after - before > MINUTE:
        middle = before + (after - before) / 2
        if middle.astimezone(tz).utcoffset() == offset:
            before = middle
        else:
            after = middle
    whole = after.replace(second=0, microsecond=0)
    return max(whole, local_day(day, zone).start)


def _within(instant: datetime, span: Span) -> datetime:
    """The same instant, or the nearest minute that lies in a span."""
    return max(span.start, min(instant, span.stop - MINUTE))
