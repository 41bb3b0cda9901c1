"""Findings in words: every one of them, in the user's units, to the safe side."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.finding_numbers import earlier_minute, later_minute
from fieldtrip.phrasing import (
    CAUTIONS,
    FindingWords,
    finding_words,
    overall_words,
    words_of_all,
)
from fieldtrip.places.records import Shore
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.settings import LengthUnit, Settings, SpeedUnit
from tests.safety.story import (
    CLEAR,
    LOCATION,
    TRIP,
    Story,
    at,
    calm,
    edge_at,
    tick,
    walk,
)


def say(finding: Finding, settings: Settings | None = None) -> FindingWords:
    """A finding in words at the place of the story."""
    return finding_words(finding, LOCATION.zone, settings or Settings(), TRIP.day)


def bare(**changes: object) -> Finding:
    """A finding without any number."""
    finding = Finding(
        rule=Rule.TIDE_CROSSING,
        about="The bar",
        about_id=None,
        severity=Severity.STOP,
        reason=Reason.SHUT,
        remedy=Remedy.NOTHING,
        source="common practice",
    )
    return replace(finding, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("reason", Reason)
def test_every_reason_has_words_without_a_hole(reason: Reason) -> None:
    words = say(bare(reason=reason))

    assert "{" not in words.found
    assert "None" not in words.found


@pytest.mark.parametrize("remedy", Remedy)
def test_every_remedy_but_one_is_advice(remedy: Remedy) -> None:
    assert bool(say(bare(remedy=remedy)).advice) == (remedy is not Remedy.NOTHING)


def test_every_note_rule_and_severity_has_words() -> None:
    for note in Note:
        numbers = (
            Number("pressure", 970.0, "hPa"),
            Number("run_up", 1.0, "m"),
            Number("station_distance", 4_000.0, "m"),
            Number("confirmed_within", 12.0, "months", is_limit=True),
            Number("typed", at(12), "UTC"),
        )
        plain = say(bare(numbers=numbers)).found
        assert len(say(bare(notes=(note,), numbers=numbers)).found) > len(plain)
    assert len({say(bare(rule=rule)).title for rule in Rule}) == len(Rule)
    assert len({say(bare(severity=s)).severity_word for s in Severity}) == len(Severity)


@pytest.mark.parametrize(
    "story",
    [
        CLEAR,
        replace(CLEAR, forecast=None, tables=(), edges=(), ticks=()),
        replace(CLEAR, walks=(), stops=()),
        CLEAR.walked_at(19, 0),
        CLEAR.walked_at(15, 20),
        replace(CLEAR, forecast=calm(gust_m_s=20.0, rain_mm=5.0, pressure_hpa=960.0)),
    ],
)
def test_whatever_is_found_is_said(story: Story) -> None:
    for finding in check(story.facts()).findings:
        words = say(finding)
        assert words.found
        assert words.title
        assert "{" not in words.found


def test_an_open_crossing_in_the_places_time() -> None:
    # 13:43:51 and 15:48:54 UTC, in San Francisco seven hours earlier.
    words = say(CLEAR.walked_at(14, 30).found(Rule.TIDE_CROSSING))

    assert words.severity_word == "Clear"
    assert words.found.startswith("Open with all margins from 06:44 to 08:48.")
    assert "by 08:08 at the latest" in words.found
    assert "0.60 m" in words.found
    assert words.source.endswith("Tide table: San Francisco, MLLW (NOAA CO-OPS)")


def test_the_users_units() -> None:
    settings = Settings(
        length_unit=LengthUnit.FOOT, speed_unit=SpeedUnit.MILE_PER_HOUR, clock_24h=False
    )

    crossing = say(CLEAR.found(Rule.TIDE_CROSSING), settings)
    edge = say(CLEAR.found(Rule.CLIFF_EDGE), settings)

    # 0.60 m / 0.3048 m; 5 m/s x 3600 s / 1609.344 m.
    assert "1.97 ft" in crossing.found
    assert "6:44 am" in crossing.found
    assert "11 mph" in edge.found


@pytest.mark.parametrize("unit", SpeedUnit)
@pytest.mark.parametrize("gust_m_s", [12.9, 12.99, 17.97])
def test_a_gust_short_of_a_limit_is_not_written_as_the_limit(
    gust_m_s: float, unit: SpeedUnit
) -> None:
    # Source: RNLI: 30 and 40 mph, here 13 and 18 m/s.
    finding = replace(CLEAR, forecast=calm(gust_m_s=gust_m_s)).found(Rule.CLIFF_EDGE)

    found = say(replace(finding, reason=Reason.GUST_CAUTION), Settings(speed_unit=unit))
    stop = say(replace(finding, reason=Reason.GUST_STOP), Settings(speed_unit=unit))

    for words in (found.found, stop.found):
        written = re.findall(rf"([\d.]+) {unit}", words)
        assert len(written) == 2
        assert float(written[0]) != float(written[1])


def test_numbers_away_from_a_limit_stay_whole() -> None:
    assert "Gusts up to 5 m/s" in say(CLEAR.found(Rule.CLIFF_EDGE)).found


@pytest.mark.parametrize("distance_m", [7.96, 8.04, 12.97, 13.04])
def test_a_distance_near_a_limit_is_written_on_its_own_side(distance_m: float) -> None:
    # Common practice, no source: 5 m, 10 m on soft rock; the position is 3 m out.
    edges = (edge_at(distance_m, is_soft=distance_m > 10.0),)
    findings = check(replace(CLEAR, edges=edges).facts()).findings
    finding = next(
        f
        for f in findings
        if f.rule is Rule.CLIFF_EDGE and f.about.startswith("The step")
    )
    limit_m = 10.0 if distance_m > 10.0 else 5.0

    away, out = (
        float(found)
        for found in re.findall(r"([\d.]+) m (?:away|out)", say(finding).found)
    )

    assert (round(away - out, 6) < limit_m) == (distance_m - 3.0 < limit_m)


def test_a_tide_short_of_the_closing_level_is_not_written_as_it() -> None:
    numbers = (
        Number("shut_above", 0.6, "m", is_limit=True),
        Number("highest", 0.601, "m"),
    )

    words = say(bare(numbers=numbers))

    assert "0.601 m" in words.found
    assert "0.600 m" in words.found


def test_a_clear_edge_says_its_limits_too() -> None:
    words = say(CLEAR.found(Rule.CLIFF_EDGE))

    # Common practice, no source: 5 m and 10 m; RNLI: 30 mph, here 13 m/s.
    for limit in ("5 m back", "10 m on soft rock", "From 13 m/s"):
        assert limit in words.found


@pytest.mark.parametrize("unit", LengthUnit)
def test_a_view_short_of_fog_is_not_written_as_the_limit(unit: LengthUnit) -> None:
    # Source: World Meteorological Organization: fog is visibility below 1000 m.
    finding = CLEAR.with_forecast(visibility_m=999.6).found(Rule.FOG)

    found = say(finding, Settings(length_unit=unit)).found

    seen, limit = re.findall(rf"([\d.]+) {unit}", found)
    assert float(seen) < float(limit)


def test_cold_and_waves_have_their_units() -> None:
    cold = CLEAR.with_forecast(temperature_c=-9.96, wind_m_s=0.0).found(Rule.WIND_CHILL)
    waves = CLEAR.with_vantage(shore=Shore.STONES).found(Rule.SWELL)

    assert "−9.96 °C" in say(cold).found
    assert "−10.00 °C" in say(cold).found
    assert "Waves of 0.5 m every 6 s." in say(waves).found


def test_how_low_the_sun_gets_is_said_plainly() -> None:
    lowest = (Number("lowest_sun", -27.1, "°"),)

    words = say(bare(reason=Reason.IN_THE_DARK, numbers=lowest))

    assert "The Sun is lowest at 27.1° below the horizon." in words.found


def test_findings_with_one_title_say_their_times() -> None:
    findings = check(CLEAR.facts()).findings

    words = words_of_all(findings, LOCATION.zone, Settings(), TRIP.day)

    titles = [one.title for one in words]
    assert len(set(titles)) == len(titles)
    # 14:30 and 15:00 UTC, seven hours earlier in San Francisco.
    assert "Tide crossing: The bar, 07:30" in titles
    assert "Tide crossing: The bar, 08:00" in titles
    assert "Refuge beyond the crossing: The bar" in titles


@pytest.mark.parametrize(
    ("now", "said"),
    [
        # Issued on 14 August at 06:00 UTC; the trip is from 14:30 to 15:10 UTC.
        (
            at(12, day=14),
            "It was issued at 23:00 on Thu 13 Aug, 6 h 00 min ago and 32 h 30 min "
            "before the trip starts. Look again on the day: it may be at most "
            "12 h 00 min old then.",
        ),
        (
            at(12),
            "It was issued at 23:00 on Thu 13 Aug, 30 h 00 min ago and 32 h 30 min "
            "before the trip starts. After 12 h 00 min",
        ),
        (
            at(15),
            "It was issued at 23:00 on Thu 13 Aug, 33 h 00 min ago; the trip began "
            "at 07:30.",
        ),
        (
            at(12, day=20),
            "It was issued at 23:00 on Thu 13 Aug, 33 h 10 min before the trip ended "
            "at 08:10.",
        ),
    ],
)
def test_the_age_of_a_forecast_says_what_it_counts_to(now: datetime, said: str) -> None:
    forecast = replace(calm(), issued=at(6, day=14))
    story = replace(CLEAR, now=now, forecast=forecast)

    assert said in say(story.found(Rule.FORECAST_AGE)).found


def test_an_early_forecast_counts_in_days() -> None:
    forecast = replace(calm(), issued=at(6, day=9))
    story = replace(CLEAR, now=at(9, day=9), forecast=forecast)

    words = say(story.found(Rule.FORECAST_AGE))

    assert "3 h 00 min ago and 6 days before the trip starts" in words.found


def test_an_opening_is_rounded_up_and_a_closing_down() -> None:
    instant = datetime(2026, 8, 15, 13, 43, 1, tzinfo=UTC)
    whole = instant.replace(second=0)

    assert earlier_minute(instant) == whole
    assert later_minute(instant) == whole + timedelta(minutes=1)
    assert earlier_minute(whole) == later_minute(whole) == whole


def test_a_reason_against_a_stop_is_shown_and_it_still_reads_stop() -> None:
    story = replace(CLEAR, walks=(walk(19, 0),), stops=())
    key = story.found(Rule.TIDE_CROSSING).key
    argued = replace(story, ticks=(tick(key, "A <b>boat</b> {waits}"),))

    words = say(argued.found(Rule.TIDE_CROSSING))

    assert words.severity_word == "Stop"
    assert "“A <b>boat</b> {waits}”" in words.found
    assert "It stays a stop." in words.found
    assert overall_words(check(argued.facts())).startswith("Stop")


def test_a_tick_is_shown_with_who_and_when() -> None:
    words = say(CLEAR.found(Rule.SOMEONE_TOLD))

    assert "Confirmed by P. Hotographer at 04:00" in words.found


def test_overall_says_its_worst() -> None:
    unknown = check(replace(CLEAR, tables=()).facts())

    assert overall_words(check(CLEAR.facts())).startswith("Clear")
    assert overall_words(unknown).startswith("Unknown")


def test_the_usual_cautions_are_there() -> None:
    said = " ".join(CAUTIONS)

    for part in ("planning aid", "weather", "closures", "guides", "navigation"):
        assert part in said
