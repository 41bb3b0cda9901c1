"""What the elevation model says near spots and legs, and how walks go by it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from fieldtrip.geo import Position
from fieldtrip.places.records import AccessRoute, Ground, Leg, Location, VantagePoint
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.trips.plan_ground import PlanGround, plan_ground
from fieldtrip.trips.walking import time_for_leg
from tests.terrain.elevation_story import source, write_tif

PLACE = Location(name="Cliffs", position=Position(49.5, -8.5), zone="Europe/Dublin")
ROUTE = AccessRoute(location_id=PLACE.id, name="Way")
NEAR = VantagePoint(location_id=PLACE.id, name="Near", position=Position(49.5, -8.4997))
FAR = VantagePoint(location_id=PLACE.id, name="Far", position=Position(49.5, -8.485))
AWAY = VantagePoint(location_id=PLACE.id, name="Away", position=Position(50.5, -8.5))
CLIMB = Leg(
    route_id=ROUTE.id,
    number=1,
    name="up",
    line=(Position(49.5, -8.499), Position(49.5, -8.481)),
    ground=Ground.PATH,
)


@pytest.fixture
def ground(tmp_path: Path) -> KnownGround:
    """Sea west of 8.5° W, an edge of 60 m, and a slope that rises to the east."""
    heights = np.zeros((200, 400), np.float32)
    heights[:, 200:] = 60.0 + 0.5 * np.arange(200)
    file = write_tif(tmp_path / "c.tif", heights, north=49.51, west=-8.52, step=1e-4)
    return KnownGround((source(file),))


def looked(ground: KnownGround) -> PlanGround:
    return plan_ground(ground, (NEAR, FAR, AWAY), (CLIMB,), 60.0)


def test_drops_are_told_by_place_and_none_is_told_too(ground: KnownGround) -> None:
    found = looked(ground)

    (drop,) = found.drops[NEAR.id]
    assert drop.height_m == pytest.approx(60.0, abs=1.5)
    assert found.drops[FAR.id] == ()
    assert AWAY.id not in found.drops  # the model does not reach there


def test_a_leg_whose_climb_nobody_typed_is_walked_by_its_profile(
    ground: KnownGround,
) -> None:
    heights = looked(ground).heights[CLIMB.id]

    flat = time_for_leg(CLIMB)
    by_model = time_for_leg(CLIMB, heights=heights)

    # 180 cells of half a metre: 90 m up, at 300 m an hour (DIN 33466).
    climb = heights.heights_m[-1] - heights.heights_m[0]
    assert climb == pytest.approx(90.0, abs=1.5)
    assert not flat.is_climb_known
    assert by_model.is_climb_known
    assert by_model.length > flat.length


def test_a_typed_climb_wins_over_the_model(ground: KnownGround) -> None:
    heights = looked(ground).heights[CLIMB.id]
    typed = replace(CLIMB, ascent_m=10.0, descent_m=0.0)

    assert time_for_leg(typed, heights=heights) == time_for_leg(typed)


def test_without_files_nothing_is_known() -> None:
    found = looked(KnownGround())

    assert found.drops == {}
    assert found.heights == {}
