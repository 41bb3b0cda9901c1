"""Raises the ground of the demo: heights for the invented coast of `make_coast.py`.

Run `python resources/demo/make_terrain.py` to write `terrain.tif` anew; the same seed
gives the same heights.  They agree with every height that the demo's records have.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import numpy.typing as npt
import rasterio
from rasterio.transform import Affine

sys.path.insert(0, str(Path(__file__).resolve().parent))
from make_coast import (
    CENTRE_LAT,
    CENTRE_LON,
    METRES_PER_DEGREE_LAT,
    METRES_PER_DEGREE_LON,
    bar,
    ring,
)

Field = npt.NDArray[np.float64]
Points = Sequence[tuple[float, float]]
Heights = Sequence[tuple[float, float, float]]  # east, north, height, in metres

CELL_M = 10.0
WEST_M, NORTH_M = -3000.0, 3500.0  # of the outer corner
COUNT = 600  # rows, and columns
SEED = 11
BAR_M = -0.4  # bare while the tide stands below 2.0 m; mean sea level is at 2.4 m
LAGOON_M = 0.9

KEEL: Heights = (
    # Slip, moor path, gully path.
    (660, -420, 9), (700, -430, 4), (640, -470, 7), (430, -300, 20),
    (120, -160, 31), (-180, 60, 42), (-300, 240, 54), (-430, 420, 68),
    (-520, 560, 79), (-560, 664, 85),
    # The wall path, and the east.
    (560, -220, 18), (500, 60, 29), (520, 220, 19), (615, 325, 2),
    (300, 100, 37), (700, 50, 19), (760, -150, 14), (350, 250, 24),
    (130, 320, 33), (640, 200, 12),
    # The north edge, and the top in the north-west.
    (-40, 360, 44), (-255, 400, 58), (-350, 530, 66), (-440, 600, 76),
    (-640, 645, 86), (-800, 640, 93), (-1020, 600, 106),
    (-1160, 440, 124), (-1020, 400, 108), (-1260, 330, 104), (-980, 240, 84),
    # The long slope from the north edge down to the arch, over which it is seen.
    (-625, 520, 71), (-680, 385, 60), (-740, 250, 51), (-797, 115, 42),
    (-856, -23, 34), (-915, -160, 26), (-974, -299, 18), (-1040, -440, 10),
    # The west, and the south-west with the arch.
    (-1400, 150, 70), (-1540, -60, 44), (-1150, 60, 72), (-1300, -250, 46),
    (-1180, -420, 24), (-900, -560, 20), (-760, -700, 17),
    # Moor and lagoon.
    (-660, -20, 36), (-480, -60, 40), (-350, -260, 31), (-640, -380, 26),
    (-520, 200, 52),
    (-150, -420, 17), (-380, -620, 11), (140, -548, 2), (60, -560, 3),
    (250, -560, 5), (-190, -600, 4), (95, -765, 2), (330, -640, 4),
    (480, -560, 8), (-520, -820, 9), (420, -760, 5), (0, -330, 23),
)  # fmt: skip
HOLM: Heights = (
    (1140, 520, 1.5), (1180, 545, 4), (1215, 556, 5), (1270, 575, 7),
    (1360, 600, 12), (1440, 650, 22),
    (1500, 610, 20), (1600, 520, 14), (1720, 600, 9), (1500, 400, 8),
    (1290, 470, 5), (1560, 760, 13), (1330, 730, 9), (1800, 500, 6),
)  # fmt: skip
ANVIL: Heights = (
    (-1200, 2480, 47), (-1050, 2460, 45), (-1380, 2470, 41), (-1200, 2380, 31),
    (-1500, 2380, 17), (-1200, 2250, 6), (-1600, 2250, 3), (-900, 2350, 26),
    (-1350, 2190, 3), (-1050, 2190, 4), (-800, 2300, 10), (-1640, 2330, 8),
)  # fmt: skip
STACK: Heights = (
    (-1950, -755, 26),
    (-1990, -760, 22),
    (-1910, -770, 24),
    (-1950, -790, 20),
)
SKERRY: Heights = ((2060, 980, 7), (2030, 985, 4), (2090, 975, 5), (2062, 1005, 4))

# Where water has cut into the ground: a line downhill, its depth and its half width.
VALLEYS: tuple[tuple[Points, float, float], ...] = (
    (
        (
            (-640, 80),
            (-520, -10),
            (-420, -120),
            (-330, -210),
            (-280, -330),
            (-190, -420),
            (-120, -490),
            (-40, -590),
        ),
        17,
        42,
    ),
    (((-330, -80), (-300, -180), (-280, -330)), 9, 34),
    (
        (
            (60, 60),
            (120, 0),
            (180, -60),
            (210, -160),
            (250, -260),
            (330, -420),
            (430, -600),
        ),
        12,
        40,
    ),
    (
        (
            (-200, 330),
            (-130, 290),
            (-60, 300),
            (20, 260),
            (90, 250),
            (190, 310),
            (280, 330),
            (330, 420),
        ),
        15,
        38,
    ),
    (
        (
            (-960, 150),
            (-1070, 90),
            (-1180, -60),
            (-1260, -90),
            (-1330, -150),
            (-1560, -260),
        ),
        22,
        40,
    ),
    (((-1130, 210), (-1260, 120), (-1330, 20), (-1420, -60), (-1500, -220)), 12, 36),
    (
        (
            (-760, -140),
            (-810, -240),
            (-800, -340),
            (-860, -430),
            (-840, -520),
            (-860, -760),
        ),
        17,
        40,
    ),
    (((-560, -230), (-540, -360), (-590, -500), (-560, -640), (-600, -880)), 12, 42),
    (((-960, 440), (-1050, 500), (-1100, 560), (-1160, 700)), 22, 30),
)
GULLY: Points = (
    (-180, 60), (-300, 240), (-430, 420), (-520, 560), (-556, 640),
)  # fmt: skip
# How far inland the ground reaches its height: east, north, metres.
SHORES: Heights = (
    (-560, 700, 13), (-900, 720, 13), (-250, 480, 14), (-1150, 600, 15),
    (-1500, 300, 18), (-1620, -50, 22), (-1350, -450, 24), (-1120, -640, 16),
    (-800, -800, 34), (-450, -900, 70), (0, -900, 130), (350, -800, 130),
    (600, -550, 60), (780, -350, 45), (900, 0, 40), (750, 200, 50),
    (600, 350, 70), (300, 430, 40), (0, 430, 26), (1080, 520, 90), (1130, 560, 110),
    (1250, 800, 26), (1500, 880, 16), (1880, 560, 18), (1600, 270, 22),
    (1250, 330, 40), (-1200, 2640, 14), (-700, 2400, 24), (-1720, 2350, 45),
    (-1200, 2090, 120), (-1600, 2170, 100), (-1950, -760, 14), (2060, 980, 22),
)  # fmt: skip


def metres(outline: list[list[float]]) -> Field:
    """An outline in longitude and latitude as metres from the centre."""
    points = np.array(outline)
    return np.column_stack(
        (
            (points[:, 0] - CENTRE_LON) * METRES_PER_DEGREE_LON,
            (points[:, 1] - CENTRE_LAT) * METRES_PER_DEGREE_LAT,
        )
    )


def is_inside(outline: Field, east: Field, north: Field) -> npt.NDArray[np.bool_]:
    """Which places lie in a closed outline, by the even-odd rule."""
    found = np.zeros(east.shape, dtype=np.bool_)
    for (x1, y1), (x2, y2) in pairwise(outline):
        if y1 == y2:
            continue
        met = (y1 > north) != (y2 > north)
        found ^= met & (east < x1 + (north - y1) * (x2 - x1) / (y2 - y1))
    return found


def distance(line: Field, east: Field, north: Field) -> Field:
    """Metres from each place to a line."""
    found = np.full(east.shape, np.inf)
    for (x1, y1), (x2, y2) in pairwise(line):
        dx, dy = x2 - x1, y2 - y1
        t = ((east - x1) * dx + (north - y1) * dy) / max(dx * dx + dy * dy, 1e-9)
        t = np.clip(t, 0.0, 1.0)
        np.minimum(found, np.hypot(east - x1 - t * dx, north - y1 - t * dy), out=found)
    return found


def smooth(value: Field) -> Field:
    """From 0 to 1 without a kink, as the value does."""
    t = np.clip(value, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


def through(points: Heights, east: Field, north: Field, stiffness: float) -> Field:
    """The smoothest surface through some heights.

    Source: J. Duchon's thin plate spline; `stiffness` in metres rounds its tips off.
    """
    known = np.array(points, dtype=float)
    x, y = known[:, 0], known[:, 1]

    def kernel(r2: Field) -> Field:
        r2 = r2 + stiffness**2
        return np.asarray(r2 * np.log(r2) / 2e6)

    count = len(known)
    system = np.zeros((count + 3, count + 3))
    system[:count, :count] = kernel(
        (x[:, None] - x) ** 2 + (y[:, None] - y) ** 2
    ) + 0.02 * np.eye(count)
    system[:count, count:] = np.column_stack((np.ones(count), x / 1e3, y / 1e3))
    system[count:, :count] = system[:count, count:].T
    weights = np.linalg.solve(system, np.append(known[:, 2], np.zeros(3)))
    found = weights[count] + (weights[-2] * east + weights[-1] * north) / 1e3
    for k in range(count):
        found += weights[k] * kernel((east - x[k]) ** 2 + (north - y[k]) ** 2)
    return np.asarray(found)


def rough(
    chance: np.random.Generator, east: Field, north: Field, size_m: float
) -> Field:
    """Lumps of about a size, from -1 to 1."""
    span = int(16000.0 / size_m) + 3
    values = chance.uniform(-1.0, 1.0, (span, span))
    u, v = (east + 8000.0) / size_m, (north + 8000.0) / size_m
    i, j = np.floor(u).astype(int), np.floor(v).astype(int)
    s, t = smooth(u - i), smooth(v - j)
    low = values[j, i] + (values[j, i + 1] - values[j, i]) * s
    high = values[j + 1, i] + (values[j + 1, i + 1] - values[j + 1, i]) * s
    return np.asarray(low + (high - low) * t)


def relief(chance: np.random.Generator, east: Field, north: Field) -> Field:
    """Ribs of rock, hummocks and stones: about -1 to 1."""
    # Beds that run west-north-west and dip to the south: their edges face north.
    along = 0.94 * east - 0.34 * north
    across = 0.34 * east + 0.94 * north
    ribs = np.zeros(east.shape)
    for period_m, weight, bend_m in ((190.0, 1.0, 70.0), (74.0, 0.4, 30.0)):
        bent = across + bend_m * rough(chance, east, north, 380.0)
        beds = (bent / period_m) % 1.0
        scarp = np.where(beds < 0.86, beds / 0.86, (1.0 - beds) / 0.14) - 0.5
        shown = smooth(0.55 + 0.8 * rough(chance, along / 2.4, across, 210.0))
        ribs += weight * scarp * shown
    lumps = sum(
        weight * rough(chance, east, north, size_m)
        for size_m, weight in ((330.0, 0.7), (150.0, 0.5), (66.0, 0.3), (29.0, 0.17))
    )
    return np.asarray(1.1 * ribs + lumps)


def island(
    outline: Field,
    points: Heights,
    east: Field,
    north: Field,
    *,
    roughness_m: float,
) -> Field:
    """Heights of one island; 0 outside its outline."""
    (west_m, south_m), (east_m, north_m) = outline.min(axis=0), outline.max(axis=0)
    rows = np.flatnonzero((north[:, 0] > south_m - 20) & (north[:, 0] < north_m + 20))
    columns = np.flatnonzero((east[0] > west_m - 20) & (east[0] < east_m + 20))
    part = np.ix_(rows, columns)
    found = np.zeros(east.shape)
    found[part] = _raised(outline, points, east[part], north[part], roughness_m)
    return found


def _raised(
    outline: Field, points: Heights, east: Field, north: Field, roughness_m: float
) -> Field:
    chance = np.random.default_rng(SEED + len(points))
    inland_m = np.where(
        is_inside(outline, east, north), distance(outline, east, north), 0.0
    )
    reach_m = np.exp(
        through([(e, n, np.log(r)) for e, n, r in SHORES], east, north, 150.0)
    )
    reach_m = np.clip(reach_m, 12.0, 150.0)
    rise = smooth(0.12 + 0.88 * inland_m / reach_m)
    carved = np.zeros(east.shape)
    for line, depth_m, half_width_m in VALLEYS:
        way = np.array(line, dtype=float)
        far = distance(way, east, north) / half_width_m
        start = np.hypot(east - way[0, 0], north - way[0, 1])
        carved += depth_m * smooth(start / 350.0) * np.exp(-(far**1.25))
    walls = distance(np.array(GULLY, dtype=float), east, north)
    head = smooth((700.0 - north) / 130.0) * smooth((north - 90.0) / 160.0)
    gully = 13.0 * head * np.exp(-((walls / 24.0) ** 2))
    known = np.array(points, dtype=float)
    near = np.min([np.hypot(east - e, north - n) for e, n in known[:, :2]], axis=0)
    ground = through(points, east, north, 25.0)
    strength = roughness_m * (0.3 + np.sqrt(np.clip(ground, 0.0, 120.0) / 60.0))
    free = smooth((near - 6.0) / 70.0)
    ground += (strength * relief(chance, east, north) - carved) * free - gully
    # Where a height is known, what was laid over it is taken off again, smoothly.
    for _ in range(5):
        found = np.maximum(ground, 0.35) * rise
        off = [
            (e, n, (h - there) / max(rise_there, 0.3))
            for (e, n, h), there, rise_there in zip(
                points,
                _at(found, points, east, north),
                _at(rise, points, east, north),
                strict=True,
            )
        ]
        ground += through(off, east, north, 25.0)
    found = np.maximum(ground, 0.35) * rise
    return np.where(inland_m > 0.0, np.maximum(found, 0.2), 0.0)


def _at(field: Field, points: Heights, east: Field, north: Field) -> list[float]:
    """A field's values at some places, bilinear."""
    found = []
    for east_m, north_m, _ in points:
        column, row = (east_m - east[0, 0]) / CELL_M, (north[0, 0] - north_m) / CELL_M
        j, i = int(column), int(row)
        s, t = column - j, row - i
        top = field[i, j] * (1.0 - s) + field[i, j + 1] * s
        low = field[i + 1, j] * (1.0 - s) + field[i + 1, j + 1] * s
        found.append(float(top * (1.0 - t) + low * t))
    return found


