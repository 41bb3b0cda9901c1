"""What can be wrong with what a person typed into a record, in plain sentences."""

from __future__ import annotations

import math

LONGEST_NAME = 200
LONGEST_TEXT = 4_000_000  # characters; a megabyte of notes is somebody's work


def missing_name(name: str, what: str) -> list[str]:
    """A record needs a name that can be read in a list."""
    if not name.strip():
        return [f"A {what} needs a name."]
    if len(name) > LONGEST_NAME:
        return [f"A name has at most {LONGEST_NAME} characters; this has {len(name)}."]
    return []


def long_text(text: str) -> list[str]:
    """A text may be long, but not so long that the window cannot show it."""
    if len(text) <= LONGEST_TEXT:
        return []
    return [f"A text has at most {LONGEST_TEXT:,} characters; this has {len(text):,}."]


def finite(
    what: str, value: float | None, least: float, most: float, unit: str
) -> list[str]:
    """A number that is given must be one, and within what can be."""
    if value is None or (math.isfinite(value) and least <= value <= most):
        return []
    return [f"{what} must be a number from {least:g} to {most:g} {unit}."]
