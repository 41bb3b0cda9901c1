"""Instants.  Inside the program every instant is in UTC; see DEVELOPERS.md, "Time"."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.errors import UserError

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Span:
    """From one instant up to another, both in UTC."""

    start: datetime
    stop: datetime

    @property
    def length(self) -> timedelta:
        """How long it lasts; negative if it ends before it starts."""
        return self.stop - self.start

    def contains(self, instant: datetime) -> bool:
        """Whether an instant lies in it; both ends belong to it."""
        return self.start <= instant <= self.stop

    def overlaps(self, other: Span) -> bool:
        """Whether the two share more than an edge."""
        return self.start < other.stop and other.start < self.stop


def zone_of(name: str) -> ZoneInfo:
    """The zone of an IANA name.  Raises `UserError` for a name nobody knows."""
    try:
        if not name or name not in _zone_names():
            raise ZoneInfoNotFoundError(name)
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise UserError(
            f"“{name}” is no time zone. Use a name such as Europe/Dublin."
        ) from error


def local_day(day: date, zone: str) -> Span:
    """A civil day at a place: 23, 24 or 25 hours, as its clock changes."""
    tz = zone_of(zone)
    start = datetime.combine(day, time(), tzinfo=tz)
    stop = datetime.combine(day + timedelta(days=1), time(), tzinfo=tz)
    return Span(start.astimezone(UTC), stop.astimezone(UTC))


def local_date(instant: datetime, zone: str) -> date:
    """The civil date at a place at an instant."""
    return instant.astimezone(zone_of(zone)).date()


def at_clock(day: date, clock: time, zone: str) -> datetime:
    """The instant at which a place's clock shows a time on a day.

    Where the clock shows it twice, the first of the two.  Raises `UserError`
    where the clock skips it.
    """
    tz = zone_of(zone)
    instant = datetime.combine(day, clock.replace(fold=0), tzinfo=tz).astimezone(UTC)
    back = instant.astimezone(tz)
    if (back.date(), back.time()) != (day, clock.replace(fold=0)):
        raise UserError(
            f"{clock:%H:%M} does not exist on {day:%d %B %Y}: the clock goes forward."
        )
    return instant


def instants(start: datetime, stop: datetime, step: timedelta) -> Instants:
    """Evenly spaced instants from `start` up to, not including, `stop`."""
    return np.arange(to_instant(start), to_instant(stop), np.timedelta64(step, "ms"))


def to_instant(instant: datetime) -> np.datetime64:
    """One aware datetime as ``datetime64[ms]``."""
    return np.datetime64(instant.astimezone(UTC).replace(tzinfo=None), "ms")


def from_instant(instant: np.datetime64) -> datetime:
    """One ``datetime64`` as an aware datetime in UTC."""
    milliseconds = instant.astype("datetime64[ms]").astype(np.int64)
    return _EPOCH + timedelta(milliseconds=int(milliseconds))


def unix_seconds(values: Instants) -> Array:
    """Instants as seconds since 1970, float64."""
    return values.astype("datetime64[ms]").astype(np.int64) / 1000.0


@lru_cache(maxsize=1)
def _zone_names() -> frozenset[str]:
    return frozenset(available_timezones())
