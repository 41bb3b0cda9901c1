"""Heights of one lattice at the centres of another."""

from __future__ import annotations

import warnings

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.terrain.grid import Heights
from fieldtrip.terrain.lattice import Lattice

# What no ground or sea floor goes beyond.  Source: Everest 8 849 m (2020), Challenger
# Deep about 10 935 m.
LOWEST_M, HIGHEST_M = -11_500.0, 9_000.0
_VOIDS = (-9999.0, -32768.0, -32767.0)  # common practice, no source
_SAME = 1e-4  # of a cell: as good as on a centre


def unvoided(heights_m: Heights) -> Heights:
    """Make nan of the numbers that stand for voids where a file declares none."""
    for void in _VOIDS:
        heights_m[heights_m == void] = np.nan
    return heights_m


def masked(heights_m: Heights) -> Heights:
    """Make nan of what can be no height, in place."""
    with np.errstate(invalid="ignore"):
        wrong = ~((heights_m >= LOWEST_M) & (heights_m <= HIGHEST_M))
    heights_m[wrong] = np.nan
    return heights_m


def resampled(heights_m: Heights, own: Lattice, wanted: Lattice) -> Heights:
    """Heights at the wanted centres, bilinear; nan beyond the outer cells' edges.

    Where both lattices share their centres nothing is mixed.  In the outer half of
    an outer cell its own height holds, so that tiles meet without a gap.  A void
    makes everything void that is mixed from it.
    """
    r, down, rows_known = _places(
        (own.north_deg - wanted.north_deg) / own.row_step_deg,
        wanted.row_step_deg / own.row_step_deg,
        wanted.rows,
        own.rows,
    )
    c, right, columns_known = _places(
        (wanted.west_deg - own.west_deg) / own.column_step_deg,
        wanted.column_step_deg / own.column_step_deg,
        wanted.columns,
        own.columns,
    )
    across = _mixed(
        heights_m[:, c], heights_m[:, np.minimum(c + 1, own.columns - 1)], right
    )
    found = _mixed(
        across[r], across[np.minimum(r + 1, own.rows - 1)], down[:, np.newaxis]
    )
    found[~rows_known] = np.nan
    found[:, ~columns_known] = np.nan
    return found


def gathered(heights_m: Heights, row: Array, column: Array) -> Heights:
    """Heights at rows and columns with fractions, bilinear, as `resampled` does it."""
    rows, columns = heights_m.shape
    with np.errstate(invalid="ignore"):
        is_known = (row >= -0.5) & (row <= rows - 0.5)
        is_known &= (column >= -0.5) & (column <= columns - 0.5)
    row = np.clip(np.where(is_known, row, 0.0), 0.0, rows - 1.0)
    column = np.clip(np.where(is_known, column, 0.0), 0.0, columns - 1.0)
    r, c = row.astype(np.intp), column.astype(np.intp)
    r2, c2 = np.minimum(r + 1, rows - 1), np.minimum(c + 1, columns - 1)
    down, right = (row - r).astype(np.float32), (column - c).astype(np.float32)
    above = _mixed(heights_m[r, c], heights_m[r, c2], right)
    below = _mixed(heights_m[r2, c], heights_m[r2, c2], right)
    found = _mixed(above, below, down)
    found[~is_known] = np.nan
    return found


def coarser(heights_m: Heights, by: int) -> Heights:
    """Means of so many rows and columns each, the last ones of what is left over."""
    down, across = (-count % by for count in heights_m.shape)
    if down or across:
        heights_m = np.pad(heights_m, ((0, down), (0, across)), constant_values=np.nan)
    rows, columns = (count // by for count in heights_m.shape)
    whole = heights_m.reshape(rows, by, columns, by)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # all void: stays void
        return np.asarray(np.nanmean(whole, axis=(1, 3)), dtype=np.float32)


def _places(
    first: float, step: float, count: int, own_count: int
) -> tuple[npt.NDArray[np.intp], Array, npt.NDArray[np.bool_]]:
    """Cells before the wanted centres, how far beyond, and whether known at all."""
    exact = first + step * np.arange(count)
    whole = np.rint(exact)
    exact = np.where(np.abs(exact - whole) < _SAME, whole, exact)
    is_known = (exact >= -0.5 - _SAME) & (exact <= own_count - 0.5 + _SAME)
    exact = np.clip(exact, 0.0, own_count - 1.0)
    cell = np.floor(exact).astype(np.intp)
    return cell, exact - cell, is_known


def _mixed(a: Heights, b: Heights, fraction: npt.NDArray[np.floating]) -> Heights:
    if not np.any(fraction):
        return np.array(a)
    part = fraction.astype(np.float32)
    mixed = a + (b - a) * part
    return np.where(part == 0.0, a, mixed)
