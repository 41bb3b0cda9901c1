"""Waves, cliff feet, wind towards a drop and the walk out: each state and fact."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from fieldtrip.geo import destination
from fieldtrip.places.records import Hazard, HazardKind, Shape, Shore
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.walk_out import latest_walk_out
from fieldtrip.sky.events import EventName
from fieldtrip.trips.records import SeaState
from tests.safety.story import (
    CLEAR,
    LOCATION,
    VANTAGE,
    Story,
    at,
    calm,
    edge_at,
    stop,
    tick,
    walk,
)

STOP, UNKNOWN = Severity.STOP, Severity.UNKNOWN
CAUTION, CLEAR_ = Severity.CAUTION, Severity.CLEAR


def ledge(shore: Shore | None = Shore.ROCK, **values: Any) -> Story:
    """A stay at the water's edge that faces west, with these waves."""
    at_edge = CLEAR.with_vantage(shore=shore, seaward_deg=270.0, ground_m=None)
    return replace(at_edge, walks=(), forecast=calm(**values))


def sand(**values: Any) -> Story:
    """The same on sand."""
    return ledge(Shore.SAND, **values)


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        # Common practice, no source: 1.0 m, 2.5 m and a period of 12 s.
        (sand(wave_height_m=0.9), CLEAR_, Reason.SWELL_LOW),
        (sand(wave_height_m=1.0), CAUTION, Reason.SWELL_RAISED),
        (sand(wave_height_m=2.4), CAUTION, Reason.SWELL_RAISED),
        (sand(wave_height_m=2.5), STOP, Reason.SWELL_HIGH),
        (sand(wave_period_s=11.9), CLEAR_, Reason.SWELL_LOW),
        (sand(wave_period_s=12.0), CAUTION, Reason.SWELL_LONG),
        (ledge(Shore.STONES, wave_height_m=1.0), CAUTION, Reason.SWELL_RAISED),
        # Onshore to within 90° of seaward, which is west.
        (sand(wave_height_m=3.0, wave_from_deg=181.0), STOP, Reason.SWELL_HIGH),
        (sand(wave_height_m=2.4, wave_from_deg=180.0), CLEAR_, Reason.SWELL_AWAY),
        (sand(wave_height_m=2.4, wave_from_deg=0.0), CLEAR_, Reason.SWELL_AWAY),
        # Common practice, no source: high or long waves bend round to any shore.
        (sand(wave_height_m=2.5, wave_from_deg=180.0), CAUTION, Reason.SWELL_RAISED),
        (sand(wave_period_s=12.0, wave_from_deg=90.0), CAUTION, Reason.SWELL_LONG),
        (
            sand(wave_from_deg=90.0).with_trip(sea=SeaState.HEAVY),
            CAUTION,
            Reason.SWELL_RAISED,
        ),
        (sand(wave_height_m=3.0, wave_from_deg=359.0), STOP, Reason.SWELL_HIGH),
        # A rock platform is never clear.
        (ledge(wave_height_m=0.0), UNKNOWN, Reason.SWELL_ON_ROCK),
        (ledge(wave_from_deg=90.0), UNKNOWN, Reason.SWELL_ON_ROCK),
        (ledge(wave_height_m=1.0, wave_period_s=12.0), STOP, Reason.SWELL_LONG_ON_ROCK),
        (ledge(wave_height_m=1.0, wave_period_s=11.9), UNKNOWN, Reason.SWELL_ON_ROCK),
        (ledge(wave_height_m=2.5), STOP, Reason.SWELL_HIGH),
        # What was said for the trip counts too.
        (sand().with_trip(sea=SeaState.HEAVY), STOP, Reason.SWELL_HEAVY),
        (sand().with_trip(sea=SeaState.MODERATE), CAUTION, Reason.SWELL_RAISED),
        (sand().with_trip(wave_height_m=2.6), STOP, Reason.SWELL_HIGH),
        (
            sand(wave_height_m=None, wave_period_s=None).with_trip(
                wave_height_m=0.4, wave_period_s=6.0
            ),
            CLEAR_,
            Reason.SWELL_LOW,
        ),
    ],
)
def test_waves_at_the_waters_edge(
    story: Story, severity: Severity, reason: Reason
) -> None:
    finding = story.found(Rule.SWELL)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (sand(wave_height_m=None), Reason.SWELL_NOT_KNOWN),
        (sand(wave_period_s=None), Reason.SWELL_NOT_KNOWN),
        (replace(sand(), forecast=None), Reason.SWELL_NOT_KNOWN),
        (ledge(None), Reason.SWELL_SHORE_NOT_SAID),
        (
            CLEAR.with_leg(shore=None),
            Reason.SWELL_SHORE_NOT_SAID,
        ),
        (
            CLEAR.with_leg(shore=None, is_tidal=None, shut_above_m=None),
            Reason.SWELL_SHORE_NOT_SAID,
        ),
    ],
)
def test_each_missing_fact_about_waves_alone_is_unknown(
    story: Story, reason: Reason
) -> None:
    finding = story.found(Rule.SWELL)

    assert (finding.severity, finding.reason) == (UNKNOWN, reason)


