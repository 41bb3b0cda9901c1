"""The Beaufort scale.

Source: World Meteorological Organization, Manual on Codes, code table 1100: bounds in
metres a second of the mean wind at 10 m.
"""

from __future__ import annotations

import math
from bisect import bisect_right

# The least wind of forces 1 to 12, to a tenth of a metre a second.
_LEAST_M_S = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)


def beaufort(wind_m_s: float) -> int:
    """The force of a mean wind, 0 to 12, by the table and not by the formula.

    Between two lines of the table, which are a tenth apart, the nearer counts.  Raises
    `ValueError` for what no wind has.
    """
    if not 0.0 <= wind_m_s < math.inf:
        raise ValueError(f"no wind has {wind_m_s} m/s")
    return bisect_right(_LEAST_M_S, round(wind_m_s, 1))
