"""The heights that are known on this machine, as one value that a job can be handed."""

from __future__ import annotations

import hashlib
import math
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from threading import Lock

from fieldtrip.geo import Position
from fieldtrip.terrain.earth import degree_m
from fieldtrip.terrain.elevation_files import ElevationSource
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.mosaic import grid_around

_MOST_KEPT_CELLS = 30_000_000  # of all kept grids together: 120 MB
_NEAR_M = 5000.0  # within it a few metres change what is seen
_MESH = 0.25  # of the reach: places so near to one another share a grid
_Key = tuple[float, int, int]


class KnownGround:
    """Some sources that do not change, with the grids made of them; for any thread.

    Nobody need fear that files are added or removed meanwhile: that makes another.
    """

    def __init__(
        self,
        sources: tuple[ElevationSource, ...] = (),
        unread: tuple[str, ...] = (),
    ) -> None:
        self.sources = sources
        self.unread = unread  # names of files that cannot be used
        self.fingerprint = _fingerprint(sources)
        self._grids: OrderedDict[_Key, ElevationGrid | None] = OrderedDict()
        self._lock = Lock()

    @property
    def is_empty(self) -> bool:
        """Whether there is no file at all."""
        return not self.sources

    def covers(self, position: Position) -> bool:
        """Whether a position lies within the edges of a file; it may be void there."""
        return any(_covers(source, position) for source in self.sources)

    def grid_for(
        self,
        position: Position,
        reach_m: float,
        progress: Callable[[float], None] = lambda _: None,
    ) -> ElevationGrid | None:
        """Heights at least so far round a position, as far as files have any.

        None where none has.  The grid may reach farther: it is kept, and given again
        for places near by.  `progress` may end the work by raising.  Raises
        `UserError` where a file is gone or damaged.
        """
        if not self.sources:
            return None
        north_m, east_m = degree_m(position.lat_deg)
        mesh_m = _MESH * reach_m
        row = math.floor(position.lat_deg * north_m / mesh_m)
        column = math.floor(position.lon_deg * east_m / mesh_m)
        key = (reach_m, row, column)
        with self._lock:  # two jobs for one place read the files once
            if key in self._grids:
                self._grids.move_to_end(key)
                return self._grids[key]
            found = grid_around(
                self.sources, position, reach_m + mesh_m * 1.5, progress=progress
            )
            self._grids[key] = found
            self._let_go()
            return found

    def grids_for(
        self,
        position: Position,
        reach_m: float,
        progress: Callable[[float], None] = lambda _: None,
    ) -> tuple[ElevationGrid, ElevationGrid | None] | None:
        """Heights round a position as fine as files have them, and coarser ones beyond.

        Over a long reach a fine file has more cells than memory: then the first grid
        has them near by, and the second its means as far as asked for.  Else the
        second is None.  None where no file has heights.  Raises as `grid_for`.
        """
        far = self.grid_for(position, reach_m, progress)
        if far is None or reach_m <= _NEAR_M:
            return None if far is None else (far, None)
        finest_m = min(
            (s.facts.spacing_m for s in self.sources if _covers(s, position)),
            default=math.inf,
        )
        if finest_m > 0.75 * min(far.cell_at_m(position.lat_deg)):
            return far, None
        near = self.grid_for(position, _NEAR_M, progress)
        return (far, None) if near is None else (near, far)

    def _let_go(self) -> None:
        """Forget the grids that were not asked for longest, but for the last one."""
        while len(self._grids) > 1 and self._kept_cells() > _MOST_KEPT_CELLS:
            self._grids.popitem(last=False)

    def _kept_cells(self) -> int:
        return sum(grid.heights_m.size for grid in self._grids.values() if grid)


def _covers(source: ElevationSource, position: Position) -> bool:
    return any(
        source.facts.extent.holds(position.lat_deg, position.lon_deg + turn_deg)
        for turn_deg in (-360.0, 0.0, 360.0)
    )


def _fingerprint(sources: tuple[ElevationSource, ...]) -> str:
    """Changes with the files, with what was said of them, and with their contents."""
    made = hashlib.sha256()
    for source in sorted(sources, key=lambda one: str(one.path)):
        said = (source.is_surface, source.leaves_sea_out)
        made.update(repr((str(source.path), stamp_of(source.path), said)).encode())
    return made.hexdigest()[:32]


def stamp_of(path: Path) -> tuple[int, int]:
    """Size and time of a file, or zeros where there is none: changes with it."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return 0, 0
    return found.st_size, found.st_mtime_ns
