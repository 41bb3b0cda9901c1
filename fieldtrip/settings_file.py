"""The file in which the settings are kept."""

from __future__ import annotations

import json
import logging
from dataclasses import asdict, fields
from enum import StrEnum
from pathlib import Path
from typing import Any

from fieldtrip.settings import Settings

log = logging.getLogger(__name__)


def read_settings(file: Path) -> Settings:
    """The settings kept in a file.

    What is missing, damaged or from another version is as it comes: a broken
    settings file must not keep anyone from their library.
    """
    try:
        kept: Any = json.loads(file.read_text("utf-8"))
    except FileNotFoundError:
        return Settings()
    except (OSError, ValueError):
        log.info("settings in %s cannot be read; using the usual ones", file)
        return Settings()
    usual = Settings()
    values: dict[str, Any] = {}
    for f in fields(Settings):
        default = getattr(usual, f.name)
        value = kept.get(f.name, default) if isinstance(kept, dict) else default
        if isinstance(default, StrEnum):
            known = {str(member): member for member in type(default)}
            values[f.name] = known.get(str(value), default)
        elif isinstance(default, tuple):
            values[f.name] = _pairs(value)
        else:
            values[f.name] = value if type(value) is type(default) else default
    return Settings(**values)


def _pairs(kept: object) -> tuple[tuple[str, str], ...]:
    """Pairs of texts; what is none is left out."""
    found = kept if isinstance(kept, list | tuple) else ()
    return tuple(
        (pair[0], pair[1])
        for pair in found
        if isinstance(pair, list | tuple)
        and len(pair) == 2
        and all(isinstance(text, str) for text in pair)
    )


def write_settings(settings: Settings, file: Path) -> None:
    """Keep the settings; a disk that refuses costs the settings, not the session."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        part.write_text(json.dumps(asdict(settings), indent=1), "utf-8")
        part.replace(file)
    except OSError:
        log.info("settings cannot be kept in %s", file)