def lagoon_and_beach(heights: Field, keel: Field, east: Field, north: Field) -> Field:
    """The storm beach thrown up by the sea, and still water behind it."""
    seaward_m = np.where(is_inside(keel, east, north), distance(keel, east, north), 0.0)
    # Steep to the sea, with a crest, and a long back.
    profile = np.interp(
        seaward_m, (0.0, 14.0, 30.0, 46.0, 70.0, 110.0), (0.3, 2.2, 4.2, 4.8, 3.3, 1.8)
    )
    share = (
        smooth((east + 330.0) / 130.0)
        * smooth((460.0 - east) / 130.0)
        * smooth((-690.0 - north) / 50.0)
        * (seaward_m > 0.0)
    )
    share *= smooth(np.hypot(east - 95.0, north + 765.0) / 45.0)
    heights = heights + (profile - heights) * share
    lagoon = metres(ring(60.0, -650.0, 230.0, 88.0, 0.12))
    water = is_inside(lagoon, east, north)
    rim = distance(lagoon, east, north)
    banks = (rim < 45.0) & ~water & (seaward_m > 0.0)
    heights[banks] = np.minimum(
        heights[banks], (LAGOON_M + 0.5 + 0.16 * rim + 0.0012 * rim**2)[banks]
    )
    heights[banks] = np.maximum(heights[banks], LAGOON_M + 0.3)
    heights[water] = LAGOON_M
    return heights


