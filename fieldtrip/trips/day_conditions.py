"""When the clock, the calendar, those who may say so, and a forecast allow it.

One function for each condition, over the whole of a situation's span.  Days and
clock times are those of the place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from fieldtrip.places.closures import Force, closure_state, has_expired
from fieldtrip.places.records import Closure, Permit
from fieldtrip.places.seasons import OpenHours
from fieldtrip.times import Span, local_date, zone_of
from fieldtrip.trips.situation import Answer, Situation, known_within, not_known
from fieldtrip.trips.spans import (
    Spans,
    clipped,
    complement,
    difference,
    merged,
)
from fieldtrip.trips.wanted import (
    Allowed,
    ClockTime,
    InSeason,
    OnWeekdays,
    TripPossible,
    Weather,
)
from fieldtrip.weather.hours import HOUR
from fieldtrip.weather.records import ForecastHour

_DAY = timedelta(days=1)
_Limit = tuple[Callable[[ForecastHour], float | None], float | None, float | None]


def clock_time(wanted: ClockTime, situation: Situation) -> Answer:
    """From one clock time to another, to the next morning where the second is earlier.

    Where the clock goes back over either, all that it shows counts.
    """
    days = days_of(situation.span, situation.zone)
    spans = hours_on(wanted.hours, (days[0] - _DAY, *days), situation.zone)
    return Answer(clipped(spans, situation.span))


def on_weekdays(wanted: OnWeekdays, situation: Situation) -> Answer:
    """On days of the week, from midnight to midnight."""
    return Answer(_days_that(situation, lambda day: day.weekday() in wanted.days))


def in_season(wanted: InSeason, situation: Situation) -> Answer:
    """In a part of every year, both of its days included."""
    return Answer(_days_that(situation, wanted.season.contains))


def allowed(wanted: Allowed, situation: Situation) -> Answer:
    """While no closure of the location is in force and every permit holds.

    A closure counts wherever in the location it lies.  One whose days nobody wrote
    down, and a permit of which nobody wrote down how long it holds, are not known.
    """
    del wanted
    span, dossier = situation.span, situation.dossier
    shut: Spans = ()
    unknown: Spans = ()
    why = ""
    for closure in dossier.closures:
        closed, doubtful = _closed(closure, situation)
        shut, unknown = merged((*shut, *closed)), merged((*unknown, *doubtful))
        if doubtful:
            why = f"When “{closure.name}” is in force is not known."
    for permit in dossier.permits:
        if permit.expires is None:
            unknown = merged((span,))
            why = f"How long the permit “{permit.name}” holds is not known."
        else:
            over = _days_that(situation, partial(_is_over, permit))
            shut = merged((*shut, *over))
    unknown = clipped(difference(unknown, shut), span)
    holds = difference(complement(shut, span), unknown)
    return Answer(holds, unknown, why if unknown else "")


def weather(wanted: Weather, situation: Situation) -> Answer:
    """While the newest forecast stays within limits; beyond its reach, not known.

    What an hour of it does not say, where a limit is set, is not known either.
    """
    span = situation.span
    forecasts = situation.dossier.forecasts
    newest = max(forecasts, key=lambda each: each.issued, default=None)
    if newest is None:
        return not_known(span, "There is no forecast.")
    holds: list[Span] = []
    known: list[Span] = []
    limits = weather_limits(wanted)
    for hour in newest.hours:
        verdict = _is_within(hour, limits)
        if verdict is not None:
            known.append(Span(hour.instant, hour.instant + HOUR))
        if verdict:
            holds.append(known[-1])
    return known_within(
        clipped(merged(holds), span),
        clipped(merged(known), span),
        span,
        "The forecast does not reach so far, or does not say it.",
    )


def trip_possible(wanted: TripPossible, situation: Situation) -> Answer:
    """On days on which a trip can be scheduled, as the given test tells."""
    test = situation.trip_possible
    if test is None:
        return not_known(situation.span, "Trips were not looked at.")
    found = {
        day: test(wanted.trip_id, day)
        for day in days_of(situation.span, situation.zone)
    }
    holds = _days_that(situation, lambda day: found.get(day) is True)
    unknown = _days_that(situation, lambda day: found.get(day) is None)
    why = "Whether the trip can be made on these days is not known." if unknown else ""
    return Answer(holds, unknown, why)


def weather_limits(wanted: Weather) -> tuple[_Limit, ...]:
    """What is looked at in an hour, and its least and most; None: not set."""
    return (
        (lambda hour: hour.wind_m_s, None, wanted.wind_below_m_s),
        (lambda hour: hour.gust_m_s, None, wanted.gust_below_m_s),
        (
            lambda hour: hour.cloud_percent,
            wanted.cloud_least_percent,
            wanted.cloud_most_percent,
        ),
        (lambda hour: hour.rain_mm, None, wanted.rain_below_mm),
        (lambda hour: hour.visibility_m, wanted.visibility_least_m, None),
        (lambda hour: hour.wave_height_m, None, wanted.wave_below_m),
    )


def days_of(span: Span, zone: str) -> tuple[date, ...]:
    """The civil days of a place that a span touches, in order."""
    first, last = local_date(span.start, zone), local_date(span.stop, zone)
    return tuple(first + k * _DAY for k in range((last - first).days + 1))


def hours_on(hours: OpenHours, days: Iterable[date], zone: str) -> Spans:
    """The spans of a gate's hours that begin on some days."""
    tz = zone_of(zone)
    till_morning = hours.shuts <= hours.opens
    return merged(
        Span(
            _at(day, hours.opens, tz, fold=0),
            _at(day + _DAY if till_morning else day, hours.shuts, tz, fold=1),
        )
        for day in days
    )


