"""A trip: one day at one location, what is walked and where the camera stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID, uuid4

from fieldtrip.faults import finite, long_text, missing_name
from fieldtrip.trips.wanted import Condition


class WalkingRule(StrEnum):
    """By which rule the time of a walk is reckoned."""

    DIN = "DIN 33466"
    NAISMITH = "Naismith with Langmuir"
    TOBLER = "Tobler"
    SWISS = "Swiss polynomial"


class GateKind(StrEnum):
    """Where one decides whether to go on."""

    HOME = "before leaving home"
    START = "at the start"
    LEG = "before a leg"
    STOP = "at a stop"
    OTHER = "elsewhere"


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
    rain_48h_mm: float | None = None  # fallen in the 48 hours before; None: not said
    start_place_id: UUID | None = None
    end_place_id: UUID | None = None  # None: where it started
    meeting_place_id: UUID | None = None  # where help or company is met
    earliest_start: datetime | None = None  # not on foot before
    walking_rule: WalkingRule = WalkingRule.DIN
    pack_factor: float = 1.0  # above 1: slower under a heavy pack
    break_min: float = 0.0  # rest on each way, over the whole trip
    wake: datetime | None = None  # when whoever drives got up
    drive_out_min: float | None = None  # from the door to the start; None: not said
    drive_back_min: float | None = None
    kit_up_min: float | None = None  # from the car to the first step
    car: str = ""  # make, colour and plate, for those who look for it
    alarm_with: str = ""  # whom the contact calls when nobody comes back
    kit: str = ""  # what goes along, a thing a line
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "trip"),
            *finite("The rain of 48 hours", self.rain_48h_mm, 0.0, 2_000.0, "mm"),
            *finite("The pack factor", self.pack_factor, 1.0, 3.0, ""),
            *finite("The breaks", self.break_min, 0.0, 720.0, "min"),
            *finite("The drive out", self.drive_out_min, 0.0, 2_880.0, "min"),
            *finite("The drive back", self.drive_back_min, 0.0, 2_880.0, "min"),
            *finite("The time to kit up", self.kit_up_min, 0.0, 240.0, "min"),
            *long_text(self.car),
            *long_text(self.alarm_with),
            *long_text(self.kit),
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
        start = self.earliest_start
        if back is not None and start is not None and back < start:
            found.append("The latest return cannot come before the earliest start.")
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
    conditions: tuple[Condition, ...] = ()  # all of them wanted at once
    is_must: bool = True  # False: may be left out
    least_min: float = 15.0  # of the wanted light, below which it is not worth it
    wish_min: float = 45.0  # of the wanted light
    setup_min: float = 15.0  # before it; common practice
    is_pinned: bool = False  # its times stay as typed when the plan is made anew
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *long_text(self.wanted),
            *finite("The least time", self.least_min, 0.0, 1_440.0, "min"),
            *finite("The wished time", self.wish_min, 0.0, 1_440.0, "min"),
            *finite("The time to set up", self.setup_min, 0.0, 1_440.0, "min"),
        ]
        for condition in self.conditions:
            found += condition.faults()
        if self.leave < self.arrive:
            found.append("A stop must be left after it is reached.")
        if self.wish_min < self.least_min:
            found.append("The wished time of a stop cannot be below its least time.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One leg of an access route, or a part of one, walked at a time."""

    trip_id: UUID
    leg_id: UUID
    start: datetime
    finish: datetime
    is_reversed: bool = False  # against the direction of the leg's line
    from_share: float = 0.0  # the part of the leg that is walked, along its line
    to_share: float = 1.0
    id: UUID = field(default_factory=uuid4)

    @property
    def share(self) -> float:
        """How much of the leg it goes over."""
        return self.to_share - self.from_share

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = []
        if self.finish <= self.start:
            found.append("A walk must take some time.")
        # Written so that nan fails too.
        if not 0.0 <= self.from_share < self.to_share <= 1.0:
            found.append("A walk must go over some part of its leg.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """A point at which one goes on or turns to the fallback."""

    trip_id: UUID
    number: int  # its place in the trip, from 1
    name: str
    kind: GateKind
    leg_id: UUID | None = None  # before which leg
    vantage_point_id: UUID | None = None  # at which stop
    must_see: str = ""  # what must be seen there to go on
    fallback: str = ""  # what is done instead
    decide_by: datetime | None = None  # typed; None: computed from the plan
    id: UUID = field(default_factory=uuid4)

    @property
    def stands(self) -> tuple[GateKind, UUID | None]:
        """Where: its kind, with the leg or the vantage point that it names."""
        return self.kind, self.leg_id or self.vantage_point_id

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *missing_name(self.name, "gate"),
            *long_text(self.must_see),
            *long_text(self.fallback),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class DateSearch:
    """A question for dates, kept with its vantage point."""

    location_id: UUID
    name: str
    first_day: date  # in the location's zone
    last_day: date
    conditions: tuple[Condition, ...]
    vantage_point_id: UUID | None = None  # None: of the location as a whole
    subject_id: UUID | None = None
    least_min: float = 1.0  # that a window must last
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "search"),
            *finite("The least time", self.least_min, 0.0, 1_440.0, "min"),
        ]
        for condition in self.conditions:
            found += condition.faults()
        if self.last_day < self.first_day:
            found.append("The last day of a search cannot come before its first.")
        return found


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
