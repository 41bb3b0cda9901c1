"""Whether a closure holds on a day, and whether a permit still does."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fieldtrip.places.records import Closure, ClosureKind, Permit


class Force(StrEnum):
    """What a closure does on a day."""

    SHUT = "shut"
    HOURS = "open at its hours only"
    UNKNOWN = "not known"  # never to be read as open
    NONE = "not in force"


@dataclass(frozen=True, slots=True)
class ClosureState:
    """What a closure does on a day, to when, and when it comes again."""

    force: Force
    last_day: date | None = None  # while it holds; None: no end is known
    next_day: date | None = None  # on which it begins, while it does not hold


def closure_state(closure: Closure, day: date) -> ClosureState:
    """What a closure does on a civil day of its place.

    A closure whose days nobody wrote down is not known, whatever the day; one
    with hours and no days has them every day.
    """
    held = Force.SHUT if closure.hours is None else Force.HOURS
    if closure.kind is ClosureKind.HOURS and closure.hours is None:
        held = Force.UNKNOWN
    if closure.season is not None:
        season = closure.season
        if season.contains(day):
            return ClosureState(held, season.last_day_from(day))
        return ClosureState(Force.NONE, next_day=season.first_day_after(day))
    first, last = closure.first_day, closure.last_day
    if first is None and last is None:
        return ClosureState(Force.UNKNOWN if closure.hours is None else held)
    if first is not None and day < first:
        return ClosureState(Force.NONE, next_day=first)
    if last is not None and day > last:
        return ClosureState(Force.NONE)
    return ClosureState(held, last)


def has_expired(permit: Permit, day: date) -> bool | None:
    """Whether a permit's last day is over; None where that day is not known."""
    return None if permit.expires is None else permit.expires < day
