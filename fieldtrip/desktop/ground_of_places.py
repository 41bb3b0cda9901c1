"""Puts what the elevation model says into the dossier of the chosen location."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QObject

from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan_ground import PlanGround, plan_ground

_JOB = "ground of places"


class GroundOfPlaces(QObject):
    """Looks again when a spot or a leg moves, or other heights are known.

    Checks, plans and sheets then find drops and profiles in the dossier, as they find
    all else.
    """

    def __init__(
        self,
        library: Library,
        selection: Selection,
        elevations: Elevations,
        jobs: Jobs,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._elevations = elevations
        self._jobs = jobs
        self._known: dict[UUID, object] = {}  # what each location's ground was made of
        self._asked: tuple[UUID, object] | None = None
        selection.changed.connect(self._follow)
        library.changed.connect(self._follow_library)
        elevations.changed.connect(self._follow)

    def _follow_library(self, changes: list[object]) -> None:
        if not changes:  # another library
            self._known.clear()
            self._asked = None
            self._jobs.cancel(_JOB)
        self._follow()

    def _follow(self) -> None:
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            return
        location_id = dossier.location.id
        wanted = self._made_of(dossier)
        if self._known.get(location_id) == wanted:
            return
        if self._elevations.ground.is_empty:
            if location_id in self._known:
                self._take(location_id, wanted, PlanGround())
            return
        if self._asked == (location_id, wanted):
            return
        self._asked = (location_id, wanted)

        def done(found: PlanGround) -> None:
            self._asked = None
            self._take(location_id, wanted, found)

        def failed(error: Exception) -> None:
            if not isinstance(error, UserError):
                raise error
            self._asked = None
            # The file's own window says what is wrong with it; nothing is known here.
            self._take(location_id, wanted, PlanGround())

        self._jobs.start(
            _JOB,
            plan_ground,
            self._elevations.ground,
            dossier.vantage_points,
            dossier.legs,
            done=done,
            failed=failed,
            progressed=lambda _: None,
        )

    def _take(self, location_id: UUID, made_of: object, found: PlanGround) -> None:
        self._known[location_id] = made_of
        self._library.know_ground(location_id, found)

    def _made_of(self, dossier: Dossier) -> object:
        """Changes with the files, and with the places of spots and legs."""
        return (
            self._elevations.fingerprint(),
            tuple((spot.id, spot.position) for spot in dossier.vantage_points),
            tuple((leg.id, leg.line) for leg in dossier.legs),
        )
