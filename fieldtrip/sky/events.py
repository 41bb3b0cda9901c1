"""What happens in the sky of a day: twilights, golden hour, rise, set and noon."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Literal

from fieldtrip.errors import UserError
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.passages import (
    SUNRISE_ALTITUDE_DEG,
    Crossings,
    Passages,
    to_datetime,
)
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.sky.table import require_computed
from fieldtrip.times import local_day


class EventName(StrEnum):
    """What can happen, in the order of an ordinary day.

    Blue hour and golden hour start and end in the morning and in the evening.
    """

    ASTRONOMICAL_DAWN = "astronomical_dawn"
    NAUTICAL_DAWN = "nautical_dawn"
    CIVIL_DAWN = "civil_dawn"
    BLUE_HOUR_START = "blue_hour_start"
    BLUE_HOUR_END = "blue_hour_end"
    GOLDEN_HOUR_START = "golden_hour_start"
    SUNRISE = "sunrise"
    GOLDEN_HOUR_END = "golden_hour_end"
    SOLAR_NOON = "solar_noon"
    SUNSET = "sunset"
    CIVIL_DUSK = "civil_dusk"
    NAUTICAL_DUSK = "nautical_dusk"
    ASTRONOMICAL_DUSK = "astronomical_dusk"
    MOONRISE = "moonrise"
    MOONSET = "moonset"


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens in the sky of a site."""

    name: EventName
    instant: datetime  # UTC, to the millisecond
    azimuth_deg: float  # of the body, 0..360


@dataclass(frozen=True, slots=True)
class DayEvents:
    """What happens on a date at a site, and what does not."""

    events: tuple[Event, ...]  # by time; an event may come twice, or not at all
    missing: tuple[EventName, ...]  # what does not occur on that date
    sun_always: Literal["up", "down"] | None  # a day without sunrise and sunset

    def first(self, name: EventName) -> Event | None:
        """The first event of a name, or None where it does not occur."""
        return next((event for event in self.events if event.name is name), None)

    def all_of(self, name: EventName) -> tuple[Event, ...]:
        """Every event of a name, by time."""
        return tuple(event for event in self.events if event.name is name)


# Altitude of the Sun's centre without refraction; what begins or ends as it
# rises through it, and as it sinks.
# Source: US Naval Observatory, "Rise, Set, and Twilight Definitions", for
# sunrise and twilights; golden and blue hour: common practice, no source.
SUN_ALTITUDES: tuple[
    tuple[float, tuple[EventName, ...], tuple[EventName, ...]], ...
] = (
    (-18.0, (EventName.ASTRONOMICAL_DAWN,), (EventName.ASTRONOMICAL_DUSK,)),
    (-12.0, (EventName.NAUTICAL_DAWN,), (EventName.NAUTICAL_DUSK,)),
    (
        -6.0,
        (EventName.CIVIL_DAWN, EventName.BLUE_HOUR_START),
        (EventName.BLUE_HOUR_END, EventName.CIVIL_DUSK),
    ),
    (
        -4.0,
        (EventName.BLUE_HOUR_END, EventName.GOLDEN_HOUR_START),
        (EventName.GOLDEN_HOUR_END, EventName.BLUE_HOUR_START),
    ),
    (SUNRISE_ALTITUDE_DEG, (EventName.SUNRISE,), (EventName.SUNSET,)),
    (6.0, (EventName.GOLDEN_HOUR_END,), (EventName.GOLDEN_HOUR_START,)),
)

_SUN_NAMES = tuple(
    name for name in EventName if name not in (EventName.MOONRISE, EventName.MOONSET)
)
_MOON_NAMES = (EventName.MOONRISE, EventName.MOONSET)
_FIRST_LOOK = timedelta(days=2)  # nearly always enough for the next event


def day_events(site: Site, day: date, zone: str) -> DayEvents:
    """Everything that happens on a local date at a site.

    A date may hold an event twice or not at all, and last 23 or 25 hours.
    Raises `UserError` for an unknown zone, outside the years 1900 to 2099, and
    for a date that a zone left out as it crossed the date line.
    """
    require_computed(day)
    span = local_day(day, zone)
    if span.length <= timedelta():
        raise UserError(
            f"{day.day} {day:%B %Y} does not exist in {zone}: the clocks left it out."
        )
    events = events_between(site, span.start, span.stop)
    found = {event.name for event in events}
    sun_always: Literal["up", "down"] | None = None
    if not found & {EventName.SUNRISE, EventName.SUNSET}:
        noon = sky_position(Body.SUN, site, span.start + span.length / 2)
        sun_always = "up" if noon.altitude_deg > SUNRISE_ALTITUDE_DEG else "down"
    missing = tuple(name for name in EventName if name not in found)
    return DayEvents(events, missing, sun_always)


def events_between(site: Site, start: datetime, stop: datetime) -> tuple[Event, ...]:
    """Every event with start <= instant < stop, by time.

    Raises `UserError` outside the years 1900 to 2099.
    """
    return _events(site, start, stop, tuple(EventName))


def events_named(
    site: Site, names: tuple[EventName, ...], start: datetime, stop: datetime
) -> tuple[Event, ...]:
    """The events of some names with start <= instant < stop, by time."""
    return _events(site, start, stop, names)


def next_event(
    site: Site, name: EventName, after: datetime, within_days: int = 400
) -> Event | None:
    """The first event of a name after an instant, or None if there is none for so long.

    400 days see the end of every polar day and night.
    """
    start, length = after, _FIRST_LOOK
    end = after + timedelta(days=within_days)
    while start < end:
        stop = min(start + length, end)
        for event in _events(site, start, stop, (name,)):
            if event.instant > after:
                return event
        start, length = stop, length * 8
    return None


def _events(
    site: Site, start: datetime, stop: datetime, names: tuple[EventName, ...]
) -> tuple[Event, ...]:
    if stop <= start:
        return ()
    found: list[Event] = []
    if any(name in _SUN_NAMES for name in names):
        sun = Passages(Body.SUN, site, start, stop)
        wanted = [
            altitude
            for altitude in SUN_ALTITUDES
            if any(name in names for name in altitude[1] + altitude[2])
        ]
        crossings = sun.of_altitudes([altitude_deg for altitude_deg, _, _ in wanted])
        for (_, rising, sinking), passed in zip(wanted, crossings, strict=True):
            found += _named(sun, passed, rising, sinking)
        if EventName.SOLAR_NOON in names:
            noons_s = sun.of_meridian()
            for time_s, azimuth in zip(noons_s, sun.azimuth_deg(noons_s), strict=True):
                found.append(_event(EventName.SOLAR_NOON, time_s, azimuth))
    if any(name in _MOON_NAMES for name in names):
        moon = Passages(Body.MOON, site, start, stop)
        found += _named(
            moon, moon.of_horizon(), (EventName.MOONRISE,), (EventName.MOONSET,)
        )
    # Stable, so what happens at one instant stays in the order given above.
    found.sort(key=lambda event: event.instant)
    return tuple(event for event in found if event.name in names)


def _named(
    passages: Passages,
    crossings: Crossings,
    rising: tuple[EventName, ...],
    sinking: tuple[EventName, ...],
) -> list[Event]:
    times_s, directions = crossings
    azimuths = passages.azimuth_deg(times_s)
    return [
        _event(name, time_s, azimuth)
        for time_s, direction, azimuth in zip(
            times_s, directions, azimuths, strict=True
        )
        for name in (rising if direction > 0 else sinking)
    ]


def _event(name: EventName, time_s: float, azimuth_deg: float) -> Event:
    return Event(name, to_datetime(float(time_s)), float(azimuth_deg))
