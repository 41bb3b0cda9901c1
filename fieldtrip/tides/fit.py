"""Harmonic constants from a year of heights, or of printed high and low waters.

Least squares of the constituents' cosines and sines.  A turn gives two equations:
its height, and that the water neither rises nor falls.  Less than a year tells
neighbours such as K1 and P1 or S2 and K2 not apart, and is refused.

Turns say nothing of the water between them.  Where shallow water bends the curve by
constituents that are not among those fitted, a table is given back to the centimetre
by a curve that is wrong by a metre in between.  So a second fit with more of them is
made, and how far the two curves lie apart is the curve's margin.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import pairwise

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.errors import UserError
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.prediction import HarmonicSum, milliseconds
from fieldtrip.tides.records import Turn
from fieldtrip.times import Span, from_instant, to_instant

SHORTEST = timedelta(days=355)
_DAY = timedelta(days=1)
# An hour out of place weighs like two metres for each metre an hour of slope.
_SLOPE_WEIGHT_H = 2.0
# A table printed to a decimetre leaves 2.9 cm; beyond this the curve itself is off.
_USUAL_RMS_M = 0.05
# Where one high water a day prevails, its rise and fall take a day; beyond this
# something is missing, of turns or of heights.
_LONGEST_GAP = timedelta(days=2)

# Two fits that lie apart by no more are as good as one; by more than this the
# larger one is nearer to the water.  Own judgement, on invented shallow ports.
_USUAL_SPREAD_M, _WIDE_SPREAD_M = 0.05, 0.15
_SPREAD_SHARE = 0.99  # of the instants
_SPREAD_STEP = timedelta(minutes=30)

# NOAA's 37, and what shallow water adds at ports elsewhere.
NAMES = (
    "M2", "S2", "N2", "K1", "M4", "O1", "M6", "MK3", "S4", "MN4", "NU2", "S6", "MU2",
    "2N2", "OO1", "LAM2", "S1", "M1", "J1", "MM", "SSA", "SA", "MSF", "MF", "RHO1",
    "Q1", "T2", "R2", "2Q1", "P1", "2SM2", "M3", "L2", "2MK3", "K2", "M8", "MS4",
    "EPS2", "ALPHA2", "BETA2", "SK3", "SO3", "MK4", "SK4", "2MK5", "2MN6",
    "2MS6", "2MK6", "2SM6", "MSN2", "3MS8",
)  # fmt: skip
MORE_NAMES = (
    *NAMES, "M10", "2MSN4", "3MS4", "2MNS4", "3MNS6", "MSN6", "4MS10", "3MN8",
    "2(MS)8",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fit:
    """Constants found from a table or a series, and how well they give it back."""

    constants: HarmonicConstants
    span: Span  # of what it was found from
    count: int  # turns or heights
    rms_m: float  # of the heights given less the heights found
    spread_m: float = 0.0  # how far another fit lies from it, at 99 of 100 instants
    nodes: Nodes = Nodes.DAILY

    @property
    def margin_m(self) -> float:
        """What the curve may be wrong by beyond the usual.  Own judgement."""
        by_rms_m = 2.0 * self.rms_m if self.rms_m > _USUAL_RMS_M else 0.0
        by_spread_m = self.spread_m if self.spread_m > _USUAL_SPREAD_M else 0.0
        return max(by_rms_m, by_spread_m)

    def curve(self) -> HarmonicCurve:
        """The tide for any date."""
        return HarmonicCurve(HarmonicSum(self.constants, self.nodes), self.margin_m)


def fit_turns(
    turns: Sequence[Turn], port: str, datum: str, nodes: Nodes = Nodes.DAILY
) -> Fit:
    """Constants from at least 355 days of high and low waters.

    Raises `UserError` for less, with the reason, and for a table with gaps.
    """
    _refuse_short(covered(turns))
    few = _fit_turns(turns, _unit(port, datum, NAMES, nodes))
    more = _fit_turns(turns, _unit(port, datum, MORE_NAMES, nodes))
    step_s = _SPREAD_STEP.total_seconds()
    count = few.span.length // _SPREAD_STEP
    one, other = (f.curve().grid_m(few.span.start, step_s, count) for f in (few, more))
    spread_m = float(np.quantile(np.abs(one - other), _SPREAD_SHARE))
    return replace(few if spread_m <= _WIDE_SPREAD_M else more, spread_m=spread_m)


def _fit_turns(turns: Sequence[Turn], sums: HarmonicSum) -> Fit:
    instants = np.array([to_instant(turn.instant) for turn in turns])
    heights = np.array([turn.height_m for turn in turns])
    values, slopes = sums.unit_motion(milliseconds(instants))
    level, still = np.ones((len(turns), 1)), np.zeros((len(turns), 1))
    rows = np.vstack(
        [np.hstack([level, values]), np.hstack([still, _SLOPE_WEIGHT_H * slopes])]
    )
    wanted = np.concatenate([heights, np.zeros(len(turns))])
    span = Span(turns[0].instant, turns[-1].instant)
    return _solved(rows, wanted, sums, span, len(turns))


def fit_heights(
    instants: Instants,
    heights_m: Array,
    port: str,
    datum: str,
    nodes: Nodes = Nodes.DAILY,
) -> Fit:
    """Constants from at least 355 days of heights in order of time; nan is no height.

    Raises `UserError` for less, with the reason, and for a series with gaps.
    """
    is_known = np.isfinite(heights_m)
    at_ms = milliseconds(instants[is_known])
    if np.any(np.diff(at_ms) <= 0.0):
        raise UserError("The times of the heights do not follow one another.")
    gaps_ms = np.diff(at_ms)
    near_ms = gaps_ms[gaps_ms <= _LONGEST_GAP / timedelta(milliseconds=1)]
    _refuse_short(timedelta(milliseconds=float(near_ms.sum())))
    sums = _unit(port, datum, MORE_NAMES, nodes)
    values, _ = sums.unit_motion(at_ms)
    rows = np.hstack([np.ones((len(at_ms), 1)), values])
    known = instants[is_known]
    span = Span(from_instant(known[0]), from_instant(known[-1]))
    return _solved(rows, heights_m[is_known], sums, span, len(at_ms))


def covered(turns: Sequence[Turn]) -> timedelta:
    """How much time a table covers, without the gaps in which turns are missing."""
    gaps = (after.instant - before.instant for before, after in pairwise(turns))
    return sum((gap for gap in gaps if gap <= _LONGEST_GAP), timedelta())


def _refuse_short(length: timedelta) -> None:
    if length < SHORTEST:
        raise UserError(
            f"These tides cover {length // _DAY} days; a curve for other dates needs "
            f"at least {SHORTEST.days}, because fewer do not tell apart tides that are "
            "nearly of one length."
        )


def _unit(port: str, datum: str, names: Sequence[str], nodes: Nodes) -> HarmonicSum:
    constants = tuple(Constant(name, 1.0, 0.0) for name in names)
    unit = HarmonicConstants(port=port, datum=datum, z0_m=0.0, constants=constants)
    return HarmonicSum(unit, nodes)


def _solved(
    rows: Array, wanted: Array, sums: HarmonicSum, span: Span, count: int
) -> Fit:
    found, _, rank, _ = np.linalg.lstsq(rows, wanted, rcond=None)
    if rank < rows.shape[1]:
        raise UserError(
            "These heights lie too far apart to find a curve from; give high and low "
            "waters, or a height every hour."
        )
    left = (wanted - rows @ found)[:count]
    names = [each.name for each in sums.constants.constants]
    cosines, sines = found[1:].reshape(2, -1)
    constants = tuple(
        Constant(name, float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a)) % 360))
        for name, a, b in zip(names, cosines, sines, strict=True)
    )
    return Fit(
        HarmonicConstants(
            port=sums.constants.port,
            datum=sums.constants.datum,
            z0_m=float(found[0]),
            constants=constants,
        ),
        span,
        count,
        float(np.sqrt(np.mean(left**2))),
        nodes=sums.nodes,
    )
