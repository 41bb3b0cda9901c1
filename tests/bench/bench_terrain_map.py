"""The ground on the map: from the minute moved to its light and shade painted.

Run offscreen unless `QT_QPA_PLATFORM` says otherwise.  Every figure is a median.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.application import open_window
from fieldtrip.desktop.content.terrain_key import GroundLayer
from fieldtrip.desktop.content.terrain_pictures import (
    Ink,
    relief_picture,
    shade_picture,
    steep_picture,
)
from fieldtrip.desktop.content.terrain_scene import Around, make_scene
from fieldtrip.desktop.environment import prepare_environment
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.window import Window
from fieldtrip.files import own_folder
from fieldtrip.geo import Position
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.known_ground import KnownGround
from tests.bench.rows import Row, best_s

MIDDLE = Position(49.604, -8.4)
DAWN = datetime(2026, 11, 14, 8, 0, tzinfo=UTC)
MINUTES = 60
INK = Ink("#22303a", 0.4)
_PATIENCE_MS = 30_000


def run() -> list[Row]:
    """Milliseconds for one picture, and to what can be seen of a moved minute."""
    return [*_pictures(), *_frames()]


def _pictures() -> list[Row]:
    path = own_folder("resources") / "demo" / "terrain.tif"
    ground = KnownGround((ElevationSource(path, look_at(path)),))
    grid = make_scene(ground, Around(MIDDLE, 5_000.0)).grid
    assert grid is not None
    cells = f"{grid.shape[0]} x {grid.shape[1]} cells"
    makers: dict[str, Callable[[], object]] = {
        "light and shade": lambda: shade_picture(grid, 233.0, 4.6, INK),
        "hillshade": lambda: relief_picture(grid, INK, INK),
        "steepness": lambda: steep_picture(grid, INK),
    }
    return [
        Row(f"{name} as PNG, {cells}", 1000.0 * best_s(make), "ms")
        for name, make in makers.items()
    ]


def _frames() -> list[Row]:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    prepare_environment()
    register_scheme()
    app = QApplication.instance() or QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        window = open_window(
            Paths.below(Path(folder)), None, demo=True, now=lambda: DAWN
        )
        assert window is not None
        window.resize(1500, 940)
        window.show()
        try:
            rows = _measured(window)
        finally:
            window.close()
            app.processEvents()
    return rows


def _measured(window: Window) -> list[Row]:
    _wait(lambda: window.map.view is not None and not window.elevations.ground.is_empty)
    window.terrain.set_on(GroundLayer.LIT, True)
    view = window.map.view
    assert view is not None
    shown = GroundLayer.LIT.value
    _wait_for(window, shown)
    day = window.selection.day
    times = []
    for minute in range(MINUTES):
        start = perf_counter()
        window.selection.choose_time(day, DAWN + timedelta(minutes=minute + 10))
        _wait_for(window, shown)
        times.append(1000.0 * (perf_counter() - start))
    frames: list[int] = []
    view.overlays.painted.connect(lambda name, number: frames.append(number))
    start = perf_counter()
    for minute in range(MINUTES):  # as a hand drags: faster than it can be drawn
        window.selection.choose_time(day, DAWN + timedelta(minutes=minute + 90))
        _turn(5)
    dragged_s = perf_counter() - start
    return [
        Row("minute moved to light and shade painted", median(times), "ms"),
        Row("the same, slowest of 60", max(times), "ms"),
        Row("frames a second while dragged", len(frames) / dragged_s, "1/s"),
    ]


def _wait_for(window: Window, name: str) -> None:
    """Until a picture of a name is painted; pictures of the same Sun come but once."""
    view = window.map.view
    assert view is not None
    loop = QEventLoop()

    def end(painted: str, _number: int) -> None:
        if painted == name:
            loop.quit()

    view.overlays.painted.connect(end)
    QTimer.singleShot(_PATIENCE_MS, loop.quit)
    loop.exec()
    view.overlays.painted.disconnect(end)


def _wait(is_done: Callable[[], bool]) -> None:
    until = perf_counter() + _PATIENCE_MS / 1000.0
    while not is_done() and perf_counter() < until:
        _turn(20)


def _turn(milliseconds: int) -> None:
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()
