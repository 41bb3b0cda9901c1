"""Files of harmonic constants: JSON text in, constants out.

Two layouts.  Our own::

    {"name": …, "datum": …, "z0_m": …, "constants": {"M2": [metres, degrees], …}}

with the Greenwich phase; and NOAA CO-OPS's ``harcon.json``, which says neither its
mean level nor the datum, so that both must be given with it.
"""

from __future__ import annotations

import json
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.tides.constants import Constant, HarmonicConstants

LONGEST_TEXT = 1_000_000  # characters; 400 constituents take 30 000
_UNITS_M = {
    "metric": 1.0, "meters": 1.0, "metres": 1.0, "m": 1.0,
    "english": 0.3048, "feet": 0.3048, "ft": 0.3048,
}  # fmt: skip
_HARCON = "HarmonicConstituents"


def read_station(
    text: str,
    z0_m: float | None = None,
    datum: str | None = None,
    unit: str | None = None,
) -> HarmonicConstants:
    """Read a station's constants.

    `z0_m`, `datum` and `unit` are for what a ``harcon.json`` does not say, and are
    refused where the file does.  Raises `UserError` for anything else than one of
    the two layouts.
    """
    found = _json(text)
    if "error" in found:
        raise UserError(f"The service answered with an error: {_message(found)}")
    if _HARCON in found:
        return _of_harcon(found, z0_m, datum, unit)
    if "constants" not in found:
        raise UserError(
            f"This file holds no constants: it has neither “constants” nor “{_HARCON}”."
        )
    if z0_m is not None or datum is not None or unit is not None:
        raise UserError(
            "This station file says its own mean level, datum and unit; do not give "
            "them again."
        )
    return _of_station(found)


def _of_station(found: dict[str, Any]) -> HarmonicConstants:
    constants = found["constants"]
    if not isinstance(constants, dict):
        raise UserError("“constants” must name each constituent, such as M2.")
    return _sound(
        HarmonicConstants(
            port=_text(found, "name"),
            datum=_text(found, "datum"),
            z0_m=_number(found.get("z0_m"), "The station's z0_m"),
            constants=tuple(_constant(name, pair) for name, pair in constants.items()),
        )
    )


def _of_harcon(
    found: dict[str, Any], z0_m: float | None, datum: str | None, unit: str | None
) -> HarmonicConstants:
    if z0_m is None:
        raise UserError(
            "This file does not say where mean sea level lies: give --z0, the metres "
            "from the datum up to it."
        )
    rows = found[_HARCON]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise UserError(f"“{_HARCON}” must be a list of constituents.")
    in_m = _UNITS_M[_unit_of(found.get("units"), unit)]
    constants = []
    for row in rows:
        name = _text(row, "name")
        amplitude = _number(row.get("amplitude"), f"The amplitude of {name}")
        phase = _number(row.get("phase_GMT"), f"The phase_GMT of {name}")
        constants.append(Constant(name, amplitude * in_m, phase))
    return _sound(
        HarmonicConstants(
            port=str(found.get("name", "station")),
            datum=datum or "",
            z0_m=z0_m,
            constants=tuple(constants),
        )
    )


def _unit_of(stated: object, given: str | None) -> str:
    word = str(stated).strip().casefold() if stated is not None else None
    if word is not None and word not in _UNITS_M:
        raise UserError(f"The file is in “{stated}”, which is neither metres nor feet.")
    if word is None and given is None:
        raise UserError("This file does not say its unit: give --unit m or --unit ft.")
    if given is not None and given not in _UNITS_M:
        raise UserError("The unit of constants is m or ft.")
    if word and given and _UNITS_M[word] != _UNITS_M[given]:
        raise UserError(f"The file says that it is in {stated}, not in {given}.")
    return word or given or ""


def _constant(name: str, pair: object) -> Constant:
    if not isinstance(pair, list) or len(pair) != 2:
        raise UserError(f"{name} needs two numbers: amplitude in metres and phase.")
    return Constant(
        name,
        _number(pair[0], f"The amplitude of {name}"),
        _number(pair[1], f"The phase of {name}"),
    )


def _sound(constants: HarmonicConstants) -> HarmonicConstants:
    if faults := constants.faults():
        raise UserError(faults[0])
    return constants


def _json(text: str) -> dict[str, Any]:
    start = text.lstrip("\ufeff \t\r\n")
    if not start:
        raise UserError("This file is empty.")
    if len(text) > LONGEST_TEXT:
        raise UserError("This file is too long for the constants of one station.")
    if start.startswith("<"):
        raise UserError("This is a web page, not a file of constants.")
    try:
        found = json.loads(start)
    except json.JSONDecodeError as error:
        raise UserError(
            f"This file is not whole JSON: line {error.lineno} cannot be read."
        ) from error
    except RecursionError as error:
        raise UserError("This file is not the constants of a station.") from error
    if not isinstance(found, dict):
        raise UserError("This file is not the constants of a station.")
    return found


def _message(found: dict[str, Any]) -> str:
    error = found["error"]
    message = error.get("message") if isinstance(error, dict) else error
    return " ".join(str(message).split())[:200]


def _text(found: dict[str, Any], key: str) -> str:
    value = found.get(key)
    if not isinstance(value, str) or not value.strip():
        raise UserError(f"The station file does not say its {key}.")
    return value.strip()


def _number(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UserError(f"{what} must be a number.")
    try:
        return float(value)
    except OverflowError as error:
        raise UserError(f"{what} is too large.") from error
