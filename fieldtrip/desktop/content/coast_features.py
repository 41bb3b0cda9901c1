"""The coastline of a view as shapes for the map."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.desktop.content.map_features import FeatureCollection
from fieldtrip.material.box import Box
from fieldtrip.material.coast import Coast

_PAD = 0.25  # of a view on each side, so that a short drag shows no bare edge
_PAD_FAR = 0.08  # of a country or more, where there is much to draw
_FAR_BELOW_ZOOM = 7.0
_DIGITS = 5  # a metre; far finer than the line is true


def coast_box(view: Box, zoom: float) -> Box:
    """The view with room to drag in, within what the map shows."""
    padded = view.padded(_PAD_FAR if zoom < _FAR_BELOW_ZOOM else _PAD)
    return Box(
        max(padded.south_deg, -85.06),
        padded.west_deg,
        min(padded.north_deg, 85.06),
        padded.east_deg,
    )


def coast_features(
    coast: Coast,
    box: Box,
    zoom: float,
    progress: Callable[[float], None] = lambda _: None,
) -> FeatureCollection:
    """The land and lakes in a box at a zoom of the map, the lower ones first.

    Areas are of kind ``coast-land`` or ``coast-water``, lines and areas with a line
    round them also ``coast-shore``.  Raises `UserError` as `Coast.levels` does.
    """
    middle = math.radians((box.south_deg + box.north_deg) / 2.0)
    pixel_deg = 360.0 / (256.0 * 2.0**zoom) * max(math.cos(middle), 0.1)
    features: list[dict[str, Any]] = []
    for level in coast.levels(box, pixel_deg, progress):
        kind = "coast-land" if level.is_land else "coast-water"
        for rings, look in ((level.whole, f"{kind} coast-shore"), (level.cut, kind)):
            areas = [[_closed(ring)] for ring in rings]
            features.append(_feature(look, "MultiPolygon", areas))
        lines = [_places(line) for line in level.shores]
        features.append(_feature("coast-shore", "MultiLineString", lines))
    return {"type": "FeatureCollection", "features": features}


def coast_text(
    coast: Coast, box: Box, zoom: float, progress: Callable[[float], None]
) -> str:
    """The same as text for the page."""
    return json.dumps(coast_features(coast, box, zoom, progress), allow_nan=False)


def _feature(kind: str, geometry: str, coordinates: Any) -> dict[str, Any]:
    return {
        "type": "Feature",
        "geometry": {"type": geometry, "coordinates": coordinates},
        "properties": {"kind": kind},
    }


def _closed(ring: Array) -> list[list[float]]:
    places = _places(ring)
    return [*places, places[0]]


def _places(points: Array) -> list[list[float]]:
    places: list[list[float]] = np.round(points, _DIGITS).tolist()
    return places
