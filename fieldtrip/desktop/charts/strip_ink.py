"""The tints of the day strip: one ink, darker as the Sun sinks."""

from __future__ import annotations

from dataclasses import dataclass

from fieldtrip.desktop.theme import Theme

# Shares of ink in the ground.  The step from golden and blue hour to nautical
# twilight is wide on purpose: between them neither dark nor light text is legible.
_LIGHT_SHARES = (0.0, 0.12, 0.28, 0.68, 0.79, 0.90)
_DARK_SHARES = (0.36, 0.29, 0.22, 0.14, 0.08, 0.02)
_NIGHT_GROUND = "#0d1012"


@dataclass(frozen=True, slots=True)
class Tint:
    """A ground and the text that is legible on it, as ``#rrggbb``."""

    ground: str
    text: str


def tints(theme: Theme) -> tuple[Tint, ...]:
    """The six tints from day to night; text on each passes 4.5 : 1."""
    if theme.is_dark:
        grounds = [mixed(_NIGHT_GROUND, theme.ink, share) for share in _DARK_SHARES]
    else:
        grounds = [mixed(theme.field, theme.ink, share) for share in _LIGHT_SHARES]
    return tuple(Tint(g, _legible(g, (theme.ink, theme.field))) for g in grounds)


def mixed(first: str, second: str, share: float) -> str:
    """A colour between two, with a share 0..1 of the second."""
    pairs = zip(_channels(first), _channels(second), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def contrast(first: str, second: str) -> float:
    """The contrast of two colours, 1 to 21.

    Source: Web Content Accessibility Guidelines 2.2, "contrast ratio".
    """
    low, high = sorted((_luminance(first), _luminance(second)))
    return (high + 0.05) / (low + 0.05)


def _legible(ground: str, inks: tuple[str, ...]) -> str:
    return max(inks, key=lambda ink: contrast(ink, ground))


def _channels(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def _luminance(colour: str) -> float:
    """Relative luminance, 0..1, as the same guidelines define it."""
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in (channel / 255.0 for channel in _channels(colour))
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
