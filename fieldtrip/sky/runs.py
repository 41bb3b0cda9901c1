"""While a function of time with kinks is above nought, where few cells need a look.

For limits of several sorts at once, whose least is no smooth curve: an even, coarse
grid says in which of its cells the sign may change, and only these are looked at
finely.  Nothing here knows the sky.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from fieldtrip.arrays import Array
from fieldtrip.sky.crossings import Function, roots_in_brackets

Cells = npt.NDArray[np.bool_]
_GOLDEN = (5.0**0.5 - 1.0) / 2.0
_ROUNDS = 16  # of the golden section: two minutes to 0.05 s


def rows_above_nought(
    function: Function,
    times_s: Array,
    starts_above: bool,
    is_open: Cells,
    parts: int,
    steepest: float,
) -> Array:
    """While a function is above nought: rows (start, stop), shape (n, 2), in order.

    `is_open`, shape (n - 1,), marks the cells of the even grid `times_s` in which the
    sign may change; in every other it stays.  Each is cut into `parts`.  A pair of
    roots between two samples is found too, as the function changes by `steepest` a
    second at most and bends one way only within two parts.
    """
    step_s = (times_s[1] - times_s[0]) / parts
    cells = np.nonzero(is_open)[0]
    if not len(cells):
        edges = [times_s[0], times_s[-1]] if starts_above else []
        return np.array(edges, dtype=np.float64).reshape(-1, 2)
    # One part beyond either end, for an extreme at a cell's very edge.
    is_looked_at = np.zeros((len(times_s) - 1) * parts + 1, dtype=np.bool_)
    looks = (cells * parts)[:, None] + np.arange(-1, parts + 2)
    is_looked_at[np.clip(looks, 0, len(is_looked_at) - 1)] = True
    numbers = np.nonzero(is_looked_at)[0]
    at_s = times_s[0] + numbers * step_s
    values = function(at_s)
    is_next = np.diff(numbers) == 1

    is_above = values > 0.0
    change = np.nonzero(is_next & (is_above[:-1] != is_above[1:]))[0]
    left, right = [at_s[change]], [at_s[change + 1]]
    at_left, at_right = [values[change]], [values[change + 1]]
    for sign in (1.0, -1.0):
        middle, top_s, top = _hidden_tops(
            function, sign, at_s, values, is_next, steepest * step_s
        )
        left += [at_s[middle - 1], top_s]
        right += [top_s, at_s[middle + 1]]
        at_left += [values[middle - 1], top]
        at_right += [top, values[middle + 1]]

    ends = tuple(np.concatenate(each) for each in (left, right, at_left, at_right))
    roots = roots_in_brackets(lambda t, _which: function(t), *ends)
    is_rise = ends[3] > 0.0
    order = np.argsort(roots, kind="stable")
    roots, is_rise = roots[order], is_rise[order]
    # Where a sample is a root itself it may be found from both sides.
    before = np.concatenate([[starts_above], is_rise])
    edges = roots[before[1:] != before[:-1]].tolist()
    if starts_above:
        edges.insert(0, times_s[0])
    if len(edges) % 2:
        edges.append(times_s[-1])
    return np.array(edges, dtype=np.float64).reshape(-1, 2)


def _hidden_tops(
    function: Function,
    sign: float,
    at_s: Array,
    values: Array,
    is_next: Cells,
    reach: float,
) -> tuple[npt.NDArray[np.int64], Array, Array]:
    """Samples next to which the function passes nought and comes back.

    With sign -1 the same upside down.  Gives the samples' numbers, and the extremes'
    times and values.
    """
    heights = sign * values
    here = heights[1:-1]
    is_top = (here <= 0.0) & (here > -reach)
    is_top &= (here >= heights[:-2]) & (here >= heights[2:])
    middle = np.nonzero(is_top & is_next[:-1] & is_next[1:])[0] + 1
    # On a level pair of samples the first speaks for both.
    middle = middle[heights[middle] > heights[middle - 1]]
    low, high = at_s[middle - 1].copy(), at_s[middle + 1].copy()
    one, two = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_one, at_two = sign * function(one), sign * function(two)
    for _ in range(_ROUNDS if len(middle) else 0):
        is_left = at_one > at_two
        low, high = np.where(is_left, low, one), np.where(is_left, two, high)
        new = np.where(
            is_left, high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        )
        at_new = sign * function(new)
        one, two, at_one, at_two = (
            np.where(is_left, new, two),
            np.where(is_left, one, new),
            np.where(is_left, at_new, at_two),
            np.where(is_left, at_one, at_new),
        )
    top_s = np.where(at_one > at_two, one, two)
    top = np.maximum(at_one, at_two)
    is_found = top > 0.0
    return middle[is_found], top_s[is_found], sign * top[is_found]
