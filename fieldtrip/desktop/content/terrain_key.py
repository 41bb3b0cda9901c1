"""The layers of the ground: their names, and the key that stands on the map."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from fieldtrip.desktop.content.elevation import no_heights
from fieldtrip.desktop.content.terrain_pictures import STEEP_DEG, Ink
from fieldtrip.desktop.theme import Theme
from fieldtrip.settings import Settings
from fieldtrip.wording import altitude_text, bearing_text, height_text


class GroundLayer(StrEnum):
    """What can be drawn of the ground; values are names of pictures on the page."""

    RELIEF = "relief"
    STEEP = "steep"
    SEEN_FROM = "seen_from"
    SEES = "sees"
    LIT = "lit"
    CONTOURS = "contours"


LAYER_WORDS: Mapping[GroundLayer, str] = {
    GroundLayer.LIT: "Lit at this minute",
    GroundLayer.RELIEF: "Hillshade",
    GroundLayer.CONTOURS: "Contours with heights",
    GroundLayer.STEEP: "Steepness",
    GroundLayer.SEEN_FROM: "What the vantage point sees",
    GroundLayer.SEES: "Where the subject is seen from",
}
Part = dict[str, object]


@dataclass(frozen=True, slots=True)
class LitFacts:
    """The Sun over the layer of light."""

    clock: str
    azimuth_deg: float
    altitude_deg: float  # apparent
    is_up: bool


@dataclass(frozen=True, slots=True)
class KeyFacts:
    """What the key speaks of."""

    layers: tuple[GroundLayer, ...]  # that are on, in their order
    cell_m: float | None  # None: no heights here
    sources: tuple[str, ...] = ()
    credits: tuple[str, ...] = ()  # whose heights they are, where that must be said
    is_surface: bool | None = None
    lit: LitFacts | None = None
    step_m: float | None = None  # of contours
    # What each viewshed is of, or why there is none, or how far it has come.
    views: tuple[tuple[GroundLayer, str], ...] = ()
    trouble: str = ""
    unread: tuple[str, ...] = ()  # files that cannot be used


def ground_key(facts: KeyFacts, settings: Settings) -> list[Part]:
    """The key as the page takes it: headings, swatches with words, notes."""
    if not facts.layers:
        return []
    if facts.trouble or facts.cell_m is None:
        return [_part("", (), (facts.trouble or no_heights(facts.unread),))]
    parts = []
    for layer in facts.layers:
        part = _of_layer(layer, facts, settings)
        if part is not None:
            parts.append(part)
    parts.append(_part("", (), source_notes(facts, settings)))
    return parts


def source_notes(facts: KeyFacts, settings: Settings) -> tuple[str, ...]:
    """Whence the heights come, and what falls between them."""
    names = ", ".join(f"“{name}”" for name in facts.sources[:3])
    more = "" if len(facts.sources) <= 3 else " and others"
    of = f" from {names}{more}" if names else ""
    cell = height_text(facts.cell_m or 0.0, settings, 0)
    kind = ", trees and roofs included" if facts.is_surface else ""
    return (
        f"A height every {cell}{of}{kind}. Edges, walls and gullies fall between.",
        *facts.credits,
    )


def inks(theme: Theme) -> Mapping[GroundLayer, Ink]:
    """One ink for each picture, on light or on dark paper."""
    dark = theme.is_dark
    return {
        GroundLayer.RELIEF: Ink("#000000", 0.62) if dark else Ink(theme.ink, 0.5),
        GroundLayer.STEEP: Ink(theme.stop, 0.62),
        GroundLayer.SEEN_FROM: Ink(theme.accent, 0.26),
        GroundLayer.SEES: Ink(theme.accent, 0.26),
        GroundLayer.LIT: Ink("#000000", 0.5) if dark else Ink(theme.ink, 0.42),
    }


def relief_light(theme: Theme) -> Ink:
    """What the sunny side of a hillshade is brightened with."""
    return Ink("#ffffff", 0.16 if theme.is_dark else 0.6)


def _of_layer(layer: GroundLayer, facts: KeyFacts, settings: Settings) -> Part | None:
    views = dict(facts.views)
    match layer:
        case GroundLayer.LIT if facts.lit is not None:
            return _lit_part(facts.lit)
        case GroundLayer.CONTOURS if facts.step_m is not None:
            step = height_text(facts.step_m, settings, 0)
            return _part("", (("contour", f"contours every {step}"),))
        case GroundLayer.STEEP:
            first, second, third = (f"{deg:.0f}°" for deg in STEEP_DEG)
            rows = (
                ("steep-0", f"{first} to {second}"),
                ("steep-1", f"{second} to {third}"),
                ("steep-2", f"above {third}"),
            )
            return _part("Steepness", rows)
        case GroundLayer.SEEN_FROM | GroundLayer.SEES if layer in views:
            return _part("", (("seen", views[layer]),))
    return None


def _lit_part(lit: LitFacts) -> Part:
    heading = f"Lit at {lit.clock}"
    if not lit.is_up:
        return _part(heading, (), ("The Sun is down: no direct light anywhere.",))
    where = f"Sun {bearing_text(lit.azimuth_deg)}, {altitude_text(lit.altitude_deg)}"
    return _part(heading, (("shade", "in shade"),), (where,))


def _part(
    heading: str,
    rows: Sequence[tuple[str, str]],
    notes: Sequence[str] = (),
) -> Part:
    return {
        "heading": heading,
        "rows": [{"swatch": swatch, "text": text} for swatch, text in rows],
        "notes": list(notes),
    }
