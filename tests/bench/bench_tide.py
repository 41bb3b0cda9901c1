"""The tide of Seattle: heights, turns and windows, beside UTide in the same run.

UTide comes with the extra ``bench``; without it the figures stand alone.  It is
slower by so much that it is given every 40th of the instants.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import partial

import numpy as np

from fieldtrip.arrays import Instants
from fieldtrip.tides.fit import fit_turns
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.prediction import HarmonicSum, milliseconds
from fieldtrip.times import Span, instants
from tests.bench.rows import Row, best_s
from tests.tides.published import SEATTLE, constants, lyttelton

START = datetime(2027, 1, 1, tzinfo=UTC)
MINUTES = 365 * 1440
UTIDE_EVERY = 40
_UTIDE_NAMES = {"LAM2": "LDA2", "M1": "NO1"}
_LATITUDE_DEG = 47.6


def run() -> list[Row]:
    """Nanoseconds an instant, and milliseconds for a day and for ten years."""
    tide = HarmonicSum(constants(SEATTLE))
    curve = HarmonicCurve(tide)
    year = instants(START, START + timedelta(minutes=MINUTES), timedelta(minutes=1))
    mixed = np.random.default_rng(1).permutation(year)
    count = len(tide.constants.recognised())
    sample = year[::UTIDE_EVERY]
    peers = _utide_ns(tide, sample)
    day = Span(START, START + timedelta(days=1))
    ten_years = Span(START, datetime(2037, 1, 1, tzinfo=UTC))

    exact = tide.motion(milliseconds(year)).height_m
    grid_m = tide.grid_m(START, 60.0, MINUTES)
    off_mm = 1000.0 * float(np.abs(grid_m - exact).max())
    direct_off_mm = 1000.0 * float(np.abs(tide.heights_m(year) - exact).max())
    any_ns = _per_instant_ns(best_s(partial(tide.heights_m, year)))
    mixed_ns = _per_instant_ns(best_s(partial(tide.heights_m, mixed)))
    grid_ns = _per_instant_ns(best_s(partial(tide.grid_m, START, 60.0, MINUTES), 20))
    rows = []
    for peer, peer_ns in peers:
        rows += [
            Row(f"any instants, {count} constituents", any_ns, "ns", peer, peer_ns),
            Row("a year by the minute on a grid", grid_ns, "ns", peer, peer_ns),
        ]
    return [
        *rows,
        Row("instants in no order", mixed_ns, "ns"),
        Row("grid, farthest from the sum in double precision", off_mm, "mm"),
        Row("any instants, farthest from it", direct_off_mm, "mm"),
        Row("turns of a day", 1e3 * best_s(partial(curve.turns, day), 20), "ms"),
        Row("turns of ten years", 1e3 * best_s(partial(curve.turns, ten_years)), "ms"),
        Row(
            "windows of a day",
            1e3 * best_s(partial(curve.windows_below, 1.0, day), 20),
            "ms",
        ),
        Row(
            "windows of ten years",
            1e3 * best_s(partial(curve.windows_below, 1.0, ten_years)),
            "ms",
        ),
        Row(
            "a year of a printed table fitted",
            1e3 * best_s(partial(fit_turns, lyttelton(2013), "Port", "datum"), 2),
            "ms",
        ),
    ]


def _per_instant_ns(seconds: float) -> float:
    return seconds / MINUTES * 1e9


def _utide_ns(tide: HarmonicSum, sample: Instants) -> list[tuple[str, float | None]]:
    """UTide's nanoseconds an instant, exact and with its nodes taken once."""
    try:
        from utide import reconstruct
        from utide._ut_constants import ut_constants
        from utide.utilities import Bunch
    except ImportError:
        return [("UTide is not installed: pip install 'fieldtrip[bench]'", None)]
    known = [str(name).strip() for name in ut_constants["const"]["name"]]
    named = [
        (_UTIDE_NAMES.get(one.name, one.name), each)
        for one, each in tide.constants.recognised()
    ]
    used = [(known.index(name), each) for name, each in named if name in known]
    index = np.array([place for place, _ in used])
    # Days as Python's ordinals, which is how UTide counts them.
    days = (sample - sample[0]) / np.timedelta64(1, "D") + START.toordinal()
    found: list[tuple[str, float | None]] = []
    for words, is_once in (("", False), (", nodes once", True)):
        options = Bunch(
            twodim=False, nodiagn=True, notrend=True, prefilt=[],
            nodsatlint=is_once, nodsatnone=False, gwchlint=is_once, gwchnone=False,
        )  # fmt: skip
        coefficients = Bunch(
            name=[known[place] for place in index],
            A=np.array([each.amplitude_m for _, each in used]),
            g=np.array([each.greenwich_phase_deg for _, each in used]),
            mean=tide.constants.z0_m,
            slope=0.0,
            aux=Bunch(
                frq=ut_constants["const"]["freq"][index],
                lind=index,
                lat=_LATITUDE_DEG,
                reftime=float(days.mean()),
                opt=options,
            ),
        )
        work = partial(reconstruct, days, coefficients, epoch="python", verbose=False)
        took_ns = best_s(work, 2) / len(sample) * 1e9
        found.append((f"UTide, {len(index)} constituents, every 40th{words}", took_ns))
    return found
