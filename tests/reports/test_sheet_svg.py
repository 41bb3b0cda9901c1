"""Tests for the drawings: well formed, with words for who cannot see them."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
import segno

from fieldtrip.reports.sheet import TripSheet
from fieldtrip.reports.sheet_svg import code_svg, map_svg, tide_svg
from tests.reports.story import hostile, ordinary, sheet_of

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def evening() -> TripSheet:
    return sheet_of(ordinary())


@pytest.mark.parametrize("story", [ordinary, hostile])
def test_the_drawings_are_well_formed_and_named(story: object) -> None:
    sheet = sheet_of(story())  # type: ignore[operator]
    assert sheet.tide.chart is not None

    for drawing in (
        map_svg(sheet.map),
        tide_svg(sheet.tide.chart, sheet.tide.passages),
        code_svg("geo:49.6,-8.4", "Code of the slip"),
    ):
        root = ET.fromstring(drawing)

        assert root.tag == f"{SVG}svg"
        assert root[0].tag == f"{SVG}title"
        assert root[0].text


def test_a_code_has_the_modules_of_its_text() -> None:
    text = "geo:49.596224,-8.390867"
    expected = segno.make(text, micro=False, error="m", boost_error=False).matrix
    root = ET.fromstring(code_svg(text, "Code"))

    dark = {
        (int(left) + k, int(top))
        for left, top, run in re.findall(
            r"M(\d+) (\d+)h(\d+)", root.findall(f"{SVG}path")[0].get("d", "")
        )
        for k in range(int(run))
    }

    # Source: ISO/IEC 18004, 5.3.8: a quiet zone of four modules on each side.
    assert dark == {
        (column + 4, row + 4)
        for row, modules in enumerate(expected)
        for column, module in enumerate(modules)
        if module
    }
    assert root.get("viewBox") == f"0 0 {len(expected) + 8} {len(expected) + 8}"


def test_open_windows_are_drawn_below_the_curve(evening: TripSheet) -> None:
    assert evening.tide.chart is not None
    root = ET.fromstring(tide_svg(evening.tide.chart, evening.tide.passages))

    bars = [r for r in root.iter(f"{SVG}rect") if r.get("class") == "open"]
    stays = [r for r in root.iter(f"{SVG}rect") if r.get("class") == "stay"]

    assert len(bars) == 1  # the early one lies before the chart begins
    assert len(stays) == 2
    # The second stay outlasts the window, and so does its box.
    right = [
        float(r.get("x", "0")) + float(r.get("width", "0")) for r in (*bars, *stays)
    ]
    assert right[0] > right[2]


def test_a_way_of_which_no_window_is_known_is_named_below_the_curve(
    evening: TripSheet,
) -> None:
    assert evening.tide.chart is not None
    passage = evening.tide.passages[0]
    unknown = replace(passage, name="The bar", is_known=False, spans=())
    shut = replace(passage, name="The ford", is_known=True, spans=())

    root = ET.fromstring(tide_svg(evening.tide.chart, (unknown, shut)))

    rows = [t.text for t in root.iter(f"{SVG}text") if t.get("class") == "bar-text"]
    assert rows == ["The bar: not known", "The ford: at no time"]
