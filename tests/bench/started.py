"""A process whose start is timed: ``started.py window|bare FOLDER TIME_OF_START``.

The window opens the library in the folder, which is a copy of the demo.

Writes the milliseconds to its window seen and to its page usable, as JSON.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import time

sys.path.insert(0, str(Path(__file__).parents[2]))


def main(what: str, folder: str, started: float) -> int:
    """Start, take the two times, and end."""
    return _window(Path(folder), started) if what == "window" else _bare(started)


def _window(folder: Path, started: float) -> int:
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from fieldtrip.desktop.application import open_window
    from fieldtrip.desktop.map.map_view import MapView
    from fieldtrip.desktop.map.scheme import register_scheme
    from fieldtrip.desktop.paths import Paths

    register_scheme()
    app = QApplication([])
    paths = Paths.below(folder)
    window = open_window(paths, paths.usual_library)
    if window is None:
        return 1
    times: list[float] = []
    followed: list[MapView] = []

    def look() -> None:
        if not times and _is_seen(window):
            times.append(_since(started))
        view = window.findChild(MapView)
        if isinstance(view, MapView) and not followed:
            followed.append(view)
            view.painted.connect(finish)

    def finish(name: str) -> None:
        if name == "sun" and len(times) == 1:
            times.append(_since(started))
            sys.stdout.write(json.dumps(times) + "\n")
            QTimer.singleShot(0, window.close)

    poll = QTimer()
    poll.timeout.connect(look)
    poll.start(1)
    window.show()
    return app.exec()


def _bare(started: float) -> int:
    from PySide6.QtCore import QTimer
    from PySide6.QtWebEngineWidgets import QWebEngineView
    from PySide6.QtWidgets import QApplication

    app = QApplication([])
    view = QWebEngineView()
    times: list[float] = []

    def look() -> None:
        if not times and _is_seen(view):
            times.append(_since(started))

    def finish() -> None:
        look()
        times.append(_since(started))
        sys.stdout.write(json.dumps(times) + "\n")
        QTimer.singleShot(0, view.close)

    poll = QTimer()
    poll.timeout.connect(look)
    poll.start(1)
    view.loadFinished.connect(finish)
    view.setHtml("<p>hello</p>")
    view.show()
    return app.exec()


def _is_seen(widget: object) -> bool:
    from PySide6.QtWidgets import QWidget

    handle = widget.windowHandle() if isinstance(widget, QWidget) else None
    return handle is not None and handle.isExposed()


def _since(started: float) -> float:
    return 1000.0 * (time() - started)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2], float(sys.argv[3])))
