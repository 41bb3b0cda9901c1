"""A trip: one day at one location, what is walked and where the camera stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID, uuid4

from fieldtrip.faults import finite, long_text, missing_name


class SeaState(StrEnum):
    """How far waves run up a beach face, where their height is not typed."""

    CALM = "calm"
    MODERATE = "moderate"
    HEAVY = "heavy"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """What holds for the trip as a whole.  Every instant is in UTC."""

    location_id: UUID
    name: str
    day: date  # in the location's zone
    latest_return: datetime | None = None  # back at the start
    raise_alarm: datetime | None = None  # when the contact calls for help
    party: int = 1  # people, the photographer included
    lights: int | None = None  # torches or headlamps carried; None: not said
    contact: str = ""  # who knows, and how to reach them
    emergency: str = ""  # the number to call there, and where there is coverage
    pace_factor: float = 1.0  # above 1: slower than the walking rule
    notes: str = ""
    sea: SeaState | None = None  # expected at the shore that day; None: not said
    wave_height_m: float | None = None  # significant, in deep water
    wave_period_s: float | None = None  # of the peak
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "trip"),
            *finite("The wave height", self.wave_height_m, 0.0, 30.0, "m"),
            *finite("The wave period", self.wave_period_s, 1.0, 40.0, "s"),
            *finite("The pace", self.pace_factor, 0.5, 5.0, ""),
            *long_text(self.notes),
            *long_text(self.contact),
            *long_text(self.emergency),
        ]
        if not 1 <= self.party <= 1000:
            found.append("A party has from 1 to 1000 people.")
        if self.lights is not None and not 0 <= self.lights <= 1000:
            found.append("The number of lights must be from 0 to 1000.")
        back, alarm = self.latest_return, self.raise_alarm
        if back is not None and alarm is not None and alarm < back:
            found.append("The alarm cannot be raised before the latest return.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A stay at a vantage point."""

    trip_id: UUID
    number: int  # its place in the trip, from 1
    vantage_point_id: UUID
    arrive: datetime
    leave: datetime
    subject_id: UUID | None = None
    wanted: str = ""  # the light or water hoped for, in words
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        if self.leave < self.arrive:
            return ["A stop must be left after it is reached."]
        return long_text(self.wanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One leg of an access route, walked at a time."""

    trip_id: UUID
    leg_id: UUID
    start: datetime
    finish: datetime
    is_reversed: bool = False  # against the direction of the leg's line
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [] if self.finish > self.start else ["A walk must take some time."]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """What a person confirmed, or why they go against a finding."""

    trip_id: UUID
    item: str  # key of the finding it speaks of: "rule" or "rule:record id"
    at: datetime
    by: str
    reason: str = ""  # written when a stop is gone against; it stays a stop
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [*missing_name(self.by, "tick"), *long_text(self.reason)]


@dataclass(frozen=True, slots=True)
class RecordedFinding:
    """What one rule said on one run, in words."""

    rule: str
    about: str
    severity: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRun:
    """One run of the checklist, kept with its trip."""

    trip_id: UUID
    at: datetime
    overall: str  # severity
    findings: tuple[RecordedFinding, ...]
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Nothing a person typed."""
        return []
