"""The numbers of a finding as they are written: safe sides, and no false roundness."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, datetime, timedelta

from fieldtrip.safety.finding import Finding, Number
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.wording import (
    METRES_PER_FOOT,
    count_text,
    distance_text,
    duration_text,
    height_text,
    number_text,
    speed_text,
    when_text,
)

_EARLY_SIDE = frozenset(
    {"shuts", "latest_start", "turn_back", "late_walk_by", "decide_by"}
)
_LATE_SIDE = frozenset({"opens", "thunder_over"})
_TIDAL_HEIGHTS = frozenset(
    {"shut_above", "highest", "prediction_margin", "weather_margin"}
)


def number_words(
    finding: Finding, zone: str, settings: Settings, day: date
) -> dict[str, str]:
    """Each number of a finding by its name; times at the place, dated off `day`.

    An opening is rounded up to the minute, a closing or a latest time down.
    """
    decimals = _decimals(finding, settings)
    return {
        n.name: _number_words(n, zone, settings, day, decimals.get(_sort(n), 0))
        for n in finding.numbers
    }


def earlier_minute(instant: datetime) -> datetime:
    """The whole minute at or before an instant: the safe side of a closing."""
    return instant.replace(second=0, microsecond=0)


def later_minute(instant: datetime) -> datetime:
    """The whole minute at or after an instant: the safe side of an opening."""
    down = earlier_minute(instant)
    return down if down == instant else down + timedelta(minutes=1)


def _number_words(
    number: Number, zone: str, settings: Settings, day: date, decimals: int
) -> str:
    value = number.value
    if isinstance(value, datetime):
        if number.name in _EARLY_SIDE:
            value = earlier_minute(value)
        elif number.name in _LATE_SIDE:
            value = later_minute(value)
        return when_text(value, zone, settings, day)
    say = _SAYS.get(_sort(number))
    if say is not None:
        return say(value, settings, decimals)
    match number.unit:
        case "m" if decimals:
            return height_text(value, settings, decimals)
        case "m":
            return distance_text(value, settings)
        case "min":
            return duration_text(timedelta(minutes=value))
        case "h":
            return _hours_text(value)
        case "force":
            return f"{value:.0f}"
        case "lights":
            return count_text(round(value), "light")
        case "months":
            return count_text(round(value), "month")
        case _:
            return f"{number_text(value)} {number.unit}".strip()


def _hours_text(hours: float) -> str:
    """A length of time, begun minutes counted whole; from two days on in days."""
    if hours >= 48.0:
        return count_text(round(hours / 24.0), "day")
    return duration_text(timedelta(minutes=math.ceil(hours * 60.0 - 1e-6)))


def _altitude(value: float, settings: Settings, decimals: int) -> str:
    del settings  # degrees in any case
    side = "above" if value >= 0.0 else "below"
    return f"{abs(value):.{decimals}f}° {side}"


def _percent(value: float, settings: Settings, decimals: int) -> str:
    del settings
    return f"{value:.{decimals}f} %"


def _millimetres(value: float, settings: Settings, decimals: int) -> str:
    del settings
    return f"{number_text(value, decimals)} mm"


def _length(value: float, settings: Settings, decimals: int) -> str:
    """To the metre, or with a long view in kilometres."""
    if decimals == 0 and value >= _LONG_VIEW_M:
        return distance_text(value, settings)
    return height_text(value, settings, decimals)


def _degrees_c(value: float, settings: Settings, decimals: int) -> str:
    del settings
    return f"{number_text(value, decimals)} °C"


def _seconds(value: float, settings: Settings, decimals: int) -> str:
    del settings
    return f"{number_text(value, decimals)} s"


_LONG_VIEW_M = 2_000.0
_TIDAL = "tidal height"
_LENGTH = "length"  # written with its decimals, however long it is
_WAVE = "wave"
_LENGTHS = frozenset({"visibility", "fog", "thick_fog", "largest_error", "error_limit"})
_WAVES = frozenset({"wave_height", "wave_reach", "swell_caution", "swell_stop"})
_SAYS: dict[str, Callable[[float, Settings, int], str]] = {
    _TIDAL: height_text,
    _LENGTH: _length,
    _WAVE: height_text,
    "°C": _degrees_c,
    "s": _seconds,
    "m/s": speed_text,
    "°": _altitude,
    "%": _percent,
    "mm": _millimetres,
}
_LEAST_DECIMALS = {
    _TIDAL: 2, _LENGTH: 0, _WAVE: 1, "°C": 0, "s": 0, "m/s": 0, "°": 1, "%": 0, "mm": 1,
}  # fmt: skip
_MOST_DECIMALS = 4
_NEAR_M = 1.0  # a distance so near a limit is given in tenths


def _sort(number: Number) -> str:
    """What decides how a number is written."""
    if number.name in _TIDAL_HEIGHTS:
        return _TIDAL
    if number.name in _WAVES:
        return _WAVE
    return _LENGTH if number.name in _LENGTHS else number.unit


def _decimals(finding: Finding, settings: Settings) -> dict[str, int]:
    """For each sort of number, decimals enough to tell it from every limit.

    A gust of 12.9 m/s is not written as 13 m/s where 13 m/s is the limit.
    """
    found = {"m": _decimals_of_distance(finding, settings)}
    for sort, say in _SAYS.items():
        found[sort] = _LEAST_DECIMALS[sort]
        pairs = [pair for pair in _compared(finding, sort) if pair[0] != pair[1]]
        while found[sort] < _MOST_DECIMALS and any(
            say(value, settings, found[sort]) == say(limit, settings, found[sort])
            for value, limit in pairs
        ):
            found[sort] += 1
    return found


def _compared(finding: Finding, sort: str) -> list[tuple[float, float]]:
    """What is found of one sort, with each limit that it is held against."""
    if sort == _TIDAL:
        names = ("highest", "shut_above", "prediction_margin", "weather_margin")
        highest_m, shut_m, *margins_m = map(finding.number, names)
        if highest_m is None or shut_m is None:
            return []
        kept_m = shut_m - sum(margin_m or 0.0 for margin_m in margins_m)
        return [(highest_m, shut_m), (highest_m, kept_m)]
    mine = [
        (number.value, number.is_limit)
        for number in finding.numbers
        if _sort(number) == sort and not isinstance(number.value, datetime)
    ]
    limits = [value for value, is_limit in mine if is_limit]
    return [(v, limit) for v, is_limit in mine if not is_limit for limit in limits]


def _decimals_of_distance(finding: Finding, settings: Settings) -> int:
    """Decimals for a distance, less its error, close to a limit; 0 for none such."""
    distance_m = finding.number("distance")
    if distance_m is None:
        return 0
    error_m = finding.number("position_error") or 0.0
    unit_m = 1.0 if settings.length_unit is LengthUnit.METRE else METRES_PER_FOOT
    found = 0
    for limit_m in map(finding.number, ("edge", "soft_edge", "keep_off")):
        if limit_m is None or abs(distance_m - error_m - limit_m) >= _NEAR_M:
            continue
        found = max(found, 1)
        is_below = distance_m - error_m < limit_m
        while found < _MOST_DECIMALS:
            shown = [round(m / unit_m, found) for m in (distance_m, error_m, limit_m)]
            if (round(shown[0] - shown[1] - shown[2], 6) < 0.0) == is_below:
                break
            found += 1
    return found