def _is_over(permit: Permit, day: date) -> bool:
    return has_expired(permit, day) is True


def _is_within(hour: ForecastHour, limits: tuple[_Limit, ...]) -> bool | None:
    """Whether an hour is within limits; None where that is not said."""
    is_known = True
    for value_of, least, most in limits:
        if least is None and most is None:
            continue
        value = value_of(hour)
        if value is None:
            is_known = False
        elif (least is not None and value < least) or (
            most is not None and value > most
        ):
            return False
    return True if is_known else None


def _closed(closure: Closure, situation: Situation) -> tuple[Spans, Spans]:
    """When a closure keeps one out, and when nobody knows whether it does."""
    days = days_of(situation.span, situation.zone)
    force = {day: closure_state(closure, day).force for day in days}
    shut = _days_that(situation, lambda day: force.get(day) is Force.SHUT)
    unknown = _days_that(situation, lambda day: force.get(day) is Force.UNKNOWN)
    gated = _days_that(situation, lambda day: force.get(day) is Force.HOURS)
    if gated and closure.hours is not None:
        is_open = hours_on(closure.hours, (days[0] - _DAY, *days), situation.zone)
        shut = merged((*shut, *difference(gated, is_open)))
    return shut, unknown


def _days_that(situation: Situation, is_wanted: Callable[[date], bool]) -> Spans:
    """The days of the place that are wanted, within the span."""
    tz = zone_of(situation.zone)
    midnight = time()
    found: list[Span] = []
    first: date | None = None
    days = days_of(situation.span, situation.zone)
    for day in (*days, None):
        if day is not None and is_wanted(day):
            first = first or day
            continue
        if first is not None:
            after = day if day is not None else days[-1] + _DAY
            found.append(
                Span(_at(first, midnight, tz, fold=0), _at(after, midnight, tz, fold=0))
            )
            first = None
    return clipped(merged(found), situation.span)


def _at(day: date, clock: time, tz: ZoneInfo, *, fold: int) -> datetime:
    """When the clock shows a time: the first or the last time that it does.

    Where the clock skips it, as if it had gone on.
    """
    return datetime.combine(day, clock.replace(fold=fold), tzinfo=tz).astimezone(UTC)
