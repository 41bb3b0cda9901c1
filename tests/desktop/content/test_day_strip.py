"""Tests for what the day strip says, without a window."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest

from fieldtrip.desktop.content.day_strip import (
    NO_LOCATION,
    Choice,
    StripContent,
    reading,
    strip_content,
)
from fieldtrip.desktop.content.strip_plan import NO_TRIP, plan_column
from fieldtrip.desktop.content.strip_tide import NO_TABLE
from fieldtrip.desktop.content.strip_wind import NO_FORECAST
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import LengthUnit, Settings, SpeedUnit
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.moon import moon_phase
from fieldtrip.sky.site import Site
from fieldtrip.tides.records import Exposure
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import clock_text
from tests.desktop.strip_story import (
    BAR,
    BAR_END,
    DAY,
    DOSSIER,
    FORECAST,
    KEEL,
    STOP_2,
    TABLE,
    TRIP,
    at,
    turns,
    with_bar,
    with_table,
)

NOW = at(12, day=13)


def strip(
    dossier: Dossier | None = DOSSIER,
    day: date = DAY,
    *,
    with_trip: bool = True,
    settings: Settings | None = None,
) -> StripContent:
    choice = Choice(day, BAR_END.id, TRIP.id if with_trip else None)
    return strip_content(dossier, choice, settings or Settings(), NOW)


def test_sunset_is_the_engine_s_to_the_minute() -> None:
    site = Site(BAR_END.position, 5.6)
    sunset = day_events(site, DAY, KEEL.zone).first(EventName.SUNSET)
    assert sunset is not None

    marks = [mark for mark in strip().light.marks if "sunset" in mark.texts[0]]

    clock = clock_text(sunset.instant, KEEL.zone, Settings())
    assert [mark.texts[0] for mark in marks] == [f"{clock} sunset"]
    assert marks[0].instant == sunset.instant


def test_the_bands_follow_one_another_through_the_whole_day() -> None:
    content = strip()
    bands = content.light.bands
    assert bands[0].span.start == content.span.start
    assert bands[-1].span.stop == content.span.stop
    assert all(a.span.stop == b.span.start for a, b in pairwise(bands))
    assert [band.depth for band in bands] == [5, 4, 3, 2, 1, 0, 1, 2, 3, 4, 5]


def test_the_light_says_from_where_it_is_seen() -> None:
    assert strip().foot[0] == "Seen from Bar end, camera 5.6 m above sea level."
    content = strip_content(DOSSIER, Choice(DAY), Settings(), NOW)
    assert "middle of Keel Holms" in content.foot[0]
    assert "Choose a vantage point" in content.foot[0]


def test_polar_day_says_so() -> None:
    # Source: USNO, "Rise, Set, and Twilight Definitions": above the Arctic circle the
    # Sun does not set around the June solstice; 78° N is well above it.
    far = Location(
        name="Far", position=Position(78.2, 15.6), zone="Arctic/Longyearbyen"
    )
    content = strip(Dossier(location=far), date(2026, 6, 21))
    assert "The Sun does not set on this day." in content.foot


def test_the_turns_stand_with_time_and_height() -> None:
    marks = strip().tide.turns
    assert [(mark.what, mark.height) for mark in marks] == [
        ("04:28 low", "0.5 m"),
        ("10:42 high", "3.7 m"),
        ("16:56 low", "0.5 m"),
        ("23:10 high", "3.7 m"),
    ]


def test_heights_are_in_the_unit_preferred() -> None:
    content = strip(settings=Settings(length_unit=LengthUnit.FOOT))
    assert content.tide.turns[0].height == "1.6 ft"
    assert content.tide.levels[0].text == "6.2 ft"


def test_the_bar_is_open_with_margins_inside_what_the_curve_alone_gives() -> None:
    tide = strip().tide
    assert [passage.text for passage in tide.open] == ["open", "open"]
    first_margin, second_margin = tide.margins[:2]
    assert first_margin.span.stop == tide.open[0].span.start
    assert second_margin.span.start == tide.open[0].span.stop
    # By hand: from 3.7 m at 22:14 to 0.5 m at 04:28 half a cosine is at 1.9 m after
    # acos(-0.125)/180° = 0.5399 of the 374 min: 01:35.9; at 1.9 - 0.30 (open coast)
    # - 0.256 (8 % of 3.2 m) = 1.344 m after acos(-0.4725)/180° = 0.6567: 02:19.6.
    minute = timedelta(minutes=1)
    assert abs(first_margin.span.start - at(1, 36)) < minute
    assert abs(tide.open[0].span.start - at(2, 20)) < minute


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"shut_above_m": None}, "is not written down"),
        ({"shut_datum": ""}, "datum of its closing level"),
        ({"shut_datum": "Mean sea level"}, "counts from “Mean sea level”"),
    ],
)
def test_a_missing_fact_makes_the_bar_unknown_never_open(
    changes: dict[str, object], reason: str
) -> None:
    tide = strip(with_bar(**changes)).tide
    assert tide.open == tide.margins == ()
    assert [passage.text for passage in tide.unknown] == ["? crossing not known"]
    assert any(
        "Shingle bar: not known." in line and reason in line for line in tide.foot
    )


@pytest.mark.parametrize("is_distorted", [True, None])
def test_a_port_that_may_be_shallow_has_turns_but_no_curve(
    is_distorted: bool | None,
) -> None:
    tide = strip(with_table(is_distorted=is_distorted)).tide
    assert (tide.curve, tide.open) == ((), ())
    assert len(tide.turns) == 4
    assert [passage.text for passage in tide.unknown[:5]] == ["? not known"] * 5
    assert "no curve is drawn" in tide.foot[0]


def test_a_slow_tide_is_dashed_and_called_low_confidence() -> None:
    slow = turns(at(0, day=13), [0.5, 3.7] * 4, timedelta(hours=8))
    tide = strip(with_table(turns=slow)).tide
    assert all(part.is_dashed for part in tide.curve)
    assert "low confidence" in tide.foot[0]
    content = strip(with_table(turns=slow))
    assert "tide about 3.7 m" in reading(content, at(16), Settings())


def test_hours_outside_the_table_are_named() -> None:
    short = with_table(turns=TABLE.turns[11:15])
    tide = strip(short).tide
    assert short.tide_tables[0].turns[0].instant == at(22, 14, day=13)
    assert [gap.text for gap in tide.gaps] == ["no table for these hours"]
    assert tide.gaps[0].span == Span(at(16, 56), at(0, day=15))


def test_weather_is_excluded_beside_every_window() -> None:
    tide = strip().tide
    assert all(
        "exclude weather" in passage.tip for passage in (*tide.open, *tide.margins)
    )
    assert "Predictions exclude weather and sea state." in tide.foot[0]


def test_a_port_whose_exposure_nobody_said_gets_the_largest_margin() -> None:
    unsaid = strip(with_table(exposure=None)).tide
    shelf = strip(with_table(exposure=Exposure.SHELF_OR_ESTUARY)).tide
    assert unsaid.open == shelf.doubtful == ()
    assert [p.span for p in unsaid.doubtful] == [p.span for p in shelf.open]


def test_wind_has_numbers_arrows_and_the_caution_limit() -> None:
    # Source: RNLI advice on coastal walks: gusts over 30 mph (13.4 m/s) can affect
    # balance near cliff edges; the rule's limit is 13 m/s.
    hours = strip().wind.hours
    dash = "\N{EN DASH}"
    assert [hour.text for hour in hours[:6]] == [
        f"{n}{dash}{n + 4}" for n in range(5, 11)
    ]
    assert [hour.severity for hour in hours[:6]] == [
        "",
        "",
        "",
        "",
        "caution",
        "caution",
    ]
    assert hours[0].toward_deg == 70.0
    assert hours[0].tip == "00:00: wind 5 m/s, gust 9 m/s, from W, 250°"


def test_a_gust_that_was_not_typed_is_a_question_and_a_strong_mean_still_warns() -> (
    None
):
    hour = replace(FORECAST.hours[0], wind_m_s=19.0, gust_m_s=None, wind_from_deg=None)
    dossier = replace(DOSSIER, forecasts=(replace(FORECAST, hours=(hour,)),))
    mark = strip(dossier, settings=Settings(speed_unit=SpeedUnit.KNOT)).wind.hours[0]
    assert mark.text == "37\N{EN DASH}?"
    assert mark.severity == "stop"
    assert mark.toward_deg is None
    assert "gust not typed, direction not typed" in mark.tip


def test_a_gust_short_of_the_limit_is_not_written_as_the_limit() -> None:
    # Source: RNLI advice on coastal walks: 30 mph; the rule's limit is 13 m/s.
    hour = replace(FORECAST.hours[0], wind_m_s=7.0, gust_m_s=12.9)
    dossier = replace(DOSSIER, forecasts=(replace(FORECAST, hours=(hour,)),))

    mark = strip(dossier).wind.hours[0]

    assert mark.severity == ""
    assert mark.text == "7\N{EN DASH}12.9"
    assert "gust 12.9 m/s" in mark.tip


def test_of_two_forecasts_the_newer_holds() -> None:
    newer = replace(
        FORECAST,
        issued=at(6),
        hours=(replace(FORECAST.hours[3], wind_m_s=1.0, gust_m_s=2.0),),
    )
    dossier = replace(DOSSIER, forecasts=(newer, FORECAST))
    texts = [hour.text for hour in strip(dossier).wind.hours]
    assert texts[3] == "1\N{EN DASH}2"
    assert len(texts) == 24


def test_the_plan_has_stops_and_walks_in_order() -> None:
    blocks = strip().plan.blocks
    assert [block.title for block in blocks] == [
        "Gully head",
        "walk Shingle bar",
        "Bar end",
        "walk Shingle bar, back",
    ]
    assert blocks[2].lines == ("16:10 to 18:05", "sunset, Old signal tower")
    assert [block.is_stop for block in blocks] == [True, False, True, False]


def test_the_turn_back_line_is_the_checklist_s() -> None:
    late = replace(STOP_2, leave=at(20))
    back = replace(DOSSIER.walks[1], start=at(20), finish=at(20, 25))
    dossier = replace(
        DOSSIER,
        stops=(DOSSIER.stops[0], late),
        walks=(DOSSIER.walks[0], back),
    )
    plan = strip(dossier).plan
    lines = {line.text.partition(" ")[2]: line.instant for line in plan.lines}
    # Back at 19:00 over a bar that is walked in 25 min, or by the rule in less.
    assert lines["turn back"] <= at(18, 35)
    assert [late.span.stop for late in plan.too_long] == [at(20)]


def test_a_turn_back_time_is_never_written_later_than_it_is() -> None:
    by = at(16, 4) + timedelta(seconds=31)

    plan = plan_column(DOSSIER, TRIP, DAY, Settings(), {STOP_2.id: by})

    said = [line.text for line in plan.lines if line.text.endswith("turn back")]
    assert said == [f"{clock_text(at(16, 4), KEEL.zone, Settings())} turn back"]


def test_stops_that_overlap_stand_side_by_side() -> None:
    doubled = replace(STOP_2, arrive=at(15), leave=at(16, 30))
    dossier = replace(DOSSIER, stops=(DOSSIER.stops[0], doubled), walks=())
    assert [(b.lane, b.lanes) for b in strip(dossier).plan.blocks] == [(0, 2), (1, 2)]


def test_empty_columns_say_what_to_do_next() -> None:
    bare = Dossier(location=KEEL)
    content = strip(bare, with_trip=False)
    assert content.tide.message == NO_TABLE
    assert content.wind.message == NO_FORECAST
    assert content.plan.message == NO_TRIP
    assert strip(None).message == NO_LOCATION


def test_a_trip_of_another_day_is_not_drawn_on_this_one() -> None:
    plan = strip(day=date(2026, 11, 15)).plan
    assert plan.blocks == ()
    assert plan.message == "“Evening on the holms” is planned for Sat 14 Nov."


def test_a_day_that_a_zone_left_out_is_one_sentence() -> None:
    # Source: IANA time zone database, "australasia": Samoa had no 30 December 2011.
    samoa = Location(name="Apia", position=Position(-13.8, -171.8), zone="Pacific/Apia")
    content = strip(Dossier(location=samoa), date(2011, 12, 30))
    assert content.message == "Fri 30 Dec does not exist in Pacific/Apia."


def test_the_sky_beyond_its_years_leaves_the_other_columns() -> None:
    content = strip(day=date(1850, 1, 1))
    assert content.light.message
    assert content.plan.message.endswith("Sat 14 Nov.")


def test_a_reading_names_light_tide_and_stop() -> None:
    content = strip()
    assert reading(content, at(16, 56), Settings()) == (
        "16:56 · golden hour · tide 0.5 m · plan: Bar end"
    )


def test_official_turns_of_san_francisco_stand_in_its_own_time() -> None:
    # Source: NOAA CO-OPS, station 9414290, predictions in metres above MLLW, GMT:
    # 2026-08-15 08:32 H 1.785, 14:43 L 0.043, 21:33 H 1.758; 2026-08-16 03:16 L 0.428.
    def noaa(day: int, hour: int, minute: int) -> datetime:
        return datetime(2026, 8, day, hour, minute, tzinfo=UTC)

    golden = Location(
        name="Gate", position=Position(37.81, -122.47), zone="America/Los_Angeles"
    )
    times = [noaa(15, 2, 24), noaa(15, 8, 32), noaa(15, 14, 43), noaa(15, 21, 33)]
    heights = [0.491, 1.785, 0.043, 1.758]
    table = replace(
        TABLE,
        location_id=golden.id,
        datum="MLLW",
        turns=tuple(
            replace(turn, instant=time, height_m=height)
            for turn, time, height in zip(TABLE.turns, times, heights, strict=False)
        ),
    )
    content = strip(Dossier(location=golden, tide_tables=(table,)), date(2026, 8, 15))
    assert [f"{mark.what} {mark.height}" for mark in content.tide.turns] == [
        "01:32 high 1.8 m",
        "07:43 low 0.0 m",
        "14:33 high 1.8 m",
    ]


def test_a_day_of_25_hours_is_drawn_by_instants() -> None:
    content = strip(day=date(2026, 10, 25), with_trip=False)
    assert content.span.length == timedelta(hours=25)
    assert content.clock.startswith("IST (UTC+1), then GMT: a day of 25 hours · Moon ")
    assert content.light.bands[-1].span.stop == content.span.stop


def test_a_leg_that_is_chosen_is_the_one_in_question() -> None:
    other = replace(BAR, id=TRIP.id, number=3, name="Low shelf", shut_above_m=1.4)
    dossier = replace(DOSSIER, legs=(*DOSSIER.legs, other))
    choice = Choice(DAY, BAR_END.id, None, other.id)
    tide = strip_content(dossier, choice, Settings(), NOW).tide
    assert [level.text for level in tide.levels] == ["1.4 m"]
    both = strip(dossier, with_trip=False).tide
    assert [passage.text for passage in both.open] == ["all open", "all open"]
    assert [p.span for p in both.open] == [p.span for p in tide.open]


def test_the_moon_is_told_for_a_named_time() -> None:
    noon = moon_phase(Site(DOSSIER.location.position), at(12))

    percent = f"{noon.illuminated_fraction * 100.0:.0f}"

    assert f"Moon {percent} % lit at midday, " in strip().clock
