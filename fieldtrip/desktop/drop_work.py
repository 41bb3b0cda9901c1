"""Looks for drops near a spot or a leg, and turns those accepted into cliff edges."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.content.drops import (
    DropList,
    Looked,
    Mark,
    drop_features,
    drop_list,
    hazard_of,
    look_for_drops,
    mark_of,
    place_of,
)
from fieldtrip.desktop.content.elevation import no_heights
from fieldtrip.desktop.content.map_layers import NOTHING
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.turned_down import read_marks, write_marks
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg, VantagePoint

_LAYER = "drops"


class DropWork(QObject):
    """Remembers what was found for a sitting, and what was turned down for longer."""

    changed = Signal()
    told = Signal(str)

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        elevations: Elevations,
        jobs: Jobs,
        parent: QObject | None = None,
        *,
        kept: Path | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._elevations = elevations
        self._jobs = jobs
        self._view: MapView | None = None
        self._found: dict[UUID, Looked] = {}
        self._kept: Path | None = None  # None: kept nowhere
        self._rejected: set[Mark] = set()
        self.keep_in(kept)
        self._looking: UUID | None = None
        for signal in (library.changed, selection.changed, preferences.changed):
            signal.connect(self._follow)
        elevations.changed.connect(self._forget)

    def keep_in(self, file: Path | None) -> None:
        """Keep in this file what is turned down, and read what was; None: nowhere."""
        self._kept = file
        self._rejected = set() if file is None else read_marks(file)

    def attach(self, view: MapView) -> None:
        """Draw on this view from now on."""
        self._view = view
        self._draw()

    @property
    def record(self) -> VantagePoint | Leg | None:
        """The chosen vantage point or leg."""
        kind, record_id = self._selection.record_kind, self._selection.record_id
        if kind is VantagePoint:
            return self._library.get(VantagePoint, record_id)
        return self._library.get(Leg, record_id) if kind is Leg else None

    @property
    def is_looking(self) -> bool:
        """Whether it is being looked at the chosen record."""
        return self._looking is not None and self._looking == self._selection.record_id

    def shown(self) -> DropList:
        """What is known of the chosen record."""
        record = self.record
        dossier = self._library.dossier(self._selection.location_id)
        if record is None or dossier is None:
            return DropList()
        return drop_list(
            self._looked(record),
            dossier.hazards,
            self._rejected,
            self._preferences.settings,
        )

    def look(self) -> None:
        """Look near the chosen vantage point or leg, in the background."""
        record = self.record
        if record is None:
            raise UserError(
                "Choose a vantage point or a leg first: drops are looked for near it."
            )
        if self._elevations.ground.is_empty:
            raise UserError(no_heights(self._elevations.ground.unread))
        record_id = record.id
        self._looking = record_id

        def show(looked: Looked) -> None:
            self._looking = None
            self._found[record_id] = looked
            self._follow()

        def fail(error: Exception) -> None:
            self._looking = None
            if not isinstance(error, UserError):
                raise error
            self.told.emit(str(error))
            self._follow()

        self._jobs.start(
            "drops",
            look_for_drops,
            self._elevations.ground,
            place_of(record),
            done=show,
            failed=fail,
            progressed=lambda _: None,
        )
        self.changed.emit()

    def accept(self, index: int) -> None:
        """Put a proposal among the hazards: one step that can be undone."""
        record, row = self.record, self.shown().rows[index]
        looked = self._looked(record) if record else None
        location_id = self._selection.location_id
        if looked is None or location_id is None or row.recorded:
            return
        hazard = hazard_of(row, location_id, looked)
        self._library.add("add cliff edge from the model", hazard)
        self.told.emit(
            f"“{hazard.name}” is now a cliff edge of unknown fence and rock. Look at "
            "it on the spot, and say so on its card."
        )

    def reject(self, index: int) -> None:
        """Propose this one no more, until it is asked for again."""
        self._turn_down(self._rejected | {self.shown().rows[index].mark})

    def propose_again(self) -> None:
        """Propose again what was turned down near the chosen record."""
        record = self.record
        looked = self._looked(record) if record else None
        if looked is not None:
            near = {mark_of(drop) for drop in looked.drops}
            self._turn_down(self._rejected - near)

    def _turn_down(self, marks: set[Mark]) -> None:
        self._rejected = marks
        if self._kept is not None:
            write_marks(marks, self._kept)
        self._follow()

    def _looked(self, record: VantagePoint | Leg) -> Looked | None:
        looked = self._found.get(record.id)
        return looked if looked and looked.line == place_of(record) else None

    def _forget(self) -> None:
        self._found.clear()
        self._follow()

    def _follow(self) -> None:
        self._draw()
        self.changed.emit()

    def _draw(self) -> None:
        if self._view is None:
            return
        rows = self.shown().rows
        settings = self._preferences.settings
        features = drop_features(rows, settings) if rows else NOTHING
        self._view.show_layer(_LAYER, features)
