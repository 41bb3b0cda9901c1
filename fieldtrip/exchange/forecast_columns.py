"""Columns of a typed forecast: what they are called, and in which unit they count."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from fieldtrip.errors import UserError
from fieldtrip.settings import SpeedUnit
from fieldtrip.weather.records import ForecastHour

MISSING = frozenset({"", "-", "\u2013", "\u2014", "\u2212", "?", "n/a", "na"})
M_S = {
    SpeedUnit.METRE_PER_SECOND: 1.0,
    SpeedUnit.KNOT: 1852.0 / 3600.0,  # the international nautical mile
    SpeedUnit.MILE_PER_HOUR: 1609.344 / 3600.0,
    SpeedUnit.KILOMETRE_PER_HOUR: 1.0 / 3.6,
}
_POINTS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
    "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
_SPEED_UNITS = {
    "m/s": SpeedUnit.METRE_PER_SECOND,
    "kn": SpeedUnit.KNOT,
    "kt": SpeedUnit.KNOT,
    "kts": SpeedUnit.KNOT,
    "knots": SpeedUnit.KNOT,
    "mph": SpeedUnit.MILE_PER_HOUR,
    "km/h": SpeedUnit.KILOMETRE_PER_HOUR,
    "kph": SpeedUnit.KILOMETRE_PER_HOUR,
}
_NUMBER = re.compile(r"([-+]?\d+(?:[.,]\d+)?)\s*(.*)", re.DOTALL)

Convert = Callable[[float], float]
_SAME: Convert = float


@dataclass(frozen=True, slots=True)
class Quantity:
    """Something a forecast gives, and the units in which it may be typed."""

    field: str  # of `ForecastHour`; empty for day and time
    name: str  # as this program writes it
    unit: str  # as this program writes it; of a speed, what was chosen
    others: tuple[str, ...]  # names by which tables call it
    units: dict[str, Convert]

    @property
    def is_speed(self) -> bool:
        """Whether it counts in the chosen unit of wind."""
        return self.field in ("wind_m_s", "gust_m_s")

    @property
    def is_bearing(self) -> bool:
        """Whether it may be typed as a point of the compass."""
        return self.field.endswith("_from_deg")

    @property
    def is_yes_no(self) -> bool:
        """Whether it is typed as yes or no."""
        return self.field == "is_thunder"


_PERCENT = {"%": _SAME, "percent": _SAME}
_DEGREES = {"\u00b0": _SAME, "deg": _SAME, "degrees": _SAME}
_YES = frozenset(("yes", "y", "true", "1", "x"))
_NO = frozenset(("no", "n", "false", "0"))
DAY = Quantity("", "date", "", ("day",), {})
TIME = Quantity("", "time", "", ("hour", "hours", "clock"), {})
QUANTITIES = (
    Quantity("wind_m_s", "wind", "", ("wind speed", "mean wind"), {}),
    Quantity("gust_m_s", "gust", "", ("gusts", "wind gust", "wind gusts"), {}),
    Quantity(
        "wind_from_deg",
        "from",
        "",
        ("direction", "dir", "wind from", "wind direction", "wind dir"),
        _DEGREES,
    ),
    Quantity(
        "cloud_percent",
        "cloud",
        "%",
        ("clouds", "cloud cover"),
        _PERCENT | {"oktas": lambda v: v * 12.5, "okta": lambda v: v * 12.5},
    ),
    Quantity(
        "rain_mm",
        "rain",
        "mm",
        ("precipitation", "precip"),
        {"mm": _SAME, "in": lambda v: v * 25.4},
    ),
    Quantity(
        "temperature_c",
        "temperature",
        "\u00b0C",
        ("temp", "air temperature"),
        {
            "\u00b0c": _SAME,
            "c": _SAME,
            "\u00b0f": lambda v: (v - 32.0) / 1.8,
            "f": lambda v: (v - 32.0) / 1.8,
        },
    ),
    Quantity(
        "pressure_hpa",
        "pressure",
        "hPa",
        ("press", "air pressure"),
        {"hpa": _SAME, "mb": _SAME, "mbar": _SAME},
    ),
    Quantity(
        "thunder_percent",
        "thunder",
        "%",
        ("thunderstorm", "thunderstorms", "lightning"),
        _PERCENT,
    ),
    Quantity("is_thunder", "thundery", "", ("storm", "storms"), {}),
    Quantity(
        "visibility_m",
        "visibility",
        "m",
        ("vis", "view"),
        {
            "m": _SAME,
            "km": lambda v: v * 1000.0,
            "mi": lambda v: v * 1609.344,
            "nm": lambda v: v * 1852.0,
            "nmi": lambda v: v * 1852.0,
        },
    ),
    Quantity(
        "wave_height_m",
        "wave height",
        "m",
        ("waves", "swell height", "significant wave height", "hs"),
        {"m": _SAME, "ft": lambda v: v * 0.3048},
    ),
    Quantity(
        "wave_period_s",
        "wave period",
        "s",
        ("period", "swell period", "peak period", "tp"),
        {"s": _SAME, "sec": _SAME},
    ),
    Quantity(
        "wave_from_deg",
        "wave direction",
        "",
        ("wave dir", "wave from", "swell direction", "swell dir", "swell from"),
        _DEGREES,
    ),
)
_ALL = (DAY, TIME, *QUANTITIES)
_BY_NAME = {name: q for q in _ALL for name in (q.name, *q.others)}
# Names that would tear a pair of words apart, such as “swell direction”.
_ALONE = {"swell": _BY_NAME["wave height"], "sea": _BY_NAME["wave height"]}
_UNITS = {*_SPEED_UNITS, *(unit for q in QUANTITIES for unit in q.units)}
_KNOWN = ", ".join(quantity.name for quantity in (TIME, *QUANTITIES))


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, with the unit that counts in it."""

    quantity: Quantity
    unit: str  # as stated in the heading; empty: the usual one

    def value(self, text: str, speed_unit: SpeedUnit) -> float | bool | None:
        """What a cell says, in the record's unit; None where it says nothing.

        Raises `UserError` for what is no number or in another unit.
        """
        cell = text.strip().replace("\u2212", "-")
        if cell.casefold() in MISSING:
            return None
        quantity = self.quantity
        if quantity.is_bearing and cell.upper() in _POINTS:
            return _POINTS.index(cell.upper()) * 22.5
        if quantity.is_yes_no:
            return _yes_no(cell, quantity)
        if quantity.field == "visibility_m":
            cell = cell.removeprefix(">").strip()  # at least so far
        match = _NUMBER.fullmatch(cell)
        if match is None:
            raise UserError(f"“{cell[:30]}” is no {quantity.name}")
        number = float(match.group(1).replace(",", "."))
        unit = match.group(2).strip().casefold() or self.unit
        return _in_record_unit(quantity, number, unit, speed_unit)


