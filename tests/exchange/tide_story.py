"""Tide files as their authorities write them, made of published figures."""

from __future__ import annotations

import csv
import json
from datetime import UTC, date, datetime, timedelta

from fieldtrip.exchange.tide_file import TideFile
from fieldtrip.exchange.tide_files_in import read_tide_file
from fieldtrip.times import Span
from tests.tides.published import (
    DATA,
    SAN_FRANCISCO,
    constants,
    curve,
    hourly,
    official_turns,
)

# Source: UK Hydrographic Office, Format 13 specification, first and second line.
DOVER_HEAD = '"0089","DOVER",51.12,1.32,20020101,10,+0000'
DOVER_TURNS = "0715,L,0.962,1201,H,6.696,1938,L,1.017"
# Source: the same, the first of its interval data: 0000 to 0750.
DOVER_HEIGHTS = (
    6684, 6639, 6582, 6513, 6436, 6351, 6258, 6157, 6048, 5928, 5798, 5655,
    5502, 5336, 5160, 4976, 4784, 4587, 4388, 4188, 3989, 3792, 3598, 3408,
    3221, 3039, 2861, 2688, 2519, 2355, 2197, 2044, 1898, 1759, 1628, 1505,
    1392, 1291, 1201, 1125, 1062, 1014, 981, 964, 964, 981, 1018, 1076,
)  # fmt: skip


def coops_turns_csv() -> bytes:
    """High and low waters of San Francisco, 15 to 21 August 2026."""
    rows = [
        f"{t.instant:%Y-%m-%d %H:%M},{t.height_m:.3f},{'H' if t.is_high else 'L'}"
        for t in official_turns(SAN_FRANCISCO)
    ]
    return "\r\n".join(["Date Time, Prediction, Type", *rows, ""]).encode()


def coops_series_csv() -> bytes:
    """Hourly heights of the same."""
    found = hourly(SAN_FRANCISCO)
    rows = [
        f"{str(at)[:16].replace('T', ' ')},{height_m:.3f}"
        for at, height_m in zip(found.instants, found.heights_m.tolist(), strict=True)
    ]
    return "\n".join(["Date Time, Prediction", *rows, ""]).encode()


def coops_turns_json() -> bytes:
    """The same high and low waters, with zeros at the end dropped."""
    rows = [
        {
            "t": f"{t.instant:%Y-%m-%d %H:%M}",
            "v": f"{t.height_m:.3f}".rstrip("0"),
            "type": "H" if t.is_high else "L",
        }
        for t in official_turns(SAN_FRANCISCO)
    ]
    return json.dumps({"predictions": rows}, indent=0).encode()


def harcon_json(unit: str | None = "meters", scale: float = 1.0) -> bytes:
    """The constants of San Francisco."""
    rows = [
        {
            "number": number,
            "name": c.name,
            "amplitude": round(c.amplitude_m * scale, 5),
            "phase_GMT": c.greenwich_phase_deg,
            "phase_local": 0.0,
        }
        for number, c in enumerate(constants(SAN_FRANCISCO).constants, start=1)
    ]
    found: dict[str, object] = {"HarmonicConstituents": rows}
    if unit is not None:
        found["units"] = unit
    return json.dumps(found).encode()


def datums_json(unit: str = "meters", scale: float = 1.0) -> bytes:
    """The levels of San Francisco above its own zero, which lies 1.8 m below MLLW."""
    # Source: NOAA CO-OPS, datums of 9414290: MSL 0.951 m above MLLW, MTL 0.970 m.
    # The zero is invented: only differences count.
    levels = {"STND": 0.0, "MLLW": 1.8, "MSL": 2.751, "MTL": 2.770}
    rows = [{"name": n, "value": round(v * scale, 5)} for n, v in levels.items()]
    return json.dumps({"units": unit, "datums": rows, "epoch": "1983-2001"}).encode()


def annual_txt(name: str = "port_townsend") -> bytes:
    """The annual table of Port Townsend, 2017: header, then all its tides."""
    head = (DATA / "noaa_annual_seattle_2017_head.txt").read_text("utf-8").splitlines()
    head = [line.replace("SEATTLE (Madison St.), Elliott Bay", "PORT TOWNSEND")
            .replace("9447130", "9444900") for line in head[:14]]  # fmt: skip
    if name == "mystery_bay":
        head.insert(6, "ReferencedToStationName: Port Townsend")
        head = [line.replace("From: 20170101", "From: 20161231") for line in head]
    rows = []
    with (DATA / f"noaa_{name}_2017.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            at = datetime.fromisoformat(row["local"])
            feet = int(row["cm"]) / 30.48
            rows.append(
                f"{at:%Y/%m/%d}\t\t{at:%a}\t{at:%I:%M %p}\t{feet:.1f}\t\t{row['cm']}"
                f"\t\t{row['type']}"
            )
    return "\n".join([*head, *rows, ""]).encode()


def linz_2013() -> bytes:
    """Lyttelton 2013 in the old encoding and with its line ends."""
    text = (DATA / "linz_lyttelton_2013.csv").read_text("utf-8")
    return "\r\n".join(text.splitlines()).encode("latin-1") + b"\r\n"


def linz_2017() -> bytes:
    """Days of Lyttelton 2017 round the end of summer time."""
    return (DATA / "linz_lyttelton_2017-04.csv").read_bytes()


def dover(interval: int = 10) -> bytes:
    """The specification's day; where its heights are cut off, an invented rest."""
    heights = (*DOVER_HEIGHTS, *[3000] * 96)[:: interval // 10]
    head = DOVER_HEAD.replace(",10,", f",{interval},")
    return "\n".join([head, DOVER_TURNS, *map(str, heights), ""]).encode()


def read(data: bytes, name: str = "tides.csv") -> TideFile:
    """A file that needs no columns."""
    found = read_tide_file(data, name)
    assert isinstance(found, TideFile)
    return found


def year_hourly_csv() -> bytes:
    """Hourly heights of San Francisco for 2025, from its constants."""
    start = datetime(2025, 1, 1, tzinfo=UTC)
    heights = curve(SAN_FRANCISCO).grid_m(start, 3600.0, 365 * 24)
    rows = [
        f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},{height_m:.3f}"
        for hour, height_m in enumerate(heights.tolist())
    ]
    return "\n".join(["Date Time, Prediction", *rows, ""]).encode()


def year_format_13() -> bytes:
    """Format 13 for 2025 with hourly heights of the same."""
    tide = curve(SAN_FRANCISCO)
    start = datetime(2025, 1, 1, tzinfo=UTC)
    heights = tide.grid_m(start, 3600.0, 365 * 24).reshape(365, 24)
    turns: dict[date, list[str]] = {}
    for turn in tide.turns(Span(start, start + timedelta(days=365))):
        mark = "H" if turn.is_high else "L"
        text = f"{turn.instant:%H%M},{mark},{turn.height_m:.3f}"
        turns.setdefault(turn.instant.date(), []).append(text)
    lines = []
    for number, row in enumerate(heights.tolist()):
        day = (start + timedelta(days=number)).date()
        lines += [
            f'"0001","PIER",37.81,-122.47,{day:%Y%m%d},60,+0000',
            ",".join(turns[day]),
            *(f"{height_m * 1000.0:.0f}" for height_m in row),
        ]
    return "\n".join([*lines, ""]).encode()
