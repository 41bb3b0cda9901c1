"""What a set of conditions can never have at once, whatever the date."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import Season
from fieldtrip.trips.wanted import (
    AroundEvent,
    AroundTurn,
    Condition,
    DayHalf,
    GalacticCentreUp,
    InSeason,
    LightFrom,
    MoonIs,
    MoonLit,
    MoonWish,
    OnWeekdays,
    SubjectLight,
    SunBand,
    TideRange,
    WaterLevel,
)

_LEAP_YEAR = 2000  # any that has a 29 February


def contradiction(conditions: Sequence[Condition]) -> str | None:
    """The first thing that keeps conditions from ever meeting, in one sentence.

    Looks at what can be told without a date; None where nothing is found.
    """
    for condition in conditions:
        if found := _empty(condition):
            return found
    for one, other in combinations(conditions, 2):
        for first, second in ((one, other), (other, one)):
            if found := _clash(first, second):
                return found
    return None


def _empty(condition: Condition) -> str | None:
    """Why a condition leaves no time at all."""
    match condition:
        case AroundEvent(before_min=0.0, after_min=0.0):
            what = str(condition.event).replace("_", " ")
            return f"Give some minutes before or after {what}: it lasts no time itself."
        case AroundTurn(before_min=0.0, after_min=0.0):
            what = "high water" if condition.is_high else "low water"
            return f"Give some minutes before or after {what}: it lasts no time itself."
    return None


def _clash(one: Condition, other: Condition) -> str | None:
    match one, other:
        case SunBand(), SunBand() if _apart(
            one.low_deg, one.high_deg, other.low_deg, other.high_deg
        ):
            return (
                f"The Sun cannot stand both from {_deg(one.low_deg)} to "
                f"{_deg(one.high_deg)} and from {_deg(other.low_deg)} to "
                f"{_deg(other.high_deg)}."
            )
        case SunBand(), SunBand() if {one.half, other.half} == {
            DayHalf.MORNING,
            DayHalf.EVENING,
        }:
            return "The same Sun is wanted in the morning and in the evening."
        case SunBand(), GalacticCentreUp() if one.low_deg >= other.sun_below_deg:
            return (
                "The galactic centre is wanted in the dark, and the Sun at "
                f"{_deg(one.low_deg)} or higher."
            )
        case LightFrom(), LightFrom() if one.side is not other.side:
            return f"The light cannot be both {one.side} and {other.side}."
        case SubjectLight(), SubjectLight() if one.is_lit is not other.is_lit:
            return "The subject is wanted both lit and in shade."
        case MoonIs(wish=MoonWish.DOWN), MoonIs() if other.wish is not MoonWish.DOWN:
            return "The Moon is wanted both above the horizon and below it."
        case MoonLit(), MoonLit() if _apart(
            one.least_percent,
            one.most_percent,
            other.least_percent,
            other.most_percent,
        ) or (
            None not in (one.is_waxing, other.is_waxing)
            and (one.is_waxing is not other.is_waxing)
        ):
            return "The two phases of the Moon that are wanted never come together."
        case WaterLevel(), WaterLevel() if _apart(
            one.above_m, one.below_m, other.above_m, other.below_m
        ):
            return "The water cannot stand at both of the levels that are wanted."
        case WaterLevel(turn=WantedTurn.RISING), WaterLevel(turn=WantedTurn.FALLING):
            return "The water is wanted both rising and falling."
        case TideRange(), TideRange() if _apart(
            one.least_m, one.most_m, other.least_m, other.most_m
        ):
            return "The two ranges of the tide that are wanted never come together."
        case OnWeekdays(), OnWeekdays() if not set(one.days) & set(other.days):
            return "No day of the week is among all those that are wanted."
        case InSeason(), InSeason() if _share_no_day(one.season, other.season):
            return "The seasons that are wanted share no day."
    return None


def _apart(
    low: float | None, high: float | None, other_low: float | None, other: float | None
) -> bool:
    """Whether two bands share nothing; None: no limit."""
    return (high is not None and other_low is not None and high <= other_low) or (
        low is not None and other is not None and other <= low
    )


def _share_no_day(one: Season, other: Season) -> bool:
    # The two share a day where the first of either lies in the other.
    return not (
        one.contains(other.first.in_year(_LEAP_YEAR))
        or other.contains(one.first.in_year(_LEAP_YEAR))
    )


def _deg(degrees: float) -> str:
    return f"{degrees:g}°".replace("-", "−")
