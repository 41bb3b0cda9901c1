"""The skylines of the spots that are looked at, worked out in the background."""

from __future__ import annotations

from collections import OrderedDict
from pathlib import Path
from uuid import UUID

import numpy as np
from PySide6.QtCore import QObject, Signal

from fieldtrip.almanac.spots import Skyline, Spot, spot_of
from fieldtrip.desktop.content.dates import KnownSkyline
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.kept_horizons import horizon_at
from fieldtrip.errors import UserError
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.trips.dossier import Dossier, by_id

_MOST = 60  # horizons at hand


class Horizons(QObject):
    """Gives what it has at once, and tells when there is more.

    A spot that moved is another spot: the older one's job is then stale.
    """

    changed = Signal()

    def __init__(
        self,
        elevations: Elevations,
        jobs: Jobs,
        cache_folder: Path,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._elevations = elevations
        self._jobs = jobs
        self._cache_folder = cache_folder
        self._known: OrderedDict[Spot, Skyline] = OrderedDict()
        elevations.changed.connect(self._forget)

    @property
    def has_heights(self) -> bool:
        """Whether the library has any elevation file that can be read."""
        return not self._elevations.ground.is_empty

    def find(self, spot: Spot) -> Skyline:
        """A spot's skyline, or one that is waited for."""
        found = self._known.get(spot)
        if found is not None:
            self._known.move_to_end(spot)
            return found
        if not self._elevations.ground.covers(spot.position):
            return Skyline(spot)
        waiting = Skyline(spot, is_waiting=True)
        self._drop_waiting(spot)  # its job is stale from now on
        self._take(waiting)
        self._jobs.start(
            _job(spot),
            horizon_at,
            self._elevations.ground,
            spot,
            self._cache_folder,
            done=lambda horizon: self._settle(Skyline(spot, horizon)),
            failed=lambda error: self._fail(spot, error),
        )
        return waiting

    def of_choice(
        self, dossier: Dossier | None, vantage_id: UUID | None, subject_id: UUID | None
    ) -> tuple[Skyline, ...]:
        """Of the chosen vantage point and subject, as far as they are chosen."""
        if dossier is None:
            return ()
        chosen = (
            by_id(dossier.vantage_points, vantage_id),
            by_id(dossier.subjects, subject_id),
        )
        return tuple(self.find(spot_of(r)) for r in chosen if r is not None)

    def skyline_deg(self, record: VantagePoint | Subject) -> KnownSkyline | None:
        """The skyline of a record at even azimuths from north; for a job.

        Worked out where it is not kept, which reads files.  None: no heights there.
        Raises `UserError` as `horizon_at` does.
        """
        found = horizon_at(self._elevations.ground, spot_of(record), self._cache_folder)
        if found is None:
            return None
        is_known = found.is_complete
        return KnownSkyline(
            np.where(is_known, found.altitudes_deg, np.nan), found.altitudes_deg
        )

    def _settle(self, skyline: Skyline) -> None:
        self._take(skyline)
        if not any(each.is_waiting for each in self._known.values()):
            self.changed.emit()  # once for all that were asked for together

    def _fail(self, spot: Spot, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._settle(Skyline(spot, trouble=str(error)))

    def _take(self, skyline: Skyline) -> None:
        self._known[skyline.spot] = skyline
        self._known.move_to_end(skyline.spot)
        while len(self._known) > _MOST:
            self._known.popitem(last=False)

    def _drop_waiting(self, moved: Spot) -> None:
        for skyline in list(self._known.values()):
            is_same = skyline.spot.record_id == moved.record_id
            if is_same and skyline.is_waiting:
                del self._known[skyline.spot]

    def _forget(self) -> None:
        for skyline in self._known.values():
            if skyline.is_waiting:
                self._jobs.cancel(_job(skyline.spot))
        self._known.clear()
        self.changed.emit()


def _job(spot: Spot) -> str:
    return f"horizon {spot.record_id}"
