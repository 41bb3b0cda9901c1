"""A margin is above nought where its condition holds, and below where it does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from fieldtrip.sky.bodies import Body
from fieldtrip.times import Span
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.measures import measure_of, time_margin_min
from fieldtrip.trips.situation import situation_of
from fieldtrip.trips.wanted import Condition
from tests.trips.condition_story import (
    LOCATION,
    SPAN,
    TOWER,
    VANTAGE,
    tidal_dossier,
)

SUMMER = Span(SPAN.start - timedelta(days=100), SPAN.start - timedelta(days=70))
HERE = situation_of(tidal_dossier(), SUMMER, vantage_point=VANTAGE, subject=TOWER)
EVERY = np.arange(SUMMER.start.timestamp() + 1.0, SUMMER.stop.timestamp(), 601.0)


@pytest.mark.parametrize(
    ("condition", "unit", "slack"),
    [
        (wanted.SunBand(low_deg=-6.0, high_deg=4.0), "°", 1e-3),
        (
            wanted.Alignment(body=Body.SUN, tolerance_deg=20.0, altitude_max_deg=50.0),
            "°",
            1e-3,
        ),
        (wanted.MoonIs(wish=wanted.MoonWish.UP), "°", 1.5),  # its limb rises first
        (wanted.MoonIs(wish=wanted.MoonWish.DOWN), "°", 1.5),
        (wanted.MoonLit(least_percent=20.0, most_percent=70.0), "%", 1e-3),
        (wanted.MoonLit(most_percent=30.0), "%", 1e-3),
        (wanted.WaterLevel(above_m=1.5, below_m=3.0), "m", 1e-3),
        (wanted.AroundTurn(is_high=True), "min", 0.01),
        (wanted.WayOpen(stay_min=0.0), "min", 0.01),
        (wanted.OnWeekdays(days=(2,)), "min", 0.01),
        (wanted.TideRange(least_m=2.5), "min", 0.01),
    ],
    ids=lambda each: type(each).__name__,
)
def test_its_sign_says_whether_the_condition_holds(
    condition: Condition, unit: str, slack: float
) -> None:
    answer = answer_for(condition, HERE)
    inside = time_margin_min(answer)(EVERY) > 0.0

    measure = measure_of(condition, HERE, answer)
    margin, share = measure.margin(EVERY), measure.share(EVERY)

    sure = np.abs(margin) > slack
    assert measure.unit == unit
    assert inside.any()
    assert not inside.all()
    assert np.array_equal(margin[sure] > 0.0, inside[sure])
    assert np.all((share > 0.0)[sure] == inside[sure])
    assert np.all(share <= 1.0)


@pytest.mark.parametrize("side", list(wanted.LightSide))
def test_light_has_its_margin_while_the_sun_is_up(side: wanted.LightSide) -> None:
    condition = wanted.LightFrom(side=side)
    answer = answer_for(condition, HERE)
    up = answer_for(wanted.SunBand(low_deg=-50 / 60, high_deg=90.0), HERE)
    is_up = time_margin_min(up)(EVERY) > 0.0
    inside = time_margin_min(answer)(EVERY) > 0.0

    margin = measure_of(condition, HERE, answer).margin(EVERY)

    sure = is_up & (np.abs(margin) > 1e-3)
    assert inside.any()
    assert np.array_equal(margin[sure] > 0.0, inside[sure])


def test_the_middle_of_a_band_is_ample_and_its_edge_is_nothing() -> None:
    condition = wanted.SunBand(low_deg=-6.0, high_deg=4.0)
    answer = answer_for(condition, HERE)
    measure = measure_of(condition, HERE, answer)
    edges = np.array([answer.holds[1].start.timestamp()])

    assert measure.value is not None
    best = EVERY[np.argmax(measure.share(EVERY))]
    assert measure.value(np.array([best]))[0] == pytest.approx(-1.0, abs=0.3)
    assert measure.share(EVERY).max() == pytest.approx(1.0, abs=0.1)
    assert measure.share(edges)[0] == pytest.approx(0.0, abs=1e-3)


def test_a_condition_that_never_holds_is_infinitely_far_in_time() -> None:
    nowhere = situation_of(Dossier(location=LOCATION), SUMMER)
    condition = wanted.AroundTurn(is_high=True)

    measure = measure_of(condition, nowhere, answer_for(condition, nowhere))

    assert np.all(np.isneginf(measure.margin(EVERY)))
    assert np.all(np.isneginf(measure.share(EVERY)))


def test_without_a_subject_the_light_is_measured_by_time_alone() -> None:
    nothing = replace(HERE, subject=None)
    condition = wanted.LightFrom(side=wanted.LightSide.BACK)

    measure = measure_of(condition, nothing, answer_for(condition, nothing))

    assert measure.unit == "min"
