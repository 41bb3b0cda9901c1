"""The form in which conditions are written: a sentence with blanks for each kind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time
from enum import StrEnum
from typing import Any
from uuid import UUID

from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.wanted import (
    Alignment,
    Allowed,
    AroundEvent,
    AroundTurn,
    ClockTime,
    Condition,
    DayHalf,
    GalacticCentreUp,
    InSeason,
    LightFrom,
    LightSide,
    MoonIs,
    MoonLit,
    MoonWish,
    OnWeekdays,
    SubjectLight,
    SunBand,
    TideRange,
    TripPossible,
    WaterLevel,
    WayOpen,
    Weather,
)
from fieldtrip.wanted_words import BODIES, EVENTS, MOON_WISHES
from fieldtrip.wording import METRES_PER_FOOT, METRES_PER_SECOND_IN


class Entry(StrEnum):
    """How a blank is filled in."""

    NUMBER = "number"
    CHOICE = "choice"
    HOURS = "hours"
    SEASON = "season"
    WEEKDAYS = "weekdays"


class Quantity(StrEnum):
    """What a number measures; it says the unit in which it is shown."""

    DEGREE = "degree"
    MINUTE = "minute"
    PERCENT = "percent"
    HEIGHT = "height"
    SPEED = "speed"
    RAIN = "rain"
    DISTANCE = "distance"


@dataclass(frozen=True, slots=True)
class Blank:
    """What is filled into the sentence, and into which field it goes."""

    name: str  # of the condition's field
    says: str  # for those who do not see the sentence
    entry: Entry = Entry.NUMBER
    quantity: Quantity | None = None
    is_needed: bool = True  # else an empty blank sets no limit
    empty: str = "any"  # what it says then
    choices: tuple[tuple[Any, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Offer:
    """A kind of condition in the list from which one is added."""

    group: str
    words: str
    usual: Condition


@dataclass(frozen=True, slots=True)
class Called:
    """What can be named in a condition here."""

    routes: tuple[tuple[UUID, str], ...] = ()
    trips: tuple[tuple[UUID, str], ...] = ()
    has_subject: bool = False

    @property
    def names(self) -> dict[UUID, str]:
        """The names of all of them."""
        return {**dict(self.routes), **dict(self.trips)}


def called_at(dossier: Dossier, subject_id: UUID | None) -> Called:
    """What conditions may name at a location: its tidal routes and its trips."""
    tidal = {leg.route_id for leg in dossier.legs if leg.is_tidal is not False}
    return Called(
        routes=tuple((r.id, r.name) for r in dossier.routes if r.id in tidal),
        trips=tuple((trip.id, trip.name) for trip in dossier.trips),
        has_subject=by_id(dossier.subjects, subject_id) is not None,
    )


_EITHER = ((None, "waxing or waning"), (True, "waxing"), (False, "waning"))
_HALVES = tuple((half, str(half)) for half in DayHalf)
_SIDES = tuple((side, str(side)) for side in LightSide)
_TURNS = tuple((turn, str(turn)) for turn in WantedTurn)


def offers(called: Called) -> tuple[Offer, ...]:
    """Every kind of condition, with what it says when it is added."""
    found = [
        Offer("Sun", "Sun between two altitudes", SunBand(low_deg=-6.0, high_deg=-4.0)),
        Offer(
            "Sun",
            "Around sunrise, dusk …",
            AroundEvent(event=EventName.SUNSET, before_min=30.0, after_min=20.0),
        ),
        Offer("Sun", "Side of the light", LightFrom(side=LightSide.SIDE)),
        Offer("Sun", "Subject lit or in shade", SubjectLight(is_lit=True)),
        Offer(
            "Sky",
            "Alignment",
            Alignment(body=Body.SUN, bearing_deg=None if called.has_subject else 270.0),
        ),
        Offer("Sky", "Moon up or down", MoonIs(wish=MoonWish.UP)),
        Offer("Sky", "How much of the Moon is lit", MoonLit(most_percent=20.0)),
        Offer("Sky", "Galactic centre", GalacticCentreUp(above_deg=10.0)),
        Offer("Water", "Height of the tide", WaterLevel(below_m=1.0)),
        Offer("Water", "Around high or low water", AroundTurn(is_high=False)),
        Offer("Water", "Range of the tide", TideRange(least_m=3.0)),
        Offer("Way", "Tidal way open both ways", WayOpen()),
    ]
    if called.trips:
        found.append(
            Offer("Way", "A plan exists", TripPossible(trip_id=called.trips[0][0]))
        )
    return (
        *found,
        Offer("Way", "Nothing shut, permits in force", Allowed()),
        Offer(
            "Calendar",
            "Time of day",
            ClockTime(hours=OpenHours(time(16, 0), time(23, 0))),
        ),
        Offer("Calendar", "Days of the week", OnWeekdays(days=(5, 6))),
        Offer(
            "Calendar",
            "Part of the year",
            InSeason(season=Season(MonthDay(4, 1), MonthDay(9, 30))),
        ),
        Offer("Weather", "Forecast", Weather(wind_below_m_s=8.0)),
    )


def sentence_of(condition: Condition, called: Called) -> tuple[str | Blank, ...]:
    """The sentence of a condition: words, and blanks to be filled in."""
    match condition:
        case TripPossible():
            return ("a plan exists for", _choice("trip_id", "trip", called.trips))
        case WayOpen():
            ways = ((None, "every tidal leg"), *called.routes)
            return (
                _choice("route_id", "way", ways),
                "open both ways for a stay of",
                _minutes("stay_min", "stay"),
            )
        case Alignment():
            return _alignment_sentence(condition, called)
    return _SENTENCES[type(condition)]


def unit_of(quantity: Quantity | None, settings: Settings) -> tuple[str, float]:
    """The unit in which a quantity is shown, and how much of ours it is."""
    is_feet = settings.length_unit is LengthUnit.FOOT
    match quantity:
        case Quantity.DEGREE:
            return "°", 1.0
        case Quantity.MINUTE:
            return "min", 1.0
        case Quantity.PERCENT:
            return "%", 1.0
        case Quantity.HEIGHT | Quantity.DISTANCE:
            return ("ft", METRES_PER_FOOT) if is_feet else ("m", 1.0)
        case Quantity.SPEED:
            return str(settings.speed_unit), METRES_PER_SECOND_IN[settings.speed_unit]
        case Quantity.RAIN:
            return "mm", 1.0
    return "", 1.0


def faults_of(conditions: Sequence[Condition], called: Called) -> list[str]:
    """What is wrong with some conditions together, in plain sentences."""
    found = [fault for each in conditions for fault in each.faults()]
    if not called.has_subject:
        found += [
            f"{what} needs a subject: choose one."
            for what, is_meant in (
                ("The side of the light", _any(conditions, LightFrom)),
                ("Light or shade on the subject", _any(conditions, SubjectLight)),
                (
                    "An alignment without a bearing",
                    any(
                        isinstance(each, Alignment)
                        and (each.bearing_deg is None or each.over_top)
                        for each in conditions
                    ),
                ),
            )
            if is_meant
        ]
    return found


def _any(conditions: Sequence[Condition], kind: type[Any]) -> bool:
    return any(isinstance(each, kind) for each in conditions)


def _number(name: str, says: str, quantity: Quantity, *, needed: bool = True) -> Blank:
    return Blank(name, says, Entry.NUMBER, quantity, needed)


def _degrees(name: str, says: str) -> Blank:
    return _number(name, says, Quantity.DEGREE)


def _minutes(name: str, says: str) -> Blank:
    return _number(name, says, Quantity.MINUTE)


def _limit(name: str, says: str, quantity: Quantity) -> Blank:
    return _number(name, says, quantity, needed=False)


def _choice(name: str, says: str, choices: Sequence[tuple[Any, str]]) -> Blank:
    return Blank(name, says, Entry.CHOICE, choices=tuple(choices))


def _alignment_sentence(wish: Alignment, called: Called) -> tuple[str | Blank, ...]:
    """With a subject, its direction and its top may take the place of numbers."""
    towards: tuple[str | Blank, ...] = (
        Blank(
            "bearing_deg",
            "bearing; empty: towards the subject" if called.has_subject else "bearing",
            Entry.NUMBER,
            Quantity.DEGREE,
            is_needed=False,
            empty="subject" if called.has_subject else "choose",
        ),
        "true",
    )
    foot: tuple[str | Blank, ...] = (
        ()
        if wish.over_top
        else ("from", _degrees("altitude_min_deg", "lowest altitude"))
    )
    top: tuple[str | Blank, ...] = (
        (
            _choice(
                "over_top",
                "above",
                ((False, "above the horizontal"), (True, "above the subject's top")),
            ),
        )
        if called.has_subject
        else ("above the horizontal",)
    )
    return (
        _choice("body", "body", tuple(BODIES.items())),
        "within",
        _degrees("tolerance_deg", "tolerance"),
        "of",
        *towards,
        *foot,
        "up to",
        _degrees("altitude_max_deg", "highest altitude"),
        *top,
    )


_AROUND = (
    "from",
    _minutes("before_min", "time before"),
    "before to",
    _minutes("after_min", "time after"),
    "after",
)
_SENTENCES: dict[type[Any], tuple[str | Blank, ...]] = {
    SunBand: (
        "the Sun's centre between",
        _degrees("low_deg", "lower altitude of the Sun"),
        "and",
        _degrees("high_deg", "upper altitude of the Sun"),
        _choice("half", "part of the day", _HALVES),
    ),
    AroundEvent: (*_AROUND, _choice("event", "event", tuple(EVENTS.items()))),
    LightFrom: (_choice("side", "side of the light", _SIDES), "on the subject"),
    SubjectLight: (
        "the subject in",
        _choice("is_lit", "light", ((True, "direct sun"), (False, "shade"))),
    ),
    MoonIs: ("the Moon", _choice("wish", "Moon", tuple(MOON_WISHES.items()))),
    MoonLit: (
        "the Moon lit from",
        _number("least_percent", "least of the Moon", Quantity.PERCENT),
        "to",
        _number("most_percent", "most of the Moon", Quantity.PERCENT),
        _choice("is_waxing", "waxing or waning", _EITHER),
    ),
    GalacticCentreUp: (
        "the galactic centre above",
        _degrees("above_deg", "altitude of the galactic centre"),
        "with the Sun below",
        _degrees("sun_below_deg", "altitude of the Sun"),
    ),
    WaterLevel: (
        "the tide above",
        _limit("above_m", "lower level", Quantity.HEIGHT),
        "and below",
        _limit("below_m", "upper level", Quantity.HEIGHT),
        _choice("turn", "which way the tide goes", _TURNS),
    ),
    AroundTurn: (
        *_AROUND,
        _choice("is_high", "turn", ((True, "high water"), (False, "low water"))),
    ),
    TideRange: (
        "a tidal range of at least",
        _limit("least_m", "least range", Quantity.HEIGHT),
        "and at most",
        _limit("most_m", "greatest range", Quantity.HEIGHT),
    ),
    ClockTime: ("by the clock from", Blank("hours", "hours", Entry.HOURS)),
    OnWeekdays: ("on a", Blank("days", "days of the week", Entry.WEEKDAYS)),
    InSeason: ("every year from", Blank("season", "part of the year", Entry.SEASON)),
    Allowed: ("nothing shut here, and every permit in force",),
    Weather: (
        "forecast wind below",
        _limit("wind_below_m_s", "wind", Quantity.SPEED),
        "gusts below",
        _limit("gust_below_m_s", "gusts", Quantity.SPEED),
        "cloud from",
        _limit("cloud_least_percent", "least cloud", Quantity.PERCENT),
        "to",
        _limit("cloud_most_percent", "most cloud", Quantity.PERCENT),
        "rain in an hour below",
        _limit("rain_below_mm", "rain", Quantity.RAIN),
        "visibility from",
        _limit("visibility_least_m", "visibility", Quantity.DISTANCE),
        "waves below",
        _limit("wave_below_m", "waves", Quantity.HEIGHT),
    ),
}
