"""Findings in words: every one of them, in the user's units, to the safe side."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.phrasing import (
    CAUTIONS,
    FindingWords,
    earlier_minute,
    finding_words,
    later_minute,
    overall_words,
)
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
from tests.safety.story import CLEAR, LOCATION, TRIP, Story, calm, tick, walk


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
        pressure = (Number("pressure", 970.0, "hPa"),)
        plain = say(bare(numbers=pressure)).found
        assert len(say(bare(notes=(note,), numbers=pressure)).found) > len(plain)
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
