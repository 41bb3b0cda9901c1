"""Where a trip goes on without a recorded leg."""

from __future__ import annotations

from dataclasses import replace

from fieldtrip.desktop.content.gaps_on_map import NO_ROUTE, NO_WALK, gap_features
from fieldtrip.desktop.content.map_layers import place_layers
from fieldtrip.planning.edits import with_plan
from fieldtrip.planning.planned import planned
from fieldtrip.settings import Settings
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier
from tests.desktop.plan_story import COAST, FAR, NOW, ON_LAND, OVER, TRIP, with_stops
from tests.desktop.strip_story import DAY, KEEL

SETTINGS = Settings()


def with_its_plan(dossier: Dossier) -> Dossier:
    plan = planned(dossier, TRIP, NOW).plan
    assert plan is not None
    return with_plan(dossier, TRIP, plan)


def labels(dossier: Dossier) -> list[str]:
    found = gap_features(dossier, TRIP, SETTINGS)
    return [feature["properties"]["label"] for feature in found]


def test_a_plan_over_legs_that_join_has_none() -> None:
    assert labels(with_its_plan(COAST)) == []


def test_the_straight_line_to_a_spot_off_every_leg_is_drawn_once() -> None:
    coast = with_its_plan(with_stops(replace(ON_LAND, vantage_point_id=FAR.id)))

    (line,) = gap_features(coast, TRIP, SETTINGS)

    assert line["properties"]["kind"] == "no-route"
    assert line["properties"]["label"] == NO_ROUTE
    assert line["properties"]["note"] == "280 m straight"
    ends = line["geometry"]["coordinates"]
    assert [FAR.position.lon_deg, FAR.position.lat_deg] in ends


def test_a_walk_that_is_missing_is_no_missing_route() -> None:
    coast = with_its_plan(COAST)
    there = [walk for walk in coast.walks if walk.leg_id == OVER.id]

    gone = replace(coast, walks=tuple(w for w in coast.walks if w is not there[0]))

    assert labels(gone) == [NO_WALK]


def test_a_trip_without_walks_draws_no_lines() -> None:
    assert labels(COAST) == []


def test_the_lines_are_on_the_layer_of_the_plan() -> None:
    coast = with_its_plan(with_stops(replace(ON_LAND, vantage_point_id=FAR.id)))
    day = local_day(DAY, KEEL.zone)

    layers = place_layers(coast, (), TRIP, day, (), SETTINGS)

    kinds = [each["properties"]["kind"] for each in layers["plan"]["features"]]
    assert kinds.count("no-route") == 1
    assert "walk" in kinds
