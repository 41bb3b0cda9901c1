"""Printed tide tables as people paste them: read whole, or refused with the line."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_text import clock_zone, read_turns, turns_text, zone_name
from fieldtrip.tides.records import Turn

NOAA = Path(__file__).parents[1] / "data" / "noaa_san_francisco_2026-08.csv"


def at(hour: int, minute: int, day: int = 15) -> datetime:
    """An instant of August 2026, UTC."""
    return datetime(2026, 8, day, hour, minute, tzinfo=UTC)


# Source: NOAA CO-OPS, San Francisco, m above MLLW, UTC.
FIRST_DAY = (
    Turn(at(2, 24), 0.491, is_high=False),
    Turn(at(8, 32), 1.785, is_high=True),
    Turn(at(14, 43), 0.043, is_high=False),
    Turn(at(21, 33), 1.758, is_high=True),
)


def test_the_authoritys_own_file_of_a_week() -> None:
    read = read_turns(NOAA.read_text(), "UTC", "m")

    assert read.turns[:4] == FIRST_DAY
    assert len(read.turns) == 27
    assert read.notes == ()


@pytest.mark.parametrize(
    "text",
    [
        "2026-08-15 02:24 L 0.49\n2026-08-15 08:32 H 1.78\n"
        "2026-08-15 14:43 L 0.04\n2026-08-15 21:33 H 1.76",
        "15 Aug 2026 02:24 0.49 m\n15 Aug 2026 08:32 1.78 m\n"
        "15 Aug 2026 14:43 0.04 m\n15 Aug 2026 21:33 1.76 m",
        "Sat 15 Aug  0224 0.49  0832 1.78  1443 0.04  2133 1.76",
        "Sat 15 Aug 2026\t0224\t0.49\t0832\t1.78\t1443\t0.04\t2133\t1.76",
        "Saturday, August 15, 2026, 0224, 0.49, 0832, 1.78, 1443, 0.04, 2133, 1.76",
        "15.08.2026;02:24;0,49\r\n15.08.2026;08:32;1,78\r\n"
        "15.08.2026;14:43;0,04\r\n15.08.2026;21:33;1,76\r\n",
        "15.08.2026 02:24 0,49 m Low\n08:32 1,78 m High\n14:43 0,04 m Low\n"
        "21:33 1,76 m High",
        '"2026/08/15","02:24 AM","0.49","L"\n"2026/08/15","08:32 AM","1.78","H"\n'
        '"2026/08/15","02:43 PM","0.04","L"\n"2026/08/15","09:33 pm","1.76","H"',
        "15-Aug-2026 LW 02:24 0.49m\n15-Aug-2026 HW 08:32 1.78m\n"
        "15-Aug-2026 LW 14:43 0.04m\n15-Aug-2026 HW 21:33 1.76m",
        "15/8/2026 02:24 0.49\n15/8/2026 08:32 1.78\n15/8/2026 14:43 0.04\n"
        "15/8/2026 21:33 1.76",
        "15,Sa,8,2026,02:24,0.49,08:32,1.78,14:43,0.04,21:33,1.76",
        "Date Time Height (m)\n\n2026-08-15T02:24Z 0.49\n2026-08-15T08:32Z 1.78\n"
        "2026-08-15T14:43Z 0.04\n2026-08-15T21:33Z 1.76\n",
        "2026-08-15 02:24 Low tide 0.49\n2026-08-15 08:32 High tide 1.78\n"
        "2026-08-15 14:43 Low tide 0.04\n2026-08-15 21:33 High tide 1.76",
    ],
)
def test_the_same_day_in_many_hands(text: str) -> None:
    read = read_turns(text, "UTC", "m", date(2026, 8, 1))

    # 1.785 was typed as 1.78 in each of them.
    assert [t.instant for t in read.turns] == [t.instant for t in FIRST_DAY]
    assert [t.is_high for t in read.turns] == [t.is_high for t in FIRST_DAY]
    assert [t.height_m for t in read.turns] == pytest.approx([0.49, 1.78, 0.04, 1.76])


@pytest.mark.parametrize(
    ("unit", "text"),
    [
        ("cm", "2026-08-15 02:24 49\n2026-08-15 08:32 178"),
        # 1 ft is 0.3048 m by the 1959 agreement.
        ("ft", "2026-08-15 02:24 1.6076\n2026-08-15 08:32 5.8399"),
    ],
)
def test_units(unit: str, text: str) -> None:
    read = read_turns(text, "UTC", unit)

    assert [t.height_m for t in read.turns] == pytest.approx([0.49, 1.78], abs=1e-4)


@pytest.mark.parametrize(
    ("zone", "first"),
    [
        ("UTC", at(2, 24)),
        ("America/Los_Angeles", at(9, 24)),
        ("+01:00", at(1, 24)),
        ("UTC+1", at(1, 24)),
        ("UTC−3:30", at(5, 54)),
    ],
)
def test_zones(zone: str, first: datetime) -> None:
    read = read_turns("2026-08-15 02:24 0.49\n2026-08-15 08:32 1.78", zone, "m")

    assert read.turns[0].instant == first


def test_the_repeated_hour_at_lyttelton() -> None:
    # Source: LINZ, tide table of Lyttelton 2017, local standard or daylight time:
    # 1 April 21:20 2.5; 2 April 02:34 0.3, 08:51 2.4.  The clock went back at 3:00.
    text = "2017-04-01 21:20 2.5\n2017-04-02 02:34 0.3\n2017-04-02 08:51 2.4"

    read = read_turns(text, "Pacific/Auckland", "m")

    # As the second 02:34 the gaps are 6.23 h and 6.28 h, as the first 5.23 and 7.28.
    gaps = [
        (b.instant - a.instant) / timedelta(hours=1) for a, b in pairwise(read.turns)
    ]
    assert gaps == pytest.approx([6.23, 6.28], abs=0.01)
    assert len(read.notes) == 1
    assert "twice" in read.notes[0]


def test_a_time_that_the_clock_skips_is_read_by_even_gaps_and_told() -> None:
    # The clock of Dublin went from 1:00 to 2:00 on 29 March 2026.
    text = "2026-03-28 19:10 4.0\n2026-03-29 01:25 0.8\n2026-03-29 08:40 4.1"

    read = read_turns(text, "Europe/Dublin", "m")

    assert read.turns[1].instant == datetime(2026, 3, 29, 1, 25, tzinfo=UTC)
    assert "skips" in read.notes[0]


def test_a_year_that_is_not_given_is_the_nearest() -> None:
    text = "31 Dec 1800 0.5\n1 Jan 0012 3.0"

    for near in (date(2026, 12, 20), date(2027, 1, 5)):
        read = read_turns(text, "UTC", "m", near)
        assert [t.instant.year for t in read.turns] == [2026, 2027]


def test_a_time_that_looks_like_a_year_is_a_time() -> None:
    read = read_turns("15 Aug 1432 0.5 2026 3.0", "UTC", "m", date(2026, 8, 1))

    assert [f"{t.instant:%Y %H:%M}" for t in read.turns] == ["2026 14:32", "2026 20:26"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing to read"),
        ("<!DOCTYPE html><html><body>02:24</body></html>", "web page"),
        ('{"error": {"message": "No Predictions data was found."}}', "JSON"),
        ("2026-08-15 02:24 0.49", "at least one high and one low"),
        ("hello\nworld", "at least one high and one low"),
        ("2026-08-15 02:24 0.49\nand so on 7", "Line 2"),
        ("2026-08-15 02:24 0.49\n2026-08-15 08:32", "Line 2 ends"),
        ("2026-08-15 02:24 0.49\n2026-08-15 08:3", "Line 2"),
        ("2026-08-15 02:24 0.49\n2026-08-15 25:32 1.8", "Line 2"),
        ("2026-08-15 02:24 0.49\n2026-13-15 08:32 1.8", "Line 2"),
        ("2026-08-15 02:24 0.49\n2026-02-30 08:32 1.8", "does not exist"),
        ("2026-08-15 02:24 0.49\n2026-08-15 08:32 178", "unit"),
        ("2026-08-15 02:24 0.49 ft\n2026-08-15 08:32 1.8", "in ft, not in m"),
        ("Date Height (ft)\n2026-08-15 02:24 0.49\n2026-08-15 08:32 1.8", "ft"),
        ("2026-08-15 08:32 1.8\n2026-08-15 02:24 0.49", "Line 2"),
        ("2026-08-15 02:24 0.49\n2026-08-15 02:24 1.8", "Line 2"),
        ("Fri 15 Aug 2026 0224 0.49 0832 1.8", "a Saturday"),
        ("15 Aug 0224 0.49 0832 1.8", "without a year"),
        ("03/04/2026 02:24 0.49\n03/04/2026 08:32 1.8", "two ways"),
        ("0224 0.49 0832 1.8", "no date"),
        ("2026-08-15 02:24 0.49 L\n2026-08-15 08:32 1.8 L", "Line 2: two low"),
        ("2026-08-15 02:24 0.49 H\n2026-08-15 08:32 1.8 L", "Line 1 is marked"),
        ("2026-08-15 02:24 0.5\n2026-08-15 08:32 0.5", "same height"),
        (
            "2026-08-15 02:24 0.5\n2026-08-15 08:32 1.0\n2026-08-15 14:43 1.8",
            "Line 2 lies between",
        ),
        ("2026-08-15 02:24 nan\n2026-08-15 08:32 1.8", "nan"),
        ("2026-08-15 02:24 0,49,L\n2026-08-15 08:32 1,78,H", "Line 1"),
        (
            "Date Time, Prediction, Type\n2026-08-15 02:24,0.491,L\n"
            "2026-08-15 08:32,1.7",
            "Line 3 is not whole",
        ),
        ("2026-08-15 02:24 0.49\n\x00\x01 7", "Line 2"),
        ("2026-08-15 14:43 pm 0.49\n2026-08-15 08:32 1.8", "does not exist"),
    ],
)
def test_what_is_no_table_is_one_sentence(text: str, says: str) -> None:
    with pytest.raises(UserError) as caught:
        read_turns(text, "UTC", "m")

    assert says in str(caught.value)
    assert str(caught.value).endswith((".", "?"))


def test_unit_and_zone_must_be_given() -> None:
    good = NOAA.read_text()

    for zone, unit in (("UTC", ""), ("UTC", "fathoms"), ("", "m"), ("Mars", "m")):
        with pytest.raises(UserError):
            read_turns(good, zone, unit)


def test_a_missing_pair_is_told() -> None:
    text = "2026-08-15 02:24 0.49 L\n2026-08-15 21:33 1.76 H"

    read = read_turns(text, "UTC", "m")

    assert len(read.notes) == 1
    assert "Line 2 comes 19.1 h after" in read.notes[0]


@pytest.mark.parametrize("zone", ["UTC", "America/Los_Angeles", "+05:30"])
@pytest.mark.parametrize("unit", ["m", "cm", "ft"])
def test_a_table_shown_again_reads_the_same(zone: str, unit: str) -> None:
    turns = read_turns(NOAA.read_text(), "UTC", "m").turns

    again = read_turns(turns_text(turns, zone, unit), zone, unit).turns

    assert [t.instant for t in again] == [t.instant for t in turns]
    assert [t.is_high for t in again] == [t.is_high for t in turns]
    heights = [t.height_m for t in turns]
    assert [t.height_m for t in again] == pytest.approx(heights, abs=1e-6)


@given(
    lows=st.lists(st.floats(-3.0, 1.9), min_size=1, max_size=12),
    highs=st.lists(st.floats(2.0, 14.0), min_size=12, max_size=12),
    unit=st.sampled_from(["m", "cm", "ft"]),
)
def test_heights_that_were_never_typed_in_a_unit_read_the_same(
    lows: list[float], highs: list[float], unit: str
) -> None:
    heights = [height for pair in zip(lows, highs, strict=False) for height in pair]
    turns = [
        Turn(at(0, 0) + timedelta(hours=6 * i), height_m, is_high=i % 2 == 1)
        for i, height_m in enumerate(heights)
    ]
    text = turns_text(turns, "UTC", unit)

    again = read_turns(text, "UTC", unit).turns

    assert [(t.instant, t.is_high) for t in again] == [
        (t.instant, t.is_high) for t in turns
    ]
    assert [t.height_m for t in again] == pytest.approx(heights, abs=1e-6)
    assert turns_text(again, "UTC", unit) == text


@given(
    hours=st.lists(st.floats(2.0, 14.0), min_size=1, max_size=40),
    start=st.datetimes(datetime(2017, 3, 30), datetime(2017, 4, 3)),  # noqa: DTZ001
)
def test_a_table_across_the_repeated_hour_reads_the_same(
    hours: list[float], start: datetime
) -> None:
    instant = start.replace(second=0, microsecond=0, tzinfo=UTC)
    turns = [Turn(instant, 0.5, is_high=False)]
    for index, hour in enumerate(hours):
        instant += timedelta(minutes=round(60 * hour))
        is_high = index % 2 == 0
        turns.append(Turn(instant, 2.5 if is_high else 0.5, is_high))

    text = turns_text(turns, "Pacific/Auckland", "m")

    assert read_turns(text, "Pacific/Auckland", "m").turns == tuple(turns)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Europe/Dublin", "Europe/Dublin"),
        ("UTC", "UTC"),
        ("+00:00", "UTC"),
        # The names of the fixed zones count the other way round (tz database).
        ("UTC+12", "Etc/GMT-12"),
        ("-08:00", "Etc/GMT+8"),
    ],
)
def test_the_zone_to_keep(typed: str, name: str) -> None:
    moment = datetime(2026, 1, 1, tzinfo=UTC)

    assert zone_name(typed) == name
    assert (
        moment.astimezone(clock_zone(typed)).utcoffset()
        == moment.astimezone(clock_zone(name)).utcoffset()
    )


@pytest.mark.parametrize("typed", ["+05:30", "+15:00", "Nowhere", ""])
def test_a_zone_that_cannot_be_kept_is_a_sentence(typed: str) -> None:
    with pytest.raises(UserError):
        zone_name(typed)
