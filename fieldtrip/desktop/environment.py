"""What Chromium must be told before it starts."""

from __future__ import annotations

import os


def prepare_environment() -> None:
    """Set what is not set yet; call it before the application is made."""
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        # Chromium's sandbox refuses to work for root and ends the program.
        os.environ.setdefault("QTWEBENGINE_DISABLE_SANDBOX", "1")
    os.environ.setdefault("QTWEBENGINE_CHROMIUM_FLAGS", "--disable-gpu --log-level=3")
    os.environ.setdefault("QT_LOGGING_RULES", "qt.webengine*=false;qt.qpa.*=false")
