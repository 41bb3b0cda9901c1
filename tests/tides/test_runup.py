"""Wave run-up after Stockdon, beside published values."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldtrip.tides.runup import RunUp, run_up


def on_sand(height_m: float, period_s: float, slope: float) -> RunUp:
    found = run_up(height_m, period_s, slope, is_sandy=True)
    assert found is not None
    return found


def test_a_published_example() -> None:
    # Source: Stockdon et al. (2006) as worked in the tests of an open implementation:
    # 4 m, 11 s, slope 0.1: run-up 2.542 m, setup 0.962 m, swash 2.640 m.
    found = on_sand(4.0, 11.0, 0.1)

    assert found.two_percent_m == pytest.approx(2.5420364539745717, abs=1e-9)
    assert found.setup_m == pytest.approx(0.962, abs=0.001)
    assert found.swash_m == pytest.approx(2.640, abs=0.001)


def test_a_dissipative_beach() -> None:
    # Source: the same: slope 0.001 gives 1.18 m, setup 0.0096 m.
    found = on_sand(4.0, 11.0, 0.001)

    assert found.two_percent_m == pytest.approx(1.18205, abs=1e-4)
    assert found.setup_m == pytest.approx(0.0096, abs=1e-4)


@pytest.mark.parametrize(
    ("height_m", "period_s", "slope", "expected_m"),
    [
        # Source: Stockdon et al. (2006), equation 19, by hand; two digits.
        (0.5, 8, 0.02, 0.30), (1, 12, 0.05, 0.90), (2, 14, 0.08, 1.95),
        (3, 12, 0.12, 2.77), (4, 14, 0.12, 3.73), (1, 8, 0.02, 0.43),
    ],
)  # fmt: skip
def test_a_table_of_run_up(
    height_m: float, period_s: float, slope: float, expected_m: float
) -> None:
    assert on_sand(height_m, period_s, slope).two_percent_m == pytest.approx(
        expected_m, abs=0.005
    )


@pytest.mark.parametrize("is_sandy", [False, None])
def test_nothing_is_known_on_what_is_no_sandy_beach(is_sandy: bool | None) -> None:
    assert run_up(4.0, 11.0, 0.1, is_sandy=is_sandy) is None
    assert run_up(0.0, 11.0, 0.1, is_sandy=is_sandy) is None


def test_no_waves_run_nowhere() -> None:
    assert on_sand(0.0, 8.0, 0.05).two_percent_m == 0.0


@pytest.mark.parametrize(
    ("height_m", "period_s", "slope"),
    [
        (-1, 8, 0.05),
        (float("nan"), 8, 0.05),
        (2, 0, 0.05),
        (2, 8, 0),
        (2, 8, 3),
        (99, 8, 0.05),
    ],
)
def test_what_no_sea_has_is_refused(
    height_m: float, period_s: float, slope: float
) -> None:
    with pytest.raises(ValueError, match="no "):
        run_up(height_m, period_s, slope, is_sandy=True)


@given(
    height_m=st.floats(0.1, 12.0),
    more_m=st.floats(0.0, 3.0),
    period_s=st.floats(6.0, 20.0),
)
def test_higher_waves_never_run_less_far(
    height_m: float, more_m: float, period_s: float
) -> None:
    # Source: Miche (1944): no deep-water wave is steeper than 0.142.  On this slope
    # the formula does not change over.
    assume(height_m + more_m <= 0.142 * 1.56 * period_s**2)
    lower = on_sand(height_m, period_s, 0.3)
    higher = on_sand(height_m + more_m, period_s, 0.3)

    assert higher.two_percent_m >= lower.two_percent_m
