"""What a profile of the ground shows: heights along a line, and a ray over them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.wording import (
    METRES_PER_FOOT,
    METRES_PER_MILE,
    distance_text,
    height_text,
    number_text,
)

_AXIS_TICKS = 5  # about so many


@dataclass(frozen=True, slots=True)
class AxisTick:
    """A labelled place on an axis, in metres."""

    at_m: float
    text: str


@dataclass(frozen=True, slots=True)
class ProfileMark:
    """A place worth a word: its distance, and what is there."""

    at_m: float
    text: str
    is_strong: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class ProfileContent:
    """Everything the profile chart shows; arrays of shape (n,)."""

    distances_m: Array
    ground_m: Array  # above mean sea level; nan where not known
    ray_m: Array | None = None  # the line of sight, or None
    low_m: float = 0.0
    high_m: float = 1.0
    across: tuple[AxisTick, ...] = ()
    up: tuple[AxisTick, ...] = ()
    marks: tuple[ProfileMark, ...] = ()
    start: str = ""  # what stands at the left end
    end: str = ""
    settings: Settings = field(default_factory=Settings)


def profile_content(
    distances_m: Array,
    ground_m: Array,
    settings: Settings,
    *,
    ray_m: Array | None = None,
    marks: Sequence[ProfileMark] = (),
    start: str = "",
    end: str = "",
) -> ProfileContent:
    """A profile with axes of round numbers in the user's units."""
    known = ground_m[np.isfinite(ground_m)]
    values = known if ray_m is None else np.concatenate([known, ray_m])
    low_m = float(values.min()) if len(values) else 0.0
    high_m = float(values.max()) if len(values) else 1.0
    room_m = max(2.0, 0.2 * (high_m - low_m))  # for words above the ground
    low_m = 0.0 if 0.0 <= low_m < 0.3 * high_m else low_m - room_m
    high_m = max(high_m + room_m, low_m + 10.0)
    return ProfileContent(
        distances_m,
        ground_m,
        ray_m,
        low_m=low_m,
        high_m=high_m,
        across=_distance_ticks(float(distances_m[-1]), settings),
        up=_height_ticks(low_m, high_m, settings),
        marks=tuple(marks),
        start=start,
        end=end,
        settings=settings,
    )


def profile_reading(content: ProfileContent, at_m: float) -> str:
    """What stands at a distance: for eye and screen reader."""
    at = int(np.argmin(np.abs(content.distances_m - at_m)))
    settings = content.settings
    along = distance_text(float(content.distances_m[at]), settings)
    ground_m = float(content.ground_m[at])
    parts = [f"{along} along"]
    if math.isnan(ground_m):
        parts.append("the ground is not known")
    else:
        parts.append(f"ground {height_text(ground_m, settings, 0)}")
    if content.ray_m is not None and not math.isnan(ground_m):
        over_m = float(content.ray_m[at]) - ground_m
        where = "above" if over_m >= 0.0 else "below"
        parts.append(f"line {height_text(abs(over_m), settings)} {where} it")
    return " · ".join(parts)


def _distance_ticks(length_m: float, settings: Settings) -> tuple[AxisTick, ...]:
    is_foot = settings.length_unit is LengthUnit.FOOT
    small_m, large_m = (METRES_PER_FOOT, METRES_PER_MILE) if is_foot else (1.0, 1000.0)
    names = ("ft", "mi") if is_foot else ("m", "km")
    is_large = length_m > large_m
    unit_m, name = (large_m, names[1]) if is_large else (small_m, names[0])
    return _ticks(0.0, length_m, unit_m, name)


def _height_ticks(
    low_m: float, high_m: float, settings: Settings
) -> tuple[AxisTick, ...]:
    if settings.length_unit is LengthUnit.FOOT:
        return _ticks(low_m, high_m, METRES_PER_FOOT, "ft")
    return _ticks(low_m, high_m, 1.0, "m")


def _ticks(
    low_m: float, high_m: float, unit_m: float, name: str
) -> tuple[AxisTick, ...]:
    """Round numbers of a unit; whole ones but where less than one is shown."""
    span = (high_m - low_m) / unit_m
    if not span > 0.0:
        return ()
    power = 10.0 ** math.floor(math.log10(span / _AXIS_TICKS))
    step = next(
        power * times
        for times in (1, 2, 5, 10)
        if span / (power * times) <= _AXIS_TICKS
    )
    first = math.ceil(low_m / unit_m / step - 1e-9)
    last = math.floor(high_m / unit_m / step + 1e-9)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return tuple(
        AxisTick(k * step * unit_m, f"{number_text(k * step, decimals)} {name}")
        for k in range(first, last + 1)
    )
