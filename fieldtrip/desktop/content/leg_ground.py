"""What the elevation model says of a leg: its profile, and how far it climbs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fieldtrip.desktop.content.profile import (
    ProfileContent,
    ProfileMark,
    profile_content,
)
from fieldtrip.geo import line_length_m
from fieldtrip.places.records import Leg
from fieldtrip.settings import Settings
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.leg_profile import leg_profile
from fieldtrip.wording import distance_text, height_text

_ROOM_M = 300.0
_STEEP_DEG = 20.0  # from where the steepest stretch is worth a word


@dataclass(frozen=True, slots=True)
class LegGround:
    """A drawing and a few sentences; both empty where nothing is known."""

    profile: ProfileContent | None = None
    words: str = ""


def leg_ground(
    ground: KnownGround,
    leg: Leg,
    settings: Settings,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> LegGround:
    """Read the ground below a leg; for a job.

    Raises `UserError` where a file is gone.
    """
    if not leg.line or not ground.covers(leg.line[0]):
        return LegGround()
    reach_m = line_length_m(leg.line) + _ROOM_M
    grid = ground.grid_for(leg.line[0], reach_m, progress)
    found = leg_profile(grid, leg.line) if grid is not None else None
    if grid is None or found is None:
        return LegGround(words="The elevation model does not know all of this leg.")
    steep = f"{found.steepest_deg:.0f}°"
    marks = []
    if found.steepest_deg >= _STEEP_DEG:
        marks.append(ProfileMark(found.steepest_at_m, f"steepest, {steep}"))
    drawn = distance_text(float(found.distances_m[-1]), settings)
    up = height_text(found.ascent_m, settings, 0)
    down = height_text(found.descent_m, settings, 0)
    cell = height_text(max(grid.cell_m), settings, 0)
    words = (
        f"By the elevation model, with a height every {cell}: {drawn}, {up} up and "
        f"{down} down; steepest {steep}. {typed_words(leg)}"
    )
    return LegGround(
        profile_content(
            found.distances_m,
            found.heights_m,
            settings,
            marks=marks,
            start="start",
            end="end",
        ),
        words,
    )


def typed_words(leg: Leg) -> str:
    """Which of typed values and the model the walking time goes by."""
    climbs = (leg.ascent_m, leg.descent_m)
    if all(climb is not None for climb in climbs):
        return "What is typed above counts for the walking time."
    if any(climb is not None for climb in climbs):
        return "Type both ascent and descent, or neither: half of it counts for little."
    return "Nothing is typed above, so the walking time goes by the model."
