"""The Tide page, strip, month and notes on crossings with a station's tide."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from fieldtrip.almanac.crossing_seen import leg_words
from fieldtrip.almanac.tide import NO_TABLE, tide_day, tide_minute
from fieldtrip.desktop.content.crossing_typing import (
    CrossingTyped,
    crossing_note,
)
from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.desktop.content.map_layers import passable_words
from fieldtrip.desktop.content.tide_month import UNKNOWN, tide_month
from fieldtrip.desktop.content.tide_reach import reach_words
from fieldtrip.errors import UserError
from fieldtrip.places.records import CrossingObservation, Shore, WantedTurn
from fieldtrip.settings import Settings
from fieldtrip.tides.sources import source_of_table
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import curve_for, station_of
from tests.desktop.strip_story import BAR, BAR_END, DAY, DOSSIER, TABLE, at, with_table
from tests.safety.station_story import GOLDEN, dossier_with
from tests.safety.story import CLEAR, LEG
from tests.safety.story import at as summer

WEATHER = "Predictions exclude weather and sea state."
AUGUST = date(2026, 8, 15)
SETTINGS = Settings()


@pytest.fixture
def dossier() -> Dossier:
    return dossier_with(CLEAR, GOLDEN)


def test_a_station_s_turns_are_the_official_ones(dossier: Dossier) -> None:
    rows = tide_day(dossier, None, AUGUST, SETTINGS).rows

    # Source: NOAA CO-OPS, 9414290: 08:32 UTC 1.785 m, 14:43 0.043 m, 21:33 1.758 m,
    # in San Francisco seven hours earlier; daily nodes may shift them by a minute.
    assert [row.what for row in rows] == ["high water", "low water"] * 2
    assert [row.time for row in rows[:3]] == ["01:32", "07:43", "14:33"]
    heights = [float(row.height.split()[0]) for row in rows[:3]]
    assert heights == pytest.approx([1.785, 0.043, 1.758], abs=0.02)


def test_the_page_says_where_the_tide_comes_from_and_how_good(
    dossier: Dossier,
) -> None:
    page = tide_day(dossier, None, AUGUST, SETTINGS)

    text = "\n".join(page.source)
    assert "computed from its harmonic constants" in text
    assert "It is 3.1 km away." in text
    assert "Confidence good: without weather it may be wrong by 0.05 m." in text
    assert "Public domain" in text
    assert "▲" not in text
    assert page.source[-1] == WEATHER
    assert page.range.startswith("Largest rise or fall of the day: 1.7")


def test_a_far_station_and_one_round_a_headland_are_cautions() -> None:
    far = replace(GOLDEN, position=replace(LEG.line[0], lat_deg=38.3))
    farther = replace(GOLDEN, position=replace(LEG.line[0], lat_deg=-37.8))

    told = tide_day(dossier_with(CLEAR, far), None, AUGUST, SETTINGS).source
    beyond = dossier_with(CLEAR, GOLDEN, beyond=None)

    assert any(line.startswith("▲ That is more than 25.0 km") for line in told)
    assert "That holds at the station itself, not here." in told
    # A degree of latitude was 111 km away, and now says more than a caution.
    lines = tide_day(dossier_with(CLEAR, farther), None, AUGUST, SETTINGS).source
    assert any("tells nothing about this place" in line for line in lines)
    lines = tide_day(beyond, None, AUGUST, SETTINGS).source
    assert "▲ Nobody said whether it lies round a headland from here." in lines


def test_windows_map_strip_and_minute_take_the_station(dossier: Dossier) -> None:
    (leg,) = tide_day(dossier, None, AUGUST, SETTINGS).legs
    strip = strip_content(dossier, Choice(day=AUGUST), SETTINGS, summer(12))
    words = passable_words(dossier, local_day(AUGUST, "America/Los_Angeles"), SETTINGS)
    minute = tide_minute(dossier, AUGUST, summer(14, 43), SETTINGS)

    # 25 cm above MLLW, 10 cm more than the cosine's margins leave: sooner and longer
    # than its 06:44 to 08:48, and inside the bare 05:19 to 10:21.
    assert leg.state.startswith("Open with all margins: 06:18")
    assert "0.05 m for the prediction" in leg.lines[0]
    assert leg.lines[-1] == WEATHER
    assert len(strip.tide.curve) == 1
    assert [p.text for p in strip.tide.open] == ["open"]
    assert words[LEG.id].startswith("open by prediction 06:1")
    assert "0.05\N{NO-BREAK SPACE}m; confidence good" in minute


def test_a_station_holds_where_the_table_ends() -> None:
    later = date(2031, 2, 3)

    by_table = tide_day(CLEAR.dossier(), None, later, SETTINGS)
    by_station = tide_day(dossier_with(CLEAR, GOLDEN), None, later, SETTINGS)

    assert by_table.message == NO_TABLE
    assert len(by_station.rows) in (3, 4)
    day = local_day(later, "America/Los_Angeles")
    assert curve_for(CLEAR.dossier(), day) is None
    assert curve_for(dossier_with(CLEAR, GOLDEN), day) is not None


def test_a_vantage_point_has_its_wanted_water_and_its_dry_hours() -> None:
    spot = replace(
        BAR_END,
        level_datum="Chart datum",
        flooded_above_m=3.0,
        wanted_above_m=1.3,
        wanted_below_m=2.9,
        wanted_turn=WantedTurn.RISING,
        shore=Shore.SHELTERED,
    )
    dossier = replace(DOSSIER, vantage_points=(spot,))

    leg, stand = tide_day(dossier, None, DAY, SETTINGS).legs

    # By hand on the cosine from 0.5 m at 04:28 to 3.7 m at 10:42: 1.3 m is passed a
    # third of the way through its 6 h 14 min, 2.9 m at two thirds.
    assert leg.name == BAR.name
    assert "rising): 06:33 to 08:37; 19:01 to 21:05." in stand.state
    # 3.0 m less 0.26 m and 0.30 m is 2.44 m: passed at acos(-0.2125) of the leg.
    assert "Dry with all margins: 00:56 to 08:00; 13:24 to 20:28." in stand.state
    assert stand.lines[-1] == WEATHER


def test_wanted_water_stands_in_the_strip_in_words() -> None:
    spot = replace(BAR_END, level_datum="Chart datum", wanted_below_m=1.3)
    dossier = replace(DOSSIER, vantage_points=(spot,))
    choice = Choice(day=DAY, vantage_point_id=spot.id)

    passages = strip_content(dossier, choice, SETTINGS, at(12)).tide.stands

    assert [p.text for p in passages] == [f"{spot.name}: wanted water"] * 2
    assert all(WEATHER in p.tip for p in passages)


def test_water_at_a_spot_without_a_datum_is_not_known() -> None:
    spot = replace(BAR_END, wanted_below_m=1.3)
    dossier = replace(DOSSIER, vantage_points=(spot,))

    _, stand = tide_day(dossier, None, DAY, SETTINGS).legs

    assert not stand.is_known
    assert "datum of its tide level is not written down" in stand.state


def test_a_rock_platform_has_no_windows() -> None:
    dossier = replace(DOSSIER, legs=(replace(BAR, shore=Shore.ROCK),))

    (leg,) = tide_day(dossier, None, DAY, SETTINGS).legs

    assert not leg.is_known
    assert "rock platform" in leg.state


def test_what_was_seen_of_a_leg_is_told_with_its_scatter() -> None:
    def seen(level_m: float, *, is_passable: bool) -> CrossingObservation:
        return CrossingObservation(
            leg_id=BAR.id,
            instant=at(9, day=11),
            is_passable=is_passable,
            level_m=level_m,
            datum="Chart datum",
        )

    both = (seen(1.7, is_passable=True), seen(1.4, is_passable=False))
    (leg,) = tide_day(replace(DOSSIER, observations=both), None, DAY, SETTINGS).legs

    assert leg.lines[0].startswith(
        "It shuts above 1.40 m (Chart datum), since it was seen shut; typed: 1.90 m."
    )
    assert "Seen twice: passed at 1.70 m, not passable at 1.40 m." in leg.lines
    assert any("contradicts itself by 0.30 m" in line for line in leg.lines)
    dossier = replace(DOSSIER, observations=both)
    card = leg_words(dossier, BAR, DAY, SETTINGS)
    assert card.startswith("It shuts above 1.40 m")
    assert "contradicts itself by 0.30 m" in card
    assert leg_words(DOSSIER, BAR, DAY, SETTINGS) == ""


def test_the_month_has_springs_and_neaps_and_a_height_at_an_hour(
    dossier: Dossier,
) -> None:
    month = tide_month(dossier, AUGUST, time(7, 43), SETTINGS)

    assert len(month.rows) == 31
    assert month.rows[14].day == AUGUST
    # Source: NOAA CO-OPS: low water 14:43 UTC, 0.043 m.
    assert month.rows[14].texts[-1] == "0.0 m"
    # Springs follow new and full Moon, neaps the quarters.  Source: from memory,
    # phases of the Moon 2026: new 12 August 17:36 UTC, first quarter 20 August.
    assert month.rows[13].texts[1].endswith(", springs")
    assert month.rows[20].texts[1].endswith(", neaps")
    assert WEATHER in month.note


def test_without_an_hour_the_height_is_that_at_sunset(dossier: Dossier) -> None:
    month = tide_month(dossier, AUGUST, None, SETTINGS)

    # Source: the Sun sets in San Francisco on 15 August towards eight in the evening.
    assert "(20:0" in month.rows[14].texts[-1]


def test_days_outside_the_table_are_not_known() -> None:
    month = tide_month(DOSSIER, DAY, time(7), SETTINGS)

    assert month.rows[0].texts[1:] == (UNKNOWN,) * 3
    assert month.rows[DAY.day - 1].texts[1] == "3.2 m"
    unsaid = tide_month(with_table(is_distorted=None), DAY, time(7), SETTINGS)
    assert unsaid.rows[DAY.day - 1].texts[-1] == UNKNOWN


def test_nineteen_years_have_a_highest_and_a_lowest_tide(dossier: Dossier) -> None:
    station, heard = station_of(dossier), list[float]()
    assert station is not None

    words = reach_words(station, 2003, "UTC", SETTINGS, progress=heard.append)

    # Source: NOAA CO-OPS, datums of 9414290: HAT 2.206 m on 23 December 2003, LAT
    # -0.595 m on 4 June 2008; daily nodes give a centimetre or two more or less.
    assert "2003 to 2021" in words
    assert "23 December 2003" in words
    assert heard == sorted(heard)
    assert len(heard) == 19


def test_a_table_tells_no_highest_tide() -> None:
    with pytest.raises(UserError, match="Only a station"):
        reach_words(
            source_of_table(TABLE), 2026, "UTC", SETTINGS, progress=lambda _: None
        )


def test_a_crossing_is_noted_with_the_water_s_level() -> None:
    typed = CrossingTyped(leg=BAR, instant=at(10, 42), is_passable=False)

    note = crossing_note(DOSSIER, typed, at(12), SETTINGS)

    assert note.fault == ""
    assert note.observation is not None
    assert note.observation.level_m == pytest.approx(3.7)
    assert note.level_words == (
        "The predicted tide stood at 3.70 m above Chart datum then."
    )


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"leg": None}, "which crossing"),
        ({"instant": None}, "when it was"),
        ({"instant": at(13)}, "still to come"),
        ({"instant": datetime(2020, 1, 1, tzinfo=UTC)}, "is not known"),
        ({"leg": replace(BAR, shut_datum="")}, "from which datum"),
        ({"leg": replace(BAR, shut_datum="Other")}, "is not known"),
        ({"is_passable": None}, "whether it could be passed"),
    ],
)
def test_nothing_is_noted_while_something_is_missing(
    changes: dict[str, object], fault: str
) -> None:
    typed = CrossingTyped(leg=BAR, instant=at(10, 42), is_passable=False)

    note = crossing_note(
        DOSSIER,
        replace(typed, **changes),  # type: ignore[arg-type]
        at(12),
        SETTINGS,
    )

    assert note.observation is None
    assert fault in note.fault
