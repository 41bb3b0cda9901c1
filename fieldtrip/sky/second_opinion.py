"""How far an independent program agrees with the times that safety hangs on.

That the two agree proves the arithmetic; it says nothing about the horizon at
the place, or whether its zone is right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from astral import Observer, SunDirection
from astral.sun import time_at_elevation

from fieldtrip.geo import Position
from fieldtrip.sky.events import SUN_ALTITUDES, Event, EventName
from fieldtrip.times import local_date

_COMPARED = (
    EventName.ASTRONOMICAL_DAWN,
    EventName.NAUTICAL_DAWN,
    EventName.CIVIL_DAWN,
    EventName.SUNRISE,
    EventName.SUNSET,
    EventName.CIVIL_DUSK,
    EventName.NAUTICAL_DUSK,
    EventName.ASTRONOMICAL_DUSK,
)
_SAME_EVENT = timedelta(hours=6)


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """What the other program says of a day's sunrise, sunset and twilights."""

    compared: int  # events that both give
    largest_difference_s: float | None  # None where nothing could be compared
    missing: tuple[EventName, ...]  # ours, which the other does not give
    extra: tuple[EventName, ...]  # its own, which we do not give


def second_opinion(
    site_position: Position, day: date, zone: str, events: Sequence[Event]
) -> SecondOpinion:
    """Compare a local day's events with astral's times of the same altitudes.

    Only its plain search is asked, in UTC on the day and its two neighbours, at
    sea level and without its refraction: all its other functions lose or misdate events
    in some part of the world.
    """
    differences_s: list[float] = []
    missing: list[EventName] = []
    extra: list[EventName] = []
    for name in _COMPARED:
        ours = [event.instant for event in events if event.name is name]
        theirs = _theirs(site_position, day, name)
        unmatched = {t for t in theirs if local_date(t, zone) == day}
        for instant in ours:
            nearest = min(theirs, key=lambda t: abs(t - instant), default=None)
            if nearest is None or abs(nearest - instant) > _SAME_EVENT:
                missing.append(name)
            else:
                differences_s.append(abs((nearest - instant).total_seconds()))
                unmatched.discard(nearest)
        # Near midnight the two may differ in the date; that is no extra event.
        extra += [name for t in unmatched if not _is_near_midnight(t, zone)]
    return SecondOpinion(
        compared=len(differences_s),
        largest_difference_s=max(differences_s, default=None),
        missing=tuple(missing),
        extra=tuple(extra),
    )


def _theirs(position: Position, day: date, name: EventName) -> list[datetime]:
    observer = Observer(position.lat_deg, position.lon_deg, 0.0)
    altitude_deg, direction = next(
        (altitude, SunDirection.RISING if name in rising else SunDirection.SETTING)
        for altitude, rising, sinking in SUN_ALTITUDES
        if name in rising + sinking
    )
    found: list[datetime] = []
    for shift in (-1, 0, 1):
        try:
            instant = time_at_elevation(
                observer,
                altitude_deg,
                day + timedelta(days=shift),
                direction,
                UTC,
                with_refraction=False,
            )
        except ValueError:  # it says that the Sun does not reach the altitude
            continue
        found.append(instant)
    return found


def _is_near_midnight(instant: datetime, zone: str) -> bool:
    margin = timedelta(minutes=10)
    return local_date(instant - margin, zone) != local_date(instant + margin, zone)
