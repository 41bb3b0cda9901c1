"""What a bench tells: one figure, and beside it that of a peer in the same run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    what: str
    figure: float
    unit: str  # of both figures
    peer: str = ""  # what it stands beside, and on what sample
    peer_figure: float | None = None

    @property
    def ratio(self) -> float | None:
        """How many times the peer's figure is ours; above 1 where less is better."""
        if self.peer_figure is None or self.figure == 0.0:
            return None
        return self.peer_figure / self.figure


def best_s(work: Callable[[], object], rounds: int = 5) -> float:
    """Shortest time of some rounds, in seconds, after one that warms up."""
    work()
    times = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def table(rows: list[Row]) -> str:
    """Rows as text, in columns."""
    cells = [("what", "ours", "peer's", "unit", "ratio", "peer")]
    for row in rows:
        ratio = "" if row.ratio is None else f"{row.ratio:,.1f}"
        peer = "" if row.peer_figure is None else _figure(row.peer_figure)
        cells.append((row.what, _figure(row.figure), peer, row.unit, ratio, row.peer))
    widths = [max(len(line[k]) for line in cells) for k in range(6)]
    right = (False, True, True, False, True, False)
    return "\n".join(
        "  ".join(
            cell.rjust(width) if is_right else cell.ljust(width)
            for cell, width, is_right in zip(line, widths, right, strict=True)
        ).rstrip()
        for line in cells
    )


def _figure(value: float) -> str:
    if value >= 100.0:
        return f"{value:,.0f}"
    return f"{value:.3g}"
