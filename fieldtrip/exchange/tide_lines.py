"""Lines of a tide table, typed or pasted, into days, times and heights as they stand.

Which instant a clock time is, and what is high and what low, is worked out in
`fieldtrip.exchange.tide_text`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone

from fieldtrip.errors import UserError

UNITS_M = {"m": 1.0, "cm": 0.01, "ft": 0.3048}  # the foot by the 1959 agreement
_MONTHS = [
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
]  # fmt: skip
_WEEKDAYS = [
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
]  # fmt: skip
_MARKS = {"h": True, "hw": True, "high": True, "l": False, "lw": False, "low": False}
_FILLERS = frozenset({"water", "tide", "at", "-", "|"})
_LAYOUT = ["date time", "prediction", "type"]  # of NOAA CO-OPS

_ISO_DAY = re.compile(r"(\d{4})[-/](\d{1,2})[-/](\d{1,2})")
_DOTTED_DAY = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
_SLASHED_DAY = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_DASHED_DAY = re.compile(r"(\d{1,2})-([a-z]{3,9})-(\d{4})", re.IGNORECASE)
_ORDINAL = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?\.?", re.IGNORECASE)
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?(am|pm)?(z|[+-]\d{2}:?\d{2})?", re.I)
_BARE_TIME = re.compile(r"([01]\d|2[0-3])([0-5]\d)")
_HEIGHT = re.compile(r"([-+]?\d{1,4}(?:[.,]\d{1,6})?)(m|cm|ft)?", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"[-+]?\d{1,2},\d{1,3}(m|cm|ft)?", re.IGNORECASE)
_HEADING_UNIT = re.compile(r"\((m|cm|ft|metres|meters|feet)\)", re.IGNORECASE)
_LONG_UNITS = {"metres": "m", "meters": "m", "feet": "ft"}


@dataclass(frozen=True, slots=True)
class Row:
    """One high or low water as it stands in the text."""

    line: int  # its number, from 1
    clock: datetime  # without a zone unless the text gives one
    height_m: float
    is_high: bool | None  # None: the text does not say


def rows_of(text: str, unit: str, near: date | None) -> list[Row]:
    """Every high and low water of a text, in its order.

    `near` supplies the year where lines give none.  Raises `UserError` with
    the number of the first line that cannot be read.
    """
    rows: list[Row] = []
    day: date | None = None
    has_layout = False
    for number, raw in enumerate(text.splitlines(), start=1):
        line = raw.strip().strip("\ufeff")
        if not line:
            continue
        if _is_layout(line):
            has_layout = True
            continue
        if not rows and not any(c.isdigit() for c in line):
            _refuse_other_unit(line, unit, number)
            continue
        reader = _Line(number, _tokens(line, number), unit, near, day)
        found = reader.rows()
        if has_layout and (len(found) != 1 or found[0].is_high is None):
            raise UserError(
                f"Line {number} is not whole: it needs a time, a height, and H or L."
            )
        day = reader.day
        rows += found
    return rows


class _Line:
    """One line, read token by token from the left."""

    def __init__(
        self,
        number: int,
        tokens: list[str],
        unit: str,
        near: date | None,
        day: date | None,
    ) -> None:
        self._number = number
        self._left = tokens
        self._unit = unit
        self._near = near
        self.day = day  # of the line before, until this one gives its own

    def rows(self) -> list[Row]:
        """Its waters: a day, then a time and a height each, marked H or L or not."""
        self._read_day()
        if self.day is None:
            raise self._error("has no date")
        found = []
        while self._left:
            mark = self._read_mark()
            clock = self._read_time(self.day)
            mark = self._read_mark() if mark is None else mark
            height_m = self._read_height()
            mark = self._read_mark() if mark is None else mark
            found.append(Row(self._number, clock, height_m, mark))
        if not found:
            raise self._error("has a date and no tide")
        return found

    def _read_day(self) -> None:
        weekday = self._read_weekday()
        day = self._whole_day() or self._worded_day() or self._columned_day()
        if day is not None:
            self.day = day
        if weekday is None:
            weekday = self._read_weekday()
        if weekday is not None and (day is None or day.weekday() != weekday):
            told = "no date" if day is None else f"a {day:%A}"
            raise self._error(f"names a weekday, but its date is {told}")

    def _read_weekday(self) -> int | None:
        found = _named(self._peek(), _WEEKDAYS, least=2)
        if found is not None:
            self._left.pop(0)
        return found

    def _whole_day(self) -> date | None:
        """``2026-08-15``, ``15.08.2026``, ``15/08/2026`` or ``15-Aug-2026``."""
        token = self._peek()
        if match := _ISO_DAY.match(token):
            rest = token[match.end() :].lstrip("Tt")
            year, month, day = (int(group) for group in match.groups())
            self._left[0:1] = [rest] if rest else []
            return self._date(year, month, day)
        if match := _DOTTED_DAY.fullmatch(token):
            day, month, year = (int(group) for group in match.groups())
        elif match := _DASHED_DAY.fullmatch(token):
            named = _named(match.group(2), _MONTHS, least=3)
            if named is None:
                return None
            day, month, year = int(match.group(1)), named + 1, int(match.group(3))
        elif match := _SLASHED_DAY.fullmatch(token):
            day, month, year = (int(group) for group in match.groups())
            if day <= 12 and month <= 12 and day != month:
                raise self._error(
                    f"has the date {token}, which may be read in two ways; write "
                    f"{year}-{month:02d}-{day:02d} or {year}-{day:02d}-{month:02d}"
                )
            if month > 12:
                day, month = month, day
        else:
            return None
        self._left.pop(0)
        return self._date(year, month, day)

    def _worded_day(self) -> date | None:
        """``15 Aug 2026``, ``15 August``, ``Aug 15`` or ``Aug 15 2026``."""
        for day, word in ((0, 1), (1, 0)):
            match = _ORDINAL.fullmatch(self._peek(day))
            month = _named(self._peek(word), _MONTHS, least=3)
            if match is not None and month is not None:
                del self._left[:2]
                number = int(match.group(1))
                return self._date(self._read_year(), month + 1, number, self._near)
        return None

    def _columned_day(self) -> date | None:
        """Day, weekday, month and year, each by itself: ``15 Sa 8 2026``."""
        day, weekday, month, year = (self._peek(i) for i in range(4))
        are_numbers = all(part.isdecimal() for part in (day, month, year))
        if not are_numbers or len(day) > 2 or len(month) > 2 or len(year) != 4:
            return None
        if _named(weekday, _WEEKDAYS, least=2) is None:
            return None
        self._left[:4] = [weekday]
        return self._date(int(year), int(month), int(day))

    def _read_year(self) -> int | None:
        """A year after a month's name, if it is not a time of day like 2026."""
        token = self._peek().rstrip(",")
        if not re.fullmatch(r"(19|20|21)\d\d", token):
            return None
        follower = next((t for t in self._left[1:] if not _is_word(t)), "")
        if _BARE_TIME.fullmatch(token) and not _is_time(follower):
            return None
        self._left.pop(0)
        return int(token)

    def _date(
        self, year: int | None, month: int, day: int, near: date | None = None
    ) -> date:
        try:
            if year is not None:
                return date(year, month, day)
            if near is None:
                raise self._error("has a date without a year")
            years = (near.year - 1, near.year, near.year + 1)
            dates = [date(y, month, day) for y in years if _exists(y, month, day)]
            return min(dates, key=lambda d: abs(d - near))
        except ValueError as error:
            raise self._error("has a date that does not exist") from error

    def _read_time(self, day: date) -> datetime:
        token = self._pop("a time")
        if match := _BARE_TIME.fullmatch(token):
            hour, minute = int(match.group(1)), int(match.group(2))
            return datetime.combine(day, time(hour, minute))
        match = _TIME.fullmatch(token)
        if match is None:
            raise self._error(f"has “{_short(token)}” where a time should stand")
        hour, minute, second = (int(match.group(i) or 0) for i in (1, 2, 3))
        half = (match.group(4) or self._read_half()).casefold()
        if half:
            if not 1 <= hour <= 12:
                raise self._error(f"has the time {token} {half}, which does not exist")
            hour = hour % 12 + (12 if half == "pm" else 0)
        try:
            clock = datetime.combine(day, time(hour, minute, second))
        except ValueError as error:
            raise self._error(f"has the time {token}, which does not exist") from error
        return clock.replace(tzinfo=_offset(match.group(5)))

    def _read_half(self) -> str:
        word = self._peek().replace(".", "")
        if word.casefold() in ("am", "pm"):
            self._left.pop(0)
            return word
        return ""

    def _read_height(self) -> float:
        token = self._pop("a height")
        match = _HEIGHT.fullmatch(token.replace("\u2212", "-"))
        if match is None:
            raise self._error(f"has “{_short(token)}” where a height should stand")
        stated = match.group(2)
        if stated is None and self._peek().casefold() in UNITS_M:
            stated = self._left.pop(0)
        if stated is not None and stated.casefold() != self._unit:
            raise self._error(f"gives a height in {stated}, not in {self._unit}")
        height_m = float(match.group(1).replace(",", ".")) * UNITS_M[self._unit]
        if not -10.0 <= height_m <= 20.0:
            raise self._error(
                f"has the height {token} {self._unit}, which no tide has; is the "
                "unit right?"
            )
        return height_m

    def _read_mark(self) -> bool | None:
        mark = _MARKS.get(self._peek().casefold())
        if mark is not None:
            self._left.pop(0)
        while self._left and self._peek().casefold() in _FILLERS:
            self._left.pop(0)
        return mark

    def _peek(self, index: int = 0) -> str:
        return self._left[index] if index < len(self._left) else ""

    def _pop(self, what: str) -> str:
        if not self._left:
            raise self._error(f"ends where {what} should stand")
        return self._left.pop(0)

    def _error(self, what: str) -> UserError:
        return UserError(f"Line {self._number} {what.rstrip('.')}.".replace("?.", "?"))


