"""Tests for texts of any script among our own words."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.reports.directions import directed

SHALOM = "\u05e9\u05dc\u05d5\u05dd"
MARHABA = "\u0645\u0631\u062d\u0628\u0627"


def test_letters_from_right_to_left_are_kept_apart_from_the_times_behind() -> None:
    told = directed(f"1. {SHALOM} {SHALOM} 13:30 to 14:25")

    # Source: Unicode Standard Annex 9, X5b and X6a: RLI opens, PDI closes.
    assert told == f"1. \u2067{SHALOM} {SHALOM}\u2069 13:30 to 14:25"
    assert directed(f"{MARHABA} a {MARHABA}") == (
        f"\u2067{MARHABA}\u2069 a \u2067{MARHABA}\u2069"
    )


def test_characters_that_override_the_direction_are_shown_as_unknown() -> None:
    assert directed("Ledge\u202e 14:25\u2066x") == "Ledge\ufffd 14:25\ufffdx"


@given(st.text())
def test_every_isolate_is_closed_on_its_line(text: str) -> None:
    for line in directed(text).split("\n"):
        depth = 0
        for c in line:
            depth += (c == "\u2067") - (c == "\u2069")
            assert depth in (0, 1)
        assert depth == 0


@given(st.text(alphabet=st.characters(max_codepoint=0x24F)))
def test_what_runs_from_left_to_right_stays_as_it_is(text: str) -> None:
    assert directed(text) == text
