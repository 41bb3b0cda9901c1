"""What the map page is told of the material below our layers, and the user of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fieldtrip.material.box import Box
from fieldtrip.material.coast import ACCURACY
from fieldtrip.material.coast import CREDIT as SHORE_CREDIT
from fieldtrip.material.credits import Credit, credits_from
from fieldtrip.material.records import Kind, Material
from fieldtrip.material.template import server_name

LIST_HINT = (
    "The uppermost lies on top. Space switches a sheet on and off, "
    "Alt with an arrow key moves it."
)
SHORE_CREDITS = (Credit(f"{ACCURACY[0].upper()}{ACCURACY[1:]} ({SHORE_CREDIT})"),)
_MERCATOR_EDGE_DEG = 85.06


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """One sheet that is on the map, with what its source says of itself."""

    material: Material
    credits: tuple[Credit, ...] = ()
    min_zoom: int = 0
    max_zoom: int = 19
    bounds: Box | None = None
    turn: int = 0  # counts up when the page is to ask for all its tiles anew


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One line of the list."""

    text: str
    note: str  # what sort it is, and where from
    trouble: str  # why it is not seen; empty where it is


def page_values(shown: list[ShownSheet]) -> dict[str, Any]:
    """What the page shows, the lowest sheet first, and whose it is."""
    lowest_first = list(reversed(shown))
    return {
        "sheets": [_sheet(each) for each in lowest_first],
        "credits": [
            [{"text": piece.text, "link": piece.link} for piece in each.credits]
            for each in shown
            if each.credits
        ],
        "has_shore": any(each.material.kind is Kind.COAST for each in shown),
    }


def links(shown: list[ShownSheet]) -> frozenset[str]:
    """The addresses that may be opened from the map."""
    return frozenset(
        piece.link for each in shown for piece in each.credits if piece.link
    )


def server_credits(material: Material) -> tuple[Credit, ...]:
    """Whose tiles they are, as the user has typed it; empty where nothing is left."""
    return credits_from(material.credit)


def material_row(material: Material, trouble: str) -> MaterialRow:
    """The line of a sheet."""
    match material.kind:
        case Kind.COAST:
            note = ACCURACY
        case Kind.SERVER:
            note = f"tile server {server_name(material.source)}".strip()
        case _:
            note = f"{material.kind}: {material.source}"
    return MaterialRow(material.name, note, trouble)


def _sheet(shown: ShownSheet) -> dict[str, Any]:
    material, box = shown.material, shown.bounds
    bounds = None
    if box is not None:
        south = max(box.south_deg, -_MERCATOR_EDGE_DEG)
        north = min(box.north_deg, _MERCATOR_EDGE_DEG)
        bounds = [[south, box.west_deg], [north, box.east_deg]]
    return {
        "id": material.id.hex,
        "is_tiles": material.kind in (Kind.PICTURES, Kind.SERVER),
        "opacity": material.opacity_percent / 100.0,
        "min_zoom": shown.min_zoom,
        "max_zoom": shown.max_zoom,
        "bounds": bounds,
        "turn": shown.turn,
    }
