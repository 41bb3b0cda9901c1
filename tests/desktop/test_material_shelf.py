"""Map material stays between sessions, and a damaged file costs nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.material_shelf import MaterialShelf, material_from_file
from fieldtrip.errors import UserError
from fieldtrip.material.records import Kind, Material
from tests.material.pictures import png, tile_file


def chart(name: str) -> Material:
    return Material(kind=Kind.PICTURES, name=name, source=f"/charts/{name}.mbtiles")


def test_order_switches_and_opacity_are_there_again(tmp_path: Path) -> None:
    file = tmp_path / "folder" / "material.json"
    shelf = MaterialShelf(file)
    a, b = shelf.add(chart("a")), shelf.add(chart("b"))
    shelf.change(a.id, opacity_percent=35, is_on=False)
    shelf.move(b.id, 1)

    again = MaterialShelf(file)

    assert again.stack == shelf.stack
    assert [each.name for each in again.stack] == ["a", "b", "Coastline"]
    assert (again.stack[0].opacity_percent, again.stack[0].is_on) == (35, False)


def test_the_demo_has_its_own_coast_and_keeps_nothing(tmp_path: Path) -> None:
    shelf = MaterialShelf(None)
    shelf.add(chart("a"))

    assert not shelf.stack[-1].is_on
    shelf.turn_to(tmp_path / "material.json")
    (coast,) = shelf.stack
    assert coast.kind is Kind.COAST
    assert coast.is_on
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"sheets": 1', '{"x": 1}', "\0", "[" * 100_000]
)
def test_a_damaged_file_is_put_aside(tmp_path: Path, text: str) -> None:
    file = tmp_path / "material.json"
    file.write_text(text)

    shelf = MaterialShelf(file)
    shelf.add(chart("a"))

    assert [each.kind for each in shelf.stack] == [Kind.PICTURES, Kind.COAST]
    assert (tmp_path / "material.damaged").read_text() == text
    assert MaterialShelf(file).stack == shelf.stack


def test_a_folder_that_cannot_be_written_costs_only_the_keeping(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")

    shelf = MaterialShelf(in_the_way / "material.json")
    shelf.add(chart("a"))

    assert len(shelf.stack) == 2


def test_a_file_is_laid_once_and_switched_on_again(tmp_path: Path) -> None:
    shelf = MaterialShelf(tmp_path / "material.json")
    first = shelf.add(chart("a"))
    shelf.change(first.id, is_on=False)

    again = shelf.add(chart("a"))

    assert again.id == first.id
    assert [each.is_on for each in shelf.stack] == [True, True]


def test_the_coastline_cannot_be_taken_away(qtbot: QtBot, tmp_path: Path) -> None:
    shelf = MaterialShelf(tmp_path / "material.json")
    (coast,) = shelf.stack

    with qtbot.assertNotEmitted(shelf.changed):
        shelf.remove(coast.id)

    assert shelf.stack == (coast,)


def test_a_file_is_known_by_what_is_in_it(tmp_path: Path) -> None:
    tiles = tile_file(tmp_path / "a.db", {(0, 0, 0): png(1, 2, 3)}, name="Survey")
    drawing = tmp_path / "reef.txt"
    drawing.write_text('\ufeff {"type": "FeatureCollection", "features": []}')

    assert material_from_file(tiles).kind is Kind.PICTURES
    assert material_from_file(tiles).name == "Survey"
    assert material_from_file(drawing).kind is Kind.DRAWING
    assert material_from_file(drawing).name == "reef"


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.mbtiles", b"<html>", "no file of map pictures"),
        ("a.gpx", b"<gpx/>", "neither"),
        ("a.geojson", b"", "neither"),
    ],
)
def test_other_files_are_refused_with_a_sentence(
    tmp_path: Path, name: str, data: bytes, words: str
) -> None:
    path = tmp_path / name
    path.write_bytes(data)

    with pytest.raises(UserError, match=words):
        material_from_file(path)
    with pytest.raises(UserError, match="cannot be opened"):
        material_from_file(tmp_path / "missing.geojson")
