"""Conditions of the water, each beside a plain loop over the tide's heights."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest

from fieldtrip.places.records import WantedTurn
from fieldtrip.tides.records import Exposure, TideTable
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, instants, to_instant
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for, spans_for
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.situation import situation_of
from tests.trips.condition_story import (
    LOCATION,
    SPAN,
    STATION_LOCATION,
    VANTAGE,
    assert_as_in_a_plain_loop,
    tidal_dossier,
)

TIDAL = situation_of(tidal_dossier(), SPAN, vantage_point=VANTAGE)
AROUND = Span(SPAN.start - timedelta(days=2), SPAN.stop + timedelta(days=2))


def source() -> TideSource:
    """The station's tide."""
    return TIDAL.tide_sources[0]


EVERY_MINUTE = instants(AROUND.start, AROUND.stop, timedelta(minutes=1))
HEIGHTS_M = source().curve.heights_m(EVERY_MINUTE)
TURNS = source().curve.turns(AROUND)


def height_m(instant: datetime) -> float:
    """The water's height above its datum, by the line from minute to minute."""
    since = (instant - AROUND.start) / timedelta(minutes=1)
    return float(np.interp(since, np.arange(len(HEIGHTS_M)), HEIGHTS_M))


@pytest.mark.parametrize("turn", list(WantedTurn))
@pytest.mark.parametrize(
    ("above_m", "below_m"), [(None, 1.6), (3.2, None), (1.5, 2.5), (None, None)]
)
def test_the_water_between_levels_rising_or_falling(
    turn: WantedTurn, above_m: float | None, below_m: float | None
) -> None:
    condition = wanted.WaterLevel(above_m=above_m, below_m=below_m, turn=turn)
    minute = timedelta(minutes=1)

    def is_wanted(instant: datetime) -> bool:
        height = height_m(instant)
        rises = height_m(instant + minute) > height_m(instant - minute)
        return (
            (above_m is None or height > above_m)
            and (below_m is None or height <= below_m)
            and (turn is WantedTurn.EITHER or rises == (turn is WantedTurn.RISING))
        )

    answer = answer_for(condition, TIDAL)

    if above_m is None and below_m is None and turn is WantedTurn.EITHER:
        assert answer.holds == (SPAN,)
    else:
        assert_as_in_a_plain_loop(answer, is_wanted, blink=2.0 * minute)


@pytest.mark.parametrize("is_high", [True, False])
def test_minutes_around_high_or_low_water(is_high: bool) -> None:
    condition = wanted.AroundTurn(is_high=is_high, before_min=90.0, after_min=20.0)
    instants = [turn.instant for turn in TURNS if turn.is_high is is_high]

    def is_wanted(instant: datetime) -> bool:
        return any(
            timedelta(minutes=-90) <= instant - turn <= timedelta(minutes=20)
            for turn in instants
        )

    assert_as_in_a_plain_loop(answer_for(condition, TIDAL), is_wanted)


def test_a_range_large_enough_from_turn_to_turn() -> None:
    condition = wanted.TideRange(least_m=2.9)

    def is_wanted(instant: datetime) -> bool:
        before, after = next(
            (a, b) for a, b in pairwise(TURNS) if a.instant <= instant < b.instant
        )
        return abs(after.height_m - before.height_m) >= 2.9

    assert_as_in_a_plain_loop(answer_for(condition, TIDAL), is_wanted)


def table(**changed: object) -> TideTable:
    """A printed table of the first days only."""
    known = {
        "location_id": LOCATION.id,
        "port": "Typed port",
        "zone": "UTC",
        "datum": "chart datum",
        "unit": "m",
        "source": "invented",
        "turns": TURNS[:16],
        "exposure": Exposure.OPEN_COAST,
        "is_distorted": False,
    }
    return TideTable(**{**known, **changed})  # type: ignore[arg-type]


def with_tables(*tables: TideTable) -> Dossier:
    """The place with typed tables and no station."""
    return Dossier(location=LOCATION, tide_tables=tables)


def test_beyond_a_printed_table_the_water_is_not_known() -> None:
    typed = table()
    here = situation_of(with_tables(typed), SPAN)
    last = typed.turns[-1].instant

    def is_wanted(instant: datetime) -> bool | None:
        if instant > last:
            return None
        at = np.array([to_instant(instant)])
        return float(here.tide_sources[0].curve.heights_m(at)[0]) <= 1.6

    answer = answer_for(wanted.WaterLevel(below_m=1.6), here)

    assert_as_in_a_plain_loop(answer, is_wanted)
    assert "for all of these days" in answer.why


def test_at_a_shallow_port_turns_are_known_and_heights_between_them_are_not() -> None:
    here = situation_of(with_tables(table(is_distorted=True)), SPAN)
    level = wanted.WaterLevel(below_m=1.6)

    around = answer_for(wanted.AroundTurn(is_high=False), here)

    assert spans_for(level, here) is None
    assert "cannot be relied on" in answer_for(level, here).why
    assert around.holds


def test_without_any_tide_the_water_is_not_known() -> None:
    here = situation_of(Dossier(location=LOCATION), SPAN)

    for condition in (
        wanted.WaterLevel(below_m=1.6),
        wanted.AroundTurn(is_high=True),
        wanted.TideRange(least_m=1.0),
    ):
        assert spans_for(condition, here) is None
        assert answer_for(condition, here).why == "No tide is known here."


def test_a_tide_above_another_datum_says_nothing_of_the_levels() -> None:
    vantage = replace(VANTAGE, level_datum="mean sea level")
    here = situation_of(tidal_dossier(), SPAN, vantage_point=vantage)

    answer = answer_for(wanted.WaterLevel(below_m=1.6), here)

    assert answer.holds == ()
    assert "counts from the datum" in answer.why


def test_a_station_too_far_away_says_nothing() -> None:
    dossier = tidal_dossier()
    far = replace(dossier.stations[0], position=replace(VANTAGE.position, lat_deg=52.0))
    here = situation_of(replace(dossier, stations=(far,)), SPAN)

    assert spans_for(wanted.WaterLevel(below_m=1.6), here) is None
    assert STATION_LOCATION.station_id == far.id
