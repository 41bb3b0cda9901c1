"""Heights of the ground on an even grid of latitude and longitude."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.terrain.earth import degree_m

Heights = npt.NDArray[np.float32]
_EDGE = 1e-7  # of a cell: rounding at the rim is no step outside


@dataclass(frozen=True, slots=True, eq=False)
class ElevationGrid:
    """Heights in metres above mean sea level at the centres of cells, WGS 84.

    Rows run from north to south, columns from west to east.  Columns may run past
    180 degrees; positions are found there all the same.  Big grids are shared, never
    copied: nothing may write into `heights_m`.
    """

    heights_m: Heights  # (rows, columns); nan where not known
    north_deg: float  # latitude of the centre of the first row
    west_deg: float  # longitude of the centre of the first column
    row_step_deg: float  # positive; differs from the other where cells are not square
    column_step_deg: float
    is_surface: bool | None = None  # of trees and roofs; None: nobody said
    notes: tuple[
        str, ...
    ] = ()  # sentences for the reader, such as where sea was put in
    # Whether somebody said that open sea lies where it ends: a horizon counts it.
    is_sea_beyond: bool = False

    def __post_init__(self) -> None:
        if self.heights_m.ndim != 2 or min(self.heights_m.shape) < 2:
            raise ValueError("a grid has two rows and two columns at least")
        if self.heights_m.dtype != np.float32:
            raise ValueError("heights are float32")
        if not (self.row_step_deg > 0.0 and self.column_step_deg > 0.0):
            raise ValueError("steps between cells are positive")
        rows, columns = self.heights_m.shape
        # Cells may stick out over a pole by half their size.
        reach_deg = 90.0 + 0.51 * self.row_step_deg
        south_deg = self.north_deg - (rows - 1) * self.row_step_deg
        if not (self.north_deg <= reach_deg and south_deg >= -reach_deg):
            raise ValueError("a grid lies between the poles")
        if not -180.0 <= self.west_deg <= 180.0:
            raise ValueError(f"longitude {self.west_deg} is not within -180..180")
        if (columns - 1) * self.column_step_deg > 360.0 + self.column_step_deg:
            raise ValueError("a grid runs round the Earth once at most")

    @property
    def shape(self) -> tuple[int, int]:
        """How many rows and columns."""
        rows, columns = self.heights_m.shape
        return rows, columns

    @property
    def box(self) -> tuple[float, float, float, float]:
        """South, west, north, east of the outermost centres, degrees; west < east."""
        rows, columns = self.heights_m.shape
        return (
            self.north_deg - (rows - 1) * self.row_step_deg,
            self.west_deg,
            self.north_deg,
            self.west_deg + (columns - 1) * self.column_step_deg,
        )

    @property
    def cell_m(self) -> tuple[float, float]:
        """Metres from row to row and from column to column, in the grid's middle."""
        south_deg, _, north_deg, _ = self.box
        return self.cell_at_m(0.5 * (south_deg + north_deg))

    def cell_at_m(self, lat_deg: float) -> tuple[float, float]:
        """Metres from row to row and from column to column, at a latitude."""
        north_m, east_m = degree_m(lat_deg)
        return north_m * self.row_step_deg, east_m * self.column_step_deg

    def cells_at(self, lat_deg: Array, lon_deg: Array) -> tuple[Array, Array]:
        """Row and column of positions, with fractions; they may lie outside."""
        row = (self.north_deg - lat_deg) / self.row_step_deg
        slack_deg = _EDGE * self.column_step_deg
        east_deg = lon_deg - self.west_deg
        east_deg = east_deg - 360.0 * np.floor((east_deg + slack_deg) / 360.0)
        return np.asarray(row), np.asarray(east_deg / self.column_step_deg)

    def cell_of(self, position: Position) -> tuple[float, float]:
        """Row and column of one position, with fractions; it may lie outside."""
        lat, lon = np.array([position.lat_deg]), np.array([position.lon_deg])
        row, column = (float(value[0]) for value in self.cells_at(lat, lon))
        # Just west of the grid is nearly once round to the east of it.
        turned = column - 360.0 / self.column_step_deg
        columns = self.heights_m.shape[1]
        column = min(column, turned, key=lambda value: _outside(value, columns))
        return row, column

    def heights_at(self, lat_deg: Array, lon_deg: Array) -> Array:
        """Heights between the cells' centres, bilinear; nan outside and at voids."""
        return self.heights_in_cells(*self.cells_at(lat_deg, lon_deg))

    def heights_in_cells(self, row: Array, column: Array) -> Array:
        """The same for rows and columns with fractions."""
        rows, columns = self.heights_m.shape
        is_inside = (
            (row >= -_EDGE)
            & (row <= rows - 1 + _EDGE)
            & (column >= -_EDGE)
            & (column <= columns - 1 + _EDGE)
        )
        row = np.clip(np.where(is_inside, row, 0.0), 0.0, rows - 1.0)
        column = np.clip(np.where(is_inside, column, 0.0), 0.0, columns - 1.0)
        r = np.minimum(row.astype(np.intp), rows - 2)
        c = np.minimum(column.astype(np.intp), columns - 2)
        down, right = row - r, column - c
        above = _between(self.heights_m[r, c], self.heights_m[r, c + 1], right)
        below = _between(self.heights_m[r + 1, c], self.heights_m[r + 1, c + 1], right)
        return np.where(is_inside, _between(above, below, down), np.nan)

    def height_m(self, position: Position) -> float | None:
        """Height at a position, bilinear; None outside and at voids."""
        lat, lon = np.array([position.lat_deg]), np.array([position.lon_deg])
        height = float(self.heights_at(lat, lon)[0])
        return None if math.isnan(height) else height

    def position_at(self, row: float, column: float) -> Position:
        """The position of a row and a column, with fractions."""
        lat_deg = self.north_deg - row * self.row_step_deg
        lon_deg = self.west_deg + column * self.column_step_deg
        return Position(
            min(90.0, max(-90.0, lat_deg)), (lon_deg + 180.0) % 360.0 - 180.0
        )

    def part(self, rows: slice, columns: slice) -> ElevationGrid:
        """Some rows and columns as a grid of their own, sharing the heights."""
        first_row, _, row_step = rows.indices(self.heights_m.shape[0])
        first_column, _, column_step = columns.indices(self.heights_m.shape[1])
        west_deg = self.west_deg + first_column * self.column_step_deg
        return replace(
            self,
            heights_m=self.heights_m[rows, columns],
            north_deg=self.north_deg - first_row * self.row_step_deg,
            west_deg=(west_deg + 180.0) % 360.0 - 180.0,
            row_step_deg=self.row_step_deg * row_step,
            column_step_deg=self.column_step_deg * column_step,
        )

    def around(self, position: Position, reach_m: float) -> ElevationGrid | None:
        """The part that reaches so far each way; None if nothing lies there.

        It shares the heights.
        """
        row, column = self.cell_of(position)
        rows, columns = self.heights_m.shape
        north_m, east_m = self.cell_at_m(position.lat_deg)
        found = (
            _reach(row, reach_m / north_m, rows),
            _reach(column, reach_m / max(east_m, 1e-6), columns),
        )
        if found[0] is None or found[1] is None:
            return None
        return self.part(found[0], found[1])


def _between(
    a: npt.NDArray[np.floating], b: npt.NDArray[np.floating], fraction: Array
) -> Array:
    # A centre that is met exactly does not ask for its neighbour, which may be void.
    mixed = a + (b.astype(np.float64) - a) * fraction
    return np.where(fraction == 0.0, a, np.where(fraction == 1.0, b, mixed))


def _outside(cell: float, count: int) -> float:
    return max(0.0, -cell, cell - (count - 1))


def _reach(centre: float, cells: float, count: int) -> slice | None:
    first = max(0, math.floor(centre - cells))
    last = min(count - 1, math.ceil(centre + cells))
    return slice(first, last + 1) if last > first else None
