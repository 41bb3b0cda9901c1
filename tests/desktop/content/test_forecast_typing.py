"""Tests for what the forecast's window reads and says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from fieldtrip.desktop.content.forecast_typing import (
    COLUMNS,
    EXAMPLE,
    UNKNOWN,
    ForecastTyped,
    ForecastTypingContent,
    forecast_typing_content,
    typed_from,
)
from fieldtrip.settings import Settings, SpeedUnit
from fieldtrip.weather.records import Forecast, ForecastHour

PLACE_ID = uuid4()
ZONE = "Europe/Dublin"
NOW = datetime(2026, 7, 1, 9, tzinfo=UTC)
HOURS = tuple(
    ForecastHour(
        instant=NOW + timedelta(hours=hour),
        wind_m_s=7.0,
        gust_m_s=11.0,
        wind_from_deg=240.0,
    )
    for hour in range(3)
)
FORECAST = Forecast(
    location_id=PLACE_ID,
    issued=NOW - timedelta(hours=3),
    source="an invented service",
    hours=HOURS,
)
TYPED = typed_from(FORECAST, ZONE, SpeedUnit.METRE_PER_SECOND)


def content_of(
    typed: ForecastTyped, forecast: Forecast | None = None
) -> ForecastTypingContent:
    return forecast_typing_content(typed, PLACE_ID, ZONE, Settings(), NOW, forecast)


def test_a_kept_forecast_is_shown_as_typed_and_read_back_as_itself() -> None:
    content = content_of(TYPED, FORECAST)

    assert content.faults == ()
    assert content.forecast == FORECAST


def test_the_grid_tells_the_places_clock_and_what_is_not_known() -> None:
    content = content_of(TYPED)

    assert content.columns[:3] == ("Hour", "Wind m/s", "Gust m/s")
    assert content.rows[0][:4] == ("Wed 1 Jul 10:00", "7", "11", "SW 240°")
    assert content.rows[0][4:] == (UNKNOWN,) * 5
    assert len(content.columns) == len(content.rows[0]) == COLUMNS
    assert "the first is 09:00 UTC" in content.summary


def test_waves_and_visibility_have_columns_where_they_are_read() -> None:
    text = "time  wind  visibility km  waves  thundery\n10:00  7  8  1.2  no"

    content = content_of(replace(TYPED, text=text))

    assert content.columns[COLUMNS:] == ("Thundery", "Visibility km", "Waves m")
    assert content.rows[0][COLUMNS:] == ("no", "8", "1.2")


def test_the_unit_as_typed_is_the_unit_of_the_grid() -> None:
    text = "time  wind  gust  from\n10:00  7  11  SW"

    content = content_of(replace(TYPED, unit=SpeedUnit.KNOT, text=text))

    assert content.columns[1] == "Wind kn"
    assert content.rows[0][1] == "7"
    assert content.forecast is not None
    # Source: the international knot, 1852 m an hour: 7 kn is 3.60 m/s.
    assert content.forecast.hours[0].wind_m_s == pytest.approx(3.60, abs=0.005)


def test_an_empty_window_says_all_that_is_missing() -> None:
    content = content_of(ForecastTyped(day=None, issued=None))

    assert content.forecast is None
    assert content.rows == ()
    assert len(content.faults) == 5


def test_a_unit_is_never_guessed() -> None:
    content = content_of(replace(TYPED, unit=None))

    assert content.forecast is None
    assert content.faults == ("Choose the unit of the wind.",)


def test_a_unit_that_the_heading_contradicts_is_refused() -> None:
    content = content_of(replace(TYPED, unit=SpeedUnit.KNOT))

    assert "m/s" in TYPED.text.splitlines()[0]
    assert content.forecast is None
    assert content.faults


def test_a_line_that_cannot_be_read_is_named() -> None:
    content = content_of(replace(TYPED, text=f"{TYPED.text}\nbreezy later"))

    assert content.forecast is None
    assert any("breezy" in fault or "line" in fault.lower() for fault in content.faults)


def test_an_issue_in_the_future_or_long_ago_is_remarked() -> None:
    ahead = content_of(replace(TYPED, issued=NOW + timedelta(hours=1)))
    behind = content_of(replace(TYPED, issued=NOW - timedelta(hours=25)))

    assert ahead.notes == ("It is said to be issued in the future.",)
    assert behind.notes == ("It was issued more than a day ago.",)
    assert content_of(TYPED).notes == ()


@pytest.mark.parametrize("unit", list(SpeedUnit))
def test_the_example_can_be_read_in_every_unit(unit: SpeedUnit) -> None:
    typed = replace(TYPED, unit=unit, text=EXAMPLE)

    assert content_of(typed).faults == ()
