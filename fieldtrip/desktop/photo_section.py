"""On the card of a vantage point: the picture that shows how it looked from there."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.photographs import (
    SUFFIXES,
    photograph_words,
    read_photograph,
)
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.file_traffic import dropped_files
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import VantagePoint
from fieldtrip.store.changes import Change

_JOB = "reference photograph"
_TALLEST_PX = 150
_FILTER = f"Pictures ({' '.join(f'*{suffix}' for suffix in SUFFIXES)})"


class PhotoSection(Panel):
    """Adds, replaces, words and removes one picture; each a step of undo."""

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
    ) -> None:
        super().__init__()
        self._library, self._selection = library, selection
        self._preferences, self._jobs = preferences, jobs
        self._shown: Photograph | None = None
        self._spot_id: UUID | None = None
        heading = QLabel("Reference photograph")
        heading.setProperty("type", "heading")
        self.picture = QLabel()
        self.caption = QLineEdit()
        self.caption.setAccessibleName("Caption of the reference photograph")
        self.caption.setPlaceholderText("Caption")
        self.words = plain_label(soft=True)
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.fault.setVisible(False)
        self.choose = QPushButton()
        self.remove = QPushButton("Remove photograph")
        row = QHBoxLayout()
        row.addWidget(self.choose)
        row.addWidget(self.remove)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(5)
        for widget in (heading, self.picture, self.caption, self.words, self.fault):
            column.addWidget(widget)
        column.addLayout(row)
        self.choose.clicked.connect(self._ask)
        self.remove.clicked.connect(self._remove)
        self.caption.editingFinished.connect(self.finish)
        self.follow(library.changed, selection.changed, preferences.changed)

    def takes(self, mime: QMimeData) -> bool:
        """Whether what is dragged is one picture, and a vantage point is shown."""
        paths = dropped_files(mime)
        is_picture = len(paths) == 1 and paths[0].suffix.lower() in SUFFIXES
        return is_picture and self.isVisible() and self._vantage is not None

    def add_file(self, path: Path) -> None:
        """Read a picture in the background, and keep it with the chosen spot."""
        vantage = self._vantage
        if vantage is None:
            return
        self.finish()
        self._say("")
        self.words.setText("Reading the picture…")
        self._jobs.start(
            _JOB,
            read_photograph,
            path,
            vantage,
            done=self._keep,
            failed=self._fail,
        )

    def refresh(self) -> None:
        """Show the chosen vantage point's photograph as it is stored."""
        vantage = self._vantage
        if vantage is None:
            return
        if vantage.id != self._spot_id:
            self._spot_id = vantage.id
            self._say("")
        found = self._kept(vantage.id)
        if found != self._shown or found is None:
            self._shown = found
            self._show_picture(found)
        dossier = self._library.dossier(vantage.location_id)
        zone = dossier.location.zone if dossier is not None else "UTC"
        self.words.setText(photograph_words(found, zone, self._preferences.settings))

    def finish(self) -> None:
        """End what is being typed as if the field was left."""
        shown, text = self._shown, self.caption.text().strip()
        if shown is None or text == shown.caption:
            return
        try:
            self._library.edit("edit caption", shown, replace(shown, caption=text))
            self._say("")
        except UserError as error:
            self._say(str(error))

    @property
    def _vantage(self) -> VantagePoint | None:
        if self._selection.record_kind is not VantagePoint:
            return None
        return self._library.get(VantagePoint, self._selection.record_id)

    def _kept(self, spot_id: UUID) -> Photograph | None:
        vantage = self._library.get(VantagePoint, spot_id)
        dossier = self._library.dossier(vantage.location_id) if vantage else None
        photographs = dossier.photographs if dossier is not None else ()
        mine = (each for each in photographs if each.vantage_point_id == spot_id)
        return next(mine, None)

    def _show_picture(self, photograph: Photograph | None) -> None:
        is_kept = photograph is not None
        for widget in (self.picture, self.caption, self.remove):
            widget.setVisible(is_kept)
        begin = "Replace" if is_kept else "Add"
        self.choose.setText(f"{begin} reference photograph…")
        if photograph is None:
            self.caption.clear()
            self.picture.clear()
            return
        picture = QPixmap()
        if picture.loadFromData(photograph.jpeg):
            height = min(_TALLEST_PX, picture.height())
            smoothly = Qt.TransformationMode.SmoothTransformation
            self.picture.setPixmap(picture.scaledToHeight(height, smoothly))
        else:
            self.picture.setText("This picture is damaged and cannot be shown.")
        self.picture.setAccessibleName(f"Reference photograph: {photograph.caption}")
        self.caption.setText(photograph.caption)
        self.caption.setCursorPosition(0)

    def _ask(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, "Reference photograph", "", f"{_FILTER};;All files (*)"
        )
        if name:
            self.add_file(Path(name))

    def _keep(self, photograph: Photograph) -> None:
        old = self._kept(photograph.vantage_point_id)
        going = [] if old is None else [Change(old, None)]
        text = "replace" if going else "add"
        try:
            self._library.change(
                f"{text} reference photograph", [*going, Change(None, photograph)]
            )
        except UserError as error:
            self._fail(error)

    def _remove(self) -> None:
        if self._shown is None:
            return
        try:
            self._library.remove("remove reference photograph", self._shown)
        except UserError as error:
            self._say(str(error))

    def _fail(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.refresh()
        self._say(str(error))

    def _say(self, fault: str) -> None:
        self.fault.setText(fault)
        self.fault.setVisible(bool(fault))
