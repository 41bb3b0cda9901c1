"""Elevation files are added, looked at, found again, copied, and undone."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.elevation import elevation_row, size_m
from fieldtrip.desktop.dialogs.elevation import ElevationDialog
from fieldtrip.desktop.elevation_adding import carried_along, copied, taken_in
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import Cancelled, UserError
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.store.store import Change, Store
from fieldtrip.terrain.elevation_files import is_elevation_file, look_at
from fieldtrip.terrain.records import ElevationFile, Keeping, whereabouts
from tests.terrain.elevation_story import (
    HERE,
    degrees_grid,
    hand_made_tif,
    write_hgt,
    write_tif,
)

Button = Qt.MouseButton.LeftButton


class Desk:
    """A library on disk with its elevations, and the window of them."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "coast.fieldtrip"
        self.jobs = Jobs()
        self.library = Library(Store.open(self.path))
        self.elevations = Elevations(self.library, self.jobs)
        self.dialog = ElevationDialog(self.elevations, Preferences(Settings()))

    def files(self) -> list[ElevationFile]:
        """What the library has."""
        return self.library.store.all(ElevationFile)

    def is_known(self, count: int) -> bool:
        """Whether so many files were looked at and are used."""
        return len(self.elevations.ground.sources) == count


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Desk]:
    folder = tmp_path / "libraries"
    folder.mkdir()
    desk = Desk(folder)
    qtbot.addWidget(desk.dialog)
    desk.dialog.show()
    yield desk
    desk.jobs.stop()
    desk.library.store.close()


@pytest.fixture
def tile(tmp_path: Path) -> Path:
    return write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)


@pytest.fixture
def bay(tmp_path: Path) -> Path:
    heights = degrees_grid(100, 100).astype(np.float32)
    return write_tif(tmp_path / "bay_dtm.tif", heights)


def test_files_are_added_as_one_step_and_taken_back(
    desk: Desk, qtbot: QtBot, tile: Path, bay: Path, tmp_path: Path
) -> None:
    text = tmp_path / "notes.tif"
    text.write_text("no heights", "utf-8")

    desk.dialog.add_files([tile, text, bay])
    qtbot.waitUntil(lambda: desk.is_known(2))

    assert {file.path for file in desk.files()} == {str(tile), str(bay)}
    assert desk.dialog.list.count() == 2
    assert desk.dialog.told.text() == (
        "2 elevation files added.\n“notes.tif” is no file of heights: those are HGT "
        "tiles and GeoTIFF."
    )
    grid = desk.elevations.grid_for(HERE, 1000.0)
    assert grid is not None
    assert grid.height_m(HERE) is not None
    before = desk.elevations.fingerprint()
    desk.library.undo_stack.undo()
    qtbot.waitUntil(lambda: desk.is_known(0))
    assert desk.files() == []
    assert desk.elevations.fingerprint() != before
    assert tile.exists()
    desk.library.undo_stack.redo()
    qtbot.waitUntil(lambda: desk.is_known(2))
    assert desk.elevations.fingerprint() == before


def test_the_same_file_is_not_added_twice(desk: Desk, qtbot: QtBot, tile: Path) -> None:
    desk.dialog.add_files([tile])
    desk.dialog.add_files([tile])

    qtbot.waitUntil(lambda: "already" in desk.dialog.told.text())

    assert len(desk.files()) == 1
    assert not desk.dialog.progress.isVisible()


def test_a_copy_lies_in_the_library_s_folder_and_moves_with_it(
    desk: Desk, qtbot: QtBot, bay: Path, tmp_path: Path
) -> None:
    desk.dialog.copy_box.setChecked(True)
    desk.dialog.add_files([bay])
    qtbot.waitUntil(lambda: desk.is_known(1))

    (file,) = desk.files()
    assert file.keeping is Keeping.COPIED
    assert file.path == "coast elevation/bay_dtm.tif"
    assert whereabouts(file, desk.path).read_bytes() == bay.read_bytes()
    moved = tmp_path / "elsewhere"
    shutil.copytree(desk.path.parent, moved)
    assert whereabouts(file, moved / "coast.fieldtrip").is_file()
    other = tmp_path / "other" / "second.fieldtrip"
    other.parent.mkdir()
    assert carried_along([file], desk.path, other) == 1
    assert whereabouts(file, other).read_bytes() == bay.read_bytes()