def columns_of(
    cells: list[str], speed_unit: SpeedUnit, *, are_words: bool
) -> list[Column]:
    """The columns that a heading names, in its order.

    `are_words` where the heading was split at every space, so that a unit, or
    the second word of a name, stands by itself.  Raises `UserError` for a
    column that is not known, comes twice, or counts in another unit.
    """
    parts = [part for cell in cells for part in _parts(cell)] if are_words else cells
    named = _joined(parts) if are_words else [_parts(cell) for cell in cells]
    columns = [_column(words, speed_unit) for words in named]
    quantities = [column.quantity for column in columns]
    for quantity in quantities:
        if quantities.count(quantity) > 1:
            raise UserError(f"The heading names {quantity.name} twice.")
    if TIME not in quantities:
        raise UserError("The heading must name a column “time”.")
    if len(columns) - (DAY in quantities) < 2:
        raise UserError(f"The heading must name what is forecast: {_KNOWN}.")
    return columns


def speed_shown(
    hour: ForecastHour, quantity: Quantity, unit: SpeedUnit
) -> float | None:
    """A number of an hour in the unit in which it is typed."""
    value: float | None = getattr(hour, quantity.field)
    return value / M_S[unit] if value is not None and quantity.is_speed else value


def _parts(cell: str) -> list[str]:
    """The words of a heading, brackets gone: ``Wind (m/s)`` is wind and m/s."""
    return re.sub(r"[()\[\]]", " ", cell).casefold().split()


def _joined(words: list[str]) -> list[list[str]]:
    """Words of a heading gathered into columns: names, each with its unit.

    Two words that are each a name, as wind and gust, are two columns, unless the
    first has named its column already.
    """
    columns: list[list[str]] = []
    index = 0
    while index < len(words):
        names = [column[:1] for column in columns]
        pair = " ".join(words[index : index + 2])
        if words[index] in _UNITS and columns:
            columns[-1].append(words[index])
        elif pair in _BY_NAME and (
            not set(pair.split()) <= set(_BY_NAME) or [words[index]] in names
        ):
            columns.append(words[index : index + 2])
            index += 1
        else:
            columns.append([words[index]])
        index += 1
    return columns


def _column(words: list[str], speed_unit: SpeedUnit) -> Column:
    units = [word for word in words if word in _UNITS]
    name = " ".join(word for word in words if word not in _UNITS)
    quantity = _BY_NAME.get(name) or _ALONE.get(name)
    if quantity is None:
        raise UserError(
            f"The heading has a column “{name[:30]}” that is not known. Known are: "
            f"{_KNOWN}."
        )
    if len(units) > 1:
        raise UserError(f"The heading gives {quantity.name} two units.")
    unit = units[0] if units else ""
    if unit:
        try:
            _in_record_unit(quantity, 0.0, unit, speed_unit)
        except UserError as error:
            raise UserError(f"In the heading, {error}.") from error
    return Column(quantity, unit)


def _yes_no(cell: str, quantity: Quantity) -> bool:
    word = cell.casefold()
    if word not in _YES | _NO:
        raise UserError(f"{quantity.name} is yes or no, not “{cell[:30]}”")
    return word in _YES


def _in_record_unit(
    quantity: Quantity, number: float, unit: str, speed_unit: SpeedUnit
) -> float:
    if quantity.is_speed:
        if unit and _SPEED_UNITS.get(unit) is not speed_unit:
            raise UserError(
                f"{quantity.name} is in {unit}, but {speed_unit} was chosen"
            )
        return number * M_S[speed_unit]
    if not unit and quantity.field == "visibility_m":
        raise UserError("visibility must say its unit, such as “visibility km”")
    if not unit:
        return number
    convert = quantity.units.get(unit)
    if convert is None:
        raise UserError(f"{quantity.name} cannot be in {unit}")
    return convert(number)
