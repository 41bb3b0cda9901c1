"""Files dropped on the window or named in the menu, in and out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.import_files import ImportDialog
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import Window
from fieldtrip.exchange.files_in import read_file
from fieldtrip.exchange.found import Source
from fieldtrip.exchange.outgoing import place_bytes
from fieldtrip.places.photographs import Photograph
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from tests.exchange.photos import photo
from tests.exchange.story import ANVIL, ROCK, whole_coast

pytestmark = [pytest.mark.web, pytest.mark.slow]

NOW = datetime(2026, 11, 14, 12, tzinfo=UTC)


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[Window]:
    store = Store.in_memory()
    store.apply([Change(None, ANVIL), Change(None, ROCK)])
    window = Window(
        store, Preferences(Settings()), Paths.below(tmp_path / "own"), lambda: NOW
    )
    with qtbot.waitSignal(window.map.ready, timeout=30_000):
        window.show()
    yield window
    window.close()
    window.deleteLater()


def verb(window: Window, text: str) -> None:
    for action in window.findChildren(QAction):
        if action.text().replace("&", "") == text:
            action.trigger()
            return
    raise AssertionError(f"no verb {text}")


def drop(window: QWidget, *urls: QUrl) -> bool:
    """Drag onto the window or a part of it and let go; whether it would take them."""
    mime = QMimeData()
    mime.setUrls(list(urls))
    actions, button = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(400, 300), actions, mime, button, none)
    enter.ignore()
    QApplication.sendEvent(window, enter)
    if not enter.isAccepted():
        return False
    let_go = QDropEvent(QPointF(400, 300), actions, mime, button, none)
    QApplication.sendEvent(window, let_go)
    return True


def test_files_dropped_on_the_window_are_shown_on_the_map_and_come_in(
    window: Window, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "anvil.gpx"
    path.write_bytes(place_bytes(whole_coast(), "gpx"))
    view = window.map.view
    assert view is not None
    assert not view.acceptDrops()

    assert drop(window, QUrl.fromLocalFile(str(path)))

    (dialog,) = window.findChildren(ImportDialog)
    with qtbot.waitSignal(view.painted, check_params_cb=lambda name: name == "import"):
        qtbot.waitUntil(lambda: bool(dialog.rows))
    dialog.take_in()
    dossier = window.library.dossier(ANVIL.id)
    assert dossier is not None
    assert [hazard.name for hazard in dossier.hazards] == ["Mud", "North edge", "Weed"]
    assert dossier.vantage_points == (ROCK,)
    assert "new, nothing changed" in window.statusBar().currentMessage()
    assert window.library.undo_stack.count() == 1


def test_a_picture_dropped_on_a_vantage_point_s_card_is_kept_with_it(
    window: Window, tmp_path: Path, qtbot: QtBot
) -> None:
    picture = photo(tmp_path / "low water.jpg")
    window.selection.choose(ROCK, ANVIL.id)
    qtbot.waitUntil(window.photo_section.isVisible)

    assert drop(window.card, QUrl.fromLocalFile(str(picture)))
    qtbot.waitUntil(lambda: bool(window.library.store.all(Photograph)))

    (kept,) = window.library.store.all(Photograph)
    assert kept.vantage_point_id == ROCK.id
    assert window.findChildren(ImportDialog) == []


def test_what_is_no_file_of_this_computer_is_not_taken(window: Window) -> None:
    assert not drop(window, QUrl("https://localhost:1/a.gpx"))
    assert not drop(window)


def test_the_chosen_location_goes_out_in_the_format_of_the_name(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: list[str] = []

    def named(_parent: object, _title: str, name: str, _filter: str) -> tuple[str, str]:
        offered.append(name)
        return str(tmp_path / "out.geojson"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", named)
    verb(window, "Export…")

    found = read_file(tmp_path / "out.geojson")
    assert offered == ["anvil-strand.gpx"]
    assert found.source is Source.GEOJSON
    assert [place.name for place in found.places] == [ANVIL.name, ROCK.name]
    assert "was written to" in window.statusBar().currentMessage()


def test_without_a_location_there_is_nothing_to_write(window: Window) -> None:
    window.selection.choose(None, None)

    verb(window, "Export…")

    assert "Choose a location" in window.statusBar().currentMessage()
