"""What the scheduler answers: a plan, or what stands in the way and what would help.

Only values; `fieldtrip.plan_phrasing` puts them into words.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from fieldtrip.times import Span
from fieldtrip.trips.question import LimitKind, PlanNote, WayKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """Something a plan is in time for, and how much time is left."""

    kind: LimitKind
    name: str  # of the leg, spot or place
    record_id: UUID | None  # of the leg or the stop; None: of the trip
    at: datetime  # when it shuts, all margins taken off but the reserve
    by: datetime  # the latest at which one may step on to it, or be there
    planned: datetime  # when the plan does
    leave_by: datetime  # the latest at which to leave the stop (or start) before it
    leave_id: UUID | None  # that stop; None: the start

    @property
    def slack(self) -> timedelta:
        """How much later the plan could be there."""
        return self.by - self.planned


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStop:
    """A stay in a plan."""

    stop_id: UUID
    name: str
    arrive: datetime
    leave: datetime
    light: tuple[Span, ...]  # of the wanted light, once set up
    wanted_min: float  # minutes of it, at most as many as were wished
    is_short: bool  # pinned, and with less light than is worth it
    leave_by: datetime | None  # the latest at which the rest still works; None: any
    turn_back: datetime | None  # the latest to go straight back from; None: any

    @property
    def slack(self) -> timedelta | None:
        """How much later it may be left without anything after it failing."""
        return None if self.leave_by is None else self.leave_by - self.leave


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedWalk:
    """A piece of way in a plan."""

    kind: WayKind
    name: str
    leg_id: UUID | None  # None: no leg is recorded there
    is_reversed: bool
    from_share: float  # of the leg's line, the part that is walked
    to_share: float
    start: datetime
    finish: datetime
    distance_m: float
    latest_start: datetime | None  # by its own limits; None: it has none
    place_from: int
    place_to: int


@dataclass(frozen=True, slots=True)
class Caution:
    """A note, and what it is about."""

    note: PlanNote
    about: str  # name of a leg or a stop; empty: the trip
    record_id: UUID | None = None


class AlternativeKind(StrEnum):
    """In what another plan differs."""

    OTHER_ORDER = "other order"
    DROPPED = "one stop dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another plan, in short; ask again with its order and stops for the whole."""

    kind: AlternativeKind
    order: tuple[UUID, ...]
    dropped: UUID | None  # the stop that is left out
    must_min: float
    may_min: float
    start: datetime
    finish: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The best order and times."""

    start: datetime  # the first step
    finish: datetime  # back, or the last stop left
    stops: tuple[PlannedStop, ...]  # in order
    walks: tuple[PlannedWalk, ...]  # in order
    left_out: tuple[UUID, ...]  # stops that may be left out, and are
    must_min: float  # wanted light at the stops that must be
    may_min: float  # at the others
    slack: timedelta | None  # the smallest over all limits; None: there are none
    critical: Limit | None  # the limit with the smallest slack
    limits: tuple[Limit, ...]  # all of them, smallest slack first
    cautions: tuple[Caution, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    clock_min: int = 5  # the clock it was found on

    @property
    def length(self) -> timedelta:
        """From the first step until back."""
        return self.finish - self.start


class ObstacleKind(StrEnum):
    """What can stand in the way of a plan."""

    STOP = "stop"  # must be, with its least light
    NO_LIGHT = "no light"  # a stop's wanted light does not come, or too short
    PINNED = "pinned"
    FLOODED = "flooded"
    RETURN = "latest return"
    START = "earliest start"
    TIDE = "tide"
    TIDE_UNKNOWN = "tide not known"
    DAYLIGHT = "daylight"
    LIGHTS = "lights"
    SHUT = "shut"
    PARKING = "parking"
    ORDER = "order"
    NO_WAY = "no way"
    CHECKS = "checks"  # they stop the trip whatever its times are


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One of the limits that cannot all be kept."""

    kind: ObstacleKind
    name: str
    record_id: UUID | None = None


class StepKind(StrEnum):
    """What a person can give up."""

    DROP = "drop a stop"
    LATER_RETURN = "come back later"
    EARLIER_START = "start earlier"
    LESS_LIGHT = "be content with less light"
    UNPIN = "unpin a stop"
    FREE_ORDER = "let the order go"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing given up, as little of it as helps."""

    kind: StepKind
    name: str = ""  # of the stop
    stop_id: UUID | None = None
    minutes: int = 0  # later, earlier or less; 0 where it is no matter of time


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Steps that together make a plan possible, and none of whose parts does."""

    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Why there is no plan: drop any one of the obstacles and there is one.

    Where even that does not help, `obstacles` is what is left without any limit of
    time: a stop that no way leads to, say.
    """

    obstacles: tuple[Obstacle, ...]
    relaxations: tuple[Relaxation, ...]  # fewest steps first
    cautions: tuple[Caution, ...] = ()
