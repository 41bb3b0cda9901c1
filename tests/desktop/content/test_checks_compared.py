"""Tests for what is said to be different between two runs of the checks."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from fieldtrip.desktop.content.checks_compared import (
    causes_of,
    changed_words,
    differences,
)
from fieldtrip.store.changes import Change
from fieldtrip.trips.records import CheckRun, RecordedFinding, Tick
from tests.safety.story import REFUGE, TRIP, calm, san_francisco, walk

NOW = datetime(2026, 11, 14, 12, tzinfo=UTC)


def run(**severities: str) -> CheckRun:
    return CheckRun(
        trip_id=TRIP.id,
        at=NOW,
        overall="stop",
        findings=tuple(
            RecordedFinding(rule, rule.capitalize(), severity, "")
            for rule, severity in severities.items()
        ),
    )


def test_what_is_different_is_told_worst_first() -> None:
    before = run(tide="clear", light="clear", gone="caution")
    after = run(tide="caution", light="stop", new="unknown")

    assert differences(before, after) == (
        "Light was clear, now stop",
        "New is new (unknown)",
        "Tide was clear, now caution",
        "Gone (caution) is no longer found",
    )


def test_the_cause_comes_first_and_the_rest_is_counted() -> None:
    before = run(a="clear", b="clear", c="clear", d="clear", e="clear")
    after = run(a="stop", b="stop", c="stop", d="stop", e="stop")

    assert changed_words(before, after, ["after a change of the tide"]) == (
        "After a change of the tide: A was clear, now stop; B was clear, now stop; "
        "C was clear, now stop; D was clear, now stop; and 1 more."
    )


def test_time_is_named_where_it_alone_did_it_and_else_kept_quiet() -> None:
    clear, old = run(a="clear"), run(a="caution")

    assert changed_words(clear, old, []) == "With time: A was clear, now caution."
    assert changed_words(clear, clear, []) == ""
    assert changed_words(clear, clear, ["after a change of the plan"]) == (
        "After a change of the plan: nothing here is different."
    )


def test_an_edit_is_named_by_what_it_was_about() -> None:
    tick = Tick(trip_id=TRIP.id, item="x", at=NOW, by="Ann")
    changes = [
        Change(REFUGE, REFUGE),
        Change(TRIP, replace(TRIP, name="Renamed")),
        Change(None, walk(14, 0)),
        Change(san_francisco(), None),
        Change(None, calm()),
        Change(None, tick),
        Change(None, run()),
        Change(REFUGE, None),
    ]

    assert causes_of(changes) == [
        "after a change of the plan",
        "after a change of the tide",
        "after a change of the forecast",
        "after what was just said",
        "after a change of what is known of the place",
    ]


def test_nothing_is_the_cause_of_nothing() -> None:
    assert causes_of([]) == []
