"""Where the ground falls away near a spot or a way: edges to be looked at.

Cells of 10 to 90 m miss edges: finding none proves nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import contourpy
import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.geo import Line, Position
from fieldtrip.terrain.flat_line import distances_to_line_m, simplified
from fieldtrip.terrain.grid import ElevationGrid

WITHIN_M = 60.0
# What is worth a look.  Common practice, no source: broken ground is steeper than 30
# degrees, and who falls five metres is badly hurt.
LEAST_DROP_M, LEAST_STEEPNESS_DEG = 5.0, 30.0
_CELLS = 2  # as far as height lost is looked for
_EDGE_CELLS = 3.0  # how far from its edge a steep cell may lie

Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Drop:
    """Steep ground, and the line where it begins."""

    position: Position  # the cell with the steepest fall
    line: Line  # its upper edge; that cell alone where the edge is out of range
    lost_one_cell_m: float  # height lost from that cell to a neighbour
    lost_two_cells_m: float  # and within two cells
    steepness_deg: float  # on the steepest way to a neighbour
    bearing_deg: float  # downhill from that cell
    distance_m: float  # from the spot or way to the edge
    is_all_known: bool  # False beside voids: it may fall farther


def drops_near(
    grid: ElevationGrid,
    line_or_point: Line | Position,
    within_m: float = WITHIN_M,
    *,
    least_drop_m: float = LEAST_DROP_M,
    least_steepness_deg: float = LEAST_STEEPNESS_DEG,
) -> tuple[Drop, ...]:
    """Drops within a distance of a spot or a way, the steepest first.

    Edges lie up to a cell behind where they are drawn, or before it.
    """
    near = _Near.of(grid, line_or_point, within_m)
    if near is None:
        return ()
    fall = _Fall.of(near)
    steep = fall.steepest >= math.tan(math.radians(least_steepness_deg))
    steep &= fall.lost_two_m >= least_drop_m
    cells = np.argwhere(steep)
    reach_m = within_m + 0.5 * max(near.cells_m)  # a cell stands for all of it
    cells = cells[near.away_from_m(cells.astype(np.float64)) <= reach_m]
    if not len(cells):
        return ()

    edges = _upper_edges(near, fall, math.tan(math.radians(least_steepness_deg)))
    found = []
    for edge, mine in _shared_out(cells, edges):
        row, column = max(mine, key=lambda cell: fall.steepest[cell])
        line = near.line_of(edge) if edge is not None else ()
        top = np.array([[row, column]], np.float64) if edge is None else edge
        away_m = float(near.away_from_m(top).min())
        position = near.grid.position_at(row, column)
        found.append(
            Drop(
                position=position,
                line=line or (position,),
                lost_one_cell_m=float(fall.lost_one_m[row, column]),
                lost_two_cells_m=float(fall.lost_two_m[row, column]),
                steepness_deg=math.degrees(math.atan(fall.steepest[row, column])),
                bearing_deg=near.downhill_deg(row, column),
                distance_m=away_m,
                is_all_known=bool(fall.is_all_known[row, column]),
            )
        )
    return tuple(sorted(found, key=lambda drop: -drop.steepness_deg))


def is_ground_known(
    grid: ElevationGrid, line_or_point: Line | Position, within_m: float = WITHIN_M
) -> bool:
    """Whether heights are known everywhere within a distance of a spot or a way."""
    near = _Near.of(grid, line_or_point, within_m)
    if near is None or not near.is_inside:
        return False
    voids = np.argwhere(np.isnan(near.heights_m)).astype(np.float64)
    return not bool((near.away_from_m(voids) <= within_m + max(near.cells_m)).any())


@dataclass(frozen=True, slots=True, eq=False)
class _Near:
    """The part of a grid about a way; cells are counted in it by row and column."""

    grid: ElevationGrid  # the part
    heights_m: Array
    cells_m: tuple[float, float]
    way: Array  # (n, 2), rows and columns with fractions
    is_inside: bool  # with all that is asked about

    @classmethod
    def of(
        cls, grid: ElevationGrid, line_or_point: Line | Position, within_m: float
    ) -> _Near | None:
        """None where the grid has nothing there, or the way no point."""
        line = (
            (line_or_point,) if isinstance(line_or_point, Position) else line_or_point
        )
        if not line:
            return None
        way = np.array([grid.cell_of(position) for position in line])
        cells_m = grid.cell_at_m(line[0].lat_deg)
        reach = within_m / np.array(cells_m)
        first = np.floor(way.min(axis=0) - reach).astype(int)
        last = np.ceil(way.max(axis=0) + reach).astype(int)
        is_inside = bool((first >= 0).all() and (last < grid.shape).all())
        # Enough beyond for the fall of the outermost cells.
        first = np.maximum(first - _CELLS - 1, 0)
        last = np.minimum(last + _CELLS + 1, np.array(grid.shape) - 1)
        if (last - first < 1).any():
            return None
        part = grid.part(
            slice(int(first[0]), int(last[0]) + 1),
            slice(int(first[1]), int(last[1]) + 1),
        )
        way = way - first
        heights_m = part.heights_m.astype(np.float64)
        return cls(part, heights_m, cells_m, way, is_inside)

    def away_from_m(self, points: Array) -> Array:
        """How far points, (n, 2) of rows and columns, lie from the way."""
        return distances_to_line_m(points * self.cells_m, self.way * self.cells_m)

    def line_of(self, points: Array) -> Line:
        """Points as positions, without those that make less than half a cell."""
        kept = simplified(points * self.cells_m, 0.5 * min(self.cells_m))
        return tuple(
            self.grid.position_at(float(row), float(column))
            for row, column in points[kept]
        )

    def downhill_deg(self, row: int, column: int) -> float:
        """The bearing in which the neighbours fall away, on the whole."""
        north_m, east_m = self.cells_m
        rows, columns = self.heights_m.shape
        east = north = 0.0
        for down, right in _OFFSETS:
            r, c = row + down, column + right
            if max(abs(down), abs(right)) > 1 or not (
                0 <= r < rows and 0 <= c < columns
            ):
                continue
            lost_m = self.heights_m[row, column] - self.heights_m[r, c]
            run_m = math.hypot(down * north_m, right * east_m)
            if lost_m > 0.0:
                east += lost_m * right * east_m / run_m**2
                north -= lost_m * down * north_m / run_m**2
        return math.degrees(math.atan2(east, north)) % 360.0


@dataclass(frozen=True, slots=True, eq=False)
class _Fall:
    """What every cell loses towards its neighbours; arrays of the part's shape."""

    lost_one_m: Array  # never negative
    lost_two_m: Array
    steepest: Array  # tangent, towards a neighbour
    is_all_known: Mask

    @classmethod
    def of(cls, near: _Near) -> _Fall:
        heights_m = near.heights_m
        rows, columns = heights_m.shape
        edged = np.pad(heights_m, _CELLS, constant_values=np.nan)
        lost_one_m, lost_two_m, steepest = np.zeros((3, rows, columns))
        is_all_known = np.ones((rows, columns), np.bool_)
        for down, right in _OFFSETS:
            r, c = _CELLS + down, _CELLS + right
            lost_m = heights_m - edged[r : r + rows, c : c + columns]
            is_all_known &= ~np.isnan(lost_m)
            run_m = math.hypot(down * near.cells_m[0], right * near.cells_m[1])
            np.fmax(lost_two_m, lost_m, out=lost_two_m)
            if max(abs(down), abs(right)) == 1:
                np.fmax(lost_one_m, lost_m, out=lost_one_m)
                np.fmax(steepest, lost_m / run_m, out=steepest)
        return cls(lost_one_m, lost_two_m, steepest, is_all_known)


