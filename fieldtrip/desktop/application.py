"""Starts the desktop program: one application, one window."""

from __future__ import annotations

import atexit
import gc
import logging
import logging.handlers
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from fieldtrip.demo import make_demo, outline_file
from fieldtrip.desktop import crash
from fieldtrip.desktop.environment import prepare_environment
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.paths import LIBRARY_FILTER, LIBRARY_SUFFIX, Paths
from fieldtrip.desktop.preferences import Preferences, read_settings
from fieldtrip.desktop.window import Window
from fieldtrip.errors import UserError
from fieldtrip.store.store import Store

Now = Callable[[], datetime]


def run(library: Path | None, *, demo: bool = False) -> int:
    """Open the window on a library, on a fresh demo, or on the usual library.

    Returns the exit code.
    """
    prepare_environment()
    register_scheme()  # a custom scheme must be known before the application is made
    app = QApplication(sys.argv[:1])
    app.setApplicationName("Fieldtrip")
    app.setDesktopFileName("fieldtrip")
    paths = Paths.usual()
    keep_log(paths.log)
    crash.install()
    window = open_window(paths, library, demo=demo)
    if window is None:
        return 0
    window.show()
    heed_signals(window)
    # What is there now stays for good: a search through all of it, while a job makes
    # many small things, would keep the window standing still again and again.
    gc.freeze()
    return app.exec()


def heed_signals(window: Window) -> None:
    """Close in good order when the system or Ctrl+C asks the program to end.

    Otherwise the library would be left with its log beside it, and a copy of the
    one file would lack what was stored last.
    """
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: window.close())
    # Python hears of a signal only when it runs; Qt's loop would keep it from that.
    pulse = QTimer(window)
    pulse.timeout.connect(lambda: None)
    pulse.start(400)


def keep_log(folder: Path) -> None:
    """Log to a small file that starts anew when it is full."""
    handlers: list[logging.Handler] = [logging.StreamHandler()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handlers.append(
            logging.handlers.RotatingFileHandler(
                folder / "fieldtrip.log", maxBytes=500_000, backupCount=1
            )
        )
    except OSError:
        pass  # a log that cannot be kept is no reason not to start
    logging.basicConfig(
        level=logging.WARNING,
        format="%(asctime)s %(levelname)s %(name)s: %(message)s",
        handlers=handlers,
    )


def open_window(
    paths: Paths,
    library: Path | None,
    *,
    demo: bool = False,
    now: Now = lambda: datetime.now(UTC),
) -> Window | None:
    """The window on what was asked for, or None if the user gave up."""
    file = paths.config / "settings.json"
    preferences = Preferences(read_settings(file), file=file)
    if demo:
        folder = Path(tempfile.mkdtemp(prefix="fieldtrip-demo-"))
        atexit.register(shutil.rmtree, folder, ignore_errors=True)
        path = folder / f"Demo{LIBRARY_SUFFIX}"
        make_demo(path, now().astimezone().date())
        return Window(Store.open(path), preferences, paths, now, drawing=outline_file())
    if library is None:  # our own folder may be made, one that somebody typed not
        paths.data.mkdir(parents=True, exist_ok=True)
    store = open_store(library or paths.usual_library)
    return None if store is None else Window(store, preferences, paths, now)


def open_store(path: Path) -> Store | None:
    """A library, if need be another one than was asked for; None if the user quits."""
    while True:
        try:
            return Store.open(path)
        except UserError as error:
            reason = str(error)
        chosen = _ask_for_another(reason)
        if chosen is None:
            return None
        path = chosen


def _ask_for_another(reason: str) -> Path | None:
    box = QMessageBox(QMessageBox.Icon.Warning, "Fieldtrip", "")
    box.setTextFormat(box.textFormat().PlainText)
    box.setText(reason)
    other = box.addButton("Open another…", QMessageBox.ButtonRole.AcceptRole)
    new = box.addButton("New library…", QMessageBox.ButtonRole.ActionRole)
    box.addButton("Quit", QMessageBox.ButtonRole.RejectRole)
    box.exec()
    name = ""
    if box.clickedButton() is other:
        name, _ = QFileDialog.getOpenFileName(
            None, "Open a library", "", LIBRARY_FILTER
        )
    elif box.clickedButton() is new:
        name, _ = QFileDialog.getSaveFileName(
            None, "New library", f"library{LIBRARY_SUFFIX}", LIBRARY_FILTER
        )
    else:
        return None
    return Path(name) if name else None
