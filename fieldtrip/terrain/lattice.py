"""Where heights are asked for: a box in degrees, and rows and columns in it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from fieldtrip.geo import Position
from fieldtrip.terrain.earth import degree_m


@dataclass(frozen=True, slots=True)
class Extent:
    """Edges in degrees; longitudes count on past 180, so that west is below east."""

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float

    def __post_init__(self) -> None:
        edges = (self.south_deg, self.west_deg, self.north_deg, self.east_deg)
        if not all(math.isfinite(edge) for edge in edges):
            raise ValueError("an extent has numbers for edges")
        if not (self.south_deg < self.north_deg and self.west_deg < self.east_deg):
            raise ValueError("an extent has south below north and west below east")

    @classmethod
    def around(cls, position: Position, reach_m: float) -> Extent:
        """Everything within a distance north, south, east and west of a position."""
        north_m, east_m = degree_m(position.lat_deg)
        up = reach_m / north_m
        across = min(180.0, reach_m / max(east_m, 1.0))
        return cls(
            max(-90.0, position.lat_deg - up),
            position.lon_deg - across,
            min(90.0, position.lat_deg + up),
            position.lon_deg + across,
        )

    def meets(self, other: Extent) -> bool:
        """Whether two extents share more than an edge, as both count longitudes."""
        return (
            self.south_deg < other.north_deg
            and other.south_deg < self.north_deg
            and self.west_deg < other.east_deg
            and other.west_deg < self.east_deg
        )

    def holds(self, lat_deg: float, lon_deg: float) -> bool:
        """Whether a point lies in it or on its edge, as it counts longitudes."""
        return (
            self.south_deg <= lat_deg <= self.north_deg
            and self.west_deg <= lon_deg <= self.east_deg
        )

    def shared(self, other: Extent) -> Extent:
        """What lies in both; raises `ValueError` where they do not meet."""
        return Extent(
            max(self.south_deg, other.south_deg),
            max(self.west_deg, other.west_deg),
            min(self.north_deg, other.north_deg),
            min(self.east_deg, other.east_deg),
        )

    def hull(self, other: Extent) -> Extent:
        """The smallest extent that holds both."""
        return Extent(
            min(self.south_deg, other.south_deg),
            min(self.west_deg, other.west_deg),
            max(self.north_deg, other.north_deg),
            max(self.east_deg, other.east_deg),
        )

    def shifted(self, by_deg: float) -> Extent:
        """The same, its longitudes counted from elsewhere."""
        return replace(
            self, west_deg=self.west_deg + by_deg, east_deg=self.east_deg + by_deg
        )


@dataclass(frozen=True, slots=True)
class Lattice:
    """Centres of cells, rows from north to south and columns from west to east."""

    north_deg: float  # of the first row's centres
    west_deg: float  # of the first column's centres; may lie past 180
    row_step_deg: float
    column_step_deg: float
    rows: int
    columns: int

    @property
    def extent(self) -> Extent:
        """From edge to edge: half a cell beyond the outermost centres."""
        half_row, half_column = 0.5 * self.row_step_deg, 0.5 * self.column_step_deg
        return Extent(
            self.north_deg - (self.rows - 1) * self.row_step_deg - half_row,
            self.west_deg - half_column,
            self.north_deg + half_row,
            self.west_deg + (self.columns - 1) * self.column_step_deg + half_column,
        )

    def band(self, first_row: int, rows: int) -> Lattice:
        """Some of its rows."""
        return replace(
            self, north_deg=self.north_deg - first_row * self.row_step_deg, rows=rows
        )

    def shifted(self, by_deg: float) -> Lattice:
        """The same, its longitudes counted from elsewhere."""
        return replace(self, west_deg=self.west_deg + by_deg)

    def within(self, extent: Extent, margin: int = 0) -> Lattice | None:
        """Those of its cells whose centres an extent holds, and some more around.

        None where there are not two rows and two columns of them.
        """
        first_row = math.floor((self.north_deg - extent.north_deg) / self.row_step_deg)
        last_row = math.ceil((self.north_deg - extent.south_deg) / self.row_step_deg)
        first_column = math.floor(
            (extent.west_deg - self.west_deg) / self.column_step_deg
        )
        last_column = math.ceil(
            (extent.east_deg - self.west_deg) / self.column_step_deg
        )
        first_row = max(0, first_row - margin)
        first_column = max(0, first_column - margin)
        last_row = min(self.rows - 1, last_row + margin)
        last_column = min(self.columns - 1, last_column + margin)
        if last_row <= first_row or last_column <= first_column:
            return None
        return replace(
            self,
            north_deg=self.north_deg - first_row * self.row_step_deg,
            west_deg=self.west_deg + first_column * self.column_step_deg,
            rows=last_row - first_row + 1,
            columns=last_column - first_column + 1,
        )
