"""The settings: units, clock, paper, who ticks, and the limits of the checks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFormLayout,
    QLabel,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.dialogs.limits_page import LimitsPage
from fieldtrip.desktop.fields import ChoiceField, Field, TextField
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.settings import LengthUnit, SpeedUnit, Theme

_ROWS: tuple[tuple[str, str, tuple[tuple[Any, str], ...]], ...] = (
    (
        "length_unit",
        "Heights and distances",
        ((LengthUnit.METRE, "metres"), (LengthUnit.FOOT, "feet and miles")),
    ),
    (
        "speed_unit",
        "Wind",
        (
            (SpeedUnit.METRE_PER_SECOND, "metres a second (m/s)"),
            (SpeedUnit.KNOT, "knots (kn)"),
            (SpeedUnit.MILE_PER_HOUR, "miles an hour (mph)"),
            (SpeedUnit.KILOMETRE_PER_HOUR, "kilometres an hour (km/h)"),
        ),
    ),
    ("clock_24h", "Clock", ((True, "24 hours: 18:05"), (False, "12 hours: 6:05 pm"))),
    (
        "theme",
        "Paper",
        (
            (Theme.SYSTEM, "as the system has it"),
            (Theme.LIGHT, "light"),
            (Theme.DARK, "dark"),
        ),
    ),
)


class SettingsDialog(QDialog):
    """Each choice holds at once; there is nothing to confirm."""

    def __init__(self, preferences: Preferences) -> None:
        super().__init__()
        self.setWindowTitle("Settings")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self._preferences = preferences
        self.resize(700, 520)
        general = QWidget()
        form = QFormLayout(general)
        form.setContentsMargins(18, 16, 18, 16)
        self.limits = LimitsPage(preferences)
        self.pages = QTabWidget()
        self.pages.addTab(general, "General")
        self.pages.addTab(self.limits, "Limits")
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 8, 8, 8)
        column.addWidget(self.pages)
        self.fields: dict[str, Field] = {}
        for name, label, choices in _ROWS:
            self._add(form, name, label, ChoiceField(label, choices))
        self._add(form, "person", "Who ticks", TextField("Who ticks", "your name"))
        note = QLabel("These hold for every library on this computer.")
        note.setProperty("soft", True)
        form.addRow(note)
        preferences.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the settings in force."""
        for name, field in self.fields.items():
            field.set_value(getattr(self._preferences.settings, name))

    def _add(self, form: QFormLayout, name: str, label: str, field: Field) -> None:
        field.edited.connect(lambda value: self._set(name, value))
        form.addRow(label, field)
        self.fields[name] = field

    def _set(self, name: str, value: Any) -> None:
        settings = self._preferences.settings
        self._preferences.settings = replace(settings, **{name: value})
