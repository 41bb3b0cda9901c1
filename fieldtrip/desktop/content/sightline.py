"""Whether the subject is seen from a vantage point, by how much, and from which."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from uuid import UUID

from fieldtrip.almanac.spots import Spot, spot_of
from fieldtrip.desktop.content.elevation import no_heights
from fieldtrip.desktop.content.profile import (
    ProfileContent,
    ProfileMark,
    profile_content,
)
from fieldtrip.geo import Position, bearing_deg, destination, distance_m
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.sightline import Sightline, sightline
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.wording import bearing_text, distance_text, height_text

NO_LOCATION = "Choose a location on the left to see its lines of sight."
NO_SUBJECT = "Choose a subject to see from where it can be seen."
NO_VANTAGE = "Choose a vantage point to see the ground between."
_CLOSE_M = 2.0  # a line of sight so close to the ground is a guess
_MOST_REACH_M = 60_000.0
_LEAST_M = 1.0


@dataclass(frozen=True, slots=True)
class SeenRow:
    """One vantage point, and whether the subject is seen from it."""

    record_id: UUID
    name: str
    verdict: str  # "seen", "hidden", "not known"
    clearance: str
    away: str


@dataclass(frozen=True, slots=True)
class SightContent:
    """Everything the page says of lines of sight to one subject."""

    heading: str = ""
    verdict: str = ""  # "Seen", "Hidden" or "Not known", and by how much
    is_hidden: bool = False
    profile: ProfileContent | None = None
    tightest: Position | None = None  # where the line comes closest, or is cut off
    rows: tuple[SeenRow, ...] = ()
    notes: tuple[str, ...] = ()
    message: str = ""  # in place of everything
    can_add: bool = False  # whether an elevation file would help


def sight_content(
    ground: KnownGround,
    dossier: Dossier | None,
    vantage_id: UUID | None,
    subject_id: UUID | None,
    settings: Settings,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> SightContent:
    """Work out the line of sight to the chosen subject from each vantage point.

    Reads files: for a job.  Raises `UserError` where a file is gone.
    """
    if dossier is None:
        return SightContent(message=NO_LOCATION)
    subject = by_id(dossier.subjects, subject_id)
    if subject is None:
        return SightContent(message=NO_SUBJECT)
    if not ground.covers(subject.position):
        return SightContent(message=no_heights(ground.unread), can_add=True)
    away_m = {
        vantage.id: distance_m(vantage.position, subject.position)
        for vantage in dossier.vantage_points
    }
    near = [v for v in dossier.vantage_points if away_m[v.id] <= _MOST_REACH_M]
    reach_m = max((away_m[v.id] for v in near), default=1000.0)
    grid = ground.grid_for(subject.position, max(500.0, 1.05 * reach_m), progress)
    if grid is None:
        return SightContent(message=no_heights(ground.unread), can_add=True)
    found: dict[UUID, Sightline] = {}
    for k, vantage in enumerate(near):
        progress(k / len(near))
        if away_m[vantage.id] >= _LEAST_M:
            found[vantage.id] = sight(grid, vantage, subject)
    rows = [
        _row(vantage, found.get(vantage.id), away_m[vantage.id], settings)
        for vantage in dossier.vantage_points
    ]
    chosen = by_id(dossier.vantage_points, vantage_id)
    line = found.get(chosen.id) if chosen else None
    order = {"seen": 0, "not known": 1, "hidden": 2}
    rows.sort(key=lambda row: (order[row.verdict], row.name.casefold()))
    if chosen is None or line is None:
        return SightContent(
            heading=f"To {subject.name}",
            verdict=NO_VANTAGE if chosen is None else "Too close or too far to say.",
            rows=tuple(rows),
            notes=_notes(grid, subject, settings),
        )
    return SightContent(
        heading=f"From {chosen.name} to {subject.name}, "
        f"{distance_text(away_m[chosen.id], settings)} along "
        f"{bearing_text(bearing_deg(chosen.position, subject.position))}",
        verdict=verdict_text(line, settings),
        is_hidden=line.visible is False,
        profile=_profile(line, chosen, subject, settings),
        tightest=_tightest(line, chosen, subject),
        rows=tuple(rows),
        notes=_notes(grid, subject, settings),
    )


def sight(grid: ElevationGrid, vantage: VantagePoint, subject: Subject) -> Sightline:
    """The line from the camera to the top of the subject."""
    eye, top = spot_of(vantage), spot_of(subject)
    return sightline(
        grid,
        eye.position,
        eye.eye_m,
        top.position,
        top.eye_m,
        start_ground_m=eye.ground_m,
        end_ground_m=top.ground_m,
    )


def verdict_text(line: Sightline, settings: Settings) -> str:
    """Whether it is seen, by how much, and where it is tightest."""
    if line.clearance_m is None or line.at_m is None:
        return "Not known: no heights are known between the two."
    by = height_text(abs(line.clearance_m), settings)
    where = distance_text(line.at_m, settings)
    if line.visible is None:
        return f"Not known: heights are missing. So far it clears the ground by {by}."
    if not line.visible:
        return f"Hidden: the ground stands {by} into the line, {where} from the camera."
    close = (
        "" if line.clearance_m >= _CLOSE_M else " So little may be wrong: go and see."
    )
    return f"Seen: the line clears the ground by {by}, {where} from the camera.{close}"


def _row(
    vantage: VantagePoint, line: Sightline | None, away_m: float, settings: Settings
) -> SeenRow:
    away = distance_text(away_m, settings)
    if line is None or line.clearance_m is None:
        return SeenRow(vantage.id, vantage.name, "not known", "", away)
    verdict = {True: "seen", False: "hidden", None: "not known"}[line.visible]
    by = height_text(abs(line.clearance_m), settings)
    words = f"by {by}" if line.clearance_m >= 0.0 else f"{by} too low"
    return SeenRow(vantage.id, vantage.name, verdict, words, away)


def _profile(
    line: Sightline, vantage: VantagePoint, subject: Subject, settings: Settings
) -> ProfileContent:
    marks = []
    if line.at_m is not None and line.clearance_m is not None:
        by = height_text(abs(line.clearance_m), settings)
        is_cut = line.clearance_m < 0.0
        words = f"{by} into the line" if is_cut else f"clear by {by}"
        marks.append(ProfileMark(line.at_m, words, is_strong=is_cut))
    return profile_content(
        line.distances_m,
        line.ground_m,
        settings,
        ray_m=line.ray_m,
        marks=marks,
        start=vantage.name,
        end=_end_words(spot_of(subject), subject, settings),
    )


def _end_words(top: Spot, subject: Subject, settings: Settings) -> str:
    height = height_text(top.eye_m, settings)
    return f"{subject.name}, {height} up"


def _tightest(
    line: Sightline, vantage: VantagePoint, subject: Subject
) -> Position | None:
    if line.at_m is None:
        return None
    bearing = bearing_deg(vantage.position, subject.position)
    return destination(vantage.position, bearing, line.at_m)


def _notes(
    grid: ElevationGrid, subject: Subject, settings: Settings
) -> tuple[str, ...]:
    cell = height_text(max(grid.cell_m), settings, 0)
    notes = [f"The elevation model has a height every {cell}."]
    if subject.height_m is None:
        notes.append(
            "The subject has no height: a point a metre above its foot counts."
        )
    if grid.is_surface:
        notes.append("It is a model of trees and roofs, which stand in the way.")
    else:
        notes.append("Trees, walls and buildings are not in it: they may hide more.")
    return (*notes, *grid.notes)
