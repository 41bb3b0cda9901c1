"""What the Sun reaches of the ground, how it is shaded, how steep it is, contours."""

from __future__ import annotations

import math
from collections.abc import Iterator

import contourpy
import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.terrain.earth import MEAN_REFRACTION, bent_radius_m
from fieldtrip.terrain.grid import ElevationGrid, Heights

_ROWS_AT_ONCE = 32  # stay in the processor's cache
_NOTHING = np.float32(-1e9)
_MOST_CONTOURS = 1_000

Contour = tuple[float, list[Array]]  # height; lines of latitude and longitude, (n, 2)


def lit(
    grid: ElevationGrid,
    sun_azimuth_deg: float,
    sun_altitude_deg: float,
    *,
    refraction_k: float = MEAN_REFRACTION,
) -> npt.NDArray[np.bool_]:
    """Which cells the Sun reaches, ground and sea; shape (rows, columns).

    The Sun is a point that stands so in the middle of the grid: give the apparent
    altitude, as the air lets it be seen, and of the upper limb for first light.  A
    slope turned away is reached by none, as its own ground is in the way.  Nothing
    beyond the grid casts a shadow but the Earth itself.  A void is never lit: nothing
    is known of it.

    Lines run over the grid away from the Sun, each keeping the highest ray that the
    ground passed so far has cut off.
    """
    azimuth = math.radians(sun_azimuth_deg)
    north_m, east_m = grid.cell_m
    # Rows and columns towards the Sun in a metre.
    up, right = math.cos(azimuth) / north_m, math.sin(azimuth) / east_m
    result = np.empty(grid.shape, np.bool_)
    heights_m, reached = grid.heights_m, result
    if abs(up) < abs(right):
        heights_m, reached = heights_m.T, reached.T
        up, right = -right, -up
        north_m, east_m = east_m, north_m
    # Turned so that the Sun stands beyond the first row, and lines drift to later
    # columns.
    if up < 0.0:
        heights_m, reached = heights_m[::-1], reached[::-1]
    if right > 0.0:
        heights_m, reached = heights_m[:, ::-1], reached[:, ::-1]
    scene = _Scene(
        abs(up),
        abs(right),
        north_m,
        east_m,
        sun_altitude_deg,
        bent_radius_m(refraction_k),
    )
    _mark_reached(heights_m, scene, reached)
    return result


def relief(
    grid: ElevationGrid, azimuth_deg: float = 315.0, altitude_deg: float = 45.0
) -> Heights:
    """How bright ground looks that is lit from somewhere, 0..1; nan at voids.

    Lambert's cosine, without cast shadows: level ground has the sine of the altitude.
    """
    azimuth, altitude = math.radians(azimuth_deg), math.radians(altitude_deg)
    toward = (
        np.float32(math.sin(azimuth) * math.cos(altitude)),
        np.float32(math.cos(azimuth) * math.cos(altitude)),
        np.float32(math.sin(altitude)),
    )
    result = np.empty(grid.shape, np.float32)
    for here, west, east, north, south in _steps(grid):
        to_east = _mean(east, -west)
        to_north = _mean(north, -south)
        length = np.sqrt(to_east**2 + to_north**2 + np.float32(1.0))
        bright = toward[2] - toward[0] * to_east - toward[1] * to_north
        result[here] = np.maximum(bright / length, np.float32(0.0))
    result[np.isnan(grid.heights_m)] = np.nan
    return result


def steepness_deg(grid: ElevationGrid) -> Heights:
    """How steep the ground is at each cell, degrees from the level; nan at voids.

    The steeper side counts, so that a cliff from one cell to the next is not halved.
    Cells make steep ground look less steep than it is.
    """
    result = np.empty(grid.shape, np.float32)
    for here, west, east, north, south in _steps(grid):
        across = np.fmax(np.abs(west), np.abs(east))
        along = np.fmax(np.abs(north), np.abs(south))
        across[np.isnan(across)] = 0.0
        along[np.isnan(along)] = 0.0
        result[here] = np.degrees(np.arctan(np.hypot(across, along)))
    result[np.isnan(grid.heights_m)] = np.nan
    return result


