"""Tests for what the trip page says, and for the changes its edits make."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from fieldtrip.desktop.content.trip import (
    moved_stop,
    new_stop,
    new_walk,
    on_another_day,
    trip_content,
    whole_minutes,
    without_stop,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import AccessRoute, Ground, Leg, Location, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk

HERE = Position(49.6, -8.4)
PLACE = Location(name="Keel", position=HERE, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=PLACE.id, name="Gully head", position=HERE)
BAR = VantagePoint(location_id=PLACE.id, name="Bar end", position=HERE)
ROUTE = AccessRoute(location_id=PLACE.id, name="Gully path")
# Source: DIN 33466 by hand: 1200 m at 4 km/h = 18 min, 100 m up at 300 m/h = 20 min;
# 20 + 18 / 2 = 29 min.  The other way 100 m down at 500 m/h = 12 min: 18 + 6 = 24 min.
LEG = Leg(
    route_id=ROUTE.id,
    number=1,
    name="up",
    line=(HERE, Position(49.61, -8.4)),
    distance_m=1200.0,
    ascent_m=100.0,
    descent_m=0.0,
    ground=Ground.PATH,
)
DAY = date(2026, 11, 14)
NOON = datetime(2026, 11, 14, 12, tzinfo=UTC)
TRIP = Trip(location_id=PLACE.id, name="Evening", day=DAY)


def stop(number: int, start_h: float, hours: float = 1.0) -> Stop:
    arrive = NOON + timedelta(hours=start_h)
    return Stop(
        trip_id=TRIP.id,
        number=number,
        vantage_point_id=HEAD.id,
        arrive=arrive,
        leave=arrive + timedelta(hours=hours),
    )


def walk(start_h: float, minutes: int, *, is_reversed: bool = False) -> Walk:
    start = NOON + timedelta(hours=start_h)
    return Walk(
        trip_id=TRIP.id,
        leg_id=LEG.id,
        start=start,
        finish=start + timedelta(minutes=minutes),
        is_reversed=is_reversed,
    )


def dossier(
    *, stops: tuple[Stop, ...] = (), walks: tuple[Walk, ...] = (), leg: Leg = LEG
) -> Dossier:
    return Dossier(
        location=PLACE,
        vantage_points=(BAR, HEAD),
        routes=(ROUTE,),
        legs=(leg,),
        trips=(TRIP,),
        stops=stops,
        walks=walks,
    )


def after(changes: list[Change]) -> list[object]:
    return [change.after for change in changes]


def test_the_zone_of_the_times_is_said() -> None:
    content = trip_content(dossier(stops=(stop(1, 2),)), TRIP, Settings())

    assert "Europe/Dublin, GMT on that day" in content.zone_words
    assert content.legs == ((LEG.id, "up (Gully path)"),)


def test_a_walk_is_told_the_rules_time_in_its_direction() -> None:
    walks = (walk(0, 29), walk(1, 20, is_reversed=True))

    up, down = trip_content(dossier(walks=walks), TRIP, Settings()).walks

    assert up.rule == "1.2 km; by the walking rule 29 min, in daylight"
    assert up.rule_finish == NOON + timedelta(minutes=29)
    assert up.use_rule == "Use 29 min"
    assert up.remark == ""
    assert "24 min" in down.rule
    assert down.remark == "Planned 4 min shorter than that."


def test_a_climb_that_is_not_known_is_said() -> None:
    leg = replace(LEG, descent_m=None)

    (row,) = trip_content(
        dossier(walks=(walk(0, 29),), leg=leg), TRIP, Settings()
    ).walks

    assert row.rule.endswith("29 min or more: climb not known")


def test_overlapping_stops_are_remarked() -> None:
    content = trip_content(
        dossier(stops=(stop(1, 2, 2.0), stop(2, 3))), TRIP, Settings()
    )

    assert [row.remark for row in content.stops] == [
        "",
        "Reached before stop 1 is left.",
    ]


def test_another_day_keeps_every_clock_time() -> None:
    trip = replace(TRIP, latest_return=NOON + timedelta(hours=12, minutes=40))
    stops, walks = (stop(1, 2),), (walk(4, 29),)

    moved = after(
        on_another_day(dossier(stops=stops, walks=walks), trip, date(2026, 7, 1))
    )

    summer = timedelta(hours=1)  # Source: Directive 2000/84/EC, summer time
    shift = datetime(2026, 7, 1, 12, tzinfo=UTC) - NOON - summer
    assert moved == [
        replace(
            trip,
            day=date(2026, 7, 1),
            latest_return=NOON + timedelta(hours=12, minutes=40) + shift,
        ),
        replace(stops[0], arrive=stops[0].arrive + shift, leave=stops[0].leave + shift),
        replace(walks[0], start=walks[0].start + shift, finish=walks[0].finish + shift),
    ]


def test_a_day_whose_clock_skips_one_of_the_times_is_refused() -> None:
    trip = replace(TRIP, latest_return=datetime(2026, 11, 14, 1, 30, tzinfo=UTC))

    with pytest.raises(UserError, match="01:30 does not exist on 29 March 2026"):
        on_another_day(dossier(), trip, date(2026, 3, 29))


def test_a_new_stop_follows_what_is_planned() -> None:
    planned = dossier(stops=(stop(1, 2),), walks=(walk(3, 29),))

    added = new_stop(planned, TRIP, BAR.id, NOON)

    assert added.number == 2
    assert added.vantage_point_id == BAR.id
    assert added.arrive == NOON + timedelta(hours=3, minutes=29)
    assert added.faults() == []


def test_the_first_stop_starts_at_the_chosen_minute_of_that_day() -> None:
    on_day = new_stop(dossier(), TRIP, None, NOON + timedelta(hours=4))
    on_other = new_stop(dossier(), TRIP, None, NOON + timedelta(days=4))

    assert on_day.arrive == NOON + timedelta(hours=4)
    assert on_other.arrive == NOON


def test_a_stop_without_any_vantage_point_is_refused_in_words() -> None:
    empty = Dossier(location=PLACE, trips=(TRIP,))

    with pytest.raises(UserError, match="Add one on the map first"):
        new_stop(empty, TRIP, None, NOON)
    with pytest.raises(UserError, match="Draw one on the map first"):
        new_walk(empty, TRIP, NOON)


def test_a_new_walk_takes_as_long_as_the_rule_says() -> None:
    added = new_walk(dossier(stops=(stop(1, 0),)), TRIP, NOON)

    assert added.start == NOON + timedelta(hours=1)
    assert added.finish - added.start == timedelta(minutes=29)


def test_moving_and_removing_stops_leaves_no_gap_in_the_numbers() -> None:
    one, two, three = stops = (stop(1, 0), stop(2, 2), stop(3, 4))

    assert after(moved_stop(stops, three, -1)) == [
        replace(three, number=2),
        replace(two, number=3),
    ]
    assert moved_stop(stops, one, -1) == []
    assert moved_stop(stops, three, 1) == []
    removal = [Change(one, None)]
    assert after(without_stop(stops, one, removal)) == [
        None,
        replace(two, number=1),
        replace(three, number=2),
    ]


def test_a_begun_minute_counts_whole() -> None:
    assert whole_minutes(NOON, timedelta(seconds=61)) == NOON + timedelta(minutes=2)
    assert whole_minutes(NOON, timedelta(seconds=60)) == NOON + timedelta(minutes=1)
