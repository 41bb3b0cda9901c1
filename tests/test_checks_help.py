"""The page about the checks says what the rules do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldtrip.finding_sentences.rules import SOURCES, UNKNOWN
from fieldtrip.finding_sentences.titles import TITLES
from fieldtrip.safety.checklist import RULES, check
from fieldtrip.safety.finding import Rule
from resources.make_checks_help import FILE, checks_help
from tests.safety.story import CLEAR, Story


def test_the_page_is_as_the_rules_make_it() -> None:
    # Made anew with: python -m resources.make_checks_help
    assert FILE.read_text("utf-8") == checks_help()


def test_every_rule_has_its_heading_function_source_and_unknown() -> None:
    page = checks_help()
    parts = page.split("\n## ")[1:]

    assert [part.partition("\n")[0] for part in parts] == [
        TITLES[Rule(rule.__name__)] for rule in RULES
    ]
    for part, rule in zip(parts, RULES, strict=True):
        assert f"`{rule.__module__}.{rule.__name__}`" in part
        assert "\nSource: " in part
        assert "\nUnknown: " in part
        assert ("\n| limit |" in part) != ("\nNo threshold." in part)
    assert set(UNKNOWN) == set(SOURCES) == set(Rule)


@pytest.mark.parametrize(
    "story",
    [
        CLEAR,
        replace(CLEAR, forecast=None, tables=(), edges=(), ticks=(), gates=()),
        replace(CLEAR, walks=(), stops=(), closures=(), permits=(), starts=()),
    ],
)
def test_findings_name_the_source_that_the_page_names(story: Story) -> None:
    for finding in check(story.facts()).findings:
        assert finding.source == SOURCES[finding.rule]
