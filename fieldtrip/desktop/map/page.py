"""The page in the map's view: what it may do, and where its messages go."""

from __future__ import annotations

import logging

from PySide6.QtCore import QObject, QUrl
from PySide6.QtWebEngineCore import (
    QWebEnginePage,
    QWebEngineProfile,
    QWebEngineSettings,
)

from fieldtrip.desktop.map.scheme import INDEX

ALL_OFF = (  # of what a page of ours does not need
    QWebEngineSettings.WebAttribute.LocalContentCanAccessRemoteUrls,
    QWebEngineSettings.WebAttribute.LocalContentCanAccessFileUrls,
    QWebEngineSettings.WebAttribute.PluginsEnabled,
    QWebEngineSettings.WebAttribute.JavascriptCanOpenWindows,
    QWebEngineSettings.WebAttribute.JavascriptCanAccessClipboard,
    QWebEngineSettings.WebAttribute.JavascriptCanPaste,
    QWebEngineSettings.WebAttribute.AllowWindowActivationFromJavaScript,
    QWebEngineSettings.WebAttribute.LocalStorageEnabled,
    QWebEngineSettings.WebAttribute.PdfViewerEnabled,
    QWebEngineSettings.WebAttribute.FullScreenSupportEnabled,
    QWebEngineSettings.WebAttribute.HyperlinkAuditingEnabled,
    QWebEngineSettings.WebAttribute.ErrorPageEnabled,
    QWebEngineSettings.WebAttribute.DnsPrefetchEnabled,
    QWebEngineSettings.WebAttribute.WebGLEnabled,
    QWebEngineSettings.WebAttribute.ScreenCaptureEnabled,
)
_Level = QWebEnginePage.JavaScriptConsoleMessageLevel
_LEVELS = {
    _Level.InfoMessageLevel: logging.DEBUG,
    _Level.WarningMessageLevel: logging.WARNING,
    _Level.ErrorMessageLevel: logging.ERROR,
}
log = logging.getLogger(__name__)


class MapPage(QWebEnginePage):
    """Stays where it is, opens no windows, and writes its console to the log."""

    def __init__(self, profile: QWebEngineProfile, parent: QObject) -> None:
        super().__init__(profile, parent)
        for attribute in ALL_OFF:
            self.settings().setAttribute(attribute, False)

    def acceptNavigationRequest(
        self,
        url: QUrl | str,
        _kind: QWebEnginePage.NavigationType,
        _is_main_frame: bool,
    ) -> bool:
        """Refuse to leave the map page."""
        is_ours = QUrl(url) == QUrl(INDEX)
        if not is_ours:
            log.warning("The map page may not go to %s", QUrl(url).toString())
        return is_ours

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
        """Write what the page says to the log, where a test sees it."""
        log.log(_LEVELS[level], "%s:%d: %s", source, line, message)
