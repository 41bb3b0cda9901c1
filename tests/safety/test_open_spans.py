"""Minutes at which a leg or a spot is open, against the rules that judge one walk."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from fieldtrip.places.records import Shore
from fieldtrip.safety.finding import Reason, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.open_spans import leg_open, spot_open
from fieldtrip.safety.tide_crossing import tide_crossing
from fieldtrip.safety.tide_stand import tide_stand
from fieldtrip.times import Span
from fieldtrip.trips.records import SeaState
from tests.safety.story import CLEAR, Story, at, calm, stop, walk

DAY = Span(at(6), at(6, day=16))
RESERVE = timedelta(minutes=30)
LIMITS = Limits()


def low_at(hour: int, pressure_hpa: float) -> Story:
    """A forecast of which one hour is of low pressure."""
    base = calm()
    hours = tuple(
        replace(each, pressure_hpa=pressure_hpa) if each.instant == at(hour) else each
        for each in base.hours
    )
    return replace(CLEAR, forecast=replace(base, hours=hours))


@pytest.mark.parametrize(
    "story",
    [
        CLEAR,
        CLEAR.with_leg(shut_above_m=0.9),
        CLEAR.with_leg(shore=Shore.SAND, beach_slope=0.08).with_trip(
            sea=SeaState.MODERATE
        ),
        CLEAR.with_table(exposure=None),
        CLEAR.with_forecast(pressure_hpa=970.0),
    ],
)
def test_a_leg_is_open_just_when_a_walk_is_not_stopped_nor_unknown(
    story: Story,
) -> None:
    facts = story.facts()

    found = leg_open(story.leg, facts, LIMITS, DAY)

    assert found is not None
    judged = {True: 0, False: 0}
    for minute in range(0, 12 * 60, 10):
        moved = walk(12 + minute // 60 % 12, minute % 60)
        is_open = any(
            span.start <= moved.start and moved.finish + RESERVE <= span.stop
            for span in found.spans
        )
        (told,) = tide_crossing(replace(story, walks=(moved,)).facts(), LIMITS)
        is_stopped = told.severity is Severity.STOP
        assert not (is_open and is_stopped), moved.start
        if told.severity in (Severity.CLEAR, Severity.CAUTION):
            assert is_open, moved.start
        judged[is_open] += 1
    assert judged[False]


def test_low_pressure_shuts_the_hours_about_it_and_no_other() -> None:
    usual = leg_open(CLEAR.leg, CLEAR.facts(), LIMITS, DAY)

    low = low_at(15, 940.0)
    found = leg_open(low.leg, low.facts(), LIMITS, DAY)

    assert usual is not None
    assert found is not None
    for minute in range(0, 240, 10):
        moved = walk(13 + minute // 60, minute % 60)
        is_open = any(
            span.start <= moved.start and moved.finish + RESERVE <= span.stop
            for span in found.spans
        )
        (told,) = tide_crossing(replace(low, walks=(moved,)).facts(), LIMITS)
        assert not (is_open and told.severity is Severity.STOP)


def test_a_spot_is_dry_just_when_a_stay_is_not_stopped() -> None:
    story = CLEAR.with_vantage(
        flooded_above_m=0.9, level_datum="MLLW", shore=Shore.SHELTERED
    )

    found = spot_open(story.vantage, story.facts(), LIMITS, DAY)

    assert found is not None
    for minute in range(0, 12 * 60, 20):
        begin = at(12) + timedelta(minutes=minute)
        stay = stop(begin, begin + timedelta(minutes=20))
        is_dry = any(
            span.start <= stay.arrive and stay.leave + RESERVE <= span.stop
            for span in found.spans
        )
        (told,) = tide_stand(replace(story, stops=(stay,)).facts(), LIMITS)
        assert is_dry == (told.severity is Severity.CLEAR), begin


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (replace(CLEAR, tables=()), Reason.NO_TABLE),
        (CLEAR.with_leg(shut_datum=""), Reason.DATUM_NOT_SAID),
        (CLEAR.with_leg(shut_datum="LAT"), Reason.DATUM_DIFFERS),
        (CLEAR.with_leg(shut_above_m=None), Reason.LEVEL_NOT_KNOWN),
        (CLEAR.with_table(is_distorted=True), Reason.GAP_IN_TABLE),
    ],
)
def test_what_is_not_known_opens_nothing(story: Story, reason: Reason) -> None:
    found = leg_open(story.leg, story.facts(), LIMITS, DAY)

    assert found is not None
    assert found.unknown is reason
    assert found.spans == ()


def test_beyond_the_table_nothing_is_open() -> None:
    later = Span(at(0, day=25), at(12, day=25))

    found = leg_open(CLEAR.leg, CLEAR.facts(), LIMITS, later)

    assert found is not None
    assert found.unknown is Reason.OUTSIDE_TABLE


def test_margins_that_nobody_said_are_unsure() -> None:
    sure = leg_open(CLEAR.leg, CLEAR.facts(), LIMITS, DAY)
    rock = CLEAR.with_leg(shore=Shore.ROCK)
    unsure = leg_open(rock.leg, rock.facts(), LIMITS, DAY)

    assert sure is not None
    assert sure.is_sure
    assert unsure is not None
    assert not unsure.is_sure


def test_a_leg_that_the_sea_does_not_shut_has_no_windows() -> None:
    dry = CLEAR.with_leg(is_tidal=False, shut_above_m=None)

    assert leg_open(dry.leg, dry.facts(), LIMITS, DAY) is None
