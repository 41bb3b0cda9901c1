"""Apparent geocentric places of the bodies, kept as Chebyshev polynomials.

Independent of any site, so one table serves every place: a site turns it by
the Earth's rotation (`fieldtrip.sky.horizontal`).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from numpy.polynomial import chebyshev

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.sky import ephemeris
from fieldtrip.sky.bodies import Body

Counts = npt.NDArray[np.int64]

FIRST_YEAR, LAST_YEAR = 1900, 2099  # whole years in which `epv00` holds
_PIECE_S = 8 * 86400.0
_DEGREES = {Body.SUN: 7, Body.MOON: 15, Body.GALACTIC_CENTRE: 7}
_PLACES = {
    Body.SUN: ephemeris.sun_km,
    Body.MOON: ephemeris.moon_km,
    Body.GALACTIC_CENTRE: ephemeris.galactic_centre_km,
}
_MARGIN_S = 2 * 86400.0  # searches look a little beyond their span
_FEW, _AT_ONCE = 256, 4096  # instants
_INSTANTS_AT_ONCE = 128
_BLOCK_YEARS = 2  # 40 ms to build
# A local day at either end may reach beyond by hours; the margin covers them.
_EARLIEST = datetime(FIRST_YEAR, 1, 1, tzinfo=UTC) - timedelta(days=1)
_LATEST = datetime(LAST_YEAR + 1, 1, 1, tzinfo=UTC) + timedelta(days=1)
_OUT_OF_RANGE = (
    f"Sun and Moon are computed for the years {FIRST_YEAR} to {LAST_YEAR} only."
)


class SkyTable:
    """Sun, Moon and galactic centre between two instants, in CIRS axes.

    Pieces of eight days; within 0.001 arcsecond of `fieldtrip.sky.ephemeris`.
    """

    def __init__(self, first_unix_s: float, last_unix_s: float) -> None:
        """Build the table, some 20 ms a year; two days more at either end."""
        self.start_unix_s = np.floor((first_unix_s - _MARGIN_S) / _PIECE_S) * _PIECE_S
        span_s = last_unix_s + _MARGIN_S - self.start_unix_s
        self.pieces = int(np.ceil(span_s / _PIECE_S))
        self.stop_unix_s = self.start_unix_s + self.pieces * _PIECE_S
        self._coefficients = {body: self._fit(body) for body in Body}

    def vectors_km(self, body: Body, unix_s: Array) -> Array:
        """Apparent geocentric vectors, shape (3, n), at seconds since 1970, shape (n,).

        Raises `ValueError` for an instant outside the table.
        """
        place = (unix_s - self.start_unix_s) / _PIECE_S
        piece = place.astype(np.int64)
        if np.any((piece < 0) | (piece >= self.pieces)):
            raise ValueError("an instant lies outside the table of the sky")

        x = 2.0 * (place - piece) - 1.0
        coefficients = self._coefficients[body]
        if len(x) <= _FEW:
            return _sum_of_few(coefficients, piece, x)
        parts = range(0, len(x), _AT_ONCE)  # small enough for the processor's cache
        return np.concatenate(
            [
                _sum_of_many(coefficients, piece[i : i + _AT_ONCE], x[i : i + _AT_ONCE])
                for i in parts
            ],
            axis=1,
        )

    def _fit(self, body: Body) -> Array:
        """Coefficients, shape (degree + 1, 3, pieces)."""
        count = _DEGREES[body] + 1
        nodes, weights = chebyshev_fit(count)
        starts = self.start_unix_s + np.arange(self.pieces) * _PIECE_S
        unix_s = (starts[:, None] + 0.5 * (nodes + 1.0) * _PIECE_S).ravel()
        tt_unix_s = unix_s + ephemeris.tt_minus_utc_s(unix_s)
        tt_days = tt_unix_s / 86400.0 - 10_957.5

        # ERFA lets no other thread run meanwhile, and a window must not stand still.
        parts = np.array_split(tt_days, max(1, len(tt_days) // _INSTANTS_AT_ONCE))
        cirs = np.concatenate([_cirs_km(body, part) for part in parts])
        values = cirs.reshape(self.pieces, count, 3)
        return np.ascontiguousarray(np.einsum("kn,pna->kap", weights, values))


def _cirs_km(body: Body, tt_days: Array) -> Array:
    """Apparent geocentric vectors in CIRS axes, shape (n, 3)."""
    matrices = ephemeris.celestial_matrices(tt_days)
    gcrs = _PLACES[body](tt_days)
    return np.asarray(np.matmul(matrices, gcrs[:, :, None])[:, :, 0])


def table_for(first: datetime, last: datetime) -> SkyTable:
    """The table that covers two instants; kept, so that asking again costs nothing.

    Made of blocks of two years, 40 ms each.  Raises `UserError` outside the
    years 1900 to 2099.
    """
    if first < _EARLIEST or last > _LATEST:
        raise UserError(_OUT_OF_RANGE)
    start_year = max(first.astimezone(UTC).year, FIRST_YEAR)
    stop_year = min(last.astimezone(UTC).year, LAST_YEAR)
    start = start_year - start_year % _BLOCK_YEARS
    stop = stop_year - stop_year % _BLOCK_YEARS + _BLOCK_YEARS
    return _table_of_years(start, stop)


def require_computed(day: date) -> None:
    """Raise `UserError` for a date in a year that no table covers."""
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise UserError(_OUT_OF_RANGE)


def _sum_of_few(coefficients: Array, piece: Counts, x: Array) -> Array:
    """Chebyshev sums (3, n) by cosines: few calls, so fast for a few instants."""
    orders = np.arange(coefficients.shape[0])[:, None]
    polynomials = np.cos(orders * np.arccos(x))
    return np.asarray((coefficients[:, :, piece] * polynomials[:, None, :]).sum(axis=0))


def _sum_of_many(coefficients: Array, piece: Counts, x: Array) -> Array:
    """The same by Clenshaw's recurrence: little arithmetic, so fast for many."""
    double_x = 2.0 * x
    ahead, after = np.zeros((3, len(x))), np.zeros((3, len(x)))
    for k in range(coefficients.shape[0] - 1, 0, -1):
        ahead, after = coefficients[k][:, piece] + double_x * ahead - after, ahead
    return np.asarray(coefficients[0][:, piece] + x * ahead - after)


@lru_cache(maxsize=8)
def _table_of_years(start: int, stop: int) -> SkyTable:
    return SkyTable(
        datetime(start, 1, 1, tzinfo=UTC).timestamp(),
        datetime(stop, 1, 1, tzinfo=UTC).timestamp(),
    )


@lru_cache(maxsize=16)
def chebyshev_fit(count: int) -> tuple[Array, Array]:
    """Nodes in -1..1, shape (count,), and weights (count, count) to fit through them.

    The weights times the values at the nodes are the coefficients.
    """
    nodes = np.cos(np.pi * np.arange(0.5, count, dtype=np.float64) / count)
    weights = np.asarray(chebyshev.chebvander(nodes, count - 1).T, dtype=np.float64)
    weights *= 2.0 / count
    weights[0] *= 0.5
    return nodes, weights
