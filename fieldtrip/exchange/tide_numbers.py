"""Dates, times, heights and offsets as tide files write them.

Each gives None for what is none, so that the caller can name the line.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo

from fieldtrip.exchange.tide_file import FIRST_YEAR, LAST_YEAR

_NUMBER = re.compile(r"[-+]?(?:\d{1,6}(?:\.\d{0,9})?|\.\d{1,9})")
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:\.0+)?)?\s*([ap]\.?m\.?)?", re.I)
_BARE_TIME = re.compile(r"([01]\d|2[0-3])([0-5]\d)")
_OFFSET = re.compile(r"([+-])(\d{2}):?([0-5]\d)?")


def number_of(text: str, *, decimal_comma: bool = False) -> float | None:
    """A height or another plain number; never nan or infinite."""
    plain = text.strip().replace("\u2212", "-")
    if decimal_comma:
        plain = plain.replace(",", ".")
    return float(plain) if _NUMBER.fullmatch(plain) else None


def day_of(year: str | int, month: str | int, day: str | int) -> date | None:
    """A date that exists, of a year for which tides are computed."""
    try:
        found = date(int(year), int(month), int(day))
    except (ValueError, OverflowError):
        return None
    return found if FIRST_YEAR <= found.year <= LAST_YEAR else None


def time_of(text: str) -> time | None:
    """``02:24``, ``0224``, ``02:24:00`` or ``2:24 pm``."""
    word = text.strip()
    if match := _BARE_TIME.fullmatch(word):
        return time(int(match.group(1)), int(match.group(2)))
    match = _TIME.fullmatch(word)
    if match is None:
        return None
    hour, minute, second = (int(match.group(i) or 0) for i in (1, 2, 3))
    if half := (match.group(4) or "").casefold().replace(".", ""):
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    try:
        return time(hour, minute, second)
    except ValueError:
        return None


def moment_of(text: str) -> datetime | None:
    """``2026-08-15 02:24``, with ``T``, ``/`` and an offset or ``Z`` if they are there.

    Without a zone where the text gives none.
    """
    match = re.fullmatch(
        r"(\d{4})[-/](\d{1,2})[-/](\d{1,2})(?:T|\s+)"
        r"(\d{1,2}:\d{2}(?::\d{2}(?:\.0+)?)?)\s*(Z|[+-]\d{2}:?\d{2})?",
        text.strip(),
        re.IGNORECASE,
    )
    if match is None:
        return None
    day, clock = day_of(*match.group(1, 2, 3)), time_of(match.group(4))
    if day is None or clock is None:
        return None
    zone = None if match.group(5) is None else offset_of(match.group(5))
    return datetime.combine(day, clock, tzinfo=zone)


def offset_of(text: str) -> tzinfo | None:
    """``Z``, ``+0100`` or ``+01:00``."""
    if text.strip() in ("Z", "z"):
        return UTC
    match = _OFFSET.fullmatch(text.strip())
    if match is None:
        return None
    ahead = timedelta(hours=int(match.group(2)), minutes=int(match.group(3) or 0))
    if ahead > timedelta(hours=14):
        return None
    return timezone(-ahead if match.group(1) == "-" else ahead)


def offset_name(zone: tzinfo) -> str:
    """``UTC`` or ``UTC+01:00`` of a fixed offset."""
    return datetime(2000, 1, 1, tzinfo=zone).tzname() or "UTC"


def mark_of(text: str) -> bool | None:
    """Whether a word marks a high water, or a low one; None where it marks neither."""
    word = text.strip().casefold()
    if word in ("h", "hh", "hw", "high", "high water", "high tide"):
        return True
    return False if word in ("l", "ll", "lw", "low", "low water", "low tide") else None
