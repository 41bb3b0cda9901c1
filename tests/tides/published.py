"""Published constants, heights and tables; see tests/data/SOURCES.md."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.records import Turn

DATA = Path(__file__).parents[1] / "data" / "tides"
BOSTON, SAN_FRANCISCO, SEATTLE, GALVESTON = (
    "8443970", "9414290", "9447130", "8771450",
)  # fmt: skip
PORTS = (BOSTON, SAN_FRANCISCO, SEATTLE, GALVESTON)
NZST = timezone(timedelta(hours=12))


@dataclass(frozen=True, slots=True)
class Series:
    """Official heights of a port."""

    instants: Instants
    heights_m: Array


def constants(port: str) -> HarmonicConstants:
    """NOAA's constants of a port, zeros and all."""
    (station,) = [r for r in _rows("noaa_stations.csv") if r["station"] == port]
    return HarmonicConstants(
        port=station["name"],
        datum="MLLW",
        z0_m=float(station["Z0_MSL_above_MLLW_m"]),
        constants=tuple(
            Constant(r["name"], float(r["amplitude_m"]), float(r["phase_gmt_deg"]))
            for r in _rows("noaa_constants.csv")
            if r["station"] == port
        ),
    )


def curve(port: str, nodes: Nodes = Nodes.DAILY) -> HarmonicCurve:
    """The tide of a port from NOAA's constants."""
    return HarmonicCurve(HarmonicSum(constants(port), nodes))


def published_speeds() -> dict[str, float]:
    """NOAA's speeds in degrees per hour."""
    rows = _rows("noaa_constants.csv")
    return {row["name"]: float(row["speed_deg_per_h"]) for row in rows}


def hourly(port: str) -> Series:
    """NOAA's official heights of a week."""
    rows = [r for r in _rows("noaa_hourly_2026-08.csv") if r["station"] == port]
    return Series(
        np.array([row["utc"].rstrip("Z") for row in rows], "datetime64[ms]"),
        np.array([float(row["height_m_above_MLLW"]) for row in rows]),
    )


def official_turns(port: str) -> tuple[Turn, ...]:
    """NOAA's official high and low waters of a week, 15 to 21 August 2026."""
    return tuple(
        Turn(
            datetime.fromisoformat(row["utc"]),
            float(row["height_m_above_MLLW"]),
            row["type"] == "H",
        )
        for row in _rows("noaa_hilo_2026-08.csv")
        if row["station"] == port and row["utc"].startswith("2026-08")
    )


def annual_turns(name: str) -> tuple[Turn, ...]:
    """NOAA's table of 2017, printed in local time with summer time.

    No turn falls into the hour that the clock repeats.
    """
    clock = ZoneInfo("America/Los_Angeles")
    return tuple(
        Turn(
            datetime.fromisoformat(row["local"]).replace(tzinfo=clock).astimezone(UTC),
            float(row["cm"]) / 100.0,
            row["type"] == "H",
        )
        for row in _rows(f"noaa_{name}_2017.csv")
    )


@cache
def lyttelton(year: int) -> tuple[Turn, ...]:
    """LINZ's table of Lyttelton, printed in standard time to a decimetre."""
    lines = (DATA / f"linz_lyttelton_{year}.csv").read_text("utf-8").splitlines()[3:]
    found: list[tuple[datetime, float]] = []
    for line in lines:
        day, _, month, printed_year, *pairs = line.split(",")
        date = datetime(int(printed_year), int(month), int(day), tzinfo=NZST)
        for clock, height in zip(pairs[::2], pairs[1::2], strict=True):
            if clock:
                hour, minute = (int(part) for part in clock.split(":"))
                at = date + timedelta(hours=hour, minutes=minute)
                found.append((at.astimezone(UTC), float(height)))
    # No column says which is which: every turn is above or below its neighbour.
    first_is_high = found[0][1] > found[1][1]
    return tuple(
        Turn(at, height, (index % 2 == 0) == first_is_high)
        for index, (at, height) in enumerate(found)
    )


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