def test_a_file_of_the_same_name_is_not_overwritten(tmp_path: Path, bay: Path) -> None:
    library = tmp_path / "coast.fieldtrip"
    first = copied(bay, library)
    before = (tmp_path / first).read_bytes()
    bay.write_bytes(b"something else")

    second = copied(bay, library)

    assert second == "coast elevation/bay_dtm 2.tif"
    assert (tmp_path / first).read_bytes() == before


def test_a_copy_that_is_given_up_leaves_nothing(tmp_path: Path, bay: Path) -> None:
    library = tmp_path / "coast.fieldtrip"

    def stop(fraction: float) -> None:
        if fraction > 0.0:
            raise Cancelled

    with pytest.raises(Cancelled):
        taken_in([bay], library, [], is_copied=True, progress=stop)

    assert list((tmp_path / "coast elevation").iterdir()) == []


def test_a_library_without_a_folder_takes_no_copies(bay: Path) -> None:
    found = taken_in([bay], None, [], is_copied=True)

    assert found.records == ()
    assert len(found.refusals) == 1


def test_adding_can_be_given_up(desk: Desk, qtbot: QtBot, bay: Path) -> None:
    desk.dialog.add_files([bay])
    QTest.mouseClick(desk.dialog.cancel_button, Button)

    assert not desk.elevations.is_adding
    assert desk.dialog.progress.isHidden()
    desk.dialog.add_files([bay])
    qtbot.waitUntil(lambda: desk.is_known(1))
    assert len(desk.files()) == 1


def test_what_is_said_of_a_file_is_kept_and_undone(
    desk: Desk, qtbot: QtBot, tile: Path
) -> None:
    desk.dialog.add_files([tile])
    qtbot.waitUntil(lambda: desk.is_known(1))
    dialog = desk.dialog

    dialog.surface.setCurrentIndex(2)
    dialog.surface.activated.emit(2)
    dialog.sea.click()
    dialog.name.selectAll()
    QTest.keyClicks(dialog.name, "North bay")
    QTest.keyClick(dialog.name, Qt.Key.Key_Return)

    (file,) = desk.files()
    assert (file.is_surface, file.leaves_sea_out) == (True, True)
    assert file.name == "North bay"
    assert dialog.list.item(0).text().startswith("North bay\n")
    qtbot.waitUntil(lambda: desk.elevations.ground.sources[0].leaves_sea_out)
    for _ in range(3):
        desk.library.undo_stack.undo()
    (file,) = desk.files()
    assert (file.name, file.is_surface, file.leaves_sea_out) == (
        "N49W009", None, False,
    )  # fmt: skip
    assert dialog.name.text() == "N49W009"


def test_a_file_that_went_is_told_and_can_be_found_again(
    desk: Desk, qtbot: QtBot, bay: Path, tmp_path: Path
) -> None:
    desk.dialog.add_files([bay])
    qtbot.waitUntil(lambda: desk.is_known(1))
    away = tmp_path / "drive"
    away.mkdir()
    bay.rename(away / "bay.tif")

    QTest.mouseClick(desk.dialog.again_button, Button)
    qtbot.waitUntil(lambda: desk.is_known(0))

    assert "Not used" in desk.dialog.list.item(0).text()
    desk.dialog.relocate(away / "bay.tif")
    qtbot.waitUntil(lambda: desk.is_known(1))
    (file,) = desk.files()
    assert file.path == str(away / "bay.tif")
    nothing = tmp_path / "nothing.tif"
    desk.dialog.relocate(nothing)
    qtbot.waitUntil(lambda: "nothing.tif" in desk.dialog.told.text())
    assert desk.files() == [file]


def test_a_file_carried_beside_the_library_is_found_there(
    tmp_path: Path, bay: Path
) -> None:
    library = tmp_path / "stick" / "coast.fieldtrip"
    library.parent.mkdir()
    for path in ("/once/here/bay_dtm.tif", "C:\\once\\here\\bay_dtm.tif"):
        file = ElevationFile(name="Bay", path=path)

        assert whereabouts(file, library) == Path(path)
        shutil.copy(bay, library.parent)
        assert whereabouts(file, library) == library.parent / "bay_dtm.tif"
        (library.parent / "bay_dtm.tif").unlink()


def test_delete_removes_the_line_and_leaves_the_file(
    desk: Desk, qtbot: QtBot, bay: Path
) -> None:
    desk.dialog.add_files([bay])
    qtbot.waitUntil(lambda: desk.is_known(1))
    desk.dialog.list.setFocus()

    QTest.mouseClick(desk.dialog.remove_button, Button)

    assert desk.files() == []
    assert desk.dialog.list.count() == 0
    assert desk.dialog.nothing.isVisible()
    assert bay.exists()


