"""Drawings of the user's: read, thinned where they are big, refused with a sentence."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from fieldtrip.desktop import drawing_file
from fieldtrip.desktop.drawing_file import MOST_POINTS, read_drawing
from fieldtrip.errors import Cancelled, UserError


def circle(
    count: int, radius_deg: float = 1.0, lon_deg: float = 0.0
) -> list[list[float]]:
    turns = [2.0 * math.pi * k / count for k in range(count)]
    ring = [
        [lon_deg + radius_deg * math.cos(a), radius_deg * math.sin(a)] for a in turns
    ]
    return [*ring, ring[0]]


def written(path: Path, *geometries: dict[str, Any]) -> Path:
    features = [
        {"type": "Feature", "properties": {"name": "a"}, "geometry": geometry}
        for geometry in geometries
    ]
    value = {"type": "FeatureCollection", "features": features}
    path.write_text(json.dumps(value))
    return path


def test_a_drawing_comes_through_as_it_is(tmp_path: Path) -> None:
    line = [[-8.0, 50.0, 12.5], [-8.1, 50.1, 13.0]]
    path = written(
        tmp_path / "a.geojson",
        {"type": "LineString", "coordinates": line},
        {"type": "Polygon", "coordinates": [circle(8)]},
    )

    drawing = read_drawing(path)

    first, second = json.loads(drawing.text)["features"]
    assert drawing.note == ""
    assert first["geometry"]["coordinates"] == [[-8.0, 50.0], [-8.1, 50.1]]
    assert first["properties"] == {"kind": "contour", "name": "a"}
    assert second["geometry"]["coordinates"] == [circle(8)]


def test_a_height_that_is_no_number_does_not_reach_the_page(tmp_path: Path) -> None:
    line = [[-8.0, 50.0, math.nan], [-8.1, 50.1, math.inf]]
    path = written(tmp_path / "a.json", {"type": "LineString", "coordinates": line})

    drawing = read_drawing(path)

    assert "NaN" not in drawing.text
    assert "Infinity" not in drawing.text


def test_a_big_drawing_is_drawn_with_fewer_points_and_says_so(tmp_path: Path) -> None:
    path = written(
        tmp_path / "a.geojson",
        {"type": "Polygon", "coordinates": [circle(100_000)]},
        {"type": "LineString", "coordinates": circle(50_000, 0.5)},
    )

    drawing = read_drawing(path)

    area, line = (f["geometry"] for f in json.loads(drawing.text)["features"])
    ring = area["coordinates"][0]
    assert "of 150,002 points" in drawing.note
    assert 1_000 < len(ring) + len(line["coordinates"]) <= MOST_POINTS
    assert ring[0] == ring[-1]
    assert line["coordinates"][-1] == circle(50_000, 0.5)[-1]
    assert all(abs(math.hypot(x, y) - 1.0) < 1e-9 for x, y in ring)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no GeoJSON, or is damaged"),
        (b"{", "no GeoJSON, or is damaged"),
        (b"\xff\xfe{\0}\0", "no GeoJSON, or is damaged"),
        (b"[" * 200_000, "no GeoJSON, or is damaged"),
        (b'{"type": "Topology"}', "no GeoJSON"),
        (b'{"type": "Point", "coordinates": [0, 0]}', "neither lines nor areas"),
        (b'{"type": "LineString", "coordinates": [[0, 999], [1, 1]]}', "not on the"),
        (b'{"type": "LineString", "coordinates": [[NaN, 1], [1, 1]]}', "not on the"),
        (b'{"type": "LineString", "coordinates": 3}', "without positions"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_a_sentence(
    tmp_path: Path, data: bytes, words: str
) -> None:
    path = tmp_path / "a.geojson"
    path.write_bytes(data)

    with pytest.raises(UserError, match=words):
        read_drawing(path)


def test_a_file_that_is_too_large_is_not_even_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.geojson"
    with path.open("wb") as file:
        file.truncate(500_000_000)  # takes no room on the disk
    monkeypatch.setattr(Path, "read_bytes", lambda self: pytest.fail("read"))

    with pytest.raises(UserError, match="larger than 25 MB"):
        read_drawing(path)


def test_too_many_shapes_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drawing_file, "MOST_POINTS", 100)
    shapes = [
        {"type": "Polygon", "coordinates": [circle(8, 0.001, float(k))]}
        for k in range(60)
    ]

    with pytest.raises(UserError, match="too many shapes for the map: 60"):
        read_drawing(written(tmp_path / "a.geojson", *shapes))


def test_a_file_that_is_gone_or_no_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="no file “b"):
        read_drawing(tmp_path / "b.geojson")
    with pytest.raises(UserError, match="cannot be opened"):
        read_drawing(tmp_path)


def test_reading_can_be_ended(tmp_path: Path) -> None:
    def stop(_: float) -> None:
        raise Cancelled

    path = written(
        tmp_path / "a.json", {"type": "LineString", "coordinates": circle(9)}
    )

    with pytest.raises(Cancelled):
        read_drawing(path, stop)
