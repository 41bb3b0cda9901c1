"""Two lists to choose from where one looks, and at what; several pages have them."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QObject, QSignalBlocker
from PySide6.QtWidgets import QComboBox, QSizePolicy

from fieldtrip.desktop.content.light import Named, subjects_of, vantage_points_of
from fieldtrip.desktop.selection import Selection
from fieldtrip.trips.dossier import Dossier


class Choosers(QObject):
    """A list of vantage points and one of subjects, which choose for the window."""

    def __init__(self, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._selection = selection
        self.vantage = _combo("Vantage point")
        self.subject = _combo("Subject")
        self.vantage.activated.connect(self._use)
        self.subject.activated.connect(self._use)

    def show_dossier(self, dossier: Dossier | None) -> None:
        """Offer what a location has."""
        selection = self._selection
        _fill(
            self.vantage,
            vantage_points_of(dossier),
            selection.vantage_point_id,
            "from the middle of the location",
        )
        _fill(self.subject, subjects_of(dossier), selection.subject_id, "no subject")

    def _use(self) -> None:
        vantage, subject = self.vantage.currentData(), self.subject.currentData()
        self._selection.use(vantage_point_id=vantage, subject_id=subject)


def _combo(name: str) -> QComboBox:
    combo = QComboBox()
    combo.setAccessibleName(name)
    shrinks = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
    combo.setSizeAdjustPolicy(shrinks)  # a long name must not widen the page
    combo.setMinimumContentsLength(8)
    combo.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return combo


def _fill(
    combo: QComboBox, records: tuple[Named, ...], chosen: UUID | None, nothing: str
) -> None:
    """Offer the records; nothing chosen is offered only while nothing is."""
    # Looked up here: Qt compares what it was given by identity, not by value.
    ids = [record.record_id for record in records]
    with QSignalBlocker(combo):
        combo.clear()
        if chosen not in ids:
            combo.addItem(nothing, None)
        for record in records:
            combo.addItem(record.name, record.record_id)
        combo.setCurrentIndex(ids.index(chosen) if chosen in ids else 0)
    combo.setEnabled(bool(records))
