"""Crossing, way back and refuge: open with all margins, or not, or not known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from fieldtrip.places.records import Ground
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import Exposure, Turn
from tests.safety.story import ANOTHER, BAD, CLEAR, Story, at, calm, walk


def test_the_bar_at_low_water_is_open_with_all_margins() -> None:
    # Source: NOAA CO-OPS, San Francisco: low water 2026-08-15 14:43 UTC, 0.043 m.
    finding = CLEAR.walked_at(14, 30).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.CLEAR
    assert finding.reason is Reason.OPEN
    assert finding.number("highest") == pytest.approx(0.043, abs=0.01)
    assert finding.basis == "San Francisco, MLLW (NOAA CO-OPS)"


def test_the_same_at_seven_in_the_evening_is_a_stop() -> None:
    # Source: NOAA CO-OPS: high water 21:33 UTC, 1.758 m; at 19:00 it is half tide.
    finding = CLEAR.walked_at(19, 0).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.STOP
    assert finding.reason is Reason.SHUT


@pytest.mark.parametrize(
    ("hour", "minute", "severity", "reason"),
    [
        # The level less 0.45 m of margins: 13:43:51 to 15:48:54, reckoned by hand
        # on the cosine between NOAA's turns; the walk takes 10 minutes.
        (13, 43, Severity.STOP, Reason.NO_MARGIN),
        (13, 44, Severity.CLEAR, Reason.OPEN),
        (15, 8, Severity.CLEAR, Reason.OPEN),
        (15, 9, Severity.STOP, Reason.NO_RESERVE),
        (15, 38, Severity.STOP, Reason.NO_RESERVE),
        (15, 39, Severity.STOP, Reason.NO_MARGIN),
        # Without margins it shuts at 17:21:51 by NOAA's constants, some
        # minutes sooner by the cosine.
        (17, 0, Severity.STOP, Reason.NO_MARGIN),
        (17, 20, Severity.STOP, Reason.SHUT),
    ],
)
def test_every_minute_at_the_edges_of_the_window(
    hour: int, minute: int, severity: Severity, reason: Reason
) -> None:
    finding = CLEAR.walked_at(hour, minute).found(Rule.TIDE_CROSSING)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (CLEAR.with_leg(shut_above_m=None), Reason.LEVEL_NOT_KNOWN),
        (
            CLEAR.with_leg(shut_above_m=None, is_tidal=None),
            Reason.TIDAL_NOT_SAID,
        ),
        (CLEAR.with_leg(is_tidal=None), Reason.TIDAL_NOT_SAID),
        (CLEAR.with_leg(ascent_m=None), Reason.TIME_NOT_KNOWN),
        (CLEAR.with_leg(descent_m=None), Reason.TIME_NOT_KNOWN),
        (CLEAR.with_leg(ground=Ground.UNKNOWN), Reason.TIME_NOT_KNOWN),
        (CLEAR.with_leg(shut_datum=" "), Reason.DATUM_NOT_SAID),
        (CLEAR.with_leg(shut_datum="Ordnance Datum"), Reason.DATUM_DIFFERS),
        (replace(CLEAR, tables=()), Reason.NO_TABLE),
        (
            CLEAR.with_table(turns=CLEAR.tables[0].turns[4:]),
            Reason.OUTSIDE_TABLE,
        ),
        (CLEAR.with_table(exposure=None, datum="MLLW"), Reason.EXPOSURE_NOT_SAID),
        (CLEAR.with_table(is_distorted=None), Reason.PORT_NOT_SAID),
        (CLEAR.with_table(is_distorted=True), Reason.PORT_DISTORTED),
        (CLEAR.with_leg(id=ANOTHER), Reason.RECORD_GONE),
        (replace(CLEAR, walks=()), Reason.NO_WALKS),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_each_missing_fact_alone_is_unknown(story: Story, reason: Reason) -> None:
    finding = story.found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.UNKNOWN
    assert finding.reason is reason


@pytest.mark.parametrize(
    "story",
    [
        CLEAR.with_leg(is_tidal=None),
        CLEAR.with_table(exposure=None),
        CLEAR.with_table(is_distorted=None),
        CLEAR.with_table(is_distorted=True),
        replace(CLEAR, forecast=None),
        CLEAR.with_leg(ascent_m=None, descent_m=None, ground=Ground.UNKNOWN),
    ],
)
def test_a_proven_stop_stays_stop_with_other_facts_missing(story: Story) -> None:
    finding = story.walked_at(19, 0).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.STOP


def test_an_exposure_not_said_takes_the_largest_margin_and_says_so() -> None:
    # 2.00 m less 0.15 m and 0.70 m is never reached that morning.
    finding = (
        CLEAR.with_table(exposure=None)
        .with_leg(shut_above_m=2.0)
        .found(Rule.TIDE_CROSSING)
    )

    assert finding.severity is Severity.UNKNOWN
    assert finding.number("weather_margin") == 0.70
    assert Note.LARGEST_WEATHER in finding.notes


def test_a_sheltered_estuary_needs_more_height_than_this_low_water_leaves() -> None:
    story = CLEAR.with_table(exposure=Exposure.SHELF_OR_ESTUARY)

    finding = story.found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.STOP
    assert finding.reason is Reason.NO_MARGIN


def test_low_pressure_shuts_what_was_open() -> None:
    # Source: Bureau of Meteorology: 10 hPa from the average is about 0.1 m.
    story = replace(CLEAR, forecast=calm(pressure_hpa=970.0))

    finding = story.found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.STOP
    assert Note.PRESSURE_RAISED in finding.notes
    assert finding.number("pressure") == 970.0


def test_a_tide_of_odd_length_is_a_caution_at_best() -> None:
    # Source: New Zealand Nautical Almanac: the cosine is for 5 to 7 hours.
    turns = (
        Turn(at(9), 1.8, is_high=True),
        Turn(at(14, 43), -0.5, is_high=False),
        Turn(at(22, 30), 1.8, is_high=True),
    )

    finding = CLEAR.with_table(turns=turns).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.CAUTION
    assert finding.reason is Reason.ODD_TIDE


def test_a_table_that_ends_within_the_reserve_does_not_prove_it_open() -> None:
    low = CLEAR.tables[0].turns[2]
    turns = (CLEAR.tables[0].turns[1], low)
    story = replace(CLEAR.with_table(turns=turns), walks=(walk(14, 20),), stops=())

    finding = story.found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.UNKNOWN
    assert finding.reason is Reason.OUTSIDE_TABLE


def test_of_several_tables_the_worst_counts() -> None:
    table = CLEAR.tables[0]
    higher = replace(
        table,
        port="Outer Roads",
        turns=tuple(replace(t, height_m=t.height_m + 1.0) for t in table.turns),
    )

    finding = replace(CLEAR, tables=(table, higher)).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.STOP
    assert finding.basis.startswith("Outer Roads")


def test_the_walking_rule_stands_where_it_is_slower_than_the_plan() -> None:
    # Source: DIN 33466: 4 km/h, so 3 km take 45 minutes, not the 10 of the plan.
    finding = (
        CLEAR.with_leg(distance_m=3000.0).walked_at(15, 0).found(Rule.TIDE_CROSSING)
    )

    assert finding.severity is Severity.STOP
    assert finding.number("crossing_time") == pytest.approx(45.0)
    assert Note.RULE_IS_SLOWER in finding.notes


def test_a_level_makes_a_leg_tidal_whatever_else_is_said() -> None:
    dry = CLEAR.with_leg(is_tidal=False, shut_above_m=None)
    shut = CLEAR.with_leg(is_tidal=False).walked_at(19, 0)

    assert dry.found(Rule.TIDE_CROSSING).severity is Severity.DOES_NOT_APPLY
    assert shut.found(Rule.TIDE_CROSSING).severity is Severity.STOP


def test_each_margin_moves_the_edge() -> None:
    usual = CLEAR.found(Rule.TIDE_CROSSING).instant("shuts")
    assert usual is not None

    for margins in (Margins(least_m=0.16), Margins(open_coast_m=0.31)):
        shuts = CLEAR.found(Rule.TIDE_CROSSING, Limits(margins=margins)).instant(
            "shuts"
        )
        assert shuts is not None
        assert shuts < usual


def test_a_minute_more_of_reserve_turns_the_last_minute_into_a_stop() -> None:
    story = CLEAR.walked_at(15, 8)

    usual = story.found(Rule.TIDE_CROSSING)
    longer = story.found(Rule.TIDE_CROSSING, Limits(tide_reserve=timedelta(minutes=31)))

    assert usual.severity is Severity.CLEAR
    assert longer.severity is Severity.STOP


def test_beyond_a_crossing_without_a_way_back_is_unknown() -> None:
    planned = CLEAR.found(Rule.TIDE_WAY_BACK)
    out_only = CLEAR.walked_at(14, 30).found(Rule.TIDE_WAY_BACK)
    again = replace(CLEAR, walks=(*CLEAR.walks, walk(15, 8))).found(Rule.TIDE_WAY_BACK)

    assert planned.severity is Severity.CLEAR
    assert (out_only.severity, out_only.reason) == (
        Severity.UNKNOWN,
        Reason.NO_WAY_BACK,
    )
    assert again.severity is Severity.UNKNOWN


def test_a_typed_distance_is_as_good_as_a_drawn_one() -> None:
    finding = CLEAR.with_leg(distance_m=320.0).found(Rule.TIDE_CROSSING)

    assert finding.severity is Severity.CLEAR


@pytest.mark.parametrize(
    "story",
    [
        replace(CLEAR, walks=(walk(14, 30), walk(19, 0, back=True))),
        replace(CLEAR, walks=(walk(14, 30), walk(15, 30, back=True))),
        replace(CLEAR, tables=()),
        CLEAR.with_leg(shut_above_m=None),
        CLEAR.with_leg(ground=Ground.UNKNOWN),
    ],
)
def test_a_way_back_is_as_its_own_crossing_at_best(story: Story) -> None:
    crossings = [
        f for f in check(story.facts()).findings if f.rule is Rule.TIDE_CROSSING
    ]

    finding = story.found(Rule.TIDE_WAY_BACK)

    (back,) = (f for f in crossings if f.about_id == story.walks[-1].id)
    assert back.severity in BAD
    assert finding.severity is back.severity
    assert finding.reason is Reason.BACK_CROSSING
    assert finding.remedy is back.remedy


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (CLEAR.with_leg(refuge_id=None), Reason.NO_REFUGE),
        (replace(CLEAR, refuge=None), Reason.RECORD_GONE),
        *(
            (replace(CLEAR, refuge=replace(CLEAR.refuge, **changes)), reason)
            for changes, reason in (
                ({"stays_dry": None}, Reason.REFUGE_NOT_SAID),
                ({"stays_dry": False}, Reason.REFUGE_FLOODS),
                ({"confirmed": None}, Reason.REFUGE_NOT_CONFIRMED),
                ({"confirmed": date(2026, 8, 16)}, Reason.REFUGE_NOT_CONFIRMED),
            )
            if CLEAR.refuge is not None
        ),
    ],
)
def test_a_refuge_that_is_not_known_to_be_dry_is_unknown(
    story: Story, reason: Reason
) -> None:
    finding = story.found(Rule.TIDE_REFUGE)

    assert finding.severity is Severity.UNKNOWN
    assert finding.reason is reason


@pytest.mark.parametrize(
    ("confirmed", "severity"),
    [
        # Common practice, no source: 12 months.
        (date(2025, 8, 15), Severity.CLEAR),
        (date(2025, 8, 14), Severity.CAUTION),
    ],
)
def test_a_refuge_is_confirmed_for_a_year(confirmed: date, severity: Severity) -> None:
    assert CLEAR.refuge is not None
    story = replace(CLEAR, refuge=replace(CLEAR.refuge, confirmed=confirmed))

    assert story.found(Rule.TIDE_REFUGE).severity is severity


def test_nothing_missing_about_the_sea_is_ever_better_than_unknown() -> None:
    spoilt = [
        CLEAR.with_leg(shut_above_m=None),
        CLEAR.with_leg(is_tidal=None),
        CLEAR.with_leg(refuge_id=None),
        CLEAR.with_table(exposure=None),
        CLEAR.with_table(is_distorted=None),
        replace(CLEAR, tables=()),
    ]

    for story in spoilt:
        tidal = (Rule.TIDE_CROSSING, Rule.TIDE_REFUGE)
        assert any(story.found(rule).severity in BAD for rule in tidal)


def test_a_gap_in_the_table_is_unknown() -> None:
    # A low and a high water are missing: 19 hours from one turn to the next.
    first, *others = CLEAR.tables[0].turns
    turns = (replace(first, height_m=-1.0), *others[2:])

    finding = CLEAR.with_table(turns=turns).found(Rule.TIDE_CROSSING)

    assert finding.severity in BAD
    high = CLEAR.with_table(turns=turns).with_leg(shut_above_m=3.0)
    assert high.found(Rule.TIDE_CROSSING).reason is Reason.GAP_IN_TABLE
    assert high.found(Rule.TIDE_CROSSING).severity is Severity.UNKNOWN