@pytest.mark.parametrize(
    "story",
    [
        sand(wave_height_m=3.0, wave_period_s=None, wave_from_deg=None),
        sand(wave_height_m=3.0).with_vantage(shore=Shore.SAND, seaward_deg=None),
        sand(wave_height_m=None).with_trip(sea=SeaState.HEAVY),
        replace(sand(), forecast=None).with_trip(wave_height_m=3.0),
    ],
)
def test_waves_of_unknown_direction_count_as_coming_in(story: Story) -> None:
    assert story.found(Rule.SWELL).severity is STOP


def test_high_ground_and_dry_legs_are_no_question_of_waves() -> None:
    # Common practice, no source: 10 m.
    high = ledge(None).with_vantage(shore=None, ground_m=10.0)
    low = ledge(None).with_vantage(shore=None, ground_m=9.9)
    dry = CLEAR.with_leg(shore=None, is_tidal=False, shut_above_m=None)

    assert high.found(Rule.SWELL).severity is Severity.DOES_NOT_APPLY
    assert low.found(Rule.SWELL).severity is UNKNOWN
    assert low.found(Rule.SWELL, Limits(low_ground_m=9.0)).severity is (
        Severity.DOES_NOT_APPLY
    )
    assert dry.found(Rule.SWELL).severity is Severity.DOES_NOT_APPLY


def test_that_waves_do_not_reach_a_spot_can_be_ticked_until_it_moves() -> None:
    story = ledge(None)
    ticked = replace(story, ticks=(tick(story.found(Rule.SWELL).key),))
    moved = ticked.with_vantage(position=destination(VANTAGE.position, 0.0, 40.0))

    assert ticked.found(Rule.SWELL).severity is CLEAR_
    assert moved.found(Rule.SWELL).severity is UNKNOWN
    assert not ledge().found(Rule.SWELL).can_be_ticked


def test_a_leg_of_which_nobody_said_is_asked_about_once() -> None:
    story = CLEAR.with_leg(shore=None)

    findings = [f for f in check(story.facts()).findings if f.rule is Rule.SWELL]

    assert [f.about for f in findings] == ["The bar"]


def test_run_up_on_sand_is_told() -> None:
    # Source: Stockdon and others (2006), equation 19: slope 0.08, 2 m, 10 s.
    story = sand(wave_height_m=2.0, wave_period_s=10.0).with_vantage(
        shore=Shore.SAND, seaward_deg=270.0, beach_slope=0.08
    )

    # By hand: L 156.13 m; set-up 0.495 m; swash 1.542 m; 1.1 (0.495 + 0.771).
    assert story.found(Rule.SWELL).number("wave_reach") == pytest.approx(1.39, abs=0.01)


@pytest.mark.parametrize(
    ("limits", "story", "severity"),
    [
        (Limits(swell_caution_m=0.9), sand(wave_height_m=0.9), CAUTION),
        (Limits(swell_stop_m=2.4), sand(wave_height_m=2.4), STOP),
        (Limits(long_period_s=11.0), sand(wave_period_s=11.0), CAUTION),
    ],
)
def test_each_threshold_of_waves_counts(
    limits: Limits, story: Story, severity: Severity
) -> None:
    assert story.found(Rule.SWELL).severity is not severity
    assert story.found(Rule.SWELL, limits).severity is severity


