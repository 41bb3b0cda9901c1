"""The window of map material, by keyboard and by mouse."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.material import MaterialDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.map_ground import MapGround
from fieldtrip.desktop.material_shelf import MaterialShelf
from fieldtrip.material.records import Kind, Material
from tests.material.pictures import png, tile_file

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def shelf(tmp_path: Path) -> MaterialShelf:
    shelf = MaterialShelf(tmp_path / "material.json")
    for name in ("Lower", "Upper"):
        path = str(tmp_path / f"{name}.mbtiles")
        shelf.add(Material(kind=Kind.PICTURES, name=name, source=path))
    return shelf


@pytest.fixture
def dialog(
    qtbot: QtBot, shelf: MaterialShelf, tmp_path: Path
) -> Iterator[MaterialDialog]:
    jobs = Jobs()
    dialog = MaterialDialog(shelf, MapGround(shelf, jobs, tmp_path / "cache"))
    qtbot.addWidget(dialog)
    dialog.show()
    yield dialog
    jobs.stop()


def names(shelf: MaterialShelf) -> list[str]:
    return [each.name for each in shelf.stack]


def test_sheets_are_chosen_switched_and_moved_by_keys(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    assert names(shelf) == ["Upper", "Lower", "Coastline"]

    QTest.keyClick(dialog.list, Key.Key_Down)
    QTest.keyClick(dialog.list, Key.Key_Space)
    assert [each.is_on for each in shelf.stack] == [True, False, True]
    QTest.keyClick(dialog.list, Key.Key_Up, ALT)
    assert names(shelf) == ["Lower", "Upper", "Coastline"]
    assert dialog.chosen is not None
    assert dialog.chosen.name == "Lower"
    QTest.keyClick(dialog.list, Key.Key_Down, ALT)
    QTest.keyClick(dialog.list, Key.Key_Down, ALT)
    assert names(shelf) == ["Upper", "Coastline", "Lower"]


def test_the_slider_sets_how_strong_a_sheet_is(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    dialog.opacity.setFocus()

    for _ in range(3):
        QTest.keyClick(dialog.opacity, Key.Key_Left)

    assert [each.opacity_percent for each in shelf.stack] == [85, 100, 100]
    assert dialog.percent.text() == "85 %"
    QTest.keyClick(dialog.list, Key.Key_Down)
    assert dialog.opacity.value() == 100


def test_a_sheet_is_taken_away_but_never_the_coastline(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    QTest.keyClick(dialog.list, Key.Key_Delete)
    assert names(shelf) == ["Lower", "Coastline"]

    QTest.keyClick(dialog.list, Key.Key_End)
    QTest.keyClick(dialog.list, Key.Key_Delete)

    assert names(shelf) == ["Lower", "Coastline"]
    assert not dialog.remove_button.isEnabled()


def test_a_new_server_is_off_until_it_is_switched_on(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    QTest.mouseClick(dialog.server_button, Qt.MouseButton.LeftButton)
    dialog.address.setText(" https://tiles.example/{z}/{x}/{y} ")
    dialog.credit.setText("© Them")
    dialog.finest.setText("17")
    dialog.list.setFocus()

    server = shelf.stack[0]
    assert server.kind is Kind.SERVER
    assert not server.is_on
    assert server.source == "https://tiles.example/{z}/{x}/{y}"
    assert (server.name, server.credit) == ("tiles.example", "© Them")
    assert server.finest_zoom == 17
    dialog.finest.setText("")
    dialog.list.setCurrentRow(1)
    assert shelf.stack[0] == server


def test_what_is_typed_for_a_server_never_lands_in_another_sheet(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    before = shelf.stack
    dialog.add_server()
    dialog.address.setText("https://tiles.example/{z}/{x}/{y}")

    dialog.list.setCurrentRow(2)  # without leaving the field first
    dialog.list.setCurrentRow(0)

    assert shelf.stack[1:] == before
    assert shelf.stack[0].source == "https://tiles.example/{z}/{x}/{y}"
    assert dialog.address.text() == "https://tiles.example/{z}/{x}/{y}"
    dialog.add_server()
    assert dialog.address.text() == ""
    assert len(shelf.stack) == 5


def test_files_are_laid_on_top_and_others_refused_with_sentences(
    dialog: MaterialDialog, shelf: MaterialShelf, tmp_path: Path
) -> None:
    good = tile_file(tmp_path / "c.mbtiles", {(0, 0, 0): png(1, 2, 3)}, name="Survey")
    bad = tmp_path / "d.mbtiles"
    bad.write_bytes(b"no")
    drawing = tmp_path / "e.geojson"
    drawing.write_text(json.dumps({"type": "FeatureCollection", "features": []}))

    dialog.add_files([good, bad, drawing])

    assert names(shelf)[:2] == ["e", "Survey"]
    assert dialog.refusal.text() == (
        "“d.mbtiles” is no file of map pictures (MBTiles)."
    )


def test_a_hostile_name_is_shown_as_it_is(
    dialog: MaterialDialog, shelf: MaterialShelf
) -> None:
    shelf.add(Material(kind=Kind.DRAWING, name="<b>reef</b>", source="/<i>a"))

    line = dialog.list.item(0)
    assert line.text() == "<b>reef</b>\ndrawing: /<i>a"
