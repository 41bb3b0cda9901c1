"""When a smooth function of time, sampled on an even grid, passes through zero.

Nothing here knows the sky: a function takes seconds, shape (n,), and gives
values of the same shape.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array

Function = Callable[[Array], Array]
Numbers = npt.NDArray[np.int64]
_ENOUGH_S = 1e-4
_MOST_ROUNDS = 60
_NEXT_TO_ZERO = 1e-300


def zero_crossings(
    function: Function, times_s: Array, values: Array
) -> tuple[Array, Array]:
    """Roots of a function and whether it rises there (+1) or falls (-1), by time.

    `values` are the function's on the even grid `times_s`.  A pair of roots
    between two samples is found too, where the curve grazes zero.
    """
    return level_crossings(function, times_s, values, (0.0,))[0]


def level_crossings(
    function: Function, times_s: Array, values: Array, levels: Sequence[float]
) -> list[tuple[Array, Array]]:
    """The same for each of several levels, refined all at once."""
    if not levels:
        return []
    brackets = [
        _brackets(_lowered(function, level), times_s, values - level)
        for level in levels
    ]
    left, right, at_left, at_right = (
        np.concatenate(ends) for ends in zip(*brackets, strict=True)
    )
    counts = [len(ends[0]) for ends in brackets]
    level_of = np.repeat(np.asarray(levels, dtype=np.float64), counts)
    roots = roots_in_brackets(
        lambda t, which: function(t) - level_of[which], left, right, at_left, at_right
    )
    direction = np.where(at_left < 0.0, 1, -1)

    found = []
    for stop, count in zip(np.cumsum(counts), counts, strict=True):
        mine = slice(stop - count, stop)
        order = np.argsort(roots[mine], kind="stable")
        found.append((roots[mine][order], direction[mine][order]))
    return found


def _lowered(function: Function, level: float) -> Function:
    return lambda times_s: function(times_s) - level


def _brackets(
    function: Function, times_s: Array, values: Array
) -> tuple[Array, Array, Array, Array]:
    """Ends of spans that hold one root each, and the function's values there."""
    # A sample at zero itself counts with the one before it, lest a bracket holds the
    # two roots of a hump and the nearer one hides the other.
    is_zero = values[1:] == 0.0
    if is_zero.any():
        values = values.copy()
        values[1:][is_zero] = np.copysign(_NEXT_TO_ZERO, values[:-1][is_zero])
    is_negative = values < 0.0
    i = np.nonzero(is_negative[:-1] != is_negative[1:])[0]
    middle, extreme_s, extreme = _grazing(function, times_s, values)
    return (
        np.concatenate([times_s[i], times_s[middle - 1], extreme_s]),
        np.concatenate([times_s[i + 1], extreme_s, times_s[middle + 1]]),
        np.concatenate([values[i], values[middle - 1], extreme]),
        np.concatenate([values[i + 1], extreme, values[middle + 1]]),
    )


def _grazing(
    function: Function, times_s: Array, values: Array
) -> tuple[Numbers, Array, Array]:
    """Samples next to which an extreme lies beyond zero though the samples do not.

    Gives the samples' numbers, and the extremes' times and values.
    """
    before, here, after = values[:-2], values[1:-1], values[2:]
    # Comparisons first: they are cheap, and leave a few samples only.
    is_top = (here >= before) & (here > after) & (here < 0.0)
    is_bottom = (here <= before) & (here < after) & (here >= 0.0)
    i = np.nonzero(is_top | is_bottom)[0]
    before, here, after = before[i], here[i], after[i]
    bend = before - 2.0 * here + after
    offset = 0.5 * (before - after) / bend
    vertex = here - 0.25 * (before - after) * offset
    # A twentieth of the bend: more than the parabola can be wrong by.
    slack = 0.05 * np.abs(bend)
    reaches = np.where(here < 0.0, vertex > -slack, vertex < slack)
    is_near = reaches & (np.abs(offset) <= 1.0)
    i, offset, here = i[is_near], offset[is_near], here[is_near]
    if not len(i):
        return i, np.empty(0), np.empty(0)

    # Polished by parabolas through ever closer points.
    step = times_s[1] - times_s[0]
    extreme_s = times_s[i + 1] + offset * step
    for half in (step / 8.0, step / 64.0):
        low, mid, high = (function(extreme_s + k * half) for k in (-1, 0, 1))
        shift = 0.5 * (low - high) / (low - 2.0 * mid + high)
        extreme_s = extreme_s + np.clip(shift, -1.0, 1.0) * half
    extreme = function(extreme_s)
    is_beyond = (extreme < 0.0) != (here < 0.0)
    return i[is_beyond] + 1, extreme_s[is_beyond], extreme[is_beyond]


def roots_in_brackets(
    function: Callable[[Array, Numbers], Array],
    left: Array,
    right: Array,
    at_left: Array,
    at_right: Array,
) -> Array:
    """Roots in brackets, all at once: regula falsi with the Illinois correction.

    The function is told the numbers of the brackets that it is asked for.
    """
    left, right = left.copy(), right.copy()
    at_left, at_right = at_left.copy(), at_right.copy()
    roots = right.copy()
    active = np.arange(len(left))
    for _ in range(_MOST_ROUNDS):
        if not len(active):
            break
        a, b, f_a, f_b = (x[active] for x in (left, right, at_left, at_right))
        c = (a * f_b - b * f_a) / (f_b - f_a)
        f_c = function(c, active)
        # On b's side of zero the far end stays and counts half, else b becomes it.
        is_same = (f_c < 0.0) == (f_b < 0.0)
        left[active] = np.where(is_same, a, b)
        at_left[active] = np.where(is_same, 0.5 * f_a, f_b)
        right[active], at_right[active] = c, f_c
        is_done = (np.abs(c - roots[active]) < _ENOUGH_S) | (f_c == 0.0)
        roots[active] = c
        active = active[~is_done]
    return roots