def foot(distance_m: float, **changes: Any) -> Story:
    """The foot of a 25 m cliff, so far north of the vantage point."""
    middle = destination(VANTAGE.position, 0.0, distance_m)
    usual: dict[str, Any] = {
        "location_id": LOCATION.id,
        "name": "North foot",
        "kind": HazardKind.CLIFF_FOOT,
        "shape": Shape.LINE,
        "line": (destination(middle, 270.0, 80.0), destination(middle, 90.0, 80.0)),
        "height_m": 25.0,
        "last_confirmed": date(2026, 5, 2),
    }
    return replace(CLEAR, edges=(Hazard(**(usual | changes)),), walks=())


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        # Source: National Coastwatch Institution (2023): a 25 m cliff, 25 m off.
        # The position may be 3 m out.
        (foot(28.1), CLEAR_, Reason.FOOT_CLEAR),
        (foot(27.9), CAUTION, Reason.FOOT_NEAR),
        # Common practice, no source: 15 mm in 48 hours; 10 mm in a day; heavy hours.
        (foot(27.9).with_trip(rain_48h_mm=14.9), CAUTION, Reason.FOOT_NEAR),
        (foot(27.9).with_trip(rain_48h_mm=15.0), STOP, Reason.FOOT_NEAR_WET),
        (foot(28.1).with_trip(rain_48h_mm=15.0), CLEAR_, Reason.FOOT_CLEAR),
        (
            replace(foot(27.9), forecast=calm(rain_mm=0.401)),
            STOP,
            Reason.FOOT_NEAR_WET,
        ),
        (foot(27.9, height_m=20.0), CLEAR_, Reason.FOOT_CLEAR),
        (foot(40.0, last_confirmed=date(2025, 8, 14)), CAUTION, Reason.FOOT_STALE),
        (foot(40.0, last_confirmed=None), CAUTION, Reason.FOOT_STALE),
        (foot(104.0), Severity.DOES_NOT_APPLY, Reason.NOT_CONCERNED),
        # Common practice, no source: a cliff of unknown height counts within 100 m.
        (foot(102.9, height_m=None), UNKNOWN, Reason.FOOT_HEIGHT_NOT_KNOWN),
        (
            foot(103.1, height_m=None),
            Severity.DOES_NOT_APPLY,
            Reason.NOT_CONCERNED,
        ),
        (foot(120.0, height_m=130.0), CAUTION, Reason.FOOT_NEAR),
    ],
)
def test_below_a_cliff(story: Story, severity: Severity, reason: Reason) -> None:
    finding = story.found(Rule.CLIFF_FOOT)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (foot(40.0, height_m=None), Reason.FOOT_HEIGHT_NOT_KNOWN),
        (
            foot(40.0).with_vantage(position_error_m=None),
            Reason.FOOT_POSITION_NOT_SAID,
        ),
        (replace(foot(20.0), forecast=None), Reason.FOOT_RAIN_NOT_KNOWN),
        (
            replace(foot(20.0), forecast=calm(rain_mm=None)),
            Reason.FOOT_RAIN_NOT_KNOWN,
        ),
    ],
)
def test_each_missing_fact_about_a_cliff_foot_alone_is_unknown(
    story: Story, reason: Reason
) -> None:
    finding = story.found(Rule.CLIFF_FOOT)

    assert (finding.severity, finding.reason) == (UNKNOWN, reason)


def test_by_the_sea_a_cliff_above_is_unknown_until_somebody_looked() -> None:
    # Common practice, no source: ground below 10 m, and legs along the sea.
    unlooked = replace(CLEAR, ticks=())
    inland = unlooked.with_leg(is_tidal=False, shut_above_m=None, shore=None)
    key = unlooked.found(Rule.CLIFF_FOOT).key

    found = unlooked.found(Rule.CLIFF_FOOT)
    assert (found.severity, found.reason) == (UNKNOWN, Reason.FOOT_NOT_LOOKED_FOR)
    assert CLEAR.found(Rule.CLIFF_FOOT).severity is CLEAR_
    assert inland.found(Rule.CLIFF_FOOT).severity is Severity.DOES_NOT_APPLY
    assert inland.with_vantage(ground_m=9.9).found(Rule.CLIFF_FOOT).severity is UNKNOWN
    assert inland.with_vantage(ground_m=None).found(Rule.CLIFF_FOOT).key != key
    moved = CLEAR.with_leg(line=(VANTAGE.position, LOCATION.position))
    assert moved.found(Rule.CLIFF_FOOT).severity is UNKNOWN


