"""Days that come every year, and the hours of a gate: plain values.

Both are told as they stand on a notice, by the calendar and the clock of the place.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, time

_LEAP_YEAR = 2000  # any that has a 29 February


@dataclass(frozen=True, slots=True, order=True)
class MonthDay:
    """A day of every year.  Raises `ValueError` for one that no year has."""

    month: int
    day: int

    def __post_init__(self) -> None:
        """Refuse what is in no calendar."""
        date(_LEAP_YEAR, self.month, self.day)

    def in_year(self, year: int) -> date:
        """The day in a year; the last of February where that has no 29th."""
        last = calendar.monthrange(year, self.month)[1]
        return date(year, self.month, min(self.day, last))


@dataclass(frozen=True, slots=True)
class Season:
    """From one day of the year to another, both included; it may span New Year."""

    first: MonthDay
    last: MonthDay

    def contains(self, day: date) -> bool:
        """Whether a day lies in it."""
        at = MonthDay(day.month, day.day)
        if self.first <= self.last:
            return self.first <= at <= self.last
        return at >= self.first or at <= self.last

    def last_day_from(self, day: date) -> date:
        """The last day of the season in which a day lies."""
        at = MonthDay(day.month, day.day)
        return self.last.in_year(day.year if at <= self.last else day.year + 1)

    def first_day_after(self, day: date) -> date:
        """The next day, after this one, on which the season begins."""
        this_year = self.first.in_year(day.year)
        return this_year if this_year > day else self.first.in_year(day.year + 1)


@dataclass(frozen=True, slots=True)
class OpenHours:
    """From one clock time to another; to the next morning where `shuts` is earlier."""

    opens: time
    shuts: time
