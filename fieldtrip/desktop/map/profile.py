"""One web profile for the application: nothing kept, nothing fetched from elsewhere."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QFile, QIODevice, QObject
from PySide6.QtWebEngineCore import (
    QWebEngineProfile,
    QWebEngineUrlRequestInfo,
    QWebEngineUrlRequestInterceptor,
    QWebEngineUrlRequestJob,
    QWebEngineUrlSchemeHandler,
)
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.map import overlay_desk
from fieldtrip.desktop.map.page_builder import PageFile, page_files
from fieldtrip.desktop.map.scheme import SCHEME
from fieldtrip.desktop.map.tile_desk import FOLDER, TileDesk

log = logging.getLogger(__name__)


class MapProfile(QWebEngineProfile):
    """Off the record, and a child of the application.

    The application is what lives longest: a profile that goes before its pages
    takes the process with it.
    """

    def __init__(self, files: Mapping[str, PageFile], parent: QObject) -> None:
        super().__init__(parent)  # without a storage name nothing is kept
        self.handler = PageHandler(files, self)
        self.guard = Guard(self)
        self.installUrlSchemeHandler(SCHEME.encode(), self.handler)
        self.setUrlRequestInterceptor(self.guard)


def map_profile(cache_folder: Path) -> MapProfile:
    """The application's one profile, made when it is first asked for."""
    application = QApplication.instance()
    if application is None:
        raise ValueError("the map needs an application first")
    found = application.findChild(MapProfile)
    if isinstance(found, MapProfile):
        return found
    return MapProfile(page_files(cache_folder), application)


class PageHandler(QWebEngineUrlSchemeHandler):
    """Answers for the files it was given, by their whole path, and for pictures."""

    def __init__(self, files: Mapping[str, PageFile], parent: QObject) -> None:
        super().__init__(parent)
        channel = PageFile("text/javascript;charset=utf-8", _channel_script())
        self._files = {**files, "/qwebchannel.js": channel}
        self.tiles = TileDesk(self)
        self.overlays = overlay_desk.OverlayDesk(self)

    def requestStarted(self, job: QWebEngineUrlRequestJob) -> None:
        """Reply to one request; runs in the UI thread."""
        if job.requestUrl().path().startswith(FOLDER):
            self.tiles.answer(job)
            return
        if job.requestUrl().path().startswith(overlay_desk.FOLDER):
            self.overlays.answer(job)
            return
        file = self._files.get(job.requestUrl().path())
        if file is None:
            log.error("The map page asked for what is not there: %s", job.requestUrl())
            job.fail(QWebEngineUrlRequestJob.Error.UrlNotFound)
            return
        # Owned by the job: one that Python owned would be freed under its feet.
        buffer = QBuffer(job)
        buffer.setData(QByteArray(file.data))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        job.reply(QByteArray(file.content_type.encode()), buffer)


class Guard(QWebEngineUrlRequestInterceptor):
    """Blocks every request that is not for our own scheme; a second belt to the CSP."""

    def interceptRequest(self, info: QWebEngineUrlRequestInfo) -> None:
        """Let one request pass, or block it and say so in the log."""
        if info.requestUrl().scheme() != SCHEME:
            log.error("A request of the map page was blocked: %s", info.requestUrl())
            info.block(True)


def _channel_script() -> bytes:
    file = QFile(":/qtwebchannel/qwebchannel.js")
    file.open(QIODevice.OpenModeFlag.ReadOnly)
    return bytes(file.readAll().data())
