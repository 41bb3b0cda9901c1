"""The window of the trip sheet: a live view of it, and the files it goes out as."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

import shiboken6
from PySide6.QtCore import Qt, QTimer, QUrl, Signal, SignalInstance
from PySide6.QtGui import QCloseEvent, QDesktopServices, QGuiApplication, QKeySequence
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWebEngineWidgets import QWebEngineView
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.flow_layout import FlowLayout
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sheet_making import GroundFiles, MadeSheet, made_sheet
from fieldtrip.desktop.sheet_page import SheetPage
from fieldtrip.desktop.sheet_printing import Paper, PdfPrinter, page_layout
from fieldtrip.errors import UserError
from fieldtrip.exchange.outgoing import write_whole
from fieldtrip.settings import Settings
from fieldtrip.sheet_files import FORMATS, SheetSource, file_name, sheet_file
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip

NO_TRIP = "Choose a trip in the list: its sheet is shown here."
MAKING = "The sheet is being made…"
PRINTING = "The PDF is being made…"
_JOB = "trip sheet"
_PATIENCE_MS = 700  # what is done sooner needs no bar
_Made = tuple[Dossier, Trip, Settings]


class TripSheetDialog(QDialog):
    """Follows library, selection and preferences; every button writes one file."""

    shown = Signal()  # the newest sheet is in the view

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        *,
        ground: Callable[[], GroundFiles],
        now: Callable[[], datetime],
        heights_changed: SignalInstance | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._ground = ground
        self._now = now
        self._files: GroundFiles | None = None
        self._asked: _Made | None = None  # what the newest sheet is of
        self._source: SheetSource | None = None
        self.made: MadeSheet | None = None
        self.setWindowTitle("Trip sheet")
        self.resize(760, 900)
        self._make_view()
        self._make_buttons()
        self._lay_out()
        self.printer = PdfPrinter(self)
        self._followed = [library.changed, selection.changed, preferences.changed]
        if heights_changed is not None:
            self._followed.append(heights_changed)
        for signal in self._followed:
            signal.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Make the sheet anew, where anything that it shows may have changed."""
        dossier = self._library.dossier(self._selection.location_id)
        trip = by_id(dossier.trips, self._selection.trip_id) if dossier else None
        if dossier is None or trip is None:
            self._asked = self._source = self.made = None
            self._jobs.cancel(_JOB)
            self.setWindowTitle("Trip sheet")
            self._say(NO_TRIP)
            self._heed()
            return
        asked, files = (dossier, trip, self._preferences.settings), self._ground()
        is_same = self._asked is not None and all(
            a is b for a, b in zip(asked, self._asked, strict=True)
        )
        if is_same and files == self._files:
            return
        self._files = files
        self._asked, self._source = asked, None  # what is outdated is not written
        self._heed()
        self._begin(MAKING)
        now = self._now()
        self._jobs.start(
            _JOB,
            made_sheet,
            *asked,
            now,
            files,
            done=partial(self._show, asked, now),
            failed=self._fail,
        )

    def save(self, file_format: str, path: Path, paper: Paper | None = None) -> None:
        """Write the sheet to a file.  Raises `UserError` where that fails.

        A PDF is written some moments later; then its end is told as well.
        """
        source = self._ready()
        if path == self._library.store.path:
            raise UserError("That is the library itself. Choose another name.")
        if file_format != "pdf":
            data = sheet_file(file_format, source, lambda page: page)
            write_whole(path, data)
            self._end(f"The sheet was written to {path}.")
            return
        assert self.made is not None
        self._begin(PRINTING)
        self.printer.start(
            self.made.page,
            paper or self.paper,
            partial(self._write_pdf, path),
            self._fail,
        )

    def save_for_phone(self, path: Path) -> None:
        """Write the page and show its folder, from where it is sent to the phone."""
        self.save("html", path)
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path.parent)))
        self._end(f"Send {path.name} to the phone: its folder is open.")

    def copy_text(self) -> None:
        """Put the sheet's words on the clipboard, for a message."""
        data = sheet_file("txt", self._ready(), lambda page: page)
        QGuiApplication.clipboard().setText(data.decode())
        self._end("The text is on the clipboard.")

    def print_with(self, printer: QPrinter) -> None:
        """Print what is seen on a printer that was chosen."""
        self._ready()
        self._begin("The sheet is being printed…")
        self._system_printer = printer  # must outlive the printing
        self.view.print(printer)

    @property
    def paper(self) -> Paper:
        """The paper that is chosen."""
        return Paper(self.papers.currentText())

    def closeEvent(self, event: QCloseEvent) -> None:
        """End in the order that the web engine needs: pages before their profile."""
        super().closeEvent(event)
        if not shiboken6.isValid(self.view):
            return  # closed once already
        self._jobs.cancel(_JOB)
        for signal in self._followed:
            signal.disconnect(self.refresh)
        self.printer.stop()
        self.page.forget()
        shiboken6.delete(self.view)

    def _make_view(self) -> None:
        self.view = QWebEngineView(self)
        self.page = SheetPage(self.view)
        self.view.setPage(self.page)
        self.view.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.view.setAcceptDrops(False)
        self.view.setAccessibleName("Trip sheet")
        self.page.loadFinished.connect(self._loaded)
        self.page.positionClicked.connect(self._copy_position)
        self.view.printFinished.connect(
            lambda is_done: self._end(
                "The sheet was sent to the printer."
                if is_done
                else "The sheet could not be printed."
            )
        )

    def _make_buttons(self) -> None:
        self.buttons: dict[str, QPushButton] = {}
        for name, words, action in (
            ("pdf", "Save as &PDF…", partial(self._ask, "pdf")),
            ("html", "Save as &HTML…", partial(self._ask, "html")),
            ("phone", "For the phone…", self._ask_phone),
            ("print", "P&rint…", self._ask_printer),
            ("gpx", "Save as &GPX…", partial(self._ask, "gpx")),
            ("ics", "Save for a &calendar…", partial(self._ask, "ics")),
            ("txt", "Save as &text…", partial(self._ask, "txt")),
            ("copy", "Cop&y text", self.copy_text),
        ):
            button = self.buttons[name] = QPushButton(words)
            button.setAutoDefault(False)
            button.clicked.connect(partial(self._attempt, action))
        self.buttons["print"].setShortcut(QKeySequence(QKeySequence.StandardKey.Print))
        self.papers = QComboBox()
        self.papers.addItems(list(Paper))
        self.papers.setAccessibleName("Paper")
        self.papers.setToolTip("The paper of the PDF")
        self.status = QLabel()
        self.status.setWordWrap(True)
        self.status.setTextFormat(Qt.TextFormat.PlainText)
        self.status.setAccessibleName("What came of it")
        self.bar = QProgressBar()
        self.bar.setRange(0, 0)  # how long it takes is not known
        self.bar.setFixedWidth(120)
        self.bar.setVisible(False)
        self._wait = QTimer(self, singleShot=True, interval=_PATIENCE_MS)
        self._wait.timeout.connect(lambda: self.bar.setVisible(True))

    def _lay_out(self) -> None:
        row = FlowLayout()
        for button in self.buttons.values():
            row.addWidget(button)
        row.addWidget(self.papers)
        below = QHBoxLayout()
        below.addWidget(self.status, 1)
        below.addWidget(self.bar)
        column = QVBoxLayout(self)
        column.addLayout(row)
        column.addWidget(self.view, 1)
        column.addLayout(below)

    def _show(self, asked: _Made, now: datetime, made: MadeSheet) -> None:
        dossier, trip, settings = asked
        self.made = made
        self._source = SheetSource(made.sheet, dossier, trip, settings, now)
        self.setWindowTitle(f"Trip sheet: {trip.name}")
        self.page.show_page(made.page)
        self._heed()

    def _loaded(self, is_loaded: bool) -> None:
        if self.made is None or not is_loaded:
            return
        if not self.printer.is_busy:
            self._end(self.made.sheet.made)
        self.shown.emit()

    def _ready(self) -> SheetSource:
        if self._source is None:
            raise UserError(NO_TRIP if self._asked is None else MAKING)
        return self._source

    def _ask(self, file_format: str) -> None:
        path = self._ask_path(file_format)
        if path is not None:
            self.save(file_format, path)

    def _ask_phone(self) -> None:
        path = self._ask_path("html")
        if path is not None:
            self.save_for_phone(path)

    def _ask_printer(self) -> None:
        self._ready()
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(page_layout(self.paper))
        if QPrintDialog(printer, self).exec() == QDialog.DialogCode.Accepted:
            self.print_with(printer)

    def _ask_path(self, file_format: str) -> Path | None:
        trip = self._ready().trip
        name, _ = QFileDialog.getSaveFileName(
            self,
            f"Trip sheet: {FORMATS[file_format]}",
            file_name(trip, file_format),
            f"{FORMATS[file_format]} (*.{file_format})",
        )
        if not name:
            return None
        path = Path(name)
        if path.suffix.lower() == f".{file_format}":
            return path
        path = path.with_name(f"{path.name}.{file_format}")
        if path.exists():  # nobody was asked about this name
            raise UserError(
                f"“{path.name}” is already there. Choose it itself to replace it, or "
                "another name."
            )
        return path

    def _write_pdf(self, path: Path, pdf: bytes) -> None:
        try:
            write_whole(path, pdf)
        except UserError as error:
            self._fail(error)
            return
        self._end(f"The sheet was written to {path}.")

    def _copy_position(self, url: QUrl) -> None:
        text = url.toString().removeprefix("geo:")
        QGuiApplication.clipboard().setText(text)
        self._say(f"{text} is on the clipboard.")

    def _attempt(self, action: Callable[[], object]) -> None:
        try:
            action()
        except UserError as error:
            self._fail(error)

    def _fail(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._end(str(error), is_fault=True)

    def _begin(self, text: str) -> None:
        self._say(text)
        self._wait.start()

    def _end(self, text: str, *, is_fault: bool = False) -> None:
        self._wait.stop()
        self.bar.setVisible(False)
        self._say(text, is_fault=is_fault)

    def _say(self, text: str, *, is_fault: bool = False) -> None:
        self.status.setText(text)
        self.status.setProperty("fault", is_fault)
        self.status.style().unpolish(self.status)
        self.status.style().polish(self.status)

    def _heed(self) -> None:
        for button in self.buttons.values():
            button.setEnabled(self._source is not None)
