"""Tests for the window of the trip sheet: it follows, and it writes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from fieldtrip.demo import outline_file
from fieldtrip.desktop.dialogs.trip_sheet import NO_TRIP, TripSheetDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sheet_making import DEMO_CREDIT, GroundFiles, ground_files
from fieldtrip.errors import UserError
from fieldtrip.material.records import Kind, Material
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.store.store import Change, Record, Store
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from tests.reports.story import NOW, ordinary

pytestmark = pytest.mark.web
LONG_MS = 60_000


class Desk:
    """A library with an ordinary trip, chosen, and the window of its sheet."""

    def __init__(self, store: Store, qtbot: QtBot) -> None:
        dossier, self.trip = ordinary()
        store.apply(Change(None, record) for record in records(dossier))
        self.library = Library(store)
        self.selection = Selection(self.trip.day, NOW)
        self.preferences = Preferences(Settings())
        self.jobs = Jobs()
        self.selection.choose(self.trip, self.trip.location_id)
        self.dialog = TripSheetDialog(
            self.library,
            self.selection,
            self.preferences,
            self.jobs,
            ground=lambda: GroundFiles(((outline_file(), DEMO_CREDIT),)),
            now=lambda: NOW,
        )
        qtbot.addWidget(self.dialog)
        self.dialog.show()

    @property
    def now(self) -> Trip:
        """The trip as it is in the library."""
        trip = self.library.get(Trip, self.trip.id)
        assert trip is not None
        return trip


def records(dossier: Dossier) -> list[Record]:
    """What the story holds, in the order in which records depend on one another."""
    return [
        dossier.location, *dossier.vantage_points, *dossier.subjects, *dossier.refuges,
        *dossier.routes, *dossier.legs, *dossier.hazards, *dossier.notes,
        *dossier.closures, *dossier.permits, *dossier.tide_tables, *dossier.forecasts,
        *dossier.trips, *dossier.stops, *dossier.walks,
    ]  # fmt: skip


@pytest.fixture
def desk(store: Store, qtbot: QtBot) -> Iterator[Desk]:
    made = Desk(store, qtbot)
    until(qtbot, made, lambda: made.dialog.buttons["pdf"].isEnabled())
    yield made
    made.dialog.close()
    made.jobs.stop()


def until(qtbot: QtBot, desk: Desk, is_so: Callable[[], bool]) -> None:
    """Wait for a state of the window that stays."""
    qtbot.waitUntil(is_so, timeout=LONG_MS)


def test_it_shows_the_chosen_trip_and_follows_edits_units_and_choice(
    desk: Desk, qtbot: QtBot
) -> None:
    dialog = desk.dialog
    assert dialog.windowTitle() == "Trip sheet: Evening on the holms"
    assert dialog.made is not None
    assert DEMO_CREDIT in dialog.made.sheet.map.lines

    desk.library.edit("rename", desk.now, replace(desk.now, name="Late & early"))
    until(qtbot, desk, lambda: dialog.windowTitle() == "Trip sheet: Late & early")
    settings = desk.preferences.settings
    desk.preferences.settings = replace(settings, length_unit=LengthUnit.FOOT)
    until(qtbot, desk, lambda: " ft" in str(dialog.made and dialog.made.sheet.tide))
    desk.library.undo_stack.undo()
    until(qtbot, desk, lambda: dialog.windowTitle().endswith("on the holms"))
    desk.selection.choose(None, None)

    assert dialog.status.text() == NO_TRIP
    assert not any(button.isEnabled() for button in dialog.buttons.values())


def test_what_does_not_change_the_sheet_makes_no_new_one(desk: Desk) -> None:
    made = desk.dialog.made

    desk.selection.choose_time(desk.trip.day, NOW + timedelta(hours=1))
    desk.dialog.refresh()

    assert desk.dialog.made is made
    assert desk.dialog.buttons["pdf"].isEnabled()


@pytest.mark.parametrize("file_format", ["html", "gpx", "ics", "txt"])
def test_every_button_writes_its_file(
    file_format: str, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / f"sheet.{file_format}"
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(out.with_suffix("")), "")
    )

    desk.dialog.buttons[file_format].click()

    assert out.stat().st_size > 500
    assert str(out) in desk.dialog.status.text()


def test_a_file_that_nobody_named_in_full_is_not_written_over(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "sheet.txt"
    out.write_text("an older sheet")
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "sheet"), "")
    )

    desk.dialog.buttons["txt"].click()

    assert "“sheet.txt” is already there" in desk.dialog.status.text()
    assert out.read_text() == "an older sheet"


def test_the_pdf_is_printed_in_the_background(
    desk: Desk, qtbot: QtBot, tmp_path: Path
) -> None:
    out = tmp_path / "sheet.pdf"

    desk.dialog.save("pdf", out)
    until(qtbot, desk, lambda: str(out) in desk.dialog.status.text())

    assert "Gully head" in PdfReader(out).pages[0].extract_text()
    assert not desk.dialog.bar.isVisible()


def test_for_the_phone_the_folder_is_shown(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(
        QDesktopServices, "openUrl", lambda url: opened.append(url.toLocalFile())
    )

    desk.dialog.save_for_phone(tmp_path / "sheet.html")

    assert (tmp_path / "sheet.html").read_bytes().startswith(b"<!doctype html>")
    assert opened == [str(tmp_path)]


def test_the_text_goes_to_the_clipboard(desk: Desk) -> None:
    desk.dialog.buttons["copy"].click()

    assert QGuiApplication.clipboard().text().startswith("Evening on the holms")


def test_a_folder_that_is_not_there_is_said_in_a_sentence(
    desk: Desk, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "nowhere" / "sheet.html"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))

    desk.dialog.buttons["html"].click()
    told = desk.dialog.status.text()
    desk.dialog.save("pdf", out.with_suffix(".pdf"))
    until(qtbot, desk, lambda: "sheet.pdf" in desk.dialog.status.text())

    assert "“sheet.html” could not be written" in told
    assert "“sheet.pdf” could not be written" in desk.dialog.status.text()


def test_the_library_itself_is_never_written_over(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(desk.library.store, "path", tmp_path / "a.html", raising=False)

    with pytest.raises(UserError, match="the library itself"):
        desk.dialog.save("html", tmp_path / "a.html")


def test_it_prints_on_the_printer_that_was_chosen(
    desk: Desk, qtbot: QtBot, tmp_path: Path
) -> None:
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))

    desk.dialog.print_with(printer)
    until(qtbot, desk, lambda: "printer" in desk.dialog.status.text())

    assert (tmp_path / "printed.pdf").stat().st_size > 1000


def test_closing_twice_does_no_harm(desk: Desk) -> None:
    desk.dialog.close()
    desk.dialog.close()
    desk.library.edit("rename", desk.now, replace(desk.now, name="Other"))

    assert not desk.dialog.isVisible()


def test_the_ground_is_what_the_map_shows(tmp_path: Path) -> None:
    drawing = Material(kind=Kind.DRAWING, name="Survey", source="/a/b.geojson")
    off = replace(drawing, is_on=False)
    coast = Material(kind=Kind.COAST, name="Coastline")

    assert ground_files((drawing, coast), None, tmp_path) == GroundFiles(
        ((Path("/a/b.geojson"), "Drawing: Survey."),), tmp_path, None, tmp_path
    )
    assert ground_files((off,), None, tmp_path) == GroundFiles(horizon_cache=tmp_path)
    demo = ground_files((drawing,), Path("/demo.geojson"), tmp_path)
    assert demo.drawings == ((Path("/demo.geojson"), DEMO_CREDIT),)
