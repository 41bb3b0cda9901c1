"""What the user prefers.  Only `wording` and what lies above it read this."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class LengthUnit(StrEnum):
    """Unit in which lengths and heights are shown."""

    METRE = "m"
    FOOT = "ft"


class SpeedUnit(StrEnum):
    """Unit in which wind is shown."""

    METRE_PER_SECOND = "m/s"
    KNOT = "kn"
    MILE_PER_HOUR = "mph"
    KILOMETRE_PER_HOUR = "km/h"


class Theme(StrEnum):
    """Light paper, dark paper, or what the system says."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """One immutable value; a changed setting makes a new one with `replace`."""

    length_unit: LengthUnit = LengthUnit.METRE
    speed_unit: SpeedUnit = SpeedUnit.METRE_PER_SECOND
    clock_24h: bool = True
    theme: Theme = Theme.SYSTEM
    text_percent: int = 100  # of the size that the system gives
    person: str = ""  # who ticks
    # Which column of a tide file holds what, by the line of its heading.
    tide_columns: tuple[tuple[str, str], ...] = ()
    # Limits of the checks that are not as usual: name, and value in its own unit.
    limits: tuple[tuple[str, str], ...] = ()