def late(rain_48h_mm: float | None, rain_mm: dict[int, float | None]) -> Story:
    """The foot 20 m off, stayed at from 16:45, with the rain of some hours of the day.

    The trip starts at 14:30.
    """
    story = replace(
        foot(20.0), walks=(walk(14, 30),), stops=(stop(at(16, 45), at(16, 55)),)
    ).with_trip(rain_48h_mm=rain_48h_mm)
    whole = calm()
    hours = tuple(
        replace(h, rain_mm=rain_mm[h.instant.hour])
        if h.instant.day == 15 and h.instant.hour in rain_mm
        else h
        for h in whole.hours
    )
    return replace(story, forecast=replace(whole, hours=hours))


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        (late(0.0, {}), CAUTION, Reason.FOOT_NEAR),
        # Between the start and the stay nothing was typed and nothing is forecast.
        (late(0.0, {15: None}), UNKNOWN, Reason.FOOT_RAIN_NOT_KNOWN),
        # Of the two days before, a forecast that begins one day before lacks half.
        (late(None, {}), UNKNOWN, Reason.FOOT_RAIN_NOT_KNOWN),
        # What fell before and what falls on the way are one wetness.
        (late(12.0, {15: 2.9}), CAUTION, Reason.FOOT_NEAR),
        (late(12.0, {15: 3.0}), STOP, Reason.FOOT_NEAR_WET),
    ],
)
def test_rain_counts_from_two_days_before_until_the_end_of_the_stay(
    story: Story, severity: Severity, reason: Reason
) -> None:
    found = [f for f in check(story.facts()).findings if f.rule is Rule.CLIFF_FOOT]

    at_stop = next(f for f in found if f.about.startswith(VANTAGE.name))
    assert (at_stop.severity, at_stop.reason) == (severity, reason)


def test_a_wet_cliff_foot_stays_stop_with_other_facts_missing() -> None:
    wet = replace(foot(20.0), forecast=None).with_trip(rain_48h_mm=30.0)

    assert wet.found(Rule.CLIFF_FOOT).severity is STOP
    unsaid = wet.with_vantage(position_error_m=None)
    assert unsaid.found(Rule.CLIFF_FOOT).severity is STOP


@pytest.mark.parametrize(
    ("limits", "story", "severity"),
    [
        (Limits(foot_heights=1.1), foot(28.1), CAUTION),
        (
            Limits(wet_rain_48h_mm=14.0),
            foot(20.0).with_trip(rain_48h_mm=14.0),
            STOP,
        ),
        (Limits(heavy_rain_mm_day=9.0),
         replace(foot(20.0), forecast=calm(rain_mm=0.38)), STOP),
        (Limits(heavy_rain_mm_h=0.3),
         replace(foot(20.0), forecast=calm(rain_mm=0.3)), STOP),
        (Limits(foot_zone_m=120.0), foot(110.0), CLEAR_),
        (Limits(confirmed_months=3), foot(40.0), CAUTION),
    ],
)  # fmt: skip
def test_each_threshold_below_a_cliff_counts(
    limits: Limits, story: Story, severity: Severity
) -> None:
    assert story.found(Rule.CLIFF_FOOT).severity is not severity
    assert story.found(Rule.CLIFF_FOOT, limits).severity is severity


def windy(gust_m_s: float, wind_from_deg: float | None) -> Story:
    """A stay 30 m east of a drop, in wind from a direction."""
    forecast = calm(gust_m_s=gust_m_s, wind_from_deg=wind_from_deg)
    return replace(CLEAR, edges=(edge_at(30.0),), walks=(), forecast=forecast)


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        # Common practice, no source: a quarter more towards the drop, which is west.
        (windy(10.3, 90.0), CLEAR_, Reason.EDGE_CLEAR),
        (windy(10.4, 90.0), CAUTION, Reason.GUST_CAUTION),
        (windy(10.4, 10.0), CAUTION, Reason.GUST_CAUTION),
        (windy(14.4, 90.0), STOP, Reason.GUST_STOP),
        (windy(12.9, 270.0), CLEAR_, Reason.EDGE_CLEAR),
        (windy(12.9, None), UNKNOWN, Reason.WIND_FROM_NOT_KNOWN),
        (windy(14.4, None), UNKNOWN, Reason.WIND_FROM_NOT_KNOWN),
        (windy(10.3, None), CLEAR_, Reason.EDGE_CLEAR),
        # Where it comes from never makes a strong gust better.
        (windy(18.0, 270.0), STOP, Reason.GUST_STOP),
        (windy(18.0, None), STOP, Reason.GUST_STOP),
    ],
)
def test_wind_across_an_edge(story: Story, severity: Severity, reason: Reason) -> None:
    finding = story.found(Rule.CLIFF_EDGE)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_wind_towards_the_drop_is_said_and_its_factor_counts() -> None:
    story = windy(10.3, 90.0)

    assert Note.WIND_TOWARDS_EDGE in story.found(Rule.CLIFF_EDGE).notes
    more = story.found(Rule.CLIFF_EDGE, Limits(towards_edge_factor=1.3))
    assert more.severity is CAUTION


