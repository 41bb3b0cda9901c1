"""Tests for the sheet as a message."""

from __future__ import annotations

import pytest

from fieldtrip.reports.directions import directed
from fieldtrip.reports.sheet_text import sheet_text
from tests.reports.story import bare, hostile, ordinary, sheet_of, ten_stops, texts_of

NOT_IN_A_MESSAGE = (
    "Mark.",
    "GridLine.",
    "SheetMap.",
    "TideChart.",
    "FindingLine.advice",
)


@pytest.mark.parametrize("story", [ordinary, bare, ten_stops, hostile])
def test_every_text_is_in_the_message(story: object) -> None:
    sheet = sheet_of(story())  # type: ignore[operator]

    message = sheet_text(sheet)

    for name, text in texts_of(sheet):
        if not name.startswith(NOT_IN_A_MESSAGE):
            assert directed(text) in message, name


def test_the_message_begins_with_what_and_when() -> None:
    lines = sheet_text(sheet_of(ordinary())).splitlines()

    assert lines[0] == "Evening on the holms"
    assert lines[1] == "Tuesday 1 December 2026, Grey Holms"
    assert lines[2].startswith("All times GMT (Europe/Dublin).")
    assert lines[-1] == "Not for navigation."
