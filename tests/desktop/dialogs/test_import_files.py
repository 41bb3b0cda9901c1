"""The story of taking things in from files: read, chosen, one step, undone."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.import_files import ImportDialog
from fieldtrip.desktop.import_table import KIND, NAME, TWIN
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.exchange.found import PlaceKind
from fieldtrip.exchange.outgoing import place_bytes
from fieldtrip.places.records import (
    AccessRoute,
    Hazard,
    Leg,
    Location,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from tests.exchange.photos import TIMES, photo
from tests.exchange.story import ANVIL, ROCK, whole_coast

NOW = datetime(2026, 11, 14, 12, tzinfo=UTC)
Open = Callable[..., ImportDialog]
THREE = """<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="49.7" lon="-8.5"><name>Low ledge</name><desc>Wet.</desc></wpt>
<wpt lat="49.62105" lon="-8.421"><name>By the rock</name><desc>New.</desc></wpt>
<trk><name>Walked</name><trkseg><trkpt lat="49.7" lon="-8.5"/>
<trkpt lat="49.701" lon="-8.5"/></trkseg></trk></gpx>"""


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", ANVIL, ROCK)
    library.undo_stack.clear()
    return library


@pytest.fixture
def jobs() -> Iterator[Jobs]:
    jobs = Jobs()
    yield jobs
    jobs.stop()


@pytest.fixture
def opened(library: Library, jobs: Jobs, qtbot: QtBot) -> Open:
    def make(*paths: Path, location_id: UUID | None = ANVIL.id) -> ImportDialog:
        dialog = ImportDialog(
            library,
            Preferences(Settings()),
            jobs,
            paths,
            location_id=location_id,
            now=lambda: NOW,
        )
        qtbot.addWidget(dialog)
        dialog.show()
        dialog.activateWindow()
        qtbot.waitUntil(lambda: bool(dialog.readings))
        if any(reading.found is not None for reading in dialog.readings):
            qtbot.waitUntil(lambda: bool(dialog.rows))
        return dialog

    return make


@pytest.fixture
def three(tmp_path: Path) -> Path:
    path = tmp_path / "three.gpx"
    path.write_text(THREE)
    return path


def cell(dialog: ImportDialog, row: int, column: int) -> Any:
    model = dialog.table.choices
    return model.data(model.index(row, column))


def choose(dialog: ImportDialog, row: int, column: int, text: str) -> None:
    """Open a cell's choice by keyboard and choose in it by its words."""
    table = dialog.table
    table.setFocus()
    table.setCurrentIndex(table.choices.index(row, column))
    QTest.keyClick(table, Qt.Key.Key_F2)
    # An editor that is done with lives on until the next event.
    (combo,) = (c for c in table.findChildren(QComboBox) if c.isVisible())
    index = combo.findText(text)
    assert index >= 0, text
    combo.setCurrentIndex(index)
    combo.activated.emit(index)


def test_it_stands_beside_the_window_and_shows_what_the_file_holds(
    opened: Open, three: Path
) -> None:
    dialog = opened(three)

    assert not dialog.isModal()
    assert [cell(dialog, row, NAME) for row in range(3)] == [
        "Low ledge", "By the rock", "Walked"
    ]  # fmt: skip
    assert [cell(dialog, row, KIND) for row in range(3)] == [
        "vantage point", "vantage point", "access route"
    ]  # fmt: skip
    assert cell(dialog, 1, TWIN) == "merge: “Flat rock”, 6 m away"
    assert cell(dialog, 2, 3) == "line, 2 points, 110 m"
    assert dialog.summary.text() == (
        "3 of 3 things go into “Anvil Strand”; 2 added, 1 merged."
    )
    assert dialog.take_button.isEnabled()


def test_what_is_ticked_comes_in_as_one_step_that_can_be_undone(
    opened: Open, three: Path, library: Library
) -> None:
    dialog = opened(three)

    dialog.take_in()

    assert library.undo_stack.count() == 1
    assert library.undo_stack.text(0) == "take in 3 things"
    points = {point.name: point for point in library.store.all(VantagePoint)}
    assert set(points) == {"Low ledge", "Flat rock"}
    assert points["Flat rock"].notes == f"{ROCK.notes}\n\nNew."
    assert points["Flat rock"].position == ROCK.position
    assert [leg.name for leg in library.store.all(Leg)] == ["Walked"]
    library.undo_stack.undo()
    assert library.store.all(VantagePoint) == [ROCK]
    assert library.store.all(AccessRoute) == []
    assert not dialog.isVisible()


