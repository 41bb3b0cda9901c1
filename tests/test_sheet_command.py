"""Tests for the command that writes a trip sheet."""

from __future__ import annotations

import errno
import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import gpxpy
import icalendar
import pytest
from pypdf import PdfReader

from fieldtrip import __main__, commands
from fieldtrip.demo import TRIP_NAME, make_demo
from fieldtrip.errors import UserError
from fieldtrip.sheet_files import file_name
from fieldtrip.store.store import Store
from fieldtrip.trips.plan_ground import MODEL_EDGE
from tests.reports.story import bare

NOW = "2026-11-14T12:00:00Z"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sheet") / "demo.fieldtrip"
    make_demo(path, date(2026, 11, 14))
    return path


def sheet(library: Path, out: Path, *more: str) -> list[str]:
    return [
        "sheet", "--library", str(library), "--trip", TRIP_NAME, "--now", NOW,
        "--out", str(out), *more,
    ]  # fmt: skip


READ: dict[str, Callable[[bytes], object]] = {
    "html": lambda data: data.startswith(b"<!doctype html>"),
    "gpx": lambda data: gpxpy.parse(data.decode()).waypoints,
    "ics": lambda data: icalendar.Calendar.from_ical(data).walk("VEVENT"),
    "txt": lambda data: data.decode().startswith(TRIP_NAME),
}


@pytest.mark.parametrize("suffix", READ)
def test_the_file_s_name_says_what_is_written(
    suffix: str, demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"evening.{suffix}"
    before = demo.read_bytes()

    code = commands.main(sheet(demo, out))

    answer = json.loads(capsys.readouterr().out)
    assert code == 0
    assert (answer["format"], answer["file"]) == (suffix, str(out))
    assert READ[suffix](out.read_bytes())
    assert demo.read_bytes() == before


@pytest.mark.parametrize(
    ("out", "says"),
    [
        ("evening.docx", "must end in one of .pdf, .html, .gpx, .ics, .txt."),
        ("evening", "must end in one of"),
        ("nowhere/evening.html", "could not be written"),
        ("demo.fieldtrip", "must end in one of"),
    ],
)
def test_what_cannot_be_written_is_said_in_a_sentence(
    out: str,
    says: str,
    demo: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    code = commands.main(sheet(demo, tmp_path / out))

    told = capsys.readouterr()
    assert (code, told.out) == (64, "")
    assert says in told.err
    assert told.err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_fills_up_leaves_the_older_file_whole(
    demo: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = tmp_path / "evening.html"
    out.write_text("the older one")

    def fill_up(path: Path, data: bytes) -> int:
        with path.open("wb") as file:
            file.write(data[:100])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", fill_up)
    code = commands.main(sheet(demo, out))

    assert code == 64
    assert "No space left on device" in capsys.readouterr().err
    assert out.read_text() == "the older one"
    assert [path.name for path in tmp_path.iterdir()] == ["evening.html"]


def test_without_a_web_engine_there_is_no_pdf_but_a_way_out(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = commands.main(sheet(demo, tmp_path / "evening.pdf"), print_page=None)

    assert code == 64
    assert "Write .html" in capsys.readouterr().err


def test_a_trip_that_is_not_there_is_named(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    given = sheet(demo, tmp_path / "evening.html")
    given[given.index(TRIP_NAME)] = "Morning"

    assert commands.main(given) == 64
    assert "No trip is called “Morning”" in capsys.readouterr().err


def test_the_demo_library_is_written_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "demo.fieldtrip"

    first = __main__.main(["--demo-library", str(path)])
    told = json.loads(capsys.readouterr().out)
    second = __main__.main(["--demo-library", str(path)])

    assert (first, second) == (0, 64)
    assert told == {"library": str(path), "trip": TRIP_NAME}
    assert "is already there" in capsys.readouterr().err


def test_a_demo_that_does_not_fit_on_the_disk_leaves_nothing_behind(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / "demo.fieldtrip"

    def full(self: Store, changes: object) -> None:
        raise UserError("“demo.fieldtrip” could not be written: the disk is full.")

    monkeypatch.setattr(Store, "apply", full)

    assert __main__.main(["--demo-library", str(path)]) == 64
    assert "the disk is full" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
@pytest.mark.web
def test_a_pdf_is_printed_by_a_command_of_its_own(demo: Path, tmp_path: Path) -> None:
    out = tmp_path / "evening.pdf"

    ran = subprocess.run(  # an interpreter of its own, since it must also end well
        [sys.executable, "-m", "fieldtrip", *sheet(demo, out, "--paper", "Letter")],
        capture_output=True,
        check=False,
        text=True,
    )

    assert ran.returncode == 0, ran.stderr
    page = PdfReader(out).pages[0]
    assert "Evening on the holms" in page.extract_text()
    # Source: ANSI/ASME Y14.1: Letter is 8.5 by 11 inches, of 72 points each.
    assert (page.mediabox.width, page.mediabox.height) == (612, 792)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Evening", "2026-12-01 Evening.pdf"),
        ("a/b\\c:d*e", "2026-12-01 a b c d e.pdf"),
        ("..", "2026-12-01 trip.pdf"),
        ("\u202e\u200fx", "2026-12-01 x.pdf"),
        ("y" * 300, f"2026-12-01 {'y' * 60}.pdf"),
    ],
)
def test_a_file_s_name_holds_nothing_that_a_system_refuses(
    name: str, expected: str
) -> None:
    _, trip = bare()

    assert file_name(replace(trip, name=name), "pdf") == expected


def test_check_and_sheet_mind_the_drops_of_the_library_s_heights_as_the_window_does(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "evening.html"
    asked = ["check", "--library", str(demo), "--trip", TRIP_NAME, "--now", NOW]

    commands.main(asked)
    found = json.loads(capsys.readouterr().out)["findings"]
    commands.main(sheet(demo, out))

    edges = [one for one in found if one["rule"] == "cliff_edge"]
    drops = [one for one in edges if MODEL_EDGE in one["about"]]
    assert drops
    assert {one["severity"] for one in drops} <= {"unknown", "stop"}
    assert MODEL_EDGE in out.read_text("utf-8")
