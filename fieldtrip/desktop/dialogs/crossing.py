"""The window in which one notes that a crossing was open or shut."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.almanac.crossing_seen import (
    SEEN_COLUMNS,
    level_words,
    seen_row,
    seen_words,
)
from fieldtrip.desktop.content.crossing_typing import (
    CrossingNote,
    CrossingTyped,
    crossing_note,
    crossings_to_note,
)
from fieldtrip.desktop.copy_table import CopyTable
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    LongTextField,
    MomentField,
    NumberField,
    YesNoField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.places.records import CrossingObservation, Leg
from fieldtrip.trips.crossing_level import as_told_now, level_in_force
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.tide_sources import sources_of


class CrossingDialog(QDialog):
    """Looks up the tide for the moment; stores only what is sound."""

    def __init__(
        self,
        library: Library,
        dossier: Dossier,
        preferences: Preferences,
        *,
        leg_id: UUID | None,
        instant: datetime,
        now: Callable[[], datetime],
    ) -> None:
        super().__init__()
        self._library, self._preferences, self._now = library, preferences, now
        self.owner_id = dossier.location.id
        self.note = CrossingNote(None, "")
        self.setWindowTitle(f"How the crossing was, {dossier.location.name}")
        self.setModal(False)
        self.resize(560, 420)
        legs = crossings_to_note(dossier)
        self.leg = ChoiceField("Crossing", [(leg.id, leg.name) for leg in legs])
        self.moment = MomentField("When", dossier.location.zone)
        self.passable = YesNoField("Could it be passed")
        self.pressure = NumberField("Air pressure then")
        self.pressure.set_unit("hPa", 1.0)
        self.confirmed = ChoiceField(
            "I was there, and the figures are right", ((True, "yes"), (False, "no"))
        )
        self.remark = LongTextField("Remark", lines=2)
        self.level, self.force = plain_label(), plain_label(soft=True)
        self.fault = plain_label()
        self.fault.setProperty("fault", True)
        self.seen = CopyTable("What was seen of it", SEEN_COLUMNS)
        self._listed: tuple[CrossingObservation, ...] = ()
        self.remove_button = QPushButton("Remove the chosen line")
        self.remove_button.clicked.connect(self.remove)
        self.seen.itemSelectionChanged.connect(self._offer_removal)
        self.store_button = QPushButton("Store")
        self.store_button.clicked.connect(self.store)
        close = QPushButton("Close")
        close.clicked.connect(self.reject)
        for button in (self.store_button, close, self.remove_button):
            button.setAutoDefault(False)  # Enter ends a field
        self._lay_out(close)
        chosen = next((leg.id for leg in legs if leg.id == leg_id), None)
        if chosen is None and len(legs) == 1:
            chosen = legs[0].id
        self.leg.set_value(chosen)
        self.moment.set_value(instant)
        self.confirmed.set_value(False)
        library.changed.connect(self.check)
        for field in self._fields():
            field.edited.connect(lambda value, f=field: self._take(f, value))
        self.check()

    def check(self) -> None:
        """Look up the level, and say what is missing."""
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            self.reject()
            return
        leg = by_id(dossier.legs, self.leg.value)
        settings = self._preferences.settings
        typed = CrossingTyped(
            leg=leg,
            instant=self.moment.value,
            is_passable=self.passable.value,
            pressure_hpa=self.pressure.value,
            is_confirmed=bool(self.confirmed.value),
            remark=self.remark.value or "",
        )
        self.note = crossing_note(dossier, typed, self._now(), settings)
        self.level.setText(self.note.level_words)
        self.fault.setText(self.note.fault)
        self.force.setText("" if leg is None else self._force_words(dossier, leg))
        self.store_button.setEnabled(self.note.observation is not None)
        self._listed = () if leg is None else dossier.observations_of(leg)
        zone = dossier.location.zone
        self.seen.show_rows([seen_row(each, zone, settings) for each in self._listed])
        self.seen.setVisible(bool(self._listed))
        self.remove_button.setVisible(bool(self._listed))
        self._offer_removal()

    def store(self) -> None:
        """Keep the observation as one step of undo, and close."""
        finished = [field.finish() for field in self._fields()]
        if not all(finished):  # of a list: each field says its fault
            return
        self.check()
        if self.note.observation is None:
            return
        try:
            self._library.add("note how a crossing was", self.note.observation)
        except UserError as error:
            self.fault.setText(str(error))
            return
        self.accept()

    def remove(self) -> None:
        """Take away what was noted by mistake, as one step of undo."""
        row = self.seen.currentRow()
        if 0 <= row < len(self._listed):
            self._library.remove("remove what was seen", self._listed[row])

    def _offer_removal(self) -> None:
        self.remove_button.setEnabled(bool(self.seen.selectedIndexes()))

    def _force_words(self, dossier: Dossier, leg: Leg) -> str:
        zone, settings = dossier.location.zone, self._preferences.settings
        seen = as_told_now(dossier.observations, sources_of(dossier))
        level = level_in_force(leg, seen, self._now(), zone)
        datum = leg.shut_datum
        return " ".join(
            (level_words(level, datum, settings), *seen_words(level, settings))
        )

    def _take(self, field: Field, value: object) -> None:
        field.set_value(value)
        self.check()

    def _fields(self) -> tuple[Field, ...]:
        return (
            self.leg,
            self.moment,
            self.passable,
            self.pressure,
            self.confirmed,
            self.remark,
        )

    def _lay_out(self, close: QPushButton) -> None:
        grid = QGridLayout()
        for place, field in enumerate(self._fields()):
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, place // 2, place % 2)
        column = QVBoxLayout(self)
        column.addLayout(grid)
        for label in (self.level, self.force, self.fault):
            column.addWidget(label)
        column.addWidget(self.seen)
        column.addWidget(self.remove_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(close)
        buttons.addWidget(self.store_button)
        column.addLayout(buttons)
