"""The tide on the command line: exact keys, official figures, plain refusals."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from fieldtrip import commands
from fieldtrip.exchange.tide_text import turns_text
from fieldtrip.tides.records import Turn
from tests.exchange.tide_story import (
    annual_txt,
    coops_series_csv,
    datums_json,
    dover,
    harcon_json,
    linz_2013,
    year_format_13,
    year_hourly_csv,
)
from tests.tides.published import (
    BOSTON,
    SAN_FRANCISCO,
    constants,
    hourly,
    lyttelton,
    official_turns,
)

WEEK = ["--from=2026-08-15T00:00Z", "--to=2026-08-22T00:00Z"]
DAY = ["--from=2026-08-15T00:00Z", "--to=2026-08-16T00:00Z"]
PLAIN: dict[str, Any] = {
    "name": "Port",
    "datum": "chart datum",
    "z0_m": 2.0,
    "constants": {"M2": [1.5, 30.0], "S2": [0.5, 60]},
}


def tide(*arguments: str) -> list[str]:
    return ["compute", "tide", *arguments]


def ran(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> tuple[dict[str, Any], str]:
    assert commands.main(arguments) == 0
    said = capsys.readouterr()
    answer: dict[str, Any] = json.loads(said.out)
    return answer, said.err


def station_file(folder: Path, port: str) -> str:
    """A station file with NOAA's constants."""
    found = constants(port)
    path = folder / "station.json"
    path.write_text(
        json.dumps(
            {
                "name": found.port,
                "datum": found.datum,
                "z0_m": found.z0_m,
                "constants": {
                    c.name: [c.amplitude_m, c.greenwich_phase_deg]
                    for c in found.constants
                },
            }
        )
    )
    return f"--station={path}"


def harcon_file(folder: Path, port: str, units: str | None, unit_m: float) -> str:
    """The same constants as NOAA's service gives them."""
    answer: dict[str, Any] = {
        "HarmonicConstituents": [
            {
                "number": number,
                "name": c.name,
                "amplitude": c.amplitude_m / unit_m,
                "phase_GMT": c.greenwich_phase_deg,
                "phase_local": 0.0,
                "speed": 0.0,
            }
            for number, c in enumerate(constants(port).constants, start=1)
        ]
    }
    if units is not None:
        answer["units"] = units
    path = folder / "harcon.json"
    path.write_text(json.dumps(answer))
    return f"--station={path}"


def table_file(folder: Path, turns: tuple[Turn, ...], name: str = "table.txt") -> str:
    path = folder / name
    path.write_text(turns_text(turns, "UTC+12", "m"), "utf-8")
    return str(path)


