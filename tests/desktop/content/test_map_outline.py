"""What is taken from a file that draws the land."""

from __future__ import annotations

import json
from math import nan

import pytest

from fieldtrip.desktop.content.map_outline import outline_features
from fieldtrip.errors import UserError
from fieldtrip.files import own_folder

RING = [[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 0.0]]]
AREA = {"type": "Polygon", "coordinates": RING}
LINE = {"type": "LineString", "coordinates": [[0.0, 0.0], [1.0, 1.0]]}


def feature(geometry: object, properties: object) -> dict[str, object]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def kinds(value: object) -> list[tuple[str, str]]:
    found = [f["properties"] for f in outline_features(value)["features"]]
    return [(p["kind"], p["name"]) for p in found]


def test_the_example_of_the_specification_keeps_its_line_and_its_area() -> None:
    # Source: RFC 7946, section 1.5.
    example = {
        "type": "FeatureCollection",
        "features": [
            feature(
                {"type": "Point", "coordinates": [102.0, 0.5]}, {"prop0": "value0"}
            ),
            feature(
                {
                    "type": "LineString",
                    "coordinates": [
                        [102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]
                    ],
                },
                {"prop0": "value0", "prop1": 0.0},
            ),
            feature(
                {
                    "type": "Polygon",
                    "coordinates": [
                        [
                            [100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0],
                            [100.0, 0.0],
                        ]
                    ],
                },
                {"prop0": "value0", "prop1": {"this": "that"}},
            ),
        ],
    }  # fmt: skip

    assert kinds(example) == [("contour", ""), ("land", "")]


def test_the_demos_outline_is_taken_whole() -> None:
    path = own_folder("resources") / "demo" / "coast.geojson"
    demo = json.loads(path.read_text("utf-8"))

    assert len(outline_features(demo)["features"]) == len(demo["features"])


@pytest.mark.parametrize(
    ("properties", "expected"),
    [
        ({"kind": "water", "name": "lagoon"}, ("water", "lagoon")),
        ({"kind": "contour"}, ("land", "")),
        ({"kind": "<script>", "name": 7}, ("land", "")),
        (None, ("land", "")),
    ],
)
def test_an_area_is_land_unless_it_says_what_it_is(
    properties: object, expected: tuple[str, str]
) -> None:
    assert kinds(feature(AREA, properties)) == [expected]


@pytest.mark.parametrize("geometry", [AREA, LINE])
def test_a_bare_geometry_is_a_drawing_too(geometry: object) -> None:
    collection = {"type": "GeometryCollection", "geometries": [geometry, geometry]}

    assert len(kinds(geometry)) == 1
    assert len(kinds(collection)) == 2


def test_what_has_no_geometry_is_left_out() -> None:
    assert kinds(feature(None, {"kind": "land"})) == []


@pytest.mark.parametrize(
    "value",
    [
        None, 7, "land", [], {}, {"type": "FeatureCollection"},
        {"type": "FeatureCollection", "features": [1]},
        {"type": "Polygon", "coordinates": None},
        {"type": "Polygon", "coordinates": [1, 2]},
        {"type": "LineString", "coordinates": [["a", "b"]]},
        {"type": "LineString", "coordinates": [[1.0]]},
        {"type": "LineString", "coordinates": [[nan, 1.0], [0.0, 0.0]]},
        {"type": "LineString", "coordinates": [[0.0, nan], [0.0, 0.0]]},
        {"type": "LineString", "coordinates": [[4000.0, 5.0], [0.0, 0.0]]},
        {"type": "LineString", "coordinates": [[5.0, 91.0], [0.0, 0.0]]},
    ],
)  # fmt: skip
def test_what_is_no_drawing_is_refused_in_a_sentence(value: object) -> None:
    with pytest.raises(UserError, match=r"^That .*\.$"):
        outline_features(value)
