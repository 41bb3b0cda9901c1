"""One curve from a table or a station of any kind."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import numpy as np
import pytest

from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.secondary import HighAndLowOffsets, Offset
from fieldtrip.tides.sources import source_of_station
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import Span
from tests.tides.published import (
    SAN_FRANCISCO,
    annual_turns,
    constants,
    hourly,
    official_turns,
)

MINUTE = timedelta(minutes=1)
FOUND = constants(SAN_FRANCISCO)
GOLDEN = Station(
    name="San Francisco",
    kind=StationKind.CONSTANTS,
    datum="MLLW",
    z0_m=FOUND.z0_m,
    constants=FOUND.constants,
    is_distorted=False,
    source="NOAA CO-OPS",
)
TOWNSEND = Station(
    name="Port Townsend",
    kind=StationKind.PRINTED,
    datum="MLLW",
    turns=annual_turns("port_townsend"),
    is_distorted=False,
    source="NOAA CO-OPS, annual tables of 2017",
)
# Source: NOAA CO-OPS, annual tables of 2017: Mystery Bay (9444971) is Port Townsend
# with 15 and 52 minutes, times 0.95 and 0.99.
MYSTERY = Station(
    name="Mystery Bay",
    kind=StationKind.SECONDARY,
    datum="MLLW",
    standard_id=TOWNSEND.id,
    differences=HighAndLowOffsets(
        Offset(15 * MINUTE, factor=0.95), Offset(52 * MINUTE, factor=0.99)
    ),
    is_distorted=False,
    source="NOAA CO-OPS",
)


def test_constants_give_the_official_heights() -> None:
    official = hourly(SAN_FRANCISCO)
    source = source_of_station(GOLDEN)

    assert source is not None
    assert source.reach is None
    found = source.curve.heights_m(official.instants)
    # The official ones are printed to the millimetre; nodes of the day against those
    # of mid-year differ by less than two centimetres.
    assert np.max(np.abs(found - official.heights_m)) < 0.02


def test_a_printed_station_is_its_table() -> None:
    source = source_of_station(TOWNSEND)

    assert source is not None
    assert source.reach == Span(TOWNSEND.turns[0].instant, TOWNSEND.turns[-1].instant)
    assert not source.covers(Span(*2 * [TOWNSEND.turns[0].instant - MINUTE]))


def test_a_secondary_port_has_the_turns_of_its_own_table() -> None:
    source = source_of_station(MYSTERY, (TOWNSEND,))
    official = annual_turns("mystery_bay")
    june = Span(datetime(2017, 6, 1, tzinfo=UTC), datetime(2017, 6, 30, tzinfo=UTC))

    assert source is not None
    found = source.curve.turns(june)
    wanted = [turn for turn in official if june.contains(turn.instant)]
    assert len(found) == len(wanted)
    for turn, other in zip(found, wanted, strict=True):
        assert abs(turn.instant - other.instant) <= MINUTE
        # Rounded to 0.1 foot at either port, and then to a centimetre.
        rounding_m = 0.1 * 0.3048 + 0.01
        assert turn.height_m == pytest.approx(other.height_m, abs=rounding_m)


def test_a_secondary_port_of_constants_knows_any_date() -> None:
    creek = replace(MYSTERY, standard_id=GOLDEN.id)
    source = source_of_station(creek, (GOLDEN,))
    day = Span(datetime(2031, 3, 1, tzinfo=UTC), datetime(2031, 3, 2, tzinfo=UTC))

    assert source is not None
    assert source.covers(day)
    assert source.curve.covers(day)
    assert source.curve.confidence(day) is not Confidence.UNKNOWN
    assert len(source.curve.turns(day)) in (3, 4)
    # Half a cosine's least margin and the standard port's.
    assert source.curve.prediction_margin_m(day, Margins()) >= 0.20


def test_a_margin_of_the_standard_port_shortens_the_windows() -> None:
    creek = replace(MYSTERY, standard_id=GOLDEN.id)
    rough = replace(GOLDEN, kind=StationKind.FIT, fit_margin_m=0.08)
    day = Span(datetime(2026, 8, 15, tzinfo=UTC), datetime(2026, 8, 16, tzinfo=UTC))
    spans = []
    for standard in (GOLDEN, rough):
        source = source_of_station(creek, (standard,))
        assert source is not None
        windows = source.curve.passable_windows(1.0, day, Margins(), 0.1)
        spans.append(sum((w.span.length for w in windows), timedelta()))

    assert spans[1] < spans[0]


def test_without_its_standard_port_or_in_a_circle_there_is_no_source() -> None:
    other = replace(MYSTERY, id=uuid4(), standard_id=MYSTERY.id)
    circle = replace(MYSTERY, standard_id=other.id)

    assert source_of_station(MYSTERY) is None
    assert source_of_station(circle, (other,)) is None
    assert source_of_station(replace(MYSTERY, standard_id=None), (TOWNSEND,)) is None


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"name": " "}, "needs a name"),
        ({"datum": ""}, "Say which datum"),
        ({"source": ""}, "Say where the station's tides come from"),
        ({"z0_m": None}, "how far the mean level lies above the datum"),
        ({"constants": ()}, "at least one constituent"),
        ({"unit": "yd"}, "unit of a tide station"),
        ({"zone": "Nowhere/None"}, "is no time zone"),
        ({"year": 12}, "year of a tide station"),
        ({"kind": StationKind.PRINTED}, "at least one high and one low"),
        ({"kind": StationKind.SECONDARY}, "how its tides differ"),
    ],
)
def test_a_station_says_what_is_wrong_with_it(
    changes: dict[str, object], fault: str
) -> None:
    assert GOLDEN.faults() == []
    faults = replace(GOLDEN, **changes).faults()  # type: ignore[arg-type]
    assert any(fault in each for each in faults)


def test_the_official_week_lies_within_a_printed_curve_s_margin() -> None:
    printed = replace(
        GOLDEN, kind=StationKind.PRINTED, turns=official_turns(SAN_FRANCISCO)
    )
    source = source_of_station(printed)

    assert source is not None
    assert source.reach is not None
    assert source.curve.confidence(source.reach) in (Confidence.GOOD, Confidence.LOW)
