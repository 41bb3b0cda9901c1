"""A trip's facts, looked up in the records of its location."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from fieldtrip.errors import UserError
from fieldtrip.sky.events import EventName
from fieldtrip.trips.plan import facts_of
from tests.safety.story import ANOTHER, CLEAR, at, calm, walk


def test_records_are_found_and_walks_come_by_their_start() -> None:
    facts = replace(CLEAR, walks=CLEAR.walks[::-1]).facts()

    assert [w.walk for w in facts.walks] == list(CLEAR.walks)
    assert facts.walks[0].leg == CLEAR.leg
    assert facts.walks[0].refuge == CLEAR.refuge
    assert facts.stops[0].vantage_point == CLEAR.vantage


def test_a_record_that_is_gone_is_none() -> None:
    facts = replace(CLEAR, vantage=replace(CLEAR.vantage, id=ANOTHER)).facts()

    assert facts.stops[0].vantage_point is None
    assert facts.stops[0].name == "stop 1"


def test_only_what_belongs_to_the_trip_is_in_it() -> None:
    other = replace(CLEAR.trip, id=ANOTHER)

    facts = facts_of(CLEAR.dossier(), other, CLEAR.now)

    assert (facts.stops, facts.walks, facts.ticks) == ((), (), ())


def test_the_newest_forecast_that_was_out_by_then() -> None:
    early = replace(calm(), issued=at(2), id=ANOTHER)
    late = calm()
    dossier = replace(CLEAR.dossier(), forecasts=(late, early))

    assert facts_of(dossier, CLEAR.trip, at(12)).forecast == late
    assert facts_of(dossier, CLEAR.trip, at(5)).forecast == early
    assert facts_of(dossier, CLEAR.trip, at(1)).forecast == late


def test_the_slower_of_plan_and_rule_is_what_a_walk_needs() -> None:
    # DIN 33466: 300 m take 4.5 minutes on a path.
    facts = replace(CLEAR, walks=(walk(14, 30, 3), walk(15, 0, 10))).facts()

    assert facts.walks[0].needed == pytest.approx(timedelta(minutes=4.5), abs=SECOND)
    assert facts.walks[1].needed == timedelta(minutes=10)


def test_a_walk_in_the_dark_needs_half_as_long_again_however_it_was_typed() -> None:
    # 21:00 in San Francisco in August: an hour and a half after sunset.
    facts = replace(CLEAR, walks=(walk(4, 0, 3),)).facts()

    # DIN 33466 by day: 4.5 minutes; in the dark half as long again: common practice.
    assert facts.walks[0].needed == pytest.approx(timedelta(minutes=6.75), abs=SECOND)
    assert facts.walks[0].by_rule is not None
    assert facts.walks[0].by_rule.is_in_dark


def test_who_sets_out_later_into_the_dusk_is_never_over_sooner() -> None:
    long = replace(CLEAR.leg, distance_m=4000.0)
    story = replace(CLEAR, leg=long)
    starts = [at(2, 0) + timedelta(minutes=7 * count) for count in range(25)]

    walks = [replace(walk(2, 0), start=s, finish=s + MINUTE) for s in starts]
    spans = [facts.span for facts in replace(story, walks=tuple(walks)).facts().walks]

    assert all(a.stop <= b.stop for a, b in pairwise(spans))
    assert spans[-1].length == pytest.approx(1.5 * spans[0].length, abs=SECOND)
    between = {round(span.length / spans[0].length, 2) for span in spans}
    assert len(between) > 3


def test_the_span_runs_from_the_first_thing_to_the_last() -> None:
    span = CLEAR.facts().span
    empty = replace(CLEAR, walks=(), stops=()).facts().span

    assert (span.start, span.stop) == (at(14, 30), at(15, 10))
    # The day in San Francisco: midnight is 07:00 UTC in summer.
    assert (empty.start, empty.stop) == (at(7), at(7, day=16))


def test_the_days_sun_events_are_there() -> None:
    names = [event.name for event in CLEAR.facts().sun_events]

    assert names == [
        EventName.CIVIL_DAWN,
        EventName.SUNRISE,
        EventName.SUNSET,
        EventName.CIVIL_DUSK,
    ]


def test_a_year_without_a_known_sun_is_a_sentence() -> None:
    far = walk(14, 30)
    far = replace(
        far, start=far.start.replace(year=2500), finish=far.finish.replace(year=2500)
    )

    with pytest.raises(UserError):
        replace(CLEAR, walks=(far,)).facts()


SECOND = timedelta(seconds=1)
MINUTE = timedelta(minutes=1)
