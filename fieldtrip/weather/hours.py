"""What a forecast says about a span of time, and whether it says it for all of it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from fieldtrip.times import Span
from fieldtrip.weather.records import ForecastHour

HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Reading:
    """A value over a span: what is known of it, and whether that is all.

    `value` is of the hours that have one and None if none has; where
    `is_complete` is false, the truth may be worse.
    """

    value: float | None
    is_complete: bool


def hours_over(hours: tuple[ForecastHour, ...], span: Span) -> tuple[ForecastHour, ...]:
    """The hours that share time with a span; each holds for an hour from its time."""
    return tuple(
        hour
        for hour in hours
        if hour.instant <= span.start < hour.instant + HOUR
        or span.start < hour.instant < span.stop
    )


def is_covered(hours: tuple[ForecastHour, ...], span: Span) -> bool:
    """Whether every minute of a span lies in an hour of the forecast."""
    reached = span.start
    for hour in hours_over(hours, span):
        if hour.instant > reached:
            return False
        reached = max(reached, hour.instant + HOUR)
    return reached > span.start and reached >= span.stop


def largest(
    hours: tuple[ForecastHour, ...],
    span: Span,
    value: Callable[[ForecastHour], float | None],
) -> Reading:
    """The largest value over a span."""
    values, is_complete = known_values(hours, span, value)
    return Reading(max(values, default=None), is_complete)


def smallest(
    hours: tuple[ForecastHour, ...],
    span: Span,
    value: Callable[[ForecastHour], float | None],
) -> Reading:
    """The smallest value over a span."""
    values, is_complete = known_values(hours, span, value)
    return Reading(min(values, default=None), is_complete)


def total(
    hours: tuple[ForecastHour, ...],
    span: Span,
    value: Callable[[ForecastHour], float | None],
) -> Reading:
    """The sum over a span, each hour counted whole."""
    values, is_complete = known_values(hours, span, value)
    return Reading(sum(values) if values else None, is_complete)


def known_values(
    hours: tuple[ForecastHour, ...],
    span: Span,
    value: Callable[[ForecastHour], float | None],
) -> tuple[list[float], bool]:
    """What is known over a span, in order, and whether that is all; nan is not."""
    over = hours_over(hours, span)
    found = [value(hour) for hour in over]
    values = [one for one in found if one is not None and math.isfinite(one)]
    return values, len(values) == len(over) and is_covered(hours, span)
