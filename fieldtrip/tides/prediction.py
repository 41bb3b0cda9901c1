"""The tide from harmonic constants: any instants, even grids, turns and windows.

    h = z0 + sum of f A cos(V + u - G)

over the constituents, with amplitude A and Greenwich phase G of the port,
argument V, node factor f and node angle u.  Within one UTC day f and u stand
still and V grows by its speed, so that a day is two numbers for each
constituent; arbitrary instants take one cosine of each, and an even grid is one
product of the days' numbers with the cosines and sines of the day's times.

Source: Schureman, SP 98 (1958), paragraphs 175 to 190.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array, Instants
from fieldtrip.tides.constants import HarmonicConstants
from fieldtrip.tides.constituents import Constituent, Factor
from fieldtrip.tides.nodes import (
    FACTORS,
    NodeFactors,
    Nodes,
    longitudes_deg,
    node_factors,
    perigee_deg,
)
from fieldtrip.times import to_instant

DAY_MS = 86_400_000
_HOUR_MS = 3_600_000.0
_AT_ONCE = 512  # instants: small enough for the processor's cache
_MIDYEAR_H = 182.0 * 24.0  # NOAA's middle of the year
# NOAA takes M1 with the perigee of 1 January and the node of mid-year.  Half a
# year of the perigee's motion is left between them, and belongs to its phases.
_M1_DEG = 20.34


@dataclass(frozen=True, slots=True)
class Motion:
    """Heights with their first and second derivatives, each of shape (n,)."""

    height_m: Array
    slope_m_h: Array
    curvature_m_h2: Array


@dataclass(frozen=True, slots=True)
class DayTable:
    """What stands still within a day, for days that follow one another."""

    days: npt.NDArray[np.int64]  # since 1970, shape (n,)
    amplitude_m: Array  # with the node factor, shape (n, k)
    phase_rad: Array  # of each constituent at noon, shape (n, k)


@dataclass(frozen=True)
class HarmonicSum:
    """The sum of a port's constituents as a function of time; without weather."""

    constants: HarmonicConstants
    nodes: Nodes = Nodes.DAILY

    def heights_m(self, instants: Instants) -> Array:
        """Heights above the datum at arbitrary instants, in their shape.

        Within 0.002 mm of the sum in double precision.
        """
        at_ms = milliseconds(instants)
        parts = []
        for amplitude, turns in self._terms_at(at_ms.ravel()):
            # Single precision is exact enough within a turn, and eight times faster.
            angle = np.multiply(
                turns, 2.0 * np.pi, dtype=np.float32, casting="same_kind"
            )
            parts.append(np.einsum("nk,nk->n", amplitude, np.cos(angle)))
        summed = np.concatenate([np.empty(0), *parts])
        return np.asarray(self.constants.z0_m + summed.reshape(at_ms.shape))

    def days(self, start_ms: int, stop_ms: int) -> DayTable:
        """The numbers of every day of a span, for `motion` and `even_grid`."""
        days = np.arange(start_ms // DAY_MS, stop_ms // DAY_MS + 1)
        return DayTable(days, *self._days(days))

    def motion(self, at_ms: Array, table: DayTable | None = None) -> Motion:
        """Height, slope and curvature at milliseconds since 1970, shape (n,).

        Faster with the table of a span in which all of them lie.
        """
        speed = self._speeds
        heights, slopes, curvatures = [], [], []
        for amplitude, turns in self._terms_at(at_ms, table):
            angle = 2.0 * np.pi * turns
            cosines = amplitude * np.cos(angle)
            heights.append(cosines.sum(axis=1))
            slopes.append(-(amplitude * np.sin(angle)) @ speed)
            curvatures.append(-cosines @ speed**2)
        none = np.empty(0)
        return Motion(
            self.constants.z0_m + np.concatenate([none, *heights]),
            np.concatenate([none, *slopes]),
            np.concatenate([none, *curvatures]),
        )

    def grid_m(self, start: datetime, step_s: float, count: int) -> Array:
        """Heights on an even grid, shape (count,): a matrix product where it can be.

        It can where the step divides the day.  Steps are whole milliseconds.
        """
        step_ms = round(step_s * 1000.0)
        if step_ms <= 0 or count < 0:
            raise ValueError(f"{count} steps of {step_s} s make no grid")
        first_ms = int(to_instant(start).astype(np.int64))
        if DAY_MS % step_ms or count == 0:
            at_ms = first_ms + np.arange(count) * step_ms
            return self.heights_m(at_ms.astype("datetime64[ms]"))
        table = self.days(first_ms, first_ms + count * step_ms)
        (heights,) = self.even_grid(first_ms, step_ms, count, [0], table)
        return heights

    def even_grid(
        self,
        first_ms: int,
        step_ms: int,
        count: int,
        orders: Sequence[int],
        table: DayTable,
    ) -> list[Array]:
        """Heights and their derivatives in hours at even steps that divide the day.

        An array of shape (count,) for each of `orders`: 0 is the height itself.
        The table holds all their days.
        """
        before, offset_ms = divmod(first_ms % DAY_MS, step_ms)
        first = first_ms // DAY_MS - int(table.days[0])
        last = first + -(-(before + count) // (DAY_MS // step_ms))
        in_day_ms = np.arange(offset_ms, DAY_MS, step_ms, dtype=np.float64)
        tau_h = (in_day_ms - DAY_MS / 2.0) / _HOUR_MS
        amplitude, phase = table.amplitude_m[first:last], table.phase_rad[first:last]
        across = np.hstack([amplitude * np.cos(phase), -amplitude * np.sin(phase)])
        found = []
        for order in orders:
            values = (across @ self._basis(tau_h, order)).ravel()
            values += self.constants.z0_m if order == 0 else 0.0
            found.append(values[before : before + count])
        return found

    def _basis(self, tau_h: Array, order: int) -> Array:
        """Cosines and sines of the times of a day, shape (2 k, m), or a derivative."""
        speed = self._speeds[:, None]
        angle = speed * tau_h + order * np.pi / 2.0  # each turns it by a quarter
        return np.vstack([speed**order * np.cos(angle), speed**order * np.sin(angle)])

    def unit_motion(self, at_ms: Array) -> tuple[Array, Array]:
        """Cosine and sine of each constituent with its node factor.

        Shape (n, 2 k), and their slopes per hour, of the same shape: what a fit
        sums up.  Wants constants of amplitude 1 and phase 0.
        """
        speed = self._speeds
        values, slopes = [], []
        for amplitude, turns in self._terms_at(at_ms):
            angle = 2.0 * np.pi * turns
            cosine, sine = amplitude * np.cos(angle), amplitude * np.sin(angle)
            values.append(np.hstack([cosine, sine]))
            slopes.append(np.hstack([-speed * sine, speed * cosine]))
        return np.concatenate(values), np.concatenate(slopes)

    def _terms_at(
        self, at_ms: Array, table: DayTable | None = None
    ) -> Iterator[tuple[Array, Array]]:
        """Amplitudes, and angles in turns within half a turn, each (some, k).

        For parts of the instants, one after the other.
        """
        day = np.floor_divide(at_ms, DAY_MS).astype(np.int64)
        tau_h = (at_ms - day * float(DAY_MS) - DAY_MS / 2.0) / _HOUR_MS
        if table is None:
            unique, index = _unique(day)
            amplitude, phase = self._days(unique)
        else:
            index = day - table.days[0]
            amplitude, phase = table.amplitude_m, table.phase_rad
        phase = phase / (2.0 * np.pi)
        speed = self._speeds / (2.0 * np.pi)
        for i in range(0, len(at_ms), _AT_ONCE):
            some = index[i : i + _AT_ONCE]
            turns = tau_h[i : i + _AT_ONCE, None] * speed
            turns += phase.take(some, axis=0)
            turns -= np.rint(turns)
            yield amplitude.take(some, axis=0), turns

    def _days(self, days: npt.NDArray[np.int64]) -> tuple[Array, Array]:
        """Amplitude and phase in radians at noon of days since 1970, shape (n, k)."""
        noon_h = days.astype(np.float64) * 24.0 + 12.0
        found, m1_deg = self._node_factors(days, noon_h)
        angle_deg = found.angle_deg
        angle_deg[FACTORS.index(Factor.M1)] += m1_deg
        # A part that is taken off turns the angle back and still multiplies.
        factor = np.exp(np.log(found.factor).T @ self._sizes.T)
        argument = longitudes_deg(noon_h).T @ self._multiples.T
        argument += angle_deg.T @ self._powers.T
        phase = np.radians((argument + self._constants_deg) % 360.0)
        return factor * self._amplitudes, phase - self._phases

    def _node_factors(
        self, days: npt.NDArray[np.int64], noon_h: Array
    ) -> tuple[NodeFactors, Array]:
        if self.nodes is Nodes.DAILY:
            return node_factors(noon_h), np.full(len(days), _M1_DEG)
        years, index = _unique(
            days.astype("datetime64[D]").astype("datetime64[Y]").astype(np.int64)
        )
        first_h = years.astype("datetime64[Y]").astype("datetime64[h]").astype(float)
        middle_h = first_h + _MIDYEAR_H
        of_year = node_factors(middle_h)
        moved_deg = perigee_deg(middle_h) - perigee_deg(first_h)
        return (
            NodeFactors(of_year.factor[:, index], of_year.angle_deg[:, index]),
            moved_deg[index],
        )

    @cached_property
    def _constituents(self) -> tuple[Constituent, ...]:
        return tuple(one for one, _ in self.constants.recognised())

    @cached_property
    def _amplitudes(self) -> Array:
        return np.array([each.amplitude_m for _, each in self.constants.recognised()])

    @cached_property
    def _phases(self) -> Array:
        recognised = self.constants.recognised()
        return np.radians([each.greenwich_phase_deg for _, each in recognised])

    @cached_property
    def _speeds(self) -> Array:
        """Radians per hour, shape (k,)."""
        return np.radians([one.speed_deg_per_h for one in self._constituents])

    @cached_property
    def _multiples(self) -> Array:
        rows = [one.multiples for one in self._constituents]
        return np.array(rows, dtype=np.float64).reshape(-1, 5)

    @cached_property
    def _constants_deg(self) -> Array:
        return np.array([float(one.constant_deg) for one in self._constituents])

    @cached_property
    def _powers(self) -> Array:
        """How often each node angle goes into a constituent's, shape (k, factors)."""
        return self._of_factors(lambda power: power)

    @cached_property
    def _sizes(self) -> Array:
        """The power of each node factor in a constituent's, shape (k, factors)."""
        return self._of_factors(abs)

    def _of_factors(self, number: Callable[[float], float]) -> Array:
        table = np.zeros((len(self._constituents), len(FACTORS)))
        for row, one in zip(table, self._constituents, strict=True):
            for factor, power in one.powers:
                row[FACTORS.index(factor)] += number(power)
        return table


def milliseconds(instants: Instants) -> Array:
    """Instants as milliseconds since 1970, float64."""
    return instants.astype("datetime64[ms]").astype(np.int64).astype(np.float64)


def _unique(
    values: npt.NDArray[np.int64],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Sorted values without repeats, and where each one went."""
    if values.size and np.all(values[1:] >= values[:-1]):  # in order: no sorting
        is_new = np.concatenate([[True], values[1:] > values[:-1]])
        return values[is_new], np.cumsum(is_new) - 1
    found, index = np.unique(values, return_inverse=True)
    return found, index.reshape(values.shape)
