"""The heights of the open library, for every panel: one object, and one signal.

A panel asks in a job, so that the window never waits for a disk:

    ground = elevations.ground  # frozen: hand it to the job
    jobs.start("horizon", compute, ground, position, ..., done=show)

where `compute` calls ``ground.grid_for(position, reach_m)``.  What was computed may be
kept for as long as `fingerprint()` stays the same.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.store.store import Change
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.facts import ElevationFacts
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.records import ElevationFile, whereabouts

_LOOK_JOB = "look at elevation files"
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class ElevationState:
    """A file of the library as it is found on this machine."""

    file: ElevationFile
    path: Path
    facts: ElevationFacts | None = None  # None: not looked at yet, or in trouble
    trouble: str = ""  # one or two sentences


class Elevations(QObject):
    """Follows the library's elevation files and looks at them in a job.

    `changed` comes when other heights are known than before, or a file is in trouble;
    first a moment after the window opens.
    """

    changed = Signal()

    def __init__(
        self, library: Library, jobs: Jobs, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._jobs = jobs
        self._states: tuple[ElevationState, ...] = ()
        self._ground = KnownGround()
        library.changed.connect(self._follow)
        self.look_again()

    @property
    def ground(self) -> KnownGround:
        """The heights that are known now, to be handed to a job."""
        return self._ground

    @property
    def states(self) -> tuple[ElevationState, ...]:
        """The library's files, by name, with what is known of each."""
        return self._states

    @property
    def credits(self) -> tuple[str, ...]:
        """Whose heights they are, as far as that must be said; each once."""
        said = (state.file.credit.strip() for state in self._states if state.facts)
        return tuple(dict.fromkeys(credit for credit in said if credit))

    def grid_for(self, position: Position, reach_m: float) -> ElevationGrid | None:
        """Heights round a position: ``ground.grid_for``, for use outside the UI thread.

        None where no file has any.  Raises `UserError` where a file is gone or damaged.
        """
        return self._ground.grid_for(position, reach_m)

    def fingerprint(self) -> str:
        """Changes whenever something computed from heights may no longer hold."""
        return self._ground.fingerprint

    def find(self, file_id: UUID | None) -> ElevationState | None:
        """A file by its id."""
        return next((one for one in self._states if one.file.id == file_id), None)

    def look_again(self) -> None:
        """Look at every file anew: one may have come back, or be gone."""
        library = self._library.store.path
        files = sorted(
            self._library.store.all(ElevationFile),
            key=lambda file: (file.name.casefold(), str(file.id)),
        )
        if not files and not self._states:
            return
        known = {state.file.id: state for state in self._states}
        waiting = []
        for file in files:
            before = known.get(file.id)
            path = whereabouts(file, library)
            facts = before.facts if before and before.path == path else None
            waiting.append(ElevationState(file, path, facts))
        self._states = tuple(waiting)
        self._jobs.start(
            _LOOK_JOB,
            looked_at,
            tuple(waiting),
            done=self._take,
            progressed=lambda _: None,
        )

    def _follow(self, changes: Sequence[Change]) -> None:
        is_other_library = not changes
        if is_other_library or any(
            isinstance(change.record, ElevationFile) for change in changes
        ):
            self.look_again()

    def _take(self, states: tuple[ElevationState, ...]) -> None:
        ground = KnownGround(sources_of(states))
        is_other = ground.fingerprint != self._ground.fingerprint
        if is_other:
            self._ground = ground
        self._states = states
        self.changed.emit()


def looked_at(
    states: tuple[ElevationState, ...],
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> tuple[ElevationState, ...]:
    """Each file with what it says of itself, or with why it cannot be used."""
    found = []
    for k, state in enumerate(states):
        progress(k / len(states))
        try:
            facts = look_at(state.path, lambda _: progress(0.0))
        except UserError as error:
            found.append(ElevationState(state.file, state.path, None, str(error)))
        else:
            found.append(ElevationState(state.file, state.path, facts))
    return tuple(found)


def sources_of(states: Sequence[ElevationState]) -> tuple[ElevationSource, ...]:
    """What grids can be made of."""
    return tuple(
        ElevationSource(
            path=state.path,
            facts=state.facts,
            name=state.file.name,
            is_surface=state.file.is_surface,
            leaves_sea_out=state.file.leaves_sea_out,
        )
        for state in states
        if state.facts is not None
    )
