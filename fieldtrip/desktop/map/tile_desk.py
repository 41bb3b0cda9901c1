"""Gives the map page its tiles, from files and from servers."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import count

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject
from PySide6.QtWebEngineCore import QWebEngineUrlRequestJob

from fieldtrip.desktop.map.tile_answer import TileAnswer
from fieldtrip.desktop.map.tile_fetcher import TileFetcher
from fieldtrip.material.template import filled
from fieldtrip.material.tile_file import TileFile
from fieldtrip.material.tiles import Tile, clear_picture, parse_tile, picture_type

FOLDER = "/tiles/"
_PATH = re.compile(r"/tiles/([0-9a-f]{32})/[0-9]{1,9}/([0-9/]{5,40})")
_Error = QWebEngineUrlRequestJob.Error
Withdraw = Callable[[], None]
Source = Callable[[Tile, Callable[[TileAnswer], None]], Withdraw]


class TileDesk(QObject):
    """Answers for the sheets it was given, by their ids, and for nothing else.

    Where there is no tile the page gets a clear one; after trouble it gets none, so
    that nothing is remembered and it may ask again.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._sources: dict[str, Source] = {}
        self._pending: dict[int, tuple[QWebEngineUrlRequestJob, Withdraw]] = {}
        self._keys = count()
        self._clear = clear_picture()

    def give(self, sheet: str, source: Source) -> None:
        """Answer for a sheet from now on."""
        self._sources[sheet] = source

    def withdraw(self, sheet: str) -> None:
        """Answer for a sheet no more."""
        self._sources.pop(sheet, None)

    def answer(self, job: QWebEngineUrlRequestJob) -> None:
        """Reply to a request now or later."""
        match = _PATH.fullmatch(job.requestUrl().path())
        source = self._sources.get(match[1]) if match else None
        tile = parse_tile(match[2]) if match else None
        if source is None or tile is None:
            job.fail(_Error.UrlNotFound)
            return
        key = next(self._keys)
        self._pending[key] = (job, _nothing)
        job.destroyed.connect(lambda *_: self._drop(key))
        withdraw = source(tile, lambda answer: self._reply(key, answer))
        if key in self._pending:
            self._pending[key] = (job, withdraw)

    def _reply(self, key: int, answer: TileAnswer) -> None:
        entry = self._pending.pop(key, None)
        if entry is None:
            return  # the page has looked away
        job, _ = entry
        if answer.trouble:
            job.fail(_Error.RequestFailed)
            return
        picture = answer.picture or self._clear
        # Owned by the job: one that Python owned would be freed under its feet.
        buffer = QBuffer(job)
        buffer.setData(QByteArray(picture))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        job.reply(QByteArray((picture_type(picture) or "image/png").encode()), buffer)

    def _drop(self, key: int) -> None:
        """Stop fetching for a job that is going; it must not be touched again."""
        entry = self._pending.pop(key, None)
        if entry is not None:
            entry[1]()


def from_file(file: TileFile) -> Source:
    """Tiles out of a file, at once."""

    def source(tile: Tile, answered: Callable[[TileAnswer], None]) -> Withdraw:
        answered(TileAnswer(picture=file.picture(tile) or b""))
        return _nothing

    return source


def from_server(fetcher: TileFetcher, template: str) -> Source:
    """Tiles of a server, as they come."""

    def source(tile: Tile, answered: Callable[[TileAnswer], None]) -> Withdraw:
        key = fetcher.fetch(filled(template, tile), answered)
        return lambda: fetcher.cancel(key)

    return source


def _nothing() -> None:
    """Nothing is under way."""
