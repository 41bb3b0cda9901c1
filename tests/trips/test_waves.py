"""How much is kept clear for waves that run up."""

from __future__ import annotations

from datetime import date
from uuid import uuid4

import pytest

from fieldtrip.places.records import Shore
from fieldtrip.tides.runup import run_up
from fieldtrip.trips.records import SeaState, Trip
from fieldtrip.trips.waves import wave_margin

TRIP = Trip(location_id=uuid4(), name="Evening", day=date(2026, 8, 15))


def trip(
    sea: SeaState | None = None,
    height_m: float | None = None,
    period_s: float | None = None,
) -> Trip:
    """A trip with a sea."""
    return Trip(
        location_id=TRIP.location_id,
        name="Evening",
        day=TRIP.day,
        sea=sea,
        wave_height_m=height_m,
        wave_period_s=period_s,
    )


@pytest.mark.parametrize(
    ("sea", "margin_m"),
    # Source: common practice, no source.
    [(SeaState.CALM, 0.3), (SeaState.MODERATE, 1.0), (SeaState.HEAVY, 2.0)],
)
@pytest.mark.parametrize("shore", [Shore.SAND, Shore.STONES, Shore.ROCK])
def test_by_class(sea: SeaState, margin_m: float, shore: Shore) -> None:
    found = wave_margin(shore, None, trip(sea))

    assert found.margin_m == found.least_m == margin_m
    assert found.is_rock == (shore is Shore.ROCK)


def test_a_sea_that_nobody_told_counts_as_the_largest_and_is_not_known() -> None:
    for nothing in (None, trip()):
        found = wave_margin(Shore.SAND, 0.1, nothing)
        assert (found.margin_m, found.least_m, found.is_sea_said) == (2.0, 0.0, False)


def test_out_of_reach_nothing_is_kept_clear_and_nothing_asked() -> None:
    found = wave_margin(Shore.SHELTERED, None, None)

    assert (found.margin_m, found.is_sea_said, found.is_shore_said) == (0.0, True, True)


def test_a_shore_that_nobody_told_is_said_so() -> None:
    assert not wave_margin(None, 0.1, trip(SeaState.HEAVY)).is_shore_said


def test_on_sand_the_waves_themselves_count() -> None:
    found = wave_margin(Shore.SAND, 0.08, trip(None, 2.0, 10.0))
    known = run_up(2.0, 10.0, 0.08, is_sandy=True)

    assert known is not None
    assert found.is_computed
    assert found.margin_m == pytest.approx(known.two_percent_m)


def test_what_was_said_of_the_sea_is_the_least() -> None:
    found = wave_margin(Shore.SAND, 0.02, trip(SeaState.HEAVY, 0.2, 4.0))

    assert found.margin_m == 2.0


@pytest.mark.parametrize("shore", [Shore.STONES, Shore.ROCK])
def test_the_formula_is_for_sand_only(shore: Shore) -> None:
    found = wave_margin(shore, 0.08, trip(None, 2.0, 10.0))

    assert not found.is_computed
    assert not found.is_sea_said
