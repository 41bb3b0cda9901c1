"""Files that come in and go out: asked for in the menu, or dropped on the window."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QMimeData, QObject
from PySide6.QtWidgets import QFileDialog, QWidget

from fieldtrip.desktop.dialogs.import_files import ImportDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map_panel import MapPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.exchange.files_in import SUFFIXES
from fieldtrip.exchange.outgoing import FORMATS, place_bytes, write_whole

_IMPORT_FILTER = (
    f"Places and photographs ({' '.join(f'*{suffix}' for suffix in SUFFIXES)})"
    ";;All files (*)"
)
_LAYER = "import"


class FileTraffic(QObject):
    """Opens what is needed for files, and writes them."""

    def __init__(
        self,
        window: QWidget,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        the_map: MapPanel,
        *,
        keep: Callable[[QWidget], None],
        tell: Callable[[str], None],
        now: Callable[[], datetime],
    ) -> None:
        super().__init__(window)
        self._window = window
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._map = the_map
        self._keep = keep
        self._tell = tell
        self._now = now
        the_map.ready.connect(self._let_drops_through)

    def ask_import(self) -> None:
        """Ask for files, and show what is in them."""
        names, _ = QFileDialog.getOpenFileNames(
            self._window, "Take in from files", "", _IMPORT_FILTER
        )
        if names:
            self.open_import([Path(name) for name in names])

    def open_import(self, paths: Sequence[Path]) -> ImportDialog:
        """Show what is in some files, to choose what comes in."""
        dialog = ImportDialog(
            self._library,
            self._preferences,
            self._jobs,
            paths,
            location_id=self._selection.location_id,
            now=self._now,
        )
        dialog.previewed.connect(self._show_preview)
        dialog.told.connect(self._tell)
        dialog.taken.connect(self._choose)
        self._keep(dialog)
        return dialog

    def ask_export(self) -> None:
        """Ask for a file, and write the chosen location to it."""
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            raise UserError("Choose a location in the list first: one goes out whole.")
        filters = {f"{words} (*.{suffix})": suffix for suffix, words in FORMATS.items()}
        name, chosen = QFileDialog.getSaveFileName(
            self._window,
            f"Write “{dossier.location.name}” to a file",
            f"{_file_name(dossier.location.name)}.gpx",
            ";;".join(filters),
        )
        if not name:
            return
        path = Path(name)
        file_format = path.suffix.lower().removeprefix(".")
        if file_format not in FORMATS:
            file_format = filters.get(chosen, "gpx")
            path = path.with_name(f"{path.name}.{file_format}")
        if path == self._library.store.path:
            raise UserError("That is the library itself. Choose another name.")
        write_whole(path, place_bytes(dossier, file_format))
        self._tell(
            f"“{dossier.location.name}” was written to {path}. What somebody must have "
            "seen for themselves does not go along."
        )

    def _show_preview(self, features: Any) -> None:
        if self._map.view is not None:
            self._map.view.show_layer(_LAYER, features)

    def _choose(self, location_id: UUID) -> None:
        dossier = self._library.dossier(location_id)
        if dossier is not None and self._selection.location_id != location_id:
            self._selection.choose(dossier.location, location_id)

    def _let_drops_through(self) -> None:
        """The map would open a file that is dropped on it; the window takes it in."""
        if self._map.view is not None:
            self._map.view.setAcceptDrops(False)


def dropped_files(mime: QMimeData) -> list[Path]:
    """The files of this computer among what is dragged."""
    return [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]


def _file_name(name: str) -> str:
    """A location's name as a file can bear it on every system."""
    kept = "".join(c if c.isalnum() or c in " -_" else " " for c in name)
    return "-".join(kept.split()).lower()[:80] or "location"
