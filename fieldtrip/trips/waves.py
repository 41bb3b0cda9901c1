"""How far waves run up the ground at the water's edge, beyond the still water."""

from __future__ import annotations

from dataclasses import dataclass

from fieldtrip.places.records import Shore
from fieldtrip.tides.runup import run_up
from fieldtrip.trips.records import SeaState, Trip

# Common practice, no source.
BY_CLASS_M = {SeaState.CALM: 0.3, SeaState.MODERATE: 1.0, SeaState.HEAVY: 2.0}


@dataclass(frozen=True, slots=True)
class WaveMargin:
    """What is kept clear for run-up, in metres of height."""

    margin_m: float  # taken off a level
    least_m: float  # the smallest that what is not known leaves possible
    is_shore_said: bool = True
    is_sea_said: bool = True  # where it matters
    is_rock: bool = False  # then no margin makes it clear
    is_computed: bool = False  # from wave height, period and slope


def wave_margin(
    shore: Shore | None, slope: float | None, trip: Trip | None
) -> WaveMargin:
    """The margin for a shore and the sea expected on a trip.

    On sand with its slope, and the waves' height and period: Stockdon's two-percent
    run-up, never less than the class that was said.  Else by class, the largest
    where nobody said.  Nothing is taken off where nobody said what the shore is.
    """
    if shore is None:
        return WaveMargin(0.0, 0.0, is_shore_said=False)
    if shore is Shore.SHELTERED:
        return WaveMargin(0.0, 0.0)
    is_rock = shore is Shore.ROCK
    sea = None if trip is None else trip.sea
    by_class_m = None if sea is None else BY_CLASS_M[sea]
    computed_m = _computed_m(shore, slope, trip)
    if computed_m is not None:
        margin_m = max(computed_m, by_class_m or 0.0)
        return WaveMargin(margin_m, margin_m, is_computed=True)
    if by_class_m is not None:
        return WaveMargin(by_class_m, by_class_m, is_rock=is_rock)
    largest_m = max(BY_CLASS_M.values())
    return WaveMargin(largest_m, 0.0, is_sea_said=False, is_rock=is_rock)


def _computed_m(shore: Shore, slope: float | None, trip: Trip | None) -> float | None:
    if trip is None or slope is None:
        return None
    height_m, period_s = trip.wave_height_m, trip.wave_period_s
    if height_m is None or period_s is None:
        return None
    found = run_up(height_m, period_s, slope, is_sandy=shore is Shore.SAND)
    return None if found is None else found.two_percent_m
