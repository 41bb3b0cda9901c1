"""What is known about places.  Plain values: see `fieldtrip.store` for keeping them.

Every record is frozen, has an id made by the program, and can say in plain
sentences what is wrong with it (`faults`); the store refuses it until nothing is.
A field that may be None is *not known*, which is never the same as no.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID, uuid4

from fieldtrip.errors import UserError
from fieldtrip.faults import finite, long_text, missing_name
from fieldtrip.geo import Line, Position, line_length_m
from fieldtrip.places.seasons import OpenHours, Season
from fieldtrip.times import zone_of


class Ground(StrEnum):
    """What one walks on; it sets the pace."""

    PATH = "path"
    PATHLESS = "pathless"
    BOULDERS = "boulders"
    UNKNOWN = "not known"


class HazardKind(StrEnum):
    """Why one might come to harm."""

    CLIFF_EDGE = "cliff edge"
    CLIFF_FOOT = "cliff foot"
    TIDE = "tide"
    WAVES = "waves"
    SOFT_GROUND = "soft ground"
    SLIPPERY = "slippery rock"
    RIVER = "river"
    OTHER = "other"


class ClosureKind(StrEnum):
    """Why a place is shut, or when it is open."""

    NESTING = "nesting"
    SEASONAL = "seasonal"
    HOURS = "gate or car park hours"
    WORKS = "works"
    OTHER = "other"


class Shore(StrEnum):
    """What waves meet there: how far they run up beyond the still water."""

    SHELTERED = "out of reach of waves"
    SAND = "sandy beach face"
    STONES = "beach face of shingle or boulders"
    ROCK = "rock platform"  # nothing is known, so it is never clear


class Coverage(StrEnum):
    """Whether a telephone can call from there."""

    NONE = "none"
    PATCHY = "patchy"
    GOOD = "good"


class StartKind(StrEnum):
    """Where a trip begins and ends, or where one meets."""

    CAR_PARK = "car park"
    LANDING = "ferry landing"
    HUT = "hut"
    MEETING = "meeting point"
    OTHER = "other"


class WantedTurn(StrEnum):
    """Which way the water goes when it is wanted at a height."""

    EITHER = "rising or falling"
    RISING = "rising"
    FALLING = "falling"


class Shape(StrEnum):
    """How a hazard or a closure lies on the map."""

    POINT = "point"
    LINE = "line"
    AREA = "area"


LEAST_POINTS = {Shape.POINT: 1, Shape.LINE: 2, Shape.AREA: 3}


class NoteKind(StrEnum):
    """What an access note is about."""

    WAY = "way"
    PARKING = "parking"
    PERMISSION = "permission"
    CLOSURE = "closure"
    SURFACE = "surface"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Location:
    """A stretch of coast worth visiting, with the zone in which its times are told."""

    name: str
    position: Position
    zone: str  # IANA name
    notes: str = ""
    station_id: UUID | None = None  # whose tide is taken there; None: not said
    # A headland, bar or narrows between the place and its station; None: not said.
    is_station_beyond_headland: bool | None = None
    emergency: str = ""  # the number to call there, and who answers
    coverage: Coverage | None = None  # of a telephone; None: not said
    nearest_road: str = ""  # for those who come to help
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "location"),
            *long_text(self.notes),
            *long_text(self.emergency),
            *long_text(self.nearest_road),
        ]
        try:
            zone_of(self.zone)
        except UserError as error:
            found.append(str(error))
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class VantagePoint:
    """A spot for the tripod."""

    location_id: UUID
    name: str
    position: Position
    position_error_m: float | None = None
    ground_m: float | None = None  # above mean sea level
    eye_height_m: float = 1.6  # of the camera, above the ground
    on_headland: bool | None = None  # unless False, wind counts half as much again
    notes: str = ""
    level_datum: str = ""  # what its tide levels count from, by name
    flooded_above_m: float | None = None  # the tide's height that floods it
    wanted_above_m: float | None = None  # the picture wants the tide from here
    wanted_below_m: float | None = None  # up to here
    wanted_turn: WantedTurn = WantedTurn.EITHER
    shore: Shore | None = None
    beach_slope: float | None = None  # rise over run of the beach face
    seaward_deg: float | None = None  # true bearing towards which the shore faces
    coverage: Coverage | None = None  # of a telephone; None: not said
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *missing_name(self.name, "vantage point"),
            *finite("The seaward bearing", self.seaward_deg, 0.0, 360.0, "°"),
            *finite("The position error", self.position_error_m, 0.0, 10_000.0, "m"),
            *finite("The ground", self.ground_m, -500.0, 9_000.0, "m"),
            *finite("The camera height", self.eye_height_m, 0.0, 100.0, "m"),
            *finite("The flooding level", self.flooded_above_m, -30.0, 30.0, "m"),
            *finite("The lower wanted level", self.wanted_above_m, -30.0, 30.0, "m"),
            *finite("The upper wanted level", self.wanted_below_m, -30.0, 30.0, "m"),
            *beach_slope_faults(self.beach_slope),
            *_wanted_faults(self.wanted_above_m, self.wanted_below_m),
            *long_text(self.notes),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is photographed."""

    location_id: UUID
    name: str
    position: Position
    height_m: float | None = None  # from its foot to its top
    ground_m: float | None = None  # of its foot, above mean sea level
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *missing_name(self.name, "subject"),
            *finite("The height", self.height_m, 0.0, 9_000.0, "m"),
            *finite("The ground", self.ground_m, -500.0, 9_000.0, "m"),
            *long_text(self.notes),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessRoute:
    """A way in and out, made of legs."""

    location_id: UUID
    name: str
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [*missing_name(self.name, "access route"), *long_text(self.notes)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refuge:
    """Ground to wait on when the tide has shut the way."""

    location_id: UUID
    name: str
    position: Position
    stays_dry: bool | None = None  # above highest astronomical tide plus surge
    confirmed: date | None = None  # by someone who stood there
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [*missing_name(self.name, "refuge"), *long_text(self.notes)]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartPlace:
    """Where a trip starts from and comes back to, or where one meets."""

    location_id: UUID
    name: str
    kind: StartKind
    position: Position
    hours: OpenHours | None = None  # by the clock of the place
    is_always_open: bool | None = None  # None: not said, unless there are hours
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [*missing_name(self.name, "start"), *long_text(self.notes)]
        hours = self.hours
        if hours is not None and hours.opens == hours.shuts:
            found.append("A gate cannot open and shut at the same minute.")
        if hours is not None and self.is_always_open:
            found.append("Give a start either its hours or say that it never shuts.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One stretch of an access route, walked in either direction.

    Distance, ascent and descent are in the direction of its line; a typed
    distance stands in place of the line's own length.
    """

    route_id: UUID
    number: int  # its place in the route, from 1
    name: str
    line: Line
    distance_m: float | None = None
    ascent_m: float | None = None
    descent_m: float | None = None
    ground: Ground = Ground.UNKNOWN
    is_exposed: bool | None = None  # a fall would hurt
    daylight_only: bool | None = None
    walked_in_daylight: bool | None = None  # ever, by this person
    is_tidal: bool | None = None  # the sea can shut it
    shut_above_m: float | None = None  # above the tide table's datum
    shut_datum: str = ""  # that datum, by name
    refuge_id: UUID | None = None
    shore: Shore | None = None  # what waves meet on a tidal leg
    beach_slope: float | None = None  # rise over run of the beach face
    # Storm, slide or flood after which older observations raise no level.
    last_storm: date | None = None
    on_headland: bool | None = None  # unless False, wind counts half as much again
    crosses_water: bool | None = None  # a stream or a river mouth that rain raises
    seaward_deg: float | None = None  # true bearing towards which the shore faces
    id: UUID = field(default_factory=uuid4)

    @property
    def length_m(self) -> float:
        """The typed distance, or else the length of the line on the map."""
        return line_length_m(self.line) if self.distance_m is None else self.distance_m

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "leg"),
            *finite("The distance", self.distance_m, 0.0, 200_000.0, "m"),
            *finite("The ascent", self.ascent_m, 0.0, 9_000.0, "m"),
            *finite("The descent", self.descent_m, 0.0, 9_000.0, "m"),
            *finite("The closing level", self.shut_above_m, -30.0, 30.0, "m"),
            *finite("The seaward bearing", self.seaward_deg, 0.0, 360.0, "°"),
            *beach_slope_faults(self.beach_slope),
        ]
        if len(self.line) < 2:
            found.append("A leg needs at least two points on the map.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """What can hurt, and where: a point, a line or an area on the map."""

    location_id: UUID
    name: str
    kind: HazardKind
    shape: Shape
    line: Line  # one position for a point; an area's ring, not closed
    is_fenced: bool | None = None  # edges only
    is_soft: bool | None = None  # soft rock or undercut; edges only
    height_m: float | None = None  # of the drop or the cliff
    applies: str = ""  # when, in words; empty: always
    last_confirmed: date | None = None
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        need = LEAST_POINTS[self.shape]
        found = [
            *missing_name(self.name, "hazard"),
            *finite("The height", self.height_m, 0.0, 3_000.0, "m"),
            *long_text(self.notes),
            *long_text(self.applies),
        ]
        if len(self.line) < need:
            found.append(
                f"A hazard drawn as {self.shape} needs {need} or more points."
                if need > 1
                else "A hazard needs a place on the map."
            )
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessNote:
    """What was learnt on a day about getting in, out and being allowed."""

    location_id: UUID
    day: date
    kind: NoteKind
    text: str
    review_after: date | None = None
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = long_text(self.text)
        if not self.text.strip():
            found.append("An access note needs some text.")
        if self.review_after is not None and self.review_after < self.day:
            found.append("A note cannot be due for review before it was written.")
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Permit:
    """What somebody who may say so allows here."""

    location_id: UUID
    name: str
    owner: str = ""  # who gives it
    allows: str = ""  # in words
    commercial_use: bool | None = None  # pictures may be sold
    drone: bool | None = None  # may be flown
    expires: date | None = None  # the last day on which it holds
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *missing_name(self.name, "permit"),
            *long_text(self.owner),
            *long_text(self.allows),
            *long_text(self.notes),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """When a place, or a part of it on the map, is shut, or open at hours only.

    Either certain days, or a season of every year; neither is *not known*, but
    for hours that hold every day.
    """

    location_id: UUID
    name: str
    kind: ClosureKind
    first_day: date | None = None
    last_day: date | None = None
    season: Season | None = None  # of every year
    hours: OpenHours | None = None  # by the clock of the place
    shape: Shape = Shape.AREA
    line: Line = ()  # empty: not drawn; an area's ring is not closed
    source: str = ""  # who says so: a notice, a warden, a page
    last_confirmed: date | None = None
    notes: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *missing_name(self.name, "closure"),
            *long_text(self.source),
            *long_text(self.notes),
        ]
        first, last, hours = self.first_day, self.last_day, self.hours
        if first is not None and last is not None and last < first:
            found.append("The last day of a closure cannot come before its first.")
        if self.season is not None and (first is not None or last is not None):
            found.append(
                "Give a closure either its days or its yearly season, not both: "
                "empty the one first."
            )
        if hours is not None and hours.opens == hours.shuts:
            found.append("A gate cannot open and shut at the same minute.")
        if self.line and len(self.line) < LEAST_POINTS[self.shape]:
            found.append(
                f"A closure drawn as {self.shape} needs "
                f"{LEAST_POINTS[self.shape]} or more points."
            )
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossingObservation:
    """That a tidal leg could be passed at a time, or could not.

    `level_m` is the predicted height of the still water then, above `datum`.
    """

    leg_id: UUID
    instant: datetime  # UTC
    is_passable: bool
    level_m: float
    datum: str
    pressure_hpa: float | None = None  # at sea level; None: not noted
    is_confirmed: bool = False  # by the person, after looking at the figures again
    remark: str = ""
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = [
            *finite("The level", self.level_m, -30.0, 30.0, "m"),
            *finite("The pressure", self.pressure_hpa, 850.0, 1100.0, "hPa"),
            *long_text(self.remark),
        ]
        if not self.datum.strip():
            found.append("Say which datum the observed level counts from.")
        return found


def beach_slope_faults(slope: float | None) -> list[str]:
    """What no beach has."""
    if slope is None or 0.0 < slope <= 1.0:
        return []
    return ["The slope of a beach must be above 0 and at most 1, such as 0.08."]


def _wanted_faults(above_m: float | None, below_m: float | None) -> list[str]:
    if above_m is None or below_m is None or above_m < below_m:
        return []
    return ["The lower wanted level must lie below the upper one."]
