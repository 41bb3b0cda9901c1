"""What a file of heights says of itself."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fieldtrip.terrain.lattice import Extent


@dataclass(frozen=True, slots=True)
class ElevationFacts:
    """As found by looking at the file."""

    extent: Extent  # outer edges
    spacing_m: float  # between cells, the finer of both directions
    system: str  # of coordinates, in its own words: "WGS 84 / UTM zone 29N"
    is_surface: bool | None  # a guess from the file's name; None: it does not say
    rows: int
    columns: int
    # Degrees from row to row and column to column, and a centre, where the file lies
    # even in latitude and longitude; None where it is projected.
    steps_deg: tuple[float, float] | None = None
    centre_deg: tuple[float, float] | None = None  # latitude and longitude


def guessed_surface(name: str) -> bool | None:
    """Whether a model follows trees and roofs, by a word in its file's name."""
    words = set(re.split(r"[^a-z]+", name.lower()))
    if words & {"dsm", "surface"}:
        return True
    if words & {"dtm", "bare", "ground"}:
        return False
    return None
