"""What can never come together is said in one sentence before anything is searched."""

from __future__ import annotations

import pytest

from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, Season
from fieldtrip.sky.events import EventName
from fieldtrip.trips import wanted
from fieldtrip.trips.contradictions import contradiction
from fieldtrip.trips.wanted import Condition

LOW_SUN = wanted.SunBand(low_deg=-4.0, high_deg=6.0)
WINTER = wanted.InSeason(season=Season(MonthDay(11, 1), MonthDay(2, 29)))


@pytest.mark.parametrize(
    ("conditions", "words"),
    [
        ((LOW_SUN, wanted.SunBand(low_deg=6.0, high_deg=20.0)), "from −4° to 6° and"),
        (
            (
                wanted.SunBand(low_deg=-4, high_deg=6, half=wanted.DayHalf.MORNING),
                wanted.SunBand(low_deg=0, high_deg=9, half=wanted.DayHalf.EVENING),
            ),
            "in the morning and in the evening",
        ),
        ((wanted.GalacticCentreUp(), LOW_SUN), "wanted in the dark"),
        (
            (
                wanted.LightFrom(side=wanted.LightSide.SIDE),
                wanted.LightFrom(side=wanted.LightSide.BACK),
            ),
            "both side light and back light",
        ),
        (
            (wanted.SubjectLight(is_lit=True), wanted.SubjectLight(is_lit=False)),
            "lit and in shade",
        ),
        (
            (
                wanted.MoonIs(wish=wanted.MoonWish.LOW_IN_TWILIGHT),
                wanted.MoonIs(wish=wanted.MoonWish.DOWN),
            ),
            "above the horizon and below it",
        ),
        (
            (wanted.MoonLit(most_percent=20.0), wanted.MoonLit(least_percent=30.0)),
            "phases of the Moon",
        ),
        (
            (wanted.MoonLit(is_waxing=True), wanted.MoonLit(is_waxing=False)),
            "phases of the Moon",
        ),
        (
            (wanted.WaterLevel(above_m=3.0), wanted.WaterLevel(below_m=3.0)),
            "both of the levels",
        ),
        (
            (
                wanted.WaterLevel(turn=WantedTurn.FALLING),
                wanted.WaterLevel(turn=WantedTurn.RISING),
            ),
            "rising and falling",
        ),
        (
            (wanted.TideRange(least_m=3.0), wanted.TideRange(most_m=2.0)),
            "ranges of the tide",
        ),
        (
            (wanted.OnWeekdays(days=(5, 6)), wanted.OnWeekdays(days=(0, 1))),
            "No day of the week",
        ),
        (
            (
                WINTER,
                wanted.InSeason(season=Season(MonthDay(3, 1), MonthDay(10, 31))),
            ),
            "share no day",
        ),
        ((wanted.AroundEvent(event=EventName.CIVIL_DUSK),), "after civil dusk"),
        (
            (wanted.AroundTurn(is_high=True, before_min=0.0, after_min=0.0),),
            "after high water",
        ),
    ],
)
def test_what_excludes_each_other_is_named(
    conditions: tuple[Condition, ...], words: str
) -> None:
    for order in (conditions, conditions[::-1], (wanted.Allowed(), *conditions)):
        found = contradiction(order)

        assert found is not None
        assert words in found or len(conditions) == 2
        assert found.count(".") == 1


@pytest.mark.parametrize(
    "conditions",
    [
        (),
        (LOW_SUN, wanted.SunBand(low_deg=0.0, high_deg=20.0)),
        (wanted.WaterLevel(above_m=1.0), wanted.WaterLevel(below_m=3.0)),
        (wanted.MoonLit(most_percent=40.0), wanted.MoonLit(least_percent=30.0)),
        (WINTER, wanted.InSeason(season=Season(MonthDay(2, 28), MonthDay(3, 31)))),
        (wanted.OnWeekdays(days=(5, 6)), wanted.OnWeekdays(days=(0, 6))),
        (wanted.GalacticCentreUp(), wanted.SunBand(low_deg=-30.0, high_deg=-12.0)),
        (wanted.LightFrom(side=wanted.LightSide.SIDE),) * 2,
    ],
)
def test_what_can_meet_is_left_to_the_search(conditions: tuple[Condition, ...]) -> None:
    assert contradiction(conditions) is None
