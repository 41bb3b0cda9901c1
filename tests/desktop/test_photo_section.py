"""The reference photograph on a vantage point's card."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QUrl
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.photographs import read_photograph
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.photo_section import PhotoSection
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from tests.exchange.photos import photo

HERE = Position(49.6, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
ROCK = VantagePoint(location_id=BAY.id, name="Rock", position=HERE)
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=HERE)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, ROCK, HEAD)
    return library


@pytest.fixture
def selection(qtbot: QtBot) -> Selection:
    selection = Selection(date(2026, 11, 14), datetime(2026, 11, 14, 9, tzinfo=UTC))
    selection.choose(ROCK, BAY.id)
    return selection


@pytest.fixture
def section(
    qtbot: QtBot, library: Library, selection: Selection
) -> Iterator[PhotoSection]:
    jobs = Jobs()
    section = PhotoSection(library, selection, Preferences(Settings()), jobs)
    qtbot.addWidget(section)
    section.show()
    yield section
    jobs.stop()


def kept(library: Library) -> list[Photograph]:
    return library.store.all(Photograph)


def dragged(*paths: Path) -> QMimeData:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return mime


def test_a_picture_is_kept_shown_and_undone(
    qtbot: QtBot, section: PhotoSection, library: Library, tmp_path: Path
) -> None:
    section.add_file(photo(tmp_path / "At low water.jpg"))
    qtbot.waitUntil(lambda: len(kept(library)) == 1)

    assert section.caption.text() == "At low water"
    assert not section.picture.pixmap().isNull()
    # The picture says 20:14 at an hour ahead of UTC; so is Dublin in August.
    assert "Taken 15 August 2026 20:14 IST" in section.words.text()

    library.undo_stack.undo()

    assert kept(library) == []
    assert section.picture.isHidden()
    assert "None is kept" in section.words.text()


def test_another_takes_its_place_in_one_step(
    qtbot: QtBot, section: PhotoSection, library: Library, tmp_path: Path
) -> None:
    section.add_file(photo(tmp_path / "first.jpg"))
    qtbot.waitUntil(lambda: len(kept(library)) == 1)
    first = kept(library)
    section.add_file(photo(tmp_path / "second.png"))
    qtbot.waitUntil(lambda: [each.caption for each in kept(library)] == ["second"])

    library.undo_stack.undo()

    assert kept(library) == first


def test_a_caption_can_be_written_and_the_picture_removed(
    qtbot: QtBot, section: PhotoSection, library: Library, tmp_path: Path
) -> None:
    section.add_file(photo(tmp_path / "first.jpg"))
    qtbot.waitUntil(lambda: len(kept(library)) == 1)
    before = kept(library)[0]
    section.caption.setText("Feet of the tripod in the notch")
    section.finish()

    assert kept(library) == [replace(before, caption="Feet of the tripod in the notch")]

    section.remove.click()

    assert kept(library) == []


def test_it_goes_with_its_vantage_point_and_comes_back(
    qtbot: QtBot, section: PhotoSection, library: Library, tmp_path: Path
) -> None:
    section.add_file(photo(tmp_path / "first.jpg"))
    qtbot.waitUntil(lambda: len(kept(library)) == 1)
    before = kept(library)

    library.remove("remove vantage point", ROCK)
    assert kept(library) == []
    library.undo_stack.undo()

    assert kept(library) == before


@pytest.mark.parametrize(
    ("name", "data"),
    [("words.jpg", b"no picture"), ("cut.jpg", b"\xff\xd8\xff"), ("empty.png", b"")],
)
def test_a_bad_file_gets_one_sentence_and_changes_nothing(
    qtbot: QtBot,
    section: PhotoSection,
    library: Library,
    tmp_path: Path,
    name: str,
    data: bytes,
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    section.add_file(path)
    qtbot.waitUntil(lambda: not section.fault.isHidden())

    assert name in section.fault.text()
    assert kept(library) == []
    assert "None is kept" in section.words.text()


def test_it_stays_with_the_spot_for_which_it_was_chosen(
    qtbot: QtBot,
    section: PhotoSection,
    library: Library,
    selection: Selection,
    tmp_path: Path,
) -> None:
    section.add_file(photo(tmp_path / "first.jpg"))
    selection.choose(HEAD, BAY.id)
    qtbot.waitUntil(lambda: len(kept(library)) == 1)

    assert kept(library)[0].vantage_point_id == ROCK.id
    assert section.picture.isHidden()


@pytest.mark.qt_log_ignore("JPEG data", extend=True)  # Qt says so itself
def test_a_damaged_one_in_the_library_is_said_to_be_so(
    section: PhotoSection, library: Library
) -> None:
    library.add(
        "add photograph",
        Photograph(
            location_id=BAY.id,
            vantage_point_id=ROCK.id,
            caption="Half of it",
            jpeg=b"\xff\xd8\xff\xe0 no more came",
        ),
    )

    assert "damaged" in section.picture.text()
    assert section.caption.text() == "Half of it"


def test_only_one_picture_is_taken_from_a_drop(
    section: PhotoSection, selection: Selection, tmp_path: Path
) -> None:
    one, two, way = (tmp_path / name for name in ("one.JPG", "two.png", "way.gpx"))

    assert section.takes(dragged(one))
    assert not section.takes(dragged(one, two))
    assert not section.takes(dragged(way))
    selection.choose(BAY, BAY.id)
    assert not section.takes(dragged(one))


def test_a_clock_without_a_zone_is_no_instant_but_stands_in_the_caption(
    tmp_path: Path,
) -> None:
    path = photo(tmp_path / "dusk.jpg", times={0x9003: "2026:05:03 20:14:05"})

    found = read_photograph(path, ROCK)

    assert found.taken is None
    assert found.caption == "dusk, camera's clock 03 May 2026 20:14"
    assert found.faults() == []


def test_a_small_copy_says_neither_place_nor_camera(tmp_path: Path) -> None:
    found = read_photograph(photo(tmp_path / "a.jpg", size=(3000, 2000)), ROCK)

    assert found.faults() == []
    assert b"Exif" not in found.jpeg


def test_a_file_that_is_gone_raises(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="no file"):
        read_photograph(tmp_path / "gone.jpg", ROCK)
