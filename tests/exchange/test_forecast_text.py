"""Forecasts as people type and paste them: read whole, or refused with the line."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.exchange.forecast_text import forecast_text, read_forecast
from fieldtrip.settings import SpeedUnit
from fieldtrip.weather.records import ForecastHour

DAY = date(2026, 8, 15)
M_S = SpeedUnit.METRE_PER_SECOND


def at(hour: int, day: int = 15) -> datetime:
    """An instant of August 2026, UTC."""
    return datetime(2026, 8, day, hour, tzinfo=UTC)


def read(
    text: str, unit: SpeedUnit = M_S, zone: str = "UTC"
) -> tuple[ForecastHour, ...]:
    """The hours of a text of the fifteenth."""
    return read_forecast(text, DAY, zone, unit)


TWO_HOURS = (
    ForecastHour(
        instant=at(14),
        wind_m_s=8.0,
        gust_m_s=12.0,
        wind_from_deg=225.0,
        cloud_percent=60.0,
    ),
    ForecastHour(instant=at(15), wind_m_s=9.0, wind_from_deg=240.0, cloud_percent=80.0),
)


@pytest.mark.parametrize(
    "text",
    [
        "time wind gust from cloud\n14:00 8 12 SW 60\n15:00 9 - 240 80",
        "Time\tWind (m/s)\tGust (m/s)\tFrom\tCloud cover\n"
        "14:00\t8\t12\tsw\t60 %\n15:00\t9\t\t240°\t80%",
        "hour;wind;gusts;direction;cloud %\n14;8,0;12,0;SW;60\n15;9,0;–;240;80",
        "Date,Time,Wind speed m/s,Gust,Dir,Cloud\n2026-08-15,1400,8,12,SW,60\n"
        "2026-08-15,1500,9,n/a,240,80",
        "time  wind m/s  gust m/s  wind from  cloud oktas\n\n"
        "2026-08-15 14:00  8  12  SW  4.8\n2026-08-15 15:00  9  ?  240  6.4",
        "time wind gust from cloud\n2:00 pm 8 12 SW 60\n3pm 9 - 240 80",
        "wind gust time from cloud\r\n8m/s 12m/s 14h SW 60\r\n9 - 15h 240 80\r\n",
        "time wind gust from cloud\n2026-08-15T14:00Z 8 12 SW 60\n15:00 9 - 240 80",
    ],
)
def test_the_same_two_hours_in_many_hands(text: str) -> None:
    assert read(text) == TWO_HOURS


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        # Definitions: the international nautical mile 1852 m, the mile 1609.344 m.
        (SpeedUnit.METRE_PER_SECOND, 1.0),
        (SpeedUnit.KNOT, 0.514444),
        (SpeedUnit.MILE_PER_HOUR, 0.44704),
        (SpeedUnit.KILOMETRE_PER_HOUR, 0.277778),
    ],
)
def test_units_of_wind(unit: SpeedUnit, factor: float) -> None:
    (hour,) = read(f"time gust {unit}\n14:00 20", unit)

    assert hour.gust_m_s == pytest.approx(20.0 * factor, abs=1e-5)
    assert hour.wind_m_s is None


def test_other_units() -> None:
    (hour,) = read(
        "time;temperature °F;pressure mbar;rain in;thunder %\n14:00;50;1013.2;0.1;12"
    )

    # 50 °F is 10 °C; an inch is 25.4 mm; a millibar is a hectopascal.
    assert hour.temperature_c == pytest.approx(10.0)
    assert hour.pressure_hpa == 1013.2
    assert hour.rain_mm == pytest.approx(2.54)
    assert hour.thunder_percent == 12.0


SEA = ForecastHour(
    instant=at(14),
    is_thunder=True,
    visibility_m=8000.0,
    wave_height_m=1.5,
    wave_period_s=12.0,
    wave_from_deg=270.0,
)


@pytest.mark.parametrize(
    "text",
    [
        "time thundery visibility km waves period wave direction\n14:00 yes 8 1.5 12 W",
        "time storm vis m wave height m wave period s swell direction\n"
        "14:00 y 8000 1.5 12 270",
        "Time\tStorms\tVisibility (km)\tSwell (m)\tSwell period (s)\tSwell direction\n"
        "14:00\tYes\t>8 km\t1.5\t12 s\tw",
        "time;thundery;visibility;significant wave height;tp;wave dir °\n"
        "14;x;8 km;1,5 m;12;270",
        "time swell m swell period s swell from visibility km thundery\n"
        "14:00 1.5 12 W 8 1",
    ],
)
def test_sea_visibility_and_thunder_in_many_hands(text: str) -> None:
    assert read(text) == (SEA,)


def test_units_of_visibility_and_waves() -> None:
    # Definitions: the mile 1609.344 m, the nautical mile 1852 m, the foot 0.3048 m.
    for unit, factor in (("mi", 1609.344), ("nm", 1852.0), ("m", 1.0)):
        (hour,) = read(f"time visibility {unit}\n14:00 5")
        assert hour.visibility_m == pytest.approx(5.0 * factor)
    (feet,) = read("time wave height ft\n14:00 10")
    assert feet.wave_height_m == pytest.approx(3.048)


def test_no_thunder_is_said_and_not_left_out() -> None:
    no, unsaid = read("time thundery wind\n14:00 no 3\n15:00 – 3")

    assert no.is_thunder is False
    assert unsaid.is_thunder is None


def test_what_is_not_typed_is_not_known() -> None:
    (hour,) = read("time cloud\n14:00 40")

    known = [f.name for f in fields(hour) if getattr(hour, f.name) is not None]
    assert set(known) - {"id"} == {"instant", "cloud_percent"}


def test_after_midnight_the_next_day_begins() -> None:
    hours = read("time wind\n22:00 3\n23:00 3\n00:00 4\n01:00 4")

    assert [hour.instant for hour in hours] == [at(22), at(23), at(0, 16), at(1, 16)]


def test_times_are_the_places() -> None:
    (hour,) = read("time wind\n14:00 3", zone="America/Los_Angeles")

    assert hour.instant == at(21)


def test_the_repeated_hour_is_two_hours() -> None:
    # The clock of Dublin went back from 2:00 to 1:00 on 25 October 2026.
    text = "time wind\n00:00 1\n01:00 2\n01:00 3\n02:00 4"

    hours = read_forecast(text, date(2026, 10, 25), "Europe/Dublin", M_S)

    assert {b.instant - a.instant for a, b in pairwise(hours)} == {timedelta(hours=1)}
    assert len(hours) == 4


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing to read"),
        ("<html><table></table></html>", "web page"),
        ('{"hourly": []}', "JSON"),
        ("time wind", "no hours"),
        ("wind gust\n3 4", "“time”"),
        ("time\n14:00", "what is forecast"),
        ("14:00 8 12 SW", "not known"),
        ("time wind mood\n14:00 3 good", "“mood”"),
        ("time wind wind\n14:00 3 4", "twice"),
        ("time wind kn\n14:00 3", "kn, but m/s was chosen"),
        ("time rain %\n14:00 3", "rain cannot be in %"),
        ("time wind gust\n14:00 3", "Line 2: 2 values"),
        ("time wind\n14:00 3 4 5", "Line 2"),
        ("time wind\n14:00 3\nbreezy later", "Line 3"),
        ("time wind\n14:00 breezy", "Line 2: “breezy” is no wind"),
        ("time wind\n14:00 nan", "Line 2"),
        ("time wind\n14:00 inf", "Line 2"),
        ("time wind\n14:00 -3", "Line 2: The wind"),
        ("time wind\n14:00 300", "Line 2: The wind"),
        ("time wind gust\n14:00 9 4", "weaker than the mean"),
        ("time cloud\n14:00 140", "The cloud"),
        ("time wind\n25:00 3", "Line 2"),
        ("time wind\n140 3", "Line 2"),
        ("time wind\n13:00 pm 3", "does not exist"),
        ("time wind\n2026-02-30 14:00 3", "does not exist"),
        ("time wind\n2026-08-15 14:00 3\n2026-08-15 13:00 3", "Line 3"),
        ("date time wind\n15/08/2026 14:00 3", "no date"),
        ("time wind\n14:00 7kn", "Line 2: wind is in kn"),
        ("time from\n14:00 SWW", "Line 2"),
        ("time,wind\n14:00,3,5", "Line 2: 3 values"),
        ("time visibility\n14:00 8", "Line 2: visibility must say its unit"),
        ("time visibility %\n14:00 8", "visibility cannot be in %"),
        ("time thundery\n14:00 maybe", "Line 2: thundery is yes or no"),
        ("time waves\n14:00 -1", "The wave height"),
        ("time period\n14:00 90", "The wave period"),
        ("time waves swell\n14:00 1 2", "twice"),
    ],
)
def test_what_is_no_forecast_is_one_sentence(text: str, says: str) -> None:
    with pytest.raises(UserError) as caught:
        read(text)

    assert says in str(caught.value)
    assert str(caught.value).endswith(".")


def test_a_time_that_the_clock_skips_is_refused_with_its_line() -> None:
    # The clock of Dublin went from 1:00 to 2:00 on 29 March 2026.
    with pytest.raises(UserError, match="Line 2: 01:30 does not exist"):
        read_forecast("time wind\n01:30 3", date(2026, 3, 29), "Europe/Dublin", M_S)


def test_an_unknown_zone_is_a_sentence() -> None:
    with pytest.raises(UserError, match="no time zone"):
        read("time wind\n14:00 3", zone="Mars/Olympus")


def test_hours_shown_again() -> None:
    text = forecast_text(TWO_HOURS, DAY, "UTC", M_S)

    heading = text.splitlines()[0].split()
    assert " ".join(heading) == "time wind m/s gust m/s from cloud %"
    assert text.splitlines()[2].split() == ["15:00", "9", "–", "240", "80"]
    assert read(text) == TWO_HOURS


VALUES = {
    "wind_m_s": st.integers(0, 20).map(float),
    "gust_m_s": st.integers(20, 40).map(float),
    "wind_from_deg": st.integers(0, 360).map(float),
    "cloud_percent": st.integers(0, 100).map(float),
    "rain_mm": st.integers(0, 90).map(lambda tenths: tenths / 10),
    "temperature_c": st.integers(-20, 35).map(float),
    "pressure_hpa": st.integers(950, 1050).map(float),
    "thunder_percent": st.integers(0, 100).map(float),
    "is_thunder": st.booleans(),
    "visibility_m": st.integers(0, 50_000).map(float),
    "wave_height_m": st.integers(0, 90).map(lambda tenths: tenths / 10),
    "wave_period_s": st.integers(1, 25).map(float),
    "wave_from_deg": st.integers(0, 360).map(float),
}


@given(
    rows=st.lists(
        st.tuples(
            st.integers(1, 30),
            st.fixed_dictionaries(
                {name: st.none() | values for name, values in VALUES.items()}
            ),
        ),
        min_size=1,
        max_size=12,
    ),
    zone=st.sampled_from(["UTC", "Europe/Dublin", "Asia/Kathmandu"]),
    start=st.integers(0, 60),
)
def test_whatever_is_kept_can_be_shown_and_read_again(
    rows: list[tuple[int, dict[str, Any]]], zone: str, start: int
) -> None:
    # Across the repeated hour of Dublin.
    instant = datetime(2026, 10, 23, 12, tzinfo=UTC) + timedelta(hours=start)
    hours = []
    for gap, values in rows:
        instant += timedelta(hours=gap)
        hours.append(ForecastHour(instant=instant, **values))
    day = date(2026, 10, 24)

    text = forecast_text(hours, day, zone, M_S)

    assert read_forecast(text, day, zone, M_S) == tuple(hours)
