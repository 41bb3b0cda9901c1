"""Limits of one's own: bounds, which way is looser, and that it is always said."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.phrasing import finding_words
from fieldtrip.safety.checklist import RULES, check
from fieldtrip.safety.finding import Rule, Severity
from fieldtrip.safety.limit_specs import (
    BY_NAME,
    SPECS,
    USUAL,
    LimitSpec,
    Looser,
    is_looser,
    limits_from,
    loosened_by_rule,
    with_override,
)
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.tides.margins import Margins
from tests.safety.story import CLEAR, LOCATION, TRIP, calm, edge_at


def names() -> set[str]:
    own = {f.name for f in fields(Limits)} - {"margins"}
    return own | {f"margins.{f.name}" for f in fields(Margins)}


def test_every_limit_has_words_bounds_and_rules() -> None:
    assert {spec.name for spec in SPECS} == names()
    assert len({spec.words for spec in SPECS}) == len(SPECS)
    for spec in SPECS:
        assert spec.least <= spec.value(USUAL) <= spec.most, spec.name
        assert spec.rules
        assert spec.source


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name)
def test_one_way_is_looser_and_the_other_is_not(spec: LimitSpec) -> None:
    higher, lower = spec.most, spec.least

    assert spec.is_looser_value(higher) == (spec.looser is Looser.HIGHER)
    assert spec.is_looser_value(lower) == (spec.looser is Looser.LOWER)
    assert not spec.is_looser_value(spec.value(USUAL))


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name)
@pytest.mark.parametrize("text", ["0", "nan", "inf", "", "a bit", "1e9", "-1000"])
def test_what_limits_nothing_is_refused_in_one_sentence(
    spec: LimitSpec, text: str
) -> None:
    with pytest.raises(UserError) as caught:
        spec.read(text)

    said = str(caught.value)
    assert spec.words in said
    assert said.endswith(".")
    assert said.count(". ") == 0


@pytest.mark.parametrize(
    "spec",
    [spec for spec in SPECS if spec.unit not in ("°", "°C")],
    ids=lambda spec: spec.name,
)
def test_minus_one_is_refused(spec: LimitSpec) -> None:
    for text in ("-1", "−1"):
        with pytest.raises(UserError, match="must be"):
            spec.read(text)


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name)
def test_a_value_goes_in_and_comes_out(spec: LimitSpec) -> None:
    usual = spec.value(USUAL)

    for value in (spec.least, spec.most, usual):
        if spec.name in ("lights", "confirmed_months") and value != round(value):
            continue
        assert spec.value(spec.put(USUAL, value)) == pytest.approx(value)
    assert spec.put(USUAL, usual) == USUAL


def test_own_limits_are_read_and_what_is_none_is_passed_over() -> None:
    kept = (
        ("gust_stop_m_s", "20"),
        ("tide_reserve", "15 min"),
        ("margins.open_coast_m", "0,5"),
        ("gust_caution_m_s", "0"),
        ("edge_m", "nan"),
        ("of_another_version", "3"),
        ("lights", "2.5"),
    )

    limits = limits_from(kept)

    assert limits.gust_stop_m_s == 20.0
    assert limits.tide_reserve.total_seconds() == 900.0
    assert limits.margins.open_coast_m == 0.5
    assert limits.gust_caution_m_s == USUAL.gust_caution_m_s
    assert limits.edge_m == USUAL.edge_m
    assert limits.lights == USUAL.lights


@given(st.lists(st.tuples(st.text(max_size=20), st.text(max_size=20)), max_size=5))
def test_whatever_is_kept_gives_limits(kept: list[tuple[str, str]]) -> None:
    assert limits_from(kept) == USUAL or all(name in BY_NAME for name, _ in kept)


def test_setting_and_resetting_a_limit() -> None:
    one = with_override((), "edge_m", 7.0)
    two = with_override(one, "gust_stop_m_s", 20.0)

    assert limits_from(two) == replace(USUAL, edge_m=7.0, gust_stop_m_s=20.0)
    assert with_override(two, "gust_stop_m_s", None) == one
    assert with_override(one, "edge_m", 5.0) == ()


def test_stricter_limits_are_said_by_nobody() -> None:
    strict = Limits(gust_stop_m_s=15.0, edge_m=8.0)

    assert not is_looser(strict)
    assert loosened_by_rule(strict) == {}
    assert all(f.loosened == () for f in check(CLEAR.facts(), strict).findings)


def test_a_looser_limit_is_said_on_every_finding_that_goes_by_it() -> None:
    loose = limits_from((("gust_stop_m_s", "20"), ("tide_reserve", "10")))

    findings = check(CLEAR.facts(), loose).findings

    assert is_looser(loose)
    for finding in findings:
        said = finding_words(finding, LOCATION.zone, Settings(), TRIP.day).found
        if finding.rule is Rule.CLIFF_EDGE:
            assert finding.loosened == (("gust_stop_m_s", 20.0),)
            assert "looser" in said
            assert "20 m/s, usually 18 m/s" in said
        elif finding.rule is Rule.TIDE_CROSSING:
            assert "10 min, usually 30 min" in said
        elif finding.rule in (Rule.FOG, Rule.DAYLIGHT, Rule.PERMIT):
            assert "looser" not in said


def test_a_rule_says_each_limit_that_it_goes_by() -> None:
    asked: set[str] = set()
    own = {f.name for f in fields(Limits)}

    class Listening(Limits):
        def __getattribute__(self, name: str) -> Any:
            if name in own:
                asked.add(name)
            return super().__getattribute__(name)

    stories = (
        CLEAR,
        replace(CLEAR, edges=(edge_at(9.0),), forecast=calm(gust_m_s=20.0)),
        CLEAR.with_leg(crosses_water=True, on_headland=True),
    )
    limits = Listening()
    for rule in RULES:
        asked.clear()
        for story in stories:
            rule(story.facts(), limits)
        told = {
            spec.name.partition(".")[0]
            for spec in SPECS
            if Rule(rule.__name__) in spec.rules
        }
        assert asked <= told, rule.__name__


def test_rules_bear_the_names_of_what_they_find() -> None:
    assert [rule.__name__ for rule in RULES] == list(
        dict.fromkeys(rule.__name__ for rule in RULES)
    )
    assert {rule.__name__ for rule in RULES} == set(Rule)
    for rule in RULES:
        found = {finding.rule for finding in rule(CLEAR.facts(), USUAL)}
        assert found == {Rule(rule.__name__)}


def test_looser_limits_do_not_hide_a_stop_that_stays() -> None:
    loose = limits_from((("gust_stop_m_s", "25"),))
    story = replace(CLEAR, edges=(edge_at(30.0),), forecast=calm(gust_m_s=20.0))

    assert story.found(Rule.CLIFF_EDGE).severity is Severity.STOP
    softened = story.found(Rule.CLIFF_EDGE, loose)
    assert softened.severity is Severity.CAUTION
    assert softened.loosened
