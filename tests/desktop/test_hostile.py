"""Whatever a person typed is shown as it was typed, and never run."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime
from enum import Enum
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import Window
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from fieldtrip.trips.records import Trip
from tests.store.stories import COAST

pytestmark = [pytest.mark.web, pytest.mark.slow]

HOSTILE = (
    "<img src=x onerror=\"document.title='run'\"></script>${document.title=1}<b>&amp;"
)
MARK = "<img src=x"
# Read by the program, and refused unless they are what they should be.
READ = {"zone", "unit", "overall", "severity", "constants"}
NOW = datetime(2026, 8, 15, 9, tzinfo=UTC)


def spoilt(record: Any) -> Any:
    """The record with every text in it replaced."""
    changed: dict[str, Any] = {}
    for f in fields(record):
        value = getattr(record, f.name)
        if isinstance(value, Enum) or f.name in READ:
            continue
        if isinstance(value, str):
            changed[f.name] = HOSTILE
        elif isinstance(value, tuple) and value and is_dataclass(value[0]):
            changed[f.name] = tuple(spoilt(item) for item in value)
    return replace(record, **changed)


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[Window]:
    store = Store.in_memory()
    store.apply(Change(None, spoilt(record)) for record in COAST)
    window = Window(
        store,
        Preferences(Settings(person=HOSTILE)),
        Paths.below(tmp_path),
        lambda: NOW,
    )
    with qtbot.waitSignal(window.map.ready, timeout=30_000):
        window.show()
    yield window
    window.close()
    window.deleteLater()


def check_widgets(window: Window) -> int:
    """How many labels hold the text; none of them may read it as markup."""
    found = 0
    for widget in window.findChildren(QWidget):
        assert MARK not in widget.toolTip(), widget
        assert MARK not in widget.statusTip(), widget
        if isinstance(widget, QLabel) and MARK in widget.text():
            found += 1
            assert widget.textFormat() is Qt.TextFormat.PlainText, widget.objectName()
        if isinstance(widget, QAbstractButton) and MARK in widget.text():
            found += 1  # a button shows plain text only
    return found


def test_markup_is_shown_literally_on_every_page(window: Window, qtbot: QtBot) -> None:
    (trip,) = window.library.store.trips()
    records = [r for r in COAST if hasattr(r, "location_id") or not hasattr(r, "id")]
    found = 0
    for record in [COAST[0], *records]:
        stored = window.library.get(type(record), record.id)
        if type(record) in window.card._forms or isinstance(record, Trip):
            window.selection.choose(stored, trip.location_id)
        for page in ("Notes", "Light", "Tide", "Checks"):
            window.card.turn_to(page)
            qtbot.wait(40)
            found += check_widgets(window)
    assert found > 20


def test_the_page_writes_it_and_runs_nothing(window: Window, qtbot: QtBot) -> None:
    view = window.map.view
    assert view is not None
    answers: list[Any] = []

    def ask(script: str) -> Any:
        answers.clear()
        view.run_js(script, answers.append)
        qtbot.waitUntil(lambda: bool(answers))
        return answers[0]

    qtbot.waitUntil(
        lambda: any(MARK in w for w in json.loads(ask("window.fieldtripWords()"))),
    )
    assert ask("document.title") not in ("run", "1")
    assert ask("document.querySelectorAll('img[src=x], script:not([src])').length") == 0


def test_a_step_with_an_ampersand_is_named_whole(window: Window) -> None:
    day = date(2026, 9, 1)
    (trip,) = window.library.store.trips()
    window.library.edit("rename “A & B”", trip, replace(trip, day=day))

    # In a menu, two ampersands show one.
    assert window.library.undo_stack.undoText() == "rename “A && B”"
