"""The closing level by what was seen: lowered at once, raised by three days."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import Position
from fieldtrip.places.records import CrossingObservation, Leg
from fieldtrip.trips.crossing_level import LevelInForce, level_in_force

NOON = datetime(2026, 8, 20, 12, tzinfo=UTC)
HERE = Position(49.6, -8.4)
BAR = Leg(
    route_id=uuid4(),
    number=1,
    name="Bar",
    line=(HERE, Position(49.61, -8.4)),
    shut_above_m=1.5,
    shut_datum="Chart datum",
)


def seen(
    level_m: float,
    *,
    is_passable: bool = True,
    days_ago: float = 1.0,
    hpa: float | None = 1013.25,
    is_confirmed: bool = True,
    datum: str = "Chart datum",
) -> CrossingObservation:
    """What was seen of the bar."""
    return CrossingObservation(
        leg_id=BAR.id,
        instant=NOON - timedelta(days=days_ago),
        is_passable=is_passable,
        level_m=level_m,
        datum=datum,
        pressure_hpa=hpa,
        is_confirmed=is_confirmed,
    )


def level(*found: CrossingObservation, leg: Leg = BAR) -> LevelInForce:
    """The level in force at noon."""
    return level_in_force(leg, found, NOON, "Europe/Dublin")


THREE = tuple(seen(m, days_ago=d) for m, d in ((1.8, 1), (1.7, 2), (1.9, 3)))


def test_without_observations_what_was_typed_holds() -> None:
    assert level().level_m == 1.5
    assert level(leg=replace(BAR, shut_above_m=None)).level_m is None


def test_not_passable_lowers_it_at_once() -> None:
    # Source: common practice, no source: one is enough, whatever else was not noted.
    found = level(seen(1.2, is_passable=False, hpa=None, is_confirmed=False))

    assert found.level_m == 1.2
    assert found.is_lowered


def test_not_passable_never_raises_it() -> None:
    assert level(seen(1.8, is_passable=False)).level_m == 1.5


def test_three_confirmed_days_raise_it_to_what_each_attests() -> None:
    found = level(*THREE)

    assert found.level_m == pytest.approx(1.7)
    assert found.is_raised


@pytest.mark.parametrize(
    "spoilt",
    [
        {"is_confirmed": False},
        {"hpa": None},
        {"days_ago": 2.0},  # the same day as another
        {"days_ago": 366.0},  # lapsed
        {"datum": "Another"},
        {"days_ago": -1.0},  # not yet
    ],
)
def test_a_rise_takes_all_three(spoilt: dict[str, float | bool | str | None]) -> None:
    third = seen(1.9, **{"days_ago": 3.0, **spoilt})  # type: ignore[arg-type]

    assert level(*THREE[:2], third).level_m == 1.5


def test_a_storm_since_then_takes_the_rise_back() -> None:
    stormy = replace(BAR, last_storm=date(2026, 8, 18))

    assert level(*THREE, leg=stormy).level_m == 1.5


def test_a_refusal_beats_any_number_of_crossings() -> None:
    found = level(*THREE, seen(1.6, is_passable=False, days_ago=300.0))

    assert found.level_m == pytest.approx(1.6)
    assert found.scatter_m == pytest.approx(0.3)


def test_a_high_pressure_held_the_sea_below_its_prediction() -> None:
    # Source: inverse barometer, 0.994 cm for 1 hPa: 20 hPa are 19.9 cm.
    high = tuple(replace(each, pressure_hpa=1033.25) for each in THREE)
    low = tuple(replace(each, pressure_hpa=993.25) for each in THREE)

    assert level(*high).level_m == pytest.approx(1.7 - 0.199, abs=0.001)
    assert level(*low).level_m == pytest.approx(1.7)


def test_another_leg_s_and_another_datum_s_are_left_out() -> None:
    other = replace(seen(0.2, is_passable=False), leg_id=uuid4())
    strange = seen(0.2, is_passable=False, datum="Another")

    found = level(other, strange)

    assert found.level_m == 1.5
    assert found.other_datum == 1


OBSERVATIONS = st.builds(
    lambda level_m, is_passable, days_ago, hpa, is_confirmed: seen(
        level_m,
        is_passable=is_passable,
        days_ago=days_ago,
        hpa=hpa,
        is_confirmed=is_confirmed,
    ),
    st.floats(0.0, 3.0),
    st.booleans(),
    st.floats(0.0, 400.0),
    st.none() | st.floats(950.0, 1050.0),
    st.booleans(),
)


@given(st.lists(OBSERVATIONS, max_size=8), st.floats(0.0, 3.0))
def test_one_more_refusal_never_raises_it(
    found: list[CrossingObservation], level_m: float
) -> None:
    before = level(*found).level_m
    after = level(*found, seen(level_m, is_passable=False)).level_m

    assert before is not None
    assert after is not None
    assert after <= min(before, level_m)
