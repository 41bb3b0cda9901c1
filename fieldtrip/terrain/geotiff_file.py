"""Heights in a GeoTIFF, of any encoding and in any coordinate system.

Source: OGC GeoTIFF Standard 1.1, OGC 19-008r4; GDAL moves the corner of files whose
numbers stand for points by the half cell that this asks.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, distance_m
from fieldtrip.terrain.facts import ElevationFacts, guessed_surface
from fieldtrip.terrain.geotiff_opening import (
    WGS_84,
    Window,
    environment,
    is_wgs_84,
    library,
    opened_tif,
    parts_there,
    plain_words,
    spread,
    system_name,
)
from fieldtrip.terrain.grid import Heights
from fieldtrip.terrain.lattice import Extent, Lattice
from fieldtrip.terrain.resample import (
    HIGHEST_M,
    LOWEST_M,
    gathered,
    masked,
    resampled,
    unvoided,
)

_KNOTS = 16  # cells between places that are projected
_FEET = {  # of the unit that a file names
    "ft": 0.3048, "foot": 0.3048, "feet": 0.3048, "international foot": 0.3048,
    "us survey foot": 1200.0 / 3937.0, "us-ft": 1200.0 / 3937.0,
    "foot_us": 1200.0 / 3937.0, "us_survey_foot": 1200.0 / 3937.0,
}  # fmt: skip


class GeoTiff:
    """One open file, left on the disk but for what is asked for; used by one thread."""

    def __init__(self, path: Path) -> None:
        """Open a file.

        Raises `UserError`, one or two sentences, for what is no GeoTIFF, a picture,
        damaged, without a place on the Earth, or not to be read in parts.
        """
        self._path, self._name = path, path.name
        self._rasterio = library()
        self._file = opened_tif(path)
        self._to_place = self._file.transform
        with plain_words(self._name):
            self._is_wgs_84 = is_wgs_84(self._file.crs)
        self._is_degrees = (
            self._is_wgs_84
            and self._to_place.b == self._to_place.d == 0.0
            and self._to_place.a > 0.0
            and self._to_place.e < 0.0
        )

    def close(self) -> None:
        """Let the file go."""
        self._file.close()

    def facts(
        self, progress: Callable[[float], None] = lambda _: None
    ) -> ElevationFacts:
        """What it covers and how fine.

        Reads until a height is found, and a part of the file to see that its numbers
        can be heights.  Raises `UserError` where they cannot, or where there is none.
        """
        with plain_words(self._name):
            return self._facts(progress)

    def heights(self, wanted: Lattice) -> Heights:
        """Heights at the wanted centres, bilinear; nan where it has none.

        Raises `UserError` where the file is damaged.
        """
        with plain_words(self._name):
            return self._heights(wanted)

    # Looking

    def _facts(self, progress: Callable[[float], None]) -> ElevationFacts:
        parts = parts_there(self._file, self._path, progress)
        self._refuse_nonsense(parts, progress)
        file = self._file
        extent = self._extent()
        own = self._own_lattice()
        return ElevationFacts(
            extent=extent,
            spacing_m=self._spacing_m(),
            system=system_name(file.crs),
            is_surface=guessed_surface(self._name),
            rows=file.height,
            columns=file.width,
            steps_deg=(own.row_step_deg, own.column_step_deg) if own else None,
            centre_deg=(own.north_deg, own.west_deg) if own else None,
        )

    def _heights(self, wanted: Lattice) -> Heights:
        by = max(1, math.floor(self._times_coarser(wanted) + 0.01))
        window = self._window(wanted.extent, margin=2 + by)
        if window is None:
            return np.full((wanted.rows, wanted.columns), np.nan, dtype=np.float32)
        first_column, first_row, columns, rows = window
        by = min(by, max(1, min(columns, rows) // 2))
        shape = (math.ceil(rows / by), math.ceil(columns / by))
        heights_m = self._read(window, shape)
        if self._is_degrees:
            place = self._to_place
            high, wide = place.e * rows / shape[0], place.a * columns / shape[1]
            own = Lattice(
                north_deg=place.f + place.e * first_row + 0.5 * high,
                west_deg=place.c + place.a * first_column + 0.5 * wide,
                row_step_deg=-high,
                column_step_deg=wide,
                rows=shape[0],
                columns=shape[1],
            )
            return resampled(heights_m, own, wanted)
        columns_at, rows_at = self._cells_at_centres(wanted)
        return gathered(
            heights_m,
            (rows_at - first_row) * (shape[0] / rows) - 0.5,
            (columns_at - first_column) * (shape[1] / columns) - 0.5,
        )

    def _refuse_nonsense(
        self,
        windows: list[Window],
        progress: Callable[[float], None],
    ) -> None:
        known = odd = parts = 0
        for k, window in enumerate(spread(windows)):
            progress(k / len(windows))
            values = self._read(window, (window[3], window[2]), is_raw=True)
            values = values[np.isfinite(values)]
            known += values.size
            odd += int(np.count_nonzero((values < LOWEST_M) | (values > HIGHEST_M)))
            parts += bool(values.size)
            if parts >= 8:
                break
        if not known:
            raise UserError(f"“{self._name}” holds no heights: every cell is void.")
        if odd > 0.01 * known:
            raise UserError(
                f"“{self._name}” holds numbers that cannot be heights in metres."
            )

    # Reading

    def _read(
        self,
        window: Window,
        shape: tuple[int, int],
        *,
        is_raw: bool = False,
    ) -> Heights:
        """Metres in a window (column, row, columns, rows), nan at voids."""
        file, rasterio = self._file, self._rasterio
        try:
            with environment():
                box = rasterio.windows.Window(*window)
                found: Heights = file.read(
                    1,
                    window=box,
                    out_shape=shape,
                    out_dtype=np.float32,
                    resampling=rasterio.enums.Resampling.average,
                )
                void = file.nodata
                if void is not None and not math.isnan(void):
                    found[found == np.float32(void)] = np.nan
                elif void is None and not _is_all_valid(file):
                    seen = file.read_masks(1, window=box, out_shape=shape)
                    found[seen == 0] = np.nan
        except (rasterio.errors.RasterioError, OSError, MemoryError) as error:
            raise UserError(
                f"“{self._name}” is damaged: a part of it cannot be read."
            ) from error
        scale, offset, unit_m = file.scales[0], file.offsets[0], self._unit_m()
        if (scale, offset) == (1.0, 0.0):
            unvoided(found)
        if (scale, offset, unit_m) != (1.0, 0.0, 1.0):
            found *= np.float32(scale * unit_m)
            found += np.float32(offset * unit_m)
        return found if is_raw else masked(found)

    def _unit_m(self) -> float:
        return _FEET.get((self._file.units[0] or "").strip().lower(), 1.0)

    def _window(self, extent: Extent, margin: int) -> Window | None:
        """Column, row, columns and rows that an extent needs; None for none."""
        try:
            columns, rows = self._cells_of(*_rim(extent))
        except self._rasterio.errors.RasterioError:
            return None
        is_known = np.isfinite(columns) & np.isfinite(rows)
        if not is_known.any():
            return None
        columns, rows = columns[is_known], rows[is_known]
        if not is_known.all():  # a part of the rim cannot be projected: take it all
            columns = np.array([0.0, self._file.width])
            rows = np.array([0.0, self._file.height])
        left = max(0, math.floor(columns.min()) - margin)
        right = min(self._file.width, math.ceil(columns.max()) + margin)
        top = max(0, math.floor(rows.min()) - margin)
        bottom = min(self._file.height, math.ceil(rows.max()) + margin)
        if right - left < 1 or bottom - top < 1:
            return None
        return left, top, right - left, bottom - top

    def _cells_at_centres(self, wanted: Lattice) -> tuple[Array, Array]:
        """Column and row, from the outer corner, of each of the wanted centres.

        Projected at every sixteenth and straight between: for cells of 30 m that is
        within 5 mm, since a line of 480 m bends by so little on the Earth.
        """
        row_knots = _knots(wanted.rows)
        column_knots = _knots(wanted.columns)
        lat_deg = wanted.north_deg - row_knots * wanted.row_step_deg
        lon_deg = wanted.west_deg + column_knots * wanted.column_step_deg
        all_lat, all_lon = np.meshgrid(lat_deg, lon_deg, indexing="ij")
        found = self._cells_of(all_lat.ravel(), all_lon.ravel())
        columns, rows = (
            _between_knots(values.reshape(all_lat.shape), row_knots, column_knots)
            for values in found
        )
        return columns, rows

    def _cells_of(self, lat_deg: Array, lon_deg: Array) -> tuple[Array, Array]:
        """Column and row of places, counted from the outer corner."""
        x, y = lon_deg, lat_deg
        if not self._is_wgs_84:
            with environment():
                east, north = self._rasterio.warp.transform(
                    WGS_84, self._file.crs, lon_deg, lat_deg
                )
            x, y = np.array(east), np.array(north)
        to_cell = ~self._to_place
        return (
            to_cell.a * x + to_cell.b * y + to_cell.c,
            to_cell.d * x + to_cell.e * y + to_cell.f,
        )

    def _places_of(self, columns: Array, rows: Array) -> tuple[Array, Array]:
        """Latitude and longitude of columns and rows counted from the outer corner."""
        to_place = self._to_place
        x = to_place.a * columns + to_place.b * rows + to_place.c
        y = to_place.d * columns + to_place.e * rows + to_place.f
        if self._is_wgs_84:
            return y, x
        with environment():
            lon, lat = self._rasterio.warp.transform(self._file.crs, WGS_84, x, y)
        return np.array(lat), np.array(lon)

    def _extent(self) -> Extent:
        width, height = self._file.width, self._file.height
        across, down = np.linspace(0.0, width, 33), np.linspace(0.0, height, 33)
        columns = np.concatenate(
            (across, across, np.zeros(33), np.full(33, float(width)))
        )
        rows = np.concatenate((np.zeros(33), np.full(33, float(height)), down, down))
        try:
            lat, lon = self._places_of(columns, rows)
            middle = self._places_of(np.array([width / 2.0]), np.array([height / 2.0]))
            centre_lon = float(middle[1][0])
            lon = centre_lon + (lon - centre_lon + 180.0) % 360.0 - 180.0
            if self._is_degrees:  # may run round the whole Earth
                lon = self._to_place.c + self._to_place.a * columns
            extent = Extent(
                float(lat.min()), float(lon.min()), float(lat.max()), float(lon.max())
            )
        except (self._rasterio.errors.RasterioError, ValueError) as error:
            raise UserError(self._nowhere()) from error
        if (
            extent.south_deg < -91.0
            or extent.north_deg > 91.0
            or not -540.0 <= extent.west_deg < extent.east_deg <= 540.0
            or extent.east_deg - extent.west_deg > 361.0
        ):
            raise UserError(self._nowhere())
        return extent

    def _nowhere(self) -> str:
        return f"“{self._name}” lies nowhere on the Earth, by what it says of itself."

    def _spacing_m(self) -> float:
        """Metres from cell to cell in the middle, the finer of both directions."""
        column, row = self._file.width / 2.0, self._file.height / 2.0
        lat, lon = self._places_of(
            np.array([column, column + 1.0, column]), np.array([row, row, row + 1.0])
        )
        here, right, below = (
            Position(
                float(min(90.0, max(-90.0, a))), float((b + 180.0) % 360.0 - 180.0)
            )
            for a, b in zip(lat, lon, strict=True)
        )
        found = min(distance_m(here, right), distance_m(here, below))
        if not 0.0 < found < 1_000_000.0:
            raise UserError(self._nowhere())
        return found

    def _own_lattice(self) -> Lattice | None:
        if not self._is_degrees:
            return None
        to_place = self._to_place
        return Lattice(
            north_deg=to_place.f + 0.5 * to_place.e,
            west_deg=to_place.c + 0.5 * to_place.a,
            row_step_deg=-to_place.e,
            column_step_deg=to_place.a,
            rows=self._file.height,
            columns=self._file.width,
        )

    def _times_coarser(self, wanted: Lattice) -> float:
        """How many of its own cells go into a wanted one, in the finer direction."""
        edges = wanted.extent
        lat = 0.5 * (edges.south_deg + edges.north_deg)
        lon = 0.5 * (edges.west_deg + edges.east_deg)
        columns, rows = self._cells_of(
            np.array([lat, lat, lat - wanted.row_step_deg]),
            np.array([lon, lon + wanted.column_step_deg, lon]),
        )
        across = math.hypot(columns[1] - columns[0], rows[1] - rows[0])
        down = math.hypot(columns[2] - columns[0], rows[2] - rows[0])
        ratio = min(across, down)
        return ratio if math.isfinite(ratio) else 1.0


def _is_all_valid(file: Any) -> bool:
    flags = file.mask_flag_enums[0]
    return any(flag.name == "all_valid" for flag in flags)


def _rim(extent: Extent) -> tuple[Array, Array]:
    """Latitudes and longitudes along an extent's edges and across its middle."""
    lat = np.linspace(extent.south_deg, extent.north_deg, 17)
    lon = np.linspace(extent.west_deg, extent.east_deg, 17)
    all_lat, all_lon = np.meshgrid(lat, lon)
    return all_lat.ravel(), all_lon.ravel()


def _knots(count: int) -> Array:
    """Every sixteenth of some numbers, with the last."""
    return np.unique(np.append(np.arange(0, count, _KNOTS), count - 1)).astype(float)


def _between_knots(values: Array, row_knots: Array, column_knots: Array) -> Array:
    """Values at all rows and columns, straight between those at the knots."""
    columns = np.arange(column_knots[-1] + 1.0)
    across = np.array([np.interp(columns, column_knots, row) for row in values])
    rows = np.arange(row_knots[-1] + 1.0)
    k = np.clip(np.searchsorted(row_knots, rows, "right") - 1, 0, len(row_knots) - 2)
    part = (rows - row_knots[k]) / (row_knots[k + 1] - row_knots[k])
    found: Array = across[k] + (across[k + 1] - across[k]) * part[:, np.newaxis]
    return found
