"""The address of the map page: a scheme of our own, so that no server is involved."""

from __future__ import annotations

from PySide6.QtWebEngineCore import QWebEngineUrlScheme

SCHEME = "fieldtrip"
BASE = f"{SCHEME}://map/"
INDEX = f"{BASE}index.html"


def register_scheme() -> None:
    """Make the scheme known to Qt; call it before the `QApplication` is made.

    Nothing happens the second time.
    """
    if QWebEngineUrlScheme.schemeByName(SCHEME.encode()).name().size():
        return
    scheme = QWebEngineUrlScheme(SCHEME.encode())
    scheme.setSyntax(QWebEngineUrlScheme.Syntax.Host)
    flag = QWebEngineUrlScheme.Flag
    # Secure and CORS-enabled is what module scripts need; nothing else is given.
    scheme.setFlags(flag.SecureScheme | flag.CorsEnabled)
    QWebEngineUrlScheme.registerScheme(scheme)
