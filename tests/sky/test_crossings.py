"""Zeros of smooth functions, the grazing ones too."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.sky.crossings import zero_crossings

TIMES = np.arange(0.0, 20_000.0, 600.0)


def test_a_sine_crosses_at_multiples_of_half_its_period() -> None:
    def wave(t: Array) -> Array:
        return np.asarray(np.sin(2.0 * np.pi * (t - 100.0) / 8000.0))

    roots, direction = zero_crossings(wave, TIMES, wave(TIMES))

    assert_allclose(roots, [100.0, 4100.0, 8100.0, 12100.0, 16100.0], atol=1e-3)
    assert direction.tolist() == [1, -1, 1, -1, 1]


@given(top=st.floats(1500.0, 18_000.0), half=st.floats(1.0, 290.0))
def test_a_hump_that_shows_between_two_samples_is_found(
    top: float, half: float
) -> None:
    def hump(t: Array) -> Array:
        return np.asarray(1e-4 * (half**2 - (t - top) ** 2))

    roots, direction = zero_crossings(hump, TIMES, hump(TIMES))

    assert_allclose(roots, [top - half, top + half], atol=1e-2)
    assert direction.tolist() == [1, -1]


@given(bottom=st.floats(1500.0, 18_000.0), half=st.floats(1.0, 290.0))
def test_so_is_a_dip(bottom: float, half: float) -> None:
    def dip(t: Array) -> Array:
        return np.asarray(1e-4 * ((t - bottom) ** 2 - half**2))

    roots, direction = zero_crossings(dip, TIMES, dip(TIMES))

    assert_allclose(roots, [bottom - half, bottom + half], atol=1e-2)
    assert direction.tolist() == [-1, 1]


@pytest.mark.parametrize("level", [-1.0, 1.0])
def test_what_never_crosses_has_no_zero(level: float) -> None:
    def near(t: Array) -> Array:
        return np.asarray(level * (1e-9 * (t - 9000.0) ** 2 + 1e-6))

    roots, _ = zero_crossings(near, TIMES, near(TIMES))

    assert not len(roots)
