"""Where the plan has one at a minute, and what the sea has shut then."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.desktop.content.map_features import plan_features
from fieldtrip.desktop.content.map_layers import leg_tides
from fieldtrip.desktop.content.trip_on_map import along, minute_features, whereabouts
from fieldtrip.geo import Position, distance_m
from fieldtrip.settings import Settings
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Walk
from tests.desktop.strip_story import BAR, BAR_END, DAY, DOSSIER, KEEL, TRIP, at

SETTINGS = Settings()
OUT = Walk(trip_id=TRIP.id, leg_id=BAR.id, start=at(15, 0), finish=at(15, 20))


def with_walk(walk: Walk) -> Dossier:
    return replace(DOSSIER, walks=(walk,))


def test_half_the_time_of_a_walk_is_half_its_way() -> None:
    here = whereabouts(with_walk(OUT), TRIP, at(15, 10), SETTINGS)

    assert here is not None
    assert here.words == "on Shingle bar until 15:20"
    whole = distance_m(*BAR.line)
    assert distance_m(BAR.line[0], here.position) == pytest.approx(whole / 2, abs=0.01)


def test_the_way_back_begins_at_the_far_end() -> None:
    back = replace(OUT, is_reversed=True)

    here = whereabouts(with_walk(back), TRIP, back.start, SETTINGS)

    assert here is not None
    assert distance_m(here.position, BAR.line[-1]) == pytest.approx(0.0, abs=0.01)


def test_at_a_stop_one_is_at_its_vantage_point() -> None:
    story = DOSSIER
    stop = next(s for s in story.stops if s.vantage_point_id == BAR_END.id)

    here = whereabouts(story, TRIP, stop.arrive, SETTINGS)

    assert here is not None
    assert here.position == BAR_END.position
    assert here.words.startswith("at Bar end until ")


def test_before_it_begins_the_plan_has_one_nowhere() -> None:
    assert whereabouts(DOSSIER, TRIP, at(0, 5), SETTINGS) is None


def test_a_line_is_followed_round_its_corners() -> None:
    corner = Position(49.6, -8.39)
    line = (Position(49.6, -8.4), corner, corner, Position(49.61, -8.39))
    first = distance_m(line[0], corner)
    share = first / (first + distance_m(corner, line[-1]))

    assert distance_m(along(line, share), corner) == pytest.approx(0.0, abs=0.01)
    assert distance_m(along(line, 0.0), line[0]) == pytest.approx(0.0, abs=0.01)
    assert distance_m(along(line, 1.0), line[-1]) == pytest.approx(0.0, abs=0.01)


def test_a_leg_is_struck_through_exactly_while_it_is_shut() -> None:
    story = DOSSIER
    tides = leg_tides(story, local_day(DAY, KEEL.zone), TRIP, SETTINGS)
    (window, *_) = tides[BAR.id].windows
    assert tides[BAR.id].is_known

    def is_struck(instant: datetime) -> bool:
        features = minute_features(story, None, instant, tides, SETTINGS)["features"]
        return any(f["properties"]["kind"] == "struck" for f in features)

    minute = timedelta(minutes=1)
    assert not is_struck(window.start)
    assert not is_struck(window.stop - minute)
    assert is_struck(window.stop + minute)
    assert is_struck(window.start - minute)


def test_a_leg_of_which_nothing_is_known_is_not_struck_through() -> None:
    story = replace(DOSSIER, tide_tables=())
    tides = leg_tides(story, local_day(DAY, KEEL.zone), TRIP, SETTINGS)

    features = minute_features(story, None, at(3), tides, SETTINGS)["features"]

    assert not tides[BAR.id].is_known
    assert features == []


def test_what_is_shut_says_when_it_opens() -> None:
    story = DOSSIER
    tides = leg_tides(story, local_day(DAY, KEEL.zone), TRIP, SETTINGS)
    (window, *_) = tides[BAR.id].windows
    before = window.start - timedelta(minutes=10)

    (feature,) = minute_features(story, None, before, tides, SETTINGS)["features"]

    assert feature["properties"]["label"].startswith("shut now, open ")


def test_a_walked_leg_says_when_and_how_long_both_ways() -> None:
    back = Walk(
        trip_id=TRIP.id,
        leg_id=BAR.id,
        start=at(17, 5),
        finish=at(17, 30),
        is_reversed=True,
    )
    story = replace(DOSSIER, walks=(OUT, back))

    features = plan_features(story, TRIP, SETTINGS)["features"]

    (walk,) = [f for f in features if f["properties"]["kind"] == "walk"]
    assert walk["properties"]["note"] == "out 15:00, 20 min · back 17:05, 25 min"


def test_the_hour_of_these_tests_is_that_of_the_place() -> None:
    assert at(12) == datetime(2026, 11, 14, 12, tzinfo=UTC)
