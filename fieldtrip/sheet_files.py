"""The files that a trip sheet goes out as, by their suffix."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.exchange.trip_calendar import trip_calendar
from fieldtrip.exchange.trip_gpx import trip_gpx
from fieldtrip.reports.sheet import TripSheet
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.sheet_text import sheet_text
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip

PrintPdf = Callable[[bytes], bytes]  # a page to a PDF
FORMATS: Mapping[str, str] = {
    "pdf": "PDF for paper",
    "html": "Page for the phone",
    "gpx": "GPX",
    "ics": "Calendar",
    "txt": "Text",
}
_FORBIDDEN = '\\/:*?"<>|'  # in a file's name, somewhere or other
_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class SheetSource:
    """What the files of a sheet are made from."""

    sheet: TripSheet
    dossier: Dossier
    trip: Trip
    settings: Settings
    now: datetime


def sheet_file(file_format: str, source: SheetSource, print_pdf: PrintPdf) -> bytes:
    """A sheet as a file of one of FORMATS.

    Raises `UserError` for another, and where a trip has nothing for that format.
    """
    given = (source.dossier, source.trip, source.settings, source.now)
    match file_format:
        case "pdf":
            return print_pdf(sheet_html(source.sheet))
        case "html":
            return sheet_html(source.sheet)
        case "gpx":
            return trip_gpx(*given)
        case "ics":
            return trip_calendar(*given)
        case "txt":
            return sheet_text(source.sheet).encode("utf-8", "replace")
    raise UserError(f"“{file_format}” is none of {', '.join(FORMATS)}.")


def format_of(path: Path) -> str:
    """The format that a file's name asks for.  Raises `UserError` for another."""
    suffix = path.suffix.lower().removeprefix(".")
    if suffix not in FORMATS:
        listed = ", ".join(f".{name}" for name in FORMATS)
        raise UserError(f"“{path.name}” must end in one of {listed}.")
    return suffix


def file_name(trip: Trip, file_format: str) -> str:
    """A name that any system takes, as in ``2026-12-01 Evening on the holms.pdf``."""
    kept = "".join(
        " " if c in _FORBIDDEN or not c.isprintable() else c for c in trip.name
    )
    name = " ".join(kept.split())[:_LONGEST_NAME].strip(" .")
    return f"{trip.day.isoformat()} {name or 'trip'}.{file_format}"
