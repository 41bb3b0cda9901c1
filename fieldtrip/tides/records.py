"""Printed tide tables, as a person typed or pasted them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from itertools import pairwise
from uuid import UUID, uuid4

from fieldtrip.errors import UserError
from fieldtrip.faults import finite, missing_name
from fieldtrip.times import zone_of


class Exposure(StrEnum):
    """How far the weather can lift the sea above its prediction there."""

    OCEAN_ISLAND = "ocean island"
    OPEN_COAST = "open coast"
    SHELF_OR_ESTUARY = "shelf sea or estuary"


@dataclass(frozen=True, slots=True)
class Turn:
    """One high or low water."""

    instant: datetime  # UTC
    height_m: float  # above the table's datum
    is_high: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TideTable:
    """High and low waters of a port, in the order of time.

    Heights are kept in metres and instants in UTC; `zone` and `unit` say what
    the authority printed.
    """

    location_id: UUID
    port: str
    zone: str  # in which it was printed: IANA name
    datum: str  # what its heights count from, as the authority names it
    unit: str  # as printed: m, cm or ft
    source: str  # authority and edition
    turns: tuple[Turn, ...]
    exposure: Exposure | None = None
    is_distorted: bool | None = None  # shallow or estuarine port: no smooth curve
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = missing_name(self.port, "tide table")
        try:
            zone_of(self.zone)
        except UserError as error:
            found.append(str(error))
        if not self.datum.strip():
            found.append("Say which datum the heights count from.")
        if not self.source.strip():
            found.append("Say where the table comes from.")
        found += turn_faults(self.turns)
        return found


def turn_faults(turns: tuple[Turn, ...]) -> list[str]:
    """What keeps a list of turns from being a tide table."""
    if len(turns) < 2:
        return ["A tide table needs at least one high and one low water."]
    for turn in turns:
        if found := finite("A height", turn.height_m, -30.0, 30.0, "m"):
            return found
    for a, b in pairwise(turns):
        when = f"{b.instant:%Y-%m-%d %H:%M} UTC"
        if b.instant <= a.instant:
            return [f"The times do not follow one another at {when}."]
        if a.is_high == b.is_high:
            kind = "high" if b.is_high else "low"
            return [f"Two {kind} waters follow each other at {when}: one is missing."]
        if (b.height_m > a.height_m) != b.is_high:
            return [
                f"The {'high' if b.is_high else 'low'} water at {when} is not "
                f"{'higher' if b.is_high else 'lower'} than the turn before it."
            ]
    return []
