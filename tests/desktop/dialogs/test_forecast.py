"""The story of typing a forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

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
TODAY = NOW.date()
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
    library: Library,
    qtbot: QtBot,
    forecast: Forecast | None = None,
    day: date = TODAY,
) -> ForecastDialog:
    dialog = ForecastDialog(
        library,
        PLACE,
        Preferences(Settings()),
        day=day,
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
    assert again.day.read() == NOW.date()
    assert again.unit.read() is dialog.unit.value
    assert again.preview.faults.text() == ""
    assert again.content is not None
    assert again.content.forecast is not None
    assert again.content.forecast.hours == HOURS


def test_a_draft_comes_back_for_the_day_it_was_typed_for(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    dialog.day.setFocus()
    dialog.day.line.selectAll()
    QTest.keyClicks(dialog.day.line, "20 Nov 2026")
    dialog.close()

    again = opened(library, qtbot, day=date(2026, 11, 30))

    assert again.day.read() == date(2026, 11, 20)
    assert again.content is not None
    assert again.content.forecast is not None
    assert again.content.forecast.hours[0].instant.date() == date(2026, 11, 20)


def test_a_day_that_was_not_touched_belongs_to_the_draft_all_the_same(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    dialog.close()

    again = opened(library, qtbot, day=date(2026, 11, 30))

    assert again.day.read() == NOW.date()
    QTest.mouseClick(again.store_button, Qt.MouseButton.LeftButton)
    assert [kept.hours for kept in library.store.all(Forecast)] == [HOURS]
    assert library.store.drafts() == {}


def test_a_window_in_which_nothing_was_typed_leaves_no_draft(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    dialog.source.setFocus()
    QTest.keyClicks(dialog.source.line, "x")
    QTest.keyClick(dialog.source.line, Qt.Key.Key_Backspace)

    dialog.close()

    assert library.store.drafts() == {}


def test_a_unit_chosen_by_arrow_key_counts_at_once(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)
    before = dialog.unit.read()

    QTest.keyClick(dialog.unit.combo, Qt.Key.Key_Down)

    assert dialog.unit.read() is not before
    headings = dialog.preview.table.horizontalHeaderItem(1)
    assert headings is not None
    assert headings.text() == f"Wind {dialog.unit.read()}"


def test_an_old_forecast_is_a_caution_in_shape_and_colour(
    library: Library, qtbot: QtBot
) -> None:
    dialog = opened(library, qtbot)
    fill(dialog)

    dialog.issued.setFocus()
    dialog.issued.line.selectAll()
    QTest.keyClicks(dialog.issued.line, "12 Nov 2026 06:00")

    assert dialog.preview.notes.text() == "▲ It was issued more than a day ago."
    assert dialog.preview.notes.property("caution") is True
