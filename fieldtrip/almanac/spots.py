"""Spots with a skyline of their own: where one stands, and what is photographed."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from fieldtrip.geo import Position
from fieldtrip.places.records import Subject, VantagePoint

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
