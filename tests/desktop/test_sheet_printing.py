"""Tests for the sheet in the real web engine: nothing leaves, and the PDF is whole."""

from __future__ import annotations

import io
import logging

import pytest
import shiboken6
from pypdf import PdfReader
from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.sheet_page import SheetPage, sheet_profile
from fieldtrip.desktop.sheet_printing import Paper, PdfPrinter
from fieldtrip.reports.sheet import Photo, TripSheet
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.trip_sheet import Extras
from tests.reports.story import (
    bare,
    demo_ground,
    hostile,
    ordinary,
    sheet_of,
    ten_stops,
)

pytestmark = pytest.mark.web
LONG_MS = 60_000


def printed(qtbot: QtBot, page: bytes, paper: Paper = Paper.A4) -> PdfReader:
    """A page as a PDF that another reader has read."""
    application = QApplication.instance()
    assert application is not None
    printer = PdfPrinter(application)
    found: list[bytes] = []
    failed: list[Exception] = []
    printer.start(page, paper, found.append, failed.append)
    qtbot.waitUntil(lambda: bool(found or failed), timeout=LONG_MS)
    qtbot.waitUntil(lambda: not printer.is_busy, timeout=LONG_MS)
    shiboken6.delete(printer)
    assert failed == []
    return PdfReader(io.BytesIO(found[0]))


def text_of(pdf: PdfReader) -> str:
    """All its texts without any gap, since lines may be broken anywhere."""
    return plain("".join(page.extract_text() for page in pdf.pages))


def plain(text: str) -> str:
    """A text without its gaps."""
    return "".join(text.split())


@pytest.fixture(scope="module")
def evening() -> TripSheet:
    return sheet_of(ordinary(), extras=Extras(ground=demo_ground()))


def test_the_pdf_holds_every_time_of_the_plan(qtbot: QtBot, evening: TripSheet) -> None:
    pdf = printed(qtbot, sheet_html(evening))

    text = text_of(pdf)

    for step in evening.timeline:
        assert plain(step.time) in text, step.what
    for gate in evening.gates:
        assert plain(f"by {gate.time}") in text, gate.name
    for stop in evening.stops:
        assert plain(stop.time) in text
        for fact in stop.facts:
            assert plain(fact.text) in text, fact.name
    # Source: ISO 216: A4 is 210 by 297 mm, to 2 mm, and a millimetre 2.835 points.
    width, height = pdf.pages[0].mediabox.width, pdf.pages[0].mediabox.height
    assert float(width) == pytest.approx(595.3, abs=5.6)
    assert float(height) == pytest.approx(841.9, abs=5.6)


def test_an_ordinary_trip_takes_two_sheets_printed_on_both_sides(
    qtbot: QtBot, evening: TripSheet
) -> None:
    pdf = printed(qtbot, sheet_html(evening))

    assert len(pdf.pages) <= 5  # the type of the machine decides over the last lines
    assert "page 1 of" in pdf.pages[0].extract_text()


def test_long_and_empty_trips_are_printed_whole(qtbot: QtBot) -> None:
    long = text_of(printed(qtbot, sheet_html(sheet_of(ten_stops())), Paper.LETTER))
    empty = text_of(printed(qtbot, sheet_html(sheet_of(bare()))))

    assert all(f"{n}.Rocknumber{n}" in long for n in range(1, 11))
    assert plain("There is no forecast.") in empty
    assert plain("Not for navigation.") in empty


@pytest.mark.parametrize("story", [ordinary, hostile])
def test_no_request_leaves_the_sheet_and_nothing_in_it_runs(
    story: object, qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    dossier, trip = story()  # type: ignore[operator]
    photo = Photo(b"\xff\xd8\xff\xe0", "Taken before")
    photos = {dossier.vantage_points[0].id: photo}
    sheet = sheet_of((dossier, trip), extras=Extras(photos=photos))
    application = QApplication.instance()
    assert application is not None
    page = SheetPage(application)
    title = sheet.title.replace("\x0b", "\ufffd")

    with qtbot.waitSignal(page.loadFinished, timeout=LONG_MS) as loaded:
        page.show_page(sheet_html(sheet))

    # The engine says what it blocks or refuses in the log, and titles are not run.
    assert loaded.args == [True]
    qtbot.waitUntil(lambda: page.title().startswith(title[:8]), timeout=LONG_MS)
    assert [r for r in caplog.records if r.levelno >= logging.WARNING] == []
    page.forget()
    shiboken6.delete(page)


@pytest.mark.logs_errors
def test_a_page_that_reaches_out_is_held_back(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    application = QApplication.instance()
    assert application is not None
    page = SheetPage(application)
    evil = (
        b"<!doctype html><title>calm</title>"
        b"<script>document.title='run'</script><p>text"
        b"<img src='https://example.invalid/x.png' alt=''>"
    )

    with qtbot.waitSignal(page.loadFinished, timeout=LONG_MS):
        page.show_page(evil)

    qtbot.waitUntil(lambda: "example.invalid" in caplog.text, timeout=LONG_MS)
    assert page.title() == "calm"
    page.forget()
    shiboken6.delete(page)


def test_what_was_printed_is_not_kept(qtbot: QtBot) -> None:
    printed(qtbot, b"<!doctype html><title>short</title><p>gone again")

    assert sheet_profile().handler.is_empty


def test_a_position_is_handed_on_and_no_link_followed(qtbot: QtBot) -> None:
    application = QApplication.instance()
    assert application is not None
    page = SheetPage(application)
    clicked: list[QUrl] = []
    page.positionClicked.connect(clicked.append)
    kind = SheetPage.NavigationType.NavigationTypeLinkClicked

    allowed = [
        page.acceptNavigationRequest(QUrl(url), kind, True)
        for url in ("geo:49.6,-8.4", "https://example.invalid/", "file:///etc/passwd")
    ]

    assert allowed == [False, False, False]
    assert clicked == [QUrl("geo:49.6,-8.4")]
    page.forget()
    shiboken6.delete(page)
