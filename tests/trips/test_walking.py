"""Walking time, against the clubs that publish the rule."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import Position
from fieldtrip.places.records import Ground, Leg
from fieldtrip.trips.walking import time_for_leg, walking_time

NEVER = timedelta()


@pytest.mark.parametrize(
    ("distance_m", "ascent_m", "descent_m", "hours"),
    [
        # Source: mountainista.de quoting "AV-Wegekonzept" (November 2009).
        (8000.0, 900.0, 0.0, 4.0),
        # Source: bergkind.at, planetoutdoor.de: 8 km and 1200 m up are 5 hours.
        (8000.0, 1200.0, 0.0, 5.0),
        # Reckoned by hand from DIN 33466: 2 h flat, 3.2 h steep.
        (8000.0, 600.0, 600.0, 4.2),
        (4000.0, 0.0, 0.0, 1.0),
    ],
)
def test_the_signposts_rule(
    distance_m: float, ascent_m: float, descent_m: float, hours: float
) -> None:
    time = walking_time(distance_m, ascent_m, descent_m, Ground.PATH)

    assert time / timedelta(hours=1) == pytest.approx(hours, abs=0.001)


@pytest.mark.parametrize(
    ("ground", "hours"),
    [
        # Common practice, no source.
        (Ground.PATH, 1.0),
        (Ground.PATHLESS, 1.67),
        (Ground.BOULDERS, 2.5),
        (Ground.UNKNOWN, 2.0),
    ],
)
def test_ground_slows_the_pace(ground: Ground, hours: float) -> None:
    time = walking_time(4000.0, 0.0, 0.0, ground)

    assert time / timedelta(hours=1) == pytest.approx(hours)


def test_pace_and_darkness_multiply() -> None:
    time = walking_time(4000.0, 0.0, 0.0, Ground.PATH, 1.2, 1.5)

    assert time == timedelta(hours=1.8)


def test_a_climb_that_is_not_known_counts_as_none_and_is_told() -> None:
    known, unknown = leg(ascent_m=90.0, descent_m=0.0), leg()

    assert time_for_leg(known).is_climb_known
    assert not time_for_leg(unknown).is_climb_known
    assert not time_for_leg(leg(ascent_m=0.0)).is_climb_known
    assert time_for_leg(unknown).length < time_for_leg(known).length


def test_walked_backwards_what_was_up_is_down() -> None:
    climb = leg(ascent_m=600.0, descent_m=0.0)

    up, down = time_for_leg(climb), time_for_leg(climb, is_reversed=True)

    # 2 h steep and half of 1 h flat; 1.2 h steep and half of 1 h.
    assert up.length == timedelta(hours=2.5)
    assert down.length == timedelta(hours=1.7)


@given(
    distance_m=st.floats(0.0, 50_000.0),
    ascent_m=st.floats(0.0, 3000.0),
    more=st.floats(0.0, 500.0),
)
def test_more_of_anything_never_takes_less_time(
    distance_m: float, ascent_m: float, more: float
) -> None:
    time = walking_time(distance_m, ascent_m, 0.0, Ground.PATH)

    assert NEVER <= time <= walking_time(distance_m + more, ascent_m, 0.0, Ground.PATH)
    assert time <= walking_time(distance_m, ascent_m + more, 0.0, Ground.PATH)
    assert time <= walking_time(distance_m, ascent_m, more, Ground.PATH)


def leg(ascent_m: float | None = None, descent_m: float | None = None) -> Leg:
    """Four kilometres of path."""
    return Leg(
        route_id=uuid4(),
        number=1,
        name="Path",
        line=(Position(50.0, 0.0), Position(50.0, 0.1)),
        distance_m=4000.0,
        ascent_m=ascent_m,
        descent_m=descent_m,
        ground=Ground.PATH,
    )
