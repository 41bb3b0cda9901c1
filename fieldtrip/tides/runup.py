"""How far waves run up a sandy beach beyond the level of the still water.

Source: Stockdon, Holman, Howd & Sallenger, Empirical parameterization of setup,
swash, and runup, Coastal Engineering 53 (2006), equations 10 to 12, 18 and 19.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

STANDARD_GRAVITY_M_S2 = 9.81
_DISSIPATIVE_BELOW = 0.3  # of the Iribarren number


@dataclass(frozen=True, slots=True)
class RunUp:
    """Heights above the still water, in metres."""

    two_percent_m: float  # passed by one wave in fifty
    setup_m: float  # of the mean level
    swash_m: float  # total, from the trough to the crest


def run_up(
    wave_height_m: float, peak_period_s: float, slope: float, *, is_sandy: bool | None
) -> RunUp | None:
    """Run-up on a beach face of a slope (rise over run), or None where not known.

    Wave height is the significant one in deep water.  The formula is for sandy
    beaches only: on rock, shingle, walls or where nobody said what the shore is
    made of, nothing is known.  Raises `ValueError` for what no sea or beach has.
    """
    if not 0.0 <= wave_height_m <= 30.0 or not 0.0 < peak_period_s <= 40.0:
        raise ValueError(f"no sea has {wave_height_m} m and {peak_period_s} s")
    if not 0.0 < slope <= 1.0:
        raise ValueError(f"no beach has a slope of {slope}")
    if is_sandy is not True:
        return None
    if wave_height_m == 0.0:
        return RunUp(0.0, 0.0, 0.0)
    length_m = STANDARD_GRAVITY_M_S2 * peak_period_s**2 / (2.0 * math.pi)
    scale_m = math.sqrt(wave_height_m * length_m)
    setup_m = 0.35 * slope * scale_m
    swash_m = math.hypot(0.75 * slope * scale_m, 0.06 * scale_m)
    if slope / math.sqrt(wave_height_m / length_m) < _DISSIPATIVE_BELOW:
        return RunUp(0.043 * scale_m, setup_m, swash_m)
    spread_m = scale_m * math.sqrt(0.563 * slope**2 + 0.004)
    return RunUp(1.1 * (setup_m + spread_m / 2.0), setup_m, swash_m)
