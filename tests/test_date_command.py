"""Dates on the command line: exact keys, the help page's example, plain refusals."""

from __future__ import annotations

import csv
import json
import re
from copy import deepcopy
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fieldtrip import commands
from fieldtrip.files import own_folder
from fieldtrip.sky.alignment import Aim, alignments
from fieldtrip.sky.bodies import Body
from fieldtrip.trips.wanted_json import WORDS
from tests.sky.published import site

HELP = own_folder("resources") / "help" / "dates_request.md"
ALIGN = {
    "--lat": "40.7536",
    "--lon": "-73.98",
    "--elevation": "0",
    "--body": "sun",
    "--bearing": "299.1",
    "--tolerance": "0.25",
    "--altitude-min": "0.3",
    "--altitude-max": "0.6",
    "--from": "2024-07-01",
    "--to": "2024-07-31",
}


def align(**changed: str) -> list[str]:
    """The command's words, some of them changed."""
    options = {**ALIGN, **{f"--{k.replace('_', '-')}": v for k, v in changed.items()}}
    words = [f"{option}={value}" for option, value in options.items()]
    return ["compute", "align", *words]


def example() -> dict[str, Any]:
    """The request that the help page shows."""
    (block,) = re.findall(r"```json\n(.*?)```", HELP.read_text("utf-8"), re.DOTALL)
    request: dict[str, Any] = json.loads(block)
    return request


