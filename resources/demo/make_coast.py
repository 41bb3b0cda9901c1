"""Draws the land outline of the demo: an invented island group, no real coast.

Run `python resources/demo/make_coast.py` to write `coast.geojson` anew; the same
seed gives the same file.
"""

from __future__ import annotations

import json
import math
import random
from pathlib import Path

CENTRE_LAT, CENTRE_LON = 49.6, -8.4
METRES_PER_DEGREE_LAT = 111_229.0  # at 49.6 N on WGS 84
METRES_PER_DEGREE_LON = 72_265.0
SEED = 3


def ring(
    east: float, north: float, half_width: float, half_height: float, roughness: float
) -> list[list[float]]:
    """A closed wobbly outline round a point given in metres from the centre."""
    chance = random.Random(SEED + round(east) + 7 * round(north))
    waves = [
        (k, chance.uniform(0.4, 1.0) * roughness / k**0.75, chance.uniform(0, math.tau))
        for k in (2, 3, 4, 5, 6, 8, 11, 15, 21, 29, 40, 55)
    ]
    count = 300
    points = []
    for i in range(count):
        angle = math.tau * i / count
        factor = 1.0 + sum(a * math.sin(k * angle + phase) for k, a, phase in waves)
        points.append(
            lon_lat(
                east + half_width * factor * math.cos(angle),
                north + half_height * factor * math.sin(angle),
            )
        )
    return [*points, points[0]]


def lon_lat(east: float, north: float) -> list[float]:
    """Metres from the centre as longitude and latitude, rounded to a decimetre."""
    return [
        round(CENTRE_LON + east / METRES_PER_DEGREE_LON, 6),
        round(CENTRE_LAT + north / METRES_PER_DEGREE_LAT, 6),
    ]


def bar() -> list[list[float]]:
    """The shingle bar between the island and its holm, wet at high water."""
    line = [(620.0, 330.0), (790.0, 440.0), (960.0, 500.0), (1140.0, 520.0)]
    side = 34.0
    north = [lon_lat(e - 8.0, n + side) for e, n in line]
    south = [lon_lat(e + 8.0, n - side) for e, n in reversed(line)]
    return [*north, *south, north[0]]


def coast() -> dict[str, object]:
    """The outline as a GeoJSON FeatureCollection (RFC 7946)."""
    parts = [
        ("land", "Keel", ring(-420.0, -150.0, 1250.0, 860.0, 0.24)),
        ("land", "the holm", ring(1480.0, 560.0, 400.0, 310.0, 0.2)),
        ("land", "", ring(-1950.0, -760.0, 110.0, 70.0, 0.2)),
        ("land", "", ring(2060.0, 980.0, 70.0, 52.0, 0.2)),
        ("land", "Anvil", ring(-1200.0, 2350.0, 520.0, 260.0, 0.22)),
        ("shingle", "", bar()),
        ("water", "lagoon", ring(60.0, -650.0, 230.0, 88.0, 0.12)),
    ]
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": {"kind": kind, "name": name},
                "geometry": {"type": "Polygon", "coordinates": [outline]},
            }
            for kind, name, outline in parts
        ],
    }


if __name__ == "__main__":
    target = Path(__file__).with_name("coast.geojson")
    target.write_text(json.dumps(coast(), separators=(",", ":")) + "\n", "utf-8")
