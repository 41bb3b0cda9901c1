"""The table of the sky agrees with what it was made from."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.sky import ephemeris
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.table import table_for
from tests.sky.published import ARCSECOND

PLACES = {
    Body.SUN: ephemeris.sun_km,
    Body.MOON: ephemeris.moon_km,
    Body.GALACTIC_CENTRE: ephemeris.galactic_centre_km,
}


@pytest.mark.parametrize("body", list(Body))
@pytest.mark.parametrize("year", [1900, 1972, 2016, 2026, 2098])
def test_table_keeps_the_exact_places_to_a_hundredth_of_an_arcsecond(
    body: Body, year: int
) -> None:
    table = table_for(
        datetime(year, 1, 1, tzinfo=UTC), datetime(year + 1, 12, 31, tzinfo=UTC)
    )
    start = datetime(year, 1, 1, tzinfo=UTC).timestamp()
    unix_s = np.random.default_rng(year).uniform(start, start + 2 * 365 * 86400.0, 500)

    kept = table.vectors_km(body, unix_s).T
    tt = (unix_s + ephemeris.tt_minus_utc_s(unix_s)) / 86400.0 - 10_957.5
    exact = np.einsum("nij,nj->ni", ephemeris.celestial_matrices(tt), PLACES[body](tt))

    off = np.linalg.norm(np.cross(kept, exact), axis=1)
    off /= np.linalg.norm(kept, axis=1) * np.linalg.norm(exact, axis=1)
    assert np.degrees(off).max() < 0.01 * ARCSECOND


def test_asking_again_gives_the_same_table() -> None:
    march, june = datetime(2026, 3, 1, tzinfo=UTC), datetime(2027, 6, 1, tzinfo=UTC)

    assert table_for(march, march) is table_for(june, june)


def test_a_table_reaches_a_day_beyond_its_years() -> None:
    new_year = datetime(2028, 1, 1, tzinfo=UTC)
    table = table_for(new_year, new_year)
    day_s = 86400.0

    table.vectors_km(Body.MOON, np.array([new_year.timestamp() - 1.9 * day_s]))
    with pytest.raises(ValueError, match="outside the table"):
        table.vectors_km(Body.MOON, np.array([new_year.timestamp() - 30 * day_s]))


@pytest.mark.parametrize("year", [1, 1899, 2101, 9999])
def test_years_out_of_reach_are_refused_in_a_sentence(year: int) -> None:
    instant = datetime(year, 6, 1, tzinfo=UTC)

    with pytest.raises(UserError, match="1900 to 2099"):
        table_for(instant, instant)


def test_a_span_across_many_years_is_one_table() -> None:
    first = datetime(2026, 5, 1, tzinfo=UTC)
    table = table_for(first, first + timedelta(days=3653))

    assert table.stop_unix_s > (first + timedelta(days=3653)).timestamp()
