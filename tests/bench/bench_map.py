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
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter, time

import numpy as np
from PySide6.QtCore import QEventLoop, QTimer, SignalInstance
from PySide6.QtWidgets import QApplication

from fieldtrip.demo import make_demo
from fieldtrip.desktop.content.map_features import moon_features, sun_features
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.map_panel import MapPanel
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.files import own_folder
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import day_events
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Store
from tests.bench.rows import Row

PLACE, ZONE = Position(49.6047, -8.3836), "Europe/Dublin"
DAY = date(2026, 11, 14)
MINUTES = 120
RELOADS = 7
STARTS = 5
LOCATIONS, SPOTS = 1_000, 5
PAN_ZOOMS = (8.0, 11.0, 14.0)
PANS = 12
PAN_MS = 420  # longer than the page looks at its frames
_PATIENCE_MS = 30_000


def run() -> list[Row]:
    """Milliseconds from a change to what can be seen of it."""
    # Both processes that are compared get the same.
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ.setdefault("QTWEBENGINE_CHROMIUM_FLAGS", "--disable-gpu --log-level=3")
    os.environ.setdefault("QT_LOGGING_RULES", "qt.webengine*=false;qt.qpa.*=false")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        os.environ.setdefault("QTWEBENGINE_DISABLE_SANDBOX", "1")
    return [*_minutes(), *_crowds(), *_starts()]


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


# Many places


def _crowds() -> list[Row]:
    """Pans and edits of a map with many places, beside those of one with a single."""
    register_scheme()
    app = QApplication.instance() or QApplication([])
    many, one = _crowd(LOCATIONS), _crowd(1)
    app.processEvents()
    size = f"{LOCATIONS:,} locations, {LOCATIONS * SPOTS:,} vantage points"
    peer = f"one location, {SPOTS} vantage points"
    return [
        Row(f"{what}, {size}", ours, "ms", peer, theirs)
        for (what, ours), (_, theirs) in zip(many, one, strict=True)
    ]


def _crowd(locations: int) -> list[tuple[str, float]]:
    store = Store.in_memory()
    library = Library(store)
    places = _places(locations)
    library.add("begin", *places)
    selection = Selection(DAY, datetime(2026, 11, 14, 15, 0, tzinfo=UTC))
    selection.choose(places[0], places[0].id)
    preferences = Preferences(Settings())
    scouting = Scouting(library, selection, lambda: DAY)
    found: list[tuple[str, float]] = []
    worst: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        panel = MapPanel(
            library, selection, preferences, scouting, Path(folder), lambda: None
        )
        panel.resize(1000, 700)
        _until(panel.ready, panel.show)
        view = panel.view
        assert view is not None
        for zoom in PAN_ZOOMS:
            view.look_at(PLACE, zoom)
            _rest(600)
            gaps = [_pan_ms(view, i) for i in range(PANS)]
            worst.append(max(gaps))
            found.append((f"longest frame of a pan at zoom {zoom:.0f}", median(gaps)))
        found.append((f"the worst of all {len(PAN_ZOOMS) * PANS} pans", max(worst)))
        view.look_at(PLACE, 14.0)
        _rest(600)
        spots = [one for one in places if isinstance(one, VantagePoint)]
        edits = []
        for i, spot in enumerate(spots[:20]):
            start = perf_counter()
            library.edit("name it", spot, replace(spot, name=f"Named {i}"))
            edits.append(1000.0 * (perf_counter() - start))
            _rest(30)
        found.append(("an edit, kept and handed to the map", median(edits)))
        panel.close_view()
        panel.close()
        panel.deleteLater()
        _rest(50)
    store.close()
    return found


def _places(locations: int) -> list[Location | VantagePoint]:
    """Spread along 200 km of an invented coast, the first where one looks."""
    generator = np.random.default_rng(11)
    made: list[Location | VantagePoint] = []
    for i in range(locations):
        dy, dx = (0.0, 0.0) if i == 0 else generator.uniform(-1.0, 1.0, 2)
        at = Position(PLACE.lat_deg + 0.9 * dy, PLACE.lon_deg + 1.4 * dx)
        location = Location(name=f"Place {i}", position=at, zone=ZONE)
        made.append(location)
        for j in range(SPOTS):
            dy, dx = generator.uniform(-0.004, 0.004, 2)
            spot = Position(at.lat_deg + dy, at.lon_deg + dx)
            made.append(
                VantagePoint(location_id=location.id, name=f"Spot {j}", position=spot)
            )
    return made


def _pan_ms(view: MapView, number: int) -> float:
    """The longest time between two frames while the map goes one way and is redrawn."""
    answers: list[float] = []
    way = (120, 40) if number % 4 < 2 else (-120, -40)
    view.run_js(_PAN % way, lambda _: None)
    _rest(PAN_MS)
    _until_called(lambda done: view.run_js("window.longestFrame", done), answers)
    return answers[0]


_PAN = """
(() => {
  window.longestFrame = 0;
  let last = 0;
  let until = 0;
  const look = (now) => {
    window.longestFrame = Math.max(window.longestFrame, now - last);
    last = now;
    if (now < until) requestAnimationFrame(look);
  };
  requestAnimationFrame((now) => {
    [last, until] = [now, now + 300];
    requestAnimationFrame(look);
    fieldtripMap.panBy([%d, %d], { animate: false });
  });
})();
"""


def _rest(for_ms: int) -> None:
    loop = QEventLoop()
    QTimer.singleShot(for_ms, loop.quit)
    loop.exec()


def _until(signal: SignalInstance, act: Callable[[], None]) -> None:
    loop = QEventLoop()
    signal.connect(loop.quit)
    QTimer.singleShot(_PATIENCE_MS, lambda: loop.exit(1))
    act()
    if loop.exec():
        raise TimeoutError("the map did not become ready")


def _until_called(
    ask: Callable[[Callable[[float], None]], None], answers: list[float]
) -> None:
    loop = QEventLoop()

    def answer(value: float) -> None:
        answers.append(value)
        loop.quit()

    ask(answer)
    loop.exec()


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
