"""The map page in the real web engine, and ways to ask it what it shows."""

from __future__ import annotations

import json
import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.geo import Position
from tests.desktop.map.features import HOME, Ask, Pixel, Words


@pytest.fixture
def view(qtbot: QtBot, tmp_path: Path) -> MapView:
    """A shown map that looks at HOME."""
    view = MapView(tmp_path / "cache")
    qtbot.addWidget(view)
    view.resize(800, 600)
    view.look_at(HOME, 15.0)
    with qtbot.waitSignal(view.ready):
        view.show()
    view.setFocus()
    return view


@pytest.fixture
def ask(qtbot: QtBot, view: MapView) -> Ask:
    """The value of a JavaScript expression in the page."""

    def ask(expression: str) -> Any:
        with qtbot.waitCallback() as answered:
            view.run_js(f"JSON.stringify({expression})", answered)
        assert answered.args is not None
        text = answered.args[0]
        return json.loads(text) if text else None

    return ask


@pytest.fixture
def words(ask: Ask) -> Words:
    """The texts that can be read on the map, each in one line."""

    def words() -> list[str]:
        shown: list[str] = json.loads(ask("fieldtripWords()"))
        return [" | ".join(text.split("\n")) for text in shown]

    return words


@pytest.fixture
def pixel(ask: Ask) -> Pixel:
    """The point of the view under which a position lies."""

    def pixel(position: Position) -> QPoint:
        place = f"[{position.lat_deg}, {position.lon_deg}]"
        point = ask(f"fieldtripMap.latLngToContainerPoint({place})")
        return QPoint(round(point["x"]), round(point["y"]))

    return pixel


@pytest.fixture
def surface(view: MapView) -> QWidget:
    """The widget that takes mouse and keyboard for the page."""
    surface = view.focusProxy()
    assert surface is not None
    return surface


@pytest.fixture(autouse=True)
def no_warnings(
    request: pytest.FixtureRequest, caplog: pytest.LogCaptureFixture
) -> Iterator[None]:
    """Fail on a blocked request or anything the page's console has to complain of."""
    yield
    if request.node.get_closest_marker("logs_errors"):
        return
    for phase in ("setup", "call"):
        for record in caplog.get_records(phase):
            if record.levelno >= logging.WARNING:
                pytest.fail(f"logged: {record.getMessage()}")
