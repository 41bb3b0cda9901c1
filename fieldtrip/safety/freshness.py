"""How long ago somebody last stood there and saw it so."""

from __future__ import annotations

import calendar
from datetime import date
from enum import Enum, auto

from fieldtrip.places.records import AccessNote, Hazard, Refuge

CONFIRMED_MONTHS = 12  # common practice


class Freshness(Enum):
    """What a date of confirmation is worth on a day."""

    FRESH = auto()
    OLD = auto()
    NEVER = auto()  # not confirmed, or on a day that is still to come


def freshness(
    confirmed: date | None, day: date, today: date, months: int = CONFIRMED_MONTHS
) -> Freshness:
    """Whether something was confirmed within so many months before a day."""
    # A date still to come is a slip of the pen, not a confirmation.
    if confirmed is None or confirmed > today:
        return Freshness.NEVER
    if confirmed < months_before(day, months):
        return Freshness.OLD
    return Freshness.FRESH


def confirmed_day(record: Hazard | Refuge | AccessNote) -> date | None:
    """When a record was last seen to be so; an access note speaks of its own day."""
    match record:
        case Hazard():
            return record.last_confirmed
        case Refuge():
            return record.confirmed
        case AccessNote():
            return record.day


def is_overdue(
    record: Hazard | Refuge | AccessNote,
    day: date,
    today: date,
    months: int = CONFIRMED_MONTHS,
) -> bool:
    """Whether a record must be looked at again before it is relied upon on a day."""
    if is_review_past(record, day):
        return True
    found = freshness(confirmed_day(record), day, today, months)
    return found is not Freshness.FRESH


def is_review_past(record: Hazard | Refuge | AccessNote, day: date) -> bool:
    """Whether the day after which an access note is to be looked at lies behind."""
    return (
        isinstance(record, AccessNote)
        and record.review_after is not None
        and record.review_after < day
    )


def months_before(day: date, months: int) -> date:
    """The same day of the month so many months earlier, or that month's last."""
    index = day.year * 12 + day.month - 1 - months
    year, month = divmod(index, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def day_words(day: date) -> str:
    """A day in short with its year, as in ``26 Jun 2026``."""
    return f"{day.day} {day:%b %Y}"
