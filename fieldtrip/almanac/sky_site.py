"""From where the sky of the window is seen, and in what words."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from fieldtrip.places.records import VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.sky.events import EventName
from fieldtrip.sky.site import HIGHEST_M, LOWEST_M, Site
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.wording import height_text

EVENT_WORDS = {
    EventName.ASTRONOMICAL_DAWN: "astronomical dawn",
    EventName.NAUTICAL_DAWN: "nautical dawn",
    EventName.CIVIL_DAWN: "civil dawn",
    EventName.BLUE_HOUR_START: "blue hour starts",
    EventName.BLUE_HOUR_END: "blue hour ends",
    EventName.GOLDEN_HOUR_START: "golden hour starts",
    EventName.SUNRISE: "sunrise",
    EventName.GOLDEN_HOUR_END: "golden hour ends",
    EventName.SOLAR_NOON: "solar noon",
    EventName.SUNSET: "sunset",
    EventName.CIVIL_DUSK: "civil dusk",
    EventName.NAUTICAL_DUSK: "nautical dusk",
    EventName.ASTRONOMICAL_DUSK: "astronomical dusk",
    EventName.MOONRISE: "moonrise",
    EventName.MOONSET: "moonset",
}


@dataclass(frozen=True, slots=True)
class Seen:
    """The site of the sky's times, and its name for the reader."""

    site: Site
    text: str  # "Seen from Bar end, 5.6 m above sea level."
    short: str  # "Bar end"
    vantage: VantagePoint | None


def seen_from(dossier: Dossier, vantage_id: UUID | None, settings: Settings) -> Seen:
    """The chosen vantage point, or else the location's own position.

    A height that is not known counts as sea level, and the text says so.
    """
    vantage = by_id(dossier.vantage_points, vantage_id)
    if vantage is None:
        name = dossier.location.name
        hint = (
            "Choose a vantage point to see its own light."
            if dossier.vantage_points
            else "Add a vantage point to see its own light."
        )
        text = f"Seen from the middle of {name}, at sea level. {hint}"
        return Seen(Site(dossier.location.position, 0.0), text, name, None)
    if vantage.ground_m is None:
        text = f"Seen from {vantage.name}; its height is not known, sea level is taken."
        return Seen(Site(vantage.position, 0.0), text, vantage.name, vantage)
    camera_m = vantage.ground_m + vantage.eye_height_m
    height = height_text(camera_m, settings)
    text = f"Seen from {vantage.name}, camera {height} above sea level."
    inside_m = min(max(camera_m, LOWEST_M), HIGHEST_M)
    return Seen(Site(vantage.position, inside_m), text, vantage.name, vantage)
