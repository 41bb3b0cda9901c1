"""A trip's day from door to door in words, with what is not known said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldtrip.places.records import StartPlace
from fieldtrip.settings import Settings
from fieldtrip.trips.door_to_door import (
    DayStep,
    DoorToDoor,
    StepKind,
    Unsaid,
    door_to_door,
)
from fieldtrip.trips.plan import TripFacts
from fieldtrip.wording import duration_text, start_place_text, when_text

_UNKNOWN = "not known"
_UNSAID = {
    Unsaid.WAKE: "when the driver got up",
    Unsaid.START_PLACE: "where the trip starts",
    Unsaid.DRIVE_OUT: "the drive out",
    Unsaid.KIT_UP: "the time to kit up",
    Unsaid.PLAN: "any walk or stop",
    Unsaid.DRIVE_BACK: "the drive back",
    Unsaid.START_HOURS: "whether the start shuts",
    Unsaid.END_HOURS: "whether the end shuts",
}
_STEPS = {
    StepKind.WAKE: "Get up",
    StepKind.DRIVE_OUT: "Drive: to {about}",
    StepKind.KIT_UP: "Kit up",
    StepKind.WALK: "Walk: {about}",
    StepKind.STOP: "Stop: {about}",
    StepKind.BACK: "Back at {about}",
    StepKind.DRIVE_BACK: "Drive home",
}


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step of the day."""

    when: str  # "05:40 to 06:30", or "not known"
    what: str
    length: str  # "50 min"; may be empty


@dataclass(frozen=True, slots=True)
class DayPlan:
    """The whole day in words."""

    steps: tuple[StepLine, ...]
    awake: str  # "Awake for 15 h 20 min when home at 21:10"
    unsaid: str  # "Not said: the drive back, …"; empty: all was
    places: tuple[str, ...]  # start and end, with their hours


def day_plan(facts: TripFacts, settings: Settings) -> DayPlan:
    """A trip's day, from getting up to being home."""
    day = door_to_door(facts)
    say = _Sayer(facts, settings)
    unsaid = [_UNSAID[one] for one in day.unsaid]
    return DayPlan(
        steps=tuple(say.step(step) for step in day.steps),
        awake=say.awake(day),
        unsaid=f"Not said: {', '.join(unsaid)}." if unsaid else "",
        places=say.places(),
    )


@dataclass(frozen=True, slots=True)
class _Sayer:
    facts: TripFacts
    settings: Settings

    def when(self, instant: datetime) -> str:
        zone, day = self.facts.location.zone, self.facts.trip.day
        return when_text(instant, zone, self.settings, day)

    def step(self, step: DayStep) -> StepLine:
        about = step.about or ("the start" if step.kind is StepKind.DRIVE_OUT else "")
        about = about or ("the end" if step.kind is StepKind.BACK else "")
        when = _UNKNOWN
        if step.start is not None and step.start == step.finish:
            when = self.when(step.start)
        elif step.start is not None and step.finish is not None:
            when = f"{self.when(step.start)} to {self.when(step.finish)}"
        elif step.start is not None:
            when = f"{self.when(step.start)}, its end {_UNKNOWN}"
        elif step.finish is not None:
            when = f"until {self.when(step.finish)}, its start {_UNKNOWN}"
        length = duration_text(step.length) if step.length else ""
        return StepLine(when, _STEPS[step.kind].format(about=about), length)

    def awake(self, day: DoorToDoor) -> str:
        if day.awake is None or day.home is None:
            return "How long the driver is awake when home is not known."
        text = (
            f"Awake for {duration_text(day.awake)} when home at {self.when(day.home)}"
        )
        later = day.latest_awake
        if later is not None and later > day.awake + timedelta(minutes=1):
            text += f"; for {duration_text(later)} after the latest return"
        if day.wakes_too_late:
            text += ". Home must be left before the driver is up"
        return f"{text}."

    def places(self) -> tuple[str, ...]:
        facts, found = self.facts, []
        if facts.start_place is not None:
            found.append(f"Start: {self._place(facts.start_place)}.")
        if facts.end_place is not None and facts.end_place != facts.start_place:
            found.append(f"End: {self._place(facts.end_place)}.")
        if facts.meeting_place is not None:
            found.append(f"Meeting: {self._place(facts.meeting_place)}.")
        return tuple(found)

    def _place(self, place: StartPlace) -> str:
        return f"{place.name}, {start_place_text(place, self.settings)}"
