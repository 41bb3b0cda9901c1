"""GPX in and out: as its schema has it, and as a second reader reads it.

Source: GPX 1.1 schema, www.topografix.com/GPX/1/1/gpx.xsd: latitudeType from -90 to
90, longitudeType from -180 up to but not including 180, time in UTC, extensions from
other name spaces only.  Written down from memory: to be held against the schema.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import gpxpy
import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import Found, FoundPlace, PlaceKind
from fieldtrip.exchange.gpx import gpx_bytes, read_gpx
from fieldtrip.exchange.outgoing import outgoing
from fieldtrip.geo import Position
from fieldtrip.places.records import Shape
from tests.exchange.story import ANVIL, whole_coast

HEAD = '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
ALL_THREE = f"""<?xml version="1.0" encoding="UTF-8"?>
{HEAD}
  <metadata><name>An outing</name><time>2026-05-01T08:00:00Z</time></metadata>
  <wpt lat="49.6034" lon="-8.4012">
    <ele>12.5</ele><time>2026-05-01T10:00:00+01:00</time>
    <name> Low
      ledge </name><cmt>slippery</cmt><desc>Good at low water.</desc><sym>Dot</sym>
  </wpt>
  <rte><name>Way in</name>
    <rtept lat="49.6" lon="-8.4"><name>gate</name></rtept>
    <rtept lat="49.61" lon="-8.41"/>
  </rte>
  <trk><name>As walked</name>
    <trkseg><trkpt lat="49.6" lon="-8.4"><ele>3</ele></trkpt>
      <trkpt lat="49.601" lon="-8.401"/></trkseg>
    <trkseg><trkpt lat="49.602" lon="-8.402"/>
      <trkpt lat="49.603" lon="-8.403"/></trkseg>
  </trk>
