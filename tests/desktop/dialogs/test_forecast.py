"""The story of typing a forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.forecast import ForecastDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.exchange.forecast_text import forecast_text
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings, SpeedUnit
from fieldtrip.store.store import Store
from fieldtrip.weather.records import Forecast, ForecastHour

PLACE = Location(name="Keel", position=Position(49.6, -8.4), zone="Europe/Dublin")
NOW = datetime(2026, 11, 14, 11, tzinfo=UTC)
HOURS = tuple(
    ForecastHour(
        instant=NOW + timedelta(hours=hour),
        wind_m_s=7.0,
        gust_m_s=11.0,
        wind_from_deg=240.0,
    )
    for hour in range(1, 4)
)
FORECAST = Forecast(
    location_id=PLACE.id,
    issued=datetime(2026, 11, 14, 6, tzinfo=UTC),
    source="an invented service",
    hours=HOURS,
)
TEXT = forecast_text(HOURS, NOW.date(), PLACE.zone, SpeedUnit.METRE_PER_SECOND)


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE)
    library.undo_stack.clear()
    return library


def opened(
    library: Library, qtbot: QtBot, forecast: Forecast | None = None
) -> ForecastDialog:
    dialog = ForecastDialog(
        library,
        PLACE,
        Preferences(Settings()),
        day=NOW.date(),
        now=lambda: NOW,
        forecast=forecast,
    )
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.activateWindow()
    return dialog


def fill(dialog: ForecastDialog) -> None:
    dialog.source.setFocus()
    QTest.keyClicks(dialog.source.line, "an invented service")
    dialog.issued.setFocus()
    QTest.keyClicks(dialog.issued.line, "14 Nov 2026 06:00")
    dialog.unit.setFocus()
    QTest.keyClick(dialog.unit.combo, Qt.Key.Key_Down)
    QTest.keyClick(dialog.unit.combo, Qt.Key.Key_Return)
    QGuiApplication.clipboard().setText(TEXT)
    dialog.text.setFocus()
    QTest.keyClick(dialog.text.box, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)


def test_a_forecast_is_typed_pasted_and_stored_in_one_step(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    assert not dialog.isModal()
    assert not dialog.store_button.isEnabled()
    fill(dialog)
    assert dialog.preview.faults.text() == ""
    assert dialog.preview.table.rowCount() == 3

    QTest.mouseClick(dialog.store_button, Qt.MouseButton.LeftButton)

    (kept,) = library.store.all(Forecast)
    assert kept == replace(FORECAST, id=kept.id)
    assert library.undo_stack.undoText() == "add forecast"
    assert library.store.drafts() == {}
    library.undo_stack.undo()
    assert library.store.all(Forecast) == []


def test_a_kept_forecast_is_shown_again_and_changed(
    library: Library, qtbot: QtBot
) -> None:
    library.add("set the scene", FORECAST)
    dialog = opened(library, qtbot, FORECAST)
    assert dialog.text.box.toPlainText() == TEXT
    assert dialog.issued.line.text() == "14 Nov 2026 06:00"

    dialog.issued.setFocus()
    dialog.issued.line.selectAll()
    QTest.keyClicks(dialog.issued.line, "14 Nov 2026 09:00")
    QTest.mouseClick(dialog.store_button, Qt.MouseButton.LeftButton)

    later = datetime(2026, 11, 14, 9, tzinfo=UTC)
    assert library.store.all(Forecast) == [replace(FORECAST, issued=later)]


def test_an_issue_that_cannot_be_read_keeps_it_from_being_stored(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)

    dialog.issued.setFocus()
    dialog.issued.line.selectAll()
    QTest.keyClicks(dialog.issued.line, "this morning")

    assert "is no day and time" in dialog.preview.faults.text()
    assert not dialog.store_button.isEnabled()
    assert dialog.issued.line.text() == "this morning"


def test_closing_keeps_what_was_typed_for_the_next_time(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    dialog.close()
    assert library.store.all(Forecast) == []

    again = opened(library, qtbot)

    assert again.text.box.toPlainText() == TEXT
    assert "Not stored yet" in again.text.note.text()
    assert again.source.line.text() == "an invented service"
