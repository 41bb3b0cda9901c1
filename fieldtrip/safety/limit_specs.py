"""What each limit is called, in which unit and bounds, and which way is looser."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import timedelta
from enum import Enum, auto
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.safety.finding import Rule
from fieldtrip.safety.limits import (
    SOURCE_CHILL,
    SOURCE_CROSSING,
    SOURCE_DAYLIGHT,
    SOURCE_EDGE,
    SOURCE_FOG,
    SOURCE_FOOT,
    SOURCE_HEAT,
    SOURCE_RAIN,
    SOURCE_SUN,
    SOURCE_THUNDER,
    SOURCE_WIND,
    Limits,
)

Overrides = tuple[tuple[str, str], ...]  # names of limits, and values as typed

_COMMON = "common practice"
_MARGINS = "margins."
_SECONDS = {"min": 60.0, "h": 3600.0}
_TIDAL = (
    Rule.TIDE_CROSSING, Rule.TIDE_WAY_BACK, Rule.TIDE_STAND, Rule.TURN_BACK, Rule.GATES,
)  # fmt: skip
_WINDY = (Rule.CLIFF_EDGE, Rule.WALKING_WIND, Rule.HEADLAND_WIND)
_DATED = (
    Rule.TIDE_REFUGE, Rule.CLIFF_EDGE, Rule.EDGE_LOOKED_FOR, Rule.CLIFF_FOOT,
    Rule.NOTE_AGE, Rule.ACCESS_CLOSED, Rule.CLOSED_SEASON,
)  # fmt: skip
_WET = (Rule.CLIFF_EDGE, Rule.CLIFF_FOOT)


class Looser(Enum):
    """Which way a limit allows more."""

    HIGHER = auto()
    LOWER = auto()


@dataclass(frozen=True, slots=True)
class LimitSpec:
    """One limit that a person may set."""

    name: str  # of the field of `Limits`, or of its margins
    words: str
    unit: str  # in which its value is typed; empty: a plain number
    least: float
    most: float
    looser: Looser
    rules: tuple[Rule, ...]  # that go by it
    source: str = _COMMON

    def value(self, limits: Limits) -> float:
        """What it is set to, in its unit."""
        if self.name.startswith(_MARGINS):
            found = getattr(limits.margins, self.name.removeprefix(_MARGINS))
        else:
            found = getattr(limits, self.name)
        if isinstance(found, timedelta):
            return found.total_seconds() / _SECONDS[self.unit]
        return float(found)

    def put(self, limits: Limits, value: float) -> Limits:
        """Limits with this one changed.

        Raises `UserError` for a value that limits nothing.
        """
        if not (math.isfinite(value) and self.least <= value <= self.most):
            raise UserError(
                f"“{self.words}” must be from {_plain(self.least)} to "
                f"{_plain(self.most)}{_after(self.unit)}."
            )
        if self.name.startswith(_MARGINS):
            own = {self.name.removeprefix(_MARGINS): value}
            return replace(limits, margins=replace(limits.margins, **own))
        usual = getattr(limits, self.name)
        changed: Any = value
        if isinstance(usual, timedelta):
            changed = timedelta(seconds=value * _SECONDS[self.unit])
        elif isinstance(usual, int):
            if value != round(value):
                raise UserError(f"“{self.words}” must be a whole number.")
            changed = round(value)
        return replace(limits, **{self.name: changed})

    def is_looser(self, limits: Limits) -> bool:
        """Whether it is set to allow more than usual."""
        return self.is_looser_value(self.value(limits))

    def is_looser_value(self, value: float) -> bool:
        """Whether a value allows more than the usual one."""
        usual = self.value(USUAL)
        if self.looser is Looser.HIGHER:
            return value > usual
        return value < usual

    def read(self, text: str) -> float:
        """What was typed, in its unit.  Raises `UserError` for what is no limit."""
        typed = text.strip().replace("\u2212", "-").replace(",", ".")
        typed = typed.removesuffix(self.unit).strip() if self.unit else typed
        try:
            value = float(typed)
        except ValueError:
            value = math.nan
        self.put(USUAL, value)
        return value


def limits_from(overrides: Iterable[tuple[str, str]]) -> Limits:
    """The usual limits with a person's own; what is none of theirs is passed over."""
    limits = USUAL
    for name, text in overrides:
        spec = BY_NAME.get(name)
        if spec is not None:
            with suppress(UserError):
                limits = spec.put(limits, spec.read(text))
    return limits


def with_override(overrides: Overrides, name: str, value: float | None) -> Overrides:
    """A person's own limits with one set, or (None) as usual again."""
    spec = BY_NAME[name]
    kept = tuple(pair for pair in overrides if pair[0] != name)
    if value is None or value == spec.value(USUAL):
        return kept
    return tuple(sorted((*kept, (name, repr(float(value))))))


