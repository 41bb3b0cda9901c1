"""The list as a whole: order, ticks, reasons, someone told, and the forecast's age."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.safety.checklist import Caution, check
from fieldtrip.safety.finding import Note, Reason, Rule, Severity, worst
from fieldtrip.safety.limits import Limits
from tests.safety.story import CLEAR, LOCATION, Story, at, calm, tick, told_key, walk


def test_a_trip_on_which_nothing_is_wrong_is_clear() -> None:
    checklist = check(CLEAR.facts())

    assert checklist.overall is Severity.CLEAR
    assert {finding.rule for finding in checklist.findings} == set(Rule)
    assert set(checklist.cautions) == set(Caution)


def test_an_empty_trip_is_unknown() -> None:
    story = replace(CLEAR, walks=(), stops=(), ticks=(), edges=(), tables=())
    bare = replace(story, gates=(), starts=(), closures=(), permits=(), forecast=None)

    checklist = check(bare.facts())

    assert checklist.overall is Severity.UNKNOWN
    # What needs no plan: the place's own signal, number and clock, and the Sun.
    clear = {f.rule for f in checklist.findings if f.severity is Severity.CLEAR}
    assert clear <= {
        Rule.COVERAGE,
        Rule.EMERGENCY,
        Rule.SUN_TIMES,
        Rule.CLOCK_CHANGE,
        Rule.AWAKE,
    }


def test_findings_come_worst_first_and_overall_is_the_worst() -> None:
    story = replace(CLEAR.with_trip(contact=""), walks=(walk(19, 0),))

    checklist = check(story.facts())

    ranks = [finding.severity.rank for finding in checklist.findings]
    assert ranks == sorted(ranks)
    assert checklist.overall is checklist.findings[0].severity is Severity.STOP


@given(st.lists(st.sampled_from(Severity)))
def test_the_worst_is_at_least_as_bad_as_each_that_applies(
    severities: list[Severity],
) -> None:
    applying = [s for s in severities if s is not Severity.DOES_NOT_APPLY]

    found = worst(severities)

    assert all(found.rank <= severity.rank for severity in applying)
    assert found in applying or (not applying and found is Severity.UNKNOWN)


def test_every_finding_says_its_source_and_its_span() -> None:
    spoilt = replace(CLEAR.with_trip(contact=""), tables=(), forecast=None, edges=())

    for story in (CLEAR, spoilt):
        for finding in check(story.facts()).findings:
            assert finding.source
            assert finding.span is not None


def test_a_stop_cannot_be_ticked_away() -> None:
    story = replace(CLEAR, walks=(walk(19, 0),), stops=())
    key = story.found(Rule.TIDE_CROSSING).key

    ticked = replace(story, ticks=(tick(key),)).found(Rule.TIDE_CROSSING)
    argued = replace(story, ticks=(tick(key, "A boat fetches me"),)).found(
        Rule.TIDE_CROSSING
    )

    assert ticked.severity is Severity.STOP
    assert ticked.ticked is None
    assert argued.severity is Severity.STOP
    assert argued.override == "A boat fetches me"
    assert argued.ticked_by == "P. Hotographer"


def test_a_written_reason_is_no_confirmation() -> None:
    story = replace(CLEAR, ticks=(tick(told_key(), "No need"),))

    assert story.found(Rule.SOMEONE_TOLD).severity is Severity.UNKNOWN


def test_a_tick_for_something_else_or_for_a_rule_that_has_gone_does_nothing() -> None:
    story = replace(CLEAR, ticks=(tick("someone"), tick("turn_back"), tick("")))

    assert story.found(Rule.SOMEONE_TOLD).severity is Severity.UNKNOWN
    assert check(story.facts()).overall is Severity.UNKNOWN


def test_a_person_can_confirm_another_way_back() -> None:
    story = CLEAR.walked_at(14, 30)
    key = story.found(Rule.TIDE_WAY_BACK).key

    finding = replace(story, ticks=(tick(key),)).found(Rule.TIDE_WAY_BACK)

    assert finding.severity is Severity.CLEAR
    assert finding.reason is Reason.CONFIRMED


@pytest.mark.parametrize(
    ("changes", "note"),
    [
        # Source: HM Coastguard: tell someone where you go and when you are back.
        ({"contact": " "}, Note.NO_CONTACT),
        ({"latest_return": None}, Note.NO_LATEST_RETURN),
        ({"raise_alarm": None}, Note.NO_ALARM_TIME),
        ({"emergency": ""}, Note.NO_EMERGENCY),
        ({"alarm_with": ""}, Note.NO_ALARM_WITH),
    ],
)
def test_each_missing_part_of_telling_someone_is_unknown_though_ticked(
    changes: dict[str, Any], note: Note
) -> None:
    finding = CLEAR.with_trip(**changes).found(Rule.SOMEONE_TOLD)

    assert finding.severity is Severity.UNKNOWN
    assert finding.reason is Reason.TOLD_INCOMPLETE
    assert note in finding.notes
    assert finding.ticked is None


def test_telling_someone_needs_a_tick_and_shows_its_time() -> None:
    unticked = replace(CLEAR, ticks=()).found(Rule.SOMEONE_TOLD)
    ticked = CLEAR.found(Rule.SOMEONE_TOLD)

    assert (unticked.severity, unticked.reason) == (
        Severity.UNKNOWN,
        Reason.NOT_TICKED,
    )
    assert (ticked.severity, ticked.ticked) == (Severity.CLEAR, at(11))
    assert Note.ALONE in ticked.notes
    assert Note.ALONE not in CLEAR.with_trip(party=2).found(Rule.SOMEONE_TOLD).notes


@pytest.mark.parametrize(
    ("issued", "now", "severity"),
    [
        # Common practice, no source: 12 h on the day, 24 h before it.
        (at(6), at(18), Severity.CLEAR),
        (at(3, 9), at(15), Severity.CLEAR),
        (at(3, 9), at(15, 10), Severity.CAUTION),
        (at(6, day=13), at(6, day=14), Severity.CLEAR),
        (at(5, 59, day=13), at(6, day=14), Severity.CAUTION),
        (at(6), at(5), Severity.UNKNOWN),
    ],
)
def test_the_age_of_a_forecast(
    issued: datetime, now: datetime, severity: Severity
) -> None:
    story = replace(CLEAR, forecast=replace(calm(), issued=issued), now=now)

    assert story.found(Rule.FORECAST_AGE).severity is severity


def test_without_a_forecast_its_age_is_unknown() -> None:
    finding = replace(CLEAR, forecast=None).found(Rule.FORECAST_AGE)

    assert (finding.severity, finding.reason) == (Severity.UNKNOWN, Reason.NO_FORECAST)


def test_each_age_counts() -> None:
    story = replace(CLEAR, now=at(13))
    shorter = Limits(forecast_on_the_day=timedelta(hours=6))
    before = replace(
        CLEAR, now=at(13, day=14), forecast=replace(calm(), issued=at(1, day=14))
    )

    assert story.found(Rule.FORECAST_AGE).severity is Severity.CLEAR
    assert story.found(Rule.FORECAST_AGE, shorter).severity is Severity.CAUTION
    assert before.found(Rule.FORECAST_AGE).severity is Severity.CLEAR
    assert (
        before.found(
            Rule.FORECAST_AGE, Limits(forecast_before=timedelta(hours=11))
        ).severity
        is Severity.CAUTION
    )


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
def test_a_limit_that_limits_nothing_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="limit"):
        Limits(gust_stop_m_s=value)


SPOILT = [
    CLEAR.with_leg(shut_above_m=None),
    CLEAR.with_leg(shut_datum=""),
    CLEAR.with_leg(is_tidal=None),
    CLEAR.with_leg(refuge_id=None),
    CLEAR.with_table(exposure=None),
    CLEAR.with_table(is_distorted=None),
    replace(CLEAR, tables=()),
    replace(CLEAR, forecast=None),
    replace(CLEAR, forecast=calm(gust_m_s=None)),
    replace(CLEAR, forecast=calm(rain_mm=None)),
    replace(CLEAR, edges=()),
    replace(CLEAR, refuge=None),
    replace(CLEAR, walks=()),
    replace(CLEAR, stops=()),
    replace(CLEAR, ticks=()),
    replace(CLEAR, vantage=replace(CLEAR.vantage, position_error_m=None)),
    CLEAR.with_trip(latest_return=None),
    CLEAR.with_trip(raise_alarm=None),
    CLEAR.with_trip(contact=""),
    CLEAR.with_trip(emergency=""),
    *(
        CLEAR.with_forecast(**{name: None})
        for name in ("temperature_c", "thunder_percent", "visibility_m", "rain_mm")
    ),
    *(
        CLEAR.with_trip(**{name: None})
        for name in ("wake", "drive_back_min", "kit_up_min", "start_place_id")
    ),
    CLEAR.with_trip(alarm_with=""),
    CLEAR.with_leg(crosses_water=None),
    CLEAR.with_vantage(shore=None, ground_m=None),
    CLEAR.with_vantage(ground_m=None),
    replace(CLEAR, gates=()),
    replace(CLEAR, starts=()),
    replace(CLEAR, closures=()),
    replace(CLEAR, permits=()),
    replace(CLEAR, location=replace(LOCATION, coverage=None)),
    replace(CLEAR, location=replace(LOCATION, nearest_road="")),
]


@pytest.mark.parametrize("story", SPOILT)
def test_each_missing_fact_alone_makes_the_whole_unknown(story: Story) -> None:
    assert check(story.facts()).overall is Severity.UNKNOWN


@pytest.mark.parametrize(
    "changes",
    [
        {"contact": "Somebody else"},
        {"latest_return": at(18)},
        {"raise_alarm": at(22)},
        {"alarm_with": "The warden"},
        {"party": 2},
    ],
)
def test_what_was_told_lapses_when_it_changes(changes: dict[str, Any]) -> None:
    assert CLEAR.found(Rule.SOMEONE_TOLD).severity is Severity.CLEAR

    changed = CLEAR.with_trip(**changes).found(Rule.SOMEONE_TOLD)

    assert changed.severity is Severity.UNKNOWN
    assert changed.reason is Reason.NOT_TICKED
