"""Fields as words in a file: the same back, and nothing from what is no word."""

from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest

from fieldtrip.exchange.record_facts import PERSONAL, facts_of, fields_from
from fieldtrip.places.records import Closure, Hazard, HazardKind, Leg, VantagePoint
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from tests.exchange.story import BAR, EDGE, GATE, ROCK, TERNS, WORKS


@pytest.mark.parametrize("record", [BAR, EDGE, GATE, ROCK, TERNS, WORKS])
def test_what_is_known_comes_back(record: Any) -> None:
    back = fields_from(type(record), dict(facts_of(record)))

    assert back
    assert back == {name: getattr(record, name) for name in back}
    assert not PERSONAL & set(back)


def test_words_are_those_of_open_standards() -> None:
    told = dict(facts_of(TERNS)) | dict(facts_of(GATE)) | dict(facts_of(WORKS))

    # Source: XML Schema part 2: gMonthDay; ISO 8601-1:2019: intervals with a stroke.
    assert told["season"] == "--05-01/--07-31"
    assert told["hours"] == "08:30/20:00"
    assert told["first_day"] == "2026-10-01"
    assert "last_day" not in told


@pytest.mark.parametrize(
    ("kind", "name", "word"),
    [
        (VantagePoint, "ground_m", "high"),
        (VantagePoint, "on_headland", "maybe"),
        (VantagePoint, "on_headland", ""),
        (Hazard, "sort", "dragons"),
        (Hazard, "shape", "blob"),
        (Leg, "number", "1.5"),
        (Closure, "season", "summer"),
        (Closure, "season", "--13-45/--07-31"),
        (Closure, "season", "--05-01-01/--07-31"),
        (Closure, "season", "--05-01"),
        (Closure, "hours", "8 to 20"),
        (Closure, "hours", "08:30/20:00/21:00"),
        (Closure, "first_day", "tomorrow"),
    ],
)
def test_what_cannot_be_read_is_not_known(kind: type, name: str, word: str) -> None:
    assert fields_from(kind, {name: word}) == {}


@pytest.mark.parametrize("name", sorted(PERSONAL))
def test_what_somebody_must_have_seen_is_not_taken_from_a_file(name: str) -> None:
    for kind in (Leg, Hazard, Closure):
        assert fields_from(kind, {name: "yes", "first_day": "2026-01-01"}) in (
            {}, {"first_day": date(2026, 1, 1)}
        )  # fmt: skip


def test_values_have_their_types() -> None:
    words = {"season": "--02-29/--03-01", "hours": "22:00/06:00", "sort": "works"}

    found = fields_from(Closure, words)

    assert found["season"] == Season(MonthDay(2, 29), MonthDay(3, 1))
    assert found["hours"] == OpenHours(time(22), time(6))
    assert fields_from(Hazard, {"sort": "waves"}) == {"kind": HazardKind.WAVES}
