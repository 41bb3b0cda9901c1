"""A trip from getting up to being home again, as steps with their times.

What nobody said stays unknown, and so does every time that hangs on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from fieldtrip.places.records import StartPlace
from fieldtrip.times import Span
from fieldtrip.trips.opening import open_span_at
from fieldtrip.trips.plan import TripFacts


class StepKind(StrEnum):
    """What is done in a step."""

    WAKE = "wake"
    DRIVE_OUT = "drive out"
    KIT_UP = "kit up"
    WALK = "walk"
    STOP = "stop"
    BACK = "back at the end"  # of the walk: at the car
    DRIVE_BACK = "drive back"


class Unsaid(StrEnum):
    """What was not said, and leaves a part of the day unknown."""

    WAKE = "wake"
    START_PLACE = "start_place"
    DRIVE_OUT = "drive_out"
    KIT_UP = "kit_up"
    PLAN = "plan"  # no walk and no stop
    DRIVE_BACK = "drive_back"
    START_HOURS = "start_hours"
    END_HOURS = "end_hours"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayStep:
    """One step; a moment has the same start and finish."""

    kind: StepKind
    start: datetime | None  # None: not known
    finish: datetime | None
    about: str = ""  # the place, leg or spot
    length: timedelta | None = None  # also where its times are not known


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorToDoor:
    """All steps of a day in order, and what follows from them."""

    steps: tuple[DayStep, ...]
    at_start: datetime | None  # when the car is parked, or one lands
    leave_home: datetime | None
    home: datetime | None  # as planned
    latest_home: datetime | None  # after the latest return
    wake: datetime | None
    start_open: Span | None  # the hours of the start in which the day begins
    end_open: Span | None  # those of the end
    unsaid: tuple[Unsaid, ...]  # in the order of `Unsaid`

    @property
    def awake(self) -> timedelta | None:
        """How long the driver will have been awake when home, by the plan."""
        return self._since_waking(self.home)

    @property
    def latest_awake(self) -> timedelta | None:
        """The same after the latest return."""
        return self._since_waking(self.latest_home)

    @property
    def wakes_too_late(self) -> bool:
        """Whether home must be left before the driver is up."""
        wake, leave = self.wake, self.leave_home
        return wake is not None and leave is not None and leave < wake

    def _since_waking(self, instant: datetime | None) -> timedelta | None:
        if self.wake is None or instant is None:
            return None
        return instant - self.wake


def door_to_door(facts: TripFacts) -> DoorToDoor:
    """The whole day of a trip, reckoned from its first step and its last one."""
    trip, unsaid = facts.trip, _unsaid(facts)
    drive_out, kit_up, drive_back = (
        None if length is None else timedelta(minutes=length)
        for length in (trip.drive_out_min, trip.kit_up_min, trip.drive_back_min)
    )
    has_plan = bool(facts.walks or facts.stops)
    first = facts.span.start if has_plan else None
    last = facts.span.stop if has_plan else None
    at_start = _less(first, kit_up)
    leave_home = _less(at_start, drive_out)
    home = _plus(last, drive_back)
    start = facts.start_place.name if facts.start_place else ""
    end = facts.end_place.name if facts.end_place else ""
    return DoorToDoor(
        steps=(
            _moment(StepKind.WAKE, trip.wake),
            _step(StepKind.DRIVE_OUT, leave_home, at_start, start, drive_out),
            _step(StepKind.KIT_UP, at_start, first, start, kit_up),
            *_planned(facts),
            _moment(StepKind.BACK, last, end),
            _step(StepKind.DRIVE_BACK, last, home, "", drive_back),
        ),
        at_start=at_start,
        leave_home=leave_home,
        home=home,
        latest_home=_plus(trip.latest_return, drive_back),
        wake=trip.wake,
        start_open=_hours(facts.start_place, at_start or first, facts),
        end_open=_hours(facts.end_place, first, facts),
        unsaid=unsaid,
    )


def _planned(facts: TripFacts) -> list[DayStep]:
    """Walks and stops as they follow one another; a walk ends as planned."""
    steps = [
        _step(StepKind.WALK, walk.walk.start, walk.walk.finish, walk.name)
        for walk in facts.walks
    ]
    steps += [
        _step(StepKind.STOP, stop.stop.arrive, stop.stop.leave, stop.name)
        for stop in facts.stops
    ]
    return sorted(steps, key=lambda step: (step.start, step.finish))


def _unsaid(facts: TripFacts) -> tuple[Unsaid, ...]:
    trip = facts.trip
    said = {
        Unsaid.WAKE: trip.wake is not None,
        Unsaid.START_PLACE: facts.start_place is not None,
        Unsaid.DRIVE_OUT: trip.drive_out_min is not None,
        Unsaid.KIT_UP: trip.kit_up_min is not None,
        Unsaid.PLAN: bool(facts.walks or facts.stops),
        Unsaid.DRIVE_BACK: trip.drive_back_min is not None,
        Unsaid.START_HOURS: _are_hours_said(facts.start_place),
        Unsaid.END_HOURS: _are_hours_said(facts.end_place),
    }
    return tuple(one for one, is_said in said.items() if not is_said)


def _are_hours_said(place: StartPlace | None) -> bool:
    """Of a place that is not named nothing more is asked."""
    return place is None or place.hours is not None or bool(place.is_always_open)


def _hours(
    place: StartPlace | None, instant: datetime | None, facts: TripFacts
) -> Span | None:
    if place is None or place.hours is None or instant is None:
        return None
    return open_span_at(place.hours, instant, facts.location.zone)


def _moment(kind: StepKind, instant: datetime | None, about: str = "") -> DayStep:
    return DayStep(
        kind=kind, start=instant, finish=instant, about=about, length=timedelta()
    )


def _step(
    kind: StepKind,
    start: datetime | None,
    finish: datetime | None,
    about: str,
    length: timedelta | None = None,
) -> DayStep:
    if length is None and start is not None and finish is not None:
        length = finish - start
    return DayStep(kind=kind, start=start, finish=finish, about=about, length=length)


def _less(instant: datetime | None, length: timedelta | None) -> datetime | None:
    return None if instant is None or length is None else instant - length


def _plus(instant: datetime | None, length: timedelta | None) -> datetime | None:
    return None if instant is None or length is None else instant + length
