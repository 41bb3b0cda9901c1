"""What goes out comes in as it was, in every format.

Source of what a format cannot hold: XML 1.0, production [2] Char (control
characters); GPX 1.1, longitudeType (no meridian of 180).
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.exchange.found import Found, PlaceKind
from fieldtrip.exchange.geojson import read_geojson
from fieldtrip.exchange.gpx import read_gpx
from fieldtrip.exchange.incoming import Choice, edits, new_location
from fieldtrip.exchange.kml import read_kml
from fieldtrip.exchange.outgoing import FORMATS, outgoing, place_bytes
from fieldtrip.exchange.proposals import proposals
from fieldtrip.exchange.record_facts import PERSONAL
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Closure, Hazard, Leg, Refuge, Shape, StartPlace
from fieldtrip.trips.dossier import Dossier
from tests.exchange.story import EDGE, QUAY, WEED, coasts, whole_coast

Read = Callable[[bytes, str], Found]
READERS: dict[str, Read] = {"gpx": read_gpx, "geojson": read_geojson, "kml": read_kml}
each_format = pytest.mark.parametrize("file_format", list(READERS))


def there_and_back(dossier: Dossier, file_format: str) -> Found:
    return READERS[file_format](place_bytes(dossier, file_format), "coast")


def taken_in(found: Found) -> Dossier:
    """Everything of a file in a location of its own, as a new library would have it."""
    name = next(p.name for p in found.places if p.kind is PlaceKind.LOCATION)
    empty = Dossier(location=new_location(name, found.places))
    choices = [
        Choice(
            place=one.place,
            kind=one.kind,
            name=one.name,
            twin_id=one.twin.record_id if one.twin else None,
        )
        for one in proposals(found, empty)
    ]
    records = [after for _, after in edits(choices, empty, date(2026, 1, 1))]
    return replace(
        empty,
        legs=tuple(r for r in records if isinstance(r, Leg)),
        refuges=tuple(r for r in records if isinstance(r, Refuge)),
        start_places=tuple(r for r in records if isinstance(r, StartPlace)),
        hazards=tuple(r for r in records if isinstance(r, Hazard)),
        closures=tuple(r for r in records if isinstance(r, Closure)),
    )


def canonical(shape: Shape, line: Line) -> Any:
    """A line as it is; an area's ring from any corner and in either direction."""
    if shape is not Shape.AREA or not line:
        return line
    ways = (line, line[::-1])
    return min(
        tuple((p.lat_deg, p.lon_deg) for p in (*way[k:], *way[:k]))
        for way in ways
        for k in range(len(line))
    )


def told(places: Any) -> Counter[Any]:
    """Kinds, names, notes, positions and facts, in any order."""
    return Counter(
        (
            place.kind,
            place.shape,
            place.name,
            place.notes,
            tuple((canonical(place.shape, p.line), p.facts) for p in place.parts),
            place.facts,
        )
        for place in places
    )


@each_format
def test_one_of_everything_comes_back(file_format: str) -> None:
    dossier = whole_coast()

    found = there_and_back(dossier, file_format)

    assert told(found.places) == told(outgoing(dossier))
    assert found.remarks == ()


@each_format
@settings(max_examples=30)
@given(dossier=coasts())
def test_any_coast_comes_back(file_format: str, dossier: Dossier) -> None:
    assert told(there_and_back(dossier, file_format).places) == told(outgoing(dossier))


@each_format
def test_the_records_come_back_but_for_what_somebody_must_have_seen(
    file_format: str,
) -> None:
    dossier = whole_coast()

    back = taken_in(there_and_back(dossier, file_format))

    legs = {leg.name: leg for leg in back.legs}
    assert back.location.zone == dossier.location.zone
    for leg in dossier.legs:
        expected = replace(
            leg,
            id=legs[leg.name].id,
            route_id=legs[leg.name].route_id,
            refuge_id=legs[leg.name].refuge_id,
            walked_in_daylight=None,
        )
        assert legs[leg.name] == expected
    (quay,) = back.start_places
    assert quay == replace(QUAY, id=quay.id, location_id=quay.location_id)
    (refuge,) = back.refuges
    assert legs["Bar"].refuge_id == refuge.id
    assert (refuge.stays_dry, refuge.confirmed) == (None, None)
    hazards = {hazard.name: hazard for hazard in back.hazards}
    edge = hazards["North edge"]
    assert (edge.kind, edge.shape, edge.line) == (EDGE.kind, EDGE.shape, EDGE.line)
    assert (edge.is_fenced, edge.height_m, edge.last_confirmed) == (False, 40.0, None)
    assert hazards["Weed"].applies == WEED.applies
    closures = {closure.name: closure for closure in back.closures}
    for closure in dossier.closures:
        again = closures[closure.name]
        assert canonical(again.shape, again.line) == canonical(
            closure.shape, closure.line
        )
        assert again == replace(
            closure,
            id=again.id,
            location_id=back.location.id,
            line=again.line,
            last_confirmed=None,
        )


@each_format
def test_no_file_carries_what_a_person_must_have_seen(file_format: str) -> None:
    text = place_bytes(whole_coast(), file_format).decode()

    assert [name for name in PERSONAL if name in text] == []


@given(letters=st.text(st.characters(categories=["Cc", "Cs"]), min_size=1, max_size=9))
def test_what_xml_cannot_hold_becomes_a_mark_and_the_rest_stays(letters: str) -> None:
    dossier = whole_coast()
    rock = replace(dossier.vantage_points[0], notes=f"before{letters}after")
    dossier = replace(dossier, vantage_points=(rock,))
    kept = "".join(c if c in "\t\n\r\x7f" or "\x80" <= c <= "\x9f" else "\ufffd"
                   for c in letters)  # fmt: skip

    for file_format in ("gpx", "kml"):
        places = there_and_back(dossier, file_format).places
        (back,) = (p for p in places if p.name == rock.name)
        assert back.notes == f"before{kept}after"


def test_a_line_across_the_date_line_comes_back_whole() -> None:
    line = (Position(-16.0, 179.9), Position(-16.1, 180.0), Position(-16.2, -179.9))
    area = (*line, Position(-17.0, 179.95))
    dossier = replace(
        whole_coast(),
        hazards=(
            replace(EDGE, line=line),
            replace(WEED, shape=Shape.AREA, line=area, name="Shoal"),
        ),
    )

    found = there_and_back(dossier, "geojson")

    back = {p.name: p.positions for p in found.places if p.kind is PlaceKind.HAZARD}
    assert back == {"North edge": line, "Shoal": area}
    assert b"MultiPolygon" in place_bytes(dossier, "geojson")


def test_a_cut_line_that_somebody_changed_is_taken_as_it_is_drawn_now() -> None:
    line = (Position(-16.0, 179.0), Position(-16.0, -179.0))
    dossier = replace(whole_coast(), hazards=(replace(EDGE, line=line),))
    root = json.loads(place_bytes(dossier, "geojson"))
    (cut,) = (f for f in root["features"] if f["properties"]["name"] == "North edge")
    cut["geometry"]["coordinates"][1][1] = [-178.0, -16.0]

    places = read_geojson(json.dumps(root).encode(), "x").places

    (edge,) = (p for p in places if p.name == "North edge")
    assert [part.line[-1] for part in edge.parts] == [
        Position(-16.0, 180.0), Position(-16.0, -178.0)
    ]  # fmt: skip


def test_every_format_that_is_offered_can_be_read_again() -> None:
    assert set(FORMATS) == set(READERS)
