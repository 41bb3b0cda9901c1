"""The stack of material: its order, and how it comes back from a file."""

from __future__ import annotations

import json

import pytest

from fieldtrip.material.records import (
    Kind,
    Material,
    changed,
    kept_values,
    moved,
    stack_from,
    usual_stack,
)

CHART = Material(kind=Kind.PICTURES, name="Chart", source="/charts/a.mbtiles")
SERVER = Material(kind=Kind.SERVER, name="Server", credit="© us", is_on=False)
STACK = (CHART, SERVER, *usual_stack())


def test_a_stack_comes_back_as_it_was_kept() -> None:
    stack = changed(STACK, CHART.id, opacity_percent=40)

    assert stack_from(json.loads(json.dumps(kept_values(stack)))) == stack


@pytest.mark.parametrize("values", [None, 1, "x", {}, [], [1, None, {"kind": "x"}]])
def test_what_is_unsound_leaves_the_coastline(values: object) -> None:
    (only,) = stack_from(values)

    assert only.kind is Kind.COAST
    assert only.is_on


@pytest.mark.parametrize(
    "damage",
    [
        {"kind": "picture"},
        {"id": "no"},
        {"opacity_percent": 101},
        {"opacity_percent": "100"},
        {"is_on": "yes"},
        {"name": None},
    ],
)
def test_one_unsound_sheet_costs_no_other(damage: dict[str, object]) -> None:
    values = kept_values(STACK)
    values[0] |= damage

    assert stack_from(values) == STACK[1:]


def test_there_is_one_coastline_and_each_sheet_is_there_once() -> None:
    values = kept_values((*STACK, *STACK, *usual_stack()))

    assert stack_from(values) == STACK


@pytest.mark.parametrize(
    ("by", "place"), [(1, 1), (2, 2), (9, 2), (-1, 0), (0, 0)]
)  # fmt: skip
def test_a_sheet_can_be_moved_down_and_stops_at_the_ends(by: int, place: int) -> None:
    after = moved(STACK, CHART.id, by)

    assert after.index(CHART) == place
    assert [each for each in after if each != CHART] == list(STACK[1:])
