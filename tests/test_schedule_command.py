"""A schedule on the command line: the help page's example, and plain refusals."""

from __future__ import annotations

import json
import re
from copy import deepcopy
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from fieldtrip import commands
from fieldtrip.exchange.schedule_request import read_request
from fieldtrip.files import own_folder
from fieldtrip.trips.answer import Plan
from fieldtrip.trips.schedule import schedule

HELP = own_folder("resources") / "help" / "schedule_request.md"


def example() -> dict[str, Any]:
    """The request that the help page shows."""
    (block,) = re.findall(r"```json\n(.*?)```", HELP.read_text("utf-8"), re.DOTALL)
    request: dict[str, Any] = json.loads(block)
    return request


def asked(
    request: object, folder: Path, capsys: pytest.CaptureFixture[str]
) -> tuple[int, Any]:
    """Exit status and answer; what was said where there is none."""
    file = folder / "request.json"
    file.write_text(
        request if isinstance(request, str) else json.dumps(request), "utf-8"
    )
    status = commands.main(["compute", "schedule", f"--request={file}"])
    said = capsys.readouterr()
    return status, json.loads(said.out) if said.out else said.err


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_the_example_of_the_help_page_has_a_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()

    status, answer = asked(request, tmp_path, capsys)

    assert status == 0
    assert answer["result"] == "plan"
    assert [stop["name"] for stop in answer["stops"]] == [
        "Islet shelf",
        "Slip wall",
        "Headland",
    ]
    shuts = at(request["legs"][1]["open"][0]["to"])
    for walk in answer["walks"]:
        if walk["name"] == "Shingle bar":
            assert at(walk["finish"]) + timedelta(minutes=30) <= shuts
    assert at(answer["finish"]) <= at(request["latest_return"])
    assert answer["critical"]["words"].startswith("Leave Headland by 21:15")
    assert answer["critical"]["kind"] == "daylight"
    assert any("planning aid" in caution for caution in answer["cautions"])


def test_the_command_answers_as_the_scheduler_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()

    _, answer = asked(request, tmp_path, capsys)

    plan = schedule(read_request(json.dumps(request)).question)
    assert isinstance(plan, Plan)
    assert [at(stop["arrive"]) for stop in answer["stops"]] == [
        stop.arrive for stop in plan.stops
    ]
    assert set(answer) == {
        "result", "zone", "clock_min", "start", "finish", "must_min", "may_min",
        "slack_min", "stops", "walks", "left_out", "critical", "limits",
        "alternatives", "cautions",
    }  # fmt: skip


def test_what_stands_in_the_way_is_told_with_what_helps(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()
    request["latest_return"] = "2027-06-12T20:05:00Z"

    status, answer = asked(request, tmp_path, capsys)

    assert status == 1
    assert answer["result"] == "conflict"
    names = [each["name"] for each in answer["obstacles"]]
    assert "Headland" in names
    words = [each["words"] for each in answer["relaxations"]]
    assert any(text.startswith("Come back") for text in words)


def test_a_leg_whose_tide_is_unknown_is_not_crossed_unless_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()
    del request["legs"][1]["open"]
    request["legs"][1]["is_tidal"] = True

    status, answer = asked(request, tmp_path, capsys)

    assert status == 1
    kinds = [each["kind"] for each in answer["obstacles"]]
    assert "tide not known" in kinds

    request["legs"][1]["accepted"] = "The warden wrote that it stays dry that week."
    status, answer = asked(request, tmp_path, capsys)

    assert status == 0
    assert any("accepted that in writing" in text for text in answer["cautions"])


def test_a_trip_across_midnight_and_a_clock_change_is_planned(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = example()
    request["earliest_start"] = "2027-10-30T21:00:00Z"
    request["latest_return"] = "2027-10-31T04:00:00Z"
    del request["start_open"], request["finish_open"]
    request["legs"][2]["daylight_only"] = False
    request["stops"] = [
        {
            "name": "Night",
            "at": "headland",
            # 1:30 by the clock comes twice that night; this is the second.
            "wanted": [{"from": "2027-10-31T01:30:00Z", "to": "2027-10-31T02:30:00Z"}],
        }
    ]

    status, answer = asked(request, tmp_path, capsys)

    assert status == 0
    (stop,) = answer["stops"]
    assert stop["wanted_min"] == 45.0
    out = answer["walks"][0]
    walked = at(out["finish"]) - at(out["start"])
    assert walked == timedelta(minutes=42)  # 27.9 min by day, half as long again


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"latest_return": "2027-06-12T16:00:00Z"}, "must come after"),
        ({"latest_return": "2027-06-12T22:00:00"}, "in which zone"),
        ({"latest_return": "2027-07-12T22:00:00Z"}, "at most 60 hours"),
        ({"place": {"lat": 49.6, "lon": -8.4, "zone": "Nowhere/Here"}}, "no time zone"),
        ({"start": "harbour"}, "to which no leg leads"),
        ({"stops": []}, "a list with one or more"),
        ({"legs": "none"}, "a list with one or more"),
        ({"weather": "fine"}, "has no part “weather”"),
        ({"break_min": -5}, "from 0 to 720"),
        ({"rule": "fast"}, "must be one of din"),
    ],
)
def test_a_request_that_cannot_be_used_is_refused_in_a_sentence(
    changes: dict[str, object],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, said = asked(example() | changes, tmp_path, capsys)

    assert status == 64
    assert words in said
    assert said.count("\n") == 1


@pytest.mark.parametrize(
    ("part", "changes", "words"),
    [
        ("legs", {"minutes": 0}, "from 0.1 to 2880"),
        ("legs", {"minutes": -3}, "from 0.1 to 2880"),
        ("legs", {"minutes": None}, "needs “minutes” or “distance_m”"),
        ("legs", {"to": "slip"}, "from one place to another"),
        ("legs", {"open": [{"from": "x", "to": "y"}]}, "must be an instant"),
        ("stops", {"at": "moon"}, "to which no leg leads"),
        ("stops", {"least_min": -1}, "from 0 to 1440"),
        ("stops", {"wish_min": 5}, "below the least time"),
        ("stops", {"conditions": [{"want": "luck"}]}, "not both"),
        ("stops", {"must": "yes"}, "must be true or false"),
    ],
)
def test_a_leg_or_stop_that_makes_no_sense_is_refused(
    part: str,
    changes: dict[str, object],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    request = deepcopy(example())
    request[part][0] |= changes

    status, said = asked(request, tmp_path, capsys)

    assert status == 64
    assert words in said


def test_a_file_that_is_no_request_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, said = asked("{", tmp_path, capsys)

    assert status == 64
    assert "not whole JSON" in said
