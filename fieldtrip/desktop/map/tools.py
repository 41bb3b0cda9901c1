"""What can be drawn on the map by hand."""

from __future__ import annotations

from enum import StrEnum


class Tool(StrEnum):
    """One of three ways to draw."""

    POINT = "point"
    LINE = "line"
    AREA = "area"

    @property
    def hint(self) -> str:
        """How to use it, by mouse and by keyboard; shown over the map."""
        match self:
            case Tool.POINT:
                return (
                    "Click to place it. By keyboard: the arrows move the map, "
                    f"Enter places it at the cross. Esc cancels. {SNAPS}"
                )
            case Tool.LINE:
                return f"Click along the line. {_ENDS}"
            case Tool.AREA:
                return f"Click round the area. {_ENDS}"


# As resources/map/snap.js has it.
SNAPS = "Within 12 pixels it takes a point of the library; Alt lets it not."
_ENDS = (
    "Double-click or Enter ends, Backspace takes the last point back, Esc cancels. "
    "By keyboard: the arrows move the map, Space sets a point at the cross. "
    f"{SNAPS}"
)
