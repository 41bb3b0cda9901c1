"""Which skyline the page shows, or what it says in its place."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from uuid import UUID

from fieldtrip.almanac.spot_light import moments, spot_light
from fieldtrip.almanac.spots import (
    SKYLINE_REACH_M,
    Skyline,
    Spot,
    cells_at,
    heights_end_m,
    spot_of,
)
from fieldtrip.desktop.content.elevation import no_heights
from fieldtrip.desktop.content.skyline import (
    SkylineContent,
    SkylineMinute,
    SkyMark,
    skyline_content,
    skyline_minute,
)
from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.wording import clock_text, height_text

NO_LOCATION = "Choose a location on the left to see its skyline."
NO_VANTAGE = "Choose a vantage point to see its skyline."
_NEAR_M = 300.0
_APART_M = 10.0  # that models and maps rarely are, away from cliffs
WAITING = "The skyline is being worked out…"


def skyline_at(
    dossier: Dossier | None, vantage_id: UUID | None, find: Callable[[Spot], Skyline]
) -> Skyline | None:
    """The skyline of the chosen vantage point; None where none is chosen."""
    vantage = by_id(dossier.vantage_points, vantage_id) if dossier else None
    return find(spot_of(vantage)) if vantage else None


def skyline_page(
    dossier: Dossier | None,
    skyline: Skyline | None,
    subject_id: UUID | None,
    day: date,
    settings: Settings,
    ground: KnownGround,
) -> SkylineContent:
    """The chart of a day, or a sentence on why there is none.

    Raises `UserError` outside the years of the sky's table.
    """
    if dossier is None:
        return SkylineContent(message=NO_LOCATION)
    if skyline is None:
        return SkylineContent(message=NO_VANTAGE)
    if skyline.trouble:
        return SkylineContent(message=skyline.trouble)
    if skyline.is_waiting:
        return SkylineContent(message=WAITING)
    cells = cells_at(ground, skyline.spot.position)
    if skyline.horizon is None or cells is None:
        return SkylineContent(message=no_heights(ground.unread), can_add=True)
    return skyline_content(
        skyline.spot,
        skyline.horizon,
        day,
        dossier.location.zone,
        settings,
        cell_m=cells.spacing_m,
        is_surface=cells.is_surface,
        ends_m=heights_end_m(ground, skyline.spot.position, SKYLINE_REACH_M),
        model_notes=_ground_notes(ground, skyline, settings),
        subject=by_id(dossier.subjects, subject_id),
        marks=_marks(skyline, day, dossier.location.zone, settings),
    )


def _ground_notes(
    ground: KnownGround, skyline: Skyline, settings: Settings
) -> tuple[str, ...]:
    """That the model has the ground elsewhere than was typed: one may be mistaken."""
    typed_m = skyline.spot.ground_m
    grid = ground.grid_for(skyline.spot.position, _NEAR_M)
    found_m = grid.height_m(skyline.spot.position) if grid is not None else None
    if typed_m is None or found_m is None or abs(found_m - typed_m) <= _APART_M:
        return ()
    there, typed = (height_text(each, settings, 0) for each in (found_m, typed_m))
    return (
        f"The model has the ground here at {there}, and {typed} is typed: look at the "
        "position and the height.",
    )


def _marks(
    skyline: Skyline, day: date, zone: str, settings: Settings
) -> tuple[SkyMark, ...]:
    """When the Sun comes over the skyline and goes behind it, where it does."""
    light = spot_light(skyline, local_day(day, zone))
    return tuple(
        SkyMark(
            moment.time.azimuth_deg,
            moment.time.skyline_deg,
            f"{moment.words} {clock_text(moment.time.instant, zone, settings)}",
            moment.time.instant,
        )
        for moment in (moments(light) if light else ())
        if moment.is_sun
    )


def skyline_minute_at(
    dossier: Dossier | None,
    skyline: Skyline | None,
    instant: datetime,
    settings: Settings,
) -> SkylineMinute | None:
    """Sun and Moon over that skyline; None where there is none."""
    if dossier is None or skyline is None or skyline.horizon is None:
        return None
    try:
        return skyline_minute(skyline.horizon, instant, dossier.location.zone, settings)
    except UserError:  # beyond the sky's years; the page says so
        return None
