"""Declination against the values that the model's authors publish to test with."""

from __future__ import annotations

from datetime import date
from math import degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import Position
from fieldtrip.geomagnetic import (
    Declination,
    declination,
    field,
    magnetic_bearing_deg,
    true_bearing_deg,
)

# Source: The US/UK World Magnetic Model for 2025-2030, technical report (NOAA NCEI
# and BGS, 2024), table 6, which is WMM2025_TEST_VALUES.txt of the model's archive:
# year, height in km, latitude, longitude, declination to 0.01 degrees.  Taken from
# public copies in the tests of other libraries, not from the report itself.
TABLE_6 = (
    (2025.0, 0.0, 80.0, 0.0, 1.28),
    (2025.0, 0.0, 0.0, 120.0, -0.16),
    (2025.0, 0.0, -80.0, 240.0, 68.78),
    (2025.0, 100.0, 80.0, 0.0, 0.85),
    (2025.0, 100.0, 0.0, 120.0, -0.15),
    (2025.0, 100.0, -80.0, 240.0, 68.21),
    (2027.5, 0.0, 80.0, 0.0, 2.59),
    (2027.5, 0.0, 0.0, 120.0, -0.24),
    (2027.5, 0.0, -80.0, 240.0, 68.49),
    (2027.5, 100.0, 80.0, 0.0, 2.16),
    (2027.5, 100.0, 0.0, 120.0, -0.23),
    (2027.5, 100.0, -80.0, 240.0, 67.93),
    # Of the hundred in WMM2025_TestValues.txt of the same archive.
    (2025.0, 28.0, 89.0, -121.0, -99.77),
    (2025.0, 48.0, 80.0, -96.0, -29.91),
    (2025.0, 18.0, 0.0, 21.0, 1.29),
    (2025.5, 6.0, -36.0, -137.0, 20.28),
)


@pytest.mark.parametrize(("year", "height_km", "lat", "lon", "published"), TABLE_6)
def test_the_published_values_are_met(
    year: float, height_km: float, lat: float, lon: float, published: float
) -> None:
    found = field(Position(lat, (lon + 180.0) % 360.0 - 180.0), year, height_km)

    assert found.east_deg == pytest.approx(published, abs=0.0051)


def test_the_worked_example_is_met_to_its_last_figure() -> None:
    # Source: the same report, table 3b: 2027.5, 100 km, 80 S, 240 E.
    found = field(Position(-80.0, -120.0), 2027.5, 100.0)

    assert found.east_deg == pytest.approx(degrees(1.1856308407), abs=1e-8)
    assert found.horizontal_nt == pytest.approx(15_927.0079860130, abs=1e-5)


def test_the_error_is_the_models_own() -> None:
    # Source: the same report: the error of D is sqrt(0.26^2 + (5417 / H)^2) degrees.
    found = field(Position(0.0, 120.0), 2025.0, 0.0)

    assert found.error_deg == pytest.approx(
        (0.26**2 + (5417.0 / found.horizontal_nt) ** 2) ** 0.5, abs=1e-9
    )


@pytest.mark.parametrize("day", [date(2024, 12, 31), date(2030, 1, 1)])
def test_nothing_is_known_outside_the_models_years(day: date) -> None:
    assert declination(Position(50.0, -5.0), day) is None


@pytest.mark.parametrize("day", [date(2025, 1, 1), date(2029, 12, 31)])
def test_its_first_and_last_day_are_known(day: date) -> None:
    assert declination(Position(50.0, -5.0), day) is not None


def test_a_day_is_a_part_of_its_year() -> None:
    # 2 July is the 183rd of 365 days: 182 of them are over at its beginning.
    here = Position(50.0, -5.0)

    assert declination(here, date(2027, 7, 2)) == field(here, 2027 + 182 / 365, 0.0)


def test_near_the_magnetic_pole_a_compass_is_of_no_use() -> None:
    # Source: the same report: the blackout zone lies where H is below 2000 nT; the
    # north magnetic pole of 2025 at 85.76 N 139.30 E.
    pole = declination(Position(85.76, 139.30), date(2025, 1, 1))
    shore = declination(Position(49.6, -8.4), date(2026, 11, 14))

    assert pole is not None
    assert pole.is_blind
    assert shore is not None
    assert not shore.is_weak


def test_east_is_least() -> None:
    # Common practice: variation east, magnetic least.
    here = Declination(east_deg=10.0, error_deg=0.4, horizontal_nt=20_000.0)

    assert magnetic_bearing_deg(5.0, here) == 355.0
    assert true_bearing_deg(355.0, here) == 5.0


@given(bearing=st.floats(0.0, 359.999), east=st.floats(-180.0, 180.0))
def test_there_and_back_is_the_same_bearing(bearing: float, east: float) -> None:
    here = Declination(east, 0.4, 20_000.0)

    back = true_bearing_deg(magnetic_bearing_deg(bearing, here), here)

    assert abs((back - bearing + 180.0) % 360.0 - 180.0) < 1e-9
