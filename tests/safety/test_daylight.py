"""Daylight on exposed legs, and lights for whoever walks after sunset."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldtrip.geo import Position
from fieldtrip.safety.daylight import daylight, two_lights
from fieldtrip.safety.finding import Finding, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.sky.events import EventName
from fieldtrip.sky.site import Site
from fieldtrip.times import Span
from fieldtrip.trips.plan import lowest_sun_deg
from tests.safety.story import CLEAR, Story, calm

DUSK = -3.0
NIGHT = -10.0


def with_sun(story: Story, lowest_deg: float, limits: Limits | None = None) -> Finding:
    """What the rule says of the first walk, with the Sun so high at its lowest."""
    facts = story.facts()
    walks = tuple(replace(w, lowest_sun_deg=lowest_deg) for w in facts.walks)
    return daylight(replace(facts, walks=walks), limits or Limits())[0]


@pytest.mark.parametrize(
    ("lowest_deg", "severity", "reason"),
    [
        # Source: US Naval Observatory: sunset with the centre 50 arcminutes
        # below the horizon, civil dusk at 6 degrees.
        (-0.83, Severity.CLEAR, Reason.BY_DAY),
        (-0.84, Severity.CAUTION, Reason.AFTER_SUNSET),
        (-6.00, Severity.CAUTION, Reason.AFTER_SUNSET),
        (-6.01, Severity.STOP, Reason.IN_THE_DARK),
    ],
)
def test_an_exposed_leg_by_the_altitude_of_the_sun(
    lowest_deg: float, severity: Severity, reason: Reason
) -> None:
    finding = with_sun(CLEAR, lowest_deg)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_a_leg_for_daylight_only_counts_like_an_exposed_one() -> None:
    story = CLEAR.with_leg(is_exposed=False, daylight_only=True)

    assert with_sun(story, DUSK).severity is Severity.CAUTION
    assert with_sun(story, NIGHT).severity is Severity.STOP


@pytest.mark.parametrize(
    ("story", "severity", "reason"),
    [
        # Common practice, no source: overcast from 80 %.
        (replace(CLEAR, forecast=calm(cloud_percent=79.0)), "caution", "after_sunset"),
        (
            replace(CLEAR, forecast=calm(cloud_percent=80.0)),
            "stop",
            "after_sunset_overcast",
        ),
        (
            replace(CLEAR, forecast=calm(cloud_percent=None)),
            "stop",
            "after_sunset_no_forecast",
        ),
        (replace(CLEAR, forecast=None), "stop", "after_sunset_no_forecast"),
    ],
)
def test_after_sunset_cloud_makes_it_dark(
    story: Story, severity: str, reason: str
) -> None:
    finding = with_sun(story, DUSK)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_an_easy_leg_may_be_walked_in_the_dark_by_who_knows_it() -> None:
    easy = CLEAR.with_leg(is_exposed=False, daylight_only=False)

    assert with_sun(easy, NIGHT).severity is Severity.CLEAR
    for walked in (False, None):
        story = easy.with_leg(walked_in_daylight=walked)
        assert with_sun(story, NIGHT).reason is Reason.NEVER_BY_DAY
        assert with_sun(story, NIGHT).severity is Severity.STOP


def test_each_missing_fact_alone_is_unknown_after_sunset() -> None:
    easy = CLEAR.with_leg(is_exposed=False, daylight_only=False)

    for story in (easy.with_leg(is_exposed=None), easy.with_leg(daylight_only=None)):
        for lowest_deg in (DUSK, NIGHT):
            finding = with_sun(story, lowest_deg)
            assert finding.severity is Severity.UNKNOWN
            assert finding.reason is Reason.EXPOSED_NOT_SAID


def test_a_proven_stop_stays_stop_with_other_facts_missing() -> None:
    unsaid = CLEAR.with_leg(daylight_only=None)

    assert with_sun(unsaid, NIGHT).severity is Severity.STOP
    assert with_sun(replace(unsaid, forecast=None), NIGHT).severity is Severity.STOP


def test_without_walks_it_is_unknown() -> None:
    story = replace(CLEAR, walks=())

    assert story.found(Rule.DAYLIGHT).severity is Severity.UNKNOWN
    assert story.found(Rule.TWO_LIGHTS).severity is Severity.UNKNOWN


@pytest.mark.parametrize(
    ("limits", "lowest_deg", "severity"),
    [
        (Limits(sunset_deg=-0.5), -0.6, Severity.CAUTION),
        (Limits(dusk_deg=-5.0), -5.5, Severity.STOP),
        (Limits(overcast_percent=20.0), DUSK, Severity.STOP),
    ],
)
def test_each_threshold_counts(
    limits: Limits, lowest_deg: float, severity: Severity
) -> None:
    assert with_sun(CLEAR, lowest_deg, limits).severity is severity


@pytest.mark.parametrize(
    ("party", "lights", "severity"),
    [
        # Common practice, no source: two, and one for each person.
        (1, 2, Severity.CLEAR),
        (1, 1, Severity.STOP),
        (1, None, Severity.UNKNOWN),
        (3, 2, Severity.STOP),
        (3, 3, Severity.CLEAR),
    ],
)
def test_walking_after_sunset_needs_lights(
    party: int, lights: int | None, severity: Severity
) -> None:
    facts = CLEAR.with_trip(party=party, lights=lights).facts()
    dark = replace(facts.walks[1], lowest_sun_deg=DUSK)

    (finding,) = two_lights(replace(facts, walks=(facts.walks[0], dark)), Limits())

    assert finding.severity is severity


def test_by_day_lights_are_no_question() -> None:
    story = CLEAR.with_trip(lights=None)

    assert story.found(Rule.TWO_LIGHTS).severity is Severity.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("event", "minutes", "reason"),
    [
        (EventName.SUNSET, -11, Reason.BY_DAY),
        (EventName.SUNSET, -9, Reason.AFTER_SUNSET),
        (EventName.CIVIL_DUSK, -11, Reason.AFTER_SUNSET),
        (EventName.CIVIL_DUSK, -9, Reason.IN_THE_DARK),
    ],
)
def test_a_walk_of_ten_minutes_about_the_evenings_own_events(
    event: EventName, minutes: int, reason: Reason
) -> None:
    events = [e for e in CLEAR.facts().sun_events if e.name is event]
    start = events[-1].instant + timedelta(minutes=minutes)
    late = replace(CLEAR.walks[0], start=start, finish=start + timedelta(minutes=10))

    finding = replace(CLEAR, walks=(late,), stops=()).found(Rule.DAYLIGHT)

    assert finding.reason is reason


def test_polar_night_is_dark_at_noon_and_a_midnight_sun_is_not_dark() -> None:
    # Source: US Naval Observatory's definitions; Longyearbyen, 78.2° N, has the
    # Sun below -6° all day at the winter solstice and up all day at the summer one.
    north = Site(Position(78.22, 15.65))

    noon = datetime(2026, 12, 21, 11, 0, tzinfo=UTC)
    midnight = datetime(2026, 6, 21, 23, 0, tzinfo=UTC)

    assert lowest_sun_deg(north, Span(noon, noon + timedelta(hours=1))) < -6.0
    assert lowest_sun_deg(north, Span(midnight, midnight + timedelta(hours=1))) > 0.0


def test_the_lowest_sun_of_a_night_is_in_its_middle() -> None:
    site = Site(CLEAR.dossier().location.position)
    evening = datetime(2026, 8, 16, 4, 0, tzinfo=UTC)
    night = Span(evening, evening + timedelta(hours=9))

    # Declination 13.8°, latitude 37.8°: 37.8 + 13.8 - 90 at lower culmination.
    assert lowest_sun_deg(site, night) == pytest.approx(-38.4, abs=0.5)
