"""Several files of heights as one grid round a place."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from fieldtrip.geo import Position
from fieldtrip.terrain.earth import degree_m
from fieldtrip.terrain.elevation_files import ElevationSource, opened
from fieldtrip.terrain.geotiff_file import GeoTiff
from fieldtrip.terrain.grid import ElevationGrid, Heights
from fieldtrip.terrain.hgt_file import HgtFile
from fieldtrip.terrain.lattice import Extent, Lattice

MOST_CELLS = 14_000_000  # of one grid: 56 MB, and more than a tile of one degree
_BAND = 256  # rows that are filled at once
_TURNS_DEG = (-360.0, 0.0, 360.0)


@dataclass(frozen=True, slots=True)
class _Part:
    """A file as it meets the grid, its longitudes counted as the grid's are."""

    source: ElevationSource
    turn_deg: float  # what is added to its own longitudes
    extent: Extent


def grid_around(
    sources: Sequence[ElevationSource],
    position: Position,
    reach_m: float,
    *,
    most_cells: int = MOST_CELLS,
    progress: Callable[[float], None] = lambda _: None,
) -> ElevationGrid | None:
    """Heights within a distance north, south, east and west of a position.

    None where no file has any.  As `grid_over`, with the cells of the finest file that
    covers the position.
    """
    return grid_over(
        sources,
        Extent.around(position, reach_m),
        at=position,
        most_cells=most_cells,
        progress=progress,
    )


def grid_over(
    sources: Sequence[ElevationSource],
    extent: Extent,
    *,
    at: Position | None = None,
    most_cells: int = MOST_CELLS,
    progress: Callable[[float], None] = lambda _: None,
) -> ElevationGrid | None:
    """Heights in an extent as one grid, cut to what the files cover.

    Everywhere the finest file that covers a cell gives its height, and its voids are
    filled from the next.  The grid has the cells of the finest file that covers `at`
    (or else the middle), made coarser by whole numbers where there would be more than
    `most_cells`.  Cells that no file covers are nan; they are 0 m, with a note, where
    somebody said of a file that it leaves open sea out.  `progress` may end the work
    by raising.  Raises `UserError` where a file is gone or damaged.
    """
    parts = _parts(sources, extent)
    if not parts:
        return None
    covered = parts[0].extent
    for part in parts[1:]:
        covered = covered.hull(part.extent)
    extent = extent.shared(covered)
    lattice = _lattice(parts, extent, at, most_cells)
    if lattice is None:
        return None
    heights_m, used = _filled(parts, lattice, progress)
    notes = _put_sea_in(heights_m, lattice, parts)
    if not used:
        return None
    kinds = {part.source.is_surface for part in used}
    if len(kinds) > 1:
        notes.append("Models of the ground and of trees and roofs are mixed here.")
    return ElevationGrid(
        heights_m=heights_m,
        north_deg=lattice.north_deg,
        west_deg=(lattice.west_deg + 180.0) % 360.0 - 180.0,
        row_step_deg=lattice.row_step_deg,
        column_step_deg=lattice.column_step_deg,
        is_surface=kinds.pop() if len(kinds) == 1 else None,
        notes=tuple(notes),
        is_sea_beyond=any(part.source.leaves_sea_out for part in parts),
    )


def _parts(sources: Sequence[ElevationSource], extent: Extent) -> list[_Part]:
    """What meets the extent, the finest first; equals stay in their order."""
    found = [
        _Part(source, turn_deg, source.facts.extent.shifted(turn_deg))
        for source in sorted(sources, key=lambda one: one.facts.spacing_m)
        for turn_deg in _TURNS_DEG
    ]
    return [part for part in found if part.extent.meets(extent)]


