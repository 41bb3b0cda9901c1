"""The Beaufort scale, against the table of the World Meteorological Organization."""

from __future__ import annotations

import math

import pytest

from fieldtrip.weather.beaufort import beaufort

# Source: World Meteorological Organization, Beaufort scale, m/s at 10 m.
TABLE = (
    (0, 0.0, 0.2), (1, 0.3, 1.5), (2, 1.6, 3.3), (3, 3.4, 5.4), (4, 5.5, 7.9),
    (5, 8.0, 10.7), (6, 10.8, 13.8), (7, 13.9, 17.1), (8, 17.2, 20.7),
    (9, 20.8, 24.4), (10, 24.5, 28.4), (11, 28.5, 32.6), (12, 32.7, 90.0),
)  # fmt: skip


@pytest.mark.parametrize(("force", "least", "most"), TABLE)
def test_the_table_and_not_the_formula(force: int, least: float, most: float) -> None:
    assert beaufort(least) == beaufort(most) == force


@pytest.mark.parametrize("wind_m_s", [-0.1, math.nan, math.inf])
def test_what_no_wind_has_is_refused(wind_m_s: float) -> None:
    with pytest.raises(ValueError, match="no wind"):
        beaufort(wind_m_s)
