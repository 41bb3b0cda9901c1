"""Which heights a curve is found from, and how many of them."""

from __future__ import annotations

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_facts import Facts, SeriesRead
from fieldtrip.exchange.tide_fitting import MOST_FITTED, by_the_hour, fit_of
from tests.exchange.tide_story import coops_series_csv, read, year_format_13
from tests.tides.published import SAN_FRANCISCO, constants


def test_heights_every_six_minutes_are_taken_by_the_hour() -> None:
    start = np.datetime64("2020-01-01", "ms")
    at = start + np.arange(3 * 365 * 240) * np.timedelta64(360_000, "ms")
    series = SeriesRead(at, np.arange(len(at), dtype=np.float64), ())

    thinned = by_the_hour(series)

    assert len(thinned.instants) == MOST_FITTED
    assert set(np.diff(thinned.instants)) == {np.timedelta64(1, "h")}
    assert thinned.instants[-1] > at[-1] - np.timedelta64(1, "h")


def test_heights_by_the_hour_stay() -> None:
    at = np.datetime64("2020-01-01", "ms") + np.arange(500) * np.timedelta64(1, "h")
    series = SeriesRead(at, np.zeros(500), ())

    assert len(by_the_hour(series).instants) == 500


@pytest.mark.slow
def test_even_heights_of_a_year_tell_more_than_its_turns() -> None:
    fit = fit_of([read(year_format_13())], Facts(), port="Pier", datum="chart datum")

    # Source: NOAA CO-OPS, constants of San Francisco: M2 0.576 m at 208.2 degrees.
    found = {each.name: each for each in fit.constants.constants}
    published = {each.name: each for each in constants(SAN_FRANCISCO).constants}
    assert fit.count == 365 * 24
    for name in ("M2", "K1", "O1", "S2"):
        one, other = found[name], published[name]
        assert one.amplitude_m == pytest.approx(other.amplitude_m, abs=0.005)
        assert one.greenwich_phase_deg == pytest.approx(
            other.greenwich_phase_deg, abs=1.0
        )


def test_a_week_is_too_short() -> None:
    with pytest.raises(UserError, match="needs at least 355"):
        fit_of(
            [read(coops_series_csv())],
            Facts(zone="UTC", unit="m"),
            port="Pier",
            datum="MLLW",
        )
