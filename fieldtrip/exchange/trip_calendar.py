"""A trip for a calendar: what is done, and what rings before it is too late.

Each entry keeps its name for ever, so that a trip that is given out again takes the
place of its older self.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from fieldtrip.errors import UserError
from fieldtrip.exchange.calendar import CalendarAlarm, CalendarEvent, calendar_bytes
from fieldtrip.safety.decision_times import decision_time
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.turn_back import turn_back
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.door_to_door import door_to_door
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import StopFacts, TripFacts, facts_of
from fieldtrip.trips.records import Trip
from fieldtrip.wording import when_text

_SOON = timedelta(minutes=15)
_EARLY = timedelta(minutes=30)
_NOW = timedelta()


def trip_events(
    facts: TripFacts, settings: Settings, limits: Limits | None = None
) -> tuple[CalendarEvent, ...]:
    """Leaving, the trip, its gates, stops and turn-back times, and the return."""
    return tuple(_events(facts, settings, limits or limits_from(settings.limits)))


def trip_calendar(
    dossier: Dossier, trip: Trip, settings: Settings, now: datetime
) -> bytes:
    """A trip as an iCalendar file, every time in UTC.

    Raises `UserError` for a trip without any time, and outside the Sun's years.
    """
    events = trip_events(facts_of(dossier, trip, now), settings)
    if not events:
        raise UserError(
            f"“{trip.name}” has no times yet, so there is nothing for a calendar. "
            "Plan its stops or walks first."
        )
    return calendar_bytes(events, now)


def _events(
    facts: TripFacts, settings: Settings, limits: Limits
) -> Iterator[CalendarEvent]:
    trip, place = facts.trip, facts.location.name

    def moment(
        name: object, at: datetime, title: str, text: str, *alarms: timedelta
    ) -> CalendarEvent:
        return CalendarEvent(
            uid=_uid(name),
            start=at,
            end=at,
            title=title,
            text=text,
            place=place,
            alarms=tuple(CalendarAlarm(before, title) for before in alarms),
        )

    if facts.stops or facts.walks:
        yield CalendarEvent(
            uid=_uid(trip.id),
            start=facts.span.start,
            end=facts.span.stop,
            title=f"{trip.name}, {place}",
            text=_text(facts, settings),
            place=place,
            position=facts.location.position,
        )
    day = door_to_door(facts)
    leave = day.leave_home or (facts.span.start if facts.walks or facts.stops else None)
    if leave is not None:
        title = "Leave home" if day.leave_home is not None else "Start of the trip"
        yield moment(
            f"{trip.id}-leave", leave, f"{title}: {trip.name}", "", _EARLY, _NOW
        )
    for gate in facts.gates:
        found = decision_time(facts, gate, limits)
        if found.at is not None:
            text = _lines(
                f"Go on only if: {gate.must_see}" if gate.must_see.strip() else "",
                f"Else: {gate.fallback}" if gate.fallback.strip() else "",
            )
            yield moment(gate.id, found.at, f"Decide: {gate.name}", text, _SOON, _NOW)
    for stop in facts.stops:
        yield _stay(stop, facts)
    for finding in turn_back(facts, limits):
        at = finding.instant("turn_back")
        if at is not None and finding.about_id is not None:
            yield moment(
                f"{finding.about_id}-leave",
                at,
                f"Leave {finding.about} at the latest",
                "",
                _SOON,
                _NOW,
            )
    if trip.latest_return is not None:
        yield moment(
            f"{trip.id}-return",
            trip.latest_return,
            f"Latest return: {trip.name}",
            f"Tell the contact: {trip.contact}" if trip.contact.strip() else "",
            _EARLY,
            _NOW,
        )
    if trip.raise_alarm is not None:
        yield moment(
            f"{trip.id}-alarm",
            trip.raise_alarm,
            f"The contact raises the alarm: {trip.name}",
            "",
            _EARLY,
        )


def _stay(stop: StopFacts, facts: TripFacts) -> CalendarEvent:
    span = Span(stop.stop.arrive, max(stop.stop.arrive, stop.stop.leave))
    vantage = stop.vantage_point
    return CalendarEvent(
        uid=_uid(stop.stop.id),
        start=span.start,
        end=span.stop,
        title=f"{stop.stop.number}. {stop.name}",
        text=stop.stop.wanted.strip(),
        place=f"{stop.name}, {facts.location.name}",
        position=None if vantage is None else vantage.position,
    )


def _text(facts: TripFacts, settings: Settings) -> str:
    trip, zone = facts.trip, facts.location.zone
    back, alarm = (
        "not known" if at is None else when_text(at, zone, settings, trip.day)
        for at in (trip.latest_return, trip.raise_alarm)
    )
    return _lines(
        f"Times of {zone}.",
        f"Latest return: {back}. Alarm: {alarm}.",
        f"Emergency: {trip.emergency or facts.location.emergency or 'not known'}",
        f"Contact: {trip.contact or 'not known'}",
        "A planning aid; not for navigation.",
    )


def _lines(*texts: str) -> str:
    return "\n".join(text for text in texts if text)


def _uid(name: object) -> str:
    return f"{name}@fieldtrip"
