"""Where azimuths and altitudes stand on the skyline chart; free of Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace

_NARROWEST_DEG = 20.0


@dataclass(frozen=True, slots=True)
class SkyScale:
    """A window of the sky on a box of pixels."""

    left_deg: float  # azimuth at the left edge; may lie outside 0..360
    width_deg: float  # 360 at most
    bottom_deg: float
    top_deg: float
    x: float
    y: float
    width: float
    height: float

    def x_of(self, azimuth_deg: float) -> float:
        """How far right an azimuth stands, once: within one turn from the left."""
        turned = (azimuth_deg - self.left_deg) % 360.0
        return self.x + turned * self.width / self.width_deg

    def y_of(self, altitude_deg: float) -> float:
        """How far down an altitude stands."""
        share = (self.top_deg - altitude_deg) / (self.top_deg - self.bottom_deg)
        return self.y + share * self.height

    def azimuth_at(self, x: float) -> float:
        """The azimuth at a place from left to right, 0..360."""
        share = (x - self.x) / max(self.width, 1.0)
        return (self.left_deg + share * self.width_deg) % 360.0

    def is_within(self, azimuth_deg: float) -> bool:
        """Whether an azimuth can be seen."""
        return (azimuth_deg - self.left_deg) % 360.0 <= self.width_deg

    def zoomed(self, factor: float, x: float) -> SkyScale:
        """Wider or narrower by a factor; what stands at `x` stays there.

        The altitudes follow, so that shapes keep their likeness; the whole circle
        shows what it showed at first.
        """
        width_deg = min(max(self.width_deg / factor, _NARROWEST_DEG), 360.0)
        share = (x - self.x) / max(self.width, 1.0)
        at_deg = self.left_deg + share * self.width_deg
        return replace(self, width_deg=width_deg, left_deg=at_deg - share * width_deg)

    def moved(self, by_deg: float) -> SkyScale:
        """Turned round by degrees; positive to the right."""
        return replace(self, left_deg=(self.left_deg + by_deg) % 360.0)


def grid_step_deg(width_deg: float, width_px: float, least_px: float) -> float:
    """Degrees between labelled azimuths, so that their labels have room."""
    for step in (1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0):
        if step * width_px / width_deg >= least_px:
            return step
    return 90.0


def point_of_compass(azimuth_deg: float) -> str:
    """N, NE, E … for a multiple of 45 degrees; empty for others."""
    if azimuth_deg % 45.0:
        return ""
    return ("N", "NE", "E", "SE", "S", "SW", "W", "NW")[round(azimuth_deg / 45.0) % 8]
