"""Heights as the shuttle mission's tiles keep them: HGT, one degree by one degree.

No header: 16-bit whole metres, big-endian, rows from the north.  The centres of the
outer cells lie on the whole degrees, so that neighbours share a row or a column.

Source: SRTM Topography, section 2.1, USGS/NASA, SRTM_Topo.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import numpy.typing as npt

from fieldtrip.errors import UserError
from fieldtrip.terrain.earth import degree_m
from fieldtrip.terrain.facts import ElevationFacts, guessed_surface
from fieldtrip.terrain.grid import Heights
from fieldtrip.terrain.lattice import Lattice
from fieldtrip.terrain.resample import (
    HIGHEST_M,
    LOWEST_M,
    coarser,
    masked,
    resampled,
    unvoided,
)

SUFFIX = ".hgt"
_VOID = -32768
_NAME = re.compile(r"([NS])([0-9]{2})([EW])([0-9]{3})(?![0-9])", re.IGNORECASE)
_SIZES = {  # bytes: rows and columns
    2 * rows * columns: (rows, columns)
    for rows, columns in ((1201, 1201), (3601, 3601), (3601, 1801))
}


class HgtFile:
    """One tile, left on the disk but for what is asked for."""

    def __init__(self, path: Path) -> None:
        """Open a tile.

        Raises `UserError`, one or two sentences, for a name without a corner, a size
        that no tile has, and a file that is gone.
        """
        self._name = path.name
        north_deg, west_deg = _corner(path.name)
        try:
            size = path.stat().st_size
            if size not in _SIZES:
                raise UserError(
                    f"“{path.name}” has {size:,} bytes, which no HGT tile has: it is "
                    "cut off, or something else. Fetch it again."
                )
            rows, columns = _SIZES[size]
            self._cells: npt.NDArray[np.int16] = np.memmap(
                path, dtype=">i2", mode="r", shape=(rows, columns)
            )
        except OSError as error:
            raise UserError(
                f"“{path.name}” cannot be opened: {error.strerror}."
            ) from error
        self._own = Lattice(
            north_deg=north_deg,
            west_deg=west_deg,
            row_step_deg=1.0 / (rows - 1),
            column_step_deg=1.0 / (columns - 1),
            rows=rows,
            columns=columns,
        )

    def facts(self) -> ElevationFacts:
        """What it covers and how fine.  Raises `UserError` where it has no heights."""
        self._refuse_nonsense()
        own = self._own
        north_m, east_m = degree_m(own.north_deg - 0.5)
        return ElevationFacts(
            extent=own.extent,
            spacing_m=min(north_m * own.row_step_deg, east_m * own.column_step_deg),
            system="WGS 84, latitude and longitude",
            is_surface=guessed_surface(self._name),
            rows=own.rows,
            columns=own.columns,
            steps_deg=(own.row_step_deg, own.column_step_deg),
            centre_deg=(own.north_deg, own.west_deg),
        )

    def heights(self, wanted: Lattice) -> Heights:
        """Heights at the wanted centres; nan where it has none."""
        own = self._own
        by = _times_coarser(wanted, own)
        near = own.within(wanted.extent, margin=by)
        if near is None:
            return np.full((wanted.rows, wanted.columns), np.nan, dtype=np.float32)
        row = round((own.north_deg - near.north_deg) / own.row_step_deg)
        column = round((near.west_deg - own.west_deg) / own.column_step_deg)
        cells = self._cells[row : row + near.rows, column : column + near.columns]
        heights_m = masked(unvoided(cells.astype(np.float32)))
        if by > 1 and min(near.rows, near.columns) > by:
            heights_m = coarser(heights_m, by)
            near = means_of(near, by)
        return resampled(heights_m, near, wanted)

    def close(self) -> None:
        """Let the file go."""
        self._cells = np.empty((0, 0), dtype=np.int16)

    def _refuse_nonsense(self) -> None:
        known = odd = 0
        for row in range(0, self._own.rows, 64):
            cells = np.array(self._cells[row : row + 64])
            cells = cells[cells != _VOID].astype(np.int32)
            known += cells.size
            odd += int(np.count_nonzero((cells < LOWEST_M) | (cells > HIGHEST_M)))
        if not known:
            raise UserError(f"“{self._name}” holds no heights: every cell is void.")
        if odd > 0.01 * known:
            raise UserError(
                f"“{self._name}” holds numbers that cannot be heights in metres."
            )


def means_of(lattice: Lattice, by: int) -> Lattice:
    """Where the means of so many rows and columns lie."""
    return Lattice(
        north_deg=lattice.north_deg - 0.5 * (by - 1) * lattice.row_step_deg,
        west_deg=lattice.west_deg + 0.5 * (by - 1) * lattice.column_step_deg,
        row_step_deg=lattice.row_step_deg * by,
        column_step_deg=lattice.column_step_deg * by,
        rows=-(-lattice.rows // by),
        columns=-(-lattice.columns // by),
    )


def _times_coarser(wanted: Lattice, own: Lattice) -> int:
    ratio = min(
        wanted.row_step_deg / own.row_step_deg,
        wanted.column_step_deg / own.column_step_deg,
    )
    return max(1, math.floor(ratio + 0.01))


def _corner(name: str) -> tuple[float, float]:
    """Latitude of the north and longitude of the west edge, from a tile's name."""
    match = _NAME.match(name)
    if match is not None:
        south_deg = float(match[2]) * (1.0 if match[1].upper() == "N" else -1.0)
        west_deg = float(match[4]) * (1.0 if match[3].upper() == "E" else -1.0)
        if -90.0 <= south_deg < 90.0 and -180.0 <= west_deg < 180.0:
            return south_deg + 1.0, west_deg
    raise UserError(
        f"“{name}” does not say which tile it is: an HGT file is named after its "
        "south-west corner, such as N49W009.hgt."
    )
