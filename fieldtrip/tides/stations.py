"""Tide stations: where the tide of a place comes from, kept once for all who use it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from uuid import UUID, uuid4

from fieldtrip.errors import UserError
from fieldtrip.faults import finite, long_text, missing_name
from fieldtrip.geo import Position
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.records import Exposure, Turn, turn_faults
from fieldtrip.tides.secondary import (
    HighAndLowOffsets,
    InterpolatedDifferences,
    RatioAboutMeanLevel,
)
from fieldtrip.times import zone_of

UNITS = ("m", "cm", "ft")
KnownDifferences = RatioAboutMeanLevel | HighAndLowOffsets | InterpolatedDifferences


class StationKind(StrEnum):
    """What a station's tide is computed from."""

    CONSTANTS = "harmonic constants"  # as its authority publishes them
    FIT = "fitted to a table"
    PRINTED = "printed table"
    SECONDARY = "secondary port"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A port with what its tide is computed from.

    Heights are kept in metres and instants in UTC; `unit` and `zone` say what the
    authority printed.  Which of the fields hold the tide follows from its kind.
    """

    name: str
    kind: StationKind
    datum: str  # what its heights count from, as the authority names it
    position: Position | None = None
    unit: str = "m"  # as printed: m, cm or ft
    zone: str = "UTC"  # in which its table was printed: IANA name
    z0_m: float | None = None  # constants and fit: mean level above the datum
    constants: tuple[Constant, ...] = ()  # constants and fit
    fit_margin_m: float = 0.0  # fit: what it may be wrong by beyond the usual
    turns: tuple[Turn, ...] = ()  # printed table
    standard_id: UUID | None = None  # secondary: the standard port; None: not known
    differences: KnownDifferences | None = None  # secondary
    exposure: Exposure | None = None
    is_distorted: bool | None = None  # shallow or estuarine port: no smooth curve
    source: str = ""  # authority and edition
    year: int | None = None  # for which it was published, or of the fitted table
    licence: str = ""  # what may be done with it, in words
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = missing_name(self.name, "tide station")
        if not self.datum.strip():
            found.append("Say which datum the heights count from.")
        if not self.source.strip():
            found.append("Say where the station's tides come from.")
        if self.unit not in UNITS:
            found.append("The unit of a tide station is m, cm or ft.")
        try:
            zone_of(self.zone)
        except UserError as error:
            found.append(str(error))
        found += finite("The fit's margin", self.fit_margin_m, 0.0, 30.0, "m")
        if self.year is not None and not 1600 <= self.year <= 2600:
            found.append("The year of a tide station must be from 1600 to 2600.")
        return [*found, *long_text(self.licence), *self._tide_faults()]

    def harmonic_constants(self) -> HarmonicConstants | None:
        """Its constants for a prediction; None for a station of another kind."""
        if self.z0_m is None or not self.constants:
            return None
        return HarmonicConstants(
            port=self.name, datum=self.datum, z0_m=self.z0_m, constants=self.constants
        )

    def _tide_faults(self) -> list[str]:
        match self.kind:
            case StationKind.CONSTANTS | StationKind.FIT:
                constants = self.harmonic_constants()
                if constants is not None:
                    return constants.faults()
                if self.z0_m is None:
                    return ["Say how far the mean level lies above the datum."]
                return ["A tide station needs at least one constituent."]
            case StationKind.PRINTED:
                return turn_faults(self.turns)
            case StationKind.SECONDARY:
                if self.differences is None:
                    return ["Say how its tides differ from the standard port's."]
                if self.standard_id == self.id:
                    return ["A secondary port cannot be its own standard port."]
                return []
