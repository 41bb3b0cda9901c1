"""Very many closed rings on the Earth, and those of them that a box meets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.material.box import Box
from fieldtrip.material.rings import clipped, thinned

Points = npt.NDArray[np.float32]  # shape (n, 2): longitude and latitude, degrees
_RUN = 128  # points that share a box in the index


@dataclass(frozen=True, slots=True)
class Ring:
    """One ring, or the part of one that lies in a box."""

    level: int  # 1 land, 2 lake, 3 island in a lake, 4 pond on it, 5 ice, as land
    points: Array
    is_cut: bool  # so that some of its lines may run along the box


@dataclass(frozen=True, slots=True)
class Outlines:
    """Rings, one after another; each is a row of runs of points, with their boxes."""

    points: Points
    level: npt.NDArray[np.int8]  # of each ring
    count: npt.NDArray[np.int64]  # points of each ring
    run_low: Points  # south-western corner of each run
    run_high: Points  # north-eastern corner of each run

    def first_points(self) -> npt.NDArray[np.int64]:
        """Where each ring begins among the points."""
        return np.cumsum(self.count) - self.count

    def first_runs(self) -> npt.NDArray[np.int64]:
        """Where each ring begins among the runs."""
        runs = runs_of(self.count)
        return np.cumsum(runs) - runs


def indexed(
    points: Points, level: npt.NDArray[np.int8], count: npt.NDArray[np.int64]
) -> Outlines:
    """Rings that follow each other without a gap, with the boxes of their runs."""
    starts = _run_starts(count)
    return Outlines(
        points,
        level,
        count,
        np.minimum.reduceat(points, starts).astype(np.float32),
        np.maximum.reduceat(points, starts).astype(np.float32),
    )


def coarser(outlines: Outlines, cell_deg: float) -> Outlines:
    """The rings as a map shows them whose pixels are so many degrees wide.

    Points in the same cell as the one before are left out, and so are rings that do
    not span two cells.
    """
    first = outlines.first_points()
    cells = np.floor(outlines.points / np.float32(cell_deg))
    kept = np.ones(len(cells), dtype=bool)
    kept[1:] = np.any(cells[1:] != cells[:-1], axis=1)
    kept[first] = True
    low, high = ring_corners(outlines)
    count = np.add.reduceat(kept, first, dtype=np.int64)
    is_seen = (np.max(high - low, axis=1) > 2.0 * cell_deg) & (count > 3)
    kept &= np.repeat(is_seen, outlines.count)
    return indexed(
        np.ascontiguousarray(outlines.points[kept]),
        outlines.level[is_seen],
        count[is_seen],
    )


def ring_corners(outlines: Outlines) -> tuple[Points, Points]:
    """South-western and north-eastern corner of each ring's box."""
    first = outlines.first_runs()
    return (
        np.minimum.reduceat(outlines.run_low, first),
        np.maximum.reduceat(outlines.run_high, first),
    )


class OutlineFinder:
    """Answers for boxes; made once for outlines."""

    def __init__(self, outlines: Outlines) -> None:
        self._outlines = outlines
        self._first_point = outlines.first_points()
        self._first_run = outlines.first_runs()
        self._runs = runs_of(outlines.count)
        self._low, self._high = ring_corners(outlines)

    def rings(self, box: Box, cell_deg: float) -> Iterator[Ring]:
        """The rings in a box within −180..180, thinned to cells of so many degrees.

        Those that do not span two cells are left out.
        """
        low, high = self._low, self._high
        west, south = box.west_deg, box.south_deg
        east, north = box.east_deg, box.north_deg
        met = np.flatnonzero(
            (low[:, 0] < east)
            & (high[:, 0] > west)
            & (low[:, 1] < north)
            & (high[:, 1] > south)
            & (np.max(high - low, axis=1) > 2.0 * cell_deg)
        )
        # What touches an edge counts as cut: the files cut at the date line themselves.
        whole = (
            (low[met, 0] > west)
            & (high[met, 0] < east)
            & (low[met, 1] > south)
            & (high[met, 1] < north)
        )
        level = self._outlines.level
        for k, is_whole in zip(met.tolist(), whole.tolist(), strict=True):
            near = self._all_points(k) if is_whole else self._near_points(k, box)
            # Thinned before it is cut, so that the ends on the edge stay.
            points = thinned(near.astype(np.float64), cell_deg)
            if not is_whole:
                points = clipped(points, box)
            if len(points) > 2:
                yield Ring(int(level[k]), points, not is_whole)

    def _all_points(self, k: int) -> Points:
        first = int(self._first_point[k])
        return self._outlines.points[first : first + int(self._outlines.count[k])]

    def _near_points(self, k: int, box: Box) -> Points:
        """A ring that is the same as this one as far as the box can tell.

        Runs of points that lie beyond one edge of the box are shortened to their
        ends: the straight line between those lies beyond the same edge, so that no
        point of the box is enclosed otherwise than before.
        """
        points = self._all_points(k)
        count = len(points)
        if count <= 2 * _RUN:
            return points
        runs = slice(self._first_run[k], self._first_run[k] + self._runs[k])
        low, high = self._outlines.run_low[runs], self._outlines.run_high[runs]
        beyond = np.select(
            [
                high[:, 0] < box.west_deg,
                low[:, 0] > box.east_deg,
                high[:, 1] < box.south_deg,
                low[:, 1] > box.north_deg,
            ],
            [1, 2, 3, 4],
            0,
        )
        # A stretch is a row of runs beyond the same edge, or one run that is not.
        begins = np.ones(len(beyond), dtype=bool)
        begins[1:] = (beyond[1:] != beyond[:-1]) | (beyond[1:] == 0)
        starts = np.flatnonzero(begins)
        ends = np.append(starts[1:], len(beyond))
        kept = []
        for start, end, edge in zip(
            starts.tolist(), ends.tolist(), beyond[starts].tolist(), strict=True
        ):
            a, b = _RUN * start, min(_RUN * end, count)
            kept.append(points[[a, b - 1]] if edge else points[a:b])
        return np.concatenate(kept)


def runs_of(count: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """How many runs each ring has, from how many points it has."""
    return -(-count // _RUN)


def _run_starts(count: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    runs = runs_of(count)
    of_ring = np.repeat(np.cumsum(count) - count, runs)
    number = np.arange(int(runs.sum())) - np.repeat(np.cumsum(runs) - runs, runs)
    return of_ring + _RUN * number