def contours(grid: ElevationGrid, step_m: float) -> list[Contour]:
    """Lines of equal height, by height; higher ground lies on their right.

    Each line is an array of latitudes and longitudes, (n, 2); longitudes run on past
    180.  Raises `ValueError` for a step that makes more than a thousand heights.
    """
    if not step_m > 0.0:
        raise ValueError(f"contours every {step_m} m")
    if np.isnan(grid.heights_m).all():
        return []
    lowest_m = float(np.nanmin(grid.heights_m))
    highest_m = float(np.nanmax(grid.heights_m))
    first, last = math.floor(lowest_m / step_m) + 1, math.floor(highest_m / step_m)
    if last - first >= _MOST_CONTOURS:
        raise ValueError(f"contours every {step_m} m are more than {_MOST_CONTOURS}")
    made = contourpy.contour_generator(
        z=grid.heights_m, name="serial", line_type=contourpy.LineType.Separate
    )
    scale = np.array([-grid.row_step_deg, grid.column_step_deg])
    corner = np.array([grid.north_deg, grid.west_deg])
    found = []
    for number in range(first, last + 1):
        height_m = number * step_m
        lines = [
            np.asarray(corner + np.asarray(line)[:, ::-1] * scale)
            for line in made.lines(height_m)
        ]
        if lines:
            found.append((height_m, lines))
    return found


class _Scene:
    """Sun and Earth over a grid that is turned to the Sun."""

    def __init__(
        self,
        rows_in_m: float,
        columns_in_m: float,
        row_m: float,
        column_m: float,
        altitude_deg: float,
        radius_m: float,
    ) -> None:
        self.drift = columns_in_m / rows_in_m  # columns a row, away from the Sun
        self._rise_m = (
            math.tan(math.radians(altitude_deg)) / rows_in_m
        )  # of rays, a row
        self._rows_in_m, self._columns_in_m = rows_in_m, columns_in_m
        self._row_m, self._column_m = row_m, column_m
        self._altitude = math.radians(altitude_deg)
        self._radius_m = radius_m

    def tilts_m(self, rows: int, columns: int) -> tuple[Array, Array]:
        """What to add to heights by row and by column, so that rays run level.

        The Earth's bulge goes out of them too: a plane touches it in the middle.
        """
        down, across = self._from_middle(rows, columns)
        bulge_m = 0.5 / self._radius_m
        return (
            np.arange(rows) * self._rise_m - bulge_m * (down * self._row_m) ** 2,
            -bulge_m * (across * self._column_m) ** 2,
        )

    def lowest_lit_m(self, rows: int, columns: int) -> tuple[Array, Array] | None:
        """Altitudes of the Sun that add up by row and column; None if above the sea."""
        down, across = self._from_middle(rows, columns)
        # Towards the Sun it stands higher, by the angle along the Earth.
        by_row = -down * self._row_m**2 * self._rows_in_m / self._radius_m
        by_column = -across * self._column_m**2 * self._columns_in_m / self._radius_m
        by_row = by_row + self._altitude
        if by_row.min() + by_column.min() >= 0.0:
            return None
        return by_row, by_column

    def is_above_sea(
        self, heights_m: Heights, altitudes: Array
    ) -> npt.NDArray[np.bool_]:
        """Whether cells see a Sun at some altitudes above the sea's horizon."""
        needed_m = 0.5 * self._radius_m * altitudes**2
        return np.asarray((altitudes >= 0.0) | (heights_m >= needed_m))

    @staticmethod
    def _from_middle(rows: int, columns: int) -> tuple[Array, Array]:
        down, across = (
            np.arange(count, dtype=np.float64) - 0.5 * (count - 1)
            for count in (rows, columns)
        )
        return down, across


class _Lines:
    """Lines a column apart that run away from the Sun, and the rays they carry."""

    def __init__(self, rows: int, columns: int, drift: float, offset: float) -> None:
        # How far right of line 0 the first column of each row lies.
        place = np.arange(rows)[::-1] * drift + offset
        line = place.astype(np.intp)
        right = (place - line).astype(np.float32)
        self._first = line.tolist()  # the line next left of column 0, by row
        self.right = right[:, None]  # by which columns lie right of lines
        self._left = np.float32(1.0) - self.right
        self._highest = np.full(self._first[0] + columns + 2, _NOTHING, np.float32)
        self._ground = np.empty((_ROWS_AT_ONCE, columns + 1), np.float32)

    def ground(self, level: Heights, here: slice) -> Heights:
        """Heights where lines pass some rows, from the first line of each on."""
        count, columns = level.shape
        ground = self._ground[:count]
        ground[:, 0], ground[:, columns] = level[:, 0], level[:, -1]
        between = ground[:, 1:columns]
        np.multiply(level[:, :-1], self.right[here], out=between)
        between += level[:, 1:] * self._left[here]
        return ground

    def passing(self, row: int) -> Heights:
        """The rays of the lines that pass a row, to be lifted to its ground."""
        first = self._first[row]
        return self._highest[first : first + self._ground.shape[1]]


