"""What a picture wants, as a person would say it: one clause for each condition."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID

from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, Season
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
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
from fieldtrip.wording import (
    distance_text,
    height_text,
    number_text,
    plain_clock_text,
    speed_text,
)

WEEKDAYS = (
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday",
)  # fmt: skip
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August",
    "September", "October", "November", "December",
)  # fmt: skip
BODIES = {
    Body.SUN: "the Sun",
    Body.MOON: "the Moon",
    Body.GALACTIC_CENTRE: "the galactic centre",
}
EVENTS = {
    EventName.ASTRONOMICAL_DAWN: "astronomical dawn",
    EventName.NAUTICAL_DAWN: "nautical dawn",
    EventName.CIVIL_DAWN: "civil dawn",
    EventName.BLUE_HOUR_START: "the start of the blue hour",
    EventName.BLUE_HOUR_END: "the end of the blue hour",
    EventName.GOLDEN_HOUR_START: "the start of the golden hour",
    EventName.SUNRISE: "sunrise",
    EventName.GOLDEN_HOUR_END: "the end of the golden hour",
    EventName.SOLAR_NOON: "solar noon",
    EventName.SUNSET: "sunset",
    EventName.CIVIL_DUSK: "civil dusk",
    EventName.NAUTICAL_DUSK: "nautical dusk",
    EventName.ASTRONOMICAL_DUSK: "astronomical dusk",
    EventName.MOONRISE: "moonrise",
    EventName.MOONSET: "moonset",
}
MOON_WISHES = {
    MoonWish.UP: "up",
    MoonWish.DOWN: "down",
    MoonWish.LOW_IN_TWILIGHT: "low in the twilight",
}
NOTHING_WANTED = "nothing in particular"


def wanted_text(
    conditions: Iterable[Condition], names: Mapping[UUID, str], settings: Settings
) -> str:
    """All conditions in one sentence without its full stop.

    `names` tells what routes and trips are called.
    """
    said = [condition_text(each, names, settings) for each in conditions]
    return "; ".join(said) or NOTHING_WANTED


def condition_text(
    condition: Condition, names: Mapping[UUID, str], settings: Settings
) -> str:
    """One condition as a clause, as in ``the Sun between −6° and −4°, evening``."""
    match condition:
        case SunBand(low_deg=low, high_deg=high, half=half):
            when = "" if half is DayHalf.EITHER else f" in the {half}"
            return f"the Sun between {_degrees(low)} and {_degrees(high)}{when}"
        case AroundEvent():
            return _around(
                condition.before_min, condition.after_min, EVENTS[condition.event]
            )
        case Alignment():
            return _alignment(condition)
        case LightFrom(side=side):
            return f"{side} on the subject"
        case SubjectLight(is_lit=is_lit):
            return f"the subject in {'direct sun' if is_lit else 'shade'}"
        case MoonIs(wish=wish):
            return f"the Moon {MOON_WISHES[wish]}"
        case MoonLit():
            return _moon_lit(condition)
        case GalacticCentreUp(above_deg=above, sun_below_deg=below):
            return (
                f"the galactic centre above {_degrees(above)} with the Sun below "
                f"{_degrees(below)}"
            )
        case WaterLevel():
            return _water(condition, settings)
        case AroundTurn(is_high=is_high):
            turn = "high water" if is_high else "low water"
            return _around(condition.before_min, condition.after_min, turn)
        case TideRange(least_m=least, most_m=most):
            heights = (
                None if least is None else height_text(least, settings),
                None if most is None else height_text(most, settings),
            )
            return f"a tidal range {_limits(*heights) or 'of any size'}"
        case WayOpen(route_id=route_id, stay_min=stay):
            way = _named(names, route_id, "every tidal leg", "a route that is gone")
            return f"{way} open both ways for a stay of {_minutes(stay)}"
        case TripPossible(trip_id=trip_id):
            return f"a plan for {_named(names, trip_id, '', 'a trip that is gone')}"
        case ClockTime(hours=hours):
            opens = plain_clock_text(hours.opens, settings)
            return f"from {opens} to {plain_clock_text(hours.shuts, settings)}"
        case OnWeekdays(days=days):
            return f"on a {_one_of([WEEKDAYS[day] for day in days])}"
        case InSeason(season=season):
            return f"from {season_text(season)} of any year"
        case Allowed():
            return "nothing shut and every permit in force"
        case Weather():
            return _weather(condition, settings)


def season_text(season: Season) -> str:
    """A season of every year, as in ``1 March to 31 July``."""
    return f"{_month_day(season.first)} to {_month_day(season.last)}"


def _alignment(wish: Alignment) -> str:
    to = (
        "the subject"
        if wish.bearing_deg is None
        else f"{number_text(wish.bearing_deg, 1)}° true"
    )
    high = _degrees(wish.altitude_max_deg)
    height = (
        f"above the subject's top, below {high}"
        if wish.over_top
        else f"between {_degrees(wish.altitude_min_deg)} and {high}"
    )
    near = f"{number_text(wish.tolerance_deg, 2).rstrip('0').rstrip('.')}°"
    return f"{BODIES[wish.body]} within {near} of {to}, {height}"


def _moon_lit(wish: MoonLit) -> str:
    way = {None: "", True: ", waxing", False: ", waning"}[wish.is_waxing]
    return f"the Moon lit {wish.least_percent:g} to {wish.most_percent:g} %{way}"


def _water(wish: WaterLevel, settings: Settings) -> str:
    heights = [
        None if level is None else height_text(level, settings)
        for level in (wish.above_m, wish.below_m)
    ]
    level = _limits(*heights, least_word="above", most_word="below")
    way = "" if wish.turn is WantedTurn.EITHER else f"{wish.turn}"
    return f"the tide {' and '.join(filter(None, (level, way))) or 'at any height'}"


def _weather(wish: Weather, settings: Settings) -> str:
    said = []
    if wish.wind_below_m_s is not None:
        said.append(f"wind below {speed_text(wish.wind_below_m_s, settings)}")
    if wish.gust_below_m_s is not None:
        said.append(f"gusts below {speed_text(wish.gust_below_m_s, settings)}")
    cloud = _limits(
        *(
            None if value is None else f"{value:g} %"
            for value in (wish.cloud_least_percent, wish.cloud_most_percent)
        )
    )
    if cloud:
        said.append(f"cloud {cloud}")
    if wish.rain_below_mm is not None:
        said.append(f"rain below {wish.rain_below_mm:g} mm an hour")
    if wish.visibility_least_m is not None:
        said.append(
            f"visibility from {distance_text(wish.visibility_least_m, settings)}"
        )
    if wish.wave_below_m is not None:
        said.append(f"waves below {height_text(wish.wave_below_m, settings)}")
    return f"forecast: {', '.join(said) or 'any'}"


def _around(before_min: float, after_min: float, what: str) -> str:
    before, after = _minutes(before_min), _minutes(after_min)
    if not before_min:
        return f"from {what} to {after} after it"
    if not after_min:
        return f"from {before} before {what} until it"
    return f"from {before} before to {after} after {what}"


def _limits(
    least: str | None,
    most: str | None,
    *,
    least_word: str = "of at least",
    most_word: str = "of at most",
) -> str:
    if least is not None and most is not None:
        return f"between {least} and {most}"
    if least is not None:
        return f"{least_word} {least}"
    return "" if most is None else f"{most_word} {most}"


def _named(
    names: Mapping[UUID, str], record_id: UUID | None, unset: str, gone: str
) -> str:
    if record_id is None:
        return unset
    return f"“{names[record_id]}”" if record_id in names else gone


def _degrees(value: float) -> str:
    text = number_text(value, 1)
    return f"{text.removesuffix('.0')}°"


def _minutes(minutes: float) -> str:
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h" if not rest else f"{hours} h {rest:02} min"


def _one_of(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} or {words[-1]}"


def _month_day(day: MonthDay) -> str:
    return f"{day.day} {_MONTHS[day.month - 1]}"
