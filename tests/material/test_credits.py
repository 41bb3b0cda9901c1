"""Attribution comes out as words and https links, whatever HTML goes in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.material.credits import LONGEST, Credit, credits_from, is_outside_link


def words(html: str) -> str:
    return "".join(credit.text for credit in credits_from(html))


def test_plain_words_stay_as_they_are() -> None:
    assert credits_from("© Survey of 2020 & others") == (
        Credit("© Survey of 2020 & others"),
    )


def test_links_keep_their_address() -> None:
    html = 'Map <a href="https://example.org/x?a=1&amp;b=2">data</a>, 2020'

    assert credits_from(html) == (
        Credit("Map"),
        Credit(" "),
        Credit("data", "https://example.org/x?a=1&b=2"),
        Credit(", 2020"),
    )


@pytest.mark.parametrize(
    "html",
    [
        "<script>alert(1)</script>Survey",
        "<img src=x onerror=alert(1)>Survey",
        "<style>*{display:none}</style>Survey",
        "<svg><text>alert(1)</text></svg>Survey",
        "Survey<!-- alert(1) -->",
        "<b onclick='alert(1)'>Survey</b>",
        "Sur<i></i>vey",
        "\u202eSurvey\u200b",
        "<p>Survey</p>",
    ],
)
def test_markup_and_unseen_characters_leave_only_words(html: str) -> None:
    assert words(html) == "Survey"


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        "http://example.org/",
        "file:///etc/hostname",
        "data:text/html,x",
        "https:",
        "https://",
        "//example.org/",
        "https://user@example.org/",
        "https://exa mple.org/",
        "https://example.org:bad/",
        "https://example.org/\u202egpj",
        " java\nscript:alert(1)",
        "https://example.org/" + "a" * 2000,
    ],
)
def test_an_address_that_is_not_plain_https_leads_nowhere(address: str) -> None:
    assert not is_outside_link(address)
    assert credits_from(f'<a href="{address}">Survey</a>') == (Credit("Survey"),)


def test_a_long_text_ends_with_dots() -> None:
    text = words("word " * 1000)

    assert len(text) == LONGEST
    assert text.endswith("…")


def test_blanks_inside_and_between_are_single() -> None:
    assert words(" a \n <b> b</b><br>c&nbsp;&nbsp;d ") == "a b c d"


@given(st.text())
def test_any_text_gives_words_in_one_line(html: str) -> None:
    for credit in credits_from(html):
        assert credit.text.isprintable()
        assert credit.link == "" or is_outside_link(credit.link)
    assert len(words(html)) <= LONGEST
