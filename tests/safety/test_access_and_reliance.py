"""Gates, access, permits, the drive, calling for help, and what is relied on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest

from fieldtrip.geo import destination
from fieldtrip.places.records import ClosureKind, Coverage, Shape, StartPlace
from fieldtrip.places.seasons import OpenHours
from fieldtrip.safety import reliance
from fieldtrip.safety.finding import Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.reliance import clock_change, sun_times
from fieldtrip.sky.events import EventName
from fieldtrip.sky.second_opinion import SecondOpinion
from fieldtrip.trips.plan import facts_of
from tests.safety.station_story import GOLDEN, found_with
from tests.safety.story import (
    ANOTHER,
    CAR_PARK,
    CLEAR,
    GATE,
    LOCATION,
    NESTING,
    NOBODY,
    PERMIT,
    VANTAGE,
    WORKS,
    Story,
    at,
    calm,
    tick,
)

STOP, UNKNOWN = Severity.STOP, Severity.UNKNOWN
CAUTION, CLEAR_ = Severity.CAUTION, Severity.CLEAR


def gated(**changes: Any) -> Story:
    return replace(CLEAR, gates=(replace(GATE, **changes),))


def works(**changes: Any) -> Story:
    """Works that close the place in these days, whole or in part."""
    return replace(CLEAR, closures=(replace(WORKS, **changes), NESTING))


def hours(opens: time, shuts: time, **changes: Any) -> Story:
    """A gate with hours, by the clock of the place."""
    return works(
        kind=ClosureKind.HOURS,
        first_day=None,
        last_day=None,
        hours=OpenHours(opens, shuts),
        **changes,
    )


def parked(**changes: Any) -> Story:
    return replace(CLEAR, starts=(replace(CAR_PARK, **changes),))


def place(**changes: Any) -> Story:
    return replace(CLEAR, location=replace(LOCATION, **changes))


NOW_SHUT: dict[str, Any] = {"first_day": date(2026, 8, 1), "last_day": None}
HERE = VANTAGE.position
THERE = destination(HERE, 0.0, 2_000.0)


def area(middle: Any) -> tuple[Any, ...]:
    """A square of 40 m about a point."""
    return tuple(destination(middle, bearing, 28.0) for bearing in (45, 135, 225, 315))


# By the clock of Los Angeles the trip is on foot from 7:30 to 8:10.
@pytest.mark.parametrize(
    ("rule", "story", "severity", "reason"),
    [
        (Rule.GATES, CLEAR, CLEAR_, Reason.GATE_SET),
        (Rule.GATES, replace(CLEAR, gates=()), UNKNOWN, Reason.NO_GATES),
        (Rule.GATES, gated(fallback=" "), UNKNOWN, Reason.NO_FALLBACK),
        (Rule.GATES, gated(must_see=""), UNKNOWN, Reason.NO_MUST_SEE),
        (Rule.GATES, gated(leg_id=ANOTHER), UNKNOWN, Reason.NO_DECISION_TIME),
        (
            Rule.GATES,
            CLEAR.with_trip(latest_return=None),
            UNKNOWN,
            Reason.NO_DECISION_TIME,
        ),
        (Rule.GATES, parked(hours=None), UNKNOWN, Reason.NO_DECISION_TIME),
        (Rule.GATES, replace(CLEAR, tables=()), UNKNOWN, Reason.NO_DECISION_TIME),
        (Rule.GATES, gated(decide_by=at(14)), STOP, Reason.DECIDED_TOO_LATE),
        (
            Rule.GATES,
            gated(decide_by=at(14), fallback=""),
            STOP,
            Reason.DECIDED_TOO_LATE,
        ),
        (
            Rule.GATES,
            CLEAR.with_trip(latest_return=at(14, 45)),
            STOP,
            Reason.DECIDED_TOO_LATE,
        ),
        # Closures.
        (Rule.ACCESS_CLOSED, CLEAR, CLEAR_, Reason.CLOSURE_CLEAR),
        (Rule.ACCESS_CLOSED, works(**NOW_SHUT), STOP, Reason.CLOSURE_IN_FORCE),
        (
            Rule.ACCESS_CLOSED,
            works(first_day=date(2026, 8, 15), last_day=date(2026, 8, 15)),
            STOP,
            Reason.CLOSURE_IN_FORCE,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(first_day=date(2026, 8, 1), last_day=date(2026, 8, 14)),
            CLEAR_,
            Reason.CLOSURE_CLEAR,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(first_day=date(2026, 8, 16)),
            CLEAR_,
            Reason.CLOSURE_CLEAR,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(first_day=None, last_day=None),
            UNKNOWN,
            Reason.CLOSURE_NOT_KNOWN,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(kind=ClosureKind.HOURS, **NOW_SHUT),
            UNKNOWN,
            Reason.CLOSURE_NOT_KNOWN,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(**NOW_SHUT, line=area(HERE)),
            STOP,
            Reason.CLOSURE_IN_FORCE,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(**NOW_SHUT, line=area(THERE)),
            CLEAR_,
            Reason.CLOSURE_ELSEWHERE,
        ),
        (
            Rule.ACCESS_CLOSED,
            replace(works(**NOW_SHUT, line=area(THERE)), stops=(
                replace(CLEAR.stops[0], vantage_point_id=NOBODY),)),
            STOP,
            Reason.CLOSURE_IN_FORCE,
        ),
        (Rule.ACCESS_CLOSED, works(last_confirmed=None), CAUTION, Reason.CLOSURE_OLD),
        (
            Rule.ACCESS_CLOSED,
            works(last_confirmed=date(2025, 8, 14)),
            CAUTION,
            Reason.CLOSURE_OLD,
        ),
        (
            Rule.ACCESS_CLOSED,
            works(last_confirmed=date(2025, 8, 15)),
            CLEAR_,
            Reason.CLOSURE_CLEAR,
        ),
        (
            Rule.ACCESS_CLOSED,
            hours(time(7, 30), time(8, 10)),
            CLEAR_,
            Reason.CLOSURE_HOURS_KEPT,
        ),
        (
            Rule.ACCESS_CLOSED,
            hours(time(7, 31), time(8, 10)),
            STOP,
            Reason.CLOSURE_HOURS_BROKEN,
        ),
        (
            Rule.ACCESS_CLOSED,
            hours(time(7, 30), time(8, 9)),
            STOP,
            Reason.CLOSURE_HOURS_BROKEN,
        ),
        (
            Rule.ACCESS_CLOSED,
            hours(time(22), time(6), shape=Shape.POINT,
                  line=(destination(HERE, 0.0, 90.0),)),
            STOP,
            Reason.CLOSURE_HOURS_BROKEN,
        ),
        (
            Rule.ACCESS_CLOSED,
            replace(CLEAR, closures=(NESTING,)),
            UNKNOWN,
            Reason.NO_CLOSURE_RECORDED,
        ),
        (Rule.CLOSED_SEASON, CLEAR, CLEAR_, Reason.CLOSURE_CLEAR),
        (
            Rule.CLOSED_SEASON,
            replace(CLEAR, closures=(WORKS,)),
            UNKNOWN,
            Reason.NO_CLOSURE_RECORDED,
        ),
        (
            Rule.CLOSED_SEASON,
            replace(CLEAR, closures=(replace(NESTING, season=None,
                                             first_day=date(2026, 5, 1)),)),
            STOP,
            Reason.CLOSURE_IN_FORCE,
        ),
        (
            Rule.CLOSED_SEASON,
            replace(CLEAR, closures=(replace(NESTING, season=None),)),
            UNKNOWN,
            Reason.CLOSURE_NOT_KNOWN,
        ),
        # Permits.
        (Rule.PERMIT, CLEAR, CLEAR_, Reason.PERMIT_HOLDS),
        (
            Rule.PERMIT,
            replace(CLEAR, permits=(replace(PERMIT, expires=date(2026, 8, 15)),)),
            CLEAR_,
            Reason.PERMIT_HOLDS,
        ),
        (
            Rule.PERMIT,
            replace(CLEAR, permits=(replace(PERMIT, expires=date(2026, 8, 14)),)),
            STOP,
            Reason.PERMIT_EXPIRED,
        ),
        (
            Rule.PERMIT,
            replace(CLEAR, permits=(replace(PERMIT, expires=None),)),
            UNKNOWN,
            Reason.PERMIT_END_NOT_SAID,
        ),
        (
            Rule.PERMIT,
            replace(CLEAR, permits=()),
            UNKNOWN,
            Reason.NO_PERMIT_RECORDED,
        ),
        # The car park: parked at 7:15, back at 8:10, and at 9:00 at the latest.
        (Rule.START_OPEN, CLEAR, CLEAR_, Reason.START_STAYS_OPEN),
        (
            Rule.START_OPEN,
            parked(hours=OpenHours(time(7, 15), time(9, 30))),
            CLEAR_,
            Reason.START_STAYS_OPEN,
        ),
        (
            Rule.START_OPEN,
            parked(hours=OpenHours(time(7, 16), time(9, 30))),
            STOP,
            Reason.START_OPENS_LATE,
        ),
        (
            Rule.START_OPEN,
            parked(hours=OpenHours(time(7, 0), time(9, 29))),
            CAUTION,
            Reason.START_SHUTS_SOON,
        ),
        (
            Rule.START_OPEN,
            parked(hours=OpenHours(time(7, 0), time(8, 9))),
            STOP,
            Reason.START_SHUTS,
        ),
        (
            Rule.START_OPEN,
            parked(hours=None, is_always_open=True),
            CLEAR_,
            Reason.START_STAYS_OPEN,
        ),
        (Rule.START_OPEN, parked(hours=None), UNKNOWN, Reason.START_HOURS_NOT_SAID),
        (
            Rule.START_OPEN,
            CLEAR.with_trip(start_place_id=None),
            UNKNOWN,
            Reason.START_NOT_SAID,
        ),
        (Rule.START_OPEN, replace(CLEAR, starts=()), UNKNOWN, Reason.RECORD_GONE),
        (
            Rule.START_OPEN,
            CLEAR.with_trip(end_place_id=ANOTHER),
            UNKNOWN,
            Reason.RECORD_GONE,
        ),
        (
            Rule.START_OPEN,
            CLEAR.with_trip(kit_up_min=None),
            UNKNOWN,
            Reason.START_ARRIVAL_NOT_SAID,
        ),
        # Common practice, no source: 16 hours.  Home at 10:00 at the latest.
        (Rule.AWAKE, CLEAR.with_trip(wake=at(1)), CLEAR_, Reason.AWAKE_FINE),
        (Rule.AWAKE, CLEAR.with_trip(wake=at(0, 59)), CAUTION, Reason.AWAKE_LONG),
        (Rule.AWAKE, CLEAR.with_trip(wake=None), UNKNOWN, Reason.AWAKE_NOT_SAID),
        (Rule.AWAKE, CLEAR.with_trip(wake=at(23)), UNKNOWN, Reason.AWAKE_NOT_SAID),
        (
            Rule.AWAKE,
            CLEAR.with_trip(drive_back_min=None),
            UNKNOWN,
            Reason.DRIVE_NOT_SAID,
        ),
        (
            Rule.AWAKE,
            CLEAR.with_trip(drive_back_min=0.0, drive_out_min=0.0, wake=None),
            Severity.DOES_NOT_APPLY,
            Reason.NOBODY_DRIVES,
        ),
        # Calling for help.
        (Rule.COVERAGE, CLEAR, CLEAR_, Reason.COVERAGE_GOOD),
        (Rule.COVERAGE, place(coverage=None), UNKNOWN, Reason.COVERAGE_NOT_SAID),
        (Rule.COVERAGE, place(coverage=Coverage.PATCHY), CAUTION, Reason.COVERAGE_POOR),
        (
            Rule.COVERAGE,
            CLEAR.with_vantage(coverage=Coverage.NONE),
            CAUTION,
            Reason.COVERAGE_POOR,
        ),
        (Rule.EMERGENCY, CLEAR, CLEAR_, Reason.EMERGENCY_SAID),
        (Rule.EMERGENCY, place(nearest_road=" "), UNKNOWN, Reason.ROAD_NOT_SAID),
        (
            Rule.EMERGENCY,
            CLEAR.with_trip(emergency=""),
            UNKNOWN,
            Reason.EMERGENCY_NOT_SAID,
        ),
        (
            Rule.EMERGENCY,
            place(emergency="112").with_trip(emergency=""),
            CLEAR_,
            Reason.EMERGENCY_SAID,
        ),
        # Common practice, no source: 10 m.
        (
            Rule.POSITION_ERROR,
            CLEAR.with_vantage(position_error_m=10.0),
            CLEAR_,
            Reason.POSITIONS_GOOD,
        ),
        (
            Rule.POSITION_ERROR,
            CLEAR.with_vantage(position_error_m=10.1),
            CAUTION,
            Reason.POSITIONS_ROUGH,
        ),
        (
            Rule.POSITION_ERROR,
            CLEAR.with_vantage(position_error_m=None),
            UNKNOWN,
            Reason.POSITIONS_NOT_SAID,
        ),
        # The tide.
        (Rule.TIDE_CONFIDENCE, CLEAR, CLEAR_, Reason.TIDE_SURE),
        (Rule.TIDE_CONFIDENCE, replace(CLEAR, tables=()), UNKNOWN, Reason.NO_TABLE),
        (
            Rule.TIDE_CONFIDENCE,
            CLEAR.with_table(exposure=None),
            UNKNOWN,
            Reason.EXPOSURE_NOT_SAID,
        ),
        (
            Rule.TIDE_CONFIDENCE,
            CLEAR.with_table(is_distorted=None),
            UNKNOWN,
            Reason.PORT_NOT_SAID,
        ),
        (
            Rule.TIDE_CONFIDENCE,
            CLEAR.with_table(is_distorted=True),
            UNKNOWN,
            Reason.PORT_DISTORTED,
        ),
        (
            Rule.TIDE_CONFIDENCE,
            CLEAR.with_leg(is_tidal=False, shut_above_m=None),
            Severity.DOES_NOT_APPLY,
            Reason.NOT_CONCERNED,
        ),
        # The forecast's reach.
        (Rule.FORECAST_REACH, CLEAR, CLEAR_, Reason.REACHES),
        (
            Rule.FORECAST_REACH,
            replace(CLEAR, forecast=None),
            UNKNOWN,
            Reason.NO_FORECAST,
        ),
        (
            Rule.FORECAST_REACH,
            replace(CLEAR, forecast=replace(calm(), hours=calm().hours[:27])),
            UNKNOWN,
            Reason.DOES_NOT_REACH,
        ),
        (
            Rule.FORECAST_REACH,
            replace(CLEAR, forecast=replace(calm(), hours=calm().hours[:20])),
            UNKNOWN,
            Reason.FORECAST_OTHER_DAY,
        ),
        (
            Rule.FORECAST_REACH,
            replace(CLEAR, forecast=replace(calm(), location_id=NOBODY)),
            UNKNOWN,
            Reason.FORECAST_ELSEWHERE,
        ),
        (Rule.SUN_TIMES, CLEAR, CLEAR_, Reason.SUN_AGREES),
        (Rule.CLOCK_CHANGE, CLEAR, CLEAR_, Reason.CLOCK_STEADY),
    ],
)  # fmt: skip
def test_each_state(
    rule: Rule, story: Story, severity: Severity, reason: Reason
) -> None:
    finding = story.found(rule)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("rule", "limits", "story", "severity"),
    [
        (
            Rule.START_OPEN,
            Limits(start_reserve=timedelta(minutes=31)),
            parked(hours=OpenHours(time(7, 0), time(9, 30))),
            CAUTION,
        ),
        (
            Rule.AWAKE,
            Limits(awake=timedelta(hours=15)),
            CLEAR.with_trip(wake=at(1)),
            CAUTION,
        ),
        (
            Rule.POSITION_ERROR,
            Limits(position_error_m=9.0),
            CLEAR.with_vantage(position_error_m=10.0),
            CAUTION,
        ),
        (
            Rule.ACCESS_CLOSED,
            Limits(confirmed_months=11),
            works(last_confirmed=date(2025, 8, 15)),
            CAUTION,
        ),
        (
            Rule.ACCESS_CLOSED,
            Limits(leg_error_m=2_500.0),
            works(**NOW_SHUT, line=area(THERE)),
            STOP,
        ),
    ],
)
def test_each_threshold_counts(
    rule: Rule, limits: Limits, story: Story, severity: Severity
) -> None:
    assert story.found(rule).severity is not severity
    assert story.found(rule, limits).severity is severity


def test_a_missing_hour_of_the_crossing_is_named() -> None:
    quiet = calm()
    kept = tuple(hour for hour in quiet.hours if hour.instant != at(14))

    finding = replace(CLEAR, forecast=replace(quiet, hours=kept)).found(
        Rule.FORECAST_REACH
    )

    assert (finding.severity, finding.reason) == (UNKNOWN, Reason.FORECAST_GAP)
    assert finding.basis == "The step, The bar"


def test_a_forecast_for_another_place_counts_for_nothing() -> None:
    story = replace(CLEAR, forecast=replace(calm(), location_id=NOBODY))

    assert story.facts().forecast is None
    for rule in (Rule.FOG, Rule.THUNDER, Rule.WALKING_WIND, Rule.CLIFF_EDGE):
        assert story.found(rule).reason is Reason.NO_FORECAST


@pytest.mark.parametrize(
    ("rule", "story"),
    [
        (Rule.ACCESS_CLOSED, replace(CLEAR, closures=(NESTING,))),
        (Rule.CLOSED_SEASON, replace(CLEAR, closures=(WORKS,))),
        (Rule.PERMIT, replace(CLEAR, permits=())),
    ],
)
def test_that_somebody_asked_is_ticked_for_this_day_and_way_only(
    rule: Rule, story: Story
) -> None:
    ticked = replace(story, ticks=(tick(story.found(rule).key),))
    later = ticked.with_trip(day=date(2026, 8, 16))
    elsewhere = ticked.with_vantage(id=ANOTHER)

    assert ticked.found(rule).severity is CLEAR_
    assert later.found(rule).severity is UNKNOWN
    moved = replace(
        elsewhere, stops=(replace(CLEAR.stops[0], vantage_point_id=ANOTHER),)
    )
    assert moved.found(rule).severity is UNKNOWN


def test_a_gate_of_another_end_is_held_against_the_return_only() -> None:
    landing = StartPlace(
        location_id=LOCATION.id,
        name="East landing",
        kind=CAR_PARK.kind,
        position=LOCATION.position,
        hours=OpenHours(time(8, 0), time(8, 5)),
    )
    story = replace(CLEAR, starts=(CAR_PARK, landing)).with_trip(
        end_place_id=landing.id
    )

    finding = story.found(Rule.START_OPEN)

    assert (finding.severity, finding.about) == (STOP, "East landing")


def test_a_station_that_is_far_makes_the_tide_less_sure() -> None:
    near = found_with(CLEAR, Rule.TIDE_CONFIDENCE, GOLDEN)
    beyond = found_with(CLEAR, Rule.TIDE_CONFIDENCE, GOLDEN, beyond=None)
    away = replace(GOLDEN, position=destination(LOCATION.position, 0.0, 40_000.0))
    far = found_with(CLEAR, Rule.TIDE_CONFIDENCE, away)
    lost = found_with(CLEAR, Rule.TIDE_CONFIDENCE, replace(GOLDEN, position=None))

    assert near.severity is CLEAR_
    assert (beyond.severity, beyond.reason) == (
        CAUTION,
        Reason.STATION_BEYOND_HEADLAND,
    )
    assert (far.severity, far.reason) == (CAUTION, Reason.STATION_FAR)
    assert lost.reason is Reason.STATION_PLACE_NOT_SAID
    assert lost.severity is UNKNOWN


@pytest.mark.parametrize(
    ("seconds", "severity"), [(55, CLEAR_), (65, CAUTION), (-65, CAUTION)]
)
def test_sun_times_that_a_second_computation_does_not_give(
    seconds: int, severity: Severity
) -> None:
    # Source: astral, whose own times agree with ours to some seconds.
    facts = CLEAR.facts()
    moved = tuple(
        replace(event, instant=event.instant + timedelta(seconds=seconds))
        if event.name is EventName.SUNSET
        else event
        for event in facts.day_events
    )

    (finding,) = sun_times(replace(facts, day_events=moved), Limits())
    (strict,) = sun_times(facts, Limits(sun_difference_s=0.01))

    assert finding.severity is severity
    assert Note.SUN_ARITHMETIC in finding.notes
    assert strict.severity is CAUTION


@pytest.mark.parametrize(
    ("apart_s", "severity"),
    [(60.0, CLEAR_), (60.1, CAUTION), (None, Severity.DOES_NOT_APPLY)],
)
def test_a_minute_between_two_computations_is_allowed(
    apart_s: float | None, severity: Severity, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Common practice, no source: 60 s.
    opinion = SecondOpinion(8, apart_s, (), ())
    monkeypatch.setattr(reliance, "second_opinion", lambda *_: opinion)

    assert CLEAR.found(Rule.SUN_TIMES).severity is severity


def test_sun_times_that_only_one_computation_gives_are_a_caution() -> None:
    facts = CLEAR.facts()
    kept = tuple(e for e in facts.day_events if e.name is not EventName.SUNSET)

    (finding,) = sun_times(replace(facts, day_events=kept), Limits())

    assert finding.severity is CAUTION


@pytest.mark.parametrize(
    ("day", "severity", "minutes"),
    [
        # Source: IANA: the clock of Dublin goes back on 25 October 2026 at 1:00 UTC.
        (date(2026, 10, 24), CLEAR_, None),
        (date(2026, 10, 25), CAUTION, -60.0),
        (date(2026, 10, 26), CLEAR_, None),
        # And forward on 28 March 2027.
        (date(2027, 3, 28), CAUTION, 60.0),
    ],
)
def test_a_clock_that_changes_on_the_day_is_a_caution(
    day: date, severity: Severity, minutes: float | None
) -> None:
    story = replace(
        place(zone="Europe/Dublin"), stops=(), walks=(), gates=(), forecast=None
    ).with_trip(day=day, wake=None, latest_return=None, raise_alarm=None)
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    facts = facts_of(story.dossier(), story.trip, noon)

    (finding,) = clock_change(facts, Limits())

    assert finding.severity is severity
    assert finding.number("clock_step") == minutes


def test_going_alone_is_said_where_a_telephone_does_not_work() -> None:
    poor = CLEAR.with_vantage(coverage=Coverage.NONE)

    assert Note.ALONE in poor.found(Rule.COVERAGE).notes
    assert Note.ALONE not in poor.with_trip(party=2).found(Rule.COVERAGE).notes


def test_a_typed_decision_time_that_is_too_late_is_said_not_to_count() -> None:
    finding = gated(decide_by=at(23)).found(Rule.GATES)

    assert finding.severity is CLEAR_
    assert Note.TYPED_TOO_LATE in finding.notes
