"""What the elevation model says near the spots and legs of a location."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from uuid import NAMESPACE_OID, UUID, uuid5

from fieldtrip.geo import Line, Position, line_length_m
from fieldtrip.places.records import Hazard, HazardKind, Leg, Shape, VantagePoint
from fieldtrip.terrain.drops import drops_near
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.leg_profile import leg_profile
from fieldtrip.trips.walking import Heights

_ROOM_M = 300.0  # round a spot or a leg, for what its cells need
LOOKED_M = 100.0  # wider than edges count as near, with what a position may be out
_DIGITS = 4  # of degrees, by which a drop is known again: some ten metres
MODEL_EDGE = "a drop in the elevation model"


@dataclass(frozen=True, slots=True)
class ModelDrop:
    """A drop that the model shows near a spot or a leg, and nobody has typed yet."""

    line: Line  # its upper edge
    height_m: float  # lost within two cells
    cell_m: float  # it may lie so far from where it is drawn


@dataclass(frozen=True, slots=True, eq=False)
class PlanGround:
    """Drops and profiles by vantage point and leg; none for those not looked at.

    A place with no drops is one where the model shows none, which proves nothing.
    """

    drops: Mapping[UUID, tuple[ModelDrop, ...]] = field(default_factory=dict)
    heights: Mapping[UUID, Heights] = field(default_factory=dict)  # by leg


def plan_ground(
    ground: KnownGround,
    vantage_points: Iterable[VantagePoint],
    legs: Iterable[Leg],
    within_m: float = LOOKED_M,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> PlanGround:
    """Look at all of a location's spots and legs; reads files, so for a job.

    Raises `UserError` where a file is gone or damaged.
    """
    drops: dict[UUID, tuple[ModelDrop, ...]] = {}
    heights: dict[UUID, Heights] = {}
    for vantage in vantage_points:
        progress(0.0)
        line = (vantage.position,)
        if (grid := _grid(ground, line)) is not None:
            drops[vantage.id] = _drops(grid, vantage.position, within_m)
    for leg in legs:
        progress(0.5)
        grid = _grid(ground, leg.line)
        if grid is None:
            continue
        drops[leg.id] = _drops(grid, leg.line, within_m)
        profile = leg_profile(grid, leg.line)
        if profile is not None:
            heights[leg.id] = Heights(profile.distances_m, profile.heights_m)
    return PlanGround(drops, heights)


def as_edges(drops: Iterable[ModelDrop], location_id: UUID) -> tuple[Hazard, ...]:
    """Drops as cliff edges of which neither fence nor rock is known, never confirmed.

    Their ids stay the same from one run to the next.
    """
    return tuple(
        Hazard(
            location_id=location_id,
            name=MODEL_EDGE,
            kind=HazardKind.CLIFF_EDGE,
            shape=Shape.LINE if len(drop.line) > 1 else Shape.POINT,
            line=drop.line,
            height_m=drop.height_m,
            id=uuid5(NAMESPACE_OID, f"{location_id} {_mark(drop.line[0])}"),
        )
        for drop in drops
    )


def _grid(ground: KnownGround, line: Line) -> ElevationGrid | None:
    if not line or not any(ground.covers(position) for position in line):
        return None
    return ground.grid_for(line[0], line_length_m(line) + _ROOM_M)


def _drops(
    grid: ElevationGrid, place: Line | Position, within_m: float
) -> tuple[ModelDrop, ...]:
    cell_m = max(grid.cell_m)
    return tuple(
        ModelDrop(drop.line, drop.lost_two_cells_m, cell_m)
        for drop in drops_near(grid, place, within_m)
    )


def _mark(position: Position) -> str:
    return f"{position.lat_deg:.{_DIGITS}f} {position.lon_deg:.{_DIGITS}f}"
