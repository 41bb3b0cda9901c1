"""How cold wind makes the air feel, and how hot moisture does.

Sources: US National Weather Service and Environment Canada, the wind chill index of
2001; US National Weather Service, heat index after Rothfusz (1990), SR 90-23.
"""

from __future__ import annotations

import math

CHILL_TO_C = 10.0  # the index is defined up to here
CHILL_FROM_M_S = 4.8 / 3.6  # and from this wind on
_KM_H = 3.6


def wind_chill_c(temperature_c: float, wind_m_s: float) -> float:
    """What still air would feel as cold, °C; the temperature itself outside the index.

    `wind_m_s` is the mean at 10 m.  Raises `ValueError` for what no weather has.
    """
    if not math.isfinite(temperature_c) or not 0.0 <= wind_m_s < math.inf:
        raise ValueError(f"no weather has {temperature_c} °C and {wind_m_s} m/s")
    if temperature_c > CHILL_TO_C or wind_m_s < CHILL_FROM_M_S:
        return temperature_c
    power = math.pow(wind_m_s * _KM_H, 0.16)
    return (
        13.12 + 0.6215 * temperature_c - 11.37 * power + 0.3965 * temperature_c * power
    )


def heat_index_c(temperature_c: float, humidity_percent: float) -> float:
    """What air in the shade feels as hot, °C, with the service's own adjustments.

    Raises `ValueError` for what no weather has.
    """
    if not math.isfinite(temperature_c) or not 0.0 <= humidity_percent <= 100.0:
        raise ValueError(f"no weather has {temperature_c} °C and {humidity_percent} %")
    t, r = temperature_c * 1.8 + 32.0, humidity_percent
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    if (simple + t) / 2.0 < 80.0:
        return ((simple + t) / 2.0 - 32.0) / 1.8
    index = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r
        - 6.83783e-3 * t * t - 5.481717e-2 * r * r + 1.22874e-3 * t * t * r
        + 8.5282e-4 * t * r * r - 1.99e-6 * t * t * r * r
    )  # fmt: skip
    if r < 13.0 and 80.0 <= t <= 112.0:
        index -= (13.0 - r) / 4.0 * math.sqrt((17.0 - abs(t - 95.0)) / 17.0)
    elif r > 85.0 and 80.0 <= t <= 87.0:
        index += (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return (index - 32.0) / 1.8
