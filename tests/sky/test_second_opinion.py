"""The second opinion agrees, says when it cannot, and is asked in one safe way only."""

from __future__ import annotations

import ast
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import fieldtrip
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.second_opinion import second_opinion
from tests.sky.published import site


@given(
    lat=st.floats(-45.0, 45.0),
    lon=st.floats(-180.0, 180.0),
    day=st.dates(date(2020, 1, 1), date(2035, 12, 31)),
    zone=st.sampled_from(["UTC", "Pacific/Auckland", "America/Los_Angeles"]),
)
@settings(max_examples=60)
def test_both_agree_to_seconds_below_45_degrees(
    lat: float, lon: float, day: date, zone: str
) -> None:
    place = site(lat, lon)
    events = day_events(place, day, zone).events
    opinion = second_opinion(place.position, day, zone, events)

    assert opinion.compared >= 4
    assert opinion.largest_difference_s is not None
    # Two programs' series, that differ by some seconds while the Sun moves fast.
    assert opinion.largest_difference_s < 10.0


def test_an_ordinary_day_is_compared_whole() -> None:
    place, day = site(49.6, -8.4), date(2026, 11, 14)
    events = day_events(place, day, "Europe/Dublin").events
    opinion = second_opinion(place.position, day, "Europe/Dublin", events)

    assert opinion.compared == 8
    assert opinion.largest_difference_s is not None
    assert opinion.largest_difference_s < 5.0
    assert (opinion.missing, opinion.extra) == ((), ())


def test_an_event_that_the_other_loses_is_named() -> None:
    # It loses one sunrise a year around 100 degrees east.
    place, day = site(46.79, 101.95), date(2025, 2, 25)
    lost = [
        second_opinion(
            place.position,
            day + timedelta(days=k),
            "Asia/Ulaanbaatar",
            day_events(place, day + timedelta(days=k), "Asia/Ulaanbaatar").events,
        ).missing
        for k in range(-3, 4)
    ]

    assert (EventName.SUNRISE,) in lost


def test_a_wrong_time_shows() -> None:
    place, day = site(49.6, -8.4), date(2026, 11, 14)
    elsewhere = day_events(site(49.6, -9.4), day, "Europe/Dublin").events
    opinion = second_opinion(place.position, day, "Europe/Dublin", elsewhere)

    assert opinion.largest_difference_s == pytest.approx(240.0, abs=10.0)


def test_events_that_only_the_other_gives_show() -> None:
    place, day = site(49.6, -8.4), date(2026, 11, 14)

    opinion = second_opinion(place.position, day, "Europe/Dublin", ())

    assert (opinion.compared, opinion.largest_difference_s) == (0, None)
    assert EventName.SUNRISE in opinion.extra


def test_nothing_is_compared_in_a_polar_day() -> None:
    place, day = site(78.2, 15.6), date(2026, 6, 21)
    events = day_events(place, day, "UTC").events

    opinion = second_opinion(place.position, day, "UTC", events)

    assert (opinion.compared, opinion.largest_difference_s) == (0, None)


def test_the_other_program_is_asked_nowhere_else_and_in_no_other_way() -> None:
    package = Path(fieldtrip.__file__).parent
    allowed = {("astral", "Observer"), ("astral", "SunDirection")}
    allowed.add(("astral.sun", "time_at_elevation"))
    seen = set()
    for file in sorted(package.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            names: list[tuple[str, str]] = []
            if isinstance(node, ast.Import):
                names = [(alias.name, "") for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [(node.module or "", alias.name) for alias in node.names]
            for module, name in names:
                if module.partition(".")[0] == "astral":
                    assert (module, name) in allowed, file
                    assert file.name == "second_opinion.py", file
                    seen.add((module, name))
            if isinstance(node, ast.Call) and "time_at_elevation" in ast.dump(
                node.func
            ):
                options = {word.arg: ast.unparse(word.value) for word in node.keywords}
                assert options == {"with_refraction": "False"}
    assert seen == allowed
