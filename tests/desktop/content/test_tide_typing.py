"""Tests for what the tide table's window reads and says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from uuid import uuid4

import pytest

from fieldtrip.desktop.content.tide_typing import (
    TideTyped,
    example_text,
    span_words,
    tide_typing_content,
    typed_from,
    zones_offered,
)
from fieldtrip.exchange.tide_text import turns_text
from fieldtrip.tides.records import Exposure, TideTable, Turn

PLACE_ID = uuid4()
TURNS = (
    Turn(datetime(2026, 7, 1, 5, 5, tzinfo=UTC), 5.2, True),
    Turn(datetime(2026, 7, 1, 11, 20, tzinfo=UTC), 0.6, False),
    Turn(datetime(2026, 7, 1, 23, 40, tzinfo=UTC), 5.4, True),
)
TABLE = TideTable(
    location_id=PLACE_ID,
    port="Keel Quay",
    zone="Europe/Dublin",
    datum="lowest astronomical tide",
    unit="m",
    source="an invented almanac",
    turns=TURNS,
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
)


def test_a_kept_table_is_shown_as_typed_and_read_back_as_itself() -> None:
    content = tide_typing_content(typed_from(TABLE), PLACE_ID, TABLE)

    assert content.faults == ()
    assert content.table == TABLE


def test_the_preview_tells_both_clocks_and_the_height_as_printed() -> None:
    content = tide_typing_content(typed_from(TABLE), PLACE_ID, None)

    assert content.rows == (
        ("high", "Wed 1 Jul 06:05", "05:05", "5.20 m"),
        ("low", "Wed 1 Jul 12:20", "11:20", "0.60 m"),
        ("high", "Thu 2 Jul 00:40", "01 Jul 23:40", "5.40 m"),
    )
    assert content.summary == (
        "3 turns, Wed 1 Jul 2026 to Thu 2 Jul 2026 in IST (UTC+1)"
    )


def test_the_days_of_a_table_are_those_of_the_zone_it_is_printed_in() -> None:
    # 23:40 UTC on the 1st is the 2nd in Ireland, and the 1st in the table.
    assert span_words(TABLE.turns, "UTC") == "Wed 1 Jul 2026 in UTC"
    winter = replace(TABLE.turns[0], instant=datetime(2026, 12, 1, 6, tzinfo=UTC))
    assert span_words((TABLE.turns[0], winter), "Europe/Dublin") == (
        "Wed 1 Jul 2026 to Tue 1 Dec 2026 in IST (UTC+1) and GMT"
    )


def test_feet_are_shown_beside_the_metres_they_are_kept_in() -> None:
    text = "2026-07-01 06:05 17.1\n2026-07-01 12:20 2.0"

    content = tide_typing_content(
        replace(typed_from(TABLE), unit="ft", text=text), PLACE_ID, None
    )

    # Source: the international foot of 0.3048 m (1959): 17.1 ft is 5.21208 m.
    assert content.rows[0][3] == "17.10 ft (5.21 m)"
    assert content.table is not None
    assert content.table.unit == "ft"
    assert content.table.turns[0].height_m == pytest.approx(5.21208)


def test_zone_and_unit_are_never_guessed() -> None:
    content = tide_typing_content(
        replace(typed_from(TABLE), zone="", unit=""), PLACE_ID, None
    )

    assert content.table is None
    assert content.rows == ()
    assert content.faults == (
        "Choose the zone in which the table is printed.",
        "Choose the unit of the heights.",
    )


def test_an_empty_window_says_all_that_is_missing() -> None:
    content = tide_typing_content(TideTyped(), PLACE_ID, None)

    assert content.table is None
    assert "Name the port." in content.faults
    assert "Say which datum the heights count from." in content.faults
    assert "Say where the table comes from." in content.faults
    assert len(content.faults) == 6


def test_a_line_that_cannot_be_read_is_named() -> None:
    lines = typed_from(TABLE).text.splitlines()
    broken = "\n".join([*lines, "somewhere around noon"])

    content = tide_typing_content(
        replace(typed_from(TABLE), text=broken), PLACE_ID, None
    )

    assert content.table is None
    assert any(
        str(len(lines) + 1) in fault or "somewhere around noon" in fault
        for fault in content.faults
    )


def test_a_table_that_does_not_alternate_is_refused() -> None:
    only_high = (TURNS[0], TURNS[2])
    text = turns_text(only_high, "Europe/Dublin", "m")

    content = tide_typing_content(replace(typed_from(TABLE), text=text), PLACE_ID, None)

    assert content.table is None
    assert content.faults


def test_a_year_that_the_lines_leave_out_is_taken_from_its_field() -> None:
    typed = replace(typed_from(TABLE), text="1 Jul 0605 5.2 1220 0.6\n2 Jul 0040 5.4")

    without = tide_typing_content(typed, PLACE_ID, None)
    with_year = tide_typing_content(replace(typed, year=2026), PLACE_ID, TABLE)

    assert without.table is None
    assert with_year.table == TABLE


def test_what_is_not_known_about_the_port_stays_not_known() -> None:
    typed = replace(typed_from(TABLE), exposure=None, is_distorted=None)

    content = tide_typing_content(typed, PLACE_ID, None)

    assert content.table is not None
    assert content.table.exposure is None
    assert content.table.is_distorted is None


def test_the_places_own_zone_is_offered_first_but_not_chosen() -> None:
    zones = zones_offered("Europe/Dublin")

    assert zones[:2] == ("Europe/Dublin", "UTC")
    assert len(set(zones)) == len(zones)
    assert TideTyped().zone == ""


def test_the_example_can_be_read() -> None:
    typed = replace(typed_from(TABLE), zone="UTC", text=example_text())

    assert tide_typing_content(typed, PLACE_ID, None).faults == ()
