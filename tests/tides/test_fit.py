"""A printed year fitted, against the same authority's next years."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.constituents import constituent_of
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.fit import MORE_NAMES, NAMES, Fit, fit_heights, fit_turns
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.times import Span, instants, to_instant
from tests.tides.published import GALVESTON, SEATTLE, curve, lyttelton

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


def test_all_names_are_constituents_of_their_own() -> None:
    speeds = [constituent_of(name) for name in MORE_NAMES]

    assert set(NAMES) < set(MORE_NAMES)
    assert None not in speeds
    assert len({one.multiples for one in speeds if one}) == len(MORE_NAMES)


def test_a_year_of_a_port_with_one_high_water_a_day_is_a_year() -> None:
    # Galveston's rises and falls may last for more than 16 hours.
    tide = curve(GALVESTON)
    year = Span(datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC))

    fit = fit_turns(tide.turns(year), "Galveston", "MLLW")

    later = instants(year.stop, year.stop + timedelta(days=30), timedelta(hours=1))
    away = fit.curve().heights_m(later) - tide.heights_m(later)
    assert np.abs(away).max() < 0.011  # measured; no outside source


def test_a_shallow_port_is_found_out_though_its_table_fits() -> None:
    # Invented: a port whose curve is bent by constituents that no fit knows.
    bent = {
        "M2": (1.75, 50), "S2": (0.48, 110), "N2": (0.29, 30), "K2": (0.14, 110),
        "O1": (0.11, 190), "K1": (0.08, 5), "M4": (0.13, 120), "MS4": (0.09, 180),
        "M6": (0.09, 90), "2MS6": (0.09, 140), "MU2": (0.15, 160), "M8": (0.03, 200),
        "3MS4": (0.03, 20), "2MNS4": (0.03, 300), "4MS10": (0.02, 10),
        "M10": (0.015, 50), "3MNS6": (0.03, 80), "MSN6": (0.02, 33), "M12": (0.01, 9),
    }  # fmt: skip
    tide = HarmonicCurve(
        HarmonicSum(
            HarmonicConstants(
                port="Port",
                datum="CD",
                z0_m=2.5,
                constants=tuple(Constant(n, a, g) for n, (a, g) in bent.items()),
            )
        )
    )
    year = Span(datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC))
    printed = [
        replace(
            turn,
            instant=(turn.instant + timedelta(seconds=30)).replace(
                second=0, microsecond=0
            ),
            height_m=round(turn.height_m, 1),
        )
        for turn in tide.turns(year)
    ]
    later = instants(year.stop, year.stop + timedelta(days=60), timedelta(minutes=20))

    fit = fit_turns(printed, "Port", "CD")

    away = np.abs(fit.curve().heights_m(later) - tide.heights_m(later))
    assert fit.rms_m < 0.05  # the table alone does not show it
    assert fit.margin_m >= np.quantile(away, 0.99)
    assert fit.curve().confidence(year) is not Confidence.GOOD


def test_an_open_coast_is_good() -> None:
    assert FIT.spread_m <= 0.05
    assert FIT.curve().confidence(FIT.span) is Confidence.GOOD
