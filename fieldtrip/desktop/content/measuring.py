"""What is said of a line that is measured on the map, and of bearings by compass."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from fieldtrip.desktop.content.map_features import Feature, FeatureCollection
from fieldtrip.geo import Line, Position, area_m2, bearing_deg, distance_m
from fieldtrip.geomagnetic import (
    FIRST_YEAR,
    LAST_YEAR,
    MODEL,
    Declination,
    declination,
    magnetic_bearing_deg,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.wording import (
    METRES_PER_FOOT,
    METRES_PER_MILE,
    bearing_text,
    number_text,
    short_date_text,
)

HINT = (
    "Measure: click along the way. A click on the first point, or Enter, closes it to "
    "an area. Backspace takes the last point back, Esc ends. By keyboard: the arrows "
    "move the map, Space sets a point at the cross."
)
_SQUARE_METRES_PER_ACRE = 4046.8564224  # of the international foot
_MOST_TOLD = 1_000_000.0


def measured_text(
    line: Line, *, is_aimed: bool, is_closed: bool, day: date, settings: Settings
) -> str:
    """The length of each piece and of all, the last bearing, and the area inside.

    `is_aimed`: the last position is where the pointer is, not a point that was set.
    """
    if len(line) < 2:
        return "Click where to measure from." if not line or is_aimed else _first()
    ring = (*line, line[0]) if is_closed else line
    pieces = [distance_m(a, b) for a, b in pairwise(ring)]
    here = declination(ring[-2], day)
    name = "To the pointer" if is_aimed else "Last piece"
    bearing = bearing_deg(ring[-2], ring[-1])
    said = [
        f"{name}: {length_text(pieces[-1], settings)}, {compass_text(bearing, here)}",
        f"{'All round' if is_closed else 'Total'}: "
        f"{length_text(sum(pieces), settings)} in "
        f"{len(pieces)} {'piece' if len(pieces) == 1 else 'pieces'}",
    ]
    if is_closed:
        said.append(f"Area: {area_text(area_m2(line), settings)}")
    return "\n".join([*said, north_text(here, day)])


def measured_features(
    line: Line, *, is_closed: bool, settings: Settings
) -> FeatureCollection:
    """The length of each piece, to be written along it."""
    ring = (*line, line[0]) if is_closed and line else line
    return {
        "type": "FeatureCollection",
        "features": [_piece(a, b, settings) for a, b in pairwise(ring) if a != b],
    }


def length_text(length_m: float, settings: Settings) -> str:
    """A measured length, finer than a distance to walk: ``312 m``, ``1.24 km``."""
    match settings.length_unit:
        case LengthUnit.METRE:
            if length_m < 999.5:
                return f"{number_text(length_m, 1 if length_m < 99.95 else 0)} m"
            return f"{number_text(length_m / 1000.0, 2)} km"
        case LengthUnit.FOOT:
            if length_m < 0.2 * METRES_PER_MILE:
                return f"{number_text(length_m / METRES_PER_FOOT, 0)} ft"
            return f"{number_text(length_m / METRES_PER_MILE, 2)} mi"


def area_text(area: float, settings: Settings) -> str:
    """An area of so many square metres: ``840 m²``, ``3.20 ha``, ``1.50 km²``."""
    match settings.length_unit:
        case LengthUnit.METRE:
            if area < 10_000.0:
                return f"{area:.0f} m²"
            if area < _MOST_TOLD:
                return f"{area / 10_000.0:.2f} ha"
            return f"{area / 1e6:,.2f} km²".replace(",", "\u2009")
        case LengthUnit.FOOT:
            acres = area / _SQUARE_METRES_PER_ACRE
            if acres < 0.1:
                return f"{area / METRES_PER_FOOT**2:.0f} sq ft"
            if acres < 640.0:
                return f"{acres:.2f} acres"
            return f"{area / METRES_PER_MILE**2:,.2f} sq mi".replace(",", "\u2009")


def compass_text(true_deg: float, here: Declination | None) -> str:
    """A bearing as true and by compass: ``137° true, 139° magnetic``."""
    true = f"{bearing_text(true_deg)} true"
    if here is None:
        return f"{true}, magnetic not known"
    if here.is_blind:
        return f"{true}, a compass is of no use here"
    return f"{true}, {bearing_text(magnetic_bearing_deg(true_deg, here))} magnetic"


def north_text(here: Declination | None, day: date) -> str:
    """How far magnetic north is off, by what model, for when, and how surely."""
    years = f"{MODEL}, for {FIRST_YEAR} to {LAST_YEAR}"
    if here is None:
        return (
            f"Magnetic north is not known for {short_date_text(day)} {day.year}: "
            + (f"the {years} only.")
        )
    side = "east" if here.east_deg >= 0.0 else "west"
    weak = " Compasses are weak here." if here.is_weak else ""
    return (
        f"Magnetic north is {abs(here.east_deg):.1f}° {side} of true north here on "
        f"{short_date_text(day)} {day.year} ({years}; good to about "
        f"{here.error_deg:.1f}°, less near iron).{weak}"
    )


def _first() -> str:
    return "Click where to measure to."


def _piece(a: Position, b: Position, settings: Settings) -> Feature:
    turn = 360.0 if b.lon_deg - a.lon_deg < -180.0 else 0.0
    turn = -360.0 if b.lon_deg - a.lon_deg > 180.0 else turn
    coordinates = [[a.lon_deg, a.lat_deg], [b.lon_deg + turn, b.lat_deg]]
    return {
        "type": "Feature",
        "geometry": {"type": "LineString", "coordinates": coordinates},
        "properties": {
            "kind": "measured",
            "label": length_text(distance_m(a, b), settings),
        },
    }
