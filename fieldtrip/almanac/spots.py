"""Spots with a skyline of their own: where one stands, and what is photographed."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from fieldtrip.geo import Position, destination
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.terrain.known_ground import KnownGround

SKYLINE_REACH_M = 60_000.0  # ground farther away is left out
_FIRST_LOOK_M = 200.0
_LOW_M = 1.0  # above the ground, of a subject whose height is not known


@dataclass(frozen=True, slots=True)
class Spot:
    """A point above the ground; equal spots have equal skylines."""

    record_id: UUID
    name: str
    position: Position
    eye_m: float  # above the ground
    ground_m: float | None  # above mean sea level; None: as the elevation model has it


def spot_of(record: VantagePoint | Subject) -> Spot:
    """The camera of a vantage point, or the top of a subject.

    Of a subject whose height is not known, a point a metre above its ground.
    """
    if isinstance(record, VantagePoint):
        eye_m = record.eye_height_m
    else:
        eye_m = _LOW_M if record.height_m is None else record.height_m
    return Spot(record.id, record.name, record.position, eye_m, record.ground_m)


@dataclass(frozen=True, slots=True, eq=False)
class Skyline:
    """A spot's horizon, or why there is none."""

    spot: Spot
    horizon: Horizon | None = None
    trouble: str = ""  # one or two sentences
    is_waiting: bool = False  # it is being worked out


@dataclass(frozen=True, slots=True)
class Cells:
    """The finest heights that are known at a place."""

    spacing_m: float
    is_surface: bool | None  # of trees and roofs; None: nobody said


def cells_at(ground: KnownGround, position: Position) -> Cells | None:
    """Of the finest file that covers a position; None where none does."""
    found = [
        source
        for source in ground.sources
        if any(
            source.facts.extent.holds(position.lat_deg, position.lon_deg + turn_deg)
            for turn_deg in (-360.0, 0.0, 360.0)
        )
    ]
    if not found:
        return None
    finest = min(found, key=lambda source: source.facts.spacing_m)
    return Cells(finest.facts.spacing_m, finest.is_surface)


def heights_end_m(
    ground: KnownGround, position: Position, reach_m: float
) -> tuple[float, float]:
    """How far the elevation files reach from a position: the least, and the most.

    By their edges in 24 directions, within some tenth; `reach_m` where they go on.
    """
    ends = [_end_m(ground, position, 15.0 * k, reach_m) for k in range(24)]
    return min(ends), max(ends)


def _end_m(
    ground: KnownGround, position: Position, bearing: float, reach_m: float
) -> float:
    away_m = _FIRST_LOOK_M
    while away_m < reach_m:
        if not ground.covers(destination(position, bearing, away_m)):
            return away_m
        away_m *= 1.1
    return reach_m
