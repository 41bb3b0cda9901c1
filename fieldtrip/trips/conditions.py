"""What a picture wants, as spans of time: one pure function for each condition.

Each gives an `Answer`: when the condition holds within the situation's span and when
nobody knows.  What is not known is kept apart, and never counts as holding or not.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fieldtrip.times import Span
from fieldtrip.trips.day_conditions import (
    allowed,
    clock_time,
    in_season,
    on_weekdays,
    trip_possible,
    weather,
)
from fieldtrip.trips.situation import Answer, Situation
from fieldtrip.trips.sky_conditions import (
    aligned,
    around_event,
    galactic_centre_up,
    light_from,
    moon_is,
    moon_lit,
    subject_light,
    sun_band,
)
from fieldtrip.trips.spans import Spans, intersection_of, touching
from fieldtrip.trips.wanted import (
    Alignment,
    Allowed,
    AroundEvent,
    AroundTurn,
    ClockTime,
    Condition,
    GalacticCentreUp,
    InSeason,
    LightFrom,
    MoonIs,
    MoonLit,
    OnWeekdays,
    SubjectLight,
    SunBand,
    TideRange,
    TripPossible,
    WaterLevel,
    WayOpen,
    Weather,
)
from fieldtrip.trips.water_conditions import around_turn, tide_range, water_level
from fieldtrip.trips.way_condition import way_open


@dataclass(frozen=True, slots=True)
class NotKnown:
    """A condition of which something is not known."""

    condition: Condition
    spans: Spans  # when
    why: str  # in a sentence


@dataclass(frozen=True, slots=True)
class Wanted:
    """When several conditions hold at once."""

    spans: Spans  # all of them hold, or are not known
    certain: Spans  # all of them are known to hold
    unknown: tuple[NotKnown, ...]  # what is not known in any of `spans`

    def unknown_in(self, span: Span) -> tuple[NotKnown, ...]:
        """What is not known at some time of a span."""
        return tuple(each for each in self.unknown if touching(each.spans, (span,)))


def answer_for(condition: Condition, situation: Situation) -> Answer:
    """When a condition holds within a situation's span, and when nobody knows."""
    match condition:
        case SunBand():
            return sun_band(condition, situation)
        case AroundEvent():
            return around_event(condition, situation)
        case Alignment():
            return aligned(condition, situation)
        case LightFrom():
            return light_from(condition, situation)
        case SubjectLight():
            return subject_light(condition, situation)
        case MoonIs():
            return moon_is(condition, situation)
        case MoonLit():
            return moon_lit(condition, situation)
        case GalacticCentreUp():
            return galactic_centre_up(condition, situation)
        case WaterLevel():
            return water_level(condition, situation)
        case AroundTurn():
            return around_turn(condition, situation)
        case TideRange():
            return tide_range(condition, situation)
        case WayOpen():
            return way_open(condition, situation)
        case TripPossible():
            return trip_possible(condition, situation)
        case ClockTime():
            return clock_time(condition, situation)
        case OnWeekdays():
            return on_weekdays(condition, situation)
        case InSeason():
            return in_season(condition, situation)
        case Allowed():
            return allowed(condition, situation)
        case Weather():
            return weather(condition, situation)


def spans_for(condition: Condition, situation: Situation) -> Spans | None:
    """When a condition holds; None where nothing at all is known about it."""
    answer = answer_for(condition, situation)
    if not answer.holds and answer.unknown == (situation.span,):
        return None
    return answer.holds


def wanted_spans(conditions: Iterable[Condition], situation: Situation) -> Wanted:
    """When all of some conditions hold; the whole span for none."""
    answers = [(each, answer_for(each, situation)) for each in conditions]
    return together(answers, situation.span)


def together(answers: Iterable[tuple[Condition, Answer]], span: Span) -> Wanted:
    """The same of conditions that are already answered."""
    answers = tuple(answers)
    spans = intersection_of((answer.possible for _, answer in answers), span)
    certain = spans
    if any(answer.unknown for _, answer in answers):
        certain = intersection_of((answer.holds for _, answer in answers), span)
    unknown = tuple(
        NotKnown(condition, touching(answer.unknown, spans), answer.why)
        for condition, answer in answers
        if touching(answer.unknown, spans)
    )
    return Wanted(spans, certain, unknown)
