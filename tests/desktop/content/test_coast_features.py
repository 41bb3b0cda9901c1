"""The coastline as GeoJSON: closed rings, lines by themselves, room to drag in."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from fieldtrip.arrays import Array
from fieldtrip.desktop.content.coast_features import (
    coast_box,
    coast_features,
    coast_text,
)
from fieldtrip.material.box import Box
from fieldtrip.material.coast import Coast, Level

SQUARE = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
POND = SQUARE / 4.0 + 0.25


class MadeCoast(Coast):
    """An island with a pond, whole or cut, wherever one looks."""

    def __init__(self, folder: Path, *, is_cut: bool) -> None:
        super().__init__(folder)
        self.is_cut = is_cut
        self.asked: list[tuple[Box, float]] = []

    def levels(
        self,
        box: Box,
        pixel_deg: float,
        progress: Callable[[float], None] = lambda _: None,
    ) -> tuple[Level, ...]:
        """Both rings."""
        progress(0.0)
        self.asked.append((box, pixel_deg))
        return tuple(
            Level(is_land, () if self.is_cut else (ring,), *self._cut(ring))
            for is_land, ring in ((True, SQUARE), (False, POND))
        )

    def _cut(self, ring: Array) -> tuple[tuple[Array, ...], tuple[Array, ...]]:
        return ((ring,), (ring[:3],)) if self.is_cut else ((), ())


BOX = Box(-1.0, -1.0, 2.0, 2.0)


@pytest.mark.parametrize("is_cut", [True, False])
def test_areas_are_closed_and_only_whole_ones_have_their_line(
    tmp_path: Path, is_cut: bool
) -> None:
    features = coast_features(MadeCoast(tmp_path, is_cut=is_cut), BOX, 8.0)["features"]

    found: dict[str, list[object]] = {}
    for feature in features:
        found.setdefault(feature["properties"]["kind"], []).extend(
            feature["geometry"]["coordinates"]
        )
    ring = [[*SQUARE.tolist(), SQUARE[0].tolist()]]
    assert found["coast-land"] == ([ring] if is_cut else [])
    assert found["coast-land coast-shore"] == ([] if is_cut else [ring])
    assert len(found["coast-shore"]) == (2 if is_cut else 0)


def test_water_is_painted_over_the_land_it_lies_in(tmp_path: Path) -> None:
    features = coast_features(MadeCoast(tmp_path, is_cut=False), BOX, 8.0)["features"]

    kinds = [f["properties"]["kind"] for f in features if f["geometry"]["coordinates"]]
    assert kinds == ["coast-land coast-shore", "coast-water coast-shore"]


def test_a_pixel_is_as_high_as_the_projection_makes_it(tmp_path: Path) -> None:
    coast = MadeCoast(tmp_path, is_cut=False)

    for south in (-0.5, 59.5):
        coast_features(coast, Box(south, 0.0, south + 1.0, 1.0), 8.0)

    # Source: OGC 17-083r2, annex D: 360 degrees are 256 * 2^zoom pixels; the scale in
    # latitude is that in longitude by the cosine of the latitude.
    pixels_deg = [pixel_deg for _, pixel_deg in coast.asked]
    assert pixels_deg == pytest.approx([360.0 / 65536, 180.0 / 65536], rel=1e-4)


def test_there_is_room_to_drag_in_but_not_beyond_the_map() -> None:
    near = coast_box(Box(10.0, 0.0, 20.0, 10.0), 9.0)

    assert near.holds(Box(8.0, -2.0, 22.0, 12.0))
    assert coast_box(Box(-85.0, -200.0, 85.0, 200.0), 2.0).north_deg < 85.1


def test_the_text_is_plain_json(tmp_path: Path) -> None:
    text = coast_text(MadeCoast(tmp_path, is_cut=True), BOX, 8.0, lambda _: None)

    assert json.loads(text)["type"] == "FeatureCollection"
