"""Which fields a record's form shows, in what order and in what words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum, StrEnum, auto
from typing import Any

from fieldtrip.geo import Line, line_length_m
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Coverage,
    Ground,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Permit,
    Refuge,
    Shore,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
    WantedTurn,
)
from fieldtrip.settings import Settings
from fieldtrip.tides.records import TideTable
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.weather.records import Forecast
from fieldtrip.wording import count_text, distance_text


class Editor(Enum):
    """What one types or chooses in."""

    TEXT = auto()
    LONG_TEXT = auto()
    POSITION = auto()
    ZONE = auto()
    LENGTH = auto()  # stored in metres, shown in the user's unit
    WHOLE_NUMBER = auto()
    NUMBER = auto()  # without a unit
    YES_NO = auto()  # or not known
    SWITCH = auto()  # yes or no
    CHOICE = auto()
    DAY = auto()
    SEASON = auto()  # of every year
    HOURS = auto()  # by the clock
    LINE = auto()  # drawn on the map; told in words


Choices = tuple[tuple[Any, str], ...]


@dataclass(frozen=True, slots=True)
class FieldSpec:
    """One field of a form."""

    field: str  # of the record
    label: str
    editor: Editor
    hint: str = ""
    must: bool = False  # cannot be left empty
    empty: str = "not known"  # what an empty number says
    choices: Callable[[Dossier], Choices] | None = None
    only: Callable[[Any], bool] = lambda _: True  # for which records it is shown


def _members(kind: type[StrEnum]) -> Callable[[Dossier], Choices]:
    return lambda _: tuple((member, str(member)) for member in kind)


def _maybe(kind: type[StrEnum]) -> Callable[[Dossier], Choices]:
    words = tuple((member, str(member)) for member in kind)
    return lambda _: ((None, "not known"), *words)


def _has_beach(record: Any) -> bool:
    return record.shore is Shore.SAND


def _meets_waves(record: Any) -> bool:
    return record.shore not in (None, Shore.SHELTERED)


def _has_water(vantage: VantagePoint) -> bool:
    levels = (vantage.flooded_above_m, vantage.wanted_above_m, vantage.wanted_below_m)
    return any(level is not None for level in levels)


def _refuges(dossier: Dossier) -> Choices:
    return ((None, "none named"), *((r.id, r.name) for r in dossier.refuges))


def _has_no_hours(place: StartPlace) -> bool:
    return place.hours is None


def _may_be_tidal(leg: Leg) -> bool:
    return leg.is_tidal is not False


def _is_edge(hazard: Hazard) -> bool:
    return hazard.kind is HazardKind.CLIFF_EDGE


def _is_cliff(hazard: Hazard) -> bool:
    return hazard.kind in (HazardKind.CLIFF_EDGE, HazardKind.CLIFF_FOOT)


_NAME = FieldSpec("name", "Name", Editor.TEXT, must=True)
_PLACE = FieldSpec(
    "position",
    "Position",
    Editor.POSITION,
    "Decimal degrees, degrees and minutes, or UTM; as in 49.6034 -8.4012",
    must=True,
)
_NOTES = FieldSpec("notes", "Notes", Editor.LONG_TEXT)
_GROUND = FieldSpec("ground_m", "Ground above sea", Editor.LENGTH, "mean sea level")
_SLOPE = FieldSpec(
    "beach_slope",
    "Slope of the beach",
    Editor.NUMBER,
    "rise over run of the beach face, such as 0.08",
    only=_has_beach,
)
_SEAWARD = FieldSpec(
    "seaward_deg",
    "The shore faces",
    Editor.NUMBER,
    "true bearing out to sea, such as 250; waves count as coming in unless it is known",
    only=_meets_waves,
)
_COVERAGE = FieldSpec(
    "coverage", "Telephone signal", Editor.CHOICE, choices=_maybe(Coverage)
)
_DRAWN = FieldSpec("line", "On the map", Editor.LINE)

FORMS: Mapping[type, tuple[FieldSpec, ...]] = {
    Location: (
        _NAME,
        _PLACE,
        FieldSpec("zone", "Time zone", Editor.ZONE, "as in Europe/Dublin", must=True),
        FieldSpec(
            "emergency", "Emergency number", Editor.TEXT, "to call there, who answers"
        ),
        _COVERAGE,
        FieldSpec(
            "nearest_road", "Nearest road", Editor.TEXT, "for those who come to help"
        ),
        _NOTES,
    ),
    VantagePoint: (
        _NAME,
        _PLACE,
        FieldSpec("position_error_m", "Position good to", Editor.LENGTH),
        _GROUND,
        FieldSpec("eye_height_m", "Camera above ground", Editor.LENGTH, must=True),
        FieldSpec(
            "on_headland",
            "On a headland or crest",
            Editor.YES_NO,
            "wind is counted half as much again unless it is not on one",
        ),
        FieldSpec(
            "flooded_above_m",
            "Flooded above",
            Editor.LENGTH,
            "height of the tide that floods it",
        ),
        FieldSpec(
            "wanted_above_m",
            "Water wanted from",
            Editor.LENGTH,
            "lowest height of the tide that the picture wants",
            empty="any",
        ),
        FieldSpec(
            "wanted_below_m",
            "… up to",
            Editor.LENGTH,
            "highest height of the tide that the picture wants",
            empty="any",
        ),
        FieldSpec(
            "wanted_turn",
            "… while it is",
            Editor.CHOICE,
            choices=_members(WantedTurn),
            only=_has_water,
        ),
        FieldSpec(
            "level_datum",
            "… counted from",
            Editor.TEXT,
            "the datum, by the name the tide table or station uses",
            only=_has_water,
        ),
        FieldSpec(
            "shore",
            "What waves meet there",
            Editor.CHOICE,
            "out of reach of waves, or what they run up",
            choices=_maybe(Shore),
        ),
        _SLOPE,
        _SEAWARD,
        _COVERAGE,
        _NOTES,
    ),
    Subject: (
        _NAME,
        _PLACE,
        FieldSpec("height_m", "Height, foot to top", Editor.LENGTH),
        _GROUND,
        _NOTES,
    ),
    AccessRoute: (_NAME, _NOTES),
    Leg: (
        _NAME,
        FieldSpec("number", "Place in the route", Editor.WHOLE_NUMBER, must=True),
        _DRAWN,
        FieldSpec(
            "distance_m",
            "Distance",
            Editor.LENGTH,
            "empty: as drawn on the map",
            empty="as drawn",
        ),
        FieldSpec("ascent_m", "Ascent", Editor.LENGTH),
        FieldSpec("descent_m", "Descent", Editor.LENGTH),
        FieldSpec("ground", "Ground", Editor.CHOICE, choices=_members(Ground)),
        FieldSpec("is_exposed", "A fall would hurt", Editor.YES_NO),
        FieldSpec("daylight_only", "By daylight only", Editor.YES_NO),
        FieldSpec(
            "walked_in_daylight", "Ever walked in daylight", Editor.YES_NO, "by you"
        ),
        FieldSpec(
            "on_headland",
            "On a headland or crest",
            Editor.YES_NO,
            "wind is counted half as much again unless it is not on one",
        ),
        FieldSpec(
            "crosses_water",
            "Crosses a stream",
            Editor.YES_NO,
            "or a river mouth, which rain raises",
        ),
        FieldSpec("is_tidal", "The tide can shut it", Editor.YES_NO),
        FieldSpec(
            "shut_above_m",
            "Shut above",
            Editor.LENGTH,
            "height of the water",
            only=_may_be_tidal,
        ),
        FieldSpec(
            "shut_datum",
            "… counted from",
            Editor.TEXT,
            "the datum, by the name the tide table uses",
            only=_may_be_tidal,
        ),
        FieldSpec(
            "shore",
            "What waves meet there",
            Editor.CHOICE,
            choices=_maybe(Shore),
            only=_may_be_tidal,
        ),
        _SLOPE,
        _SEAWARD,
        FieldSpec(
            "last_storm",
            "Changed by a storm on",
            Editor.DAY,
            "what was seen before raises the level no more",
            only=_may_be_tidal,
        ),
        FieldSpec(
            "refuge_id",
            "Refuge",
            Editor.CHOICE,
            choices=_refuges,
            only=_may_be_tidal,
        ),
    ),
    Refuge: (
        _NAME,
        _PLACE,
        FieldSpec(
            "stays_dry",
            "Stays dry",
            Editor.YES_NO,
            "above the highest astronomical tide and surge",
        ),
        FieldSpec("confirmed", "Confirmed on", Editor.DAY, "by someone standing there"),
        _NOTES,
    ),
    StartPlace: (
        _NAME,
        FieldSpec("kind", "Kind", Editor.CHOICE, choices=_members(StartKind)),
        _PLACE,
        FieldSpec(
            "hours", "Open at", Editor.HOURS, "as in 08:00 to 18:30, by the clock there"
        ),
        FieldSpec(
            "is_always_open",
            "Never shuts",
            Editor.YES_NO,
            "yes only where there is neither a gate nor hours",
            only=_has_no_hours,
        ),
        _NOTES,
    ),
    Hazard: (
        _NAME,
        FieldSpec("kind", "Kind", Editor.CHOICE, choices=_members(HazardKind)),
        _DRAWN,
        FieldSpec("is_fenced", "Fenced", Editor.YES_NO, only=_is_edge),
        FieldSpec("is_soft", "Soft or undercut", Editor.YES_NO, only=_is_edge),
        FieldSpec("height_m", "Height of the drop", Editor.LENGTH, only=_is_cliff),
        FieldSpec("applies", "When it applies", Editor.TEXT, "empty: always"),
        FieldSpec("last_confirmed", "Last confirmed", Editor.DAY),
        _NOTES,
    ),
    AccessNote: (
        FieldSpec("day", "Dated", Editor.DAY, must=True),
        FieldSpec("kind", "About", Editor.CHOICE, choices=_members(NoteKind)),
        FieldSpec("text", "Text", Editor.LONG_TEXT, must=True),
        FieldSpec("review_after", "Look at it again after", Editor.DAY),
    ),
    Permit: (
        _NAME,
        FieldSpec("owner", "Given by", Editor.TEXT),
        FieldSpec("allows", "What it allows", Editor.LONG_TEXT),
        FieldSpec(
            "commercial_use", "Pictures may be sold", Editor.YES_NO, "commercial use"
        ),
        FieldSpec("drone", "A drone may be flown", Editor.YES_NO),
        FieldSpec("expires", "Last day it holds", Editor.DAY),
        _NOTES,
    ),
    Closure: (
        _NAME,
        FieldSpec("kind", "Kind", Editor.CHOICE, choices=_members(ClosureKind)),
        _DRAWN,
        FieldSpec("season", "Every year", Editor.SEASON, "as in 1 Mar to 31 Jul"),
        FieldSpec(
            "hours", "Open at", Editor.HOURS, "as in 08:00 to 18:30, by the clock there"
        ),
        FieldSpec("first_day", "First day", Editor.DAY, "where it is not every year"),
        FieldSpec("last_day", "Last day", Editor.DAY, "where it is not every year"),
        FieldSpec("source", "Who says so", Editor.TEXT, "a notice, a warden, a page"),
        FieldSpec("last_confirmed", "Last confirmed", Editor.DAY),
        _NOTES,
    ),
}

_KIND_WORDS: Mapping[type, str] = {
    Location: "location",
    VantagePoint: "vantage point",
    Subject: "subject",
    AccessRoute: "access route",
    Leg: "leg",
    Refuge: "refuge",
    StartPlace: "start place",
    Hazard: "hazard",
    AccessNote: "access note",
    Permit: "permit",
    Closure: "closure",
    TideTable: "tide table",
    Forecast: "forecast",
    Trip: "trip",
}


def kind_word(kind: type) -> str:
    """What a kind of record is called."""
    return _KIND_WORDS[kind]


def title_of(record: Any) -> str:
    """What a record is called in a heading."""
    match record:
        case AccessNote(kind=kind, day=day):
            return f"Note on {kind}, {day.day} {day:%B %Y}"
        case TideTable(port=port):
            return f"Tide table of {port}"
        case Forecast(source=source):
            return f"Forecast from {source}"
    name: str = record.name
    return name


def line_words(line: Line, settings: Settings) -> str:
    """A drawn line in words, as in ``5 points, 420 m``."""
    if not line:
        return "not drawn"
    points = count_text(len(line), "point")
    if len(line) < 2:
        return points
    return f"{points}, {distance_text(line_length_m(line), settings)}"


def step_words(spec: FieldSpec) -> str:
    """What the Edit menu calls a finished edit of one field."""
    return f"change “{spec.label.removeprefix('… ')}”"