def slab(heights: Field, keel: Field, east: Field, north: Field) -> Field:
    """Flat rock for one tripod at the head of the gully, to the very edge."""
    near = np.hypot(east + 560.0, north - 666.0)
    flat = smooth((26.0 - near) / 12.0) * is_inside(keel, east, north)
    return np.asarray(heights + (84.0 - heights) * flat)


def opened(
    heights: Field,
    start: Sequence[float],
    end: Sequence[float],
    east: Field,
    north: Field,
) -> Field:
    """Ground that leaves the view free from one point (east, north, height) to another.

    What stands above the line of sight is taken off, less and less to the sides.
    """
    (x1, y1, z1), (x2, y2, z2) = start, end
    length_m = np.hypot(x2 - x1, y2 - y1)
    along = ((east - x1) * (x2 - x1) + (north - y1) * (y2 - y1)) / length_m
    aside = np.abs((east - x1) * (y2 - y1) - (north - y1) * (x2 - x1)) / length_m
    below_m = np.minimum(3.5, 0.06 * np.minimum(along, length_m - along))
    line = z1 + (z2 - z1) * along / length_m - below_m
    limit = line + 0.25 * np.maximum(aside - 12.0, 0.0)
    is_here = (along > 0.0) & (along < length_m - 12.0) & (heights > 0.0)
    return np.where(is_here, np.minimum(heights, np.maximum(limit, 0.4)), heights)


