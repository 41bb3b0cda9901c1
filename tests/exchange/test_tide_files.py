"""Tide files of every authority, whole, cut, damaged and wrongly labelled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_columns import Columns, DayOrder, columns_of, columns_text
from fieldtrip.exchange.tide_columns import proposed as proposed_columns
from fieldtrip.exchange.tide_facts import (
    Facts,
    asked,
    constants_of,
    mean_range_m,
    range_doubt,
    series_of,
    settled,
    turns_of,
)
from fieldtrip.exchange.tide_file import TideFile, TideKind
from fieldtrip.exchange.tide_files_in import Unsettled, belonging, read_tide_file
from fieldtrip.tides.fit import fit_turns
from tests.exchange.test_damage import damaged
from tests.exchange.tide_story import (
    DOVER_HEAD,
    DOVER_HEIGHTS,
    DOVER_TURNS,
    annual_txt,
    coops_series_csv,
    coops_turns_csv,
    coops_turns_json,
    datums_json,
    dover,
    harcon_json,
    linz_2013,
    linz_2017,
    read,
)
from tests.tides.published import (
    DATA,
    SAN_FRANCISCO,
    annual_turns,
    constants,
    curve,
    hourly,
    lyttelton,
    official_turns,
)

GMT_METRES = Facts(zone="UTC", unit="m")
WHOLE: dict[str, Callable[[], bytes]] = {
    "coops turns": coops_turns_csv,
    "coops series": coops_series_csv,
    "coops json": coops_turns_json,
    "harcon": harcon_json,
    "datums": datums_json,
    "annual": annual_txt,
    "linz": linz_2013,
    "format 13": dover,
}
DAMAGE = st.lists(
    st.tuples(
        st.floats(0.0, 0.999),
        st.sampled_from(["cut", "swap", "drop", "more"]),
        st.sampled_from(
            [b"\0", b"\xff\xfe", b"</", b"NaN", b"-", b"1e999", b'"', b"null", b"}",
             b"\xe9", b"999999999999", b",", b"\n", b"\t", b"0001-01-01", b"\x85"]
        ),
    ),
    min_size=1, max_size=4,
)  # fmt: skip
HEAD = b"Date Time, Prediction, Type\n"
HONG_KONG = (
    # The layout of Hong Kong Observatory's open data; the figures are invented.
    "Date,Time,Height(m),Type\n"
    "2026-01-01,03:12,0.52,L\n2026-01-01,09:40,1.61,H\n"
    "2026-01-01,15:02,0.98,L\n2026-01-01,20:31,2.13,H\n"
)


def attempt(data: bytes) -> TideFile | str:
    """What a file holds, or why it is refused."""
    try:
        found = read_tide_file(data, "cut.csv")
    except UserError as error:
        return str(error)
    if isinstance(found, Unsettled):
        return "cut.csv: nobody said which column holds what"
    return found


def test_high_and_low_waters_as_csv_and_as_json() -> None:
    for data in (coops_turns_csv(), coops_turns_json()):
        file = read(data)
        turns = turns_of([file], GMT_METRES).turns

        assert turns == official_turns(SAN_FRANCISCO)
        assert asked(file) == ("zone", "unit", "datum", "port")


def test_the_service_s_own_json() -> None:
    # Source: NOAA CO-OPS, data API, San Francisco, 15 August 2026 (GMT, MLLW, m).
    data = b"""{ "predictions" : [
{"t":"2026-08-15 02:24", "v":"0.491", "type":"L"},{"t":"2026-08-15 08:32", "v":"1.785",
"type":"H"},{"t":"2026-08-15 14:43", "v":"0.043", "type":"L"}
]}
"""

    turns = turns_of([read(data)], GMT_METRES).turns

    assert [t.height_m for t in turns] == [0.491, 1.785, 0.043]
    assert turns[0].instant == datetime(2026, 8, 15, 2, 24, tzinfo=UTC)
    assert [t.is_high for t in turns] == [False, True, False]


def test_hourly_heights() -> None:
    file = read(coops_series_csv())
    found = series_of([file], GMT_METRES)

    official = hourly(SAN_FRANCISCO)
    assert file.kind is TideKind.SERIES
    assert (found.instants == official.instants).all()
    assert np.abs(found.heights_m - official.heights_m).max() <= 0.0005


def test_a_station_s_page_says_its_zone_and_unit() -> None:
    # The layout of a NOAA station's page; the figures are invented.
    data = (
        b'"Date","Time (GMT)","Predicted (m)","Preliminary (m)","Verified (m)"\n'
        b'"2023/08/30","00:00","0.512","-","0.530"\n'
        b'"2023/08/30","00:06","-","-","-"\n'
        b'"2023/08/30","00:12","0.498","-","0.515"\n'
    )

    file = read(data)

    assert (file.zone, file.unit) == ("UTC", "m")
    assert series_of([file], Facts()).heights_m.tolist() == [0.512, 0.498]
    assert "1 lines have no prediction" in file.notes[0]


def test_constants_and_levels_are_a_station() -> None:
    (file,) = belonging([read(datums_json()), read(harcon_json())])

    found = constants_of(file, Facts(port="San Francisco"))

    official = constants(SAN_FRANCISCO)
    # Source: NOAA CO-OPS, datums of 9414290: MSL less MLLW is 0.951 m (MTL 0.970 m).
    assert found.z0_m == pytest.approx(0.951, abs=1e-9)
    assert found.datum == "MLLW"
    assert found.constants == official.constants


def test_constants_in_feet_with_levels_in_metres() -> None:
    feet = 1.0 / 0.3048
    (file,) = belonging([read(harcon_json("feet, deg", feet)), read(datums_json())])

    found = constants_of(file, Facts(port="San Francisco"))

    official = constants(SAN_FRANCISCO)
    assert found.z0_m == pytest.approx(0.951)
    for one, other in zip(found.constants, official.constants, strict=True):
        assert one.amplitude_m == pytest.approx(other.amplitude_m, abs=1e-5)


def test_an_annual_table_follows_summer_time() -> None:
    file = read(annual_txt())
    turns = turns_of([file], Facts(zone="America/Los_Angeles")).turns

    assert turns == annual_turns("port_townsend")
    assert (file.port, file.datum, file.unit) == ("PORT TOWNSEND", "MLLW", "cm")
    assert file.source.endswith("annual table 2017, station 9444900")
    assert asked(file) == ("zone",)


def test_a_subordinate_table_in_which_the_tide_stands() -> None:
    file = read(annual_txt("mystery_bay"))
    read_turns = turns_of([file], Facts(zone="America/Los_Angeles"))

    official = annual_turns("mystery_bay")
    assert set(read_turns.turns) <= set(official)
    assert 0 < len(official) - len(read_turns.turns) <= 20
    assert any("the tide stands there" in note for note in read_turns.notes)
    assert any("differences from Port Townsend" in note for note in read_turns.notes)


def test_a_clock_with_summer_time_is_no_offset() -> None:
    for zone in ("UTC-8", "Etc/GMT+8", "UTC"):
        with pytest.raises(UserError, match="follow summer time"):
            turns_of([read(annual_txt())], Facts(zone=zone))


def test_lyttelton_in_standard_time() -> None:
    file = read(linz_2013())
    turns = turns_of([file], Facts(datum="chart datum")).turns

    assert turns == lyttelton(2013)
    assert (file.port, file.zone, file.unit) == ("Lyttelton", "UTC+12:00", "m")
    assert asked(file) == ("datum",)
    assert file.position is not None
    assert file.position.lat_deg == pytest.approx(-43.6)


def test_the_repeated_hour_of_lyttelton_is_its_second() -> None:
    file = read(linz_2017())
    found = turns_of([file], Facts(zone="Pacific/Auckland"))

    # Source: LINZ, Lyttelton 2017: low at 21:20 (NZDT) on 1 April, then high at 02:34
    # on the 2nd, which the clock shows twice, then 08:51 (NZST).
    at = next(
        i for i, t in enumerate(found.turns)
        if t.instant == datetime(2017, 4, 1, 14, 34, tzinfo=UTC)
    )  # fmt: skip
    gaps = [found.turns[i + 1].instant - found.turns[i].instant for i in (at - 1, at)]
    assert gaps == [timedelta(hours=6, minutes=14), timedelta(hours=6, minutes=17)]
    assert any("twice" in note and "second time" in note for note in found.notes)
    assert asked(file) == ("zone", "datum")


def test_the_specification_s_day_at_dover() -> None:
    file = read(dover())
    turns = turns_of([file], Facts()).turns

    assert [(f"{t.instant:%H%M}", t.height_m, t.is_high) for t in turns] == [
        ("0715", 0.962, False),
        ("1201", 6.696, True),
        ("1938", 1.017, False),
    ]
    assert (file.port, file.zone, file.datum) == ("DOVER", "UTC", "chart datum")
    assert [r.height for r in file.series[:2]] == [6.684, 6.639]
    assert file.series[-1].clock == datetime(2002, 1, 1, 23, 50, tzinfo=UTC)
    assert asked(file) == ()


def test_the_specification_s_cut_heights_are_refused() -> None:
    text = "\n".join([DOVER_HEAD, DOVER_TURNS, *map(str, DOVER_HEIGHTS), ""])

    with pytest.raises(UserError, match="48 heights of 144"):
        read(text.encode())


def test_several_days_of_format_13_in_another_zone() -> None:
    second = dover(120).decode().replace("20020101", "20020102")
    second = second.replace(DOVER_TURNS, "0021,H,6.7,0757,L,0.9,1241,H,6.6,2016,L,1.1")
    data = (dover(120).decode() + second).replace("+0000", "+0100").encode()

    file = read(data)
    turns = turns_of([file], Facts()).turns

    assert len(turns) == 7
    assert turns[3].instant == datetime(2002, 1, 1, 23, 21, tzinfo=UTC)
    assert len(file.series) == 24
    assert file.zone == "UTC+01:00"


@pytest.mark.parametrize("layout", WHOLE)
@given(share=st.floats(0.001, 0.999))
def test_a_file_cut_anywhere_is_refused_or_reads_as_its_beginning(
    layout: str, share: float
) -> None:
    data = WHOLE[layout]()
    whole = read(data)

    found = attempt(data[: int(share * len(data))])

    if isinstance(found, str):
        assert found.startswith("cut.csv: ")
        assert "\n" not in found
        return
    if found.text:  # cut before its layout shows
        with pytest.raises(UserError):
            turns_of([found], GMT_METRES)
        return
    assert found.turns == whole.turns[: len(found.turns)]
    assert found.series == whole.series[: len(found.series)]
    # The service does not say how far it goes; in others only a figure may be cut.
    assert layout.startswith("coops") or "is left out" in "".join(found.notes)


@pytest.mark.parametrize("layout", sorted(set(WHOLE) - {"annual", "linz"}))
@given(damage=DAMAGE)
def test_a_damaged_file_is_read_whole_or_refused(
    layout: str, damage: list[tuple[float, str, bytes]]
) -> None:
    found = attempt(damaged(WHOLE[layout](), damage))

    if isinstance(found, str):
        assert found.startswith("cut.csv: ")
        assert "\n" not in found
        assert len(found) < 400
        return
    if found.is_timed:
        for reading in (*found.turns, *found.series):
            assert 1900 <= reading.clock.year <= 2099
            assert abs(reading.height) < 1e6


def test_a_date_of_very_many_figures_is_none() -> None:
    data = linz_2017().replace(b",2017,", b",999999999999,", 1)

    with pytest.raises(UserError, match="Line 4 is not whole"):
        read(data)


@pytest.mark.parametrize("layout", WHOLE)
@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be", "utf-32", "cp037"])
def test_a_file_in_a_wrong_encoding(layout: str, encoding: str) -> None:
    text = WHOLE[layout]().decode("latin-1")

    with pytest.raises(UserError, match=r"no text|no tide file"):
        read(text.encode(encoding, "replace"))


@pytest.mark.parametrize("layout", WHOLE)
def test_a_file_in_utf_16_with_its_mark_reads_as_well(layout: str) -> None:
    data = WHOLE[layout]()

    assert read(data.decode("latin-1").encode("utf-16")) == read(data)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"\n\n  \n", "empty"),
        (b"<!DOCTYPE html><html><title>503</title></html>", "web page"),
        (b"\xef\xbb\xbf <html>", "web page"),
        (b'<?xml version="1.0"?><data/>', "XML"),
        (b'{"error":{"message":"No Predictions data was found."}}',
         "answered with an error: No Predictions data was found"),
        (b'{"error": "gone"}', "answered with an error: gone"),
        (b"Error: the station is wrong", "answered with an error"),
        (HEAD + b"No Predictions data was found. Please make sure",
         "answered with an error: No Predictions data was found"),
        (HEAD + b"", "no heights"),
        (HEAD + b"2018-12-25 00:54,-3.304,L\n2018-12-25 07:10,1.2",
         "Line 3 is not whole"),
        (HEAD + b"2018-02-30 00:54,1.0,L\n", "a date that exists"),
        (HEAD + b"2999-02-20 00:54,1.0,L\n", "a date that exists"),
        (HEAD + b"2018-02-20 00:54,nan,L\n", "not whole"),
        (b'{"predictions": 4}', "list of heights"),
        (b'{"predictions": [{"t": "2026-08-15 02:24"}]}', "Entry 1 is not whole"),
        (b'{"predictions": []}', "no heights"),
        (b'{"HarmonicConstituents": []}', "no constituents"),
        (b'{"HarmonicConstituents": [{"name": "M2", "amplitude": NaN}]}', "JSON"),
        (b'{"type": "FeatureCollection"}', "neither heights"),
        (b"[" * 100_000, "JSON"),
        (b"[1, 2]", "no tide file"),
        (b"\x89PNG\r\n\x1a\n\x00", "no text"),
        (bytes(range(256)) * 45_000, "too large"),
        (bytes(range(256)) * 39_000, "no text"),
        (b"lorem ipsum " * 800_000, "no tide file"),
        (b"1" * 9_900_000, "no tide file"),
    ],
)  # fmt: skip
def test_what_is_no_tide_file_is_told_in_one_sentence(data: bytes, reason: str) -> None:
    with pytest.raises(UserError) as told:
        read(data, "odd.csv")

    assert reason in str(told.value)
    assert str(told.value).startswith("odd.csv: ")
    assert len(str(told.value)) < 400


def test_a_year_s_table_without_its_end_is_refused() -> None:
    head = (DATA / "noaa_annual_seattle_2017_head.txt").read_bytes()

    with pytest.raises(UserError, match="says that it runs from 2017-01-01"):
        read(head)
    with pytest.raises(UserError, match="not whole"):
        read(b"\r\n".join(linz_2013().split(b"\r\n")[:200]) + b"\r\n")


def test_a_missing_day_is_noticed() -> None:
    lines = linz_2017().split(b"\r\n")

    with pytest.raises(UserError, match="not the next day"):
        read(b"\r\n".join([*lines[:8], *lines[9:]]))


def test_feet_that_differ_from_centimetres_are_refused() -> None:
    data = annual_txt().replace(b"\t9.3\t\t283\t", b"\t9.3\t\t383\t", 1)

    with pytest.raises(UserError, match="other feet than centimetres"):
        read(data)


def test_what_the_file_says_cannot_be_said_otherwise() -> None:
    file = read(linz_2013())

    for facts, reason in (
        (Facts(zone="Pacific/Auckland"), "times are in UTC\\+12:00, not in"),
        (Facts(unit="ft"), "unit is m, not ft"),
    ):
        with pytest.raises(UserError, match=reason):
            turns_of([file], facts)
    assert settled(file, Facts(zone="UTC+12", unit="m")).unit == "m"


@pytest.mark.parametrize(
    ("facts", "reason"),
    [(Facts(unit="m"), "in which zone"), (Facts(zone="UTC"), "in which unit")],
)
def test_nothing_is_supposed(facts: Facts, reason: str) -> None:
    with pytest.raises(UserError, match=reason):
        turns_of([read(coops_turns_csv())], facts)


def test_feet_taken_for_metres_are_asked_about() -> None:
    # Source: NOAA CO-OPS, official turns of San Francisco and constants of the port;
    # HAT 3.757 m and LAT -0.646 m of Boston.
    metres = np.array([turn.height_m for turn in official_turns(SAN_FRANCISCO)])
    start = datetime(2025, 1, 1, tzinfo=UTC)
    month = curve(SAN_FRANCISCO).grid_m(start, 600.0, 29 * 144)
    known_m = mean_range_m(month)
    boston_ft = np.array([-0.646, 3.757]) / 0.3048

    assert known_m == pytest.approx(1.2, abs=0.1)  # the mean range of 2026 is 1.22 m
    assert "in feet?" in range_doubt(metres / 0.3048, known_m)
    assert range_doubt(metres, known_m) == ""
    assert "in metres, not in feet?" in range_doubt(metres * 0.3048, known_m)
    assert "Is the unit right?" in range_doubt(boston_ft, None)
    assert range_doubt(boston_ft * 0.3048, None) == ""


def test_heights_that_no_tide_has_are_refused() -> None:
    data = HEAD + b"2026-01-01 00:00,95,L\n2026-01-01 06:00,180,H\n"

    with pytest.raises(UserError, match="no tide has"):
        turns_of([read(data)], GMT_METRES)
    assert len(turns_of([read(data)], Facts(zone="UTC", unit="cm")).turns) == 2


def test_files_of_several_months_are_one_table() -> None:
    lines = coops_turns_csv().split(b"\r\n")
    first = b"\r\n".join([*lines[:12], b""])
    second = b"\r\n".join([lines[0], *lines[10:]])

    files = belonging([read(second, "b.csv"), read(first, "a.csv")])

    assert turns_of(files, GMT_METRES).turns == official_turns(SAN_FRANCISCO)


@pytest.mark.parametrize(
    ("others", "reason"),
    [
        ([datums_json], "Levels alone"),
        ([coops_turns_csv, coops_series_csv], "do not belong together"),
        ([harcon_json, harcon_json], "do not belong together"),
        ([linz_2013, dover], "do not state the same port"),
    ],
)
def test_files_that_do_not_belong_together(
    others: list[Callable[[], bytes]], reason: str
) -> None:
    with pytest.raises(UserError, match=reason):
        belonging([read(make(), f"{n}.csv") for n, make in enumerate(others)])


def test_a_csv_of_another_layout_waits_for_its_columns() -> None:
    found = read_tide_file(HONG_KONG.encode(), "tides.csv")

    assert isinstance(found, Unsettled)
    assert found.table.names == ("Date", "Time", "Height(m)", "Type")
    assert proposed_columns(found.table) == Columns(
        day=0, clock=1, height=2, mark=3, order=DayOrder.YEAR_FIRST
    )


def test_a_csv_whose_columns_are_settled() -> None:
    columns = columns_of("date=1,time=2,height=3,type=4")
    heading = "Date,Time,Height(m),Type"

    file = read_tide_file(HONG_KONG.encode(), "tides.csv", {heading: columns})

    assert isinstance(file, TideFile)
    assert (file.unit, asked(file)) == ("m", ("zone", "datum", "port"))
    turns = turns_of([file], Facts(zone="Asia/Hong_Kong")).turns
    assert [t.height_m for t in turns] == [0.52, 1.61, 0.98, 2.13]
    assert turns[0].instant == datetime(2025, 12, 31, 19, 12, tzinfo=UTC)


def test_dates_that_can_be_read_in_two_ways_are_not_guessed() -> None:
    text = "When;Water level\n03/04/2026 05:10;1,25\n03/04/2026 11:20;4,5\n"
    found = read_tide_file(text.encode(), "tides.csv")

    assert isinstance(found, Unsettled)
    assert proposed_columns(found.table) is None
    for order, month in (("day", 4), ("month", 3)):
        columns = columns_of(f"date=1,height=2,order={order}")
        file = read_tide_file(text.encode(), "t.csv", {found.table.heading: columns})
        assert isinstance(file, TideFile)
        assert file.turns[0].clock.month == month
        assert [r.height for r in file.turns] == [1.25, 4.5]


def test_a_settled_csv_with_even_heights_is_a_series() -> None:
    rows = [f"2026-01-01T{hour:02d}:00Z,{hour / 10}" for hour in range(24)]
    text = "\n".join(["time (UTC),level_cm", *rows, ""])
    columns = columns_of("date=1,height=2")

    file = read_tide_file(text.encode(), "t.csv", {"time (UTC),level_cm": columns})

    assert isinstance(file, TideFile)
    assert (file.kind, file.unit, file.zone) == (TideKind.SERIES, "cm", "UTC")
    assert series_of([file], Facts()).heights_m[-1] == pytest.approx(0.023)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("2026-01-01,03:12,0.52", "3 columns of 4"),
        ("2026-01-01,03:12,,L", "a height should stand"),
        ("2026-01-01,03:12,0.5,rising", "H or L should stand"),
        ("2026-13-01,03:12,0.5,L", "a date that exists"),
        ("2026-01-01,25:12,0.5,L", "a date that exists"),
        ("01-01-26,03:12,0.5,L", "a date that exists"),
    ],
)
def test_a_settled_csv_with_a_bad_line(text: str, reason: str) -> None:
    data = f"{HONG_KONG}{text}\n".encode()
    columns = columns_of("date=1,time=2,height=3,type=4")

    with pytest.raises(UserError, match=f"Line 6 .*{reason}"):
        read_tide_file(data, "t.csv", {"Date,Time,Height(m),Type": columns})


@pytest.mark.parametrize(
    "text", ["", "date=1", "date=0,height=2", "date=1,height=2,order=up", "a=b", "date"]
)
def test_columns_that_make_no_sense(text: str) -> None:
    with pytest.raises(UserError, match="Columns are given as"):
        columns_of(text)


def test_columns_are_written_as_they_are_read() -> None:
    for text in (
        "date=1,time=2,height=3,type=4,order=day",
        "date=2,height=1,order=year",
    ):
        assert columns_text(columns_of(text)) == text


def test_a_repeated_hour_in_even_heights_is_told_by_their_order() -> None:
    # Lord Howe or London, the clock goes back and shows an hour twice.
    clock = ZoneInfo("Europe/London")
    start = datetime(2026, 10, 24, 22, tzinfo=UTC)
    instants = [start + timedelta(minutes=20 * n) for n in range(24)]
    rows = [f"{t.astimezone(clock):%Y-%m-%d %H:%M},{n / 10}" for n, t in
            enumerate(instants)]  # fmt: skip
    data = "\n".join(["Date Time, Prediction", *rows, ""]).encode()

    found = series_of([read(data)], Facts(zone="Europe/London", unit="m"))

    expected = np.array([t.replace(tzinfo=None) for t in instants], "datetime64[ms]")
    assert (found.instants == expected).all()


@pytest.mark.slow
def test_a_year_of_lyttelton_from_its_file_fits() -> None:
    turns = turns_of([read(linz_2013())], Facts(datum="chart datum")).turns

    fit = fit_turns(turns, "Lyttelton", "chart datum")

    # LINZ prints decimetres, whose rounding alone leaves 2.9 cm.
    assert 0.025 <= fit.rms_m <= 0.033
