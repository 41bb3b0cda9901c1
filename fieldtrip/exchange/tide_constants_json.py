"""Harmonic constants and levels as JSON: NOAA CO-OPS's two files, and our own.

``harcon.json`` says neither its mean level nor its datum; ``datums.json`` says the
levels, so that the two together are a station.  Its mean level counts above MLLW:
that is MSL less MLLW, and not MTL.

Source: NOAA CO-OPS, metadata API, ``stations/ID/harcon.json`` and ``datums.json``.
"""

from __future__ import annotations

from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.coops_tables import AUTHORITY
from fieldtrip.exchange.tide_bytes import one_line
from fieldtrip.exchange.tide_file import Constituent, TideFile, TideKind

HARCON, DATUMS = "HarmonicConstituents", "datums"
_UNITS = {
    "metric": "m", "meters": "m", "metres": "m", "m": "m",
    "english": "ft", "feet": "ft", "ft": "ft",
}  # fmt: skip


def read_harcon(found: dict[str, Any], name: str) -> TideFile:
    """Read NOAA CO-OPS's constants; amplitudes stay in the file's unit."""
    constants = tuple(
        Constituent(
            _text(row, "name", index),
            _number(row.get("amplitude"), f"The amplitude of {row.get('name')}"),
            _number(row.get("phase_GMT"), f"The phase_GMT of {row.get('name')}"),
        )
        for index, row in enumerate(_rows(found, HARCON), start=1)
    )
    if not constants:
        raise UserError(
            "This file holds no constituents; the station may be one that is "
            "predicted by differences from another."
        )
    return TideFile(
        name=name,
        kind=TideKind.CONSTANTS,
        layout=f"{AUTHORITY}, harmonic constants (JSON)",
        port=str(found.get("name") or ""),
        unit=_unit(found.get("units")),
        source=f"{AUTHORITY}, harmonic constants",
        constants=constants,
    )


def read_datums(found: dict[str, Any], name: str) -> TideFile:
    """Read NOAA CO-OPS's levels of a station, above its own zero."""
    levels = []
    for index, row in enumerate(_rows(found, DATUMS), start=1):
        value = row.get("value")
        if value is not None:
            level = _text(row, "name", index)
            levels.append((level, _number(value, f"The level {level}")))
    return TideFile(
        name=name,
        kind=TideKind.LEVELS,
        layout=f"{AUTHORITY}, levels (JSON)",
        levels=tuple(levels),
        levels_unit=_unit(found.get("units")),
        source=AUTHORITY,
    )


def read_own_station(found: dict[str, Any], name: str) -> TideFile:
    """Read ``{"name", "datum", "z0_m", "constants": {"M2": [metres, degrees]}}``."""
    constants = found["constants"]
    if not isinstance(constants, dict):
        raise UserError("“constants” must name each constituent, such as M2.")
    z0_m = _number(found.get("z0_m"), "The station's z0_m")
    return TideFile(
        name=name,
        kind=TideKind.CONSTANTS,
        layout="Harmonic constants (JSON)",
        port=_text(found, "name"),
        datum=_text(found, "datum"),
        unit="m",
        levels=(("MSL", z0_m), (_text(found, "datum"), 0.0)),
        levels_unit="m",
        constants=tuple(_pair(key, value) for key, value in constants.items()),
    )


def _pair(name: str, pair: object) -> Constituent:
    if not isinstance(pair, list) or len(pair) != 2:
        raise UserError(f"{name} needs two numbers: amplitude in metres and phase.")
    return Constituent(
        name,
        _number(pair[0], f"The amplitude of {name}"),
        _number(pair[1], f"The phase of {name}"),
    )


def _rows(found: dict[str, Any], key: str) -> list[dict[str, Any]]:
    rows = found[key]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise UserError(f"“{key}” must be a list.")
    return rows


def _unit(stated: object) -> str:
    if stated is None:
        return ""
    # Real answers add what other columns count in: “feet, deg”.
    word = str(stated).split(",")[0].strip().casefold()
    if word not in _UNITS:
        raise UserError(
            f"The file is in “{one_line(stated, 20)}”, which is neither metres nor "
            "feet."
        )
    return _UNITS[word]


def _text(found: dict[str, Any], key: str, entry: int | None = None) -> str:
    value = found.get(key)
    if not isinstance(value, str) or not value.strip():
        where = "The station file" if entry is None else f"Entry {entry}"
        raise UserError(f"{where} does not say its {key}.")
    return value.strip()


def _number(value: object, what: str) -> float:
    if isinstance(value, str):
        try:
            value = float(value)
        except ValueError as error:
            raise UserError(f"{one_line(what, 60)} must be a number.") from error
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UserError(f"{one_line(what, 60)} must be a number.")
    if not -1e6 <= value <= 1e6:  # written so that nan fails too
        raise UserError(f"{one_line(what, 60)} is too large.")
    return float(value)
