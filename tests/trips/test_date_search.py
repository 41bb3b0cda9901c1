"""Dates on which everything comes together, and what is said where none does."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid4

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.errors import Cancelled, UserError
from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.times import Span
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for, wanted_spans
from fieldtrip.trips.date_search import (
    DatesFound,
    DateWindow,
    search_dates,
    search_span,
    situation_of_search,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import DateSearch
from fieldtrip.trips.situation import Situation, situation_of
from fieldtrip.trips.spans import intersection_of
from fieldtrip.trips.wanted import Condition
from tests.trips.condition_story import (
    LOCATION,
    TOWER,
    VANTAGE,
    ZONE,
    tidal_dossier,
)

HALF_A_YEAR = search_span(date(2027, 1, 1), date(2027, 6, 30), ZONE)
EVENING = wanted.SunBand(low_deg=-4.0, high_deg=6.0, half=wanted.DayHalf.EVENING)
LOW_RISING = wanted.WaterLevel(below_m=1.8, turn=WantedTurn.RISING)
WEEKEND = wanted.OnWeekdays(days=(5, 6))
BAR_OPEN = wanted.WayOpen(stay_min=20.0)
MOON_UP = wanted.MoonIs(wish=wanted.MoonWish.UP)
CALM = wanted.Weather(wind_below_m_s=8.0)


def here(span: Span = HALF_A_YEAR, dossier: Dossier | None = None) -> Situation:
    """The invented place, with its tide unless another dossier is given."""
    return situation_of(
        dossier or tidal_dossier(), span, vantage_point=VANTAGE, subject=TOWER
    )


def test_every_window_is_one_in_which_all_conditions_hold_and_none_is_left_out() -> (
    None
):
    conditions = (EVENING, LOW_RISING, BAR_OPEN, WEEKEND, MOON_UP)
    least = timedelta(minutes=10)

    found = search_dates(conditions, here(), least=least)

    holds = (answer_for(each, here()).holds for each in conditions)
    together = intersection_of(holds, HALF_A_YEAR)
    in_order = sorted(window.span.start for window in found.windows)
    assert in_order == [span.start for span in together if span.length >= least]
    assert len(in_order) > 3
    assert found.unknown == ()
    assert found.near_misses == ()


def test_a_window_says_how_each_condition_is_met_and_which_is_tightest() -> None:
    (found, *_) = search_dates((EVENING, LOW_RISING, WEEKEND), here()).windows

    sun = sky_position(Body.SUN, here().site, found.best)
    by_sort = {type(fit.condition): fit for fit in found.fits}
    light, water = by_sort[wanted.SunBand], by_sort[wanted.WaterLevel]
    days = by_sort[wanted.OnWeekdays]
    assert found.span.contains(found.best)
    assert light.value == pytest.approx(sun.altitude_deg, abs=1e-4)
    assert light.margin == pytest.approx(
        min(sun.altitude_deg + 4.0, 6.0 - sun.altitude_deg), abs=1e-4
    )
    assert light.share == pytest.approx(light.margin / 5.0)
    assert water.value is not None
    assert water.margin == pytest.approx(1.8 - water.value)
    assert (light.unit, water.unit, days.unit) == ("°", "m", "min")
    assert found.tightest == min(light, water, key=lambda fit: fit.share)
    assert days.is_by_days


def test_windows_are_ranked_by_length_margin_and_closeness() -> None:
    windows = search_dates((EVENING, LOW_RISING), here()).windows

    scores = [window.score for window in windows]
    assert scores == sorted(scores, reverse=True)
    assert all(0.0 <= score <= 1.0 for score in scores)
    # Of two that are met as well, the longer one comes first.
    first, last = windows[0], windows[-1]
    assert first.span.length > last.span.length
    assert first.tightest is not None
    assert last.tightest is not None
    assert first.tightest.share > last.tightest.share


def test_what_is_not_known_is_said_with_each_window_and_never_dropped() -> None:
    dry = here(dossier=Dossier(location=LOCATION))

    found = search_dates((EVENING, LOW_RISING, CALM), dry)

    light = wanted_spans((EVENING,), dry).spans
    assert sorted(w.span.start for w in found.windows) == [s.start for s in light]
    assert [each.condition for each in found.unknown] == [LOW_RISING, CALM]
    assert found.unknown[0].why == "No tide is known here."
    for window in found.windows:
        assert [each.condition for each in window.unknown] == [LOW_RISING, CALM]
        assert [fit.condition for fit in window.fits] == [EVENING]


def test_where_nothing_at_all_is_known_there_is_no_window_but_a_reason() -> None:
    found = search_dates((LOW_RISING, CALM), here(dossier=Dossier(location=LOCATION)))

    assert found.windows == ()
    assert found.near_misses == ()
    assert [each.condition for each in found.unknown] == [LOW_RISING, CALM]


def test_near_misses_name_the_condition_that_fails_and_by_how_much() -> None:
    too_low = wanted.WaterLevel(below_m=0.0)
    conditions = (EVENING, too_low, WEEKEND)
    lowest = search_dates((EVENING, WEEKEND), here()).windows

    found = search_dates(conditions, here())

    assert found.windows == ()
    nearest = found.near_misses[0]
    assert nearest.condition == too_low
    assert nearest.unit == "m"
    assert any(w.span.contains(nearest.at) for w in lowest)
    heights = here().tide_sources[0].curve.heights_m
    at = nearest.at.astimezone(UTC).replace(tzinfo=None)
    height = float(heights(np.array([at], dtype="datetime64[ms]"))[0])
    assert nearest.by == pytest.approx(height, abs=1e-4)
    by = [miss.by for miss in found.near_misses if miss.condition == too_low]
    assert by == sorted(by)


def test_a_window_too_short_is_a_near_miss_by_its_minutes() -> None:
    (longest, *_) = sorted(
        search_dates((EVENING, LOW_RISING), here()).windows,
        key=lambda window: window.span.length,
        reverse=True,
    )
    least = longest.span.length + timedelta(minutes=10)

    found = search_dates((EVENING, LOW_RISING), here(), least=least)

    assert found.windows == ()
    short = [miss for miss in found.near_misses if miss.is_too_short]
    assert short
    assert short[0].span == longest.span
    assert short[0].by == pytest.approx(10.0)
    assert short[0].unit == "min"


def test_what_never_comes_within_the_span_is_told_alone() -> None:
    never = wanted.SunBand(low_deg=70.0, high_deg=80.0)

    found = search_dates((never, WEEKEND, MOON_UP), here())

    assert found.windows == ()
    assert found.near_misses
    assert {miss.condition for miss in found.near_misses} == {never}


def test_two_that_never_meet_are_told_as_a_pair_where_a_third_fails_too() -> None:
    summer = wanted.InSeason(season=Season(MonthDay(6, 1), MonthDay(6, 10)))
    night = wanted.ClockTime(hours=OpenHours(time(2), time(2, 5)))
    noon = wanted.ClockTime(hours=OpenHours(time(12), time(13)))
    never = wanted.SunBand(low_deg=70.0, high_deg=80.0)

    found = search_dates((summer, night, noon, never), here())
    pair = search_dates(
        (night, noon, wanted.TideRange(most_m=0.01), wanted.TideRange(most_m=0.02)),
        here(),
    )

    assert (never,) in {clash.conditions for clash in found.clashes}
    assert found.near_misses == ()
    assert pair.clashes


def test_a_trip_is_tried_only_on_days_that_still_may_do() -> None:
    asked: list[date] = []

    def possible(which: UUID, day: date) -> bool | None:
        asked.append(day)
        return day.day % 2 == 0

    trip = wanted.TripPossible(trip_id=uuid4())
    situation = replace(here(), trip_possible=possible)

    found = search_dates((trip, WEEKEND, EVENING, LOW_RISING), situation)

    without = search_dates((WEEKEND, EVENING, LOW_RISING), here())
    days = {w.span.start.date() for w in without.windows}
    assert set(asked) == days
    assert len(asked) == len(days)
    assert {w.span.start.date() for w in found.windows} == {
        day for day in days if day.day % 2 == 0
    }


def test_progress_is_told_and_its_cancelling_ends_the_search() -> None:
    told: list[float] = []

    def stop_half_way(share: float) -> None:
        told.append(share)
        if share > 0.3:
            raise Cancelled

    with pytest.raises(Cancelled):
        search_dates((EVENING, LOW_RISING, MOON_UP), here(), progress=stop_half_way)
    search_dates((EVENING, LOW_RISING, MOON_UP), here(), progress=told.append)

    assert told[-1] == 1.0
    finished = told[next(k for k, share in enumerate(told) if share > 0.3) + 1 :]
    assert finished == sorted(finished)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2027, 1, 1), date(2226, 12, 31), "at most 10 years"),
        (date(2027, 1, 1), date(2037, 1, 2), "at most 10 years"),
        (date(2027, 1, 2), date(2027, 1, 1), "before its first"),
        (date(1890, 1, 1), date(1891, 1, 1), "1900 to 2099"),
    ],
)
def test_a_span_that_cannot_be_searched_is_refused_in_one_sentence(
    first: date, last: date, words: str
) -> None:
    with pytest.raises(UserError, match=words):
        search_span(first, last, ZONE)


def test_ten_years_to_the_day_may_be_searched() -> None:
    span = search_span(date(2027, 1, 1), date(2037, 1, 1), ZONE)

    assert span.start == datetime(2027, 1, 1, tzinfo=UTC)
    assert span.stop == datetime(2037, 1, 2, tzinfo=UTC)


def test_no_condition_and_contradictory_ones_are_refused_in_a_sentence() -> None:
    with pytest.raises(UserError, match="at least one thing"):
        search_dates((), here())
    with pytest.raises(UserError, match=r"never meet\. .* both .* levels"):
        search_dates(
            (wanted.WaterLevel(above_m=3.0), wanted.WaterLevel(below_m=2.0)), here()
        )


def test_a_kept_search_is_asked_of_its_own_place_and_days() -> None:
    kept = DateSearch(
        location_id=LOCATION.id,
        name="Low sun over the tower",
        first_day=date(2027, 3, 27),
        last_day=date(2027, 3, 28),
        conditions=(EVENING,),
        vantage_point_id=VANTAGE.id,
        subject_id=TOWER.id,
    )

    situation = situation_of_search(kept, tidal_dossier())

    assert situation.span.length == timedelta(hours=47)  # the clock goes forward
    assert situation.vantage_point == VANTAGE
    assert situation.subject == TOWER
    assert situation.tide_sources
    for gone in (
        replace(kept, vantage_point_id=uuid4()),
        replace(kept, subject_id=uuid4()),
    ):
        with pytest.raises(UserError, match="not there any more"):
            situation_of_search(gone, tidal_dossier())


def test_a_top_above_the_upper_altitude_is_refused_in_a_sentence() -> None:
    tall = replace(TOWER, height_m=200.0)
    over = wanted.Alignment(body=Body.SUN, over_top=True)

    with pytest.raises(UserError, match=r"The top of “Tower” stands 13\.3° high"):
        search_dates((over,), replace(here(), subject=tall))


SOME = st.lists(
    st.sampled_from((EVENING, LOW_RISING, WEEKEND, MOON_UP, BAR_OPEN)),
    min_size=1,
    max_size=4,
    unique=True,
)
FORTNIGHT = here(search_span(date(2027, 3, 1), date(2027, 3, 14), ZONE))


def spans_of(found: DatesFound) -> set[tuple[datetime, datetime]]:
    """The windows, however ranked."""
    return {(w.span.start, w.span.stop) for w in found.windows}


@given(SOME)
@settings(max_examples=15)
def test_the_order_of_conditions_changes_nothing(
    conditions: list[Condition],
) -> None:
    shuffled = conditions[::-1]

    one = search_dates(conditions, FORTNIGHT, least=timedelta())
    other = search_dates(shuffled + conditions, FORTNIGHT, least=timedelta())

    assert spans_of(one) == spans_of(other)


@given(SOME, st.sampled_from((EVENING, LOW_RISING, WEEKEND, MOON_UP)))
@settings(max_examples=15)
def test_one_more_condition_only_ever_leaves_less(
    conditions: list[Condition], more: Condition
) -> None:
    wide = search_dates(conditions, FORTNIGHT, least=timedelta())
    narrow = search_dates([*conditions, more], FORTNIGHT, least=timedelta())

    def lies_in(window: DateWindow) -> bool:
        return any(
            w.span.start <= window.span.start and window.span.stop <= w.span.stop
            for w in wide.windows
        )

    assert all(lies_in(window) for window in narrow.windows)