_OFFSETS = tuple(
    (down, right)
    for down in range(-_CELLS, _CELLS + 1)
    for right in range(-_CELLS, _CELLS + 1)
    if (down, right) != (0, 0)
)


def _upper_edges(near: _Near, fall: _Fall, least: float) -> list[Array]:
    """Lines along the top of steep ground, (n, 2) of rows and columns."""
    lines = contourpy.contour_generator(
        z=fall.steepest, name="serial", line_type=contourpy.LineType.Separate
    ).lines(least)
    found = []
    for line in lines:
        points = np.asarray(line)[:, ::-1]
        found += _runs(points, _is_top(near, fall, points))
    return found


def _is_top(near: _Near, fall: _Fall, points: Array) -> Mask:
    """Whether the ground off the steep side is higher than on it, beyond a cell."""
    steeper = _slope_at(fall.steepest, points)
    length = np.hypot(*steeper.T)
    inward = steeper / np.maximum(length, 1e-9)[:, None]
    off_m = near.grid.heights_in_cells(*(points - inward).T)
    on_m = near.grid.heights_in_cells(*(points + 1.5 * inward).T)
    return np.asarray((length > 0.0) & (off_m > on_m))


def _slope_at(values: Array, points: Array) -> Array:
    """By how much values rise down and right, at points between cells."""
    rows, columns = values.shape
    low = np.floor(points).astype(int)
    r, c = np.clip(low[:, 0], 0, rows - 2), np.clip(low[:, 1], 0, columns - 2)
    down, right = points[:, 0] - r, points[:, 1] - c
    top_left, top_right = values[r, c], values[r, c + 1]
    low_left, low_right = values[r + 1, c], values[r + 1, c + 1]
    return np.stack(
        [
            (low_left - top_left) * (1.0 - right) + (low_right - top_right) * right,
            (top_right - top_left) * (1.0 - down) + (low_right - low_left) * down,
        ],
        axis=1,
    )


