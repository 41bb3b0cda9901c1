"""Drops that somebody turned down, kept on this machine from one sitting to the next.

Only what is proposed goes by them; no check does.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Collection
from pathlib import Path
from typing import Any

from fieldtrip.desktop.content.drops import Mark

log = logging.getLogger(__name__)


def read_marks(file: Path) -> set[Mark]:
    """The marks in a file; none where it is not there or damaged."""
    try:
        kept: Any = json.loads(file.read_text("utf-8"))
    except FileNotFoundError:
        return set()
    except (OSError, ValueError):
        log.info("drops turned down cannot be read from %s", file)
        return set()
    found = kept if isinstance(kept, list) else []
    return {
        (float(mark[0]), float(mark[1]))
        for mark in found
        if isinstance(mark, list)
        and len(mark) == 2
        and all(type(value) in (int, float) for value in mark)
    }


def write_marks(marks: Collection[Mark], file: Path) -> None:
    """Keep them; a disk that refuses costs the marks, not the session."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        part.write_text(json.dumps(sorted(marks)), "utf-8")
        part.replace(file)
    except OSError:
        log.info("drops turned down cannot be kept in %s", file)