def test_a_row_can_be_left_out_renamed_and_made_something_else(
    opened: Open, three: Path, library: Library
) -> None:
    dialog = opened(three)
    table = dialog.table

    choose(dialog, 0, KIND, "subject")
    choose(dialog, 1, TWIN, "add beside it")
    table.setCurrentIndex(table.choices.index(2, NAME))
    QTest.keyClick(table, Qt.Key.Key_Space)
    table.choices.setData(table.choices.index(0, NAME), "Arch")
    dialog.take_in()

    assert [subject.name for subject in library.store.all(Subject)] == ["Arch"]
    assert {p.name for p in library.store.all(VantagePoint)} == {
        "Flat rock", "By the rock"
    }  # fmt: skip
    assert library.store.all(AccessRoute) == []


def test_another_kind_has_no_twin_of_the_old_one(opened: Open, three: Path) -> None:
    dialog = opened(three)

    choose(dialog, 1, KIND, "hazard")

    assert dialog.rows[1].kind is PlaceKind.HAZARD
    assert cell(dialog, 1, TWIN) == ""


def test_an_empty_name_and_nothing_ticked_keep_it_from_coming_in(
    opened: Open, three: Path, library: Library
) -> None:
    dialog = opened(three)
    model = dialog.table.choices

    model.setData(model.index(0, NAME), " ")

    assert dialog.faults.text() == "A vantage point needs a name."
    assert not dialog.take_button.isEnabled()
    dialog.take_in()
    assert library.undo_stack.count() == 0
    model.setData(model.index(0, NAME), "Ledge")
    dialog.none_button.click()
    assert not dialog.take_button.isEnabled()
    dialog.all_button.click()
    assert dialog.take_button.isEnabled()


def test_a_file_that_cannot_be_read_is_said_and_the_others_come_in(
    opened: Open, three: Path, tmp_path: Path, library: Library
) -> None:
    bad = tmp_path / "bad.gpx"
    bad.write_text(THREE.replace("49.701", "999"))

    dialog = opened(bad, three, tmp_path / "gone.kml")

    said = dialog.faults.text().split("\n")
    assert len(said) == 2
    assert "999 is no latitude" in said[0]
    assert "There is no file “gone.kml” there" in said[1]
    assert len(dialog.rows) == 3
    dialog.take_in()
    assert library.undo_stack.count() == 1


def test_a_file_of_nothing_usable_takes_in_nothing(
    opened: Open, tmp_path: Path, library: Library
) -> None:
    path = tmp_path / "a.json"
    path.write_text("{}")

    dialog = opened(path)

    assert "is no GeoJSON" in dialog.faults.text()
    assert not dialog.take_button.isEnabled()
    assert dialog.summary.text() == "Nothing to take in."


def test_an_export_of_another_library_makes_its_location(
    opened: Open, tmp_path: Path, library: Library
) -> None:
    library.remove("remove", ANVIL)
    path = tmp_path / "anvil.kml"
    path.write_bytes(place_bytes(whole_coast(), "kml"))

    dialog = opened(path, location_id=None)
    assert "the new location “Anvil Strand”" in dialog.summary.text()
    dialog.take_in()

    (location,) = library.store.locations()
    assert (location.name, location.zone) == (ANVIL.name, ANVIL.zone)
    assert len(library.store.all(Hazard)) == 3
    library.undo_stack.undo()
    assert library.store.locations() == []


