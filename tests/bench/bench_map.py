"""The map: from the minute moved to its rays painted, and from start to a usable map.

Run offscreen unless `QT_QPA_PLATFORM` says otherwise.  Every figure is a median.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter, time

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from fieldtrip.demo import make_demo
from fieldtrip.desktop.content.map_features import moon_features, sun_features
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.paths import Paths
from fieldtrip.files import own_folder
from fieldtrip.geo import Position
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import day_events
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from tests.bench.rows import Row

PLACE, ZONE = Position(49.6047, -8.3836), "Europe/Dublin"
DAY = date(2026, 11, 14)
MINUTES = 120
RELOADS = 7
STARTS = 5
_PATIENCE_MS = 30_000


def run() -> list[Row]:
    """Milliseconds from a change to what can be seen of it."""
    # Both processes that are compared get the same.
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ.setdefault("QTWEBENGINE_CHROMIUM_FLAGS", "--disable-gpu --log-level=3")
    os.environ.setdefault("QT_LOGGING_RULES", "qt.webengine*=false;qt.qpa.*=false")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        os.environ.setdefault("QTWEBENGINE_DISABLE_SANDBOX", "1")
    return [*_minutes(), *_starts()]


# The minute


def _minutes() -> list[Row]:
    register_scheme()
    app = QApplication.instance() or QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        view = MapView(Path(folder))
        view.resize(1000, 700)
        view.look_at(PLACE, 14.0)
        outline = own_folder("resources") / "demo" / "coast.geojson"
        view.show_layer("outline", json.loads(outline.read_text("utf-8")))
        _wait(view, "outline", view.show)
        moved_ms = [_ms(view, partial(_show, view, i)) for i in range(MINUTES)]
        anew_ms = [_ms(view, view.reload) for _ in range(RELOADS)]
        features_ms = [_python_ms(i) for i in range(MINUTES)]
        view.close()
        app.processEvents()
    return [
        Row(
            "minute moved, Sun and Moon painted", median(moved_ms), "ms",
            "the page loaded anew", median(anew_ms),
        ),
        Row("of which Python: two positions, all rays", median(features_ms), "ms"),
    ]  # fmt: skip


def _show(view: MapView, minute: int) -> None:
    for name, features in _features(minute).items():
        view.show_layer(name, features)


def _features(minute: int) -> dict[str, dict[str, object]]:
    site = Site(PLACE, 6.0)
    instant = datetime(2026, 11, 14, 15, 0, tzinfo=UTC) + timedelta(minutes=minute)
    events = day_events(site, DAY, ZONE)
    sun = sky_position(Body.SUN, site, instant)
    moon = sky_position(Body.MOON, site, instant)
    return {
        "moon": moon_features(
            PLACE, events=events, instant=instant, moon=moon, zone=ZONE,
            settings=Settings(),
        ),
        "sun": sun_features(
            PLACE, events=events, instant=instant, sun=sun, zone=ZONE,
            settings=Settings(),
        ),
    }  # fmt: skip


def _python_ms(minute: int) -> float:
    start = perf_counter()
    _features(minute)
    return 1000.0 * (perf_counter() - start)


def _ms(view: MapView, act: Callable[[], None]) -> float:
    start = perf_counter()
    _wait(view, "sun", act)  # of the two the one that is sent last
    return 1000.0 * (perf_counter() - start)


def _wait(view: MapView, layer: str, act: Callable[[], None]) -> None:
    loop = QEventLoop()

    def hear(name: str) -> None:
        if name == layer:
            loop.quit()

    view.painted.connect(hear)
    late = QTimer()
    late.setSingleShot(True)
    late.timeout.connect(lambda: loop.exit(1))
    late.start(_PATIENCE_MS)
    act()
    code = loop.exec()
    view.painted.disconnect(hear)
    if code:
        raise TimeoutError("the map painted nothing")


# The start


def _starts() -> list[Row]:
    with tempfile.TemporaryDirectory() as folder:
        library = Paths.below(Path(folder)).usual_library
        library.parent.mkdir(parents=True)
        make_demo(library, datetime.now(UTC).date())
        first = _start("window", folder)  # folium writes the page, and it is kept
        ours = [_start("window", folder) for _ in range(STARTS)]
        bare = [_start("bare", folder) for _ in range(STARTS)]
    peer = "a bare web view that says hello"
    seen, usable = (median(times[i] for times in ours) for i in (0, 1))
    bare_seen, bare_usable = (median(times[i] for times in bare) for i in (0, 1))
    return [
        Row("start on the demo's library, window visible", seen, "ms", peer, bare_seen),
        Row("start on it, map painted", usable, "ms", peer, bare_usable),
        Row("the same, first time after an update", first[1], "ms", peer, bare_usable),
    ]


def _start(what: str, folder: str) -> tuple[float, float]:
    """Milliseconds from starting a process to its window seen, and to its page."""
    script = Path(__file__).with_name("started.py")
    done = subprocess.run(
        [sys.executable, str(script), what, folder, repr(time())],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
        cwd=Path(__file__).parents[2],
    )
    seen, usable = json.loads(done.stdout.strip().splitlines()[-1])
    return seen, usable
