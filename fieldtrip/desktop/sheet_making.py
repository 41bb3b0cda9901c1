"""Makes a trip sheet in the background: the value, and its page."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from uuid import UUID

from fieldtrip.almanac.spots import Skyline, spot_of
from fieldtrip.desktop.drawing_file import read_drawing
from fieldtrip.desktop.kept_horizons import horizon_at
from fieldtrip.errors import UserError
from fieldtrip.material.coast import Coast
from fieldtrip.material.records import Kind, Stack
from fieldtrip.reports.sheet import TripSheet
from fieldtrip.reports.sheet_frame import Frame
from fieldtrip.reports.sheet_ground import (
    Ground,
    coast_ground,
    drawing_ground,
    heights_ground,
    together,
)
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.sheet_map import trip_frame
from fieldtrip.reports.trip_sheet import Extras, spots_of, trip_sheet
from fieldtrip.settings import Settings
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Trip

DEMO_CREDIT = "The land is the demo's own invented outline."


@dataclass(frozen=True, slots=True)
class GroundFiles:
    """Where the land of the sheet's map is read from."""

    drawings: tuple[tuple[Path, str], ...] = ()  # with whose they are
    coast_cache: Path | None = None  # None: no coastline is wanted
    heights: KnownGround | None = None  # of the ground, for skylines
    horizon_cache: Path | None = None


@dataclass(frozen=True, slots=True)
class MadeSheet:
    """A sheet and its page."""

    sheet: TripSheet
    page: bytes


def ground_files(
    stack: Stack, demo: Path | None, cache: Path, heights: KnownGround | None = None
) -> GroundFiles:
    """What a sheet can draw of the map's material, and the heights that are known."""
    drawn = _drawn(stack, demo, cache)
    return replace(drawn, heights=heights, horizon_cache=cache)


def _drawn(stack: Stack, demo: Path | None, cache: Path) -> GroundFiles:
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
    extras = Extras(
        ground=_ground(files, frame, settings), skylines=_skylines(dossier, trip, files)
    )
    sheet = trip_sheet(dossier, trip, settings, now, extras=extras)
    return MadeSheet(sheet, sheet_html(sheet))


def _skylines(dossier: Dossier, trip: Trip, files: GroundFiles) -> dict[UUID, Skyline]:
    """The skylines of the stops and their subjects, where heights are known."""
    heights, cache = files.heights, files.horizon_cache
    if heights is None or cache is None or heights.is_empty:
        return {}
    found: dict[UUID, Skyline] = {}
    for record in spots_of(dossier, trip):
        spot = spot_of(record)
        with suppress(UserError):  # a file that is gone: then it is not known
            found[record.id] = Skyline(spot, horizon_at(heights, spot, cache))
    return found


def _ground(files: GroundFiles, frame: Frame, settings: Settings) -> Ground | None:
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
    if files.heights is not None and not files.heights.is_empty:
        with suppress(UserError):
            lies_bare = not any(ground.shapes for ground in found)
            found.append(
                heights_ground(files.heights, frame, settings, with_land=lies_bare)
            )
    return together(found)
