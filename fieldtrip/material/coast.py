"""The coastline for a view of the map, as fine as its pixels ask.

It is an orientation only: within about 200 m, with small islets missing.  Nothing may
be snapped to it, and no spot judged by it.

Source of the figure: GSHHG 2.3.6 against the shore of New Zealand's 1 : 50 000 maps,
median 90 to 230 m; estuaries and inner fjords can be missing altogether.
"""

from __future__ import annotations

import logging
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.material.box import Box
from fieldtrip.material.coast_files import (
    HOW_TO_GET,
    Grade,
    installed_grades,
    read_outlines,
    read_points,
)
from fieldtrip.material.outlines import OutlineFinder, Outlines, coarser, runs_of
from fieldtrip.material.rings import shores

ACCURACY = "coastline ±200 m, small islets missing"
CREDIT = "Shores: GSHHG 2.3.6"

# From which width of a pixel on a grade is fine enough, degrees of latitude.
_FINE_FROM_DEG = {"c": 0.05, "l": 0.013, "i": 0.003, "h": 0.0008, "f": 0.0}
# Where a package has no such grade it is made from a finer one, with such cells.
_CELL_DEG = {"c": 0.1, "l": 0.026, "i": 0.006}
_CELL_PIXELS = ((0.013, 3.0), (0.003, 2.0), (0.0, 1.0))  # of an ocean less is enough
_FORMAT = 1  # of what is kept in the cache
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Level:
    """The rings of one level, to be painted over those of the levels before it."""

    is_land: bool  # else a lake, or a pond
    whole: tuple[Array, ...]  # closed rings, shape (n, 2): longitude and latitude
    cut: tuple[Array, ...]  # those that the box has cut
    shores: tuple[Array, ...]  # the lines of the cut ones, without the cuts

    @property
    def rings(self) -> tuple[Array, ...]:
        """All of them."""
        return self.whole + self.cut


class Coast:
    """Opens grades when they are first asked for; may be asked by several threads.

    What has been worked out once is kept in a folder.
    """

    def __init__(self, cache_folder: Path) -> None:
        self._cache_folder = cache_folder
        self._grades = installed_grades()
        self._finders: dict[str, OutlineFinder] = {}
        self._lock = Lock()

    @property
    def is_installed(self) -> bool:
        """Whether there is a coastline on this machine."""
        return bool(self._grades)

    def levels(
        self,
        box: Box,
        pixel_deg: float,
        progress: Callable[[float], None] = lambda _: None,
    ) -> tuple[Level, ...]:
        """What a view shows whose pixels are so many degrees of latitude high.

        Longitudes are those of the box, also past 180.  `progress` is called now and
        then, and may end the work by raising.  Raises `UserError` where no coastline
        is installed, or a damaged one.
        """
        finder = self._finder(self._letter(pixel_deg))
        cell_pixels = next(many for least, many in _CELL_PIXELS if pixel_deg >= least)
        cell_deg = pixel_deg * cell_pixels
        found: dict[int, tuple[list[Array], list[Array], list[Array]]] = {}
        for part, shift_deg in box.parts():
            shift = np.array([shift_deg, 0.0])
            for k, ring in enumerate(finder.rings(part, cell_deg)):
                if k % 64 == 0:
                    progress(0.0)
                level = 1 if ring.level == 5 else ring.level
                whole, cut, lines = found.setdefault(level, ([], [], []))
                (cut if ring.is_cut else whole).append(ring.points + shift)
                if ring.is_cut:
                    lines += [line + shift for line in shores(ring.points, part)]
        return tuple(
            Level(level % 2 == 1, *(tuple(each) for each in found[level]))
            for level in sorted(found)
        )

    def _letter(self, pixel_deg: float) -> str:
        """The crudest grade that is fine enough, or the finest that can be had."""
        letters = [
            letter
            for letter in _FINE_FROM_DEG
            if letter in self._grades or (letter in _CELL_DEG and self._finer(letter))
        ]
        if not letters:
            raise UserError(HOW_TO_GET)
        fine = [each for each in letters if _FINE_FROM_DEG[each] <= pixel_deg]
        return fine[0] if fine else letters[-1]

    def _finer(self, letter: str) -> str | None:
        """The crudest installed grade that is finer than this one."""
        order = list(_FINE_FROM_DEG)
        finer = order[order.index(letter) + 1 :]
        return next((each for each in finer if each in self._grades), None)

    def _finder(self, letter: str) -> OutlineFinder:
        with self._lock:
            if letter not in self._finders:
                self._finders[letter] = OutlineFinder(self._open(letter))
            return self._finders[letter]

    def _open(self, letter: str) -> Outlines:
        grade = self._grades.get(letter)
        if grade is not None:
            kept = self._kept_file(grade.key)
            found = _read(kept, grade)
            if found is None:
                found = read_outlines(grade)
                self._keep(kept, found, with_points=False)
            return found
        finer = self._grades[self._finer(letter) or ""]
        kept = self._kept_file(f"{finer.key}-{letter}")
        found = _read(kept, None)
        if found is None:
            found = coarser(self._open(finer.letter), _CELL_DEG[letter])
            self._keep(kept, found, with_points=True)
        return found

    def _kept_file(self, key: str) -> Path:
        return self._cache_folder / f"coast-{_FORMAT}-{key}.npz"

    def _keep(self, file: Path, outlines: Outlines, *, with_points: bool) -> None:
        """Write it beside and rename, so that a half-written file is never read."""
        points = outlines.points if with_points else outlines.points[:0]
        beside = file.with_suffix(".part")
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("wb") as part:
                np.savez(
                    part,
                    level=outlines.level,
                    count=outlines.count,
                    run_low=outlines.run_low,
                    run_high=outlines.run_high,
                    points=points,
                )
            beside.replace(file)
        except OSError as error:  # the next start is slower, and that is all
            log.info("the coastline's index could not be kept: %s", error)


def _read(file: Path, grade: Grade | None) -> Outlines | None:
    """What was kept, or None: not there, cut short, or not of these points."""
    try:
        with file.open("rb") as opened, np.load(opened, allow_pickle=False) as kept:
            points = kept["points"] if grade is None else read_points(grade)
            found = Outlines(
                points, kept["level"], kept["count"], kept["run_low"], kept["run_high"]
            )
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    if found.count.ndim != 1 or int(found.count.sum()) != len(points):
        return None
    sound = len(found.level) == len(found.count) and found.count.min() > 0
    runs = int(runs_of(found.count).sum())
    fits = runs == len(found.run_low) == len(found.run_high)
    return found if sound and fits else None