def _tokens(line: str, number: int) -> list[str]:
    """The parts of a line; a comma between digits is a decimal one or divides."""
    if "<" in line or "\x00" in line:
        raise UserError(f"Line {number} is not part of a tide table: “{_short(line)}”.")
    tokens = []
    for chunk in re.split(r"[\s;|]+", line):
        if _DECIMAL_COMMA.fullmatch(chunk):
            tokens.append(chunk)
        else:
            tokens += [part.strip('"') for part in chunk.split(",")]
    return [token for token in tokens if token]


def _is_layout(line: str) -> bool:
    return [part.strip().strip('"').casefold() for part in line.split(",")] == _LAYOUT


def _refuse_other_unit(line: str, unit: str, number: int) -> None:
    stated = {found.casefold() for found in _HEADING_UNIT.findall(line)}
    units = {_LONG_UNITS.get(word, word) for word in stated}
    if units and unit not in units:
        raise UserError(
            f"Line {number} says that heights are in {', '.join(sorted(units))}, "
            f"not in {unit}."
        )


def _named(word: str, names: list[str], least: int) -> int | None:
    """Which of some English names a word is, or begins with enough letters of."""
    start = word.rstrip(".,").casefold()
    if len(start) < least:
        return None
    return next((i for i, name in enumerate(names) if name.startswith(start)), None)


def _is_time(token: str) -> bool:
    return bool(_TIME.fullmatch(token) or _BARE_TIME.fullmatch(token))


def _is_word(token: str) -> bool:
    word = token.casefold()
    return word in _MARKS or word in _FILLERS or word.rstrip(".,").isalpha()


def _exists(year: int, month: int, day: int) -> bool:
    try:
        date(year, month, day)
    except ValueError:
        return False
    return True


def _offset(text: str | None) -> timezone | None:
    if text is None:
        return None
    if text in "zZ":
        return UTC
    sign = -1 if text[0] == "-" else 1
    digits = text[1:].replace(":", "")
    return timezone(sign * timedelta(hours=int(digits[:2]), minutes=int(digits[2:])))


def _short(text: str) -> str:
    return text if len(text) <= 30 else f"{text[:30]}…"
