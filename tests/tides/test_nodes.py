"""Node factors beside those with which NOAA's predictions come out."""

from __future__ import annotations

import numpy as np
import pytest

from fieldtrip.tides.constituents import Factor
from fieldtrip.tides.nodes import FACTORS, longitudes_deg, node_factors

HOURS_2026 = np.array(["2026-07-02"], "datetime64[h]").astype(float)
HOURS_2031 = np.array(["2031-07-02"], "datetime64[h]").astype(float)


@pytest.mark.parametrize(
    ("name", "of_2026", "of_2031"),
    [
        # Source: Schureman's equations worked by another program; with them NOAA's
        # official heights of 2026 and 2031 agree within 0.05 cm.
        (Factor.M2, 0.9673, 1.0212),
        (Factor.O1, 1.1668, 0.9108),
        (Factor.K1, 1.1031, 0.9453),
        (Factor.K2, 1.2816, 0.8574),
        (Factor.MF, 1.407, 0.812),
        (Factor.MM, 0.8856, 1.0726),
    ],
)
def test_node_factors(name: Factor, of_2026: float, of_2031: float) -> None:
    row = FACTORS.index(name)

    assert node_factors(HOURS_2026).factor[row, 0] == pytest.approx(of_2026, abs=5e-4)
    assert node_factors(HOURS_2031).factor[row, 0] == pytest.approx(of_2031, abs=5e-4)


def test_the_longitudes_of_meeus() -> None:
    # Source: Meeus, Astronomical Algorithms (2nd ed.), examples 25.a and 47.a:
    # 1992 October 13.0 TD, mean longitude of the Sun 201.80720°; 1992 April 12.0
    # TD, of the Moon 134.290182°.  A minute of TD is 0.009° of the Moon.
    october = np.array(["1992-10-13"], "datetime64[h]").astype(float)
    april = np.array(["1992-04-12"], "datetime64[h]").astype(float)

    assert longitudes_deg(october)[2, 0] % 360.0 == pytest.approx(201.80720, abs=0.001)
    assert longitudes_deg(april)[1, 0] % 360.0 == pytest.approx(134.290182, abs=0.01)


def test_a_node_goes_round_in_the_19_years() -> None:
    hours = np.arange("2000-01-01", "2019-01-01", dtype="datetime64[D]")
    found = node_factors(hours.astype("datetime64[h]").astype(float))

    # Source: Schureman, SP 98, table 14: f of M2 from 0.963 to 1.038, of O1 from
    # 0.806 to 1.183, of K1 from 0.882 to 1.113, of K2 from 0.748 to 1.317.
    for name, least, most in (
        (Factor.M2, 0.963, 1.038),
        (Factor.O1, 0.806, 1.183),
        (Factor.K1, 0.882, 1.113),
        (Factor.K2, 0.748, 1.317),
    ):
        row = found.factor[FACTORS.index(name)]
        assert row.min() == pytest.approx(least, abs=0.002)
        assert row.max() == pytest.approx(most, abs=0.002)
