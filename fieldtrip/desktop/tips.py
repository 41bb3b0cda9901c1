"""Tool tips of what a person typed."""

from __future__ import annotations

from html import escape


def plain_tip(text: str) -> str:
    """The text as it stands, for a tool tip.

    A tool tip guesses whether it was given HTML; this one says so, and escapes it.
    """
    lines = escape(text).replace("\n", "<br>")
    return f"<span>{lines}</span>" if text else ""
