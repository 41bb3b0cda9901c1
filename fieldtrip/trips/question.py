"""What the scheduler is asked: plain values, without a record or a tide in them.

Places are numbered from 0; a way leads from one to another in one direction.  All
that shuts a way, a spot or a car park comes as spans of time with the margins
already taken off.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from fieldtrip.errors import UserError
from fieldtrip.times import Span

MOST_STOPS = 10
LONGEST = timedelta(hours=60)  # from the earliest start to the latest return
Dark = NDArray[np.bool_]  # one value a minute


class LimitKind(StrEnum):
    """What a plan must be in time for."""

    TIDE = "tide"  # a leg that the sea shuts
    FLOODED = "flooded"  # the spot itself
    DAYLIGHT = "daylight"  # a leg that must not be walked in the dark
    LIGHTS = "lights"  # nobody walks in the dark with too few lights
    SHUT = "shut"  # a closure's or a gate's hours, or what the checks refuse
    PARKING = "parking"  # the place where the trip starts or ends
    RETURN = "latest return"
    WANTED = "wanted light"
    PINNED = "pinned time"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenIn:
    """A walk or a stay must lie whole in one of some spans, and end before its end."""

    kind: LimitKind
    spans: tuple[Span, ...]  # in order; empty: never
    reserve: timedelta = timedelta()  # to be over before a span ends


class PlanNote(StrEnum):
    """What must be said with a plan."""

    NO_ROUTE = "no_route"  # it goes where no route is known
    NO_START = "no_start"  # nobody said where the trip starts
    NO_LATEST_RETURN = "no_latest_return"
    ACCEPTED_UNKNOWN = "accepted_unknown"  # a tide nobody knows, accepted in writing
    TIDAL_NOT_SAID = "tidal_not_said"  # whether the sea shuts a leg
    TIDE_UNSURE = "tide_unsure"  # some of its margins rest on what was not said
    WALK_UNSURE = "walk_unsure"  # climb or ground of a leg is not known
    WANTED_NOT_KNOWN = "wanted_not_known"  # a condition nobody can judge
    SHORT_OF_LIGHT = "short_of_light"  # a pinned stop
    PARTS_OF_LEGS = "parts_of_legs"  # a leg is left or joined between its ends
    CLOSURE_NOT_KNOWN = "closure_not_known"


class WayKind(StrEnum):
    """What one goes on."""

    LEG = "leg"  # a recorded leg, or a part of one
    LINE = "no route known"  # straight across what nobody recorded
    DRIVE = "drive"


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A piece of way in one direction."""

    start: int
    stop: int
    name: str
    minutes: float  # by day; in the dark it takes longer, unless it is driven
    kind: WayKind = WayKind.LEG
    leg_id: UUID | None = None
    is_reversed: bool = False  # against the leg's line
    from_share: float = 0.0  # of the leg's line, where the piece lies on it
    to_share: float = 1.0
    distance_m: float = 0.0
    limits: tuple[OpenIn, ...] = ()
    is_on_sands: bool = False  # nobody waits between two such pieces
    notes: tuple[PlanNote, ...] = ()  # what must be said of a plan that goes there


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A stop as it is wanted."""

    id: UUID
    name: str
    place: int
    wanted: tuple[Span, ...]  # when the light is as wanted, in order
    is_must: bool = True
    least_min: float = 15.0
    wish_min: float = 45.0
    setup_min: float = 15.0
    pinned: Span | None = None  # stays as typed, whatever the light does
    by: datetime | None = None  # to be there by then; None: at any time
    dry: OpenIn | None = None  # when one may stand there; None: always
    is_in_place: bool = True  # False: its vantage point is gone
    notes: tuple[PlanNote, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Question:
    """Everything the scheduler needs; the trip happens within `span`.

    What it is asked may be known for longer: so far a later return can be proposed.
    """

    span: Span  # from the earliest start to the latest return
    wishes: tuple[Wish, ...]
    ways: tuple[Way, ...]
    places: int  # how many
    dark: Dark  # for every minute of `reach`, from its first; shorter: by day
    start: int | None = None  # None: it begins at the first stop
    finish: int | None = None  # None: it ends at the last stop
    start_open: OpenIn | None = None  # of the place where it starts; None: always
    finish_open: OpenIn | None = None
    known: Span | None = None  # in which ways, light and dark are known
    has_latest_return: bool = True  # else the end of `span` is no limit to tell of
    order: tuple[UUID, ...] = ()  # stops that keep this order
    break_min: float = 0.0  # rest over the whole trip
    dark_factor: float = 1.5  # common practice
    # Legs and stops that are shut because nothing is known of their tide.
    unknown: tuple[UUID, ...] = ()

    @property
    def reach(self) -> Span:
        """In which everything asked is known; the span itself unless said."""
        return self.known or self.span

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = []
        if not self.wishes:
            found.append("The trip has no stops yet: choose at least one.")
        if self.span.length <= timedelta():
            found.append("The latest return must come after the earliest start.")
        if self.span.length > LONGEST:
            found.append(
                "A trip is planned over at most 60 hours from its earliest start to "
                "its latest return."
            )
        if len(self.wishes) > MOST_STOPS:
            found.append(
                f"At most {MOST_STOPS} stops are put in order at once; this trip has "
                f"{len(self.wishes)}."
            )
        if len({wish.id for wish in self.wishes}) < len(self.wishes):
            found.append("A stop is in the trip twice.")
        for wish in self.wishes:
            found += _wish_faults(wish)
        for way in self.ways:
            if not way.minutes >= 0.0 or (way.minutes == 0.0 and way.limits):
                found.append(f"{way.name}: a walk must take some time.")
        if not 0.0 <= self.break_min <= 720.0:
            found.append("The breaks must be from 0 to 720 minutes.")
        return found

    def check(self) -> None:
        """Raise `UserError` for what cannot be planned at all."""
        found = self.faults()
        if found:
            raise UserError(" ".join(found[:3]))


def _wish_faults(wish: Wish) -> list[str]:
    found = []
    for what, minutes in (
        ("least time", wish.least_min),
        ("wished time", wish.wish_min),
        ("time to set up", wish.setup_min),
    ):
        # Written so that nan fails too.
        if not 0.0 <= minutes <= 1440.0:
            found.append(f"{wish.name}: the {what} must be from 0 to 1440 minutes.")
    if wish.wish_min < wish.least_min:
        found.append(f"{wish.name}: the wished time is below the least time.")
    if wish.pinned is not None and wish.pinned.length < timedelta():
        found.append(f"{wish.name}: it must be left after it is reached.")
    if not wish.is_in_place:
        found.append(f"{wish.name}: its vantage point is gone. Choose another one.")
    return found