def test_a_new_location_at_sea_asks_for_its_zone(
    opened: Open, tmp_path: Path, library: Library, qtbot: QtBot
) -> None:
    path = tmp_path / "sea.geojson"
    path.write_text(json.dumps({"type": "Point", "coordinates": [-30.0, 0.5]}))
    dialog = opened(path)

    dialog.into.setCurrentIndex(dialog.into.count() - 1)
    dialog.into.activated.emit(dialog.into.currentIndex())

    assert "time zone of the new location is not known" in dialog.faults.text()
    assert dialog.zone.isVisible()
    assert "Give the time zone first" in dialog.faults.text()
    qtbot.waitUntil(lambda: "the new location “sea”" in dialog.summary.text())
    assert [one.kind for one in dialog.rows] == [PlaceKind.VANTAGE_POINT]
    assert not dialog.take_button.isEnabled()
    dialog.table.choices.setData(dialog.table.choices.index(0, NAME), "Buoy")
    assert not dialog.take_button.isEnabled()

    line = dialog.zone.combo.lineEdit()
    assert line is not None
    line.setFocus()
    QTest.keyClicks(line, "Atlantic/Azores")
    completer = dialog.zone.combo.completer()
    assert completer is not None
    popup = completer.popup()
    assert popup is not None
    qtbot.waitUntil(popup.isVisible)
    QTest.keyClick(popup, Qt.Key.Key_Return)
    qtbot.waitUntil(dialog.take_button.isEnabled)
    dialog.take_in()
    (sea,) = (x for x in library.store.locations() if x.name == "sea")
    assert sea.zone == "Atlantic/Azores"
    assert "Buoy" in {point.name for point in library.store.all(VantagePoint)}


def test_photographs_without_a_zone_ask_for_it_before_they_come_in(
    opened: Open, tmp_path: Path, library: Library
) -> None:
    path = photo(tmp_path / "IMG_7.jpg", times={0x9003: TIMES[0x9003]})
    before = path.read_bytes()
    dialog = opened(path)
    model = dialog.table.choices

    assert model.data(model.index(0, NAME), Qt.ItemDataRole.DecorationRole) is not None
    assert "Say in which zone the photographs’ clock was" in dialog.faults.text()
    assert not dialog.take_button.isEnabled()
    dialog.photo_zone.setCurrentIndex(1)
    dialog.photo_zone.activated.emit(1)
    dialog.take_in()

    (point,) = (p for p in library.store.all(VantagePoint) if p.name == "IMG_7")
    assert "taken Saturday 15 August 2026 at 20:14 IST (UTC+1)" in point.notes
    assert path.read_bytes() == before


def test_the_map_is_shown_what_would_come_in_and_cleared_at_the_end(
    opened: Open, three: Path, qtbot: QtBot
) -> None:
    dialog = opened(three)

    with qtbot.waitSignal(dialog.previewed) as shown:
        dialog.table.choices.tick_all(True)
    labels = {f["properties"]["label"] for f in shown.args[0]["features"]}
    assert {"Low ledge", "Walked"} <= labels
    assert "Anvil Strand" not in labels
    with qtbot.waitSignal(dialog.previewed) as cleared:
        dialog.close()
    assert cleared.args[0]["features"] == []


def test_reading_can_be_stopped(
    library: Library, jobs: Jobs, qtbot: QtBot, tmp_path: Path
) -> None:
    long = tmp_path / "long.gpx"
    points = '<trkpt lat="49.6" lon="-8.4"></trkpt>' * 100_000
    long.write_text(THREE.replace("<trkseg>", f"<trkseg>{points}</trkseg><trkseg>", 1))
    dialog = ImportDialog(
        library,
        Preferences(Settings()),
        jobs,
        [long] * 20,
        location_id=None,
        now=lambda: NOW,
    )
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.progress.isVisible()

    dialog.cancel_button.click()
    jobs.stop()  # waits for what runs, which ends at its next word

    assert dialog.readings == ()
    assert not dialog.isVisible()
    assert library.store.all(Location) == [ANVIL]


def test_two_such_windows_do_not_disturb_each_other(
    opened: Open, three: Path, library: Library, jobs: Jobs, qtbot: QtBot
) -> None:
    one = ImportDialog(
        library,
        Preferences(Settings()),
        jobs,
        [three],
        location_id=ANVIL.id,
        now=lambda: NOW,
    )
    qtbot.addWidget(one)
    other = opened(three)

    qtbot.waitUntil(lambda: len(one.rows) == len(other.rows) == 3)


def test_what_changed_meanwhile_is_not_overwritten(
    opened: Open, three: Path, library: Library
) -> None:
    dialog = opened(three)
    library.remove("remove", ROCK)

    dialog.take_in()

    assert "changed elsewhere" in dialog.faults.text()
    assert dialog.isVisible()
    assert library.store.all(VantagePoint) == []


def test_the_table_keeps_the_rules_of_tables(
    opened: Open, three: Path, qtmodeltester: ModelTester
) -> None:
    qtmodeltester.check(opened(three).table.choices)  # type: ignore[no-untyped-call]
