"""Texts of any script among our own words, so that no time is ever turned round.

A character that overrides the direction of writing, in somebody's name for a place,
would print 14:25 as 52:41 behind it.  Such characters are shown as unknown; letters
that run from right to left are kept apart from what follows them.
"""

from __future__ import annotations

import re

# Source: Unicode Standard Annex 9, section 2: embeddings, overrides and isolates.
_OVERRIDES = re.compile("[\u202a-\u202e\u2066-\u2069]")
_LETTER = (
    "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefe\U00010800-\U00010fff\U0001e800-\U0001efff"
)
_RUN = re.compile(f"[{_LETTER}](?:[^\\nA-Za-z0-9]*[{_LETTER}])*")
_ISOLATE, _END = "\u2067", "\u2069"  # right to left, until its end


def directed(text: str) -> str:
    """The same text, harmless to the order of what stands round it."""
    plain = _OVERRIDES.sub("\ufffd", text)
    return _RUN.sub(lambda run: f"{_ISOLATE}{run[0]}{_END}", plain)
