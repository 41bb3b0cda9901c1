"""Edges: how near, how soft, how wet, how windy, and whether anybody looked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from fieldtrip.geo import destination
from fieldtrip.places.records import HazardKind, Shape
from fieldtrip.safety.finding import Finding, Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.nearness import hazard_distance_m, lines_distance_m
from fieldtrip.weather.records import Forecast
from tests.safety.story import CLEAR, VANTAGE, Story, at, calm, edge_at, tick


def near(distance_m: float, **changes: Any) -> Story:
    """The story with its only edge at a distance from the vantage point.

    The leg is left out of it by saying that a fall on it would not hurt, and
    by an edge that ends short of it.
    """
    return replace(CLEAR, edges=(edge_at(distance_m, **changes),), walks=())


@pytest.mark.parametrize(
    ("gust_m_s", "severity", "reason"),
    [
        # Source: RNLI advice on coastal walks: gusts over 30 to 40 mph, 13.4 to
        # 17.9 m/s, can affect balance near cliff edges.
        (12.9, Severity.CLEAR, Reason.EDGE_CLEAR),
        (13.0, Severity.CAUTION, Reason.GUST_CAUTION),
        (17.9, Severity.CAUTION, Reason.GUST_CAUTION),
        (18.0, Severity.STOP, Reason.GUST_STOP),
    ],
)
def test_gusts_near_an_edge(
    gust_m_s: float, severity: Severity, reason: Reason
) -> None:
    story = replace(near(30.0), forecast=calm(gust_m_s=gust_m_s))

    finding = story.found(Rule.CLIFF_EDGE)

    assert (finding.severity, finding.reason) == (severity, reason)
    assert finding.number("gust") == gust_m_s


@pytest.mark.parametrize(
    ("gust_m_s", "severity"),
    [(8.6, Severity.CLEAR), (8.7, Severity.CAUTION), (12.0, Severity.STOP)],
)
def test_on_a_headland_wind_counts_half_as_much_again(
    gust_m_s: float, severity: Severity
) -> None:
    # Common practice, no source: 1.5 times, until observed.
    vantage = replace(VANTAGE, on_headland=True)
    story = replace(near(30.0), vantage=vantage, forecast=calm(gust_m_s=gust_m_s))

    finding = story.found(Rule.CLIFF_EDGE)

    assert finding.severity is severity
    assert Note.HEADLAND in finding.notes


def test_a_headland_that_nobody_ruled_out_counts_as_one_and_says_so() -> None:
    story = replace(near(30.0), forecast=calm(gust_m_s=8.7))

    unsaid = replace(story, vantage=replace(VANTAGE, on_headland=None))
    said = story.found(Rule.CLIFF_EDGE)
    finding = unsaid.found(Rule.CLIFF_EDGE)

    # Common practice, no source: 1.5 times 8.7 m/s is above 13 m/s.
    assert said.severity is Severity.CLEAR
    assert finding.severity is Severity.CAUTION
    assert finding.number("gust") == pytest.approx(13.05)
    assert Note.HEADLAND_NOT_SAID in finding.notes


@pytest.mark.parametrize(
    ("distance_m", "severity", "reason"),
    [
        # Common practice, no source: 5 m; the position may be 3 m out.
        (8.1, Severity.CLEAR, Reason.EDGE_CLEAR),
        (7.9, Severity.CAUTION, Reason.EDGE_NEAR),
        (0.0, Severity.CAUTION, Reason.EDGE_NEAR),
    ],
)
def test_distance_from_firm_dry_rock(
    distance_m: float, severity: Severity, reason: Reason
) -> None:
    finding = near(distance_m).found(Rule.CLIFF_EDGE)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("distance_m", "severity"), [(13.1, Severity.CLEAR), (12.9, Severity.STOP)]
)
def test_distance_from_soft_rock(distance_m: float, severity: Severity) -> None:
    # Common practice, no source: 10 m; the position may be 3 m out.
    finding = near(distance_m, is_soft=True).found(Rule.CLIFF_EDGE)

    assert finding.severity is severity


@pytest.mark.parametrize(
    ("rain_mm", "severity"),
    [
        # 24 hours of it: 10 mm in a day (common practice, no source).
        (0.39, Severity.CLEAR),
        (0.401, Severity.STOP),  # in 25 begun hours
        # 4 mm in an hour is heavy (Met Office, Fact sheet 3, from memory).
        (4.0, Severity.STOP),
    ],
)
def test_distance_after_rain(rain_mm: float, severity: Severity) -> None:
    story = replace(near(12.0), forecast=calm(rain_mm=rain_mm))

    assert story.found(Rule.CLIFF_EDGE).severity is severity


def test_one_heavy_hour_is_enough() -> None:
    def wet(rain_mm: float) -> Forecast:
        dry = calm()
        hours = [
            replace(h, rain_mm=rain_mm) if h.instant == at(9) else h for h in dry.hours
        ]
        return replace(dry, hours=tuple(hours))

    heavy = replace(near(12.0), forecast=wet(4.0)).found(Rule.CLIFF_EDGE)
    light = replace(near(12.0), forecast=wet(3.9)).found(Rule.CLIFF_EDGE)

    assert heavy.severity is Severity.STOP
    assert Note.HEAVY_RAIN in heavy.notes
    assert light.severity is Severity.CLEAR


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (replace(near(30.0), forecast=None), Reason.NO_FORECAST),
        (replace(near(30.0), forecast=calm(gust_m_s=None)), Reason.GUST_NOT_KNOWN),
        (replace(near(30.0), forecast=calm(rain_mm=None)), Reason.RAIN_NOT_KNOWN),
        (near(30.0, is_soft=None), Reason.SOFT_NOT_SAID),
        (
            replace(near(30.0), vantage=replace(VANTAGE, position_error_m=None)),
            Reason.POSITION_ERROR_NOT_SAID,
        ),
    ],
)
def test_each_missing_fact_alone_is_unknown(story: Story, reason: Reason) -> None:
    finding = story.found(Rule.CLIFF_EDGE)

    assert (finding.severity, finding.reason) == (Severity.UNKNOWN, reason)


def test_one_missing_hour_is_unknown() -> None:
    whole = calm()
    hours = tuple(h for h in whole.hours if h.instant != at(14))
    story = replace(near(30.0), forecast=replace(whole, hours=hours))

    assert story.found(Rule.CLIFF_EDGE).reason is Reason.GUST_NOT_KNOWN


def test_rain_of_the_day_before_that_nobody_typed_asks_for_the_wider_distance() -> None:
    whole = calm()
    today = tuple(h for h in whole.hours if h.instant >= at(12))
    forecast = replace(whole, hours=today)

    def found(distance_m: float) -> Finding:
        unsaid = near(distance_m).with_trip(rain_48h_mm=None)
        return replace(unsaid, forecast=forecast).found(Rule.CLIFF_EDGE)

    far, close = found(13.1), found(12.9)

    assert far.severity is Severity.CLEAR
    assert Note.RAIN_BEFORE_NOT_KNOWN in far.notes
    assert close.reason is Reason.RAIN_NOT_KNOWN


@pytest.mark.parametrize(
    "story",
    [
        near(30.0, is_soft=None),
        near(30.0, is_fenced=None),
        replace(near(30.0), vantage=replace(VANTAGE, position_error_m=None)),
    ],
)
def test_a_proven_stop_stays_stop_with_other_facts_missing(story: Story) -> None:
    for forecast in (
        calm(gust_m_s=18.0, rain_mm=None),
        calm(gust_m_s=None, wind_m_s=18.0),
    ):
        finding = replace(story, forecast=forecast).found(Rule.CLIFF_EDGE)
        assert finding.severity is Severity.STOP


def test_a_fence_takes_an_edge_out_and_an_unsaid_one_does_not() -> None:
    fenced = near(2.0, is_fenced=True).found(Rule.CLIFF_EDGE)
    unsaid = near(2.0, is_fenced=None).found(Rule.CLIFF_EDGE)

    assert fenced.severity is Severity.DOES_NOT_APPLY
    assert unsaid.severity is Severity.CAUTION
    assert Note.FENCE_NOT_SAID in unsaid.notes


def test_a_walked_leg_is_checked_as_well() -> None:
    # The bar ends at the vantage point; its edge lies 12 m off, the line 10 m out.
    story = replace(CLEAR, edges=(edge_at(12.0),), stops=())

    finding = story.found(Rule.CLIFF_EDGE)

    assert finding.reason is Reason.EDGE_NEAR
    assert finding.about == "The bar, West edge"


@pytest.mark.parametrize(
    ("distance_m", "severity"), [(15.1, Severity.CLEAR), (14.9, Severity.CAUTION)]
)
def test_a_leg_on_the_map_may_be_ten_metres_out(
    distance_m: float, severity: Severity
) -> None:
    # Common practice, no source: 5 m from firm dry rock, 10 m for the line.
    story = replace(CLEAR, edges=(edge_at(distance_m),), stops=())

    assert story.found(Rule.CLIFF_EDGE).severity is severity


@pytest.mark.parametrize(
    ("distance_m", "severity"), [(52.9, Severity.CLEAR), (53.1, Severity.UNKNOWN)]
)
def test_an_edge_within_fifty_metres_is_one_that_was_recorded(
    distance_m: float, severity: Severity
) -> None:
    # Common practice, no source: 50 m; the position may be 3 m out.
    assert near(distance_m).found(Rule.EDGE_LOOKED_FOR).severity is severity


def test_no_edge_on_the_map_is_unknown_until_somebody_looked() -> None:
    none = replace(CLEAR, edges=(), walks=())
    far = replace(CLEAR, edges=(edge_at(60.0),), walks=())
    key = none.found(Rule.EDGE_LOOKED_FOR).key
    looked = replace(none, ticks=(tick(key),))

    assert none.found(Rule.EDGE_LOOKED_FOR).reason is Reason.NO_EDGE_RECORDED
    assert none.found(Rule.EDGE_LOOKED_FOR).severity is Severity.UNKNOWN
    assert far.found(Rule.EDGE_LOOKED_FOR).severity is Severity.UNKNOWN
    assert looked.found(Rule.EDGE_LOOKED_FOR).severity is Severity.CLEAR
    assert looked.found(Rule.EDGE_LOOKED_FOR).ticked == at(11)


def test_other_hazards_are_no_edges() -> None:
    story = replace(near(2.0, kind=HazardKind.WAVES), walks=())

    assert story.found(Rule.EDGE_LOOKED_FOR).severity is Severity.UNKNOWN
    assert story.found(Rule.CLIFF_EDGE).severity is Severity.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("limits", "story", "severity"),
    [
        (Limits(gust_caution_m_s=12.0), calm(gust_m_s=12.0), Severity.CAUTION),
        (Limits(gust_stop_m_s=17.0), calm(gust_m_s=17.0), Severity.STOP),
        (Limits(edge_m=28.0), calm(), Severity.CAUTION),
        (Limits(soft_edge_m=28.0), calm(rain_mm=4.0), Severity.STOP),
    ],
)
def test_each_threshold_counts(
    limits: Limits, story: Forecast, severity: Severity
) -> None:
    finding = replace(near(30.0), forecast=story).found(Rule.CLIFF_EDGE, limits)

    assert finding.severity is severity


def test_an_area_is_near_inside_and_along_its_whole_ring() -> None:
    corner = VANTAGE.position
    ring = (
        corner,
        destination(corner, 90.0, 100.0),
        destination(destination(corner, 90.0, 100.0), 0.0, 100.0),
        destination(corner, 0.0, 100.0),
    )
    area = edge_at(0.0, shape=Shape.AREA, line=ring)
    middle = destination(destination(corner, 90.0, 50.0), 0.0, 50.0)
    west = destination(destination(corner, 0.0, 50.0), 270.0, 20.0)

    # On the closing side of the ring, which the record leaves out.
    assert hazard_distance_m(area, (west,)) == pytest.approx(20.0, abs=0.1)
    assert hazard_distance_m(area, (middle,)) == 0.0


def test_lines_that_cross_far_from_their_ends_touch() -> None:
    middle = VANTAGE.position
    across = (destination(middle, 270.0, 900.0), destination(middle, 90.0, 1100.0))
    along = (destination(middle, 180.0, 700.0), destination(middle, 0.0, 800.0))

    assert lines_distance_m(across, along) == 0.0
    assert lines_distance_m(across, along[:1]) == pytest.approx(700.0, rel=0.001)
