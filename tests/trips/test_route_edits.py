"""Routes taken apart and put together: ground and times stay what they were."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position, line_length_m
from fieldtrip.places.records import (
    AccessRoute,
    CrossingObservation,
    Ground,
    Leg,
    Location,
    Refuge,
    Shore,
)
from fieldtrip.trips.crossing_level import level_in_force
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk
from fieldtrip.trips.route_edits import (
    Edits,
    join_leg,
    move_leg,
    reverse_route,
    split_leg,
)

NOON = datetime(2026, 11, 14, 12, tzinfo=UTC)
P = tuple(Position(49.6 + 0.001 * i, -8.4) for i in range(6))
BAY = Location(name="Bay", position=P[0], zone="Europe/Dublin")
ROUTE = AccessRoute(location_id=BAY.id, name="Gully")
TRIP = Trip(location_id=BAY.id, name="Evening", day=date(2026, 11, 14))
LOW = Refuge(location_id=BAY.id, name="Holm", position=P[5])


def leg(number: int, line: Line, **known: object) -> Leg:
    made = Leg(route_id=ROUTE.id, number=number, name=f"Leg {number}", line=line)
    return replace(made, **known)  # type: ignore[arg-type]


def walk(of: Leg, start_min: float, minutes: float, *, back: bool = False) -> Walk:
    start = NOON + timedelta(minutes=start_min)
    finish = start + timedelta(minutes=minutes)
    return Walk(
        trip_id=TRIP.id, leg_id=of.id, start=start, finish=finish, is_reversed=back
    )


def dossier(
    legs: Sequence[Leg], walks: Sequence[Walk] = (), stops: Sequence[Stop] = ()
) -> Dossier:
    return Dossier(
        location=BAY,
        routes=(ROUTE,),
        legs=tuple(legs),
        refuges=(LOW,),
        trips=(TRIP,),
        walks=tuple(sorted(walks, key=lambda w: w.start)),
        stops=tuple(stops),
    )


def after(kept: Dossier, edits: Edits) -> Dossier:
    """The dossier once the edits are made, each of a record as it is there."""
    legs = {one.id: one for one in kept.legs}
    walks = {one.id: one for one in kept.walks}
    seen = {one.id: one for one in kept.observations}
    for before, now in edits:
        for old in () if before is None else (before,):
            held: object = legs.get(old.id) or walks.get(old.id) or seen.get(old.id)
            assert held == old
        for gone in () if before is None else (before,):
            legs.pop(gone.id, None)
            walks.pop(gone.id, None)
            seen.pop(gone.id, None)
        if isinstance(now, Leg):
            legs[now.id] = now
        elif isinstance(now, CrossingObservation):
            assert now.leg_id in legs
            seen[now.id] = now
        elif now is not None:
            walks[now.id] = now
    return replace(
        kept,
        legs=tuple(sorted(legs.values(), key=lambda one: one.number)),
        walks=tuple(sorted(walks.values(), key=lambda one: one.start)),
        observations=tuple(sorted(seen.values(), key=lambda one: one.instant)),
    )


# Splitting


def test_a_leg_is_parted_at_a_point_and_the_rest_move_up() -> None:
    one, two = leg(1, P[:4], ground=Ground.PATH, is_tidal=False), leg(2, P[3:])
    kept = dossier((one, two))

    first, second, third = after(kept, split_leg(kept, one, 1)).legs

    assert (first.line, second.line) == (P[:2], P[1:4])
    assert (first.id, third.id) == (one.id, two.id)
    assert [part.number for part in (first, second, third)] == [1, 2, 3]
    assert (second.ground, second.is_tidal) == (Ground.PATH, False)
    assert not first.faults()
    assert not second.faults()


@pytest.mark.parametrize("index", [-1, 0, 3, 4])
def test_an_end_is_no_place_to_split(index: int) -> None:
    one = leg(1, P[:4])

    with pytest.raises(UserError, match="between its ends"):
        split_leg(dossier((one,)), one, index)


def test_a_typed_distance_is_shared_and_the_climb_is_not_known() -> None:
    one = leg(1, P[:4], distance_m=900.0, ascent_m=50.0, descent_m=0.0)
    kept = dossier((one,))

    first, second = after(kept, split_leg(kept, one, 1)).legs

    # A third of the way along a straight line.
    assert first.distance_m == pytest.approx(300.0, abs=0.1)
    assert second.distance_m == pytest.approx(600.0, abs=0.1)
    for part in (first, second):
        assert (part.ascent_m, part.descent_m) == (None, None)


def test_a_level_leg_stays_level() -> None:
    one = leg(1, P[:4], ascent_m=0.0, descent_m=0.0)
    kept = dossier((one,))

    for part in after(kept, split_leg(kept, one, 2)).legs:
        assert (part.ascent_m, part.descent_m) == (0.0, 0.0)


@pytest.mark.parametrize("back", [False, True])
def test_a_walk_becomes_two_over_the_same_ground_at_the_same_time(back: bool) -> None:
    one = leg(1, P[:4])
    kept = dossier((one,), (walk(one, 0, 30, back=back),))

    now = after(kept, split_leg(kept, one, 1))

    early, late = now.walks
    assert (early.start, late.finish) == (NOON, NOON + timedelta(minutes=30))
    assert early.finish == late.start
    first, second = now.legs
    order = (second.id, first.id) if back else (first.id, second.id)
    assert (early.leg_id, late.leg_id) == order
    share_min = 20.0 if back else 10.0  # of the three parts two, or one
    assert (early.finish - NOON) / timedelta(minutes=1) == pytest.approx(
        share_min, abs=0.01
    )
    assert all(part.is_reversed is back for part in now.walks)


# Joining


@pytest.mark.parametrize("back", [False, True])
def test_what_was_split_is_joined_again(back: bool) -> None:
    one = leg(
        1, P[:4], distance_m=900.0, is_tidal=True, shut_above_m=1.4, shut_datum="CD"
    )
    two = leg(2, P[3:])
    kept = dossier((one, two), (walk(one, 0, 30, back=back),))
    apart = after(kept, split_leg(kept, one, 2))

    whole = after(apart, join_leg(apart, apart.legs[0]))

    assert whole.legs[0].line == one.line
    assert whole.legs[0].distance_m == pytest.approx(900.0)
    assert (whole.legs[0].is_tidal, whole.legs[0].shut_above_m) == (True, 1.4)
    assert [part.number for part in whole.legs] == [1, 2]
    (walked,) = whole.walks
    assert (walked.start, walked.finish) == (kept.walks[0].start, kept.walks[0].finish)
    assert (walked.leg_id, walked.is_reversed) == (one.id, back)


def test_the_last_leg_has_nothing_to_be_joined_with() -> None:
    one = leg(1, P[:2])

    with pytest.raises(UserError, match="last leg"):
        join_leg(dossier((one,)), one)


def test_ends_that_do_not_meet_are_not_joined() -> None:
    one, two = leg(1, P[:2]), leg(2, P[2:])

    # A thousandth of a degree of latitude is 111 m.  Source: WGS 84.
    with pytest.raises(UserError, match=r"ends 111 m from where “Leg 2” begins"):
        join_leg(dossier((one, two)), one)


def test_ends_drawn_by_hand_may_lie_a_little_apart() -> None:
    near = Position(P[1].lat_deg + 0.0001, P[1].lon_deg)  # 11 m
    one, two = leg(1, P[:2]), leg(2, (near, P[2]))
    kept = dossier((one, two))

    (joined,) = after(kept, join_leg(kept, one)).legs

    assert joined.line == (*P[:2], near, P[2])


YES, NO, UNKNOWN = True, False, None


@pytest.mark.parametrize(
    ("a", "b", "either", "both"),
    [
        (YES, YES, YES, YES),
        (YES, NO, YES, NO),
        (NO, NO, NO, NO),
        (YES, UNKNOWN, YES, UNKNOWN),
        (NO, UNKNOWN, UNKNOWN, NO),
        (UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    ],
)
def test_what_is_not_known_of_one_is_not_known_of_both(
    a: bool | None, b: bool | None, either: bool | None, both: bool | None
) -> None:
    for x, y in ((a, b), (b, a)):
        one = leg(1, P[:2], is_exposed=x, daylight_only=x, walked_in_daylight=x)
        two = leg(2, P[1:], is_exposed=y, daylight_only=y, walked_in_daylight=y)
        kept = dossier((one, two))

        (joined,) = after(kept, join_leg(kept, one)).legs

        assert (joined.is_exposed, joined.daylight_only) == (either, either)
        assert joined.walked_in_daylight == both


@pytest.mark.parametrize(
    ("a", "b", "tidal", "level_m"),
    [
        ((True, 1.4), (True, 1.1), True, 1.1),
        ((True, 1.4), (False, None), True, 1.4),
        ((True, 1.4), (None, None), True, None),
        ((True, 1.4), (True, None), True, None),
        ((False, None), (None, None), None, None),
        ((False, None), (False, None), False, None),
    ],
)
def test_the_tide_shuts_the_whole_where_it_shuts_a_part(
    a: tuple[bool | None, float | None],
    b: tuple[bool | None, float | None],
    tidal: bool | None,
    level_m: float | None,
) -> None:
    for x, y in ((a, b), (b, a)):
        one, two = (
            leg(n, line, is_tidal=known, shut_above_m=level, shut_datum="CD")
            for n, line, (known, level) in ((1, P[:2], x), (2, P[1:], y))
        )
        kept = dossier((one, two))

        (joined,) = after(kept, join_leg(kept, one)).legs

        assert (joined.is_tidal, joined.shut_above_m) == (tidal, level_m)


def test_levels_above_different_datums_are_not_compared() -> None:
    one = leg(1, P[:2], is_tidal=True, shut_above_m=1.4, shut_datum="chart datum")
    two = leg(2, P[1:], is_tidal=True, shut_above_m=1.1, shut_datum="mean sea level")

    with pytest.raises(UserError, match="different datums"):
        join_leg(dossier((one, two)), one)


def test_a_leg_names_one_refuge() -> None:
    other = Refuge(location_id=BAY.id, name="Hut", position=P[0])
    one, two = leg(1, P[:2], refuge_id=LOW.id), leg(2, P[1:], refuge_id=other.id)

    with pytest.raises(UserError, match="different refuges"):
        join_leg(dossier((one, two)), one)


def test_distances_and_climbs_add_up_and_the_slower_ground_holds() -> None:
    one = leg(1, P[:2], distance_m=200.0, ascent_m=10.0, ground=Ground.PATH)
    two = leg(2, P[1:3], ascent_m=5.0, descent_m=3.0, ground=Ground.BOULDERS)
    kept = dossier((one, two))

    (joined,) = after(kept, join_leg(kept, one)).legs

    assert joined.distance_m == pytest.approx(200.0 + line_length_m(P[1:3]))
    assert (joined.ascent_m, joined.descent_m) == (15.0, None)
    assert joined.ground is Ground.BOULDERS


@pytest.mark.parametrize("story", ["one of them", "a stop between", "a long rest"])
def test_a_trip_that_walks_them_apart_forbids_it(story: str) -> None:
    one, two = leg(1, P[:2]), leg(2, P[1:])
    rest_min = {"one of them": 0.0, "a stop between": 3.0, "a long rest": 20.0}[story]
    walks = [walk(one, 0, 10), walk(two, 10 + rest_min, 10)]
    stops = [
        Stop(
            trip_id=TRIP.id,
            number=1,
            vantage_point_id=BAY.id,
            arrive=NOON + timedelta(minutes=11),
            leave=NOON + timedelta(minutes=12),
        )
    ]
    kept = dossier(
        (one, two),
        walks[:1] if story == "one of them" else walks,
        stops if story == "a stop between" else (),
    )

    with pytest.raises(UserError, match="“Evening” does not walk"):
        join_leg(kept, one)


def test_out_and_back_is_joined_both_ways() -> None:
    one, two = leg(1, P[:2]), leg(2, P[1:])
    out = [walk(one, 0, 10), walk(two, 10, 10)]
    home = [walk(two, 60, 10, back=True), walk(one, 70, 10, back=True)]
    kept = dossier((one, two), out + home)

    there, back = after(kept, join_leg(kept, one)).walks

    assert (there.leg_id, back.leg_id) == (one.id, one.id)
    assert there.finish - there.start == back.finish - back.start
    assert (there.is_reversed, back.is_reversed) == (False, True)


# What waves meet, and what was seen


@pytest.mark.parametrize(
    ("a", "b", "worse"),
    [
        (Shore.ROCK, Shore.STONES, Shore.ROCK),
        (Shore.ROCK, None, Shore.ROCK),
        (Shore.STONES, Shore.SAND, Shore.STONES),
        (Shore.SAND, None, None),  # not known is never better than known
        (Shore.SAND, Shore.SHELTERED, Shore.SAND),
        (None, Shore.SHELTERED, None),
        (Shore.SHELTERED, Shore.SHELTERED, Shore.SHELTERED),
        (None, None, None),
    ],
)
def test_the_worse_shore_holds_for_both(
    a: Shore | None, b: Shore | None, worse: Shore | None
) -> None:
    for x, y in ((a, b), (b, a)):
        one, two = leg(1, P[:2], shore=x), leg(2, P[1:], shore=y)
        kept = dossier((one, two))

        (joined,) = after(kept, join_leg(kept, one)).legs

        assert joined.shore == worse


@pytest.mark.parametrize(
    ("a", "b", "slope"), [(0.08, 0.08, 0.08), (0.08, 0.1, None), (0.08, None, None)]
)
def test_a_slope_holds_where_it_is_that_of_both(
    a: float | None, b: float | None, slope: float | None
) -> None:
    for x, y in ((a, b), (b, a)):
        one, two = leg(1, P[:2], beach_slope=x), leg(2, P[1:], beach_slope=y)
        kept = dossier((one, two))

        (joined,) = after(kept, join_leg(kept, one)).legs

        assert joined.beach_slope == slope


@pytest.mark.parametrize("other", [None, date(2026, 1, 9)])
def test_the_later_storm_holds(other: date | None) -> None:
    late = date(2026, 3, 2)
    for x, y in ((late, other), (other, late)):
        one, two = leg(1, P[:2], last_storm=x), leg(2, P[1:], last_storm=y)
        kept = dossier((one, two))

        (joined,) = after(kept, join_leg(kept, one)).legs

        assert joined.last_storm == late


def sight(
    of: Leg, level_m: float, *, passed: bool, days_ago: int = 1
) -> CrossingObservation:
    return CrossingObservation(
        leg_id=of.id,
        instant=NOON - timedelta(days=days_ago),
        is_passable=passed,
        level_m=level_m,
        datum="CD",
        pressure_hpa=1013.0,
        is_confirmed=passed,
    )


def tidal(number: int, line: Line, level_m: float) -> Leg:
    return leg(number, line, is_tidal=True, shut_above_m=level_m, shut_datum="CD")


def in_force_m(of: Leg, kept: Dossier) -> float | None:
    return level_in_force(of, kept.observations, NOON, BAY.zone).level_m


def test_what_shut_a_leg_shuts_both_its_parts() -> None:
    one = tidal(1, P[:4], 1.4)
    kept = replace(dossier((one,)), observations=(sight(one, 0.9, passed=False),))

    now = after(kept, split_leg(kept, one, 1))

    assert [in_force_m(part, now) for part in now.legs] == [0.9, 0.9]
    assert len({seen.id for seen in now.observations}) == 2


def test_what_shut_the_second_leg_shuts_the_joined_one() -> None:
    one, two = tidal(1, P[:2], 1.4), tidal(2, P[1:], 1.4)
    kept = replace(dossier((one, two)), observations=(sight(two, 0.9, passed=False),))

    now = after(kept, join_leg(kept, one))

    assert [in_force_m(whole, now) for whole in now.legs] == [0.9]
    assert [seen.leg_id for seen in now.observations] == [one.id]


def test_passing_one_part_raises_no_level_for_the_other() -> None:
    one, two = tidal(1, P[:2], 1.0), tidal(2, P[1:], 1.4)
    for of in (one, two):
        seen = tuple(sight(of, 1.8, passed=True, days_ago=n) for n in (1, 2, 3))
        kept = replace(dossier((one, two)), observations=seen)

        now = after(kept, join_leg(kept, one))

        assert in_force_m(of, kept) == 1.8
        assert [in_force_m(whole, now) for whole in now.legs] == [1.0]
        assert len(now.observations) == 3


def test_passing_the_tidal_part_is_passing_the_whole() -> None:
    one, two = leg(1, P[:2], is_tidal=False), tidal(2, P[1:], 1.4)
    seen = tuple(sight(two, 1.8, passed=True, days_ago=n) for n in (1, 2, 3))
    kept = replace(dossier((one, two)), observations=seen)

    now = after(kept, join_leg(kept, one))

    assert [in_force_m(whole, now) for whole in now.legs] == [1.8]


def test_what_was_seen_is_the_same_after_splitting_and_joining() -> None:
    one = tidal(1, P[:4], 1.4)
    seen = (
        sight(one, 1.9, passed=False, days_ago=4),
        *(sight(one, 1.8, passed=True, days_ago=n) for n in (3, 2, 1)),
    )
    kept = replace(dossier((one,)), observations=seen)
    apart = after(kept, split_leg(kept, one, 1))

    whole = after(apart, join_leg(apart, apart.legs[0]))

    assert whole.observations == kept.observations


# Order and direction


def test_a_reversed_route_is_the_same_walk_in_time() -> None:
    one = leg(1, P[:3], ascent_m=30.0, descent_m=5.0)
    two = leg(2, P[2:], ascent_m=None, descent_m=8.0)
    kept = dossier((one, two), (walk(one, 0, 10), walk(two, 10, 10)))

    now = after(kept, reverse_route(kept, ROUTE))

    first, second = now.legs
    assert (first.id, second.id) == (two.id, one.id)
    assert (first.line, second.line) == (two.line[::-1], one.line[::-1])
    assert (first.ascent_m, first.descent_m) == (8.0, None)
    assert (second.ascent_m, second.descent_m) == (5.0, 30.0)
    for before, then in zip(kept.walks, now.walks, strict=True):
        assert then == replace(before, is_reversed=True)


@given(count=st.integers(1, 5))
def test_reversed_twice_is_as_it_was(count: int) -> None:
    legs = [leg(i + 1, P[i : i + 2], ascent_m=float(i)) for i in range(count)]
    kept = dossier(legs, [walk(one, 10.0 * one.number, 10) for one in legs])
    turned = after(kept, reverse_route(kept, ROUTE))

    assert after(turned, reverse_route(turned, ROUTE)) == kept


def test_a_route_without_legs_is_not_reversed() -> None:
    with pytest.raises(UserError, match="no legs"):
        reverse_route(dossier(()), ROUTE)


def test_a_leg_changes_places_with_its_neighbour() -> None:
    one, two, three = leg(1, P[:2]), leg(2, P[1:3]), leg(3, P[2:])
    kept = dossier((one, two, three))

    later = after(kept, move_leg(kept, one, 1))
    earlier = after(kept, move_leg(kept, three, -1))

    assert [part.id for part in later.legs] == [two.id, one.id, three.id]
    assert [part.id for part in earlier.legs] == [one.id, three.id, two.id]


@pytest.mark.parametrize(("by", "word"), [(-1, "first"), (1, "last")])
def test_there_is_no_place_beyond_the_ends(by: int, word: str) -> None:
    one = leg(1, P[:2])

    with pytest.raises(UserError, match=word):
        move_leg(dossier((one,)), one, by)
