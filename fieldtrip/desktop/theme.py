"""Paper, ink and accent, for light and dark, and the shapes of severities."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours as ``#rrggbb``; text on paper and on sheet passes 4.5 : 1."""

    paper: str  # behind everything
    sheet: str  # panels
    field: str  # what can be typed in
    ink: str
    soft_ink: str
    line: str
    accent: str
    accent_wash: str  # behind what is chosen
    caution: str
    stop: str
    unknown: str
    clear: str
    sea: str
    land: str
    is_dark: bool


LIGHT = Theme(
    paper="#f4efe3", sheet="#fbf8f0", field="#ffffff", ink="#22303a",
    soft_ink="#5d6871", line="#d8d0bf", accent="#0f766e", accent_wash="#dfeae6",
    caution="#a85a06", stop="#b3261e", unknown="#5f6673", clear="#2f6b4c",
    sea="#e6ebe8", land="#efe9d8", is_dark=False,
)  # fmt: skip
DARK = Theme(
    paper="#1b2024", sheet="#22282d", field="#171b1f", ink="#e9e4d6",
    soft_ink="#a9b0b3", line="#3d464c", accent="#5cc5b8", accent_wash="#2b3f40",
    caution="#e3a352", stop="#f0847b", unknown="#aab1bc", clear="#7cc39c",
    sea="#1e2a30", land="#2d2f2b", is_dark=True,
)  # fmt: skip
