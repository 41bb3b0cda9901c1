"""From where a body stands over a subject on a day: places, in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.settings import Settings
from fieldtrip.sky.alignment import AlignedWindow
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.light import LIGHT_LIMITS_DEG
from fieldtrip.sky.passages import SUNRISE_ALTITUDE_DEG
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.trips.aligned_places import AlignedPlace, WantedSky, aligned_places
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.wanted_words import BODIES
from fieldtrip.wording import (
    altitude_text,
    bearing_text,
    clock_text,
    count_text,
    distance_text,
    duration_text,
    number_text,
    short_date_text,
)

COLUMNS = ("Place", "From and to", "Best at", "Walk there", "Away", "Towards")
LEVEL_SEA = (
    "Over a level horizon: whether ground stands in between is told on the page "
    "Skyline."
)
GridAt = Callable[[Position], ElevationGrid | None]


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """One place, as it stands in the table."""

    texts: tuple[str, ...]  # as COLUMNS
    keys: tuple[object, ...]
    hint: str
    name: str
    position: Position
    vantage_point_id: UUID | None  # None: on a way
    best: datetime


@dataclass(frozen=True, slots=True)
class WhereContent:
    """Everything that the answer shows."""

    heading: str
    rows: tuple[PlaceRow, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class WhereAsked:
    """What is asked: what shall stand over what, and on which day."""

    dossier: Dossier
    subject_id: UUID | None
    sky: WantedSky
    day: date
    pace_factor: float
    settings: Settings
    grid_at: GridAt | None = None  # heights around a position


def find_places(asked: WhereAsked) -> WhereContent:
    """Look at every vantage point and way.  Raises `UserError` for what cannot be."""
    dossier, sky = asked.dossier, asked.sky
    subject = by_id(dossier.subjects, asked.subject_id)
    if subject is None:
        raise UserError("Choose a subject: over what shall it stand?")
    if sky.altitude_max_deg <= sky.altitude_min_deg:
        raise UserError("The lower altitude must lie below the upper one.")
    if not dossier.vantage_points and not dossier.legs:
        raise UserError(
            "There is neither a vantage point nor a way here to look from. Add one on "
            "the map first."
        )
    grid = None if asked.grid_at is None else asked.grid_at(dossier.location.position)
    places = aligned_places(
        dossier,
        subject,
        sky,
        asked.day,
        ground_at=None if grid is None else grid.height_m,
        pace_factor=asked.pace_factor,
    )
    zone, settings = dossier.location.zone, asked.settings
    day = f"{short_date_text(asked.day)} {asked.day.year}"
    what = f"{BODIES[sky.body]} over {subject.name}"
    if not places:
        return WhereContent(
            f"Nowhere here on {day}: {what} is not seen from any vantage point or way "
            "within these limits. Widen them, or search for another date.",
            note=LEVEL_SEA,
        )
    return WhereContent(
        f"{what[:1].upper()}{what[1:]} on {day}: "
        f"{count_text(len(places), 'place')}, the shortest walk first. "
        f"Times of {zone}.",
        tuple(_row(place, sky.body, zone, settings) for place in places),
        LEVEL_SEA,
    )


def _row(place: AlignedPlace, body: Body, zone: str, settings: Settings) -> PlaceRow:
    window = max(place.windows, key=lambda each: each.stop - each.start)
    spans = [_span(each, zone, settings) for each in place.windows]
    walk = place.walk
    about = "" if place.is_climb_known else ", climb not known"
    name = place.name
    if place.stretch_m is not None:
        first, last = (distance_text(m, settings) for m in place.stretch_m)
        at = f"{first} along" if first == last else f"{first} to {last} along"
        name = f"{place.name}, {at}"
    words = (
        f"{number_text(window.azimuth_deg, 2)}°, "
        f"{altitude_text(window.apparent_altitude_deg)} at the best moment"
    )
    lit = _light(place, window.best) if body is Body.GALACTIC_CENTRE else ""
    top = "" if place.top_deg is None else f"; top {altitude_text(place.top_deg)}"
    return PlaceRow(
        texts=(
            name,
            " and ".join(spans),
            f"{clock_text(window.best, zone, settings)}{lit}",
            "no way known" if walk is None else f"{duration_text(walk)}{about}",
            distance_text(place.distance_m, settings),
            bearing_text(place.bearing_deg),
        ),
        keys=(
            name.casefold(),
            window.start,
            window.best,
            walk or timedelta.max,
            place.distance_m,
            place.bearing_deg,
        ),
        hint=f"{name}: {words}{top}",
        name=name,
        position=place.position,
        vantage_point_id=place.vantage_point_id,
        best=window.best,
    )


def _light(place: AlignedPlace, instant: datetime) -> str:
    """Why the galactic centre cannot be seen then; empty in the dark."""
    sun = sky_position(Body.SUN, Site(place.position), instant)
    if sun.altitude_deg > SUNRISE_ALTITUDE_DEG:
        return ", by day"
    return ", in twilight" if sun.altitude_deg > LIGHT_LIMITS_DEG[0] else ""


def _span(window: AlignedWindow, zone: str, settings: Settings) -> str:
    start, stop = (clock_text(t, zone, settings) for t in (window.start, window.stop))
    return start if start == stop else f"{start} to {stop}"
