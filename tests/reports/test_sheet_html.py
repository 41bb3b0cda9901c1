"""Tests for the HTML: sound, closed to the world, and proof against what was typed."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime
from html.parser import HTMLParser

import html5lib
import pytest

from fieldtrip.places.photographs import Photograph
from fieldtrip.reports.directions import directed
from fieldtrip.reports.sheet import Photo, TripSheet
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.trip_sheet import Extras
from tests.reports.story import (
    EVIL,
    bare,
    demo_ground,
    hostile,
    ordinary,
    sheet_of,
    ten_stops,
    texts_of,
)

FETCHING = {"src", "srcset", "data", "poster", "action", "formaction", "background"}


class Page(HTMLParser):
    """Counts elements and attributes, and gathers the texts of a page."""

    def __init__(self, page: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: Counter[str] = Counter()
        self.attributes: list[tuple[str, str, str]] = []
        self.texts: list[str] = []
        self.feed(page.decode())
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Count one element."""
        self.elements[tag] += 1
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        """Keep one text."""
        self.texts.append(data)

    @property
    def text(self) -> str:
        """All texts in a row."""
        return "".join(self.texts)


@pytest.fixture(scope="module")
def evening() -> TripSheet:
    return sheet_of(ordinary(), extras=Extras(ground=demo_ground()))


@pytest.mark.parametrize("story", [ordinary, bare, ten_stops, hostile])
def test_every_page_is_sound_html(story: object) -> None:
    page = sheet_html(sheet_of(story()))  # type: ignore[operator]

    # Source: the parser of the HTML standard, made to refuse what it would mend.
    html5lib.HTMLParser(strict=True).parse(page.decode())
    ids = [value for _, name, value in Page(page).attributes if name == "id"]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("story", [ordinary, hostile])
def test_a_page_fetches_nothing_runs_nothing_and_styles_nothing_inline(
    story: object,
) -> None:
    page = Page(sheet_html(sheet_of(story())))  # type: ignore[operator]

    assert not {"script", "iframe", "object", "embed", "link", "base", "form"} & set(
        page.elements
    )
    for tag, name, value in page.attributes:
        assert not name.startswith("on"), (tag, name)
        assert name != "style", tag
        if name in FETCHING:
            assert value.startswith("data:image/jpeg;base64,"), (tag, name)
        if name == "href":
            assert value.startswith(("#", "geo:")), value


def test_the_policy_allows_this_style_and_nothing_else(evening: TripSheet) -> None:
    page = sheet_html(evening).decode()

    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)

    assert policy is not None
    assert policy[1].startswith("default-src &#x27;none&#x27;; style-src &#x27;sha256-")
    assert "unsafe" not in policy[1]
    assert "url(" not in page.replace("url(#map-", "")
    assert "@import" not in page


def test_what_was_typed_is_shown_as_text_whatever_it_is() -> None:
    sheet = sheet_of(hostile())
    page = Page(sheet_html(sheet))

    assert "img" not in page.elements
    shown = directed(EVIL.replace("\x0b", "\ufffd"))
    assert page.text.count(shown) > 40
    assert shown in page.text


def test_every_text_of_the_sheet_is_on_the_page(evening: TripSheet) -> None:
    page = Page(sheet_html(evening))
    shown = " ".join(page.text.split())

    left_out = {"Mark.anchor", "FindingLine.advice"}  # a caution's advice
    for name, text in texts_of(evening):
        if name not in left_out and text.strip():
            assert " ".join(text.split()) in shown or text in str(page.attributes), name


def test_a_note_of_ten_thousand_letters_is_there_whole() -> None:
    dossier, trip = ordinary()
    long = "wörd " * 2000
    vantages = tuple(replace(v, notes=long) for v in dossier.vantage_points)

    page = sheet_html(sheet_of((replace(dossier, vantage_points=vantages), trip)))

    assert page.decode().count("wörd") == 4000


def test_a_reference_photograph_travels_inside_the_page() -> None:
    dossier, trip = ordinary()
    vantage_id = dossier.stops_of(trip)[0].vantage_point_id
    photo = Photo(b"\xff\xd8\xff\xe0 not much of a picture", "Taken in May")

    sheet = sheet_of((dossier, trip), extras=Extras(photos={vantage_id: photo}))
    page = Page(sheet_html(sheet))

    assert page.elements["img"] == 1
    assert "Taken in May" in page.text
    # The other stop has none, and says so.
    assert page.text.count("No reference photograph is kept of it.") == 1


def test_the_photograph_that_is_kept_with_a_spot_says_when_it_was_taken() -> None:
    dossier, trip = ordinary()
    stop = dossier.stops_of(trip)[0]
    kept = Photograph(
        location_id=dossier.location.id,
        vantage_point_id=stop.vantage_point_id,
        caption="<b>Feet</b> in the notch",
        jpeg=b"\xff\xd8\xff\xe0",
        taken=datetime(2026, 7, 3, 20, 5, tzinfo=UTC),
    )

    known = Page(sheet_html(sheet_of((replace(dossier, photographs=(kept,)), trip))))
    unsaid = replace(dossier, photographs=(replace(kept, taken=None),))
    unknown = Page(sheet_html(sheet_of((unsaid, trip))))

    assert known.elements["img"] == 1
    said = "<b>Feet</b> in the notch; taken 3 July 2026 21:05 IST"
    assert said in known.text
    assert "when it was taken is not known" in unknown.text


def test_the_page_is_small(evening: TripSheet) -> None:
    assert len(sheet_html(evening)) < 200_000


def test_each_coordinate_stays_on_one_line(evening: TripSheet) -> None:
    page = sheet_html(evening).decode()

    assert '<span class="whole">49° 36.359′ N</span>, <span class="whole">8°' in page
    assert re.search(
        r'<span class="whole">UTM 29U</span> <span class="whole">\d{6} \d{7}<', page
    )
