"""Boxes of degrees, and how the date line parts them."""

from __future__ import annotations

import math

import pytest

from fieldtrip.material.box import Box


def test_a_box_away_from_the_date_line_is_one_part() -> None:
    box = Box(49.0, -9.0, 50.0, -8.0)

    assert box.parts() == ((box, 0.0),)


@pytest.mark.parametrize(
    "box", [Box(-18.0, 179.0, -16.0, 182.0), Box(-18.0, -181.0, -16.0, -178.0)]
)
def test_a_box_across_the_date_line_has_two_parts_that_make_it_up(box: Box) -> None:
    parts = box.parts()

    spans = sorted((p.west_deg + shift, p.east_deg + shift) for p, shift in parts)
    assert len(parts) == 2
    assert spans[0][0] == box.west_deg
    assert spans[0][1] == spans[1][0]
    assert spans[1][1] == box.east_deg
    assert all(-180.0 <= p.west_deg < p.east_deg <= 180.0 for p, _ in parts)


def test_a_view_of_more_than_the_world_repeats_it() -> None:
    parts = Box(-85.0, -400.0, 85.0, 400.0).parts()

    widths = [part.east_deg - part.west_deg for part, _ in parts]
    assert sum(widths) == pytest.approx(800.0)


def test_padding_stays_within_the_poles() -> None:
    padded = Box(80.0, 0.0, 90.0, 10.0).padded(0.5)

    assert padded == Box(75.0, -5.0, 90.0, 15.0)
    assert padded.holds(Box(80.0, 0.0, 90.0, 10.0))


@pytest.mark.parametrize(
    "edges", [(1.0, 0.0, 1.0, 1.0), (0.0, 2.0, 1.0, 1.0), (0.0, 0.0, math.nan, 1.0)]
)
def test_edges_that_enclose_nothing_are_refused(
    edges: tuple[float, float, float, float],
) -> None:
    with pytest.raises(ValueError, match="box"):
        Box(*edges)
