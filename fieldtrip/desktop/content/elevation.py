"""What is said of the library's elevation files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldtrip.geo import Position, distance_m
from fieldtrip.settings import Settings
from fieldtrip.terrain.facts import ElevationFacts
from fieldtrip.terrain.records import ElevationFile, Keeping
from fieldtrip.wording import count_text, distance_text

LIST_HINT = (
    "Heights of the ground for horizons, light and shade, sightlines and drops: HGT "
    "tiles and GeoTIFF. Where files overlap, the finest counts. They belong to this "
    "library."
)
SEA_HINT = (
    "Say so only if you know it: where no file has heights the sea is then taken to "
    "lie at 0 m, and land whose tile is missing looks the same."
)
NO_HEIGHTS = (
    "No elevation file of this library has heights here. Add one with View ▸ "
    "Elevation files…, or drop it on the window."
)
NOTHING_YET = "No elevation files yet. Add some, or drop them on the window."
SURFACE_WORDS = {
    None: "Not said",
    False: "The ground",
    True: "The top of trees and roofs",
}
_MOST_NAMED = 3
_MOST_TOLD = 8  # troubles, each in a line
_KEEPING_WORDS = {
    Keeping.REFERENCED: "stays where it lies",
    Keeping.COPIED: "in the library’s folder",
    Keeping.BUNDLED: "comes with the program",
}


@dataclass(frozen=True, slots=True)
class ElevationRow:
    """One line of the list."""

    text: str
    note: str  # how fine, how large, in which coordinates, where it lies
    trouble: str  # why it is not used; empty where it is


def elevation_row(
    file: ElevationFile,
    facts: ElevationFacts | None,
    trouble: str,
    settings: Settings,
) -> ElevationRow:
    """A file as the list shows it."""
    if trouble:
        return ElevationRow(file.name, "", f"Not used: {trouble}")
    if facts is None:
        return ElevationRow(file.name, "Being looked at…", "")
    north_south, east_west = size_m(facts)
    parts = [
        f"a height every {distance_text(facts.spacing_m, settings)}",
        f"{distance_text(east_west, settings)} by "
        f"{distance_text(north_south, settings)}",
        facts.system,
        _KEEPING_WORDS[file.keeping],
    ]
    said = {True: "trees and roofs count", False: "bare ground"}.get(
        file.is_surface  # type: ignore[arg-type]
    )
    note = "; ".join([*parts, *([said] if said else [])])
    return ElevationRow(file.name, f"{note[0].upper()}{note[1:]}", "")


def size_m(facts: ElevationFacts) -> tuple[float, float]:
    """Metres from south to north and, through the middle, from west to east."""
    extent = facts.extent
    lat_deg = min(90.0, max(-90.0, 0.5 * (extent.south_deg + extent.north_deg)))
    high_m = (extent.north_deg - extent.south_deg) * 111_200.0
    quarter_deg = 0.25 * (extent.east_deg - extent.west_deg)
    wide_m = 4.0 * distance_m(Position(lat_deg, 0.0), Position(lat_deg, quarter_deg))
    return high_m, wide_m


def no_heights(unread: Sequence[str] = ()) -> str:
    """Why nothing is known of the ground here; `unread` are files out of use."""
    if not unread:
        return NO_HEIGHTS
    names = ", ".join(f"“{name}”" for name in unread[:_MOST_NAMED])
    more = len(unread) - _MOST_NAMED
    if more > 0:
        names += f" and {count_text(more, 'more file')}"
    return (
        f"No elevation file in use has heights here, and {names} cannot be used: "
        "View ▸ Elevation files… says why."
    )


def added_words(added: int, refusals: tuple[str, ...]) -> str:
    """What became of files that were to be added, in a line for each trouble."""
    said = []
    if added:
        said.append(f"{count_text(added, 'elevation file')} added.")
    more = len(refusals) - _MOST_TOLD
    if more > 0:
        files = count_text(more, "more file")
        refusals = (*refusals[:_MOST_TOLD], f"{files} cannot be used either.")
    return "\n".join([*said, *refusals])
