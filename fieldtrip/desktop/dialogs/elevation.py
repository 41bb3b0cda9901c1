"""The elevation files of the library: look at them, add, find again, remove."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, QSize, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.elevation import (
    LIST_HINT,
    NOTHING_YET,
    SEA_HINT,
    SURFACE_WORDS,
    added_words,
    elevation_row,
)
from fieldtrip.desktop.elevation_adding import Added
from fieldtrip.desktop.elevations import Elevations, ElevationState
from fieldtrip.desktop.file_traffic import dropped_files
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.terrain.elevation_files import SUFFIXES

FILE_FILTER = (
    f"Elevation files ({' '.join(f'*{suffix}' for suffix in SUFFIXES)});;All files (*)"
)
_ID = Qt.ItemDataRole.UserRole


class ElevationDialog(QDialog):
    """Each change holds at once and can be undone; there is nothing to confirm."""

    def __init__(
        self,
        elevations: Elevations,
        preferences: Preferences,
    ) -> None:
        super().__init__()
        self.setWindowTitle("Elevation files")
        self.setAcceptDrops(True)
        self._elevations = elevations
        self._preferences = preferences
        self._shown_id: UUID | None = None  # whose values are in the fields
        self._make_list()
        self._make_buttons()
        self._make_details()
        self._lay_out()
        elevations.changed.connect(self.refresh)
        elevations.listed.connect(self.refresh)
        elevations.progressed.connect(self._show_progress)
        elevations.added.connect(self._tell_added)
        preferences.changed.connect(self.refresh)
        self.refresh()
        self.list.setCurrentRow(0)
        (self.list if elevations.states else self.add_button).setFocus()

    @property
    def chosen(self) -> ElevationState | None:
        """The file of the current line."""
        return self._elevations.find(self._id_at(self.list.currentRow()))

    def refresh(self) -> None:
        """Show the files as they are now."""
        row, chosen = self.list.currentRow(), self.chosen
        states = self._elevations.states
        with QSignalBlocker(self.list):
            self.list.clear()
            for state in states:
                self._add_line(state)
            ids = [state.file.id for state in states]
            if chosen is not None and chosen.file.id in ids:
                row = ids.index(chosen.file.id)
            self.list.setCurrentRow(min(max(row, 0), len(ids) - 1))
        self.nothing.setVisible(not states)
        self.list.setVisible(bool(states))
        self._show_chosen()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files be dropped anywhere on the window."""
        if dropped_files(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Add them."""
        event.acceptProposedAction()
        self.add_files(dropped_files(event.mimeData()))

    # Verbs

    def add_files(self, paths: Sequence[Path]) -> None:
        """Add files, as far as they can be used; the rest is told."""
        if not paths:
            return
        self.told.clear()
        self._elevations.add_files(paths, is_copied=self.copy_box.isChecked())
        self._show_progress(0.0)

    def remove(self) -> None:
        """Forget the chosen file, which itself stays where it is."""
        if self.chosen is not None:
            self._try(lambda state: self._elevations.remove(state.file))

    def relocate(self, path: Path) -> None:
        """Say where the chosen file lies now."""
        self._try(lambda state: self._elevations.relocate(state.file, path))

    # Parts

    def _make_list(self) -> None:
        self.list = QListWidget()
        self.list.setAccessibleName("Elevation files of this library")
        self.list.setWordWrap(True)
        self.list.setSpacing(2)
        self.list.currentRowChanged.connect(lambda _: self._show_chosen())
        QShortcut(QKeySequence("Delete"), self.list, self.remove).setContext(
            Qt.ShortcutContext.WidgetShortcut
        )
        self.nothing = _soft(NOTHING_YET)

    def _make_buttons(self) -> None:
        self.add_button = _button("&Add files…", self._ask_files)
        self.find_button = _button("&Find it…", self._ask_where)
        self.again_button = _button("Look a&gain", self._elevations.look_again)
        self.remove_button = _button("&Remove", self.remove)
        self.copy_box = QCheckBox("&Copy them into the library’s folder")
        self.progress = QProgressBar()
        self.progress.setRange(0, 100)
        self.progress.setAccessibleName("How far the adding is")
        self.cancel_button = _button("Ca&ncel", self._elevations.cancel_adding)
        self.told = QLabel()
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setWordWrap(True)
        self.told.setAccessibleName("What became of the files")

    def _make_details(self) -> None:
        self.details = QWidget()
        self.name = QLineEdit()
        self.surface = QComboBox()
        for value, words in SURFACE_WORDS.items():
            self.surface.addItem(words, value)
        self.sea = QCheckBox("It leaves the open &sea out")
        self.credit = QLineEdit()
        self.credit.setPlaceholderText("as its terms ask")
        self.name.editingFinished.connect(self._take_texts)
        self.credit.editingFinished.connect(self._take_texts)
        self.surface.activated.connect(
            lambda _: self._set(is_surface=self.surface.currentData())
        )
        self.sea.clicked.connect(lambda is_on: self._set(leaves_sea_out=is_on))
        form = QFormLayout(self.details)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow("&Name", self.name)
        form.addRow("Its heights &are of", self.surface)
        form.addRow("", self.sea)
        form.addRow("", _soft(SEA_HINT))
        form.addRow("&Whose it is", self.credit)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.addWidget(self.add_button)
        buttons.addWidget(self.copy_box)
        buttons.addStretch(1)
        for button in (self.find_button, self.again_button, self.remove_button):
            buttons.addWidget(button)
        going = QHBoxLayout()
        going.addWidget(self.progress, 1)
        going.addWidget(self.cancel_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(10)
        column.addWidget(_soft(LIST_HINT))
        column.addWidget(self.list, 1)
        column.addWidget(self.nothing, 1, Qt.AlignmentFlag.AlignTop)
        column.addLayout(buttons)
        column.addLayout(going)
        column.addWidget(self.told)
        column.addWidget(self.details)
        self._show_going(is_going=False)
        self.resize(QSize(680, 560))

    # Showing

    def _add_line(self, state: ElevationState) -> None:
        row = elevation_row(
            state.file, state.facts, state.trouble, self._preferences.settings
        )
        line = QListWidgetItem(
            "\n".join(part for part in (row.text, row.note, row.trouble) if part)
        )
        line.setData(_ID, str(state.file.id))
        self.list.addItem(line)

    def _show_chosen(self) -> None:
        state = self.chosen
        self.details.setVisible(state is not None)
        self.find_button.setEnabled(state is not None)
        self.remove_button.setEnabled(state is not None)
        now = state.file.id if state else None
        if now != self._shown_id:
            self._take_texts()  # what was typed for another is taken first
            self._shown_id = now
            for field in (self.name, self.credit):
                field.clear()
                field.setModified(False)
        if state is None:
            return
        file = state.file
        for field, text in ((self.name, file.name), (self.credit, file.credit)):
            if not field.isModified():
                field.setText(text)
                field.setCursorPosition(0)
        self.surface.setCurrentIndex(list(SURFACE_WORDS).index(file.is_surface))
        self.sea.setChecked(file.leaves_sea_out)

    def _show_progress(self, fraction: float) -> None:
        self._show_going(is_going=self._elevations.is_adding)
        self.progress.setValue(round(100.0 * fraction))

    def _show_going(self, *, is_going: bool) -> None:
        self.progress.setVisible(is_going)
        self.cancel_button.setVisible(is_going)

    def _tell_added(self, found: Added) -> None:
        self._show_going(is_going=self._elevations.is_adding)
        self.told.setText(added_words(len(found.records), found.refusals))
        self.refresh()
        if found.records:
            self._choose(found.records[0].id)

    # Taking

    def _take_texts(self) -> None:
        state = self._elevations.find(self._shown_id)
        if state is None or not (self.name.isModified() or self.credit.isModified()):
            return
        name, credit = self.name.text().strip(), self.credit.text().strip()
        self.name.setModified(False)
        self.credit.setModified(False)
        self._change(state, name=name or state.file.name, credit=credit)

    def _set(self, **values: Any) -> None:
        if self.chosen is not None:
            self._change(self.chosen, **values)

    def _change(self, state: ElevationState, **values: Any) -> None:
        self.told.clear()
        try:
            self._elevations.change(state.file, **values)
        except UserError as error:
            self.told.setText(str(error))
        self.refresh()

    def _try(self, action: Callable[[ElevationState], None]) -> None:
        self.told.clear()
        state = self.chosen
        if state is None:
            return
        try:
            action(state)
        except UserError as error:
            self.told.setText(str(error))
        self.refresh()

    def _ask_files(self) -> None:
        names, _ = QFileDialog.getOpenFileNames(
            self, "Add elevation files", "", FILE_FILTER
        )
        self.add_files([Path(name) for name in names])

    def _ask_where(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, "Where it lies now", "", FILE_FILTER
        )
        if name:
            self.relocate(Path(name))

    def _choose(self, file_id: UUID) -> None:
        for row in range(self.list.count()):
            if self._id_at(row) == file_id:
                self.list.setCurrentRow(row)

    def _id_at(self, row: int) -> UUID | None:
        line = self.list.item(row) if 0 <= row < self.list.count() else None
        return UUID(line.data(_ID)) if line is not None else None


def _button(text: str, action: Callable[[], None]) -> QPushButton:
    made = QPushButton(text)
    made.setAutoDefault(False)
    made.clicked.connect(lambda: action())
    return made


def _soft(text: str) -> QLabel:
    made = QLabel(text)
    made.setWordWrap(True)
    made.setProperty("soft", True)
    return made
