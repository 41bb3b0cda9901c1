"""KML in: the shapes of its standard, hostile documents, and words in HTML.

Source of the area with a hole: OGC 07-147r2 (KML 2.2), the example of a Polygon; its
coordinates from memory and from public copies of it.
"""

from __future__ import annotations

import io
import zipfile

import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange import kml
from fieldtrip.exchange.found import Found
from fieldtrip.exchange.kml import plain_text, read_kml, read_kmz
from fieldtrip.geo import Position
from fieldtrip.places.records import Shape

HEAD = '<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2">'
HOLED = f"""{HEAD}<Placemark><name>Five sides</name><Polygon>
  <extrude>1</extrude><altitudeMode>relativeToGround</altitudeMode>
  <outerBoundaryIs><LinearRing><coordinates>
    -77.05788457660967,38.87253259892824,100
    -77.05465973756702,38.87291016281703,100
    -77.05315536854791,38.87053267794386,100
    -77.05552622493516,38.868757801256,100
    -77.05844056290393,38.86996206506943,100
    -77.05788457660967,38.87253259892824,100
  </coordinates></LinearRing></outerBoundaryIs>
  <innerBoundaryIs><LinearRing><coordinates>
    -77.05668055019126,38.87154239798456,100
    -77.05542625960818,38.87167890344077,100
    -77.05485125901024,38.87076535397792,100
    -77.05577677433152,38.87008686581446,100
    -77.05691162017543,38.87054446963351,100
    -77.05668055019126,38.87154239798456,100
  </coordinates></LinearRing></innerBoundaryIs>
</Polygon></Placemark></kml>"""


def read(inside: str) -> Found:
    return read_kml(f"{HEAD}<Document>{inside}</Document></kml>".encode(), "map.kml")


def refused(inside: str) -> str:
    with pytest.raises(UserError) as caught:
        read(inside)
    return str(caught.value)


def point(coordinates: str, more: str = "") -> str:
    return (
        f"<Placemark>{more}<Point><coordinates>{coordinates}</coordinates></Point>"
        "</Placemark>"
    )


def test_an_area_of_the_standard_is_read_longitude_first() -> None:
    found = read_kml(HOLED.encode(), "five.kml")

    (area,) = found.places
    assert (area.shape, area.name) == (Shape.AREA, "Five sides")
    assert len(area.positions) == 5
    assert area.positions[0] == Position(38.87253259892824, -77.05788457660967)
    assert found.remarks == ("Holes in areas were filled in.",)


def test_points_and_lines_in_folders_are_read() -> None:
    line = "<LineString><coordinates>-8.4,49.6 -8.5,49.7,3</coordinates></LineString>"
    several = (
        f"<MultiGeometry>{line}{line}<Point><coordinates>1,2</coordinates></Point>"
    )

    found = read(
        f"<Folder><name>Not this</name>{point('-8.4,49.6,12', '<name>Arch</name>')}"
        f"</Folder><Placemark>{several}</MultiGeometry></Placemark>"
    )

    arch, spot, way = found.places
    assert (arch.name, arch.positions) == ("Arch", (Position(49.6, -8.4),))
    assert (spot.shape, spot.positions) == (Shape.POINT, (Position(2.0, 1.0),))
    assert (way.shape, len(way.parts)) == (Shape.LINE, 2)


def test_an_instant_with_a_zone_is_kept_and_a_bare_date_left_out() -> None:
    stamp = "<TimeStamp><when>{}</when></TimeStamp>"

    kept = read(point("1,2", stamp.format("2007-01-14T21:05:02Z")))
    lost = read(point("1,2", stamp.format("2007-01-14")))

    assert kept.places[0].time is not None
    assert kept.places[0].time.isoformat() == "2007-01-14T21:05:02+00:00"
    assert lost.places[0].time is None
    assert len(lost.remarks) == 1


def test_links_are_not_followed_and_that_is_said() -> None:
    link = (
        "<NetworkLink><Link><href>http://localhost:1/x.kml</href></Link></NetworkLink>"
    )

    found = read(point("1,2") + link)

    assert found.remarks == ("What it links to elsewhere was not fetched.",)


@pytest.mark.parametrize(
    ("html", "words"),
    [
        ("Steep &amp; wet", "Steep & wet"),
        ("<p>One</p><p>Two<br>three</p>", "One\nTwo\nthree"),
        ("<script>steal()</script><b>Bold</b> words", "Bold words"),
        ("a < b and c > d", "a < b and c > d"),
        ("plain", "plain"),
    ],
)
def test_a_description_is_taken_as_words(html: str, words: str) -> None:
    assert plain_text(html) == words

    inside = point("1,2", f"<description><![CDATA[{html}]]></description>")
    assert read(inside).places[0].notes == words


@pytest.mark.parametrize(
    ("coordinates", "reason"),
    [
        ("-8.4,999", "999 is no latitude"),
        ("400,2", "400 is no longitude"),
        ("nan,2", "nan is no longitude"),
        ("-8.4", "“-8.4” is no longitude and latitude"),
        ("-8.4, 49.6", "“-8.4,” is no longitude and latitude"),
        ("west,north", "“west,north” is no longitude and latitude"),
    ],
)
def test_one_wrong_position_refuses_the_file(coordinates: str, reason: str) -> None:
    assert reason in refused(point(coordinates))


def test_what_is_no_kml_is_refused() -> None:
    for text, reason in (
        ("<html/>", "is no KML: it begins with “html”"),
        (HOLED[:300], "was cut off"),
        (f"{HEAD}</kml>", "no points, lines or areas"),
        ("<!DOCTYPE kml [<!ENTITY a 'b'>]>" + HOLED[21:], "has a DOCTYPE"),
    ):
        with pytest.raises(UserError, match=reason):
            read_kml(text.encode(), "map.kml")


def packed(**members: bytes) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name.replace("_", "."), data)
    return file.getvalue()


def test_a_packed_document_is_read_and_nothing_else_of_the_archive() -> None:
    data = packed(picture_png=b"no picture", doc_kml=HOLED.encode())

    assert read_kmz(data, "five.kmz").places == read_kml(HOLED.encode(), "x").places


def test_a_packed_bomb_is_refused_by_what_it_unpacks_to(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(kml, "LARGEST_TEXT_BYTES", 100_000)
    monkeypatch.setattr("fieldtrip.exchange.xml_reader.LARGEST_TEXT_BYTES", 100_000)
    bomb = packed(doc_kml=HEAD.encode() + b" " * 5_000_000)

    assert len(bomb) < 100_000
    with pytest.raises(UserError, match="files of up to"):
        read_kmz(bomb, "bomb.kmz")


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (packed(doc_kml=HOLED.encode())[:200], "damaged or locked"),
        (packed(other_txt=b""), "no KML document"),
        (b"PK\x03\x04", "damaged or locked"),
    ],
)
def test_a_broken_archive_is_refused(data: bytes, reason: str) -> None:
    with pytest.raises(UserError, match=reason):
        read_kmz(data, "x.kmz")
