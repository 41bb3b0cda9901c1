"""Tests for drops that the elevation model shows, and how they become cliff edges."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from fieldtrip.desktop.content.drops import (
    DropRow,
    Looked,
    drop_features,
    drop_list,
    drop_words,
    falling_right,
    hazard_of,
    look_for_drops,
    place_of,
)
from fieldtrip.desktop.content.leg_ground import leg_ground, typed_words
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import (
    AccessRoute,
    Ground,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Shape,
    VantagePoint,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.terrain.drops import Drop
from fieldtrip.terrain.known_ground import KnownGround
from tests.terrain.elevation_story import source, write_tif

STEP = 1e-4  # degrees: 11 m from north to south, 7 m from west to east
PLACE = Location(name="Cliffs", position=Position(49.5, -8.5), zone="Europe/Dublin")
# The edge runs from south to north at 8.5° W; the sea lies west of it.
ON_TOP = VantagePoint(
    location_id=PLACE.id, name="On top", position=Position(49.5, -8.4997)
)
INLAND = VantagePoint(
    location_id=PLACE.id, name="Inland", position=Position(49.5, -8.485)
)
ROUTE = AccessRoute(location_id=PLACE.id, name="Way")
LEG = Leg(
    route_id=ROUTE.id,
    number=1,
    name="along",
    line=(Position(49.495, -8.4996), Position(49.505, -8.4996)),
    ground=Ground.PATH,
)


@pytest.fixture
def ground(tmp_path: Path) -> KnownGround:
    """Level ground 60 m above the sea, with a sheer edge."""
    heights = np.full((200, 400), 60.0, np.float32)
    heights[:, :200] = 0.0
    file = write_tif(
        tmp_path / "cliff.tif", heights, north=49.51, west=-8.52, step=STEP
    )
    return KnownGround((source(file),))


def rows(looked: Looked, *hazards: Hazard) -> tuple[DropRow, ...]:
    return drop_list(looked, hazards, (), Settings()).rows


def test_an_edge_near_a_spot_is_found_with_its_height(ground: KnownGround) -> None:
    looked = look_for_drops(ground, place_of(ON_TOP))

    (row,) = rows(looked)
    assert row.drop.lost_two_cells_m == pytest.approx(60.0)
    assert row.words.startswith("falls 60 m to the W, ")
    assert distance_m(row.line[0], ON_TOP.position) < 100.0
    assert looked.file == "cliff.tif"


def test_an_edge_beside_a_leg_is_found(ground: KnownGround) -> None:
    looked = look_for_drops(ground, place_of(LEG))

    (row,) = rows(looked)
    assert distance_m(row.line[0], row.line[-1]) > 1000.0  # along all of it


def test_none_found_is_unknown_and_never_clear(ground: KnownGround) -> None:
    looked = look_for_drops(ground, place_of(INLAND))

    found = drop_list(looked, (), (), Settings())

    assert found.rows == ()
    assert found.summary == (
        "Unknown: the model shows no drop within 60 m, but cells of 11 m miss edges. "
        "Look for edges on the spot."
    )


def test_without_heights_it_is_unknown(ground: KnownGround) -> None:
    nowhere = look_for_drops(KnownGround(), place_of(INLAND))

    assert drop_list(nowhere, (), (), Settings()).summary.startswith("Unknown: no usab")
    assert drop_list(None, (), (), Settings()).summary == ""
    outside = replace(INLAND, position=Position(50.0, -8.5))
    assert look_for_drops(ground, place_of(outside)).cell_m is None


def test_an_accepted_drop_is_an_edge_of_which_little_is_known(
    ground: KnownGround,
) -> None:
    looked = look_for_drops(ground, place_of(ON_TOP))
    (row,) = rows(looked)

    hazard = hazard_of(row, PLACE.id, looked)

    assert hazard.faults() == []
    assert hazard.kind is HazardKind.CLIFF_EDGE
    assert hazard.shape is Shape.LINE
    assert hazard.height_m == 60.0
    assert hazard.is_fenced is None
    assert hazard.is_soft is None
    assert hazard.last_confirmed is None
    assert "cells of 11 m; not seen on the spot" in hazard.notes
    (again,) = rows(looked, hazard)
    assert again.recorded == hazard.name
    assert drop_features([again], Settings())["features"] == []


def test_the_ground_falls_away_on_the_right_of_the_line(ground: KnownGround) -> None:
    (row,) = rows(look_for_drops(ground, place_of(ON_TOP)))

    # The sea lies west: walking so, it is on the right hand, so one walks south.
    along = bearing_deg(row.line[0], row.line[-1])
    assert along == pytest.approx(180.0, abs=5.0)
    turned = replace(row.drop, line=row.line[::-1])
    assert falling_right(turned) == row.line


def test_what_was_turned_down_is_not_proposed_again(ground: KnownGround) -> None:
    looked = look_for_drops(ground, place_of(ON_TOP))
    (row,) = rows(looked)

    left = drop_list(looked, (), {row.mark}, Settings())

    assert left.rows == ()
    assert left.summary.endswith("1 turned down.")


def test_a_fall_beside_voids_is_at_least_as_high() -> None:
    drop = Drop(
        ON_TOP.position, (ON_TOP.position,), 20.0, 30.0, 48.0, 100.0, 12.0, False
    )

    words = drop_words(drop, Settings(length_unit=LengthUnit.FOOT))

    assert words == "falls at least 98 ft to the E, 48° steep, 39 ft away"
    feature = drop_features([DropRow(drop, drop.line, words)], Settings())["features"][
        0
    ]
    assert len(feature["geometry"]["coordinates"]) == 2  # a stroke across the fall
    assert feature["properties"]["label"] == "drop of 30 m?"


def test_a_leg_has_a_profile_with_what_it_climbs(tmp_path: Path) -> None:
    row, _ = np.mgrid[0:200, 0:100].astype(np.float32)
    file = write_tif(
        tmp_path / "ramp.tif", (200.0 - row) * 2.0, north=49.51, west=-8.51, step=STEP
    )
    leg = replace(LEG, line=(Position(49.495, -8.505), Position(49.504, -8.505)))

    found = leg_ground(KnownGround((source(file),)), leg, Settings())

    # 90 rows of 2 m each, to the north; 1001 m.
    assert "1.0 km, 180 m up and 0 m down" in found.words
    assert "steepest 10°" in found.words  # 2 m in 11.1 m
    assert found.profile is not None
    assert found.words.endswith("so the walking time goes by the model.")


def test_typed_climbs_win() -> None:
    assert "typed above counts" in typed_words(
        replace(LEG, ascent_m=1.0, descent_m=2.0)
    )
    assert "both ascent and descent" in typed_words(replace(LEG, ascent_m=1.0))


def test_a_leg_beyond_the_heights_says_so(ground: KnownGround) -> None:
    half = replace(LEG, line=(Position(49.505, -8.51), Position(49.53, -8.51)))
    away = replace(LEG, line=(Position(50.5, -8.51), Position(50.53, -8.51)))

    assert leg_ground(ground, half, Settings()).words == (
        "The elevation model does not know all of this leg."
    )
    assert leg_ground(ground, away, Settings()).words == ""
