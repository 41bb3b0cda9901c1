"""What a trip sheet says: one frozen value, every text in it, for all its faces.

HTML, paper and plain text show the same value and decide nothing.  What is not
known says so in words; no text of a fact is ever empty.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldtrip.geo import Position
from fieldtrip.places.records import Coverage
from fieldtrip.safety.finding import Severity

NOT_KNOWN = "not known"
AT_NO_TIME = "at no time"
SIGNS = {
    Severity.STOP: "■",
    Severity.UNKNOWN: "?",
    Severity.CAUTION: "▲",
    Severity.CLEAR: "●",
    Severity.DOES_NOT_APPLY: "○",
}


SIGNALS = {
    Coverage.NONE: "no signal",
    Coverage.PATCHY: "patchy signal",
    Coverage.GOOD: "good signal",
    None: NOT_KNOWN,
}


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and what is known of it."""

    name: str
    text: str
    is_known: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class GateLine:
    """A point at which one goes on or turns to the fallback."""

    time: str  # decide by then
    name: str
    where: str
    why: str  # what sets the time, and what might make it sooner
    must_see: str
    fallback: str
    is_known: bool  # whether nothing that might make it sooner is left unsaid
    is_late: bool = False  # the plan comes to it only after it must be decided

    @property
    def by(self) -> str:
        """Its time as it is said: not to be passed, perhaps sooner, or not known."""
        if self.time == AT_NO_TIME:
            return self.time
        if self.time == NOT_KNOWN:
            return f"by when is {NOT_KNOWN}"
        return f"by {self.time}" if self.is_known else f"by {self.time} or sooner"


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """One finding of the checks."""

    severity: Severity
    word: str
    title: str
    found: str
    advice: str
    override: str = ""  # why a person goes against it; it stays what it is


class StepKind(StrEnum):
    """What a line of the timeline is."""

    TRAVEL = "travel"
    WALK = "walk"
    STAY = "stay"
    LIMIT = "limit"  # not to be passed


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One line of the timeline."""

    kind: StepKind
    time: str  # "15:05 to 15:50", "17:10"
    what: str
    detail: str = ""
    is_known: bool = True


@dataclass(frozen=True, slots=True)
class LightLine:
    """One event of the light: by the almanac, and on the spot."""

    name: str
    almanac: str
    azimuth: str
    on_the_spot: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture taken there before."""

    jpeg: bytes
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopPart:
    """All about one stop."""

    number: int
    name: str
    time: str  # "16:00 to 16:55"
    facts: tuple[Fact, ...]
    light: tuple[LightLine, ...]
    opinion: str  # how far a second computation agrees
    is_opinion_caution: bool
    notes: str  # what was written last time
    photo: Photo | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TidePassage:
    """When a leg is open or a spot dry, in words and as it is drawn."""

    name: str
    state: str
    lines: tuple[str, ...]
    is_known: bool
    spans: tuple[tuple[datetime, datetime], ...] = ()  # drawn; empty where not known


@dataclass(frozen=True, slots=True, kw_only=True)
class TideChart:
    """The curve as it is drawn: instants in UTC, heights in metres above the datum."""

    start: datetime
    stop: datetime
    parts: tuple[tuple[tuple[datetime, float], ...], ...]
    rough: tuple[tuple[tuple[datetime, float], ...], ...]  # of low confidence
    turns: tuple[tuple[datetime, float, str], ...]  # with their words
    levels: tuple[tuple[float, str], ...]
    hours: tuple[tuple[datetime, str], ...]
    stays: tuple[tuple[datetime, datetime, str], ...]  # of the plan
    words: str  # the same for who cannot see it


@dataclass(frozen=True, slots=True, kw_only=True)
class TidePart:
    """The tide of the day."""

    heading: str
    chart: TideChart | None
    turns: tuple[tuple[str, str, str], ...]  # what, when, how high
    passages: tuple[TidePassage, ...]
    lines: tuple[str, ...]  # datum, source, and what is not known


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastPart:
    """What was forecast, and how old that is."""

    age: str
    columns: tuple[str, ...]  # headings with their units
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AgedLine:
    """Something that was known on a day."""

    name: str
    text: str
    age: str
    is_old: bool


class MarkKind(StrEnum):
    """What stands on the map."""

    STOP = "stop"
    SUBJECT = "subject"
    REFUGE = "refuge"
    START = "start"
    MEETING = "meeting"
    HAZARD = "hazard"


class StrokeKind(StrEnum):
    """What lies on the map as a line or an area."""

    LAND = "land"
    WATER = "water"  # a lake in the land
    SHINGLE = "shingle"  # wet at high water
    SHORE = "shore"
    CONTOUR = "contour"
    ROUTE = "route"  # walked on this trip
    OTHER_WAY = "other way"
    STRAIGHT = "straight"  # from stop to stop where no way is known
    HAZARD_LINE = "hazard line"
    HAZARD_AREA = "hazard area"
    CLOSURE = "closure"
    SIGHT = "sight"  # from a stop to its subject


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line or an area in the map's own units: to the right and down."""

    kind: StrokeKind
    rings: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A thing with a name on the map."""

    kind: MarkKind
    x: float
    y: float
    sign: str  # written in it: a stop's number
    name: str
    label_x: float
    label_y: float
    anchor: str  # start, middle or end


@dataclass(frozen=True, slots=True)
class GridLine:
    """A meridian or a parallel, with its words at the edge."""

    at: float  # x of a meridian, y of a parallel
    is_meridian: bool
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMap:
    """The map as it is drawn; north is up."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    marks: tuple[Mark, ...]
    grid: tuple[GridLine, ...]
    scale_length: float  # of the bar, in the map's units
    scale_text: str
    lines: tuple[str, ...]  # what it rests on
    words: str  # the same for who cannot see it


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A place to be found, with its code."""

    name: str
    what: str
    position: Position
    texts: tuple[str, ...]  # degrees and minutes, UTM, decimal
    uri: str  # RFC 5870
    notes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TripSheet:
    """Everything that goes along."""

    title: str
    day: str
    place: str
    zone: str
    made: str
    overall: Severity
    overall_words: str
    overall_note: str
    gates: tuple[GateLine, ...]
    gates_hint: str  # where there are none, or what holds for all of them
    findings: tuple[FindingLine, ...]  # all but the clear ones, worst first
    findings_hint: str
    timeline: tuple[StepLine, ...]
    timeline_hint: str
    map: SheetMap
    meetings: tuple[Meeting, ...]
    meetings_hint: str
    stops: tuple[StopPart, ...]
    light_note: str  # what holds for the light of all stops
    tide: TidePart
    forecast: ForecastPart
    hazards: tuple[AgedLine, ...]
    notes: tuple[AgedLine, ...]  # access notes, closures and permits
    way_out: tuple[Fact, ...]
    refuges: tuple[AgedLine, ...]
    emergency: tuple[Fact, ...]
    contact: tuple[Fact, ...]
    kit: tuple[str, ...]
    kit_hint: str
    trip_notes: str
    cautions: tuple[str, ...]