</gpx>"""


def read(text: str | bytes) -> Found:
    data = text.encode() if isinstance(text, str) else text
    return read_gpx(data, "outing.gpx")


def refused(text: str | bytes) -> str:
    with pytest.raises(UserError) as caught:
        read(text)
    return str(caught.value)


def waypoint(attributes: str, inside: str = "") -> str:
    return f"{HEAD}\n<wpt {attributes}>{inside}</wpt></gpx>"


def test_way_points_routes_and_tracks_are_read() -> None:
    found = read(ALL_THREE)

    ledge, way, walk = found.places
    assert ledge == FoundPlace(
        shape=Shape.POINT,
        parts=ledge.parts,
        name="Low ledge",
        notes="Good at low water.\n\nslippery",
        time=datetime(2026, 5, 1, 9, tzinfo=UTC),
        height_m=12.5,
    )
    assert ledge.positions == (Position(49.6034, -8.4012),)
    assert (way.shape, way.name, len(way.parts)) == (Shape.LINE, "Way in", 1)
    assert way.positions == (Position(49.6, -8.4), Position(49.61, -8.41))
    assert [len(part.line) for part in walk.parts] == [2, 2]
    assert found.remarks == ()


def test_it_agrees_with_a_second_reader() -> None:
    theirs = gpxpy.parse(ALL_THREE)

    found = read(ALL_THREE)

    point = theirs.waypoints[0]
    assert found.places[0].positions[0] == Position(point.latitude, point.longitude)
    assert found.places[0].time == point.time
    segments = [
        tuple(Position(p.latitude, p.longitude) for p in segment.points)
        for segment in theirs.tracks[0].segments
    ]
    assert [part.line for part in found.places[2].parts] == segments


def test_a_second_reader_reads_what_is_written() -> None:
    dossier = whole_coast()

    theirs = gpxpy.parse(gpx_bytes(outgoing(dossier), "Anvil", ANVIL.position).decode())

    assert theirs.name == "Anvil"
    named = {point.name: point for point in theirs.waypoints}
    kept: tuple[Any, ...] = (
        *dossier.vantage_points,
        *dossier.subjects,
        *dossier.refuges,
        *dossier.start_places,
    )
    for one in kept:
        point = named[one.name]
        assert Position(point.latitude, point.longitude) == one.position
        assert (point.description or "") == one.notes
    assert [track.name for track in theirs.tracks] == [r.name for r in dossier.routes]
    lines = [
        tuple(Position(p.latitude, p.longitude) for p in segment.points)
        for segment in theirs.tracks[0].segments
    ]
    assert lines == [leg.line for leg in dossier.legs]


def test_numbers_are_written_as_the_schema_wants_them() -> None:
    places = [FoundPlace(shape=Shape.POINT, parts=(), name="a", kind=PlaceKind.NOTE)]

    text = gpx_bytes(places, "", Position(1e-7, 180.0)).decode()

    assert 'lat="0.0000001" lon="-180.0"' in text


def test_an_instant_without_a_zone_is_left_out_and_said() -> None:
    time = "<time>2026-05-01T10:00:00</time>"

    found = read(waypoint('lat="1" lon="2"', time))

    assert found.places[0].time is None
    assert found.remarks == (
        "One time does not say in which zone, or cannot be read, so it was left out.",
    )


@pytest.mark.parametrize(
    ("attributes", "reason"),
    [
        ('lat="999" lon="2"', "999 is no latitude"),
        ('lat="90.0001" lon="2"', "90.0001 is no latitude"),
        ('lat="nan" lon="2"', "nan is no latitude"),
        ('lat="1" lon="inf"', "inf is no longitude"),
        ('lat="1" lon="180.5"', "180.5 is no longitude"),
        ('lat="one" lon="2"', "no latitude and longitude in numbers"),
        ('lat="1"', "no latitude and longitude in numbers"),
    ],
)
def test_one_wrong_position_refuses_the_file_by_its_line(
    attributes: str, reason: str
) -> None:
    said = refused(waypoint(attributes))

    assert reason in said
    assert said.startswith("“outing.gpx”, line 2: ")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (ALL_THREE[:300], "was cut off"),
        ("", "is empty"),
        ("<html><body/></html>", "is no GPX: it begins with “html”"),
        (f"{HEAD}</gpx>", "There are no points, lines or areas"),
        (f"{HEAD}{'<a>' * 500}", "elements within one another"),
        (ALL_THREE.encode("utf-16-le"), "is damaged or is no XML"),
        (b"\xff" + ALL_THREE.encode(), "is damaged or is no XML"),
        (ALL_THREE.replace("UTF-8", "x-unheard-of"), "encoding"),
        (ALL_THREE.replace("Way in", "Way\xe9").encode("latin-1"), "is damaged"),
    ],
)
def test_what_is_no_gpx_is_refused_in_one_sentence(
    text: str | bytes, reason: str
) -> None:
    said = refused(text)

    assert reason in said
    assert "\n" not in said


def test_other_encodings_are_read_where_they_are_named() -> None:
    latin = ALL_THREE.replace("UTF-8", "ISO-8859-1").replace("Way in", "Wäy")

    assert read(latin.encode("latin-1")).places[1].name == "Wäy"
    wide = ALL_THREE.replace("UTF-8", "UTF-16").replace("Way in", "Wäy")
    assert read(wide.encode("utf-16")).places[1].name == "Wäy"


@pytest.mark.parametrize(
    "doctype",
    [
        # The bomb that fills the memory, and the file that reads another.
        '<!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        '<!DOCTYPE gpx SYSTEM "http://localhost:1/gpx.dtd">',
        "<!DOCTYPE gpx>",
    ],
)
def test_a_doctype_is_refused(doctype: str) -> None:
    said = refused(doctype + waypoint('lat="1" lon="2"', "<name>&b;</name>"))

    assert "has a DOCTYPE" in said


def test_lines_of_one_point_do_not_come_in_and_that_is_said() -> None:
    stub = '<trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>'

    found = read(ALL_THREE.replace("</gpx>", stub))

    assert len(found.places) == 3
    assert found.remarks == (
        "One line or area has too few points to be one, and did not come in.",
    )


def test_names_inside_other_elements_are_not_taken() -> None:
    inside = (
        "<name>Mine</name><link href='x'><text>t</text></link>"
        "<extensions><o:thing xmlns:o='urn:o'><o:name>Theirs</o:name></o:thing>"
        "</extensions>"
    )

    (place,) = read(waypoint('lat="1" lon="2"', inside)).places

    assert place.name == "Mine"


def test_reading_tells_how_far_it_is_and_can_be_ended() -> None:
    points = '<trkpt lat="49.6" lon="-8.4"></trkpt>' * 60_000
    data = f"{HEAD}<trk><trkseg>{points}</trkseg></trk></gpx>".encode()
    told: list[float] = []

    found = read_gpx(data, "long.gpx", told.append)

    assert len(found.places[0].positions) == 60_000
    assert len(told) > 2
    assert told == sorted(told)
    assert 0.0 <= told[0] <= told[-1] <= 1.0
