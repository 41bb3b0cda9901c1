"""Walks over parts of legs keep ground and times when a leg is parted or turned."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.geo import distance_m
from fieldtrip.trips.network import walked_line
from fieldtrip.trips.records import Walk
from fieldtrip.trips.route_edits import join_leg, reverse_route, split_leg
from tests.trips.test_route_edits import ROUTE, P, after, dossier, leg, walk

LEG = leg(1, P)


def parts(walks: tuple[Walk, ...]) -> list[Walk]:
    return sorted(walks, key=lambda each: each.start)


@given(
    first=st.floats(0.0, 0.9),
    length=st.floats(0.05, 1.0),
    index=st.integers(1, 4),
    back=st.booleans(),
)
def test_a_parted_leg_is_walked_on_the_same_ground_at_the_same_times(
    first: float, length: float, index: int, back: bool
) -> None:
    planned = replace(
        walk(LEG, 0.0, 60.0, back=back),
        from_share=first,
        to_share=min(first + length, 1.0),
    )
    before = dossier((LEG,), (planned,))

    found = after(before, split_leg(before, LEG, index))

    legs = {each.id: each for each in found.legs}
    walks = parts(found.walks)
    lines = [walked_line(legs[each.leg_id], each) for each in walks]
    whole = walked_line(LEG, planned)
    assert all(each.faults() == [] for each in walks)
    assert (walks[0].start, walks[-1].finish) == (planned.start, planned.finish)
    assert distance_m(lines[0][0], whole[0]) < 1.0
    assert distance_m(lines[-1][-1], whole[-1]) < 1.0
    if len(walks) == 2:
        assert walks[0].finish == walks[1].start
        assert distance_m(lines[0][-1], lines[1][0]) < 1.0


def test_a_route_turned_round_is_walked_on_the_same_ground() -> None:
    planned = replace(walk(LEG, 0.0, 20.0), from_share=0.1, to_share=0.4)
    before = dossier((LEG,), (planned,))

    found = after(before, reverse_route(before, ROUTE))

    (turned,), (now,) = found.legs, found.walks
    for one, other in zip(
        walked_line(LEG, planned), walked_line(turned, now), strict=True
    ):
        assert distance_m(one, other) < 0.01


def test_legs_of_which_a_walk_goes_over_a_part_are_not_joined() -> None:
    one, two = leg(1, P[:3]), leg(2, P[2:])
    planned = (
        walk(one, 0.0, 20.0),
        replace(walk(two, 20.0, 10.0), to_share=0.5),
    )

    with pytest.raises(UserError, match="one right after the other"):
        join_leg(dossier((one, two), planned), one)


@pytest.mark.parametrize(
    "shares", [(0.5, 0.5), (0.7, 0.2), (-0.1, 0.5), (0.0, 1.1), (float("nan"), 1.0)]
)
def test_a_walk_over_nothing_is_refused(shares: tuple[float, float]) -> None:
    planned = replace(walk(LEG, 0.0, 9.0), from_share=shares[0], to_share=shares[1])

    assert planned.faults() == ["A walk must go over some part of its leg."]
