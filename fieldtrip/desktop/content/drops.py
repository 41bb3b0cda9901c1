"""Drops that the elevation model shows near a place, proposed as cliff edges."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from fieldtrip.desktop.content.map_features import FeatureCollection
from fieldtrip.geo import Line, Position, bearing_deg, distance_to_line_m
from fieldtrip.places.records import Hazard, HazardKind, Leg, Shape, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.terrain.drops import WITHIN_M, Drop, drops_near, is_ground_known
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.lattice import Extent
from fieldtrip.wording import count_text, distance_text, height_text, wind_text

MOST_SHOWN = 12
_SAME_M = 30.0  # a typed edge so near is taken for the same
_ROOM_M = 200.0  # round the place, for the model's cells
_MARK_DIGITS = 4  # of degrees: some ten metres

Mark = tuple[float, float]  # by which a drop is known again


@dataclass(frozen=True, slots=True)
class Looked:
    """What was found at a place; it holds while the place is where it was."""

    line: Line  # of the place when it was looked at; one position for a spot
    drops: tuple[Drop, ...]  # the steepest first
    is_all_known: bool  # the ground, all round
    cell_m: float | None  # None: no elevation file has heights there
    file: str = ""  # the finest file's name


@dataclass(frozen=True, slots=True)
class DropRow:
    """One proposal."""

    drop: Drop
    line: Line  # drawn so that the ground falls away on its right
    words: str
    recorded: str = ""  # name of the typed edge that lies there already

    @property
    def mark(self) -> Mark:
        """By which it is known again when it was turned down."""
        return mark_of(self.drop)


@dataclass(frozen=True, slots=True)
class DropList:
    """What the card says of drops near one record."""

    rows: tuple[DropRow, ...] = ()
    summary: str = ""
    left_out: int = 0  # turned down earlier


def place_of(record: VantagePoint | Leg) -> Line:
    """Where to look: one position, or the line of a leg."""
    return (record.position,) if isinstance(record, VantagePoint) else record.line


def look_for_drops(
    ground: KnownGround,
    line: Line,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> Looked:
    """Look near a place; for a job.  Raises `UserError` where a file is gone."""
    middle, reach_m = _round(line)
    grid = ground.grid_for(middle, reach_m, progress) if line else None
    if grid is None:
        return Looked(line, (), is_all_known=False, cell_m=None)
    place: Line | Position = line[0] if len(line) == 1 else line
    return Looked(
        line,
        drops_near(grid, place),
        is_ground_known(grid, place),
        max(grid.cell_at_m(middle.lat_deg)),
        _finest_name(ground, middle),
    )


def drop_list(
    looked: Looked | None,
    hazards: Sequence[Hazard],
    rejected: Collection[Mark],
    settings: Settings,
) -> DropList:
    """The proposals that are left, and a sentence on the whole."""
    if looked is None:
        return DropList()
    if looked.cell_m is None:
        return DropList(
            summary="Unknown: no usable elevation file has heights here. Add one with "
            "View ▸ Elevation files…"
        )
    cell = height_text(looked.cell_m, settings, 0)
    misses = f"cells of {cell} miss edges"
    within = distance_text(WITHIN_M, settings)
    rows = []
    for drop in looked.drops:
        if mark_of(drop) in rejected:
            continue
        recorded = next((h.name for h in hazards if _is_same(drop, h)), "")
        rows.append(
            DropRow(drop, falling_right(drop), drop_words(drop, settings), recorded)
        )
    more = len(rows) - MOST_SHOWN
    if not looked.drops:
        part = "" if looked.is_all_known else " Heights are missing in part."
        return DropList(
            summary=f"Unknown: the model shows no drop within {within}, but {misses}."
            f"{part} Look for edges on the spot."
        )
    left_out = len(looked.drops) - len(rows)
    found = count_text(len(looked.drops), "drop")
    summary = f"{found} within {within}; {misses}, and edges may lie a cell off."
    if left_out:
        summary += f" {left_out} turned down."
    if more > 0:
        summary += f" The steepest {MOST_SHOWN} are listed."
    return DropList(tuple(rows[:MOST_SHOWN]), summary, left_out)


def drop_words(drop: Drop, settings: Settings) -> str:
    """How far and how steeply it falls, where to, and how near."""
    lost = height_text(drop.lost_two_cells_m, settings, 0)
    at_least = "" if drop.is_all_known else "at least "
    away = distance_text(max(drop.distance_m, 1.0), settings)
    return (
        f"falls {at_least}{lost} to the {wind_text(drop.bearing_deg)}, "
        f"{drop.steepness_deg:.0f}° steep, {away} away"
    )


def falling_right(drop: Drop) -> Line:
    """Its edge, turned so that the ground falls away on the right hand."""
    line = drop.line
    if len(line) < 2:
        return line
    half = len(line) // 2
    along = bearing_deg(line[half - 1], line[half])
    is_right = math.cos(math.radians(drop.bearing_deg - along - 90.0)) >= 0.0
    return line if is_right else line[::-1]


def hazard_of(row: DropRow, location_id: UUID, looked: Looked) -> Hazard:
    """A cliff edge to be looked at: nothing is known of its fence or its rock."""
    model = f" “{looked.file}”" if looked.file else ""
    cell = round(looked.cell_m or 0.0)
    return Hazard(
        location_id=location_id,
        name=f"Edge to the {wind_text(row.drop.bearing_deg)}",
        kind=HazardKind.CLIFF_EDGE,
        shape=Shape.LINE if len(row.line) > 1 else Shape.POINT,
        line=row.line,
        height_m=round(row.drop.lost_two_cells_m, 1),
        notes=f"From the elevation model{model}, cells of {cell} m; not seen on the "
        "spot yet. It may lie a cell off, and be higher.",
    )


def drop_features(rows: Sequence[DropRow], settings: Settings) -> FeatureCollection:
    """Proposals on the map: those that nobody has typed yet."""
    features: list[dict[str, Any]] = []
    for row in rows:
        if row.recorded:
            continue
        places = [[at.lon_deg, at.lat_deg] for at in row.line]
        if len(places) < 2:  # a point is drawn as a short stroke across the fall
            places = _stroke(row.drop)
        lost = height_text(row.drop.lost_two_cells_m, settings, 0)
        features.append(
            {
                "type": "Feature",
                "geometry": {"type": "LineString", "coordinates": places},
                "properties": {
                    "kind": "drop",
                    "label": f"drop of {lost}?",
                },
            }
        )
    return {"type": "FeatureCollection", "features": features}


def mark_of(drop: Drop) -> Mark:
    """By which a drop is known again."""
    return (
        round(drop.position.lat_deg, _MARK_DIGITS),
        round(drop.position.lon_deg, _MARK_DIGITS),
    )


def _is_same(drop: Drop, hazard: Hazard) -> bool:
    return hazard.kind is HazardKind.CLIFF_EDGE and any(
        distance_to_line_m(at, hazard.line) <= _SAME_M
        for at in (drop.position, *drop.line)
    )


def _stroke(drop: Drop) -> list[list[float]]:
    across = math.radians(drop.bearing_deg - 90.0)
    north, east = 1e-4 * math.cos(across), 1e-4 * math.sin(across)
    east /= max(0.1, math.cos(math.radians(drop.position.lat_deg)))
    at = drop.position
    return [
        [at.lon_deg - east, at.lat_deg - north],
        [at.lon_deg + east, at.lat_deg + north],
    ]


def _round(line: Line) -> tuple[Position, float]:
    """A middle, and how far to look each way."""
    first = line[0]
    extent = Extent.around(first, 1.0)
    for position in line[1:]:
        extent = extent.hull(Extent.around(position, 1.0))
    lat_deg = 0.5 * (extent.south_deg + extent.north_deg)
    lon_deg = 0.5 * (extent.west_deg + extent.east_deg)
    if extent.east_deg - extent.west_deg > 180.0:  # over the date line
        lat_deg, lon_deg = first.lat_deg, first.lon_deg
    middle = Position(lat_deg, (lon_deg + 180.0) % 360.0 - 180.0)
    reach_m = max(distance_to_line_m(middle, (position,)) for position in line)
    return middle, reach_m + _ROOM_M


def _finest_name(ground: KnownGround, position: Position) -> str:
    found = [
        source
        for source in ground.sources
        if source.facts.extent.holds(position.lat_deg, position.lon_deg)
    ]
    finest = min(found, key=lambda source: source.facts.spacing_m, default=None)
    return finest.name if finest else ""
