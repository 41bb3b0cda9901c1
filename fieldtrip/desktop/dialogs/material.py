"""The map material: what lies below our own layers, in which order, how strong."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, QSize, Qt
from PySide6.QtGui import QGuiApplication, QIntValidator, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.material import LIST_HINT, material_row
from fieldtrip.desktop.map_ground import MapGround
from fieldtrip.desktop.material_shelf import MaterialShelf, material_from_file
from fieldtrip.errors import UserError
from fieldtrip.material.records import Kind, Material
from fieldtrip.material.template import server_name

FILE_FILTER = "Map material (*.mbtiles *.geojson *.json);;All files (*)"
_SERVER_HINT = (
    "Only what the map shows is asked for, and kept as long as the server allows. "
    "Read the server’s terms before you switch it on."
)
_NEW_SERVER = "New tile server"
_FINEST_ZOOM = 22
_ID = Qt.ItemDataRole.UserRole


class MaterialDialog(QDialog):
    """Each change holds at once; there is nothing to confirm."""

    def __init__(self, shelf: MaterialShelf, ground: MapGround) -> None:
        super().__init__()
        self.setWindowTitle("Map material")
        self._shelf = shelf
        self._ground = ground
        self._server_id: UUID | None = (
            None  # whose address and credit are in the fields
        )
        self._make_list()
        self._make_buttons()
        self._make_details()
        self._lay_out()
        shelf.changed.connect(self.refresh)
        ground.statesChanged.connect(self.refresh)
        self.refresh()
        self.list.setCurrentRow(0)
        self.list.setFocus()

    def refresh(self) -> None:
        """Show the stack as it is now."""
        chosen = self.chosen
        stack = self._shelf.stack
        with QSignalBlocker(self.list):
            if [self._id_at(row) for row in range(self.list.count())] != [
                each.id for each in stack
            ]:
                self.list.clear()
                for each in stack:
                    self._add_line(each)
            for row, each in enumerate(stack):
                self._fill_line(self.list.item(row), each)
                if chosen is not None and each.id == chosen.id:
                    self.list.setCurrentRow(row)
        self._show_chosen()

    @property
    def chosen(self) -> Material | None:
        """The sheet of the current line."""
        return self._shelf.find(self._id_at(self.list.currentRow()))

    # Verbs

    def add_files(self, paths: list[Path]) -> None:
        """Lay files on top, as far as they can be shown; the rest is told."""
        refused = []
        for path in paths:
            try:
                added = self._shelf.add(material_from_file(path))
            except UserError as error:
                refused.append(str(error))
            else:
                self._choose(added.id)
        self.refusal.setText(" ".join(refused))

    def add_server(self) -> None:
        """Lay a server on top, switched off, and ask for its address."""
        self.refusal.clear()
        added = Material(kind=Kind.SERVER, name=_NEW_SERVER, is_on=False)
        self._shelf.add(added)
        self._choose(added.id)
        self.address.setFocus()

    def move_chosen(self, by: int) -> None:
        """Lay the chosen sheet so many places lower; below 0, higher."""
        if self.chosen is not None:
            self._shelf.move(self.chosen.id, by)

    def remove(self) -> None:
        """Take the chosen sheet away; its file stays where it is."""
        if self.chosen is not None and self.chosen.kind is not Kind.COAST:
            row = self.list.currentRow()
            self._shelf.remove(self.chosen.id)
            self.list.setCurrentRow(min(row, self.list.count() - 1))

    def copy(self) -> None:
        """Copy what is said of the chosen sheet."""
        line = self.list.currentItem()
        if line is not None:
            QGuiApplication.clipboard().setText(line.text())

    def read_again(self) -> None:
        """Read the chosen sheet's file anew, or ask its server again."""
        if self.chosen is not None:
            self._ground.read_again(self.chosen.id)

    # Parts

    def _make_list(self) -> None:
        self.list = QListWidget()
        self.list.setAccessibleName("Sheets of map material, the uppermost first")
        self.list.setWordWrap(True)
        self.list.setSpacing(2)
        self.list.currentRowChanged.connect(lambda _: self._show_chosen())
        self.list.itemChanged.connect(self._take_check)
        for keys, by in (("Alt+Up", -1), ("Alt+Down", 1)):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.activated.connect(lambda by=by: self.move_chosen(by))
        for key, action in (("Delete", self.remove), ("Ctrl+C", self.copy)):
            QShortcut(QKeySequence(key), self.list, action).setContext(
                Qt.ShortcutContext.WidgetShortcut
            )

    def _make_buttons(self) -> None:
        self.file_button = _button("Add &file…", self._ask_files)
        self.server_button = _button("Add tile &server", self.add_server)
        self.up_button = _button("&Higher", lambda: self.move_chosen(-1))
        self.down_button = _button("&Lower", lambda: self.move_chosen(1))
        self.again_button = _button("Read a&gain", self.read_again)
        self.remove_button = _button("&Remove", self.remove)

    def _make_details(self) -> None:
        self.opacity = QSlider(Qt.Orientation.Horizontal)
        self.opacity.setRange(0, 100)
        self.opacity.setSingleStep(5)
        self.opacity.setPageStep(20)
        self.opacity.setAccessibleName("Opacity in per cent")
        self.opacity.valueChanged.connect(self._take_opacity)
        self.percent = QLabel()
        self.percent.setMinimumWidth(
            self.percent.fontMetrics().horizontalAdvance("100 %")
        )
        self.refusal = QLabel()
        self.refusal.setTextFormat(Qt.TextFormat.PlainText)
        self.refusal.setWordWrap(True)
        self.refusal.setAccessibleName("What was refused")

        self.server = QWidget()
        self.address = QLineEdit()
        self.address.setPlaceholderText("https://…/{z}/{x}/{y}.png")
        self.credit = QLineEdit()
        self.credit.setPlaceholderText("as its terms ask; stands on the map")
        self.finest = QLineEdit()
        self.finest.setValidator(QIntValidator(0, _FINEST_ZOOM, self.finest))
        self.finest.setMaximumWidth(80)
        self.address.editingFinished.connect(self._take_server)
        self.credit.editingFinished.connect(self._take_server)
        self.finest.editingFinished.connect(self._take_server)
        form = QFormLayout(self.server)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow("&Address", self.address)
        form.addRow("&Whose map it is", self.credit)
        form.addRow("Finest &zoom", self.finest)
        hint = _soft(_SERVER_HINT)
        form.addRow(hint)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for button in (self.file_button, self.server_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        for button in (
            self.up_button,
            self.down_button,
            self.again_button,
            self.remove_button,
        ):
            buttons.addWidget(button)
        strength = QHBoxLayout()
        label = QLabel("&Opacity")
        label.setBuddy(self.opacity)
        for widget in (label, self.opacity, self.percent):
            strength.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(10)
        column.addWidget(_soft(LIST_HINT))
        column.addWidget(self.list, 1)
        column.addLayout(buttons)
        column.addLayout(strength)
        column.addWidget(self.server)
        column.addWidget(self.refusal)
        column.addWidget(
            _soft("This holds for every library on this computer. Nothing snaps to it.")
        )
        self.resize(QSize(640, 520))

    # Showing

    def _add_line(self, material: Material) -> None:
        line = QListWidgetItem()
        line.setData(_ID, str(material.id))
        line.setFlags(line.flags() | Qt.ItemFlag.ItemIsUserCheckable)
        self.list.addItem(line)

    def _fill_line(self, line: QListWidgetItem, material: Material) -> None:
        row = material_row(material, self._ground.state(material.id))
        line.setText(
            "\n".join(part for part in (row.text, row.note, row.trouble) if part)
        )
        check = Qt.CheckState.Checked if material.is_on else Qt.CheckState.Unchecked
        line.setCheckState(check)

    def _show_chosen(self) -> None:
        material = self.chosen
        self._show_server(material)
        is_file = material is not None and material.kind in (
            Kind.PICTURES,
            Kind.DRAWING,
        )
        is_server = material is not None and material.kind is Kind.SERVER
        row = self.list.currentRow()
        self.up_button.setEnabled(row > 0)
        self.down_button.setEnabled(0 <= row < self.list.count() - 1)
        self.again_button.setEnabled(is_file or is_server)
        self.remove_button.setEnabled(is_file or is_server)
        self.opacity.setEnabled(material is not None)
        self.server.setVisible(is_server)
        if material is None:
            return
        with QSignalBlocker(self.opacity):
            self.opacity.setValue(material.opacity_percent)
        self.percent.setText(f"{material.opacity_percent} %")

    def _show_server(self, material: Material | None) -> None:
        """Fill the fields of a server; what was typed for another is taken first."""
        now = material if material and material.kind is Kind.SERVER else None
        is_other = (now.id if now else None) != self._server_id
        if is_other:
            self._take_server()
            self._server_id = now.id if now else None
        if now is None:
            return
        for field, text in (
            (self.address, now.source),
            (self.credit, now.credit),
            (self.finest, str(now.finest_zoom)),
        ):
            if is_other or not field.hasFocus():
                field.setText(text)

    # Taking

    def _take_check(self, line: QListWidgetItem) -> None:
        material_id = UUID(line.data(_ID))
        is_on = line.checkState() is Qt.CheckState.Checked
        self._shelf.change(material_id, is_on=is_on)

    def _take_opacity(self, percent: int) -> None:
        self._set(opacity_percent=percent)

    def _take_server(self) -> None:
        server_id, self._server_id = self._server_id, None
        server = self._shelf.find(server_id)
        if server is not None:
            address = self.address.text().strip()
            credit = self.credit.text().strip()
            name = server_name(address) or _NEW_SERVER
            self._server_id = server_id
            zoom = self.finest.text()  # empty while it is being typed
            self._shelf.change(
                server.id,
                source=address,
                credit=credit,
                name=name,
                finest_zoom=min(int(zoom), _FINEST_ZOOM)
                if zoom
                else server.finest_zoom,
            )

    def _set(self, **values: Any) -> None:
        if self.chosen is not None:
            self._shelf.change(self.chosen.id, **values)

    def _ask_files(self) -> None:
        names, _ = QFileDialog.getOpenFileNames(
            self, "Add map material", "", FILE_FILTER
        )
        self.add_files([Path(name) for name in names])

    def _choose(self, material_id: UUID) -> None:
        for row in range(self.list.count()):
            if self._id_at(row) == material_id:
                self.list.setCurrentRow(row)

    def _id_at(self, row: int) -> UUID | None:
        line = self.list.item(row) if 0 <= row < self.list.count() else None
        return UUID(line.data(_ID)) if line is not None else None


def _button(text: str, action: Any) -> QPushButton:
    made = QPushButton(text)
    made.setAutoDefault(False)
    made.clicked.connect(lambda: action())
    return made


def _soft(text: str) -> QLabel:
    made = QLabel(text)
    made.setWordWrap(True)
    made.setProperty("soft", True)
    return made