def _lattice(
    parts: Sequence[_Part], extent: Extent, at: Position | None, most_cells: int
) -> Lattice | None:
    """The centres of the leading file's cells in an extent, made coarser if need be."""
    lat_deg = 0.5 * (extent.south_deg + extent.north_deg)
    lon_deg = 0.5 * (extent.west_deg + extent.east_deg)
    if at is not None:
        lat_deg = at.lat_deg
        lon_deg = at.lon_deg + 360.0 * round((lon_deg - at.lon_deg) / 360.0)
    leading = next(
        (part for part in parts if part.extent.holds(lat_deg, lon_deg)), parts[0]
    )
    facts = leading.source.facts
    if facts.steps_deg is not None and facts.centre_deg is not None:
        row_step_deg, column_step_deg = facts.steps_deg
        north_deg = facts.centre_deg[0]
        west_deg = facts.centre_deg[1] + leading.turn_deg
    else:
        north_m, east_m = degree_m(lat_deg)
        row_step_deg = facts.spacing_m / north_m
        column_step_deg = facts.spacing_m / max(east_m, 1.0)
        north_deg, west_deg = lat_deg, lon_deg
    high = (extent.north_deg - extent.south_deg) / row_step_deg
    wide = (extent.east_deg - extent.west_deg) / column_step_deg
    by = max(1, math.ceil(math.sqrt(high * wide / most_cells)))
    row_step_deg, column_step_deg = row_step_deg * by, column_step_deg * by
    # Centres stay where the file has them, and lie within the extent's edges.
    slack = 1e-6
    first_row = math.ceil((north_deg - extent.north_deg) / row_step_deg - slack)
    last_row = math.floor((north_deg - extent.south_deg) / row_step_deg + slack)
    first = math.ceil((extent.west_deg - west_deg) / column_step_deg - slack)
    last = math.floor((extent.east_deg - west_deg) / column_step_deg + slack)
    if last_row <= first_row or last <= first:
        return None
    return Lattice(
        north_deg=north_deg - first_row * row_step_deg,
        west_deg=west_deg + first * column_step_deg,
        row_step_deg=row_step_deg,
        column_step_deg=column_step_deg,
        rows=last_row - first_row + 1,
        columns=last - first + 1,
    )


def _filled(
    parts: Sequence[_Part], lattice: Lattice, progress: Callable[[float], None]
) -> tuple[Heights, list[_Part]]:
    """Heights at the lattice's centres, and the parts that gave any."""
    heights_m = np.full((lattice.rows, lattice.columns), np.nan, dtype=np.float32)
    used: list[_Part] = []
    with ExitStack() as open_files:
        files: dict[int, HgtFile | GeoTiff] = {}
        for first in range(0, lattice.rows, _BAND):
            progress(first / lattice.rows)
            band = lattice.band(first, min(_BAND, lattice.rows - first))
            rows = heights_m[first : first + band.rows]
            for k, part in enumerate(parts):
                is_void = np.isnan(rows)
                if not part.extent.meets(band.extent) or not is_void.any():
                    continue
                if k not in files:
                    files[k] = open_files.enter_context(opened(part.source.path))
                found = files[k].heights(band.shifted(-part.turn_deg))
                np.copyto(rows, found, where=is_void)
                if part not in used and np.isfinite(found[is_void]).any():
                    used.append(part)
    return heights_m, used


def _put_sea_in(
    heights_m: Heights, lattice: Lattice, parts: Sequence[_Part]
) -> list[str]:
    """Put 0 m where no file covers a cell, if that was said to be sea; gives notes."""
    said = [part.source.name for part in parts if part.source.leaves_sea_out]
    if not said:
        return []
    is_covered = np.zeros(heights_m.shape, dtype=np.bool_)
    for part in parts:
        is_covered[_cells_of(part.extent, lattice)] = True
    is_sea: npt.NDArray[np.bool_] = np.isnan(heights_m) & ~is_covered
    if not is_sea.any():
        return []
    heights_m[is_sea] = 0.0
    return [
        "Where no file has heights, open sea stands at 0 m, as was said of "
        f"“{said[0]}”. Land whose tile is missing would look the same."
    ]


def _cells_of(extent: Extent, lattice: Lattice) -> tuple[slice, slice]:
    """The rows and columns whose centres an extent holds."""
    first_row = math.ceil((lattice.north_deg - extent.north_deg) / lattice.row_step_deg)
    last_row = math.floor((lattice.north_deg - extent.south_deg) / lattice.row_step_deg)
    first = math.ceil((extent.west_deg - lattice.west_deg) / lattice.column_step_deg)
    last = math.floor((extent.east_deg - lattice.west_deg) / lattice.column_step_deg)
    return (
        slice(max(0, first_row), max(0, last_row + 1)),
        slice(max(0, first), max(0, last + 1)),
    )
