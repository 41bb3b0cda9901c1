"""What the small card beside a mark on the map says."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from fieldtrip.coordinates import decimal_text, degrees_minutes_text
from fieldtrip.desktop.content.forms import kind_word, line_words, title_of
from fieldtrip.desktop.content.map_features import Feature
from fieldtrip.geo import Line
from fieldtrip.settings import Settings

_LONGEST_NOTE = 160


def add_cards(
    features: Iterable[Feature],
    find: Callable[[str], Any],
    settings: Settings,
) -> None:
    """Give features of records a `card`; `find` gives the record of an id, or None."""
    for feature in features:
        record = find(feature["id"]) if "id" in feature else None
        if record is not None:
            note = feature["properties"].get("note", "")
            feature["properties"]["card"] = card_lines(record, note, settings)


def card_lines(record: Any, note: str, settings: Settings) -> list[str]:
    """Name; kind; what the map says of it; the beginning of its notes; where it is."""
    kind = kind_word(type(record))
    own: str = getattr(record, "notes", "").strip()
    if len(own) > _LONGEST_NOTE:
        own = f"{own[: _LONGEST_NOTE - 1].rstrip()}…"
    return [
        title_of(record),
        *(text for text in (f"{kind[:1].upper()}{kind[1:]}", note, own) if text),
        _where(record, settings),
    ]


def _where(record: Any, settings: Settings) -> str:
    position = getattr(record, "position", None)
    line: Line = getattr(record, "line", ())
    if position is None and len(line) == 1:
        position = line[0]
    if position is None:
        return line_words(line, settings)
    return f"{decimal_text(position)}\n{degrees_minutes_text(position)}"