def is_looser(limits: Limits) -> bool:
    """Whether any limit allows more than usual."""
    return any(spec.is_looser(limits) for spec in SPECS)


def loosened_by_rule(limits: Limits) -> Mapping[Rule, tuple[tuple[str, float], ...]]:
    """For each rule the limits it goes by that allow more than usual, with values."""
    if limits == USUAL:
        return {}
    found: dict[Rule, tuple[tuple[str, float], ...]] = {}
    for spec in SPECS:
        if spec.is_looser(limits):
            for rule in spec.rules:
                found[rule] = (*found.get(rule, ()), (spec.name, spec.value(limits)))
    return found


def _plain(value: float) -> str:
    return f"{value:g}".replace("-", "\u2212")


def _after(unit: str) -> str:
    return f" {unit}" if unit else ""


USUAL = Limits()


def _spec(
    name: str,
    words: str,
    unit: str,
    bounds: tuple[float, float],
    looser: Looser,
    rules: tuple[Rule, ...],
    source: str = _COMMON,
) -> LimitSpec:
    return LimitSpec(name, words, unit, *bounds, looser, rules, source)


_UP, _DOWN = Looser.HIGHER, Looser.LOWER
SPECS: tuple[LimitSpec, ...] = (
    _spec("tide_reserve", "Time in hand before the tide shuts a way", "min",
          (1, 360), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.constants_m", "Height kept clear: prediction from constants", "m",
          (0.01, 2), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.least_m", "Height kept clear: prediction from a table, least", "m",
          (0.01, 2), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.share_of_range", "The same as a share of the rise or fall", "",
          (0.01, 1), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.odd_least_m", "Height kept clear: odd rise or fall, least", "m",
          (0.01, 2), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.odd_share_of_range", "The same as a share of it", "",
          (0.01, 1), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.ocean_island_m", "Height kept clear: weather at an ocean island",
          "m", (0.01, 3), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.open_coast_m", "Height kept clear: weather on an open coast", "m",
          (0.01, 3), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("margins.shelf_or_estuary_m", "Height kept clear: weather on a shelf sea",
          "m", (0.01, 5), _DOWN, _TIDAL, SOURCE_CROSSING),
    _spec("swell_caution_m", "Waves: caution from", "m", (0.1, 10), _UP,
          (Rule.SWELL,)),
    _spec("swell_stop_m", "Waves: stop from", "m", (0.1, 15), _UP, (Rule.SWELL,)),
    _spec("long_period_s", "Waves: long from a period of", "s", (4, 25), _UP,
          (Rule.SWELL,)),
    _spec("low_ground_m", "Sea: no question on ground above", "m", (1, 100), _DOWN,
          (Rule.SWELL, Rule.TIDE_STAND, Rule.CLIFF_FOOT)),
    _spec("gust_caution_m_s", "Gust near an edge: caution from", "m/s", (1, 60), _UP,
          (Rule.CLIFF_EDGE,), SOURCE_EDGE),
    _spec("gust_stop_m_s", "Gust near an edge: stop from", "m/s", (1, 60), _UP,
          (Rule.CLIFF_EDGE,), SOURCE_EDGE),
    _spec("towards_edge_factor", "Wind towards a drop counts times", "", (1, 3),
          _DOWN, (Rule.CLIFF_EDGE,)),
    _spec("headland_factor", "Wind on a headland counts times", "", (1, 3), _DOWN,
          (*_WINDY, Rule.WIND_CHILL)),
    _spec("edge_m", "Distance to keep from an edge", "m", (1, 500), _DOWN,
          (Rule.CLIFF_EDGE,)),
    _spec("soft_edge_m", "The same on soft rock or after heavy rain", "m", (1, 500),
          _DOWN, (Rule.CLIFF_EDGE,)),
    _spec("edge_zone_m", "How far off an edge counts as near", "m", (5, 1000), _DOWN,
          (Rule.CLIFF_EDGE, Rule.EDGE_LOOKED_FOR)),
    _spec("leg_error_m", "How far a drawn way may be out", "m", (1, 200), _DOWN,
          (Rule.CLIFF_EDGE, Rule.EDGE_LOOKED_FOR, Rule.CLIFF_FOOT, Rule.ACCESS_CLOSED,
           Rule.CLOSED_SEASON)),
    _spec("foot_heights", "Distance from a cliff's foot, in heights of it", "",
          (0.1, 10), _DOWN, (Rule.CLIFF_FOOT,), SOURCE_FOOT),
    _spec("foot_zone_m", "How far a cliff of unknown height counts", "m", (10, 1000),
          _DOWN, (Rule.CLIFF_FOOT,)),
    _spec("heavy_rain_mm_h", "Rain: heavy from, in an hour", "mm", (0.1, 100), _UP,
          (*_WET, Rule.RAIN), SOURCE_RAIN),
    _spec("heavy_rain_mm_day", "Rain: loosens edges from, in a day", "mm", (0.1, 500),
          _UP, _WET),
    _spec("wet_rain_48h_mm", "The same in the 48 hours before", "mm", (0.1, 500), _UP,
          _WET),
    _spec("stream_caution_mm", "Rain before a stream: caution from", "mm", (0.1, 500),
          _UP, (Rule.STREAMS,)),
    _spec("stream_stop_mm", "Rain before a stream: stop from", "mm", (0.1, 500), _UP,
          (Rule.STREAMS,)),
    _spec("walk_caution_m_s", "Gust on foot: caution from", "m/s", (1, 60), _UP,
          (Rule.WALKING_WIND, Rule.HEADLAND_WIND), SOURCE_WIND),
    _spec("walk_stop_m_s", "Gust on foot: stop from", "m/s", (1, 60), _UP,
          (Rule.WALKING_WIND, Rule.HEADLAND_WIND), SOURCE_WIND),
    _spec("chill_caution_c", "Wind chill: caution from", "°C", (-60, -0.1), _DOWN,
          (Rule.WIND_CHILL,), SOURCE_CHILL),
    _spec("chill_stop_c", "Wind chill: stop below", "°C", (-60, -0.1), _DOWN,
          (Rule.WIND_CHILL,), SOURCE_CHILL),
    _spec("heat_caution_c", "Heat: caution from", "°C", (10, 60), _UP, (Rule.HEAT,),
          SOURCE_HEAT),
    _spec("heat_humid_c", "Heat: dangerous in humid air from", "°C", (10, 60), _UP,
          (Rule.HEAT,), SOURCE_HEAT),
    _spec("heat_stop_c", "Heat: stop from", "°C", (10, 60), _UP, (Rule.HEAT,),
          SOURCE_HEAT),
    _spec("thunder_caution_percent", "Probability of thunder: caution from", "%",
          (1, 100), _UP, (Rule.THUNDER,), SOURCE_THUNDER),
    _spec("thunder_stop_percent", "Probability of thunder: stop from", "%", (1, 100),
          _UP, (Rule.THUNDER,), SOURCE_THUNDER),
    _spec("after_thunder", "Wait after the last thunder", "min", (1, 360), _DOWN,
          (Rule.THUNDER,), SOURCE_THUNDER),
    _spec("fog_m", "Visibility: fog below", "m", (50, 20000), _DOWN, (Rule.FOG,),
          SOURCE_FOG),
    _spec("thick_fog_m", "Visibility: thick fog below", "m", (10, 5000), _DOWN,
          (Rule.FOG,)),
    _spec("sunset_deg", "The Sun's altitude at sunset", "°", (-5, -0.1), _DOWN,
          (Rule.DAYLIGHT, Rule.TWO_LIGHTS, Rule.LATEST_WALK_OUT, Rule.GATES),
          SOURCE_DAYLIGHT),
    _spec("dusk_deg", "The Sun's altitude at dusk", "°", (-18, -0.1), _DOWN,
          (Rule.DAYLIGHT, Rule.LATEST_WALK_OUT, Rule.FOG, Rule.GATES),
          SOURCE_DAYLIGHT),
    _spec("overcast_percent", "Cloud that makes dusk dark, from", "%", (1, 100), _UP,
          (Rule.DAYLIGHT, Rule.GATES)),
    _spec("lights", "Lights to carry after sunset", "", (1, 20), _DOWN,
          (Rule.TWO_LIGHTS,)),
    _spec("walk_out_reserve", "Time in hand on the walk out before sunset", "min",
          (1, 360), _DOWN, (Rule.LATEST_WALK_OUT,)),
    _spec("start_reserve", "Time in hand before a gate shuts", "min", (1, 360), _DOWN,
          (Rule.START_OPEN,)),
    _spec("awake", "Awake at the wheel at most", "h", (1, 48), _UP, (Rule.AWAKE,)),
    _spec("confirmed_months", "A hazard, note or refuge is old after", "months",
          (1, 240), _UP, _DATED),
    _spec("position_error_m", "A position is rough beyond", "m", (1, 1000), _UP,
          (Rule.POSITION_ERROR,)),
    _spec("sun_difference_s", "Sun times may differ by", "s", (1, 3600), _UP,
          (Rule.SUN_TIMES,), SOURCE_SUN),
    _spec("forecast_on_the_day", "A forecast is old on the day after", "h", (1, 240),
          _UP, (Rule.FORECAST_AGE,)),
    _spec("forecast_before", "A forecast is old before the day after", "h", (1, 240),
          _UP, (Rule.FORECAST_AGE,)),
)  # fmt: skip
BY_NAME: Mapping[str, LimitSpec] = {spec.name: spec for spec in SPECS}
