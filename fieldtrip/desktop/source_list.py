"""The tide tables and forecasts of a location, to open again or to remove."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from fieldtrip.desktop.content.tide_typing import span_words
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.tides.records import TideTable
from fieldtrip.times import local_date
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import distance_to_m, station_of
from fieldtrip.weather.records import Forecast
from fieldtrip.wording import count_text, distance_text, when_text


class SourceList(Panel):
    """One line a table or forecast, with buttons."""

    tideTableAsked = Signal(object)  # TideTable to open, or None for a new one
    stationAsked = Signal()
    forecastAsked = Signal(object)  # Forecast to open, or None for a new one

    def __init__(
        self, library: Library, selection: Selection, preferences: Preferences
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 8, 0, 0)
        self._grid.setColumnStretch(0, 1)
        self.follow(library.changed, selection.changed, preferences.changed)

    def refresh(self) -> None:
        """List what the chosen location has."""
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            return
        zone = dossier.location.zone
        self._add_station(dossier)
        for table in dossier.tide_tables:
            turns = count_text(len(table.turns), "turn")
            text = (
                f"Tide table of {table.port}: {turns}, "
                f"{span_words(table.turns, table.zone)}, "
                f"above {table.datum} ({table.source})"
            )
            self._add_row(text, table)
        for forecast in dossier.forecasts:
            start = forecast.hours[0].instant
            day = local_date(start, zone)
            issued = when_text(forecast.issued, zone, self._preferences.settings, day)
            hours = count_text(len(forecast.hours), "hour")
            text = (
                f"Forecast for {day:%d %b %Y}: {hours}, issued {issued} "
                f"({forecast.source})"
            )
            self._add_row(text, forecast)
        self._add_buttons(self._grid.rowCount())

    def _add_station(self, dossier: Dossier) -> None:
        station = station_of(dossier)
        if station is None:
            return
        distance_m = distance_to_m(dossier.location, station)
        away = "distance not known"
        if distance_m is not None:
            away = f"{distance_text(distance_m, self._preferences.settings)} away"
        text = (
            f"Tide station {station.name}: {station.kind}, above {station.datum} "
            f"({station.origin}), {away}"
        )
        label = QLabel(text)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        row = self._grid.rowCount()
        self._grid.addWidget(label, row, 0)
        button = QPushButton("Edit…")
        button.setAccessibleName(f"Edit: {text}")
        button.clicked.connect(self.stationAsked)
        self._grid.addWidget(button, row, 1)

    def _add_row(self, text: str, record: TideTable | Forecast) -> None:
        label = QLabel(text)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        row = self._grid.rowCount()
        self._grid.addWidget(label, row, 0)
        edit, remove = QPushButton("Edit…"), QPushButton("Remove")
        edit.setAccessibleName(f"Edit: {text}")
        remove.setAccessibleName(f"Remove: {text}")
        edit.clicked.connect(partial(self._ask, record))
        remove.clicked.connect(partial(self._remove, record))
        self._grid.addWidget(edit, row, 1)
        self._grid.addWidget(remove, row, 2)

    def _add_buttons(self, row: int) -> None:
        box = QWidget()
        line = QGridLayout(box)
        line.setContentsMargins(0, 0, 0, 0)
        table, forecast = QPushButton("Type tide table…"), QPushButton("Type forecast…")
        table.clicked.connect(partial(self._ask, None))
        forecast.clicked.connect(lambda: self.forecastAsked.emit(None))
        line.addWidget(table, 0, 0)
        line.addWidget(forecast, 0, 1)
        station = QPushButton("Tide station…")
        station.clicked.connect(self.stationAsked)
        line.addWidget(station, 0, 2)
        line.setColumnStretch(3, 1)
        self._grid.addWidget(box, row, 0, 1, 3)

    def _ask(self, record: TideTable | Forecast | None) -> None:
        if isinstance(record, Forecast):
            self.forecastAsked.emit(record)
        else:
            self.tideTableAsked.emit(record)

    def _remove(self, record: TideTable | Forecast) -> None:
        word = "tide table" if isinstance(record, TideTable) else "forecast"
        self._library.remove(f"remove {word}", record)
