"""Wind chill and heat index, against the weather service's own charts."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.weather.felt import CHILL_FROM_M_S, heat_index_c, wind_chill_c

MPH = 0.44704  # m/s, exact by the definition of the mile


def fahrenheit(celsius: float) -> float:
    return celsius * 1.8 + 32.0


def celsius(value_f: float) -> float:
    return (value_f - 32.0) / 1.8


@pytest.mark.parametrize(
    ("air_f", "wind_mph", "chart_f"),
    [
        # Source: US National Weather Service, Windchill Chart (2001).
        (0.0, 15.0, -19.0),
        (40.0, 5.0, 36.0),
        (30.0, 10.0, 21.0),
        (-45.0, 60.0, -98.0),
    ],
)
def test_the_wind_chill_chart(air_f: float, wind_mph: float, chart_f: float) -> None:
    found = fahrenheit(wind_chill_c(celsius(air_f), wind_mph * MPH))

    assert found == pytest.approx(chart_f, abs=0.5)


def test_wind_chill_is_the_temperature_outside_its_domain() -> None:
    # Source: Environment Canada: for 10 °C and below, and 4.8 km/h and above.
    assert wind_chill_c(10.1, 20.0) == 10.1
    assert wind_chill_c(-5.0, 4.7 / 3.6) == -5.0
    assert wind_chill_c(10.0, 20.0) < 10.0
    assert wind_chill_c(-5.0, 4.8 / 3.6) < -5.0


@given(st.floats(-50.0, 10.0), st.floats(CHILL_FROM_M_S, 30.0), st.floats(0.1, 20.0))
def test_more_wind_never_feels_warmer(air_c: float, wind: float, more: float) -> None:
    assert wind_chill_c(air_c, wind + more) <= wind_chill_c(air_c, wind) + 1e-9


@pytest.mark.parametrize(
    ("air_f", "humidity", "chart_f"),
    [
        # Source: US National Weather Service, Heat Index chart.
        (80.0, 40.0, 80.0),
        (90.0, 40.0, 91.0),
        (90.0, 65.0, 103.0),
        (90.0, 70.0, 106.0),
        (90.0, 100.0, 132.0),
        (100.0, 50.0, 118.0),
        (104.0, 40.0, 119.0),
    ],
)
def test_the_heat_index_chart(air_f: float, humidity: float, chart_f: float) -> None:
    found = fahrenheit(heat_index_c(celsius(air_f), humidity))

    assert found == pytest.approx(chart_f, abs=0.6)


def test_why_heat_is_unknown_from_30_and_stops_at_40_degrees() -> None:
    # Source: US National Weather Service: danger from a heat index of 103 °F.
    danger_c = celsius(103.0)

    assert heat_index_c(30.0, 95.0) > danger_c
    assert heat_index_c(29.0, 70.0) < danger_c
    assert heat_index_c(40.0, 25.0) > danger_c


@pytest.mark.parametrize(
    ("air_c", "other"), [(math.nan, 5.0), (math.inf, 5.0), (5.0, -1.0), (5.0, math.nan)]
)
def test_what_no_weather_has_is_refused(air_c: float, other: float) -> None:
    with pytest.raises(ValueError, match="no weather"):
        wind_chill_c(air_c, other)
    with pytest.raises(ValueError, match="no weather"):
        heat_index_c(air_c, other)
