"""The bodies of the sky that a picture may need."""

from __future__ import annotations

from enum import StrEnum


class Body(StrEnum):
    """What the engine can place in the sky."""

    SUN = "sun"
    MOON = "moon"
    GALACTIC_CENTRE = "galactic centre"
