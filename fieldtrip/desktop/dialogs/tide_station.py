"""The window in which a place gets its tide station, and a station its facts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.almanac.tide_station import station_lines
from fieldtrip.desktop.dialogs.secondary_port import (
    MaybePositionField,
    SecondaryPortDialog,
)
from fieldtrip.desktop.editing import RecordEditor, labelled
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    NumberField,
    TextField,
    YesNoField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.store.reading import by_name
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.trips.tide_sources import station_of

NO_STATIONS = (
    "There is no tide station in this library yet. Import one from its authority's "
    "file, or type a tide table for this place."
)
_EXPOSURES = ((None, "not known"), *((e, str(e)) for e in Exposure))


class TideStationDialog(QDialog):
    """Every finished edit is one step to undo, as in any form."""

    def __init__(
        self,
        library: Library,
        location_id: UUID,
        preferences: Preferences,
        *,
        now: Callable[[], datetime] | None = None,
    ) -> None:
        super().__init__()
        self._library, self._preferences = library, preferences
        self._now = now or partial(datetime.now, UTC)
        self.owner_id = location_id
        self.setModal(False)
        self.resize(620, 480)
        self.station = ChoiceField("Tide station of this place")
        self.headland = YesNoField("Round a headland, or behind a bar, from here")
        self.name = TextField("Station's name")
        self.position = MaybePositionField("Position of the station")
        self.exposure = ChoiceField("How exposed", _EXPOSURES)
        self.exposure.setToolTip("How far the weather can lift the sea at the port.")
        self.distorted = YesNoField("Shallow, or in an estuary")
        self.source = TextField("Source", "authority and edition")
        self.year = NumberField("Year", whole=True)
        self.licence = TextField("Licence", "what may be done with it")
        self.message, self.lines = plain_label(soft=True), plain_label(soft=True)
        self.remove = QPushButton("Remove the station from the library")
        self.remove.setAutoDefault(False)  # Enter ends a field, and removes nothing
        self.remove.clicked.connect(self._remove)
        self.secondary = QPushButton("New secondary port…")
        self.secondary.setToolTip(
            "A port whose tides a table gives as differences from another station's."
        )
        self.secondary.setAutoDefault(False)
        self.secondary.clicked.connect(lambda: self.type_secondary())
        self.change_secondary = QPushButton("Change its differences…")
        self.change_secondary.setToolTip("Only a secondary port has them.")
        self.change_secondary.setAutoDefault(False)
        self.change_secondary.clicked.connect(self.type_differences)
        self.secondary_window: SecondaryPortDialog | None = None
        self._place_editor = RecordEditor(library, self)
        self._place_editor.bind("station_id", self.station, "choose a tide station")
        self._place_editor.bind(
            "is_station_beyond_headland", self.headland, "say where the station lies"
        )
        self._station_editor = RecordEditor(library, self)
        for attribute, field, step in (
            ("name", self.name, "rename the tide station"),
            ("position", self.position, "move the tide station"),
            ("exposure", self.exposure, "change how exposed the station is"),
            ("is_distorted", self.distorted, "say whether the port is shallow"),
            ("source", self.source, "change the station's source"),
            ("year", self.year, "change the station's year"),
            ("licence", self.licence, "change the station's licence"),
        ):
            self._station_editor.bind(attribute, field, step)
        self._lay_out()
        library.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show place and station as they are now."""
        dossier = self._library.dossier(self.owner_id)
        if dossier is None:
            self.close()
            return
        self.setWindowTitle(f"Tide station of {dossier.location.name}")
        stations = sorted(self._library.store.all(Station), key=by_name)
        self.station.set_choices(
            ((None, "none"), *((s.id, f"{s.name} ({s.datum})") for s in stations))
        )
        self._place_editor.show(dossier.location)
        own = next(iter(dossier.stations), None)
        self._station_editor.show(own)
        for field in self._station_fields():
            field.setEnabled(own is not None)
        self.headland.setEnabled(own is not None)
        self.remove.setEnabled(own is not None)
        self.secondary.setEnabled(bool(stations))
        is_secondary = own is not None and own.kind is StationKind.SECONDARY
        self.change_secondary.setEnabled(is_secondary)
        source = station_of(dossier)
        self.message.setText("" if stations else NO_STATIONS)
        self.message.setVisible(not stations)
        lines: tuple[str, ...] = ()
        if source is not None:
            settings = self._preferences.settings
            lines = station_lines(dossier.location, source, settings)
        elif own is not None:
            lines = (
                "? Its standard port is not in this library, so nothing is known.",
            )
        self.lines.setText("\n".join(lines))

    def type_secondary(self, station: Station | None = None) -> None:
        """Open the window of a secondary port, a new one without a station.

        If one is open, it is brought forward instead.
        """
        window = self.secondary_window
        if window is None:
            window = SecondaryPortDialog(
                self._library,
                self.owner_id,
                self._preferences,
                now=self._now,
                station=station,
            )
            window.setParent(self, Qt.WindowType.Window)
            window.finished.connect(self._forget_secondary)
            self.secondary_window = window
        window.show()
        window.raise_()
        window.activateWindow()

    def type_differences(self) -> None:
        """Open the window in which the station's differences are changed."""
        self._station_editor.finish()
        own: Any = self._station_editor.record
        if own is not None:
            self.type_secondary(own)

    def done(self, result: int) -> None:
        """End what is being typed; keep as drafts what cannot be stored."""
        if self.secondary_window is not None:
            self.secondary_window.reject()
        for editor in (self._place_editor, self._station_editor):
            editor.finish()
            editor.keep_drafts()
        super().done(result)

    def _forget_secondary(self) -> None:
        window, self.secondary_window = self.secondary_window, None
        if window is not None:
            window.deleteLater()  # else it would go on reading at every edit

    def _remove(self) -> None:
        own: Any = self._station_editor.record
        if own is not None:
            self._library.remove("remove tide station", own)

    def _station_fields(self) -> tuple[Field, ...]:
        return (
            self.name,
            self.position,
            self.exposure,
            self.distorted,
            self.source,
            self.year,
            self.licence,
        )

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.addWidget(self.message)
        grid = QGridLayout()
        fields = (self.station, self.headland, *self._station_fields())
        for place, field in enumerate(fields):
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, place // 2, place % 2)
        column.addLayout(grid)
        column.addWidget(self.lines)
        column.addStretch(1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.secondary)
        buttons.addWidget(self.change_secondary)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        column.addLayout(buttons)
