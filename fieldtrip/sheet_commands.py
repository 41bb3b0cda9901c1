"""The command that writes a trip sheet, and the one that writes the demo library."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import platformdirs

from fieldtrip.almanac.spots import Skyline, spot_of
from fieldtrip.demo import TRIP_NAME, make_demo
from fieldtrip.errors import UserError
from fieldtrip.exchange.outgoing import write_whole
from fieldtrip.material.coast import Coast
from fieldtrip.reports.sheet_ground import Ground, coast_ground, heights_ground
from fieldtrip.reports.sheet_map import trip_frame
from fieldtrip.reports.trip_sheet import Extras, spots_of, trip_sheet
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sheet_files import SheetSource, format_of, sheet_file
from fieldtrip.store.store import Store
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.horizon import horizon
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.records import ElevationFile, whereabouts
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.plan_ground import plan_ground
from fieldtrip.trips.records import Trip

_REACH_M = 60_000.0  # of a skyline
PAPERS = ("A4", "Letter")
PagePrinter = Callable[[bytes, str], bytes]  # a page, and on which paper

Answer = dict[str, Any]


def write_sheet(options: argparse.Namespace) -> Answer:
    """Answer ``sheet``: write a trip's sheet to a file, whole or not at all."""
    out: Path = options.out
    file_format = format_of(out)  # before anything is worked out
    if out.resolve() == options.library.resolve():
        raise UserError("That is the library itself. Choose another file to write.")
    now = datetime.now(UTC) if options.now is None else options.instant(options.now)
    store = Store.open_to_read(options.library)
    try:
        trip = store.find_trip(options.trip)
        dossier = store.dossier(trip.location_id)
        files = store.all(ElevationFile)
    finally:
        store.close()
    settings = Settings(length_unit=LengthUnit(options.unit))
    heights = known_heights(files, options.library)
    dossier = with_ground(dossier, heights)
    extras = Extras(
        ground=_ground(dossier, trip, now, heights, settings),
        skylines=_skylines(dossier, trip, heights),
    )
    sheet = trip_sheet(dossier, trip, settings, now, extras=extras)
    print_page: PagePrinter | None = options.print_page

    def print_pdf(page: bytes) -> bytes:
        if print_page is None:
            raise UserError("A PDF cannot be made here. Write .html and print that.")
        return print_page(page, options.paper)

    source = SheetSource(sheet, dossier, trip, settings, now)
    write_whole(out, sheet_file(file_format, source, print_pdf))
    return {
        "trip": trip.name,
        "format": file_format,
        "file": str(out),
        "overall": str(sheet.overall),
    }


def write_demo(options: argparse.Namespace) -> Answer:
    """Answer ``--demo-library``: write the demo to a new file; say what is in it."""
    path: Path = options.path
    if path.exists():
        raise UserError(f"“{path.name}” is already there. Choose another name.")
    try:
        make_demo(path, datetime.now().astimezone().date())
    except UserError:
        _take_away(path)  # half a demo would stand in the way of the next try
        raise
    return {"library": str(path), "trip": TRIP_NAME}


def add_sheet(commands: Any, instant: Callable[[str], datetime]) -> None:
    """Say what ``sheet`` takes; `instant` reads one."""
    parser = commands.add_parser(
        "sheet",
        help="write what goes along on a trip as PDF, HTML, GPX, calendar or text",
        allow_abbrev=False,
    )
    parser.add_argument("--library", required=True, type=Path, metavar="PATH")
    parser.add_argument("--trip", required=True, metavar="ID|NAME")
    parser.add_argument(
        "--out", required=True, type=Path, metavar="FILE.pdf|.html|.gpx|.ics|.txt"
    )
    parser.add_argument("--now", help="as known at this instant: 2026-08-15T06:00:00Z")
    parser.add_argument("--paper", choices=PAPERS, default="A4", help="of the PDF")
    parser.add_argument(
        "--unit", choices=("m", "ft"), default="m", help="of lengths and heights"
    )
    parser.set_defaults(answer=write_sheet, status=_fine, instant=instant)


def add_demo_library(commands: Any) -> None:
    """Say what ``--demo-library`` takes; as a command it goes unnamed in the help."""
    parser = commands.add_parser("demo-library", allow_abbrev=False)
    parser.add_argument("path", type=Path)
    parser.set_defaults(answer=write_demo, status=_fine)


def _ground(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    heights: KnownGround,
    settings: Settings,
) -> Ground | None:
    """The ground by the library's elevation files, else an installed coastline."""
    frame = trip_frame(dossier, trip, facts_of(dossier, trip, now))
    with suppress(UserError):
        found = heights_ground(heights, frame, settings)
        if found.shapes:
            return found
    coast = Coast(platformdirs.user_cache_path("fieldtrip", appauthor=False))
    return coast_ground(coast, frame) if coast.is_installed else None


def with_ground(dossier: Dossier, heights: KnownGround) -> Dossier:
    """A dossier with the drops and profiles that the checks ask for, as in the window.

    Without them where a file cannot be read after all.
    """
    with suppress(UserError):
        found = plan_ground(heights, dossier.vantage_points, dossier.legs)
        return replace(dossier, ground=found)
    return dossier


def known_heights(files: Sequence[ElevationFile], library: Path) -> KnownGround:
    """The library's elevation files, as far as they are there and sound."""
    sources = []
    for file in files:
        path = whereabouts(file, library)
        with suppress(UserError):
            sources.append(
                ElevationSource(
                    path,
                    look_at(path),
                    file.name,
                    file.is_surface,
                    file.leaves_sea_out,
                )
            )
    return KnownGround(tuple(sources))


def _skylines(
    dossier: Dossier, trip: Trip, heights: KnownGround
) -> dict[UUID, Skyline]:
    """The skylines of the stops and their subjects, where heights are known."""
    found: dict[UUID, Skyline] = {}
    for record in spots_of(dossier, trip):
        spot = spot_of(record)
        if not heights.covers(spot.position):
            continue
        with suppress(UserError):  # no height there: then it is not known
            grids = heights.grids_for(spot.position, _REACH_M)
            if grids is not None:
                skyline = horizon(
                    grids[0],
                    spot.position,
                    eye_m=spot.eye_m,
                    ground_m=spot.ground_m,
                    beyond=grids[1],
                    reach_m=_REACH_M,
                )
                found[record.id] = Skyline(spot, skyline)
    return found


def _take_away(library: Path) -> None:
    for suffix in ("", "-journal", "-wal", "-shm"):
        with suppress(OSError):
            library.with_name(f"{library.name}{suffix}").unlink(missing_ok=True)


def _fine(_answer: Answer) -> int:
    return 0
