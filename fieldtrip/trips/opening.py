"""When a gate that keeps hours is open: instants, on the safe side of the clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from fieldtrip.places.seasons import OpenHours
from fieldtrip.times import Span, local_date, zone_of

_DAY = timedelta(days=1)


def open_span(hours: OpenHours, day: date, zone: str) -> Span:
    """From opening on a day of a place's calendar to the shutting that follows.

    Where the clock skips or repeats a time, the later opening and the earlier
    shutting are taken.
    """
    shuts_on = day if hours.shuts > hours.opens else day + _DAY
    return Span(
        max(_both(day, hours.opens, zone)), min(_both(shuts_on, hours.shuts, zone))
    )


def open_span_at(hours: OpenHours, instant: datetime, zone: str) -> Span:
    """The hours in which an instant lies; those of its local day if it lies in none."""
    day = local_date(instant, zone)
    spans = [open_span(hours, day + shift * _DAY, zone) for shift in (0, -1)]
    return next((span for span in spans if span.contains(instant)), spans[0])


def _both(day: date, clock: time, zone: str) -> tuple[datetime, datetime]:
    tz = zone_of(zone)
    first, second = (
        datetime.combine(day, clock.replace(fold=fold), tzinfo=tz).astimezone(UTC)
        for fold in (0, 1)
    )
    return first, second