def test_a_path_cannot_lead_out_of_the_library_s_folder(store: Store) -> None:
    good = ElevationFile(name="A", path="x elevation/a.tif", keeping=Keeping.COPIED)
    store.apply([Change(None, good)])

    for path in ("../a.tif", "/etc/a.tif", "x/../../a.tif", "C:\\a.tif", " "):
        for keeping in (Keeping.COPIED, Keeping.BUNDLED):
            with pytest.raises(UserError):
                store.apply([Change(good, replace(good, path=path, keeping=keeping))])


def test_a_dropped_tiff_is_told_from_a_photograph(tmp_path: Path, bay: Path) -> None:
    cells = np.zeros((20, 20), np.int16)
    made = hand_made_tif(tmp_path / "m.tiff", cells, is_point=True, first=HERE)
    big = write_tif(tmp_path / "b.tif", cells, BIGTIFF="YES")
    other_order = write_tif(tmp_path / "o.tif", cells, ENDIANNESS="BIG")
    photo = tmp_path / "photo.tif"
    photo.write_bytes(b"II*\0\x08\0\0\0\0\0\0\0\0\0")
    empty = tmp_path / "empty.tif"
    empty.write_bytes(b"")
    odd = tmp_path / "odd.tif"
    odd.write_bytes(b"MM\0*\xff\xff\xff\xff")

    said = [
        is_elevation_file(path)
        for path in (bay, made, big, other_order, photo, empty, odd, tmp_path / "x.gpx")
    ]

    assert said == [True, True, True, True, False, False, False, False]


def test_a_line_says_how_fine_and_large_a_file_is(bay: Path) -> None:
    facts = look_at(bay)
    file = ElevationFile(name="Bay", path=str(bay), is_surface=False)

    row = elevation_row(file, facts, "", Settings())
    feet = elevation_row(file, facts, "", Settings(length_unit=LengthUnit.FOOT))
    bad = elevation_row(file, None, "It is gone.", Settings())

    assert row.note == (
        "A height every 60 m; 6.0 km by 9.3 km; WGS 84, latitude and longitude; stays "
        "where it lies; bare ground"
    )
    assert "every 200 ft" in feet.note
    assert "3.7 mi by 5.8 mi" in feet.note
    assert bad.trouble == "Not used: It is gone."
    assert size_m(facts)[0] == pytest.approx(9267.0, rel=2e-3)


def test_another_library_has_its_own_files(desk: Desk, qtbot: QtBot, bay: Path) -> None:
    desk.dialog.add_files([bay])
    qtbot.waitUntil(lambda: desk.is_known(1))

    desk.library.replace_store(Store.in_memory())
    qtbot.waitUntil(lambda: desk.is_known(0))

    assert desk.dialog.list.count() == 0
    assert desk.elevations.grid_for(HERE, 1000.0) is None


def test_a_file_that_was_not_touched_is_read_once(
    desk: Desk, qtbot: QtBot, tile: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk.dialog.add_files([tile])
    qtbot.waitUntil(lambda: desk.is_known(1))
    before = desk.elevations.ground

    def refuse(*_: object) -> None:
        raise UserError("It was read again.")

    monkeypatch.setattr("fieldtrip.desktop.elevations.look_at", refuse)
    (file,) = desk.files()
    desk.elevations.change(file, leaves_sea_out=True)
    qtbot.waitUntil(lambda: desk.elevations.ground is not before)

    (state,) = desk.elevations.states
    assert state.trouble == ""
    os.utime(tile, (5, 5))
    desk.elevations.look_again()
    qtbot.waitUntil(lambda: desk.is_known(0))
    assert desk.elevations.states[0].trouble == "It was read again."


def test_files_can_be_dropped_on_the_window_of_elevation_files(
    desk: Desk, qtbot: QtBot, bay: Path
) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(bay))])
    event = QDropEvent(
        QPointF(10.0, 10.0),
        Qt.DropAction.CopyAction,
        mime,
        Button,
        Qt.KeyboardModifier.NoModifier,
    )

    desk.dialog.dropEvent(event)
    qtbot.waitUntil(lambda: desk.is_known(1))

    assert [file.path for file in desk.files()] == [str(bay)]
