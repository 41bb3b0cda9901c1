"""What stands in a tide file, as it stands there, and what it does not say.

Readers of the single layouts make a `TideFile`; `fieldtrip.exchange.tide_facts`
turns it into turns, heights or constants once everything is known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldtrip.geo import Position

FIRST_YEAR, LAST_YEAR = 1900, 2099  # what tides are computed for
METRES = {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048}  # the foot of 1959


class TideKind(StrEnum):
    """What a file gives."""

    TURNS = "high and low waters"
    SERIES = "heights at even times"
    CONSTANTS = "harmonic constants"
    LEVELS = "levels of a station"


@dataclass(frozen=True, slots=True)
class Reading:
    """One height as it stands in a file."""

    place: int  # number of its line or entry, from 1
    clock: datetime  # without a zone unless the file gives one with it
    height: float  # in the file's unit
    is_high: bool | None = None  # None: the file does not say


@dataclass(frozen=True, slots=True)
class Constituent:
    """One constituent as it stands in a file."""

    name: str
    amplitude: float  # in the file's unit
    greenwich_phase_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TideFile:
    """A file read whole; a fact that it does not state is empty or None."""

    name: str  # of the file
    kind: TideKind
    layout: str  # in words
    port: str = ""
    position: Position | None = None
    zone: str = ""  # IANA name, UTC, or an offset such as UTC+12:00
    has_summer_time: bool | None = None  # of its clock, where it names no zone
    datum: str = ""
    unit: str = ""  # m, cm, mm or ft
    source: str = ""  # authority and edition
    place: str = "Line"  # the word for where a reading stands
    turns: tuple[Reading, ...] = ()
    series: tuple[Reading, ...] = ()
    constants: tuple[Constituent, ...] = ()
    levels: tuple[tuple[str, float], ...] = ()  # above any one zero, by name
    levels_unit: str = ""
    text: str = ""  # of a table typed by hand, which its own reader reads
    may_stand: bool = False  # its marks are right where heights seem not to be
    notes: tuple[str, ...] = ()

    @property
    def is_timed(self) -> bool:
        """Whether it holds heights at times, so that its zone matters."""
        return self.kind in (TideKind.TURNS, TideKind.SERIES)
