"""Tests for where things stand on the strip."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.desktop.charts.strip_ink import contrast, tints
from fieldtrip.desktop.charts.strip_layout import (
    Box,
    Placer,
    TimeScale,
    beside_line,
    columns,
    hour_step,
    inside_span,
)
from fieldtrip.desktop.theme import DARK, LIGHT, Theme
from fieldtrip.times import Span

START = datetime(2026, 10, 24, 23, tzinfo=UTC)
COLUMN = Box(50.0, 10.0, 80.0, 600.0)


@given(hours=st.sampled_from([23, 24, 25]), minute=st.integers(0, 23 * 60 - 1))
def test_a_minute_is_found_again_where_it_is_drawn(hours: int, minute: int) -> None:
    scale = TimeScale(Span(START, START + timedelta(hours=hours)), 10.0, 777.0)
    instant = START + timedelta(minutes=minute)
    assert scale.instant(scale.y(instant)) == instant


@given(y=st.floats(-1e6, 1e6))
def test_every_height_is_a_minute_of_the_day(y: float) -> None:
    span = Span(START, START + timedelta(hours=25))
    instant = TimeScale(span, 10.0, 500.0).instant(y)
    assert span.start <= instant < span.stop
    assert instant.second == 0


@given(
    ys=st.lists(st.floats(0.0, 620.0), max_size=40),
    width=st.floats(5.0, 90.0),
    height=st.floats(5.0, 30.0),
)
def test_labels_never_overlap_nor_leave_their_column(
    ys: list[float], width: float, height: float
) -> None:
    placer = Placer(COLUMN)
    placed = [
        box
        for y in ys
        if (box := placer.place(beside_line(COLUMN, y, (width, height), (6.0,))))
    ]
    assert all(COLUMN.holds(box) for box in placed)
    assert not any(a.overlaps(b) for n, a in enumerate(placed) for b in placed[n + 1 :])


def test_the_first_come_keeps_its_place() -> None:
    placer = Placer(COLUMN)
    first = placer.place(inside_span(COLUMN, 100.0, 120.0, (40.0, 18.0)))
    assert first == Box(70.0, 101.0, 40.0, 18.0)
    assert placer.place(inside_span(COLUMN, 100.0, 120.0, (40.0, 18.0))) is None


def test_a_name_moves_out_of_the_middle_where_that_is_taken() -> None:
    placer = Placer(COLUMN)
    placer.take(Box(50.0, 195.0, 80.0, 10.0))
    box = placer.place(inside_span(COLUMN, 100.0, 300.0, (40.0, 18.0)))
    assert box is not None
    assert box.bottom <= 195.0


@pytest.mark.parametrize("width", [300.0, 340.0, 380.0, 420.0, 900.0])
def test_columns_stand_side_by_side_within_the_width(width: float) -> None:
    c = columns(width, 0.0, 100.0, edge_width=46.0, wind_width=60.0)
    four = [c.light, c.tide, c.wind, c.plan]
    assert all(a.right <= b.left for a, b in pairwise(four))
    assert c.plan.right <= width
    assert min(column.width for column in four) > 40.0


def test_hours_are_thinned_until_they_can_be_read() -> None:
    assert [hour_step(px, 14.0) for px in (30.0, 15.0, 8.0, 2.0)] == [1, 2, 3, 12]


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_words_are_legible_on_every_tint_which_darkens_as_the_sun_sinks(
    theme: Theme,
) -> None:
    # Source: Web Content Accessibility Guidelines 2.2, 1.4.3: 4.5 : 1 for text.
    six = tints(theme)
    assert len(six) == 6
    assert all(contrast(tint.ground, tint.text) >= 4.5 for tint in six)
    lightness = [contrast(tint.ground, "#000000") for tint in six]
    assert lightness == sorted(lightness, reverse=True)
    assert len(set(lightness)) == 6


def test_contrast_is_the_guidelines() -> None:
    # Source: the same, "contrast ratio": from 1 to 21; #767676 on white is 4.54.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
