"""The ground on the command line: exact keys, closed forms, plain refusals."""

from __future__ import annotations

import json
import math
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fieldtrip import commands
from fieldtrip.arrays import Array
from tests.terrain.elevation_story import write_hgt, write_tif

HERE = ["--lat=49.5", "--lon=-8.5"]


def answered(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> dict[str, Any]:
    assert commands.main(arguments) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def sea(lat_deg: Array, lon_deg: Array) -> Array:
    return np.zeros(np.broadcast_shapes(lat_deg.shape, lon_deg.shape))


def wall(lat_deg: Array, lon_deg: Array) -> Array:
    """A long wall of 500 m, from 4.6 km east of the meridian 8.5 W."""
    return np.where(lon_deg + 0.0 * lat_deg > -8.4366, 500.0, 0.0)


@pytest.fixture
def flat(tmp_path: Path) -> Path:
    return write_hgt(tmp_path / "N49W009.hgt", 1201, 1201, sea)


@pytest.fixture
def walled(tmp_path: Path) -> Path:
    return write_hgt(tmp_path / "N49W009.hgt", 1201, 1201, wall)


def test_the_horizon_of_the_sea_is_its_dip(
    flat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = answered(
        ["compute", "horizon", "--dem", str(flat), "--open-sea", *HERE, "--eye=100"],
        capsys,
    )

    assert list(answer) == ["ground_m", "horizon", "notes"][: len(answer)]
    assert answer["ground_m"] == 0.0
    assert len(answer["horizon"]) == 720
    # Source: acos(R' / (R' + 100 m)), R' = 6 371 km / (1 - 0.13): 0.29943 degrees.
    altitudes = np.array(answer["horizon"])[:, 1]
    np.testing.assert_allclose(altitudes, -0.29943, atol=0.0005)


def test_azimuths_run_evenly_from_north(
    walled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = answered(
        ["compute", "horizon", "--dem", str(walled), *HERE, "--eye=2", "--azimuths=8"],
        capsys,
    )

    azimuths = [pair[0] for pair in answer["horizon"]]
    altitudes = [pair[1] for pair in answer["horizon"]]
    assert azimuths == [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0]
    # 498 m at 4.6 km, within a cell of 60 m.
    assert altitudes[2] == pytest.approx(math.degrees(math.atan(498 / 4600)), abs=0.1)
    assert altitudes[6] < 0.0


def test_a_line_of_sight_is_free_or_blocked_by_so_much(
    walled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sight = ["compute", "sightline", "--dem", str(walled), "--from=49.5,-8.5,2"]

    over = answered([*sight, "--to=49.5,-8.3634,20"], capsys)
    along = answered([*sight, "--to=49.4,-8.5,20"], capsys)

    assert list(over) == list(along) == ["visible", "clearance_m", "at_m"]
    assert over["visible"] is False
    # Of 9.88 km the wall's foot is at 0.465, where a line from 2 to 520 m is 243 m
    # high, less 1.7 m for the Earth: 258 m below 500, with a cell of 60 m to and fro.
    assert over["clearance_m"] == pytest.approx(-256.0, abs=4.0)
    assert over["at_m"] == pytest.approx(4600.0, abs=150.0)
    assert along["visible"] is True
    assert 0.0 < along["clearance_m"] < 4.0


def test_first_sun_comes_later_behind_a_wall(
    walled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = ["--day=2026-09-23", "--zone=Europe/Dublin"]
    sky = ["compute", "sky", *HERE, *day]

    plain = answered(sky, capsys)
    answer = answered([*sky, "--dem", str(walled), "--eye=2"], capsys)

    names = [event["name"] for event in answer["events"]]
    in_order = [datetime.fromisoformat(event["time"]) for event in answer["events"]]
    times = dict(zip(names, in_order, strict=True))
    assert "first_sun" not in plain
    assert [n for n in names if n not in ("first_sun", "last_sun")] == [
        event["name"] for event in plain["events"]
    ]
    assert in_order == sorted(in_order)
    first = answer["first_sun"]
    assert first["time"] == times["first_sun"].isoformat(timespec="milliseconds")
    # At the equinox in 49.5 N the Sun climbs 15 cos 49.5 = 9.74 degrees an hour: 38
    # minutes to 6.2 degrees, less what the air lifts and half the Sun.
    late = (times["first_sun"] - times["sunrise"]).total_seconds() / 60.0
    assert late == pytest.approx(39.0, abs=4.0)
    assert first["skyline_deg"] == pytest.approx(6.2, abs=0.3)
    assert first["earliest"] < first["time"] < first["latest"]
    early = (times["sunset"] - times["last_sun"]).total_seconds()
    assert abs(early) < 180.0


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["horizon", "--lat=10", "--lon=10", "--eye=2"], "no height"),
        (["horizon", *HERE, "--eye=-2"], "--eye"),
        (["horizon", *HERE, "--eye=2", "--azimuths=3"], "--azimuths"),
        (["horizon", *HERE, "--eye=2", "--azimuths=7.5"], "whole"),
        (["sightline", "--from=49.5,-8.5", "--to=49.5,-8.4,2"], "commas"),
        (["sightline", "--from=49.5,-8.5,2", "--to=49.5,x,2"], "--to"),
        (["sightline", "--from=49.5,-8.5,2", "--to=10,10,2"], "apart"),
        (["sightline", "--from=49.5,-8.5,2", "--to=49.5,-7.5,2"], "no height"),
        (["sky", *HERE, "--at=2026-09-23T12:00Z"], "--day"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(
    flat: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    reason: str,
) -> None:
    code = commands.main(["compute", *arguments, "--dem", str(flat)])

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert reason in said.err
    assert said.err.count("\n") == 1


def test_a_bad_file_and_a_lone_option_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = write_tif(tmp_path / "p.tif", np.zeros((3, 20, 20), np.uint8))
    day = ["--day=2026-09-23", "--zone=UTC"]

    codes = [
        commands.main(["compute", "horizon", "--dem", path, *HERE, "--eye=2"])
        for path in (str(picture), str(tmp_path / "gone.hgt"))
    ]
    codes.append(commands.main(["compute", "sky", *HERE, *day, "--eye=2"]))

    assert codes == [64, 64, 64]
    said = capsys.readouterr().err
    assert "picture" in said
    assert "gone.hgt" in said
    assert "--dem" in said
