"""The driver finds the benches and lays out what they tell."""

from __future__ import annotations

import pytest

from tests.bench import __main__ as driver
from tests.bench.rows import Row, table


def test_every_bench_can_be_run() -> None:
    assert "sky" in driver.names()


def test_an_unknown_bench_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert driver.main(["nothing"]) == 2
    assert "No bench nothing" in capsys.readouterr().err


def test_rows_stand_in_columns_with_their_ratio() -> None:
    rows = [Row("one", 4.0, "ns", "peer", 1000.0), Row("another", 0.00123, "degrees")]

    head, first, second = table(rows).splitlines()

    assert head.split() == ["what", "ours", "peer's", "unit", "ratio", "peer"]
    assert first.split() == ["one", "4", "1,000", "ns", "250.0", "peer"]
    assert second.split() == ["another", "0.00123", "degrees"]
    assert rows[1].ratio is None
