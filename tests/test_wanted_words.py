"""Conditions as a person would say them."""

from __future__ import annotations

from datetime import time
from uuid import uuid4

import pytest
from hypothesis import given

from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
from fieldtrip.trips.wanted import (
    Alignment,
    AroundEvent,
    AroundTurn,
    ClockTime,
    Condition,
    DayHalf,
    InSeason,
    MoonLit,
    OnWeekdays,
    SunBand,
    TideRange,
    TripPossible,
    WaterLevel,
    WayOpen,
    Weather,
)
from fieldtrip.wanted_words import (
    EVENTS,
    NOTHING_WANTED,
    condition_text,
    wanted_text,
)
from tests.store.stories import CONDITIONS

BAR, TRIP = uuid4(), uuid4()
NAMES = {BAR: "Over the bar", TRIP: "Evening"}


@pytest.mark.parametrize(
    ("condition", "text"),
    [
        (
            SunBand(low_deg=-6.0, high_deg=-4.0, half=DayHalf.EVENING),
            "the Sun between −6° and −4° in the evening",
        ),
        (
            AroundEvent(event=EventName.SUNSET, before_min=90.0, after_min=20.0),
            "from 1 h 30 min before to 20 min after sunset",
        ),
        (
            AroundEvent(event=EventName.SUNRISE, after_min=60.0),
            "from sunrise to 1 h after it",
        ),
        (
            AroundTurn(is_high=False, before_min=120.0, after_min=0.0),
            "from 2 h before low water until it",
        ),
        (
            Alignment(body=Body.MOON, tolerance_deg=0.25, over_top=True),
            "the Moon within 0.25° of the subject, above the subject's top, below 5°",
        ),
        (
            Alignment(body=Body.SUN, bearing_deg=299.1),
            "the Sun within 0.5° of 299.1° true, between −0.5° and 5°",
        ),
        (
            MoonLit(least_percent=90.0, is_waxing=True),
            "the Moon lit 90 to 100 %, waxing",
        ),
        (
            WaterLevel(below_m=1.2, turn=WantedTurn.RISING),
            "the tide below 1.2 m and rising",
        ),
        (WaterLevel(), "the tide at any height"),
        (
            TideRange(least_m=3.0, most_m=5.0),
            "a tidal range between 3.0 m and 5.0 m",
        ),
        (WayOpen(), "every tidal leg open both ways for a stay of 30 min"),
        (
            WayOpen(route_id=BAR, stay_min=45.0),
            "“Over the bar” open both ways for a stay of 45 min",
        ),
        (
            WayOpen(route_id=uuid4()),
            "a route that is gone open both ways for a stay of 30 min",
        ),
        (TripPossible(trip_id=TRIP), "a plan for “Evening”"),
        (ClockTime(hours=OpenHours(time(16), time(23, 30))), "from 16:00 to 23:30"),
        (OnWeekdays(days=(4, 5, 6)), "on a Friday, Saturday or Sunday"),
        (
            InSeason(season=Season(MonthDay(10, 1), MonthDay(2, 28))),
            "from 1 October to 28 February of any year",
        ),
        (
            Weather(wind_below_m_s=8.0, cloud_least_percent=30.0),
            "forecast: wind below 8 m/s, cloud of at least 30 %",
        ),
    ],
)
def test_a_condition_reads_as_a_clause(condition: Condition, text: str) -> None:
    assert condition_text(condition, NAMES, Settings()) == text


def test_heights_are_in_the_chosen_unit() -> None:
    feet = Settings(length_unit=LengthUnit.FOOT)

    assert condition_text(WaterLevel(above_m=3.048), {}, feet) == (
        "the tide above 10.0 ft"
    )


def test_all_conditions_stand_in_one_sentence() -> None:
    text = wanted_text((WaterLevel(below_m=1.0), WayOpen()), {}, Settings())

    assert text.startswith("the tide below 1.0 m; every tidal leg")
    assert wanted_text((), {}, Settings()) == NOTHING_WANTED


@given(CONDITIONS)
def test_whatever_is_wanted_can_be_said(conditions: tuple[Condition, ...]) -> None:
    for condition in conditions:
        assert condition_text(condition, {}, Settings())


def test_every_event_has_its_words() -> None:
    assert set(EVENTS) == set(EventName)
