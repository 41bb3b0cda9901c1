"""Gives the map page the pictures that were made of the ground."""

from __future__ import annotations

import re
from collections import deque
from itertools import count

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject
from PySide6.QtWebEngineCore import QWebEngineUrlRequestJob

FOLDER = "/overlays/"
_PATH = re.compile(r"/overlays/([a-z_]{1,40})/([0-9]{1,9})")
_KEPT = 3  # of a name: the page may still be fetching the one before the last
_Error = QWebEngineUrlRequestJob.Error


class OverlayDesk(QObject):
    """Holds PNG pictures by name; each one given has an address of its own."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._turns = count(1)
        self._pictures: dict[str, deque[tuple[int, bytes]]] = {}

    def give(self, name: str, picture: bytes) -> str:
        """Answer for a picture from now on; gives the end of its address."""
        turn = next(self._turns)
        self._pictures.setdefault(name, deque(maxlen=_KEPT)).append((turn, picture))
        return f"{name}/{turn}"

    def withdraw(self, name: str) -> None:
        """Let go of all pictures of a name."""
        self._pictures.pop(name, None)

    def answer(self, job: QWebEngineUrlRequestJob) -> None:
        """Reply to a request."""
        match = _PATH.fullmatch(job.requestUrl().path())
        kept = self._pictures.get(match[1], ()) if match else ()
        found = [data for turn, data in kept if match and turn == int(match[2])]
        if not found:
            job.fail(_Error.UrlNotFound)
            return
        # Owned by the job: one that Python owned would be freed under its feet.
        buffer = QBuffer(job)
        buffer.setData(QByteArray(found[0]))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        job.reply(QByteArray(b"image/png"), buffer)