def ran(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """The answer to a command that can be answered."""
    assert commands.main(arguments) == 0
    said = capsys.readouterr()
    assert said.err == ""
    answer: dict[str, Any] = json.loads(said.out)
    return answer


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """The one sentence with which a command is refused."""
    assert commands.main(arguments) == 64
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    return said.err


def of_request(request: object, folder: Path) -> list[str]:
    """The command for a request."""
    path = folder / "request.json"
    path.write_text(json.dumps(request), "utf-8")
    return ["compute", "dates", "--request", str(path)]


def test_alignments_have_these_keys_and_no_others(
    capsys: pytest.CaptureFixture[str],
) -> None:
    answer = ran(align(), capsys)

    assert list(answer) == ["windows"]
    assert answer["windows"]
    for window in answer["windows"]:
        assert list(window) == ["start", "end", "best"]
        assert list(window["best"]) == ["time", "azimuth_deg", "apparent_altitude_deg"]
        assert window["start"].endswith("Z")
        assert window["start"] <= window["best"]["time"] <= window["end"]


@pytest.mark.parametrize("body", list(Body))
def test_alignments_are_those_of_whole_utc_days_both_included(
    body: Body, capsys: pytest.CaptureFixture[str]
) -> None:
    found = alignments(
        body,
        site(40.7536, -73.98),
        datetime(2024, 7, 1, tzinfo=UTC),
        datetime(2024, 8, 1, tzinfo=UTC),
        Aim(
            bearing_deg=190.0,
            tolerance_deg=0.25,
            altitude_min_deg=5.0,
            altitude_max_deg=60.0,
        ),
    )

    answer = ran(
        align(
            body=body.name.lower(),
            bearing="190",
            altitude_min="5",
            altitude_max="60",
        ),
        capsys,
    )

    assert len(answer["windows"]) == len(found) > 3 or body is Body.SUN
    for window, ours in zip(answer["windows"], found, strict=True):
        assert datetime.fromisoformat(window["start"]) == ours.start
        assert datetime.fromisoformat(window["end"]) == ours.stop


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"lat": "95"}, "--lat must be a number from -90 to 90"),
        ({"tolerance": "0"}, "--tolerance must be above 0"),
        ({"tolerance": "wide"}, "--tolerance must be a number"),
        ({"altitude_min": "5", "altitude_max": "5"}, "must lie below --altitude-max"),
        ({"altitude_max": "nan"}, "--altitude-max must be a number"),
        ({"from": "2024-07-32"}, "is no date"),
        ({"from": "2024-08-01"}, "before its first"),
        ({"to": "2224-07-01"}, "at most 10 years"),
        ({"from": "1890-01-01", "to": "1891-01-01"}, "1900 to 2099"),
        ({"body": "mars"}, "invalid choice: 'mars'"),
    ],
)
def test_an_alignment_that_cannot_be_computed_is_refused_in_one_sentence(
    changed: dict[str, str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert words in refused(align(**changed), capsys)


def test_the_example_of_the_help_page_finds_dates(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = ran(of_request(example(), tmp_path), capsys)

    assert answer["zone"] == "Europe/Dublin"
    assert len(answer["windows"]) > 1
    assert answer["near_misses"] == []
    for window in answer["windows"]:
        assert window["start"] < window["best"] < window["end"]
        wants = [each["want"] for each in window["conditions"]]
        assert wants == ["sun_band", "water_level", "way_open", "on_weekdays"]
        assert [each["want"] for each in window["unknown"]] == ["weather"]
        start = datetime.fromisoformat(window["start"])
        assert start.weekday() in (5, 6)
    scores = [window["score"] for window in answer["windows"]]
    assert scores == sorted(scores, reverse=True)
    assert answer["unknown"] == [
        {"condition": 5, "want": "weather", "why": "There is no forecast."}
    ]


def test_the_help_page_tells_of_every_sort_of_condition() -> None:
    table = re.findall(r"^\| `(\w+)` \|", HELP.read_text("utf-8"), re.MULTILINE)

    assert set(WORDS) <= set(table)


def test_dates_go_to_a_table_by_the_clock_of_the_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = tmp_path / "dates.csv"

    answer = ran([*of_request(example(), tmp_path), "--csv", str(table)], capsys)

    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(answer["windows"])
    for row, window in zip(rows, answer["windows"], strict=True):
        start = datetime.fromisoformat(row["start"])
        of_window = datetime.fromisoformat(window["start"])
        assert abs((start - of_window).total_seconds()) < 1.0
        assert row["date"] == start.date().isoformat()
        assert row["zone"] == "Europe/Dublin"
        assert row["not_known"]
        assert row["tightest"]


def test_dates_go_to_a_calendar(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    calendar = tmp_path / "dates.ics"

    answer = ran(
        [*of_request(example(), tmp_path), "--calendar", str(calendar)], capsys
    )

    text = calendar.read_text("utf-8")
    assert text.count("BEGIN:VEVENT") == len(answer["windows"])
    assert "SUMMARY:Low ledge: dates" in text


def test_a_file_that_cannot_be_written_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = [*of_request(example(), tmp_path), "--csv", str(tmp_path)]

    assert "cannot be written" in refused(arguments, capsys)


def test_where_nothing_matches_near_misses_say_what_fails(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()
    request["conditions"][1] = {"want": "water_level", "below_m": 0.2}

    answer = ran(of_request(request, tmp_path), capsys)

    assert answer["windows"] == []
    nearest = answer["near_misses"][0]
    assert nearest["fails"] == {"condition": 2, "want": "water_level"}
    assert nearest["unit"] == "m"
    assert nearest["by"] > 0.0


def test_without_a_tide_its_conditions_are_not_known_and_not_dropped(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()
    del request["tide"], request["way"]

    answer = ran(of_request(request, tmp_path), capsys)

    assert [each["want"] for each in answer["unknown"]] == [
        "water_level",
        "way_open",
        "weather",
    ]
    assert answer["windows"]


def changed(path: str, value: object) -> dict[str, Any]:
    """The example with one part changed; a path such as ``place.lat``."""
    request = deepcopy(example())
    *parents, last = path.split(".")
    inside: Any = request
    for parent in parents:
        inside = inside[int(parent) if parent.isdigit() else parent]
    inside[int(last) if last.isdigit() else last] = value
    return request


@pytest.mark.parametrize(
    ("request_of", "words"),
    [
        ([], "must be a set of parts"),
        ({}, "“place” must be a set of parts"),
        (changed("plaice", 1), "has no part “plaice”"),
        (changed("place.lat", "north"), "“lat” of place must be a number"),
        (changed("place.lat", 91), "in degrees"),
        (changed("place.lon", 181), "“lon” of place"),
        (changed("place.zone", "Europe/Atlantis"), "is no time zone"),
        (changed("place.name", ""), "“name” of place must be a text"),
        (changed("subject.height_m", -3), "Signal tower: The height must be"),
        (changed("tide.constants", {}), "at least one constituent"),
        (changed("tide.exposure", "windy"), "one of ocean_island, open_coast"),
        (changed("way", {}), "is a list of legs"),
        (changed("way.0.distance_m", None), "“distance_m” of leg 1"),
        (changed("way.1.shore", "mud"), "“shore” of leg 2 must be one of"),
        (changed("way.1.is_tidal", "yes"), "“is_tidal” of leg 2 must be true or"),
        (changed("sea", "rough"), "“sea” of the request must be one of calm"),
        (changed("from", "March"), "“from” must be a date at the place"),
        (changed("to", "2227-01-01"), "at most 10 years"),
        (changed("to", "2027-02-01"), "before its first"),
        (changed("least_min", -1), "“least_min” must be a number from 0"),
        (changed("conditions", []), "needs “conditions”"),
        (changed("conditions.0.low_deg", 10), "Condition 1: The lower Sun's"),
        (
            changed(
                "conditions",
                [
                    {"want": "moon_is", "wish": "up"},
                    {"want": "moon_is", "wish": "down"},
                ],
            ),
            "can never meet. The Moon is wanted both",
        ),
    ],
)
def test_a_request_that_cannot_be_searched_is_refused_in_one_line(
    request_of: object,
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert words in refused(of_request(request_of, tmp_path), capsys)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"", "not whole JSON"),
        (b"{", "not whole JSON"),
        (b'{"from": 1, "from": 2}', "“from” stands twice"),
        (b"\xff\xfe", "is not text in UTF-8"),
        (b"[" * 100_000, "no request for dates"),
    ],
)
def test_a_file_that_is_no_request_is_refused_in_one_line(
    text: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "request.json"
    path.write_bytes(text)

    assert words in refused(["compute", "dates", "--request", str(path)], capsys)


def test_a_missing_file_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "nothing.json"

    assert "nothing.json cannot be read" in refused(
        ["compute", "dates", "--request", str(path)], capsys
    )
