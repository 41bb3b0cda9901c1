"""The window in which a secondary port is typed, as used."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.secondary_forms import Form
from fieldtrip.desktop.dialogs.secondary_port import SecondaryPortDialog
from fieldtrip.desktop.dialogs.tide_station import TideStationDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.tides.secondary import RatioAboutMeanLevel
from fieldtrip.tides.stations import Station, StationKind
from tests.desktop.content.test_secondary_typing import STANDARD
from tests.desktop.strip_story import KEEL, fill

TEXTS = {
    "high_later": "-22",
    "low_later": "32",
    "ratio": "0.74",
    "standard_mean": "1.92",
    "mean": "1.3",
}


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


def opened(library: Library, qtbot: QtBot) -> tuple[TideStationDialog, Station]:
    library.add("add tide station", STANDARD)
    dialog = TideStationDialog(
        library,
        KEEL.id,
        Preferences(Settings()),
        now=lambda: datetime(2013, 7, 1, 12, tzinfo=UTC),
    )
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog, STANDARD


def port_window(dialog: TideStationDialog) -> SecondaryPortDialog:
    dialog.secondary.click()
    assert dialog.secondary_window is not None
    return dialog.secondary_window


def utc_shown(window: SecondaryPortDialog) -> list[str]:
    table = window.preview.table
    items = [table.item(row, 3) for row in range(table.rowCount())]
    return [item.text() for item in items if item is not None]


def type_all(window: SecondaryPortDialog, standard: Station) -> None:
    window.standard.edited.emit(standard.id)
    QTest.keyClicks(window.name.line, "Invented haven")
    QTest.keyClicks(window.datum.line, "Chart datum")
    QTest.keyClicks(window.source.line, "Nautical almanac 2013-14")
    window.distorted.edited.emit(False)
    window.unit.edited.emit("m")
    window.form.edited.emit(Form.RATIO)
    for key, text in TEXTS.items():
        QTest.keyClicks(window.figures[Form.RATIO][key].line, text)


def test_a_secondary_port_is_typed_seen_stored_and_taken_back(
    library: Library, qtbot: QtBot
) -> None:
    dialog, standard = opened(library, qtbot)
    window = port_window(dialog)
    assert not window.store_button.isEnabled()

    type_all(window, standard)

    # Source: New Zealand Nautical Almanac 2013-14, pp. 30-31: 0919 2.3 in UTC there;
    # the place keeps summer time.
    assert utc_shown(window) == ["03:48", "09:19", "16:18", "21:45"]
    window.store_button.click()
    (made,) = [s for s in library.store.all(Station) if s.id != standard.id]
    assert made.kind is StationKind.SECONDARY
    assert made.standard_id == standard.id
    assert isinstance(made.differences, RatioAboutMeanLevel)
    assert library.locations()[0].station_id == made.id
    assert dialog.name.value == "Invented haven"
    assert "turns of its standard port" in dialog.lines.text()
    library.undo_stack.undo()
    assert library.store.all(Station) == [standard]
    assert library.locations()[0].station_id is None


def test_its_differences_are_changed_as_one_step(
    library: Library, qtbot: QtBot
) -> None:
    dialog, standard = opened(library, qtbot)
    assert not dialog.change_secondary.isEnabled()
    type_all(window := port_window(dialog), standard)
    window.store_button.click()
    dialog.change_secondary.click()
    again = dialog.secondary_window
    assert again is not None
    assert again is not window
    assert again.figures[Form.RATIO]["high_later"].value == -22.0

    again.figures[Form.RATIO]["high_later"].line.clear()
    QTest.keyClicks(again.figures[Form.RATIO]["high_later"].line, "-12")
    again.store_button.click()

    # By hand: ten minutes later than before.
    (made,) = [s for s in library.store.all(Station) if s.id != standard.id]
    assert isinstance(made.differences, RatioAboutMeanLevel)
    assert made.differences.high == timedelta(minutes=-12)
    assert library.undo_stack.undoText() == "change secondary port"
    library.undo_stack.undo()
    (before,) = [s for s in library.store.all(Station) if s.id == made.id]
    assert isinstance(before.differences, RatioAboutMeanLevel)
    assert before.differences.high == timedelta(minutes=-22)


def test_only_the_figures_of_the_chosen_form_are_shown(
    library: Library, qtbot: QtBot
) -> None:
    dialog, _ = opened(library, qtbot)
    window = port_window(dialog)
    assert not window.figures[Form.RATIO]["ratio"].isVisible()

    window.unit.edited.emit("ft")
    window.form.edited.emit(Form.CLOCK)

    assert window.figures[Form.CLOCK]["high_springs"].isVisible()
    assert window.figures[Form.CLOCK]["high_springs"].unit.text() == "ft"
    assert not window.figures[Form.RATIO]["ratio"].isVisible()
    assert "minutes to add" in window.hint.text()


def test_what_makes_no_sense_is_said_and_kept_for_the_next_time(
    library: Library, qtbot: QtBot
) -> None:
    dialog, standard = opened(library, qtbot)
    window = port_window(dialog)
    type_all(window, standard)

    QTest.keyClicks(window.figures[Form.RATIO]["ratio"].line, "x")

    assert "is no number" in window.preview.faults.text()
    assert not window.store_button.isEnabled()
    window.close_button.click()
    again = port_window(dialog)
    assert again is not window
    assert again.name.line.text() == "Invented haven"
    assert again.figures[Form.RATIO]["ratio"].line.text() == "0.74x"
    assert again.figures[Form.RATIO]["ratio"].isVisible()
    dialog.close()
    assert dialog.secondary_window is None
    assert library.store.all(Station) == [standard]


def test_without_a_station_there_is_no_standard_port_to_choose(
    library: Library, qtbot: QtBot
) -> None:
    dialog = TideStationDialog(library, KEEL.id, Preferences(Settings()))
    qtbot.addWidget(dialog)

    assert not dialog.secondary.isEnabled()
