"""The page in which a trip sheet is seen and printed: no script, no network.

The sheet is answered for under our own scheme, by a handler that knows nothing else;
every other request is blocked, besides what the sheet's own policy forbids.
"""

from __future__ import annotations

import logging
from itertools import count

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, QUrl, Signal
from PySide6.QtWebEngineCore import (
    QWebEnginePage,
    QWebEngineProfile,
    QWebEngineSettings,
    QWebEngineUrlRequestInfo,
    QWebEngineUrlRequestInterceptor,
    QWebEngineUrlRequestJob,
    QWebEngineUrlSchemeHandler,
)
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.map.page import ALL_OFF
from fieldtrip.desktop.map.scheme import SCHEME

_BASE = f"{SCHEME}://sheet/"
_WITHIN = (SCHEME, "data")  # of a photograph in the page
log = logging.getLogger(__name__)


class SheetProfile(QWebEngineProfile):
    """Off the record, and a child of the application, which outlives every page."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)  # without a storage name nothing is kept
        self.handler = SheetHandler(self)
        self.guard = SheetGuard(self)
        self.installUrlSchemeHandler(SCHEME.encode(), self.handler)
        self.setUrlRequestInterceptor(self.guard)


def sheet_profile() -> SheetProfile:
    """The application's one profile for sheets, made when first asked for."""
    application = QApplication.instance()
    if application is None:
        raise ValueError("a sheet's page needs an application first")
    found = application.findChild(SheetProfile)
    return found if isinstance(found, SheetProfile) else SheetProfile(application)


class SheetHandler(QWebEngineUrlSchemeHandler):
    """Answers for the newest page of each view, and for nothing else."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._pages: dict[str, bytes] = {}
        self._numbers = count(1)

    @property
    def is_empty(self) -> bool:
        """Whether it answers for no page at all."""
        return not self._pages

    def keep(self, page: bytes, former: QUrl) -> QUrl:
        """The address of a page; the former one of the same view is forgotten."""
        self.forget(former)
        path = f"/{next(self._numbers)}.html"
        self._pages[path] = page
        return QUrl(_BASE.rstrip("/") + path)

    def forget(self, address: QUrl) -> None:
        """Answer for an address no more."""
        self._pages.pop(address.path(), None)

    def requestStarted(self, job: QWebEngineUrlRequestJob) -> None:
        """Reply to one request; runs in the UI thread."""
        page = self._pages.get(job.requestUrl().path())
        if page is None:
            job.fail(QWebEngineUrlRequestJob.Error.UrlNotFound)
            return
        buffer = QBuffer(job)  # owned by the job, which outlives this call
        buffer.setData(QByteArray(page))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        job.reply(QByteArray(b"text/html;charset=utf-8"), buffer)


class SheetGuard(QWebEngineUrlRequestInterceptor):
    """Blocks every request that leaves the sheet; a second belt to its policy."""

    def interceptRequest(self, info: QWebEngineUrlRequestInfo) -> None:
        """Let one request pass, or block it and say so in the log."""
        scheme = info.requestUrl().scheme()
        if scheme not in _WITHIN:
            log.error("A request of the trip sheet was blocked: %s", info.requestUrl())
            info.block(True)


class SheetPage(QWebEnginePage):
    """Shows sheets only; a click on a position is handed on, not followed."""

    positionClicked = Signal(QUrl)  # a geo: address

    def __init__(self, parent: QObject) -> None:
        self.profile_of_sheets = sheet_profile()
        super().__init__(self.profile_of_sheets, parent)
        for attribute in ALL_OFF:
            self.settings().setAttribute(attribute, False)
        self.settings().setAttribute(
            QWebEngineSettings.WebAttribute.JavascriptEnabled, False
        )
        self._address = QUrl()

    def show_page(self, page: bytes) -> None:
        """Load a page in place of the one before; `loadFinished` follows."""
        handler = self.profile_of_sheets.handler
        self._address = handler.keep(page, self._address)
        self.load(self._address)

    def forget(self) -> None:
        """Keep nothing of what was shown; to be called before it goes."""
        self.profile_of_sheets.handler.forget(self._address)

    def acceptNavigationRequest(
        self,
        url: QUrl | str,
        _kind: QWebEnginePage.NavigationType,
        _is_main_frame: bool,
    ) -> bool:
        """Stay on the sheet; its own parts can be jumped to."""
        asked = QUrl(url)
        if asked.scheme() == "geo":
            self.positionClicked.emit(asked)
            return False
        return (asked.host(), asked.path()) == (
            self._address.host(),
            self._address.path(),
        )

    def createWindow(self, _kind: QWebEnginePage.WebWindowType) -> QWebEnginePage:
        """Open no window for anybody."""
        return None  # type: ignore[return-value]  # Qt takes None for a refusal

    def javaScriptConsoleMessage(
        self,
        level: QWebEnginePage.JavaScriptConsoleMessageLevel,
        message: str,
        line: int,
        source: str,
    ) -> None:
        """Whatever the engine has to say of the page is a fault of ours."""
        log.error("%s:%d: %s (%s)", source, line, message, level.name)
