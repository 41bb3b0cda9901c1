"""The window in which several vantage points are chosen as stops of a trip."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.plan_deeds import stops_at
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.library import Library
from fieldtrip.errors import UserError
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip

_ID = Qt.ItemDataRole.UserRole


class AddStopsDialog(QDialog):
    """Ticks vantage points in a list; they become stops in one step of undo."""

    def __init__(
        self, library: Library, dossier: Dossier, trip: Trip, minute: datetime
    ) -> None:
        super().__init__()
        if not dossier.vantage_points:
            raise UserError("A stop needs a vantage point. Add one on the map first.")
        self._library, self._minute = library, minute
        self._location_id = dossier.location.id
        self.owner_id: UUID = trip.id
        self.setModal(False)
        self.setWindowTitle(f"Add stops: {trip.name}")
        self.resize(420, 460)
        hint = plain_label(soft=True)
        hint.setText(
            "Choose the vantage points to stop at. They are added one after the other; "
            "the plan finds order and times."
        )
        there = {stop.vantage_point_id for stop in dossier.stops_of(trip)}
        self.list = QListWidget()
        self.list.setAccessibleName("Vantage points")
        for spot in dossier.vantage_points:
            words = f"{spot.name} (a stop already)" if spot.id in there else spot.name
            item = QListWidgetItem(words)
            item.setData(_ID, spot.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
            self.list.addItem(item)
        self.list.itemChanged.connect(lambda _: self._count())
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.fault.hide()
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.add_button = QPushButton()
        self.add_button.setDefault(True)
        buttons.addButton(self.add_button, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.add)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        for widget in (hint, self.list, self.fault, buttons):
            column.addWidget(widget)
        self._count()

    def chosen(self) -> list[UUID]:
        """The ids of what is ticked, as listed."""
        items = [self.list.item(row) for row in range(self.list.count())]
        return [
            item.data(_ID)
            for item in items
            if item.checkState() is Qt.CheckState.Checked
        ]

    def add(self) -> None:
        """Make stops of what is ticked."""
        dossier = self._library.dossier(self._location_id)
        trip = None if dossier is None else by_id(dossier.trips, self.owner_id)
        if dossier is None or trip is None:
            self.reject()
            return
        try:
            stops = stops_at(dossier, trip, self.chosen(), self._minute)
            self._library.change("add stops", stops)
        except UserError as error:
            self.fault.setText(str(error))
            self.fault.show()
            return
        self.accept()

    def _count(self) -> None:
        count = len(self.chosen())
        self.add_button.setText(f"Add {count} stop{'' if count == 1 else 's'}")
        self.add_button.setEnabled(count > 0)