def test_a_leg_on_a_headland_counts_more_wind_at_an_edge() -> None:
    story = replace(
        CLEAR, edges=(edge_at(30.0),), stops=(), forecast=calm(gust_m_s=9.0)
    )

    assert story.found(Rule.CLIFF_EDGE).severity is CLEAR_
    for on_headland in (True, None):
        finding = story.with_leg(on_headland=on_headland).found(Rule.CLIFF_EDGE)
        assert (finding.severity, finding.reason) == (CAUTION, Reason.GUST_CAUTION)


@pytest.mark.parametrize(("rain_48h_mm", "severity"), [(14.9, CLEAR_), (15.0, STOP)])
def test_rain_of_two_days_widens_the_distance_from_an_edge(
    rain_48h_mm: float, severity: Severity
) -> None:
    # Common practice, no source: 15 mm; 10 m from the edge, 3 m for the position.
    story = replace(CLEAR, edges=(edge_at(12.0),), walks=())

    finding = story.with_trip(rain_48h_mm=rain_48h_mm).found(Rule.CLIFF_EDGE)

    assert finding.severity is severity


def sunset() -> datetime:
    """Sunset of the story's evening."""
    events = CLEAR.facts().sun_events
    return [e.instant for e in events if e.name is EventName.SUNSET][-1]


def out_at(minutes: float, **leg: Any) -> Story:
    """The bar walked out over ten minutes, so long before sunset."""
    start = sunset() - timedelta(minutes=minutes)
    back = replace(CLEAR.walks[1], start=start, finish=start + timedelta(minutes=10))
    late = replace(CLEAR, walks=(CLEAR.walks[0], back))
    return late.with_leg(is_tidal=False, shut_above_m=None, **leg)


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        # Common practice, no source: 30 minutes in hand before sunset.
        (out_at(40.5), CLEAR_, Reason.OUT_IN_LIGHT),
        (out_at(39.5), CAUTION, Reason.OUT_LITTLE_RESERVE),
        (out_at(8.0), CAUTION, Reason.OUT_AFTER_SUNSET),
        # Source: US Naval Observatory: civil dusk at −6°, here 27 minutes later.
        (out_at(-25.0), STOP, Reason.OUT_IN_THE_DARK),
        (
            out_at(-60.0, is_exposed=False, daylight_only=False),
            CLEAR_,
            Reason.OUT_LIGHT_NOT_NEEDED,
        ),
        (
            out_at(-60.0, is_exposed=False, walked_in_daylight=False),
            STOP,
            Reason.OUT_IN_THE_DARK,
        ),
        (
            out_at(-60.0, is_exposed=False, walked_in_daylight=None),
            STOP,
            Reason.OUT_IN_THE_DARK,
        ),
        (out_at(-60.0, is_exposed=None), UNKNOWN, Reason.OUT_GROUND_NOT_SAID),
        (
            out_at(-60.0, is_exposed=False, daylight_only=None),
            UNKNOWN,
            Reason.OUT_GROUND_NOT_SAID,
        ),
        (out_at(90.0, ascent_m=None), UNKNOWN, Reason.OUT_TIME_NOT_KNOWN),
        (replace(CLEAR, walks=()), UNKNOWN, Reason.NO_WALKS),
        (replace(CLEAR, walks=CLEAR.walks[:1]), UNKNOWN, Reason.NO_WALK_OUT),
    ],
)
def test_when_the_walk_out_begins(
    story: Story, severity: Severity, reason: Reason
) -> None:
    finding = story.found(Rule.LATEST_WALK_OUT)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_the_latest_walk_out_is_told_and_its_reserve_counts() -> None:
    finding = out_at(40.5).found(Rule.LATEST_WALK_OUT)
    longer = Limits(walk_out_reserve=timedelta(minutes=31))

    assert finding.instant("latest_start") == sunset() - timedelta(minutes=10)
    assert out_at(40.5).found(Rule.LATEST_WALK_OUT, longer).severity is CAUTION


@pytest.mark.parametrize(
    ("limits", "severity"),
    [
        (Limits(), CLEAR_),
        (Limits(sunset_deg=-0.1), CAUTION),
        (Limits(sunset_deg=-0.1, dusk_deg=-0.2), STOP),
    ],
)
def test_the_suns_altitude_decides_the_walk_out(
    limits: Limits, severity: Severity
) -> None:
    def low(story: Story) -> Finding:
        facts = story.facts()
        walks = tuple(replace(walk, lowest_sun_deg=-0.5) for walk in facts.walks)
        return latest_walk_out(replace(facts, walks=walks), limits)[0]

    assert low(CLEAR).severity is severity
