"""The Moon's phase against printed phases."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.sky.moon import longitude_ahead_of_sun_deg, moon_phase, phase_name
from fieldtrip.sky.table import table_for
from tests.sky.published import USNO, site, tt_days, utc_of

ANYWHERE = site(49.6, -8.4)
DEG_PER_S = 360.0 / (29.530589 * 86400.0)  # mean synodic motion


def test_lit_fraction_of_example_48a() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), example 48.a: 1992 April 12,
    # 0h TD, phase angle 69.0756, illuminated fraction 0.6786.
    phase = moon_phase(ANYWHERE, utc_of(tt_days(1992, 4, 12.0)))

    assert phase.illuminated_fraction == pytest.approx(0.6786, abs=0.0001)
    assert phase.is_waxing
    assert phase.name == "waxing gibbous"


@pytest.mark.parametrize(
    ("julian_date", "ahead_deg"),
    [
        # Source: Meeus, Astronomical Algorithms (2nd ed.), examples 49.a (new moon of
        # February 1977) and 49.b (last quarter of January 2044), in TD.
        (2443192.65118, 0.0),
        (2467636.49186, 270.0),
    ],
)
def test_phases_of_examples_49(julian_date: float, ahead_deg: float) -> None:
    tt = np.array([julian_date - 2_451_545.0])
    instant = utc_of(tt)
    ahead = longitude_ahead_of_sun_deg(
        table_for(instant, instant), np.array([instant.timestamp()])
    )

    off_deg = float((ahead[0] - ahead_deg + 180.0) % 360.0 - 180.0)
    # Meeus, chapter 49: the formula is good to 17.4 seconds; from memory.
    assert abs(off_deg) < 17.4 * DEG_PER_S


def test_every_printed_phase_of_many_years() -> None:
    # Source: US Naval Observatory, phases of the Moon, Universal Time to the minute;
    # in the ephem wheel.
    compared = 0
    year = 0
    for line in (USNO / "moon_phases.txt").read_text().splitlines():
        if match := re.match(r" +(\d{4}) Phases of the Moon", line):
            year = int(match[1])
            continue
        for column, ahead_deg in ((4, 0.0), (20, 90.0), (36, 180.0), (52, 270.0)):
            cell = line[column : column + 15].split()
            if year == 0 or len(cell) != 4 or not cell[1].isdigit():
                continue
            month, day, hours, minutes = cell
            midnight = datetime.strptime(f"{year} {month} {day} Z", "%Y %b %d %z")
            instant = midnight + timedelta(hours=int(hours), minutes=int(minutes))
            ahead = longitude_ahead_of_sun_deg(
                table_for(instant, instant), np.array([instant.timestamp()])
            )
            off_deg = float((ahead[0] - ahead_deg + 180.0) % 360.0 - 180.0)
            # Half a minute of rounding, and 6" of the theory.
            assert abs(off_deg) < 45.0 * DEG_PER_S, instant
            phase = moon_phase(ANYWHERE, instant)
            assert phase.name in (
                "new moon",
                "first quarter",
                "full moon",
                "last quarter",
            )
            compared += 1
    assert compared > 40


def test_printed_fractions() -> None:
    # Source: US Naval Observatory, fraction of the Moon illuminated at midnight of
    # UTC-5, 9 to 18 September 2018, as skyfield's tests/test_almanac.py carries it.
    printed = [0, 0, 0.03, 0.08, 0.15, 0.24, 0.33, 0.43, 0.52, 0.62]

    for day, fraction in enumerate(printed, start=9):
        phase = moon_phase(ANYWHERE, datetime(2018, 9, day, 5, tzinfo=UTC))
        assert phase.illuminated_fraction == pytest.approx(fraction, abs=0.0052)


@pytest.mark.parametrize(
    ("ahead_deg", "name"),
    [
        (0.0, "new moon"),
        (359.0, "new moon"),
        (7.0, "waxing crescent"),
        (90.0, "first quarter"),
        (100.0, "waxing gibbous"),
        (185.0, "full moon"),
        (187.0, "waning gibbous"),
        (270.0, "last quarter"),
        (300.0, "waning crescent"),
    ],
)
def test_names_of_phases(ahead_deg: float, name: str) -> None:
    assert phase_name(ahead_deg) == name


@given(
    st.integers(0, 20 * 365 * 24),
    st.floats(-90.0, 90.0),
    st.floats(-180.0, 180.0),
)
def test_fraction_follows_from_elongation(hours: int, lat: float, lon: float) -> None:
    instant = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(hours=hours)
    phase = moon_phase(site(lat, lon), instant)

    # With the Sun 390 times as far, the phase angle is the supplement to 0.15 degrees.
    plain = (1.0 - np.cos(np.radians(phase.elongation_deg))) / 2.0
    assert phase.illuminated_fraction == pytest.approx(plain, abs=0.0015)
    assert 0.0 <= phase.bright_limb_deg < 360.0
    later = moon_phase(site(lat, lon), instant + timedelta(hours=1))
    if 10.0 < phase.elongation_deg < 170.0:
        grows = later.illuminated_fraction > phase.illuminated_fraction
        assert grows == phase.is_waxing


def test_an_evening_crescent_is_lit_from_below_on_the_side_of_the_sun() -> None:
    # In the north a young Moon stands left of the set Sun: lit at the lower right.
    evening = datetime(2026, 3, 20, 19, 30, tzinfo=UTC)
    north, south = (
        moon_phase(site(49.6, -8.4), evening),
        moon_phase(site(-40, -8.4), evening),
    )

    assert north.name == "waxing crescent"
    assert 90.0 < north.bright_limb_deg < 180.0
    assert 180.0 < south.bright_limb_deg < 270.0
