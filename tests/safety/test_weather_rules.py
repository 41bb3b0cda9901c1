"""Wind, cold, heat, thunder, rain, streams and fog: each state, each missing fact."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from fieldtrip.places.records import Ground, Shore
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.weather.records import Forecast
from tests.safety.story import CLEAR, Story, at, calm, edge_at

STOP, UNKNOWN = Severity.STOP, Severity.UNKNOWN
CAUTION, CLEAR_ = Severity.CAUTION, Severity.CLEAR


def weather(**values: Any) -> Story:
    """The story with these values in every hour."""
    return CLEAR.with_forecast(**values)


def in_hour(instant: datetime, **values: Any) -> Forecast:
    """The quiet forecast with other values in one hour."""
    quiet = calm()
    hours = [
        replace(hour, **values) if hour.instant == instant else hour
        for hour in quiet.hours
    ]
    return replace(quiet, hours=tuple(hours))


def without_hour(instant: datetime) -> Forecast:
    """The quiet forecast without one of its hours."""
    quiet = calm()
    kept = tuple(hour for hour in quiet.hours if hour.instant != instant)
    return replace(quiet, hours=kept)


def streamy(rain_48h_mm: float | None, **values: Any) -> Story:
    """The bar crossed by a stream, after so much rain."""
    story = weather(**values).with_leg(crosses_water=True)
    return story.with_trip(rain_48h_mm=rain_48h_mm)


PATHLESS: dict[str, Any] = {"ground": Ground.PATHLESS}
EASY: dict[str, Any] = {"is_exposed": False}
CREST = CLEAR.with_vantage(on_headland=True)


@pytest.mark.parametrize(
    ("rule", "story", "severity", "reason"),
    [
        # Source: RNLI: 50 mph (22.4 m/s) makes walking a challenge; Quality Mountain
        # Days, Windspeed (2019): 40 mph (17.9 m/s) on high ground.
        (Rule.WALKING_WIND, weather(gust_m_s=17.9), CLEAR_, Reason.WIND_LIGHT),
        (Rule.WALKING_WIND, weather(gust_m_s=18.0), CAUTION, Reason.WIND_STRONG),
        (Rule.WALKING_WIND, weather(gust_m_s=21.9), CAUTION, Reason.WIND_STRONG),
        (Rule.WALKING_WIND, weather(gust_m_s=22.0), STOP, Reason.WIND_STOP),
        # Common practice, no source: half as much again on a headland.
        (
            Rule.WALKING_WIND,
            weather(gust_m_s=11.9).with_leg(on_headland=True),
            CLEAR_,
            Reason.WIND_LIGHT,
        ),
        (
            Rule.WALKING_WIND,
            weather(gust_m_s=12.0).with_leg(on_headland=True),
            CAUTION,
            Reason.WIND_STRONG,
        ),
        (
            Rule.WALKING_WIND,
            weather(gust_m_s=14.7).with_leg(on_headland=None),
            STOP,
            Reason.WIND_STOP,
        ),
        (
            Rule.HEADLAND_WIND,
            replace(CREST, forecast=calm(gust_m_s=11.9)),
            CLEAR_,
            Reason.WIND_LIGHT,
        ),
        (
            Rule.HEADLAND_WIND,
            replace(CREST, forecast=calm(gust_m_s=12.0)),
            CAUTION,
            Reason.WIND_STRONG,
        ),
        (
            Rule.HEADLAND_WIND,
            replace(CREST, forecast=calm(gust_m_s=14.7)),
            STOP,
            Reason.WIND_STOP,
        ),
        # Source: NWS and Environment Canada (2001): at −10 °C in calm air the index
        # is the temperature; frostbite in 30 minutes below −27.
        (
            Rule.WIND_CHILL,
            weather(temperature_c=-9.9, wind_m_s=0.0),
            CLEAR_,
            Reason.CHILL_MILD,
        ),
        (
            Rule.WIND_CHILL,
            weather(temperature_c=-10.0, wind_m_s=0.0),
            CAUTION,
            Reason.CHILL_CAUTION,
        ),
        (
            Rule.WIND_CHILL,
            weather(temperature_c=-27.0, wind_m_s=0.0),
            CAUTION,
            Reason.CHILL_CAUTION,
        ),
        (
            Rule.WIND_CHILL,
            weather(temperature_c=-27.1, wind_m_s=0.0),
            STOP,
            Reason.CHILL_STOP,
        ),
        # Source: NWS chart: 0 °F and 15 mph feel like −19 °F, which is −28.3 °C.
        (
            Rule.WIND_CHILL,
            weather(temperature_c=-17.78, wind_m_s=6.706, gust_m_s=9.0),
            STOP,
            Reason.CHILL_STOP,
        ),
        # Source: NWS heat index: caution from 80 °F (26.7 °C).
        (Rule.HEAT, weather(temperature_c=26.9), CLEAR_, Reason.HEAT_MILD),
        (Rule.HEAT, weather(temperature_c=27.0), CAUTION, Reason.HEAT_CAUTION),
        (Rule.HEAT, weather(temperature_c=29.9), CAUTION, Reason.HEAT_CAUTION),
        (
            Rule.HEAT,
            weather(temperature_c=30.0),
            UNKNOWN,
            Reason.HEAT_HUMIDITY_NOT_KNOWN,
        ),
        (
            Rule.HEAT,
            weather(temperature_c=39.9),
            UNKNOWN,
            Reason.HEAT_HUMIDITY_NOT_KNOWN,
        ),
        (Rule.HEAT, weather(temperature_c=40.0), STOP, Reason.HEAT_STOP),
        # Common practice, no source: 10 and 30 %.
        (Rule.THUNDER, weather(thunder_percent=9.0), CLEAR_, Reason.THUNDER_UNLIKELY),
        (
            Rule.THUNDER,
            weather(thunder_percent=10.0),
            CAUTION,
            Reason.THUNDER_POSSIBLE,
        ),
        (
            Rule.THUNDER,
            weather(thunder_percent=29.0),
            CAUTION,
            Reason.THUNDER_POSSIBLE,
        ),
        (Rule.THUNDER, weather(thunder_percent=30.0), STOP, Reason.THUNDER_LIKELY),
        (Rule.THUNDER, weather(is_thunder=True), STOP, Reason.THUNDER_FORECAST),
        (
            Rule.THUNDER,
            weather(is_thunder=False, thunder_percent=None),
            CLEAR_,
            Reason.THUNDER_UNLIKELY,
        ),
        # Met Office, Fact sheet 3: 4 mm in an hour is heavy; from memory.
        (Rule.RAIN, weather(rain_mm=3.9), CLEAR_, Reason.RAIN_LIGHT),
        (Rule.RAIN, weather(rain_mm=4.0), CAUTION, Reason.RAIN_HEAVY),
        # Common practice, no source: 10 and 25 mm.
        (Rule.STREAMS, CLEAR, Severity.DOES_NOT_APPLY, Reason.NOT_CONCERNED),
        (Rule.STREAMS, streamy(9.9), CLEAR_, Reason.STREAM_LOW),
        (Rule.STREAMS, streamy(10.0), CAUTION, Reason.STREAM_RAISED),
        (Rule.STREAMS, streamy(24.9), CAUTION, Reason.STREAM_RAISED),
        (Rule.STREAMS, streamy(25.0), STOP, Reason.STREAM_HIGH),
        # The walk back ends at 15:10: the hours of 14 and 15 add 2 mm each.
        (Rule.STREAMS, streamy(20.9, rain_mm=2.0), CAUTION, Reason.STREAM_RAISED),
        # Source: World Meteorological Organization: fog is below 1000 m.
        (Rule.FOG, weather(visibility_m=1000.0), CLEAR_, Reason.FOG_NONE),
        (Rule.FOG, weather(visibility_m=999.0), CAUTION, Reason.FOG_PATH),
        # Common practice, no source: thick below 200 m.
        (Rule.FOG, weather(visibility_m=200.0), CAUTION, Reason.FOG_PATH),
        (Rule.FOG, weather(visibility_m=199.0), STOP, Reason.FOG_THICK),
        (
            Rule.FOG,
            weather(visibility_m=199.0).with_leg(**EASY),
            CAUTION,
            Reason.FOG_PATH,
        ),
        (
            Rule.FOG,
            weather(visibility_m=199.0).with_leg(**EASY, **PATHLESS),
            STOP,
            Reason.FOG_THICK,
        ),
    ],
)
def test_each_state(
    rule: Rule, story: Story, severity: Severity, reason: Reason
) -> None:
    finding = story.found(rule)

    assert (finding.severity, finding.reason) == (severity, reason)


@pytest.mark.parametrize(
    ("rule", "story", "reason"),
    [
        (Rule.WALKING_WIND, weather(gust_m_s=None), Reason.WIND_NOT_KNOWN),
        (
            Rule.WALKING_WIND,
            replace(CLEAR, forecast=without_hour(at(14))),
            Reason.WIND_NOT_KNOWN,
        ),
        (Rule.WALKING_WIND, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (Rule.WALKING_WIND, replace(CLEAR, walks=()), Reason.NO_WALKS),
        (
            Rule.HEADLAND_WIND,
            replace(CREST, forecast=calm(gust_m_s=None)),
            Reason.WIND_NOT_KNOWN,
        ),
        (Rule.HEADLAND_WIND, replace(CREST, forecast=None), Reason.NO_FORECAST),
        (Rule.WIND_CHILL, weather(temperature_c=None), Reason.TEMPERATURE_NOT_KNOWN),
        (
            Rule.WIND_CHILL,
            weather(temperature_c=2.0, wind_m_s=None),
            Reason.CHILL_WIND_NOT_KNOWN,
        ),
        (
            Rule.WIND_CHILL,
            replace(CLEAR, forecast=without_hour(at(15))),
            Reason.TEMPERATURE_NOT_KNOWN,
        ),
        (Rule.WIND_CHILL, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (Rule.HEAT, weather(temperature_c=None), Reason.TEMPERATURE_NOT_KNOWN),
        (Rule.HEAT, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (
            Rule.HEAT,
            replace(CLEAR, forecast=in_hour(at(15), temperature_c=None)),
            Reason.TEMPERATURE_NOT_KNOWN,
        ),
        (Rule.THUNDER, weather(thunder_percent=None), Reason.THUNDER_NOT_KNOWN),
        (Rule.THUNDER, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (
            Rule.THUNDER,
            replace(CLEAR, forecast=in_hour(at(15), thunder_percent=None)),
            Reason.THUNDER_NOT_KNOWN,
        ),
        (Rule.RAIN, weather(rain_mm=None), Reason.RAIN_HOURS_NOT_KNOWN),
        (Rule.RAIN, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (Rule.STREAMS, streamy(None), Reason.STREAM_RAIN_NOT_KNOWN),
        (Rule.STREAMS, streamy(0.0, rain_mm=None), Reason.STREAM_RAIN_NOT_KNOWN),
        (
            Rule.STREAMS,
            replace(streamy(0.0), forecast=None),
            Reason.STREAM_RAIN_NOT_KNOWN,
        ),
        (
            Rule.STREAMS,
            CLEAR.with_leg(crosses_water=None),
            Reason.STREAM_NOT_SAID,
        ),
        (Rule.STREAMS, replace(CLEAR, walks=()), Reason.NO_WALKS),
        (Rule.FOG, weather(visibility_m=None), Reason.VISIBILITY_NOT_KNOWN),
        (Rule.FOG, replace(CLEAR, forecast=None), Reason.NO_FORECAST),
        (Rule.FOG, replace(CLEAR, walks=()), Reason.NO_WALKS),
        (
            Rule.FOG,
            weather(visibility_m=100.0).with_leg(is_exposed=None),
            Reason.FOG_GROUND_NOT_SAID,
        ),
        (
            Rule.FOG,
            weather(visibility_m=100.0).with_leg(**EASY, ground=Ground.UNKNOWN),
            Reason.FOG_GROUND_NOT_SAID,
        ),
    ],
)
def test_each_missing_fact_alone_is_unknown(
    rule: Rule, story: Story, reason: Reason
) -> None:
    finding = story.found(rule)

    assert (finding.severity, finding.reason) == (UNKNOWN, reason)


@pytest.mark.parametrize(
    ("rule", "story"),
    [
        (Rule.WALKING_WIND, weather(gust_m_s=None, wind_m_s=22.0)),
        (Rule.HEADLAND_WIND, replace(CREST, forecast=calm(gust_m_s=None, wind_m_s=15))),
        (Rule.WIND_CHILL, weather(temperature_c=-30.0, wind_m_s=None)),
        (Rule.HEAT, replace(CLEAR, forecast=in_hour(at(14), temperature_c=41.0))),
        (Rule.THUNDER, weather(thunder_percent=None, is_thunder=True)),
        (Rule.STREAMS, streamy(25.0, rain_mm=None)),
        (Rule.STREAMS, replace(streamy(25.0), forecast=None)),
        (
            Rule.FOG,
            replace(CLEAR, forecast=in_hour(at(14), visibility_m=100.0)).with_leg(
                is_exposed=None, **PATHLESS
            ),
        ),
    ],
)
def test_a_proven_stop_stays_stop_with_other_facts_missing(
    rule: Rule, story: Story
) -> None:
    assert story.found(rule).severity is STOP


@pytest.mark.parametrize(
    ("rule", "limits", "story", "severity"),
    [
        (
            Rule.WALKING_WIND,
            Limits(walk_caution_m_s=17.0),
            weather(gust_m_s=17.0),
            CAUTION,
        ),
        (Rule.WALKING_WIND, Limits(walk_stop_m_s=21.0), weather(gust_m_s=21.0), STOP),
        (
            Rule.HEADLAND_WIND,
            Limits(headland_factor=1.6),
            replace(CREST, forecast=calm(gust_m_s=11.5)),
            CAUTION,
        ),
        (
            Rule.WIND_CHILL,
            Limits(chill_caution_c=-9.0),
            weather(temperature_c=-9.5, wind_m_s=0.0),
            CAUTION,
        ),
        (
            Rule.WIND_CHILL,
            Limits(chill_stop_c=-26.0),
            weather(temperature_c=-26.5, wind_m_s=0.0),
            STOP,
        ),
        (Rule.HEAT, Limits(heat_caution_c=26.0), weather(temperature_c=26.0), CAUTION),
        (Rule.HEAT, Limits(heat_humid_c=29.0), weather(temperature_c=29.0), UNKNOWN),
        (Rule.HEAT, Limits(heat_stop_c=39.0), weather(temperature_c=39.0), STOP),
        (
            Rule.THUNDER,
            Limits(thunder_caution_percent=9.0),
            weather(thunder_percent=9.0),
            CAUTION,
        ),
        (
            Rule.THUNDER,
            Limits(thunder_stop_percent=29.0),
            weather(thunder_percent=29.0),
            STOP,
        ),
        (Rule.RAIN, Limits(heavy_rain_mm_h=3.0), weather(rain_mm=3.0), CAUTION),
        (Rule.STREAMS, Limits(stream_caution_mm=9.0), streamy(9.0), CAUTION),
        (Rule.STREAMS, Limits(stream_stop_mm=24.0), streamy(24.0), STOP),
        (Rule.FOG, Limits(fog_m=1001.0), weather(visibility_m=1000.0), CAUTION),
        (Rule.FOG, Limits(thick_fog_m=201.0), weather(visibility_m=200.0), STOP),
    ],
)
def test_each_threshold_counts(
    rule: Rule, limits: Limits, story: Story, severity: Severity
) -> None:
    assert story.found(rule).severity is not severity
    assert story.found(rule, limits).severity is severity


@pytest.mark.parametrize(
    ("start", "severity"), [(at(14, 29), STOP), (at(14, 30), CLEAR_)]
)
def test_thunder_counts_for_half_an_hour_after(
    start: datetime, severity: Severity
) -> None:
    # Source: US National Weather Service: wait 30 minutes after the last thunder.
    # Its hour is over at 14:00.
    walk = replace(CLEAR.walks[0], start=start, finish=start + timedelta(minutes=10))
    story = replace(CLEAR, walks=(walk,), stops=())
    thundery = replace(story, forecast=in_hour(at(13), is_thunder=True))

    finding = thundery.found(Rule.THUNDER)
    shorter = thundery.found(Rule.THUNDER, Limits(after_thunder=timedelta(minutes=29)))

    assert finding.severity is severity
    assert shorter.severity is CLEAR_
    if severity is STOP:
        assert finding.instant("thunder_over") == at(14, 30)


@pytest.mark.parametrize(
    ("rule", "name"),
    [
        (Rule.WALKING_WIND, "gust_m_s"),
        (Rule.CLIFF_EDGE, "gust_m_s"),
        (Rule.CLIFF_EDGE, "rain_mm"),
        (Rule.WIND_CHILL, "temperature_c"),
        (Rule.HEAT, "temperature_c"),
        (Rule.THUNDER, "thunder_percent"),
        (Rule.RAIN, "rain_mm"),
        (Rule.FOG, "visibility_m"),
    ],
)
def test_what_is_no_number_is_not_known(rule: Rule, name: str) -> None:
    quiet = calm()
    nothing: dict[str, Any] = {name: math.nan}
    hours = tuple(replace(hour, **nothing) for hour in quiet.hours)
    story = replace(CLEAR, forecast=replace(quiet, hours=hours))

    finding = story.with_trip(rain_48h_mm=None).found(rule)

    assert finding.severity is UNKNOWN


def test_waves_and_winds_of_no_direction_count_as_the_worst() -> None:
    nowhere = calm(gust_m_s=14.4, wind_from_deg=math.nan)
    edge = replace(CLEAR, edges=(edge_at(30.0),), walks=(), forecast=nowhere)
    sea = calm(wave_height_m=3.0, wave_from_deg=math.nan)
    beach = CLEAR.with_vantage(shore=Shore.SAND, seaward_deg=90.0)

    assert edge.found(Rule.CLIFF_EDGE).severity is UNKNOWN
    assert replace(beach, forecast=sea).found(Rule.SWELL).severity is STOP


def test_walks_that_share_a_state_are_told_as_one_by_the_worst() -> None:
    quiet = calm()
    hours = tuple(
        replace(hour, visibility_m=500.0 if hour.instant == at(14) else 700.0)
        for hour in quiet.hours
    )
    story = replace(CLEAR, forecast=replace(quiet, hours=hours))
    findings = [f for f in check(story.facts()).findings if f.rule is Rule.FOG]
    mixed = replace(CLEAR, forecast=in_hour(at(14), visibility_m=500.0))
    apart = [f for f in check(mixed.facts()).findings if f.rule is Rule.FOG]

    (one,) = findings
    assert one.number("visibility") == 500.0
    assert one.about == "The bar"
    assert one.span is not None
    assert (one.span.start, one.span.stop) == (at(14, 30), at(15, 10))
    assert [f.severity for f in apart] == [CAUTION, CLEAR_]
    assert one.key != apart[0].key


def test_wind_chill_on_a_headland_counts_more_wind_and_says_so() -> None:
    cold = weather(temperature_c=-8.0, wind_m_s=2.0)

    sheltered = cold.found(Rule.WIND_CHILL)
    unsaid = cold.with_vantage(on_headland=None).found(Rule.WIND_CHILL)

    assert Note.CHILL_HEADLAND in unsaid.notes
    assert Note.CHILL_HEADLAND not in sheltered.notes
    assert (unsaid.number("chill") or 0.0) < (sheltered.number("chill") or 0.0)


def test_the_mean_wind_is_told_as_its_beaufort_force() -> None:
    # Source: World Meteorological Organization: 10.8 to 13.8 m/s is force 6.
    finding = weather(wind_m_s=11.0, gust_m_s=15.0).found(Rule.WALKING_WIND)

    assert finding.number("force") == 6.0


def test_heat_says_that_humidity_is_not_in_the_forecast() -> None:
    for degrees in (28.0, 41.0):
        finding = weather(temperature_c=degrees).found(Rule.HEAT)
        assert Note.HUMIDITY_NOT_KNOWN in finding.notes
