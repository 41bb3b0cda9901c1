"""Tests for what the Tide page says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.almanac.tide import (
    NO_LOCATION,
    NO_TABLE,
    tide_day,
    tide_minute,
    window_text,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.tides.records import Exposure
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from tests.desktop.strip_story import (
    BAR,
    DAY,
    DOSSIER,
    FORECAST,
    KEEL,
    PATH,
    TABLE,
    at,
    turns,
    with_bar,
    with_table,
)

WEATHER = "Predictions exclude weather and sea state."


def test_the_turns_are_a_table() -> None:
    rows = tide_day(DOSSIER, None, DAY, Settings()).rows
    assert [(row.what, row.time, row.height) for row in rows] == [
        ("low water", "04:28", "0.50 m"),
        ("high water", "10:42", "3.70 m"),
        ("low water", "16:56", "0.50 m"),
        ("high water", "23:10", "3.70 m"),
    ]


def test_the_height_at_a_minute_is_the_almanac_s() -> None:
    # Source: New Zealand Nautical Almanac 2013-14, pp. 32-33: low water 0316 0.4 m,
    # high water 0941 3.3 m; at 0700 the height is 2.2 m.
    table = turns(at(3, 16), [0.4, 3.3], timedelta(hours=6, minutes=25))
    text = tide_minute(with_table(turns=table), DAY, at(7), Settings())
    # The margin: 8 % of 2.9 m, which is more than 0.15 m; weather on an open coast.
    assert text == (
        "At 07:00 the tide stands at 2.2 m above Chart datum, "
        "±\N{NO-BREAK SPACE}0.23\N{NO-BREAK SPACE}m; confidence good. "
        "Weather may add 0.30 m or more."
    )


def test_a_minute_outside_the_table_is_not_known() -> None:
    short = with_table(turns=TABLE.turns[11:15])
    assert "not known" in tide_minute(short, DAY, at(20), Settings())
    assert tide_minute(Dossier(location=KEEL), DAY, at(20), Settings()) == ""


@pytest.mark.parametrize("is_distorted", [True, None])
def test_a_port_that_may_be_shallow_tells_no_height(is_distorted: bool | None) -> None:
    text = tide_minute(with_table(is_distorted=is_distorted), DAY, at(7), Settings())
    assert text.startswith("At 07:00 the height is not known.")
    assert "±" not in text


def test_a_slow_tide_is_low_confidence() -> None:
    slow = turns(at(0), [0.5, 3.7], timedelta(hours=8))
    text = tide_minute(with_table(turns=slow), DAY, at(4), Settings())
    assert "low confidence" in text
    # Source: the project's table of margins: max(0.30 m, 15 % of 3.2 m).
    assert "0.48\N{NO-BREAK SPACE}m" in text


def test_windows_come_with_their_margins_and_what_they_leave_out() -> None:
    (leg,) = tide_day(DOSSIER, None, DAY, Settings()).legs
    # By hand (see the strip's test): at 1.344 m at 02:19.6 and as long after low water.
    assert leg.state == "Open with all margins: 02:20 to 06:36; 14:48 to 19:04."
    assert leg.lines == (
        "It shuts above 1.90 m (Chart datum). Taken off: 0.26 m for the prediction, "
        "0.30 m for the weather (open coast).",
        "Be off it 30 min before it shuts, on a rising tide.",
        WEATHER,
    )


def test_a_low_pressure_is_counted_and_named() -> None:
    low = replace(FORECAST.hours[0], pressure_hpa=963.25)
    dossier = replace(DOSSIER, forecasts=(replace(FORECAST, hours=(low,)),))
    (leg,) = tide_day(dossier, None, DAY, Settings()).legs
    # Source: inverse barometer 1 cm for 1 hPa: 50 hPa below 1013.25 is 0.50 m, and
    # half of the usual 0.30 m besides.
    assert "0.65 m for the weather (open coast, pressure 963 hPa)" in leg.lines[0]


def test_a_shut_day_says_so_and_warns_of_the_bare_curve() -> None:
    (leg,) = tide_day(with_bar(shut_above_m=0.8), None, DAY, Settings()).legs
    assert leg.state.startswith("Not open on this day with all margins.")
    assert "do not rely on it" in leg.state
    assert leg.lines[-1] == WEATHER


@pytest.mark.parametrize(
    "changes", [{"shut_above_m": None}, {"shut_datum": ""}, {"shut_datum": "Other"}]
)
def test_a_missing_fact_is_not_known(changes: dict[str, object]) -> None:
    (leg,) = tide_day(with_bar(**changes), None, DAY, Settings()).legs
    assert leg.state.startswith("? not known.")
    assert not leg.is_known
    assert WEATHER in leg.lines


def test_without_a_table_the_way_on_is_shown() -> None:
    page = tide_day(replace(DOSSIER, tide_tables=()), None, DAY, Settings())
    assert page.message == NO_TABLE
    assert page.legs[0].state == "? not known. There is no tide table for this day."
    assert tide_day(None, None, DAY, Settings()).message == NO_LOCATION


def test_port_datum_unit_zone_and_source_are_named() -> None:
    lines = tide_day(DOSSIER, None, DAY, Settings()).source
    assert lines == (
        "Keel harbour: heights above Chart datum, printed in m, UTC time. "
        "Source: an invented almanac, 2026.",
        WEATHER,
    )


def test_heights_are_in_feet_where_preferred() -> None:
    page = tide_day(DOSSIER, None, DAY, Settings(length_unit=LengthUnit.FOOT))
    assert page.rows[0].height == "1.64 ft"
    assert "6.23 ft" in page.legs[0].lines[0]


def test_two_tables_of_a_datum_are_both_heard() -> None:
    calm = replace(TABLE, exposure=Exposure.OCEAN_ISLAND)
    worse = replace(TABLE, id=BAR.id, exposure=Exposure.SHELF_OR_ESTUARY)
    both = replace(DOSSIER, tide_tables=(calm, worse))
    alone = replace(DOSSIER, tide_tables=(worse,))
    settings = Settings()
    assert (
        tide_day(both, None, DAY, settings).legs[0].state
        == tide_day(alone, None, DAY, settings).legs[0].state
    )


def test_legs_of_which_nobody_said_whether_the_sea_shuts_them_are_named() -> None:
    unsaid = replace(PATH, is_tidal=None)
    page = tide_day(replace(DOSSIER, legs=(unsaid, BAR)), None, DAY, Settings())
    assert page.legs_hint == "Nobody said whether the sea can shut: gully path."
    dry = tide_day(replace(DOSSIER, legs=(PATH,)), None, DAY, Settings())
    assert dry.legs_hint == "No leg of this location is said to be shut by the sea."


def test_windows_are_rounded_inwards_and_never_outwards() -> None:
    day = Span(at(0), at(0, day=15))

    def text(start: datetime, stop: datetime) -> str:
        return window_text(Span(start, stop), day, "UTC", Settings())

    second = timedelta(seconds=1)
    assert text(at(9) + second, at(10) - second) == "09:01 to 09:59"
    assert text(at(9), at(10)) == "09:00 to 10:00"
    assert text(at(0), at(3)) == "until 03:00, open since the day before"
    assert text(at(22), day.stop) == "from 22:00 on, into the next day"
    assert text(day.start, day.stop) == "all day"


def test_official_turns_give_the_official_windows() -> None:
    # Source: NOAA CO-OPS, station 9414290, predictions in metres above MLLW, GMT, and
    # the harmonic curve below 0.60 m on 2026-08-15 from 12:18:50 to 17:21:51.
    def noaa(day: int, hour: int, minute: int) -> datetime:
        return datetime(2026, 8, day, hour, minute, tzinfo=UTC)

    times = [noaa(15, 2, 24), noaa(15, 8, 32), noaa(15, 14, 43), noaa(15, 21, 33)]
    official = tuple(
        replace(turn, instant=time, height_m=height)
        for turn, time, height in zip(
            TABLE.turns, times, [0.491, 1.785, 0.043, 1.758], strict=False
        )
    )
    bar = replace(BAR, shut_above_m=0.60)
    table = replace(TABLE, turns=official)
    utc = replace(KEEL, zone="UTC")
    dossier = replace(DOSSIER, location=utc, legs=(bar,), tide_tables=(table,))
    (leg,) = tide_day(dossier, None, noaa(15, 0, 0).date(), Settings()).legs
    # With the margins of an open coast it is open for less than that, around 14:43.
    start, _, stop = leg.state.split(": ")[1].rstrip(".").partition(" to ")
    assert "12:19" < start < "14:43" < stop < "17:21"
    assert "outside the tide table" in " ".join(leg.lines)
