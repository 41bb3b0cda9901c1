"""While a function with kinks is above nought: none missed, however short."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.sky.runs import rows_above_nought

TIMES_S = np.arange(0.0, 36_001.0, 600.0)
EVERY_CELL = np.ones(len(TIMES_S) - 1, dtype=np.bool_)


@given(
    st.lists(
        st.tuples(st.floats(500.0, 35_500.0), st.floats(0.3, 4_000.0)),
        min_size=1,
        max_size=5,
    ),
    st.booleans(),
)
def test_every_tent_is_found_to_its_edges(
    tents: list[tuple[float, float]], is_upside_down: bool
) -> None:
    # Tents of slope one a second: above nought within their half-widths.
    sign = -1.0 if is_upside_down else 1.0

    def function(times_s: Array) -> Array:
        heights = [half - np.abs(times_s - middle) for middle, half in tents]
        return np.asarray(sign * np.max(heights, axis=0))

    rows = rows_above_nought(
        function,
        TIMES_S,
        bool(function(TIMES_S[:1])[0] > 0.0),
        EVERY_CELL,
        10,
        1.0,
    )

    edges = sorted((middle - half, middle + half) for middle, half in tents)
    union: list[list[float]] = []
    for low, high in edges:
        if union and low <= union[-1][1]:
            union[-1][1] = max(union[-1][1], high)
        else:
            union.append([low, high])
    # Two tents within a part of each other bend twice; that is not promised.
    gaps = [b[0] - a[1] for a, b in pairwise(union)]
    assume(all(gap > 130.0 for gap in gaps))
    inside = np.clip(np.array(union), TIMES_S[0], TIMES_S[-1])
    if is_upside_down:
        between = np.concatenate([[TIMES_S[0]], inside.ravel(), [TIMES_S[-1]]])
        inside = between.reshape(-1, 2)
        inside = inside[inside[:, 1] > inside[:, 0]]
    assert_allclose(rows, inside, atol=0.01)


def test_where_no_cell_is_open_the_start_tells_for_all() -> None:
    none = np.zeros(len(TIMES_S) - 1, dtype=np.bool_)

    above = rows_above_nought(np.ones_like, TIMES_S, True, none, 10, 1.0)
    below = rows_above_nought(np.ones_like, TIMES_S, False, none, 10, 1.0)

    assert above.tolist() == [[TIMES_S[0], TIMES_S[-1]]]
    assert below.shape == (0, 2)


@pytest.mark.parametrize("parts", [1, 7, 60])
def test_cells_that_are_not_open_are_not_looked_at(parts: int) -> None:
    asked: list[Array] = []

    def function(times_s: Array) -> Array:
        asked.append(times_s)
        return np.asarray(np.sin(2.0 * np.pi * (times_s - 100.0) / 12_000.0))

    is_open = np.zeros(len(TIMES_S) - 1, dtype=np.bool_)
    roots = 100.0 + np.arange(6) * 6_000.0
    is_open[(roots // 600.0).astype(np.int64)] = True

    rows = rows_above_nought(function, TIMES_S, False, is_open, parts, 1e-3)

    assert_allclose(rows[:, 0], roots[::2], atol=0.01)
    assert_allclose(rows[:, 1], roots[1::2], atol=0.01)
    seen = np.concatenate(asked)
    assert np.all(np.min(np.abs(seen[:, None] - roots), axis=1) <= 1_200.0)
