"""Tests for what the record forms show."""

from __future__ import annotations

from dataclasses import fields

import pytest

from fieldtrip.desktop.content.forms import FORMS, kind_word, line_words, step_words
from fieldtrip.geo import Position, destination
from fieldtrip.settings import LengthUnit, Settings

# What no form edits: keys, and what the map draws.
NOT_TYPED = {
    "id",
    "location_id",
    "route_id",
    "shape",
    "station_id",
    "is_station_beyond_headland",
}


@pytest.mark.parametrize("kind", FORMS)
def test_every_field_of_a_record_can_be_edited_once(kind: type) -> None:
    shown = [spec.field for spec in FORMS[kind]]

    assert sorted(shown) == sorted(
        f.name for f in fields(kind) if f.name not in NOT_TYPED
    )


@pytest.mark.parametrize("kind", FORMS)
def test_every_kind_and_step_has_words(kind: type) -> None:
    assert kind_word(kind)
    for spec in FORMS[kind]:
        assert step_words(spec).startswith("change “")
        assert "…" not in step_words(spec)


def test_a_line_is_told_in_the_users_unit() -> None:
    start = Position(49.6, -8.4)
    line = (start, destination(start, 90.0, 400.0))

    assert line_words(line, Settings()) == "2 points, 400 m"
    feet = line_words(line, Settings(length_unit=LengthUnit.FOOT))
    assert feet == "2 points, 0.2 mi"
    assert line_words((start,), Settings()) == "1 point"
