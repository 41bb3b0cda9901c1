"""Tests for what the page says of lines of sight."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from fieldtrip.desktop.content.elevation import no_heights
from fieldtrip.desktop.content.profile import (
    ProfileMark,
    profile_content,
    profile_reading,
)
from fieldtrip.desktop.content.sightline import (
    NO_SUBJECT,
    NO_VANTAGE,
    SightContent,
    sight_content,
)
from fieldtrip.geo import Position, distance_m
from fieldtrip.places.records import Location, Subject, VantagePoint
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.trips.dossier import Dossier
from tests.terrain.elevation_story import source, write_tif

STEP = 1e-4  # degrees
PLACE = Location(name="Ridge", position=Position(49.5, -8.5), zone="Europe/Dublin")
WEST = VantagePoint(
    location_id=PLACE.id, name="West", position=Position(49.5, -8.51), eye_height_m=2.0
)
EAST = VantagePoint(
    location_id=PLACE.id, name="East", position=Position(49.5, -8.495), eye_height_m=2.0
)
TOWER = Subject(
    location_id=PLACE.id, name="Tower", position=Position(49.5, -8.49), height_m=10.0
)
STORY = Dossier(location=PLACE, vantage_points=(EAST, WEST), subjects=(TOWER,))


@pytest.fixture
def ground(tmp_path: Path) -> KnownGround:
    """Level ground at 5 m, with a ridge 45 m high from north to south at 8.5° W."""
    heights = np.full((200, 400), 5.0, np.float32)
    heights[:, 199:201] = 45.0
    file = write_tif(tmp_path / "r.tif", heights, north=49.51, west=-8.52, step=STEP)
    return KnownGround((source(file, is_surface=False),))


def seen(
    ground: KnownGround, vantage: VantagePoint | None, dossier: Dossier | None = STORY
) -> SightContent:
    vantage_id = vantage.id if vantage else None
    return sight_content(ground, dossier, vantage_id, TOWER.id, Settings())


def test_a_ridge_hides_what_lies_behind_it(ground: KnownGround) -> None:
    content = seen(ground, WEST)

    # The line rises from 7 m to 15 m; half-way, at the ridge, it is at 11 m or so.
    assert content.is_hidden
    assert content.verdict.startswith("Hidden: the ground stands 3")
    assert content.tightest is not None
    assert content.tightest.lon_deg == pytest.approx(-8.5, abs=2 * STEP)
    assert content.profile is not None
    assert content.profile.marks[0].is_strong
    assert content.heading.startswith("From West to Tower, 1.4 km along 90°")


def test_level_ground_lets_it_be_seen(ground: KnownGround) -> None:
    content = seen(ground, EAST)

    assert content.verdict.startswith("Seen: the line clears the ground by ")
    assert not content.is_hidden


def test_those_that_see_it_come_first(ground: KnownGround) -> None:
    content = seen(ground, WEST)

    assert [(r.name, r.verdict) for r in content.rows] == [
        ("East", "seen"),
        ("West", "hidden"),
    ]
    assert content.rows[1].clearance.endswith("too low")


def test_a_narrow_escape_is_not_relied_on(ground: KnownGround) -> None:
    low = replace(EAST, eye_height_m=0.5)
    dossier = replace(STORY, vantage_points=(low,))

    content = sight_content(ground, dossier, low.id, TOWER.id, Settings())

    assert content.verdict.endswith("So little may be wrong: go and see.")


def test_what_is_missing_is_said(ground: KnownGround) -> None:
    assert "location" in seen(ground, WEST, None).message
    nothing = sight_content(ground, STORY, WEST.id, None, Settings())
    assert nothing.message == NO_SUBJECT
    assert seen(KnownGround(), WEST).message == no_heights()
    gone = seen(KnownGround(unread=("Bay",)), WEST).message
    assert "“Bay” cannot be used" in gone
    assert seen(KnownGround(), WEST).can_add
    assert seen(ground, None).verdict == NO_VANTAGE
    assert len(seen(ground, None).rows) == 2


def test_a_vantage_point_beyond_the_heights_is_not_known(ground: KnownGround) -> None:
    off = replace(WEST, name="Off", position=Position(49.5, -8.6))
    dossier = replace(STORY, vantage_points=(off, EAST))

    content = sight_content(ground, dossier, off.id, TOWER.id, Settings())

    row = next(row for row in content.rows if row.name == "Off")
    assert row.verdict in ("not known", "hidden")  # the ridge proves it, if anything
    assert not content.verdict.startswith("Seen")


def test_the_subject_may_stand_where_the_camera_does(ground: KnownGround) -> None:
    same = replace(WEST, position=TOWER.position)
    dossier = replace(STORY, vantage_points=(same,))

    content = sight_content(ground, dossier, same.id, TOWER.id, Settings())

    assert content.rows[0].verdict == "not known"
    assert content.profile is None


def test_a_profile_is_read_along_its_way() -> None:
    distances = np.linspace(0.0, 1000.0, 11)
    heights = np.linspace(0.0, 100.0, 11)
    heights[5] = np.nan
    content = profile_content(
        distances, heights, Settings(), ray_m=np.full(11, 80.0),
        marks=(ProfileMark(500.0, "there"),),
    )  # fmt: skip

    assert profile_reading(content, 198.0) == (
        "200 m along · ground 20 m · line 60.0 m above it"
    )
    assert profile_reading(content, 1000.0).endswith("line 20.0 m below it")
    assert profile_reading(content, 510.0) == "500 m along · the ground is not known"


def test_axes_carry_round_numbers_of_the_users_unit() -> None:
    distances, heights = np.linspace(0.0, 2_400.0, 50), np.linspace(0.0, 118.0, 50)

    metric = profile_content(distances, heights, Settings())
    foot = profile_content(distances, heights, Settings(length_unit=LengthUnit.FOOT))

    assert [tick.text for tick in metric.across] == [
        "0.0 km", "0.5 km", "1.0 km", "1.5 km", "2.0 km",
    ]  # fmt: skip
    assert [tick.text for tick in metric.up] == ["0 m", "50 m", "100 m"]
    assert foot.across[1].text == "0.5 mi"
    # Source: the international yard and pound agreement of 1959: 1 mi is 1609.344 m.
    assert foot.across[1].at_m == pytest.approx(804.672)
    assert foot.up[1].text == "100 ft"


def test_level_ground_has_a_profile() -> None:
    content = profile_content(np.array([0.0, 10.0]), np.array([3.0, 3.0]), Settings())

    assert content.high_m > content.low_m
    assert distance_m(WEST.position, TOWER.position) == pytest.approx(1447, abs=5)
