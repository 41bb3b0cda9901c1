"""Small GeoJSON for the tests of the map, and the types of its fixtures."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QPoint

from fieldtrip.geo import Position

Ask = Callable[[str], Any]
Pixel = Callable[[Position], QPoint]
Words = Callable[[], list[str]]
HOME = Position(49.6, -8.4)


def point(position: Position, record_id: str = "", **properties: Any) -> dict[str, Any]:
    """A feature at a position."""
    coordinates: list[Any] = [position.lon_deg, position.lat_deg]
    return _feature(
        {"type": "Point", "coordinates": coordinates}, record_id, properties
    )


def line(
    *positions: Position, record_id: str = "", **properties: Any
) -> dict[str, Any]:
    """A feature along positions."""
    coordinates = [[p.lon_deg, p.lat_deg] for p in positions]
    geometry = {"type": "LineString", "coordinates": coordinates}
    return _feature(geometry, record_id, properties)


def area(
    *positions: Position, record_id: str = "", **properties: Any
) -> dict[str, Any]:
    """A feature round positions."""
    ring = [[p.lon_deg, p.lat_deg] for p in (*positions, positions[0])]
    return _feature({"type": "Polygon", "coordinates": [ring]}, record_id, properties)


def collection(*features: dict[str, Any]) -> dict[str, Any]:
    """Features together."""
    return {"type": "FeatureCollection", "features": list(features)}


def _feature(
    geometry: dict[str, Any], record_id: str, properties: dict[str, Any]
) -> dict[str, Any]:
    made = {"type": "Feature", "geometry": geometry, "properties": properties}
    return {**made, "id": record_id} if record_id else made
