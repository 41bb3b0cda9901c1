"""The sky on the command line: exact keys, plain refusals, and no Qt."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import subprocess
import sys
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fieldtrip import __main__, commands
from fieldtrip.demo import make_demo
from fieldtrip.files import own_folder
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.positions import sky_position
from tests.sky.published import site

HELP = own_folder("resources") / "help" / "commands.md"
AT = ["compute", "sky", "--lat=-36.8", "--lon=174.7", "--at=2026-12-20T22:00:00+13:00"]
DAY = ["compute", "sky", "--lat=-36.8", "--lon=174.7", "--day=2026-12-20"]
ZONE = "--zone=Pacific/Auckland"


def answered(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> dict[str, Any]:
    assert commands.main(arguments) == 0
    said = capsys.readouterr()
    assert said.err == ""
    answer: dict[str, Any] = json.loads(said.out)
    return answer


def examples() -> list[tuple[list[str], str]]:
    """The commands of the help page with the answers printed there."""
    blocks = re.findall(r"```console\n(.*?)```", HELP.read_text("utf-8"), re.DOTALL)
    return [
        (shlex.split(command.removeprefix("$ fieldtrip ")), answer)
        for command, _, answer in (block.partition("\n") for block in blocks)
    ]


def example_file() -> str:
    """The file of places that the help page shows."""
    (block,) = re.findall(r"```xml\n(.*?)```", HELP.read_text("utf-8"), re.DOTALL)
    return str(block)


def example_station() -> str:
    """The file of tidal constants that the help page shows."""
    (block,) = re.findall(r"```json\n(.*?)```", HELP.read_text("utf-8"), re.DOTALL)
    return str(block)


def assert_same(answer: Any, printed: Any) -> None:
    """The same answer, but for the last digit, which another machine may round."""
    if isinstance(printed, dict):
        assert list(answer) == list(printed)
        for key, value in printed.items():
            assert_same(answer[key], value)
    elif isinstance(printed, list):
        assert len(answer) == len(printed)
        for one, other in zip(answer, printed, strict=True):
            assert_same(one, other)
    elif isinstance(printed, Decimal):
        exponent = printed.as_tuple().exponent
        assert isinstance(exponent, int)
        last_digit = min(10.0**exponent, 0.01)
        assert answer == pytest.approx(float(printed), abs=2.0 * last_digit)
    elif isinstance(printed, str) and re.match(r"\d{4}-", printed):
        off = datetime.fromisoformat(answer) - datetime.fromisoformat(printed)
        assert abs(off.total_seconds()) <= 0.01
        assert answer[-6:] == printed[-6:]
    else:
        assert answer == printed


def test_positions_at_an_instant(capsys: pytest.CaptureFixture[str]) -> None:
    answer = answered([*AT, "--elevation=120"], capsys)

    place = site(-36.8, 174.7, 120.0)
    instant = datetime(2026, 12, 20, 9, tzinfo=UTC)
    angles = ["azimuth_deg", "altitude_deg", "apparent_altitude_deg"]
    assert list(answer) == ["sun", "moon"]
    assert list(answer["sun"]) == angles
    assert list(answer["moon"]) == [*angles, "illuminated_fraction"]
    for body in (Body.SUN, Body.MOON):
        expected = sky_position(body, place, instant)
        for name in angles:
            assert answer[body][name] == pytest.approx(
                getattr(expected, name), abs=1e-6
            )


def test_events_of_a_day(capsys: pytest.CaptureFixture[str]) -> None:
    answer = answered([*DAY, ZONE], capsys)

    expected = day_events(site(-36.8, 174.7), date(2026, 12, 20), "Pacific/Auckland")
    assert list(answer) == ["events"]
    assert [e["name"] for e in answer["events"]] == [e.name for e in expected.events]
    for shown, event in zip(answer["events"], expected.events, strict=True):
        assert list(shown) == ["name", "time", "azimuth_deg"]
        assert datetime.fromisoformat(shown["time"]) == event.instant
        assert shown["time"].endswith("+13:00")
        assert shown["azimuth_deg"] == pytest.approx(event.azimuth_deg, abs=1e-6)
    assert {e["name"] for e in answer["events"]} == {str(name) for name in EventName}


def test_negative_numbers_are_taken_with_and_without_an_equals_sign(
    capsys: pytest.CaptureFixture[str],
) -> None:
    apart = ["compute", "sky", "--lat", "-36.8", "--lon", "-0.5", "--at", AT[-1][5:]]
    joined = ["compute", "sky", "--lat=-36.8", "--lon=-.5", AT[-1]]

    assert answered(apart, capsys) == answered(joined, capsys)


def test_z_and_an_offset_are_the_same_instant(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert answered(AT, capsys) == answered(
        [*AT[:-1], "--at=2026-12-20T09:00:00Z"], capsys
    )


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ([*AT[:2], "--lat=91", *AT[3:]], "--lat must be a number from -90 to 90"),
        ([*AT[:2], "--lat=nan", *AT[3:]], "--lat must be a number"),
        ([*AT[:2], "--lat=north", *AT[3:]], "--lat must be a number"),
        ([*AT[:3], "--lon=inf", AT[4]], "--lon must be a number"),
        ([*AT, "--elevation=1e9"], "--elevation must be a number"),
        ([*AT[:4], "--at=2026-12-20T22:00:00"], "does not say in which zone"),
        ([*AT[:4], "--at=2026-12-20"], "does not say in which zone"),
        ([*AT[:4], "--at=tomorrow"], "is no instant"),
        ([*AT[:4], "--at=2150-12-20T22:00Z"], "1900 to 2099"),
        ([*AT[:4], "--at=0001-01-01T00:00+14:00"], "1900 to 2099"),
        (AT[:4], "Say when"),
        ([*AT, *DAY[4:], ZONE], "not both"),
        ([*AT, ZONE], "--zone goes with --day"),
        (DAY, "--day needs --zone"),
        ([*DAY, "--zone=Mars/Olympus"], "no time zone"),
        ([*DAY[:4], "--day=2026-02-30", ZONE], "is no date"),
        ([*DAY[:4], "--day=9999-12-31", ZONE], "1900 to 2099"),
        (["compute", "sky", "--lon=0", AT[4]], "--lat"),
        (["compute", "sky", *AT[2:], "--height=3"], "--height=3"),
        (["compute"], "required"),
        (["compute", "weather"], "weather"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(
    arguments: list[str], reason: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code = commands.main(arguments)

    said = capsys.readouterr()
    assert code != 0
    assert said.out == ""
    assert reason in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize("number", range(len(examples())))
def test_the_examples_of_the_help_page_run(
    number: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    arguments, printed = examples()[number]
    make_demo(tmp_path / "demo.fieldtrip", date(2026, 11, 14))
    (tmp_path / "points.gpx").write_text(example_file())
    (tmp_path / "port.json").write_text(example_station())
    shutil.copy(own_folder("resources") / "demo" / "terrain.tif", tmp_path / "keel.tif")
    monkeypatch.chdir(tmp_path)

    code = __main__.main(arguments)

    answer = json.loads(capsys.readouterr().out)
    if printed:
        assert code == 0
        assert_same(answer, json.loads(printed, parse_float=Decimal))
    elif arguments[0] == "check":
        assert answer["findings"]
    else:
        assert code == 0
        assert answer


def test_the_help_page_has_an_example_of_each_command() -> None:
    assert {arguments[0] for arguments, _ in examples()} == set(commands.NAMES)


def test_a_command_loads_no_qt() -> None:
    code = (
        "import sys; from fieldtrip.__main__ import main; "
        f"status = main({AT!r}); "
        "sys.exit(status or any(name.startswith('PySide6') for name in sys.modules))"
    )

    ran = subprocess.run(  # a fresh interpreter, for what it has loaded
        [sys.executable, "-c", code], capture_output=True, check=False, text=True
    )
    assert (ran.returncode, ran.stderr) == (0, "")


@pytest.mark.parametrize(
    ("arguments", "library", "demo"),
    [
        ([], None, False),
        (["--library", "coast.fieldtrip"], Path("coast.fieldtrip"), False),
        (["--demo"], None, True),
    ],
)
def test_without_a_command_the_window_opens(
    arguments: list[str],
    library: Path | None,
    demo: bool,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened: list[tuple[Path | None, bool]] = []

    def run(library: Path | None, *, demo: bool = False) -> int:
        opened.append((library, demo))
        return 7

    monkeypatch.setattr("fieldtrip.desktop.application.run", run)

    assert __main__.main(arguments) == 7
    assert opened == [(library, demo)]


@pytest.mark.parametrize(
    "arguments", [["--library"], ["--library=x", "--demo"], ["map"], ["--lib=x"]]
)
def test_what_the_window_cannot_use_is_refused(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as leaving:
        __main__.main(arguments)

    assert leaving.value.code == 2
    assert "error:" in capsys.readouterr().err
