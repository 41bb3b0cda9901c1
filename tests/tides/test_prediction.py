"""Heights from NOAA's constants against the heights that NOAA publishes."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.prediction import HarmonicSum, milliseconds
from fieldtrip.times import to_instant
from tests.tides.published import PORTS, SEATTLE, constants, hourly

START = datetime(2026, 8, 15, tzinfo=UTC)
SUM = HarmonicSum(constants(SEATTLE))
HUNDREDTH_OF_MM = 1e-5


@pytest.mark.parametrize("port", PORTS)
def test_noaas_hourly_heights_in_noaas_year(port: str) -> None:
    official = hourly(port)

    heights = HarmonicSum(constants(port), Nodes.MIDYEAR).heights_m(official.instants)

    # Source: NOAA CO-OPS, predictions for 15 to 21 August 2026 to a millimetre.
    assert len(heights) == 168
    assert np.abs(heights - official.heights_m).max() <= 0.002


@pytest.mark.parametrize("port", PORTS)
def test_daily_nodes_stay_near_noaas_heights(port: str) -> None:
    official = hourly(port)

    heights = HarmonicSum(constants(port)).heights_m(official.instants)

    # The two ways to take the node differ by up to 1.6 cm in August.
    assert np.abs(heights - official.heights_m).max() <= 0.016


def test_daily_nodes_do_not_jump_at_new_year_and_midyear_nodes_do() -> None:
    new_year = np.datetime64("2027-01-01T00:00:00.000")
    around = np.array([new_year - np.timedelta64(1, "ms"), new_year])

    daily = np.diff(SUM.heights_m(around))[0]
    midyear = np.diff(HarmonicSum(constants(SEATTLE), Nodes.MIDYEAR).heights_m(around))[
        0
    ]

    assert abs(daily) < 0.001
    assert abs(midyear) > 0.01


@pytest.mark.parametrize("nodes", list(Nodes))
@pytest.mark.parametrize("step_s", [60.0, 300.0, 3600.0, 420.0, 0.5, 86400.0, 1e5])
def test_a_grid_is_the_direct_sum(nodes: Nodes, step_s: float) -> None:
    tide = HarmonicSum(constants(SEATTLE), nodes)
    start = datetime(2026, 12, 30, 7, 43, 21, 250_000, tzinfo=UTC)
    count = 3000
    step = np.timedelta64(round(step_s * 1000.0), "ms")

    grid = tide.grid_m(start, step_s, count)

    direct = tide.motion(milliseconds(to_instant(start) + np.arange(count) * step))
    assert grid.shape == (count,)
    assert np.abs(grid - direct.height_m).max() <= HUNDREDTH_OF_MM


@given(
    seconds=st.lists(st.integers(-2_000_000_000, 4_000_000_000), max_size=40),
)
def test_many_instants_in_any_order_are_each_as_if_alone(seconds: list[int]) -> None:
    instants = np.array(seconds, dtype="datetime64[s]").astype("datetime64[ms]")

    heights = SUM.heights_m(instants)

    alone = [SUM.heights_m(instants[i : i + 1])[0] for i in range(len(instants))]
    assert heights.shape == instants.shape
    assert heights == pytest.approx(alone, abs=HUNDREDTH_OF_MM)


def test_heights_keep_the_shape_and_do_not_touch_the_instants() -> None:
    instants = np.arange(6).reshape(2, 3).astype("datetime64[h]")

    heights = SUM.heights_m(instants)

    assert heights.shape == (2, 3)
    assert SUM.heights_m(instants.ravel()) == pytest.approx(list(heights.ravel()))


def test_slopes_and_curvatures_are_those_of_the_heights() -> None:
    at_ms = milliseconds(np.array(["2026-08-15T03:21"], "datetime64[ms]"))
    around = at_ms + np.array([-60_000.0, 0.0, 60_000.0])

    before, here, after = SUM.motion(around).height_m
    motion = SUM.motion(at_ms)

    hours = 1.0 / 60.0
    assert motion.slope_m_h[0] == pytest.approx((after - before) / 2 / hours, abs=1e-4)
    assert motion.curvature_m_h2[0] == pytest.approx(
        (after - 2 * here + before) / hours**2, abs=1e-4
    )


def test_one_constituent_alone_is_its_cosine() -> None:
    # S2 has no node: at the Greenwich phase of 30° it is highest an hour after
    # noon and midnight.
    alone = HarmonicConstants(
        port="Port", datum="MSL", z0_m=2.0, constants=(Constant("S2", 1.5, 30.0),)
    )
    instants = np.array(["2026-08-15T01:00", "2026-08-15T07:00"], "datetime64[ms]")

    heights = HarmonicSum(alone).heights_m(instants)

    assert heights == pytest.approx([3.5, 0.5], abs=1e-6)


def test_no_constituent_that_counts_leaves_the_mean_level() -> None:
    still = HarmonicConstants(
        port="Port", datum="MSL", z0_m=2.0, constants=(Constant("M2", 0.0, 30.0),)
    )

    heights = HarmonicSum(still).grid_m(START, 60.0, 5)

    assert list(heights) == [2.0] * 5
    assert HarmonicSum(still).heights_m(hourly(SEATTLE).instants)[0] == 2.0


def test_no_instants_have_no_heights() -> None:
    assert SUM.heights_m(np.array([], "datetime64[ms]")).shape == (0,)
    assert SUM.grid_m(START, 60.0, 0).shape == (0,)
    with pytest.raises(ValueError, match="no grid"):
        SUM.grid_m(START, 0.0, 5)