def arch(heights: Field, east: Field, north: Field) -> Field:
    """A fin of rock that runs out to the arch, bare rock below it, and its pillar."""
    fin = np.array([(-940.0, -550.0), (-1020.0, -592.0), (-1104.0, -634.0)])
    top = 13.5 + 0.02 * (east + 1100.0)
    far = distance(fin, east, north)
    # The sea has taken what lay beside the fin.
    share = smooth((-950.0 - east) / 90.0) * smooth((75.0 - far) / 35.0)
    beside = np.minimum(heights, 2.0 + 0.1 * far)
    heights = np.where(heights > 0.0, heights + (beside - heights) * share, 0.0)
    heights = np.where(far < 9.0, np.maximum(heights, top), heights)
    under = np.hypot(east + 1120.0, north + 640.0) < 15.0
    heights = np.where(under, 1.0, heights)
    pillar = np.hypot(east + 1142.0, north + 650.0) < 9.0
    return np.where(pillar, 12.0, heights)


def terrain() -> npt.NDArray[np.float32]:
    """Heights above mean sea level by rows from the north, in sixteenths of a metre."""
    centre = (np.arange(COUNT) + 0.5) * CELL_M
    east, north = np.meshgrid(WEST_M + centre, NORTH_M - centre)
    keel = metres(ring(-420.0, -150.0, 1250.0, 860.0, 0.24))
    heights = island(keel, KEEL, east, north, roughness_m=6.5)
    heights = lagoon_and_beach(heights, keel, east, north)
    heights = slab(heights, keel, east, north)
    for outline, points, roughness_m in (
        (ring(1480.0, 560.0, 400.0, 310.0, 0.2), HOLM, 3.2),
        (ring(-1950.0, -760.0, 110.0, 70.0, 0.2), STACK, 3.0),
        (ring(2060.0, 980.0, 70.0, 52.0, 0.2), SKERRY, 1.2),
        (ring(-1200.0, 2350.0, 520.0, 260.0, 0.22), ANVIL, 5.0),
    ):
        other = island(metres(outline), points, east, north, roughness_m=roughness_m)
        heights = np.maximum(heights, other)
    heights = arch(heights, east, north)
    # What the trip goes there for must be seen: the arch, and the tower's foot.
    heights = opened(heights, (-560, 666, 85.2), (-1120, -640, 10), east, north)
    heights = opened(heights, (1180, 545, 5.2), (1440, 650, 26), east, north)
    shingle = is_inside(metres(bar()), east, north) & (heights <= 0.0)
    heights[shingle] = BAR_M
    return np.asarray(np.round(heights * 16.0) / 16.0, dtype=np.float32)


def write(target: Path) -> None:
    """Write the heights as a GeoTIFF in latitude and longitude."""
    to_place = Affine(
        CELL_M / METRES_PER_DEGREE_LON, 0.0,
        CENTRE_LON + WEST_M / METRES_PER_DEGREE_LON,
        0.0, -CELL_M / METRES_PER_DEGREE_LAT,
        CENTRE_LAT + NORTH_M / METRES_PER_DEGREE_LAT,
    )  # fmt: skip
    with rasterio.open(
        target, "w", driver="GTiff", width=COUNT, height=COUNT, count=1,
        dtype="float32", crs="EPSG:4326", transform=to_place, tiled=True,
        blockxsize=256, blockysize=256, compress="deflate", predictor=3, zlevel=9,
    ) as file:  # fmt: skip
        file.write(terrain(), 1)
        file.update_tags(TIFFTAG_IMAGEDESCRIPTION="An invented coast; no real place")


if __name__ == "__main__":
    write(Path(__file__).with_name("terrain.tif"))
