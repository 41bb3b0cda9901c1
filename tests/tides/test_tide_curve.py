"""Printed tables and constants answer the same questions."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import numpy as np
import pytest

from fieldtrip.tides.curve import Confidence, height_at
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.records import Exposure, TideTable
from fieldtrip.tides.tide_curve import PrintedCurve, TideCurve
from fieldtrip.tides.windows import passable_windows, windows_below
from fieldtrip.times import Span, instants
from tests.tides.published import SAN_FRANCISCO, curve, official_turns

START = datetime(2026, 8, 15, tzinfo=UTC)
WEEK = Span(START, START + timedelta(days=7))
TURNS = official_turns(SAN_FRANCISCO)
TABLE = TideTable(
    location_id=uuid4(),
    port="San Francisco",
    zone="UTC",
    datum="MLLW",
    unit="m",
    source="NOAA CO-OPS",
    turns=TURNS,
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
)
INSIDE = Span(TURNS[0].instant, TURNS[-1].instant)
PRINTED: TideCurve = PrintedCurve(TABLE)
HARMONIC: TideCurve = curve(SAN_FRANCISCO, Nodes.MIDYEAR)


@pytest.mark.parametrize("tide", [PRINTED, HARMONIC])
def test_both_give_noaas_turns(tide: TideCurve) -> None:
    turns = tide.turns(WEEK)

    # Source: NOAA CO-OPS, 15 to 21 August 2026.
    assert len(turns) == len(TURNS)
    for found, official in zip(turns, TURNS, strict=True):
        assert abs(found.instant - official.instant) <= timedelta(minutes=1)
        assert found.height_m == pytest.approx(official.height_m, abs=0.002)
    assert tide.datum == "MLLW"


def test_the_cosine_stays_within_its_margin_of_the_curve() -> None:
    minutes = instants(INSIDE.start, INSIDE.stop, timedelta(minutes=10))

    away = np.abs(PRINTED.heights_m(minutes) - HARMONIC.heights_m(minutes))

    assert away.max() < Margins().least_m


def test_windows_differ_by_minutes() -> None:
    printed = PRINTED.windows_below(0.6, INSIDE)
    harmonic = HARMONIC.windows_below(0.6, INSIDE)

    assert len(printed) == len(harmonic)
    for one, other in zip(printed, harmonic, strict=True):
        # Measured: 0.4 to 6.2 minutes on the first days of this week.
        assert abs(one.start - other.start) <= timedelta(minutes=15)
        assert abs(one.stop - other.stop) <= timedelta(minutes=15)


def test_a_printed_curve_is_the_table() -> None:
    margins, weather_m = Margins(), Margins().weather_m(Exposure.OPEN_COAST)

    assert PRINTED.windows_below(0.6, WEEK) == windows_below(
        TURNS, 0.6, WEEK.start, WEEK.stop
    )
    assert PRINTED.passable_windows(0.9, WEEK, margins, weather_m) == passable_windows(
        TABLE, 0.9, WEEK, margins
    )
    assert PRINTED.confidence(INSIDE) in (Confidence.GOOD, Confidence.LOW)
    height = height_at(TABLE, START + timedelta(hours=5))
    hour = Span(START + timedelta(hours=5), START + timedelta(hours=5))
    assert height is not None
    assert PRINTED.prediction_margin_m(hour, margins) == height.margin_m


def test_above_is_where_below_is_not() -> None:
    below, above = (
        sum((w.stop - w.start for w in windows), timedelta())
        for windows in (
            PRINTED.windows_below(0.8, INSIDE),
            PRINTED.windows_above(0.8, INSIDE),
        )
    )

    assert abs(below + above - INSIDE.length) < timedelta(seconds=1)


def test_only_the_table_ends() -> None:
    beyond = Span(INSIDE.start, INSIDE.stop + timedelta(days=1))
    later = instants(INSIDE.stop + timedelta(hours=1), beyond.stop, timedelta(hours=1))

    assert PRINTED.covers(INSIDE)
    assert not PRINTED.covers(beyond)
    assert PRINTED.confidence(beyond) is Confidence.UNKNOWN
    assert np.isnan(PRINTED.heights_m(later)).all()
    assert HARMONIC.covers(beyond)
    assert np.isfinite(HARMONIC.heights_m(later)).all()
    assert HARMONIC.confidence(beyond) is Confidence.GOOD


def test_the_margin_of_constants_is_the_smaller_one() -> None:
    margins = Margins()

    assert HARMONIC.prediction_margin_m(INSIDE, margins) == 0.05
    assert PRINTED.prediction_margin_m(INSIDE, margins) >= 0.15
