"""What every test of the desktop leaves as it found it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication


@pytest.fixture(autouse=True)
def usual_looks(qapp: QApplication) -> Iterator[None]:
    """Take back the style that a whole window gives to the application.

    All tests share one application: a font that one of them set would else be
    the measure of the next.
    """
    font = qapp.font()
    yield
    if qapp.styleSheet():
        qapp.setStyleSheet("")
    if qapp.font() != font:
        qapp.setFont(font)
