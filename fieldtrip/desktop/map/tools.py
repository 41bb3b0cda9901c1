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
                    "Enter places it at the cross. Esc cancels."
                )
            case Tool.LINE:
                return f"Click along the line. {_ENDS}"
            case Tool.AREA:
                return f"Click round the area. {_ENDS}"


_ENDS = (
    "Double-click or Enter ends, Backspace takes the last point back, Esc cancels. "
    "By keyboard: the arrows move the map, Space sets a point at the cross."
)
