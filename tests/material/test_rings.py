"""Cutting rings to a box keeps what is inside, and no cut becomes a shore."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.arrays import Array
from fieldtrip.material.box import Box
from fieldtrip.material.rings import clipped, holds, shores, thinned

BOX = Box(0.0, 0.0, 1.0, 1.0)


def ring(*points: tuple[float, float]) -> Array:
    return np.array(points, dtype=np.float64)


def star(seed: int, count: int) -> Array:
    """A wild ring that does not cross itself, all round the box and in it."""
    random = np.random.default_rng(seed)
    angle = np.sort(random.uniform(0.0, 2.0 * np.pi, count))
    reach = random.uniform(0.05, 3.0, count)
    return 0.5 + np.column_stack((reach * np.cos(angle), reach * np.sin(angle)))


def area(points: Array) -> float:
    x, y = points[:, 0], points[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0)


def test_a_ring_round_the_box_becomes_the_box() -> None:
    around = ring((-1.0, -1.0), (2.0, -1.0), (2.0, 2.0), (-1.0, 2.0))

    cut = clipped(around, BOX)

    assert area(cut) == pytest.approx(1.0)
    assert shores(cut, BOX) == []


def test_a_ring_inside_stays_as_it_is() -> None:
    inside = ring((0.2, 0.2), (0.8, 0.2), (0.5, 0.8))

    assert np.array_equal(clipped(inside, BOX), inside)


def test_a_ring_elsewhere_is_gone() -> None:
    assert len(clipped(ring((3.0, 3.0), (4.0, 3.0), (4.0, 4.0)), BOX)) == 0


def test_the_part_in_the_box_has_its_own_area() -> None:
    # Half of this square of 4 lies over the right-hand half of the box.
    half = ring((0.5, -1.0), (2.5, -1.0), (2.5, 1.0), (0.5, 1.0))

    assert area(clipped(half, BOX)) == pytest.approx(0.5)


@given(seed=st.integers(0, 10_000), count=st.integers(4, 60))
def test_cutting_changes_nothing_inside_the_box(seed: int, count: int) -> None:
    wild = star(seed, count)
    spots = np.random.default_rng(seed).uniform(0.001, 0.999, (20, 2))

    cut = clipped(wild, BOX)

    for x, y in spots.tolist():
        assert holds([cut], x, y) == holds([wild], x, y)


@given(seed=st.integers(0, 10_000), count=st.integers(4, 60))
def test_no_shore_runs_along_the_box_and_none_is_lost(seed: int, count: int) -> None:
    cut = clipped(star(seed, count), BOX)
    if not len(cut):
        return

    lines = shores(cut, BOX)

    for line in lines:
        for a, b in pairwise(line):
            for axis in (0, 1):
                assert not (a[axis] == b[axis] and a[axis] in (0.0, 1.0))
    closed = np.concatenate((cut, cut[:1]))
    on_edge = [
        any(a[k] == b[k] and a[k] in (0.0, 1.0) for k in (0, 1))
        for a, b in pairwise(closed)
    ]
    segments = sum(len(line) - 1 for line in lines)
    assert segments == len(cut) - sum(on_edge)


def test_thinning_keeps_within_a_cell_of_what_it_leaves_out() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 5000, endpoint=False)
    circle = np.column_stack((np.cos(angle), np.sin(angle)))

    few = thinned(circle, 0.1)

    assert 20 < len(few) < 200
    assert area(few) == pytest.approx(np.pi, rel=0.03)


def test_an_islet_in_one_cell_is_still_an_area() -> None:
    islet = ring((0.01, 0.01), (0.02, 0.01), (0.02, 0.02), (0.015, 0.03), (0.01, 0.02))

    assert len(thinned(islet, 1.0)) >= 3
