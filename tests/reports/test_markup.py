"""Tests for the one place where texts become markup."""

from __future__ import annotations

import html

from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.reports.markup import Markup, css_string, element, escaped, joined


@given(st.text())
def test_no_text_opens_or_closes_anything(text: str) -> None:
    made = escaped(text)

    assert not set("<>\"'") & set(made)
    left = [c for c in html.unescape(made) if c not in "\u2067\u2069"]
    assert len(left) == len(text)


def test_texts_are_escaped_and_markup_is_not() -> None:
    inner = element("b", "a < b")

    assert inner == "<b>a &lt; b</b>"
    assert element("p", inner, " & ", [inner]) == (
        "<p><b>a &lt; b</b> &amp; <b>a &lt; b</b></p>"
    )
    assert joined("<i>", Markup("<i>")) == "&lt;i&gt;<i>"


def test_attributes_are_escaped_and_empty_ones_left_out() -> None:
    made = element("img", class_="", alt='"><script>', src="data:,")

    assert made == '<img alt="&quot;&gt;&lt;script&gt;" src="data:,">'


def test_control_characters_are_shown_as_unknown() -> None:
    assert escaped("a\x00b\x1bc\ud800d\n") == "a\ufffdb\ufffdc\ufffdd\n"


@given(st.text())
def test_no_text_leaves_a_style_sheet_s_string(text: str) -> None:
    made = css_string(text)

    assert made[0] == made[-1] == '"'
    assert not set("\"'<>{};\n") & set(made[1:-1])
