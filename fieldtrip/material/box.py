"""A view of the map in degrees, which may cross the date line."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
    """Edges in degrees; longitudes count on past 180, so that west is below east."""

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float

    def __post_init__(self) -> None:
        edges = (self.south_deg, self.west_deg, self.north_deg, self.east_deg)
        if not all(math.isfinite(edge) for edge in edges):
            raise ValueError("a box has numbers for edges")
        if not (self.south_deg < self.north_deg and self.west_deg < self.east_deg):
            raise ValueError("a box has south below north and west below east")

    def padded(self, fraction: float) -> Box:
        """The box with so much of its size more on each side, within the poles."""
        up = fraction * (self.north_deg - self.south_deg)
        across = fraction * (self.east_deg - self.west_deg)
        return Box(
            max(-90.0, self.south_deg - up),
            self.west_deg - across,
            min(90.0, self.north_deg + up),
            self.east_deg + across,
        )

    def holds(self, other: Box) -> bool:
        """Whether another box lies wholly in this one, as both count longitudes."""
        return (
            self.south_deg <= other.south_deg
            and self.north_deg >= other.north_deg
            and self.west_deg <= other.west_deg
            and self.east_deg >= other.east_deg
        )

    def parts(self) -> tuple[tuple[Box, float], ...]:
        """The box cut at the date line into boxes within −180..180.

        Beside each stands what must be added to its longitudes to lie in this one.
        """
        found = []
        first = math.floor((self.west_deg + 180.0) / 360.0)
        last = math.ceil((self.east_deg + 180.0) / 360.0)
        for turn in range(first, last):
            shift_deg = 360.0 * turn
            west = max(self.west_deg - shift_deg, -180.0)
            east = min(self.east_deg - shift_deg, 180.0)
            if west < east:
                part = Box(self.south_deg, west, self.north_deg, east)
                found.append((part, shift_deg))
        return tuple(found)
