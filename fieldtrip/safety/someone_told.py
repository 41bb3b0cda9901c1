"""Does somebody know, until when, and what to do then?"""

from __future__ import annotations

from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
    short_form,
)
from fieldtrip.safety.limits import SOURCE_TOLD, Limits
from fieldtrip.trips.plan import TripFacts


def someone_told(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip; only a person's tick makes it clear."""
    del limits  # no threshold
    missing = _missing(facts)
    trip = facts.trip
    numbers = [Number("party", float(trip.party), "people")]
    if trip.latest_return is not None:
        numbers.append(Number("latest_return", trip.latest_return, "UTC"))
    if trip.raise_alarm is not None:
        numbers.append(Number("raise_alarm", trip.raise_alarm, "UTC"))
    return (
        Finding(
            rule=Rule.SOMEONE_TOLD,
            about=trip.name,
            about_id=None,
            severity=Severity.UNKNOWN,
            reason=Reason.TOLD_INCOMPLETE if missing else Reason.NOT_TICKED,
            remedy=Remedy.FILL_IN if missing else Remedy.TELL_SOMEONE,
            source=SOURCE_TOLD,
            basis=trip.contact.strip(),
            numbers=tuple(numbers),
            notes=missing + ((Note.ALONE,) if trip.party == 1 else ()),
            span=facts.span,
            can_be_ticked=not missing,
            stands_for=_what_was_told(facts),
        ),
    )


def _what_was_told(facts: TripFacts) -> str:
    """Who, until when, what then and where; a change of any must be told anew."""
    trip = facts.trip
    return short_form(
        trip.contact,
        trip.latest_return,
        trip.raise_alarm,
        trip.alarm_with,
        trip.party,
        [stop.stop.vantage_point_id for stop in facts.stops],
        [walk.walk.leg_id for walk in facts.walks],
    )


def _missing(facts: TripFacts) -> tuple[Note, ...]:
    trip = facts.trip
    number = trip.emergency.strip() or facts.location.emergency.strip()
    return tuple(
        note
        for note, is_there in (
            (Note.NO_CONTACT, bool(trip.contact.strip())),
            (Note.NO_LATEST_RETURN, trip.latest_return is not None),
            (Note.NO_ALARM_TIME, trip.raise_alarm is not None),
            (Note.NO_ALARM_WITH, bool(trip.alarm_with.strip())),
            (Note.NO_EMERGENCY, bool(number)),
        )
        if not is_there
    )
