"""Conditions as plain values: there and back, and what is said of bad ones."""

from __future__ import annotations

import json
from datetime import time
from typing import get_args
from uuid import UUID

import pytest

from fieldtrip.errors import UserError
from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
from fieldtrip.trips import wanted
from fieldtrip.trips.wanted import Condition
from fieldtrip.trips.wanted_json import WORDS, condition_from_json, condition_to_json

AN_ID = UUID("7f0c1b9e-5c0e-4c9c-9e6e-0d5f4a1f2b3c")

EVERY_SORT: tuple[Condition, ...] = (
    wanted.SunBand(low_deg=-4.0, high_deg=6.0, half=wanted.DayHalf.EVENING),
    wanted.AroundEvent(event=EventName.CIVIL_DUSK, before_min=20.0, after_min=5.0),
    wanted.Alignment(body=Body.GALACTIC_CENTRE, bearing_deg=182.5, over_top=True),
    wanted.LightFrom(side=wanted.LightSide.BACK),
    wanted.SubjectLight(is_lit=False),
    wanted.MoonIs(wish=wanted.MoonWish.LOW_IN_TWILIGHT),
    wanted.MoonLit(least_percent=10.0, most_percent=40.0, is_waxing=False),
    wanted.GalacticCentreUp(above_deg=8.0),
    wanted.WaterLevel(below_m=1.2, turn=WantedTurn.RISING),
    wanted.AroundTurn(is_high=True, before_min=90.0),
    wanted.TideRange(least_m=3.1),
    wanted.WayOpen(route_id=AN_ID, stay_min=45.0),
    wanted.TripPossible(trip_id=AN_ID),
    wanted.ClockTime(hours=OpenHours(time(22, 30), time(4, 0))),
    wanted.OnWeekdays(days=(5, 6)),
    wanted.InSeason(season=Season(MonthDay(11, 15), MonthDay(2, 29))),
    wanted.Allowed(),
    wanted.Weather(wind_below_m_s=8.0, cloud_most_percent=60.0),
)


def test_every_sort_of_condition_has_a_word_and_an_example_here() -> None:
    sorts = set(get_args(Condition))

    assert set(WORDS.values()) == sorts
    assert {type(condition) for condition in EVERY_SORT} == sorts


@pytest.mark.parametrize("condition", EVERY_SORT, ids=lambda c: type(c).__name__)
def test_a_condition_comes_back_from_its_text(condition: Condition) -> None:
    text = json.dumps(condition_to_json(condition), allow_nan=False)

    assert condition_from_json(json.loads(text)) == condition


def test_what_may_be_left_out_stands_as_in_the_record() -> None:
    found = condition_from_json({"want": "sun_band", "low_deg": -6, "high_deg": 0})

    assert found == wanted.SunBand(low_deg=-6.0, high_deg=0.0)


def test_a_limit_that_is_null_is_not_set() -> None:
    found = condition_from_json({"want": "water_level", "above_m": None, "below_m": 2})

    assert found == wanted.WaterLevel(below_m=2.0)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("sun", "parts in braces"),
        ({"low_deg": 1}, "needs “want”"),
        ({"want": "rainbow"}, "cannot want “rainbow”; “want” is one of sun_band"),
        ({"want": ["sun_band"]}, "cannot want a list"),
        ({"want": "sun_band", "low_deg": 1}, "“sun_band” needs “high_deg”"),
        ({"want": "allowed", "wind": 3}, "no part “wind”; it has none"),
        ({"want": "tide_range", "least_m": "3 m"}, "must be a number, not “3 m”"),
        ({"want": "tide_range", "least_m": True}, "must be a number, not true"),
        ({"want": "tide_range", "least_m": float("nan")}, "must be a number from"),
        ({"want": "tide_range", "least_m": 10**400}, "too large"),
        ({"want": "tide_range", "least_m": 3, "most_m": 2}, "must lie below"),
        ({"want": "subject_light", "is_lit": 1}, "must be true or false, not 1"),
        ({"want": "subject_light", "is_lit": None}, "true or false, not nothing"),
        ({"want": "trip_possible", "trip_id": "Sunday"}, "must be an id"),
        ({"want": "trip_possible", "trip_id": 7}, "must be an id"),
        ({"want": "on_weekdays", "days": 5}, "a list of whole numbers, not 5"),
        ({"want": "on_weekdays", "days": ["Sat"]}, "whole numbers, not “Sat”"),
        ({"want": "on_weekdays", "days": []}, "at least one day"),
        ({"want": "light_from", "side": "left"}, "one of front, side, back"),
        (
            {"want": "clock_time", "hours": {"opens": "6:30", "shuts": "09:00"}},
            "such as 06:30, not “6:30”",
        ),
        (
            {"want": "clock_time", "hours": {"opens": "06:30"}},
            "needs “opens” and “shuts”",
        ),
        (
            {"want": "in_season", "season": {"first": "02-30", "last": "03-01"}},
            "month first, not “02-30”",
        ),
    ],
)
def test_a_condition_that_cannot_be_read_is_named_in_one_sentence(
    value: object, words: str
) -> None:
    with pytest.raises(UserError) as caught:
        condition_from_json(value)

    assert words in str(caught.value)
    assert str(caught.value).count(". ") == 0
