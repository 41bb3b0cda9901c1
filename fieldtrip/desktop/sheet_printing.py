"""Prints a sheet's page to PDF, in the window's background or for a command."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Callable
from enum import StrEnum

import shiboken6
from PySide6.QtCore import (
    QByteArray,
    QEventLoop,
    QMarginsF,
    QObject,
    QTimer,
    qInstallMessageHandler,
)
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.environment import prepare_environment
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.sheet_page import SheetPage
from fieldtrip.errors import UserError

log = logging.getLogger(__name__)
_LONGEST_MS = 60_000
_MARGINS_MM = QMarginsF(12.0, 11.0, 12.0, 14.0)
_FAILED = "The sheet could not be printed to PDF. Save it as HTML instead."


class Paper(StrEnum):
    """Which paper."""

    A4 = "A4"
    LETTER = "Letter"


_SIZES = {
    Paper.A4: QPageSize.PageSizeId.A4,
    Paper.LETTER: QPageSize.PageSizeId.Letter,
}


def page_layout(paper: Paper) -> QPageLayout:
    """An upright sheet with our margins."""
    return QPageLayout(
        QPageSize(_SIZES[paper]),
        QPageLayout.Orientation.Portrait,
        _MARGINS_MM,
        QPageLayout.Unit.Millimeter,
    )


class PdfPrinter(QObject):
    """Prints one page after another in a hidden page, which is gone afterwards."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._page: SheetPage | None = None

    @property
    def is_busy(self) -> bool:
        """Whether it is still printing."""
        return self._page is not None

    def start(
        self,
        page: bytes,
        paper: Paper,
        done: Callable[[bytes], None],
        failed: Callable[[UserError], None],
    ) -> None:
        """Print a page; `done` gets the file's bytes.  What was begun is dropped."""
        self.stop()
        hidden = self._page = SheetPage(self)

        def finish(data: QByteArray) -> None:
            if self._page is not hidden:
                return  # something newer was begun
            pdf = bytes(data.data())
            # Not from within the page's own call; and for good, not some time later.
            QTimer.singleShot(0, self, self.stop)
            if pdf.startswith(b"%PDF"):
                done(pdf)
            else:
                failed(UserError(_FAILED))

        def print_it(is_loaded: bool) -> None:
            if is_loaded:
                hidden.printToPdf(finish, page_layout(paper))
            else:
                finish(QByteArray())

        hidden.loadFinished.connect(print_it)
        hidden.renderProcessTerminated.connect(lambda *_: finish(QByteArray()))
        hidden.show_page(page)

    def stop(self) -> None:
        """Let go of the hidden page while its profile is still there."""
        page, self._page = self._page, None
        if page is not None:
            page.forget()
            shiboken6.delete(page)


def pdf_without_window(page: bytes, paper: Paper = Paper.A4) -> bytes:
    """A page as PDF, waited for, where no window and perhaps no screen is there.

    Raises `UserError` where it cannot be printed.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # nothing is shown
    prepare_environment()
    # What Qt has to say of a machine without a graphics card concerns nobody here.
    qInstallMessageHandler(lambda _kind, _where, text: log.info("%s", text))
    register_scheme()  # before any application
    application = QApplication.instance() or QApplication(sys.argv[:1])
    printer = PdfPrinter(application)
    loop = QEventLoop()
    found: list[bytes] = []

    def keep(pdf: bytes) -> None:
        found.append(pdf)
        loop.quit()

    QTimer.singleShot(_LONGEST_MS, loop, loop.quit)
    printer.start(page, paper, keep, lambda _: loop.quit())
    loop.exec()
    printer.stop()
    shiboken6.delete(printer)
    if not found:
        raise UserError(_FAILED)
    return found[0]
