"""What a person types into a field, read strictly, and shown so that it can be read."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta

from fieldtrip.errors import UserError
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.times import at_clock, zone_of
from fieldtrip.wording import nearest_minute

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_SHORT = tuple(name[:3].capitalize() for name in _MONTHS)
_MINUS = "\N{MINUS SIGN}"
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
_DAY_FIRST = re.compile(r"(?:[a-z]{3,9},?\s+)?(\d{1,2})\.?\s+([a-z]+)\.?,?\s+(\d{4})")
_YEAR_FIRST = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DAY_AND_CLOCK = re.compile(r"(.*\S)[ T]+(\d{1,2}:\d{2}.*)")
_CLOCK = re.compile(
    r"(\d{1,2}):(\d{2})\s*(am|pm)?\s*(second)?\s*([+-]\s*\d)?\s*(second)?"
)

_TO = r"\s*(?:to|until|-|\N{EN DASH})\s*"
_MONTH_DAY = r"(\d{1,2})\.?\s+([a-z]+)\.?"
_SEASON = re.compile(f"{_MONTH_DAY}{_TO}{_MONTH_DAY}")
_HOUR = r"(\d{1,2}):(\d{2})\s*(am|pm)?"
_HOURS = re.compile(f"{_HOUR}{_TO}{_HOUR}")


def number_typed(text: str, unit: str = "", *, whole: bool = False) -> float | None:
    """A number with or without its unit; decimal point or comma; None where empty.

    Raises `UserError` for anything else, and for ``1,234``, which is a
    thousand to one reader and a little more than one to another.
    """
    bare = text.strip().replace(_MINUS, "-").replace("\N{NO-BREAK SPACE}", " ")
    if unit:
        bare = bare.removesuffix(unit).strip()
    if not bare:
        return None
    if not _NUMBER.fullmatch(bare):
        raise UserError(f"“{text.strip()}” is no number. Write it as 12 or 1.5.")
    if "," in bare and _THOUSANDS.fullmatch(bare):
        plain, point = bare.replace(",", ""), bare.replace(",", ".")
        raise UserError(
            f"“{text.strip()}” can be read in two ways: write {plain} or {point}0."
        )
    value = float(bare.replace(",", "."))
    if whole and value != int(value):
        raise UserError(f"“{text.strip()}” must be a whole number.")
    return value


def number_shown(value: float | None, decimals: int | None = None) -> str:
    """A number as it is shown in its field: as short as it can be, with its point."""
    if value is None:
        return ""
    if decimals is None:
        text = f"{value:.10g}"
    else:
        text = f"{value:.{decimals}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", _MINUS)


def date_typed(text: str) -> date | None:
    """A day typed as ``14 Nov 2026`` or ``2026-11-14``; None where empty.

    Raises `UserError` for anything else: ``03/04/2026`` is two days.
    """
    bare = text.strip().lower()
    if not bare:
        return None
    if match := _YEAR_FIRST.fullmatch(bare):
        year, month, day = (int(part) for part in match.groups())
    elif match := _DAY_FIRST.fullmatch(bare):
        day, month, year = int(match[1]), _month(match[2]), int(match[3])
    else:
        month = 0
    if not month:
        raise UserError(
            f"“{text.strip()}” is no date. Write it as 14 Nov 2026 or 2026-11-14."
        )
    try:
        return date(year, month, day)
    except ValueError as error:
        raise UserError(f"There is no day “{text.strip()}” in the calendar.") from error


def date_shown(day: date | None) -> str:
    """A day as it is shown in its field, as in ``14 Nov 2026``."""
    return "" if day is None else f"{day.day} {_SHORT[day.month - 1]} {day.year:04d}"


def time_typed(text: str, day: date, zone: str) -> datetime | None:
    """A clock time of a day at a place as an instant in UTC; None where empty.

    ``00:40 +1`` is forty minutes past midnight after that day.  Where the
    clock shows a time twice, ``01:30`` is the first and ``01:30 second`` the
    other.  Raises `UserError` for what cannot be read or does not exist.
    """
    bare = text.strip().lower().replace(_MINUS, "-")
    if not bare:
        return None
    match = _CLOCK.fullmatch(bare)
    if match is None:
        raise UserError(
            f"“{text.strip()}” is no time. Write it as 16:30, "
            "or as 00:40 +1 for the day after."
        )
    hour, minute = int(match[1]), int(match[2])
    if match[3]:
        hour = _of_half_day(hour, match[3], text)
    if hour == 24:
        raise UserError("Write midnight at the end of a day as 00:00 +1.")
    if hour > 23 or minute > 59:
        raise UserError(f"There is no time “{text.strip()}”.")
    shift = int(match[5].replace(" ", "")) if match[5] else 0
    instant = at_clock(day + timedelta(days=shift), time(hour, minute), zone)
    if match[4] or match[6]:
        return _second_time(instant, text.strip(), zone)
    return instant


def time_shown(instant: datetime | None, day: date, zone: str) -> str:
    """An instant as `time_typed` reads it: clock time, and days after `day`."""
    if instant is None:
        return ""
    local = nearest_minute(instant).astimezone(zone_of(zone))
    text = f"{local:%H:%M}"
    if local.fold:
        text += " second"
    shift = (local.date() - day).days
    return f"{text} {shift:+d}".replace("-", _MINUS) if shift else text


def moment_typed(text: str, zone: str) -> datetime | None:
    """A day and a clock time, as in ``14 Nov 2026 06:00``; None where empty.

    Raises `UserError` for anything else.
    """
    if not text.strip():
        return None
    match = _DAY_AND_CLOCK.fullmatch(text.strip())
    day = date_typed(match[1]) if match else None
    if match is None or day is None:
        raise UserError(
            f"“{text.strip()}” is no day and time. Write it as 14 Nov 2026 06:00."
        )
    return time_typed(match[2], day, zone)


def moment_shown(instant: datetime | None, zone: str) -> str:
    """An instant as `moment_typed` reads it."""
    if instant is None:
        return ""
    day = nearest_minute(instant).astimezone(zone_of(zone)).date()
    return f"{date_shown(day)} {time_shown(instant, day, zone)}"


def moved_to_day(instant: datetime, before: date, after: date, zone: str) -> datetime:
    """The same clock time, as many days from `after` as it was from `before`.

    Raises `UserError` where the clock skips that time on the new day.
    """
    local = instant.astimezone(zone_of(zone))
    day = local.date() + (after - before)
    return at_clock(day, local.time().replace(fold=0), zone)


def season_typed(text: str) -> Season | None:
    """A season of every year, as in ``1 Mar to 31 Jul``; None where empty.

    Raises `UserError` for anything else.
    """
    bare = text.strip().lower()
    if not bare:
        return None
    match = _SEASON.fullmatch(bare)
    months = (_month(match[2]), _month(match[4])) if match else (0, 0)
    if match is None or not all(months):
        raise UserError(f"“{text.strip()}” is no season. Write it as 1 Mar to 31 Jul.")
    try:
        first = MonthDay(months[0], int(match[1]))
        last = MonthDay(months[1], int(match[3]))
    except ValueError as error:
        raise UserError(
            f"“{text.strip()}” names a day that is not in the calendar."
        ) from error
    return Season(first, last)


def season_shown(season: Season | None) -> str:
    """A season as `season_typed` reads it."""
    if season is None:
        return ""
    first, last = (
        f"{at.day} {_SHORT[at.month - 1]}" for at in (season.first, season.last)
    )
    return f"{first} to {last}"


def hours_typed(text: str) -> OpenHours | None:
    """From one clock time to another, as in ``08:00 to 18:30``; None where empty.

    Raises `UserError` for anything else.
    """
    bare = text.strip().lower()
    if not bare:
        return None
    match = _HOURS.fullmatch(bare)
    if match is None:
        raise UserError(f"“{text.strip()}” are no hours. Write them as 08:00 to 18:30.")
    clocks = []
    for hour_text, minute_text, half in (match.groups()[:3], match.groups()[3:]):
        hour, minute = int(hour_text), int(minute_text)
        if half:
            hour = _of_half_day(hour, half, text)
        if hour == 24:
            raise UserError("Write midnight as 00:00.")
        if hour > 23 or minute > 59:
            raise UserError(f"There is no time “{text.strip()}”.")
        clocks.append(time(hour, minute))
    return OpenHours(*clocks)


def hours_shown(hours: OpenHours | None) -> str:
    """Hours as `hours_typed` reads them."""
    return "" if hours is None else f"{hours.opens:%H:%M} to {hours.shuts:%H:%M}"


def _of_half_day(hour: int, half: str, text: str) -> int:
    if not 1 <= hour <= 12:
        raise UserError(f"There is no time “{text.strip()}”.")
    return hour % 12 + (12 if half == "pm" else 0)


def _second_time(first: datetime, text: str, zone: str) -> datetime:
    local = first.astimezone(zone_of(zone)).replace(fold=1)
    second = local.astimezone(UTC)
    if second == first:
        raise UserError(f"The clock shows “{text}” only once on that day.")
    return second


def _month(name: str) -> int:
    """1 to 12 for an English name or its beginning of three letters or more, else 0."""
    if len(name) < 3:
        return 0
    found = [i for i, month in enumerate(_MONTHS, 1) if month.startswith(name)]
    if name == "sept":
        return 9
    return found[0] if len(found) == 1 else 0
