"""The heights of the open library, for every panel: one object, and one signal.

A panel asks in a job, so that the window never waits for a disk:

    ground = elevations.ground  # frozen: hand it to the job
    jobs.start("horizon", compute, ground, position, ..., done=show)

where `compute` calls ``ground.grid_for(position, reach_m)``.  What was computed may be
kept for as long as `fingerprint()` stays the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.elevation_adding import Added, carried_along, taken_in
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.store.store import Change
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.facts import ElevationFacts
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround, stamp_of
from fieldtrip.terrain.records import ElevationFile, Keeping, whereabouts
from fieldtrip.wording import count_text

_LOOK_JOB = "look at elevation files"
_ADD_JOB = "add elevation files"
_COPY_JOB = "copy elevation files along"
_FIND_JOB = "find an elevation file again"


@dataclass(frozen=True, slots=True)
class ElevationState:
    """A file of the library as it is found on this machine."""

    file: ElevationFile
    path: Path
    facts: ElevationFacts | None = None  # None: not looked at yet, or in trouble
    trouble: str = ""  # one or two sentences
    stamp: tuple[int, int] = (0, 0)  # of the file when it was looked at


class Elevations(QObject):
    """Follows the library's elevation files and looks at them in a job.

    `changed` comes when other heights are known than before, or a file is in trouble;
    first a moment after the window opens.
    """

    changed = Signal()
    listed = Signal()  # the list, or what is said of a file, is another
    progressed = Signal(float)  # of files that are being added, 0..1
    added = Signal(object)  # Added: what became of files that were to be added
    told = Signal(str)  # a sentence for the status line

    def __init__(
        self, library: Library, jobs: Jobs, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._jobs = jobs
        self._states: tuple[ElevationState, ...] = ()
        self._ground = KnownGround()
        self._waiting: list[tuple[tuple[Path, ...], bool]] = []  # files, and if copied
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

    # Verbs

    @property
    def is_adding(self) -> bool:
        """Whether files are being looked at or copied."""
        return bool(self._waiting)

    def add_files(self, paths: Sequence[Path], *, is_copied: bool = False) -> None:
        """Look at files in a job, copy them if asked, and add them as one undo step.

        `progressed` and then `added` come; files added meanwhile wait their turn.
        """
        self._waiting.append((tuple(paths), is_copied))
        if len(self._waiting) == 1:
            self._add_next()

    def cancel_adding(self) -> None:
        """Give up what is being added; nothing of it stays."""
        self._jobs.cancel(_ADD_JOB)
        self._waiting.clear()
        self.added.emit(Added((), ()))

    def change(self, file: ElevationFile, **values: Any) -> None:
        """Change what is said of a file; `UserError` where that cannot be kept."""
        self._library.edit("change elevation file", file, replace(file, **values))

    def remove(self, file: ElevationFile) -> None:
        """Forget a file, which itself stays where it is."""
        self._library.remove("remove elevation file", file)

    def relocate(self, file: ElevationFile, path: Path) -> None:
        """Say where a file lies now, once a job has looked at it there.

        `added` comes with why not, where it is of no use.
        """

        def take(_: ElevationFacts) -> None:
            place = str(path.absolute())
            try:
                self.change(file, path=place, keeping=Keeping.REFERENCED)
            except UserError as error:
                self.added.emit(Added((), (str(error),)))

        self._jobs.start(
            _FIND_JOB,
            look_at,
            path,
            done=take,
            failed=lambda error: self.added.emit(Added((), (str(error),))),
            progressed=lambda _: None,
        )

    def carry_along(self, copy: Path) -> None:
        """Copy the library's own files for a copy of the library, in a job."""
        library = self._library.store.path
        files = tuple(state.file for state in self._states)
        own = [file for file in files if file.keeping is Keeping.COPIED]
        if library is None or not own or library.parent == copy.parent:
            return
        self._jobs.start(
            _COPY_JOB,
            carried_along,
            own,
            library,
            copy,
            done=lambda count: self.told.emit(
                f"{count_text(count, 'elevation file')} went along with the copy."
            ),
            failed=lambda error: self.told.emit(str(error)),
            progressed=lambda _: None,
        )

    def _add_next(self) -> None:
        paths, is_copied = self._waiting[0]
        known = tuple(state.file for state in self._states)
        self._jobs.start(
            _ADD_JOB,
            partial(taken_in, is_copied=is_copied),
            paths,
            self._library.store.path,
            known,
            done=self._store_added,
            failed=self._give_up,
            progressed=self.progressed.emit,
        )

    def _store_added(self, found: Added) -> None:
        refusals = found.refusals
        if found.records:
            count = len(found.records)
            text = (
                "add elevation file" if count == 1 else f"add {count} elevation files"
            )
            try:
                self._library.add(text, *found.records)
            except UserError as error:
                found = Added((), (*refusals, str(error)))
        self._finish_one(found)

    def _give_up(self, error: Exception) -> None:
        self._finish_one(Added((), (str(error),)))
        if not isinstance(error, UserError):
            raise error

    def _finish_one(self, found: Added) -> None:
        self._waiting = self._waiting[1:]
        self.added.emit(found)
        if self._waiting:
            self._add_next()

    # Following

    def look_again(self) -> None:
        """Look at every file anew: one may have come back, or be gone."""
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
            if before is None:
                before = ElevationState(file, Path(file.path))
            waiting.append(replace(before, file=file))
        self._states = tuple(waiting)
        self.listed.emit()
        self._jobs.start(
            _LOOK_JOB,
            looked_at,
            tuple(waiting),
            self._library.store.path,
            done=self._take,
            progressed=lambda _: None,
        )

    def _follow(self, changes: Sequence[Change]) -> None:
        is_other_library = not changes
        if is_other_library or any(
            isinstance(change.record, ElevationFile) for change in changes
        ):
            self.look_again()

    def _take(self, found: tuple[tuple[ElevationState, ...], KnownGround]) -> None:
        states, ground = found
        # A file that was written anew is another; a name is only told.
        if _said_of(ground) != _said_of(self._ground):
            self._ground = ground
        self._states = states
        self.changed.emit()


def looked_at(
    states: tuple[ElevationState, ...],
    library: Path | None,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> tuple[tuple[ElevationState, ...], KnownGround]:
    """Each file with what it says of itself, or with why it cannot be used.

    One that is as it was is not read again.  With the ground of those that can be.
    """
    found = []
    for k, state in enumerate(states):
        progress(k / len(states))
        path = whereabouts(state.file, library)
        stamp = stamp_of(path)
        if state.facts and (path, stamp) == (state.path, state.stamp):
            found.append(state)
            continue
        try:
            facts = look_at(path, lambda _: progress(0.0))
        except UserError as error:
            found.append(ElevationState(state.file, path, trouble=str(error)))
        else:
            found.append(ElevationState(state.file, path, facts, stamp=stamp))
    unread = tuple(state.file.name for state in found if state.trouble)
    return tuple(found), KnownGround(sources_of(found), unread)


def _said_of(ground: KnownGround) -> tuple[object, ...]:
    return ground.fingerprint, ground.sources, ground.unread


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
