"""Conditions of clock, calendar, permission and forecast, beside a plain loop."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from fieldtrip.places.records import Closure, ClosureKind, Permit
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.times import Span
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for, spans_for, wanted_spans
from fieldtrip.trips.dossier import Dossier
from fieldtrip.weather.records import Forecast, ForecastHour
from tests.trips.condition_story import (
    LOCATION,
    SPAN,
    ZONE,
    assert_as_in_a_plain_loop,
    situation,
)

TZ = ZoneInfo(ZONE)


@pytest.mark.parametrize(
    ("opens", "shuts"),
    [
        (time(6, 30), time(9)),
        (time(22), time(4, 15)),
        (time(1, 30), time(5)),  # begins in the hour that the clock shows twice
        (time(0, 15), time(1, 30)),  # and ends in it
        (time(0), time(0)),
    ],
)
def test_the_clock_also_over_midnight_and_where_it_goes_back(
    opens: time, shuts: time
) -> None:
    condition = wanted.ClockTime(hours=OpenHours(opens, shuts))

    def is_wanted(instant: datetime) -> bool:
        clock = instant.astimezone(TZ).time()
        if opens < shuts:
            return opens <= clock <= shuts
        return clock >= opens or clock <= shuts

    answer = answer_for(condition, situation())

    if opens == shuts:
        assert answer.holds == (SPAN,)
    elif opens == time(1, 30) or shuts == time(1, 30):
        # The hour from 01:00 to 02:00 comes twice: all of it within the span counts.
        night = datetime(2027, 10, 31, 0, 45, tzinfo=ZoneInfo("UTC"))
        assert any(span.contains(night) for span in answer.holds)
    else:
        assert_as_in_a_plain_loop(answer, is_wanted)


def test_days_of_the_week_are_those_of_the_place() -> None:
    condition = wanted.OnWeekdays(days=(5, 6))

    answer = answer_for(condition, situation())

    assert_as_in_a_plain_loop(
        answer, lambda instant: instant.astimezone(TZ).weekday() in (5, 6)
    )
    assert len(answer.holds) == 1
    assert answer.holds[0].length == timedelta(hours=49)  # the clock goes back


def test_a_season_may_span_new_year() -> None:
    season = Season(MonthDay(10, 30), MonthDay(2, 1))
    year = Span(SPAN.start, SPAN.start + timedelta(days=300))

    answer = answer_for(wanted.InSeason(season=season), situation(year))

    assert_as_in_a_plain_loop(
        answer,
        lambda instant: season.contains(instant.astimezone(TZ).date()),
        year,
        timedelta(hours=11),
    )


def closure(**known: object) -> Closure:
    """A closure of the place."""
    return Closure(
        location_id=LOCATION.id,
        name="Tern colony",
        kind=ClosureKind.OTHER,
        **known,  # type: ignore[arg-type]
    )


def allowed_with(*records: Closure | Permit) -> Dossier:
    """The place with closures and permits."""
    return Dossier(
        location=LOCATION,
        closures=tuple(each for each in records if isinstance(each, Closure)),
        permits=tuple(each for each in records if isinstance(each, Permit)),
    )


def test_days_shut_and_hours_open_and_a_permit_that_ends() -> None:
    days = closure(first_day=date(2027, 10, 29), last_day=date(2027, 10, 29))
    gate = closure(hours=OpenHours(time(7), time(19)))
    permit = Permit(
        location_id=LOCATION.id, name="Warden's leave", expires=date(2027, 11, 1)
    )
    here = situation(dossier=allowed_with(days, gate, permit))

    def is_wanted(instant: datetime) -> bool:
        local = instant.astimezone(TZ)
        return (
            local.date() != date(2027, 10, 29)
            and time(7) <= local.time() <= time(19)
            and local.date() <= date(2027, 11, 1)
        )

    assert_as_in_a_plain_loop(answer_for(wanted.Allowed(), here), is_wanted)


def test_a_closure_without_days_is_not_known_but_never_open() -> None:
    nobody_said = closure()
    days = closure(first_day=date(2027, 10, 29), last_day=date(2027, 10, 30))

    answer = answer_for(
        wanted.Allowed(), situation(dossier=allowed_with(nobody_said, days))
    )

    assert_as_in_a_plain_loop(
        answer,
        lambda instant: False if instant.astimezone(TZ).day in (29, 30) else None,
    )
    assert "“Tern colony” is in force is not known" in answer.why


def test_a_permit_without_its_last_day_is_not_known() -> None:
    permit = Permit(location_id=LOCATION.id, name="Warden's leave")

    found = spans_for(wanted.Allowed(), situation(dossier=allowed_with(permit)))

    assert found is None


def test_where_nothing_is_shut_everything_is_allowed() -> None:
    assert spans_for(wanted.Allowed(), situation()) == (SPAN,)


def forecast_of(*hours: ForecastHour) -> Dossier:
    """The place with a forecast, and an older one that nobody should read."""
    newest = Forecast(
        location_id=LOCATION.id, issued=SPAN.start, source="invented", hours=hours
    )
    older = replace(
        newest,
        issued=SPAN.start - timedelta(days=1),
        hours=(ForecastHour(instant=SPAN.start, wind_m_s=40.0),),
        id=uuid4(),
    )
    return Dossier(location=LOCATION, forecasts=(newest, older))


def test_the_forecast_within_limits_and_not_known_beyond_it() -> None:
    winds = [4.0, 9.0, None, 5.0, 8.0, 8.1]
    hours = [
        ForecastHour(
            instant=SPAN.start + timedelta(hours=k), wind_m_s=wind, cloud_percent=40.0
        )
        for k, wind in enumerate(winds)
    ]
    here = situation(dossier=forecast_of(*hours))
    condition = wanted.Weather(wind_below_m_s=8.0, cloud_most_percent=50.0)

    def is_wanted(instant: datetime) -> bool | None:
        number = int((instant - SPAN.start) / timedelta(hours=1))
        wind = winds[number] if number < len(winds) else None
        return None if wind is None else wind <= 8.0

    answer = answer_for(condition, here)

    assert_as_in_a_plain_loop(answer, is_wanted)
    assert "does not reach so far" in answer.why


def test_an_hour_beyond_one_limit_is_refused_whatever_else_it_leaves_unsaid() -> None:
    hours = [ForecastHour(instant=SPAN.start, cloud_percent=90.0)]
    condition = wanted.Weather(wind_below_m_s=8.0, cloud_most_percent=50.0)

    answer = answer_for(condition, situation(dossier=forecast_of(*hours)))

    assert answer.unknown[0].start == SPAN.start + timedelta(hours=1)
    assert answer.holds == ()


def test_without_a_forecast_the_weather_is_not_known() -> None:
    assert spans_for(wanted.Weather(wind_below_m_s=8.0), situation()) is None


def test_a_trip_that_can_be_scheduled_on_some_days_and_is_not_known_on_others() -> None:
    trip_id = uuid4()
    answers = {date(2027, 10, 29): True, date(2027, 10, 30): None}
    asked: list[date] = []

    def test(which: object, day: date) -> bool | None:
        assert which == trip_id
        asked.append(day)
        return answers.get(day, False)

    condition = wanted.TripPossible(trip_id=trip_id)

    answer = answer_for(condition, replace(situation(), trip_possible=test))

    assert_as_in_a_plain_loop(
        answer, lambda instant: answers.get(instant.astimezone(TZ).date(), False)
    )
    assert len(asked) == len(set(asked))
    assert spans_for(condition, situation()) is None


def test_several_at_once_with_what_is_not_known_said_and_not_dropped() -> None:
    weekend = wanted.OnWeekdays(days=(5, 6))
    evening = wanted.ClockTime(hours=OpenHours(time(16), time(18)))
    calm = wanted.Weather(wind_below_m_s=8.0)

    found = wanted_spans((weekend, evening, calm), situation())

    assert [span.length for span in found.spans] == [timedelta(hours=2)] * 2
    assert found.certain == ()
    assert [each.condition for each in found.unknown] == [calm]
    assert found.unknown_in(found.spans[0]) == found.unknown
    assert wanted_spans((), situation()).certain == (SPAN,)
