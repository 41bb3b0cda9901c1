"""Tests for when in the day a finding matters."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldtrip.safety.finding import Rule
from fieldtrip.safety.moments import Moment, moment_of
from fieldtrip.times import Span
from tests.safety.story import at

STAYS = (Span(at(10), at(11)), Span(at(13), at(14)))


def span(start_h: int, stop_h: int) -> Span:
    return Span(at(start_h), at(stop_h))


@pytest.mark.parametrize(
    ("rule", "moment"),
    [
        (Rule.GATES, Moment.GATES),
        (Rule.SOMEONE_TOLD, Moment.BEFORE),
        (Rule.FORECAST_AGE, Moment.BEFORE),
        (Rule.TWO_LIGHTS, Moment.CAR),
        (Rule.START_OPEN, Moment.CAR),
        (Rule.TIDE_STAND, Moment.SPOT),
        (Rule.TIDE_WAY_BACK, Moment.BACK),
    ],
)
def test_some_rules_belong_to_one_part_of_the_day(rule: Rule, moment: Moment) -> None:
    for one in (None, span(8, 9), span(13, 14), span(15, 16)):
        assert moment_of(rule, one, STAYS) is moment


@pytest.mark.parametrize(
    ("when", "moment"),
    [
        (span(8, 9), Moment.WAY),
        (span(10, 11), Moment.SPOT),
        (span(11, 12), Moment.WAY),
        (span(10, 12), Moment.WAY),
        (span(14, 15), Moment.BACK),
        (span(8, 16), Moment.WAY),
        (None, Moment.BEFORE),
    ],
)
def test_others_belong_where_their_span_lies(when: Span | None, moment: Moment) -> None:
    assert moment_of(Rule.DAYLIGHT, when, STAYS) is moment


def test_without_stays_there_is_no_way_back() -> None:
    assert moment_of(Rule.DAYLIGHT, span(14, 15), ()) is Moment.WAY


def test_a_stay_of_no_length_is_still_a_spot() -> None:
    moment = Span(at(10), at(10))

    assert moment_of(Rule.THUNDER, moment, (moment,)) is Moment.SPOT
    later = Span(moment.start, moment.start + timedelta(minutes=1))
    assert moment_of(Rule.THUNDER, later, (moment,)) is Moment.BACK


def test_every_rule_has_its_moment() -> None:
    for rule in Rule:
        assert moment_of(rule, span(8, 9), STAYS) in Moment