def test_official_heights_and_turns(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    station = station_file(tmp_path, SAN_FRANCISCO)

    answer, err = ran(tide(station, *WEEK, "--step=60", "--nodes=midyear"), capsys)

    # Source: NOAA CO-OPS, San Francisco, 15 to 21 August 2026.
    assert list(answer) == ["datum", "heights", "turns", "windows"]
    assert answer["datum"] == "MLLW"
    assert answer["heights"][0][0] == "2026-08-15T00:00:00Z"
    assert answer["heights"][-1][0] == "2026-08-22T00:00:00Z"
    official = hourly(SAN_FRANCISCO).heights_m
    for (_, found), expected in zip(answer["heights"][:168], official, strict=True):
        assert found == pytest.approx(expected, abs=0.002)
    turns = official_turns(SAN_FRANCISCO)
    for shown, turn in zip(answer["turns"], turns, strict=True):
        assert list(shown) == ["time", "height_m", "kind"]
        off = datetime.fromisoformat(shown["time"]) - turn.instant
        assert abs(off) <= timedelta(minutes=1)
        assert shown["height_m"] == pytest.approx(turn.height_m, abs=0.002)
        assert shown["kind"] == ("high" if turn.is_high else "low")
    assert answer["windows"] == []
    assert err == ""


def test_windows_below_and_above(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    station = station_file(tmp_path, SAN_FRANCISCO)

    below, _ = ran(tide(station, *DAY, "--nodes=midyear", "--below=0.60"), capsys)
    above, _ = ran(tide(station, *DAY, "--nodes=midyear", "--above=0.60"), capsys)

    # Source: NOAA's constants predicted after Schureman by another program.
    first, second = below["windows"]
    assert list(first) == ["start", "end", "open_at_start", "open_at_end"]
    for shown, expected in (
        (first["start"], "2026-08-15T01:17:45Z"),
        (first["end"], "2026-08-15T03:31:59Z"),
        (second["start"], "2026-08-15T12:18:50Z"),
        (second["end"], "2026-08-15T17:21:51Z"),
    ):
        off = datetime.fromisoformat(shown) - datetime.fromisoformat(expected)
        assert abs(off) <= timedelta(seconds=1)
    assert [w["open_at_start"] for w in above["windows"]] == [True, False, False]
    assert [w["open_at_end"] for w in above["windows"]] == [False, False, True]
    assert above["windows"][0]["end"] == first["start"]


@pytest.mark.parametrize(
    ("units", "unit_m", "extra"),
    [
        ("metric", 1.0, []),
        ("feet", 0.3048, []),
        (None, 1.0, ["--unit=m"]),
        (None, 0.3048, ["--unit=ft"]),
    ],
)
def test_harcon_is_read_with_its_mean_level(
    units: str | None,
    unit_m: float,
    extra: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    expected, _ = ran(tide(station_file(tmp_path, BOSTON), *DAY), capsys)
    harcon = harcon_file(tmp_path, BOSTON, units, unit_m)

    answer, _ = ran(tide(harcon, *DAY, "--z0=1.586", *extra), capsys)
    named, _ = ran(tide(harcon, *DAY, "--z0=1.586", "--datum=MLLW", *extra), capsys)

    assert answer["datum"] is None  # the file does not say, and nobody did
    assert named["datum"] == "MLLW"
    for (_, found), (_, wanted) in zip(
        answer["heights"], expected["heights"], strict=True
    ):
        assert found == pytest.approx(wanted, abs=2e-4)


def test_a_year_of_a_table_predicts_the_next(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = table_file(tmp_path, lyttelton(2013))

    answer, err = ran(
        tide(
            "--import", table, "--zone=UTC+12", "--unit=m",
            "--from=2014-03-01T00:00Z", "--to=2014-03-31T00:00Z", "--step=1440",
        ),
        capsys,
    )  # fmt: skip

    # Source: LINZ, tide table of Lyttelton 2014, to 0.1 m and a minute.
    first, last = (datetime.fromisoformat(f"2014-03-{d}T00:00Z") for d in ("01", "31"))
    official = [t for t in lyttelton(2014) if first <= t.instant <= last]
    assert len(answer["turns"]) == len(official)
    for shown, turn in zip(answer["turns"], official, strict=True):
        off = datetime.fromisoformat(shown["time"]) - turn.instant
        assert abs(off) <= timedelta(minutes=3)
        assert shown["height_m"] == pytest.approx(turn.height_m, abs=0.08)
    assert "2.9 cm rms" in err
    assert answer["datum"] is None


def test_a_shorter_table_is_a_cosine_inside_and_nothing_outside(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    turns = lyttelton(2013)[:40]
    one, other = (
        table_file(tmp_path, turns[:25], "one.txt"),
        table_file(tmp_path, turns[20:], "other.txt"),
    )

    answer, err = ran(
        tide(
            "--import", one, other, "--zone=UTC+12", "--unit=m", "--datum=CD",
            "--from=2012-12-31T00:00Z", "--to=2013-01-02T00:00Z", "--below=1.0",
        ),
        capsys,
    )  # fmt: skip

    heights = dict(answer["heights"])
    assert answer["datum"] == "CD"
    assert heights["2012-12-31T00:00:00Z"] is None
    assert heights["2013-01-01T00:00:00Z"] is not None
    # Source: LINZ: 1 January 2013, 00:55 0.6 m in UTC+12.
    assert answer["turns"][0] == {
        "time": "2012-12-31T12:55:00Z",
        "height_m": 0.6,
        "kind": "low",
    }
    assert answer["windows"][0]["open_at_start"]
    assert "half a cosine" in err.casefold()
    assert "outside it nothing is known" in err


def test_the_csv_of_noaa_is_taken_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Source: NOAA CO-OPS, San Francisco, `interval=hilo`; see tests/data/SOURCES.md.
    table = Path(__file__).parent / "data" / "noaa_san_francisco_2026-08.csv"

    answer, _ = ran(
        tide(
            "--import", str(table), "--zone=UTC", "--unit=m", "--datum=MLLW", *WEEK,
            "--above=1.5",
        ),
        capsys,
    )  # fmt: skip

    assert answer["turns"][0] == {
        "time": "2026-08-15T02:24:00Z",
        "height_m": 0.491,
        "kind": "low",
    }
    assert len(answer["turns"]) == len(official_turns(SAN_FRANCISCO))
    for window in answer["windows"]:
        inside = [
            turn
            for turn in answer["turns"]
            if window["start"] <= turn["time"] <= window["end"]
        ]
        assert [turn["kind"] for turn in inside] == ["high"]


def test_what_is_not_known_is_left_out_and_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "station.json"
    odd = {
        **PLAIN,
        "constants": {**PLAIN["constants"], "XX9": [0.03, 1], "YY": [0.02, 1]},
    }
    path.write_text(json.dumps(odd))

    answer, err = ran(tide(f"--station={path}", *DAY), capsys)

    assert "XX9, YY" in err
    assert "0.050 m" in err
    assert err.count("\n") == 1
    assert answer["notes"] == [err.rstrip("\n")]


@pytest.mark.parametrize("level", ["--below=0.6", "--above=0.6"])
def test_a_window_above_an_unnamed_datum_says_so(
    level: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    harcon = harcon_file(tmp_path, BOSTON, "meters", 1.0)
    asked = tide(harcon, *DAY, "--z0=1.586", level)

    unnamed, said = ran(asked, capsys)
    named, _ = ran([*asked, "--datum=MLLW"], capsys)

    assert unnamed["datum"] is None
    assert "give --datum" in unnamed["notes"][-1]
    assert "give --datum" in said
    assert "notes" not in named
    assert unnamed["windows"] == named["windows"] != []


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "empty"),
        ("<!DOCTYPE html><html></html>", "web page"),
        ('{"name": "Port", "datum"', "not whole JSON"),
        ("[" * 100_000, "not the constants"),
        ("[1, 2]", "not the constants"),
        ('{"error": {"message": "No data was found."}}', "No data was found."),
        ('{"predictions": []}', "holds no constants"),
        (json.dumps({**PLAIN, "name": ""}), "does not say its name"),
        (json.dumps({**PLAIN, "datum": 3}), "does not say its datum"),
        (json.dumps({**PLAIN, "z0_m": None}), "z0_m must be a number"),
        (json.dumps({**PLAIN, "z0_m": 1e9}), "from -30 to 30 m"),
        (json.dumps({**PLAIN, "constants": {}}), "at least one constituent"),
        (json.dumps({**PLAIN, "constants": []}), "must name each"),
        (json.dumps({**PLAIN, "constants": {"M2": [1.0]}}), "M2 needs two numbers"),
        (json.dumps({**PLAIN, "constants": {"M2": [True, 1]}}), "must be a number"),
        (json.dumps({**PLAIN, "constants": {"M2": ["1", 1]}}), "must be a number"),
        (
            json.dumps({**PLAIN, "constants": {"M2": [float("nan"), 1]}}),
            "amplitude of M2 must be",
        ),
        (json.dumps({**PLAIN, "constants": {"M2": [-1, 1]}}), "amplitude of M2"),
        (
            json.dumps({**PLAIN, "constants": {"RHO": [1, 1], "RHO1": [1, 1]}}),
            "given twice",
        ),
        ('{"HarmonicConstituents": [], "units": "metric"}', "give --z0"),
        ("x" * 2_000_000, "too long"),
    ],
)
def test_a_station_file_that_is_none(
    text: str, reason: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "station.json"
    path.write_text(text)

    code = commands.main(tide(f"--station={path}", *DAY))

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert reason in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["--from=2026-08-15T00:00", DAY[1]], "does not say in which zone"),
        ([DAY[0]], "required"),
        ([DAY[1].replace("to", "from"), "--to=2026-08-15T00:00Z"], "must come after"),
        ([*DAY, "--step=0"], "--step must be"),
        ([*DAY, "--step=soon"], "--step must be"),
        ([DAY[0], "--to=2046-08-15T00:00Z", "--step=1"], "take a longer --step"),
        (["--from=1066-01-01T00:00Z", "--to=1067-01-01T00:00Z"], "1900 to 2099"),
        ([*DAY, "--below=nan"], "--below must be"),
        ([*DAY, "--above=1e9"], "--above must be"),
        ([*DAY, "--above=1", "--below=2"], "not allowed with"),
        ([*DAY, "--nodes=weekly"], "weekly"),
        ([*DAY, "--zone=UTC"], "--zone goes with --import"),
        ([*DAY, "--z0=1"], "says its own mean level"),
        ([*DAY, "--import", "x"], "not allowed with"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(
    arguments: list[str],
    reason: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / "station.json"
    path.write_text(json.dumps(PLAIN))

    code = commands.main(tide(f"--station={path}", *arguments))

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert reason in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["--unit=m"], "give --zone"),
        (["--zone=UTC+12"], "give --unit"),
        (["--zone=Mars/Olympus", "--unit=m"], "no time zone"),
        (["--zone=UTC+12", "--unit=fathom"], "m, cm or ft"),
        (["--zone=UTC+12", "--unit=cm"], ""),
        (["--zone=UTC+12", "--unit=m", "--z0=1"], "--z0 goes with constants"),
        (["--zone=UTC+12", "--unit=m", "--nodes=daily"], "at least 355 days"),
        (["--zone=UTC+12", "--unit=m"], "nothing is known outside it"),
    ],
)
def test_a_table_needs_what_its_file_does_not_say(
    arguments: list[str],
    reason: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    table = table_file(tmp_path, lyttelton(2013)[:40])

    code = commands.main(tide("--import", table, *DAY, *arguments))

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert reason in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"<html><body>Service unavailable</body></html>", "web page"),
        (b'{"error": {"message": "No data."}}', "answered with an error: No data."),
        (b"\x89PNG\r\n\x1a\n\x00\x00", ""),
        (b"2013-01-01 00:55 L 0.6\n2013-01-01 07:07 H", "Line 2"),
        (b"", "nothing to read"),
        (bytes(range(256)) * 45_000, "too large"),
        (b"2013-01-01 00:55 L 0.6 H 2.2 \xff\xfe", "Line 1"),
    ],
)
def test_a_table_that_is_none(
    data: bytes, reason: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(data)

    code = commands.main(tide("--import", str(path), "--zone=UTC", "--unit=m", *DAY))

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert "table.csv" in said.err
    assert reason in said.err
    assert said.err.count("\n") == 1


def test_a_file_that_is_not_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = commands.main(tide(f"--station={tmp_path / 'none.json'}", *DAY))

    assert code == 64
    assert "cannot be read" in capsys.readouterr().err


def test_two_files_that_disagree_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    turns = lyttelton(2013)[:20]
    other = tuple(Turn(t.instant, t.height_m + 0.1, t.is_high) for t in turns)

    code = commands.main(
        tide(
            "--import", table_file(tmp_path, turns),
            table_file(tmp_path, other, "other.txt"),
            "--zone=UTC+12", "--unit=m", *DAY,
        )
    )  # fmt: skip

    assert code == 64
    assert "another file has another height" in capsys.readouterr().err


def imported(
    folder: Path, data: bytes, *arguments: str, name: str = "tides.dat"
) -> list[str]:
    path = folder / name
    path.write_bytes(data)
    return tide("--import", str(path), *arguments)


def test_constants_and_levels_may_be_imported_together(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "datums.json").write_bytes(datums_json())
    (tmp_path / "harcon.json").write_bytes(harcon_json())
    files = [str(tmp_path / "datums.json"), str(tmp_path / "harcon.json")]

    answer, _ = ran([*tide("--import", *files), *WEEK, "--nodes=midyear"], capsys)

    # Source: NOAA CO-OPS, official hourly heights; the engine's agreement 0.2 cm.
    official = hourly(SAN_FRANCISCO).heights_m
    heights = [height for _, height in answer["heights"]]
    assert answer["datum"] == "MLLW"
    assert heights[: len(official)] == pytest.approx(official, abs=0.002)


def test_an_hourly_file_of_a_week_is_too_short(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = imported(tmp_path, coops_series_csv(), "--zone=UTC", "--unit=m", *DAY)

    code = commands.main(arguments)

    assert code == 64
    assert "needs at least 355, because" in capsys.readouterr().err


def test_what_an_authority_s_file_says_need_not_be_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = ["--from=2002-01-01T07:00Z", "--to=2002-01-01T20:00Z"]

    answer, _ = ran(imported(tmp_path, dover(), *day), capsys)

    # Source: UK Hydrographic Office, Format 13 specification, its second line.
    assert answer["datum"] == "chart datum"
    assert [(t["time"], t["height_m"], t["kind"]) for t in answer["turns"]] == [
        ("2002-01-01T07:15:00Z", 0.962, "low"),
        ("2002-01-01T12:01:00Z", 6.696, "high"),
        ("2002-01-01T19:38:00Z", 1.017, "low"),
    ]


def test_a_csv_of_any_layout_needs_its_columns(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = b"Day;Clock;Metres;Which\n01.03.2026;05:10;0,60;L\n01.03.2026;11:25;4,10;H\n"
    day = ["--from=2026-03-01T06:00Z", "--to=2026-03-01T11:00Z", "--unit=m"]
    columns = "--columns=date=1,time=2,height=3,type=4,order=day"

    code = commands.main(imported(tmp_path, data, *day, "--zone=UTC"))
    told = capsys.readouterr().err
    answer, _ = ran(imported(tmp_path, data, *day, "--zone=UTC", columns), capsys)

    assert code == 64
    assert "--columns" in told
    assert answer["heights"][0][1] == pytest.approx(0.75, abs=0.02)


def test_a_year_in_summer_time_is_fitted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    zone = "--zone=America/Los_Angeles"

    answer, told = ran(imported(tmp_path, annual_txt(), *DAY, zone), capsys)

    assert answer["datum"] == "MLLW"
    assert "Derived from" in told


def test_what_the_file_says_is_not_overruled(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = commands.main(imported(tmp_path, linz_2013(), *DAY, "--unit=ft"))

    assert code == 64
    assert "unit is m, not ft" in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.parametrize("make", [year_hourly_csv, year_format_13])
def test_a_year_of_even_heights_predicts_another(
    make: Callable[[], bytes],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    facts = ["--zone=UTC", "--unit=m"]

    answer, told = ran(imported(tmp_path, make(), *WEEK, *facts), capsys)

    # Source: NOAA CO-OPS, official hourly heights; the daily nodes' own difference is
    # at most 1.6 cm, and a fitted year adds up to 1.1 cm.
    official = hourly(SAN_FRANCISCO).heights_m
    heights = [height for _, height in answer["heights"]][: len(official)]
    assert heights == pytest.approx(official, abs=0.03)
    assert "Derived from" in told
