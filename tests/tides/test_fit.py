"""A printed year fitted, against the same authority's next years."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.tides.fit import Fit, fit_heights, fit_turns
from fieldtrip.tides.records import Turn
from fieldtrip.times import Span, instants, to_instant
from tests.tides.published import SEATTLE, curve, lyttelton

FIT = fit_turns(lyttelton(2013), "Lyttelton", "chart datum")
CM = 0.01


def rms(values: list[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def test_lyttelton_2013_predicts_lyttelton_2014() -> None:
    # Source: LINZ, tide tables of Lyttelton 2013 and 2014, to 0.1 m and a minute.
    # Rounding to a decimetre is 2.89 cm rms by itself.
    official = lyttelton(2014)

    turns = FIT.curve().turns(Span(official[0].instant, official[-1].instant))
    ends = (official[0].instant, official[-1].instant)
    around = Span(ends[0] - timedelta(minutes=5), ends[1] + timedelta(minutes=5))
    turns = FIT.curve().turns(around)

    assert len(official) > 1400
    assert [t.is_high for t in turns] == [t.is_high for t in official]
    pairs = list(zip(turns, official, strict=True))
    assert rms([a.height_m - b.height_m for a, b in pairs]) <= 3.1 * CM
    minute = timedelta(minutes=1)
    assert rms([(a.instant - b.instant) / minute for a, b in pairs]) <= 1.0


def test_the_fit_tells_how_well_it_gives_the_table_back() -> None:
    table = lyttelton(2013)

    assert FIT.rms_m == pytest.approx(2.9 * CM, abs=0.1 * CM)  # the rounding alone
    assert FIT.count == len(table)
    assert FIT.span == Span(table[0].instant, table[-1].instant)
    assert FIT.margin_m == 0.0


def test_the_repeated_hour_of_2017_is_the_second_one() -> None:
    # Source: LINZ, tide table of Lyttelton 2017, in local daylight or standard time:
    # 2 April 02:34, 0.3 m.  The clock showed it at 13:34 UTC and again at 14:34 UTC.
    around = datetime(2017, 4, 1, 14, 34, tzinfo=UTC)

    (turn,) = FIT.curve().turns(
        Span(around - timedelta(hours=2), around + timedelta(hours=2))
    )

    assert not turn.is_high
    assert abs(turn.instant - around) < timedelta(minutes=3)
    assert turn.height_m == pytest.approx(0.3, abs=0.1)


def test_a_table_that_fits_badly_widens_the_margin() -> None:
    rough = Fit(FIT.constants, FIT.span, FIT.count, rms_m=0.12)

    assert rough.margin_m == pytest.approx(0.24)
    assert rough.curve().fit_margin_m == rough.margin_m


def test_a_year_of_hourly_heights_gives_the_constants_back() -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC)
    tide = curve(SEATTLE)
    hours = instants(start, start + timedelta(days=366), timedelta(hours=1))
    heights = tide.heights_m(hours)
    heights[100:124] = np.nan  # a day's gap in the gauge

    fit = fit_heights(hours, heights, "Seattle", "MLLW")

    # What was put in: NOAA's constants of Seattle.
    found = {c.name: c for c in fit.constants.constants}
    for each in tide.tide.constants.constants:
        if each.amplitude_m > 0.05:
            assert found[each.name].amplitude_m == pytest.approx(
                each.amplitude_m, abs=0.001
            )
            assert found[each.name].greenwich_phase_deg == pytest.approx(
                each.greenwich_phase_deg, abs=0.3
            )
    assert fit.constants.z0_m == pytest.approx(tide.tide.constants.z0_m, abs=0.001)
    assert fit.rms_m < 0.001


def test_turns_exact_to_the_second_give_the_next_year_to_the_millimetre() -> None:
    tide = curve(SEATTLE)
    year = Span(datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC))
    later = instants(year.stop, year.stop + timedelta(days=365), timedelta(minutes=10))

    fit = fit_turns(tide.turns(year), "Seattle", "MLLW")

    away = fit.curve().heights_m(later) - tide.heights_m(later)
    assert np.abs(away).max() < 0.011  # measured; no outside source


@pytest.mark.parametrize("days", [3, 31, 183, 354])
def test_less_than_a_year_is_refused_with_the_reason(days: int) -> None:
    first = lyttelton(2013)[0].instant
    short = [t for t in lyttelton(2013) if t.instant <= first + timedelta(days=days)]

    with pytest.raises(UserError, match=r"at least 355, because") as refused:
        fit_turns(short, "Lyttelton", "chart datum")

    assert f"cover {days - 1} days" in str(refused.value) or f"{days} days" in str(
        refused.value
    )


def test_a_year_with_two_months_missing_is_less_than_a_year() -> None:
    table = lyttelton(2013)
    holed = [*table[:400], *table[640:]]

    with pytest.raises(UserError, match="at least 355"):
        fit_turns(holed, "Lyttelton", "chart datum")


def test_no_turns_are_less_than_a_year() -> None:
    with pytest.raises(UserError, match="cover 0 days"):
        fit_turns([], "Port", "datum")
    with pytest.raises(UserError, match="cover 0 days"):
        fit_heights(np.array([], "datetime64[ms]"), np.array([]), "Port", "datum")


def test_a_height_a_day_does_not_make_a_curve() -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC)
    noons = instants(start, start + timedelta(days=366), timedelta(days=1))

    with pytest.raises(UserError, match="too far apart"):
        fit_heights(noons, np.zeros(len(noons)), "Port", "datum")


def test_heights_out_of_order_are_refused() -> None:
    backwards = np.array([to_instant(datetime(2026, 1, d, tzinfo=UTC)) for d in (2, 1)])

    with pytest.raises(UserError, match="do not follow"):
        fit_heights(backwards, np.zeros(2), "Port", "datum")


def test_an_unknown_constituent_is_a_mistake_of_the_caller() -> None:
    turns = lyttelton(2013)

    with pytest.raises(ValueError, match="XX9"):
        fit_turns(turns, "Lyttelton", "chart datum", names=("M2", "XX9"))


def test_a_turn_is_a_turn() -> None:
    assert isinstance(lyttelton(2013)[0], Turn)
