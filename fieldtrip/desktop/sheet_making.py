"""Makes a trip sheet in the background: the value, and its page."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldtrip.desktop.drawing_file import read_drawing
from fieldtrip.errors import UserError
from fieldtrip.material.coast import Coast
from fieldtrip.material.records import Kind, Stack
from fieldtrip.reports.sheet import TripSheet
from fieldtrip.reports.sheet_frame import Frame
from fieldtrip.reports.sheet_ground import (
    Ground,
    coast_ground,
    drawing_ground,
    together,
)
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.sheet_map import trip_frame
from fieldtrip.reports.trip_sheet import Extras, trip_sheet
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Trip

DEMO_CREDIT = "The land is the demo's own invented outline."


@dataclass(frozen=True, slots=True)
class GroundFiles:
    """Where the land of the sheet's map is read from."""

    drawings: tuple[tuple[Path, str], ...] = ()  # with whose they are
    coast_cache: Path | None = None  # None: no coastline is wanted


@dataclass(frozen=True, slots=True)
class MadeSheet:
    """A sheet and its page."""

    sheet: TripSheet
    page: bytes


def ground_files(stack: Stack, demo: Path | None, cache: Path) -> GroundFiles:
    """What of the map's material a sheet can draw: what is switched on."""
    if demo is not None:
        return GroundFiles(((demo, DEMO_CREDIT),))
    shown = [each for each in stack if each.is_on]
    return GroundFiles(
        tuple(
            (Path(each.source), each.credit or f"Drawing: {each.name}.")
            for each in shown
            if each.kind is Kind.DRAWING
        ),
        cache if any(each.kind is Kind.COAST for each in shown) else None,
    )


def made_sheet(
    dossier: Dossier,
    trip: Trip,
    settings: Settings,
    now: datetime,
    files: GroundFiles,
) -> MadeSheet:
    """The sheet of a trip as known at a moment, on the land that can be read.

    Raises `UserError` for a trip outside the years in which the Sun is known.
    """
    frame = trip_frame(dossier, trip, facts_of(dossier, trip, now))
    extras = Extras(ground=_ground(files, frame))
    sheet = trip_sheet(dossier, trip, settings, now, extras=extras)
    return MadeSheet(sheet, sheet_html(sheet))


def _ground(files: GroundFiles, frame: Frame) -> Ground | None:
    """The land; what cannot be read is left out, and the map's window says why."""
    found = []
    if files.coast_cache is not None:
        coast = Coast(files.coast_cache)
        if coast.is_installed:
            found.append(coast_ground(coast, frame))
    for path, credit in files.drawings:
        try:
            drawing = read_drawing(path)
        except UserError:
            continue
        found.append(drawing_ground(json.loads(drawing.text), credit))
    return together(found)