def _mark_reached(
    heights_m: Heights, scene: _Scene, reached: npt.NDArray[np.bool_]
) -> None:
    rows, columns = heights_m.shape
    by_row, by_column = scene.tilts_m(rows, columns)
    by_row32 = by_row.astype(np.float32)[:, None]
    by_column32 = by_column.astype(np.float32)
    low_sun = scene.lowest_lit_m(rows, columns)
    # A column lies between a line of the one and a line of the other.
    even = _Lines(rows, columns, scene.drift, 0.0)
    odd = _Lines(rows, columns, scene.drift, 0.5)
    is_even_left = even.right < 0.5
    share = np.float32(2.0) * np.where(is_even_left, even.right, odd.right)
    is_even_first = is_even_left[:, 0].tolist()
    rays, rays_right = np.empty((2, _ROWS_AT_ONCE, columns), np.float32)
    for first in range(0, rows, _ROWS_AT_ONCE):
        here = slice(first, first + _ROWS_AT_ONCE)
        level = np.add(heights_m[here], by_row32[here], order="C")
        level += by_column32
        even_ground, odd_ground = even.ground(level, here), odd.ground(level, here)
        for i in range(len(level)):
            mine, others = even.passing(first + i), odd.passing(first + i)
            if is_even_first[first + i]:
                rays[i], rays_right[i] = mine[:-1], others[1:]
            else:
                rays[i], rays_right[i] = others[:-1], mine[1:]
            np.fmax(mine, even_ground[i], out=mine)
            np.fmax(others, odd_ground[i], out=others)
        # As a sum of products: a line without ground has a height of no sense.
        ray = rays[: len(level)]
        ray *= np.float32(1.0) - share[here]
        ray += rays_right[: len(level)] * share[here]
        is_lit = level >= ray
        if low_sun is not None:
            altitudes = low_sun[0][here, None] + low_sun[1]
            is_lit &= scene.is_above_sea(heights_m[here], altitudes)
        reached[here] = is_lit


def _steps(
    grid: ElevationGrid,
) -> Iterator[tuple[slice, Heights, Heights, Heights, Heights]]:
    """By blocks of rows, how much the ground rises a metre towards each side.

    West, east, north and south; nan at the rim and beside voids.
    """
    heights_m = grid.heights_m
    rows = len(heights_m)
    lat_deg = grid.north_deg - np.arange(rows) * grid.row_step_deg
    cells = [grid.cell_at_m(float(lat)) for lat in np.clip(lat_deg, -89.999, 89.999)]
    in_m = (1.0 / np.array(cells)).astype(np.float32)
    for first in range(0, rows, _ROWS_AT_ONCE):
        here = slice(first, min(rows, first + _ROWS_AT_ONCE))
        block = heights_m[here]
        west, east, north, south = np.full((4, *block.shape), np.nan, np.float32)
        east[:, :-1] = (block[:, 1:] - block[:, :-1]) * in_m[here, 1:]
        west[:, 1:] = -east[:, :-1]
        south[:-1] = block[1:] - block[:-1]
        if here.stop < rows:
            south[-1] = heights_m[here.stop] - block[-1]
        south *= in_m[here, :1]
        north[1:] = block[:-1] - block[1:]
        if first:
            north[0] = heights_m[first - 1] - block[0]
        north *= in_m[here, :1]
        yield here, west, east, north, south


def _mean(a: Heights, b: Heights) -> Heights:
    """Half-way between two slopes; one where the other is not known, level if none."""
    mean = np.float32(0.5) * (a + b)
    is_unknown = np.isnan(mean)
    one = np.fmax(a[is_unknown], b[is_unknown])
    mean[is_unknown] = np.nan_to_num(one, nan=0.0)
    return mean