def _runs(points: Array, is_kept: Mask) -> list[Array]:
    """Pieces of two or more neighbours that are kept; a ring is cut where it may."""
    if is_kept.all():
        return [points] if len(points) > 1 else []
    if len(points) > 2 and np.allclose(points[0], points[-1]):
        start = int(np.argmin(is_kept))
        points = np.concatenate([points[start:-1], points[: start + 1]])
        is_kept = np.concatenate([is_kept[start:-1], is_kept[: start + 1]])
    changes = np.flatnonzero(np.diff(is_kept.astype(np.int8))) + 1
    pieces = zip(np.split(points, changes), np.split(is_kept, changes), strict=True)
    return [piece for piece, kept in pieces if kept[0] and len(piece) > 1]


def _shared_out(
    cells: npt.NDArray[np.intp], edges: list[Array]
) -> list[tuple[Array | None, list[tuple[int, int]]]]:
    """Steep cells by the edge they lie at; those at none, by what hangs together."""
    found: list[tuple[Array | None, list[tuple[int, int]]]] = []
    rest = {(int(row), int(column)) for row, column in cells}
    if edges:
        points = np.concatenate(edges)
        edge_of = np.repeat(np.arange(len(edges)), [len(edge) for edge in edges])
        by_edge: dict[int, list[tuple[int, int]]] = {}
        for cell in sorted(rest):
            off = np.hypot(*(points - cell).T)
            nearest = int(off.argmin())
            if off[nearest] <= _EDGE_CELLS:
                by_edge.setdefault(int(edge_of[nearest]), []).append(cell)
        for number, mine in by_edge.items():
            rest.difference_update(mine)
            edge = edges[number]
            # As far as it runs beside these cells.
            off = np.min([np.hypot(*(edge - cell).T) for cell in mine], axis=0)
            beside = np.flatnonzero(off <= _EDGE_CELLS)
            found.append((edge[beside[0] : beside[-1] + 1], mine))
    while rest:
        group, waiting = [], [rest.pop()]
        while waiting:
            cell = waiting.pop()
            group.append(cell)
            neighbours = {
                (cell[0] + down, cell[1] + right)
                for down in (-1, 0, 1)
                for right in (-1, 0, 1)
            } & rest
            rest -= neighbours
            waiting.extend(neighbours)
        found.append((None, group))
    return found
