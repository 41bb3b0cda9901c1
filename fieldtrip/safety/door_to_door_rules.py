"""The day around the walk: a gate that shuts, and who drives home how tired."""

from __future__ import annotations

from datetime import datetime, timedelta

from fieldtrip.places.records import StartPlace
from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.gaps import record_gone
from fieldtrip.safety.limits import SOURCE_AWAKE, SOURCE_START, Limits
from fieldtrip.trips.door_to_door import DoorToDoor, door_to_door
from fieldtrip.trips.opening import open_span_at
from fieldtrip.trips.plan import TripFacts

_HOUR = timedelta(hours=1)
_REMEDIES = {
    Reason.START_STAYS_OPEN: Remedy.NOTHING,
    Reason.START_NOT_SAID: Remedy.RECORD_START,
    Reason.START_ARRIVAL_NOT_SAID: Remedy.SAY_DRIVES,
    Reason.START_HOURS_NOT_SAID: Remedy.RECORD_START,
    Reason.AWAKE_FINE: Remedy.NOTHING,
    Reason.NOBODY_DRIVES: Remedy.NOTHING,
    Reason.AWAKE_LONG: Remedy.REST_OR_SHARE,
    Reason.AWAKE_NOT_SAID: Remedy.SAY_DRIVES,
    Reason.DRIVE_NOT_SAID: Remedy.SAY_DRIVES,
}


def start_open(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the start and one for another end: open from arrival to return.

    The return is the plan's, and the latest one where that is later; a gate that
    shuts before the plan's return is a stop.
    """
    trip, day = facts.trip, door_to_door(facts)
    arrives = day.at_start or facts.span.start
    returns = facts.span.stop
    if trip.start_place_id is None:
        start = _finding(facts, limits, None, Severity.UNKNOWN, Reason.START_NOT_SAID)
    elif facts.start_place is None:
        start = _gone(facts, "start")
    else:
        is_same = facts.end_place == facts.start_place
        back = returns if is_same else arrives
        start = _of_place(facts.start_place, arrives, back, facts, limits, is_same)
    if trip.end_place_id is None or trip.end_place_id == trip.start_place_id:
        return (start,)
    if facts.end_place is None:
        return (start, _gone(facts, "end"))
    end = _of_place(facts.end_place, returns, returns, facts, limits, is_end=True)
    return (start, end)


def awake(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: how long whoever drives has been up when home.

    Counted by the plan, and after the latest return where that is later.
    """
    day = door_to_door(facts)
    severity, reason, hours = _judge_awake(day, facts, limits)
    numbers = [Number("awake_limit", limits.awake / _HOUR, "h", is_limit=True)]
    if hours is not None:
        numbers.append(Number("awake", hours, "h"))
    home = _later(day.home, day.latest_home)
    if home is not None:
        numbers.append(Number("home", home, "UTC"))
    if day.wake is not None:
        numbers.append(Number("wake", day.wake, "UTC"))
    return (
        Finding(
            rule=Rule.AWAKE,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=_REMEDIES[reason],
            source=SOURCE_AWAKE,
            numbers=tuple(numbers),
            span=facts.span,
        ),
    )


def _judge_awake(
    day: DoorToDoor, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, float | None]:
    trip = facts.trip
    if trip.drive_out_min == 0.0 and trip.drive_back_min == 0.0:
        return Severity.DOES_NOT_APPLY, Reason.NOBODY_DRIVES, None
    if trip.drive_back_min is None or day.home is None:
        return Severity.UNKNOWN, Reason.DRIVE_NOT_SAID, None
    lengths = [each for each in (day.awake, day.latest_awake) if each is not None]
    if not lengths or min(lengths) < timedelta():
        return Severity.UNKNOWN, Reason.AWAKE_NOT_SAID, None
    longest = max(lengths)
    if longest > limits.awake:
        return Severity.CAUTION, Reason.AWAKE_LONG, longest / _HOUR
    return Severity.CLEAR, Reason.AWAKE_FINE, longest / _HOUR


def _of_place(
    place: StartPlace,
    arrives: datetime,
    returns: datetime,
    facts: TripFacts,
    limits: Limits,
    is_end: bool,
) -> Finding:
    if place.hours is None:
        if place.is_always_open:
            severity, reason = Severity.CLEAR, Reason.START_STAYS_OPEN
        else:
            severity, reason = Severity.UNKNOWN, Reason.START_HOURS_NOT_SAID
        return _finding(facts, limits, place, severity, reason)
    span = open_span_at(place.hours, arrives, facts.location.zone)
    latest = _later(returns, facts.trip.latest_return) if is_end else returns
    if arrives < span.start:
        severity, reason = Severity.STOP, Reason.START_OPENS_LATE
    elif returns > span.stop or arrives > span.stop:
        severity, reason = Severity.STOP, Reason.START_SHUTS
    elif facts.trip.kit_up_min is None:  # so it is not known when one is there
        severity, reason = Severity.UNKNOWN, Reason.START_ARRIVAL_NOT_SAID
    elif latest is not None and latest + limits.start_reserve > span.stop:
        severity, reason = Severity.CAUTION, Reason.START_SHUTS_SOON
    else:
        severity, reason = Severity.CLEAR, Reason.START_STAYS_OPEN
    numbers = (
        Number("opens", span.start, "UTC"),
        Number("shuts", span.stop, "UTC"),
        Number("arrives", arrives, "UTC"),
        Number("returns", returns, "UTC"),
    )
    return _finding(facts, limits, place, severity, reason, numbers)


def _finding(
    facts: TripFacts,
    limits: Limits,
    place: StartPlace | None,
    severity: Severity,
    reason: Reason,
    numbers: tuple[Number, ...] = (),
) -> Finding:
    reserve = limits.start_reserve.total_seconds() / 60
    return Finding(
        rule=Rule.START_OPEN,
        about=facts.trip.name if place is None else place.name,
        about_id=None if place is None else place.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.PARK_ELSEWHERE),
        source=SOURCE_START,
        numbers=(Number("reserve", reserve, "min", is_limit=True), *numbers),
        span=facts.span,
    )


def _gone(facts: TripFacts, name: str) -> Finding:
    trip = facts.trip
    return record_gone(Rule.START_OPEN, name, trip.id, facts.span, SOURCE_START)


def _later(one: datetime | None, other: datetime | None) -> datetime | None:
    known = [each for each in (one, other) if each is not None]
    return max(known, default=None)
