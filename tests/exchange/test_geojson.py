"""GeoJSON in and out, held against the examples of RFC 7946."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.date_line import lines_apart, rings_apart
from fieldtrip.exchange.found import Found, FoundPlace, Part, PlaceKind
from fieldtrip.exchange.geojson import geojson_bytes, read_geojson
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Shape

# Source: RFC 7946, section 1.5; from memory, as are all its examples here.
COLLECTION: dict[str, Any] = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
            "properties": {"prop0": "value0"},
        },
        {
            "type": "Feature",
            "geometry": {
                "type": "LineString",
                "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]],
            },
            "properties": {"prop0": "value0", "prop1": 0.0},
        },
        {
            "type": "Feature",
            "geometry": {
                "type": "Polygon",
                "coordinates": [
                    [
                        [100.0, 0.0],
                        [101.0, 0.0],
                        [101.0, 1.0],
                        [100.0, 1.0],
                        [100.0, 0.0],
                    ]
                ],
            },
            "properties": {"prop0": "value0", "prop1": {"this": "that"}},
        },
    ],
}
# Source: RFC 7946, appendix A; from memory.
GEOMETRIES: list[tuple[Any, list[tuple[Shape, int]]]] = [
    ({"type": "Point", "coordinates": [100.0, 0.0]}, [(Shape.POINT, 1)]),
    (
        {"type": "LineString", "coordinates": [[100.0, 0.0], [101.0, 1.0]]},
        [(Shape.LINE, 2)],
    ),
    (
        {
            "type": "MultiPoint",
            "coordinates": [[100.0, 0.0], [101.0, 1.0]],
        },
        [(Shape.POINT, 1), (Shape.POINT, 1)],
    ),
    (
        {
            "type": "MultiLineString",
            "coordinates": [
                [[100.0, 0.0], [101.0, 1.0]],
                [[102.0, 2.0], [103.0, 3.0]],
            ],
        },
        [(Shape.LINE, 4)],
    ),
    (
        {
            "type": "GeometryCollection",
            "geometries": [
                {"type": "Point", "coordinates": [100.0, 0.0]},
                {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]},
            ],
        },
        [(Shape.POINT, 1), (Shape.LINE, 2)],
    ),
]
# Source: RFC 7946, appendix A: a square with a square hole; from memory.
HOLED = {
    "type": "Polygon",
    "coordinates": [
        [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
        [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]],
    ],
}


def read(root: Any) -> Found:
    return read_geojson(json.dumps(root).encode(), "map.geojson")


def refused(data: bytes) -> str:
    with pytest.raises(UserError) as caught:
        read_geojson(data, "map.geojson")
    return str(caught.value)


def line(*pairs: tuple[float, float]) -> Line:
    """Positions from longitude and latitude, as the RFC writes them."""
    return tuple(Position(lat, lon) for lon, lat in pairs)


def test_the_first_example_of_the_standard() -> None:
    point, way, area = read(COLLECTION).places

    assert (point.shape, point.positions) == (Shape.POINT, line((102.0, 0.5)))
    assert way.positions == line((102.0, 0.0), (103.0, 1.0), (104.0, 0.0), (105.0, 1.0))
    assert area.shape is Shape.AREA
    assert area.positions == line(
        (100.0, 0.0), (101.0, 0.0), (101.0, 1.0), (100.0, 1.0)
    )
    assert {place.kind for place in (point, way, area)} == {None}


@pytest.mark.parametrize(("geometry", "shapes"), GEOMETRIES)
def test_every_geometry_of_the_standard(
    geometry: Any, shapes: list[tuple[Shape, int]]
) -> None:
    alone = read(geometry).places
    feature = read({"type": "Feature", "geometry": geometry, "properties": {}}).places

    assert [(place.shape, len(place.positions)) for place in alone] == shapes
    assert alone == feature


def test_holes_are_filled_in_and_that_is_said() -> None:
    found = read(HOLED)

    assert len(found.places[0].positions) == 4
    assert found.remarks == ("Holes in areas were filled in.",)


def test_a_line_is_cut_at_the_date_line_as_the_standard_shows() -> None:
    # Source: RFC 7946, section 3.1.9: from 45 N 170 E across to 45 N 170 W;
    # from memory.
    pieces = lines_apart(line((170.0, 45.0), (-170.0, 45.0)))

    assert pieces == (
        line((170.0, 45.0), (180.0, 45.0)),
        line((-180.0, 45.0), (-170.0, 45.0)),
    )


def test_an_area_is_cut_at_the_date_line_as_the_standard_shows() -> None:
    # Source: RFC 7946, section 3.1.9: from 40 N 170 E across to 50 N 170 W;
    # from memory.
    whole = line((170.0, 40.0), (-170.0, 40.0), (-170.0, 50.0), (170.0, 50.0))

    pieces = rings_apart(whole)

    assert {frozenset(piece) for piece in pieces} == {
        frozenset(line((180.0, 40.0), (180.0, 50.0), (170.0, 50.0), (170.0, 40.0))),
        frozenset(line((-170.0, 40.0), (-170.0, 50.0), (-180.0, 50.0), (-180.0, 40.0))),
    }


def test_rings_are_written_closed_and_counterclockwise() -> None:
    # Source: RFC 7946, section 3.1.6; from memory.
    clockwise = line((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0))
    place = FoundPlace(
        shape=Shape.AREA, parts=(Part(clockwise),), kind=PlaceKind.HAZARD
    )

    root = json.loads(geojson_bytes([place], "x"))

    (ring,) = root["features"][0]["geometry"]["coordinates"]
    assert ring[0] == ring[-1]
    assert len(ring) == 5
    turns = [x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise(ring)]
    assert sum(turns) > 0.0


def test_names_notes_and_times_are_found_under_usual_properties() -> None:
    feature = COLLECTION["features"][0] | {
        "properties": {"title": "Arch", "description": "Wide.", "time": "2026-05-01"}
    }

    found = read(feature)

    assert (found.places[0].name, found.places[0].notes) == ("Arch", "Wide.")
    assert found.places[0].time is None
    assert len(found.remarks) == 1


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "damaged or is no GeoJSON"),
        ("{", "damaged or is no GeoJSON"),
        ("[1, 2]", "it has no “type”"),
        ("{}", "it has no “type”"),
        ('{"type": "Topology"}', "has no coordinates"),
        ('{"type": "FeatureCollection"}', "its “features” are no list"),
        ('{"type": "FeatureCollection", "features": []}', "no points, lines or areas"),
        ('{"type": "FeatureCollection", "features": [3]}', "feature 1 is none"),
        ('{"type": "Feature", "geometry": 7}', "a geometry has no coordinates"),
        ('{"type": "Point", "coordinates": [2, 999]}', "999 is no latitude"),
        ('{"type": "Point", "coordinates": [999, 2]}', "999 is no longitude"),
        ('{"type": "Point", "coordinates": [NaN, 2]}', "holds numbers"),
        ('{"type": "Point", "coordinates": [1e999, 2]}', "inf is no longitude"),
        ('{"type": "Point", "coordinates": ["1", "2"]}', "a longitude and a latitude"),
        ('{"type": "Point", "coordinates": [1]}', "a longitude and a latitude"),
        ('{"type": "Point", "coordinates": [true, 2]}', "a longitude and a latitude"),
        ('{"type": "LineString", "coordinates": [1, 2]}', "a longitude and a latitude"),
        ('{"type": "Polygon", "coordinates": []}', "an area has no ring"),
        ('{"type": "Blob", "coordinates": [[1, 2]]}', "“Blob” is no geometry"),
        ("[" * 100_000, "holds numbers or lists"),
        (f'{{"type": "Point", "coordinates": [{"9" * 5000}, 2]}}', "holds numbers"),
        (
            '{"type": "Point", "coordinates": [5e5, 6e6], '
            '"crs": {"properties": {"name": "EPSG:2157"}}}',
            "in a system of their own",
        ),
    ],
)
def test_what_is_no_geojson_is_refused_in_one_sentence(text: str, reason: str) -> None:
    said = refused(text.encode())

    assert reason in said
    assert "\n" not in said


def test_other_encodings_are_refused() -> None:
    assert "not written in UTF-8" in refused('{"type": "é"}'.encode("latin-1"))
    assert read_geojson(b"\xef\xbb\xbf" + json.dumps(COLLECTION).encode(), "x").places


def test_text_that_no_library_could_keep_is_made_keepable() -> None:
    feature = COLLECTION["features"][0] | {
        "properties": {"name": "a\0b", "description": "half \ud83d"}
    }

    (place,) = read(feature).places

    assert place.notes == "half ?"
    assert "\0" not in place.name
