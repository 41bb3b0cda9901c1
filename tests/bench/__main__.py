"""Runs the benches: ``python -m tests.bench [name ...]``, such as ``sky``.

Every ``tests/bench/bench_NAME.py`` has ``run() -> list[Row]``.  Nothing here is
a test: figures are for reading, beside those of a peer in the same run.
"""

from __future__ import annotations

import importlib
import os
import platform
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from tests.bench.rows import Row, table

_FOLDER = Path(__file__).parent
_PREFIX = "bench_"


def names() -> list[str]:
    """The names of all benches."""
    return sorted(f.stem.removeprefix(_PREFIX) for f in _FOLDER.glob(f"{_PREFIX}*.py"))


def main(arguments: Sequence[str]) -> int:
    """Run the named benches, or all; gives the exit status."""
    unknown = sorted(set(arguments) - set(names()))
    if unknown:
        sys.stderr.write(f"No bench {', '.join(unknown)}: {', '.join(names())}.\n")
        return 2
    sys.stdout.write(f"{_machine()}\n")
    for name in arguments or names():
        bench = importlib.import_module(f"tests.bench.{_PREFIX}{name}")
        rows: list[Row] = bench.run()
        sys.stdout.write(f"\n{name}\n{table(rows)}\n")
        sys.stdout.flush()
    return 0


def _machine() -> str:
    """What the figures depend on: NumPy's arctan2 is 12 times faster with AVX-512."""
    features = np.show_config(mode="dicts")["SIMD Extensions"].get("found", [])
    wide = (
        "with" if any("AVX512" in f or f == "X86_V4" for f in features) else "without"
    )
    load = f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"
    return (
        f"Python {platform.python_version()}, {os.cpu_count()} processors "
        f"{wide} AVX-512, load {load}"
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
