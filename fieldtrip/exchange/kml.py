"""KML: placemarks in, and out; KMZ in.

Source: OGC 07-147r2, KML 2.2 (2008).  Coordinates are longitude, latitude and, not
read here, altitude.  Everything but placemarks is passed over: no link is followed.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from html import escape, unescape
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import (
    LARGEST_TEXT_BYTES,
    LEG,
    Found,
    FoundPlace,
    Part,
    PlaceKind,
    Progress,
    Source,
    add_leg,
    finished,
    instant_of,
    kind_of,
    open_ring,
    position_of,
    tidy,
)
from fieldtrip.exchange.xml_reader import (
    DEEPEST,
    local_name,
    parse_xml,
    refuse_too_deep,
    refuse_too_large,
)
from fieldtrip.exchange.xml_writer import add, document
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Shape

NAMESPACE = "http://www.opengis.net/kml/2.2"
_TOLD = frozenset(
    {("Placemark", "name"), ("Placemark", "description"), ("TimeStamp", "when")}
)
_SHAPES = {
    "Point": Shape.POINT,
    "LineString": Shape.LINE,
    "LinearRing": Shape.AREA,
}


def read_kml(data: bytes, file_name: str, progress: Progress | None = None) -> Found:
    """Read a KML document.

    Raises `UserError`, and gives nothing, for a document that is none or in which
    one position is no position.
    """
    reader = parse_xml(data, partial(_Reader, file_name), file_name, progress)
    remarks = []
    if reader.has_holes:
        remarks.append("Holes in areas were filled in.")
    if reader.has_links:
        remarks.append("What it links to elsewhere was not fetched.")
    return finished(
        Source.KML, file_name, reader.places, reader.lost_times, tuple(remarks)
    )


def read_kmz(data: bytes, file_name: str, progress: Progress | None = None) -> Found:
    """Read the first KML document of a KMZ archive, and nothing else in it."""
    refuse_too_large(len(data), file_name)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = [n for n in archive.namelist() if n.lower().endswith(".kml")]
            if not names:
                raise UserError(f"There is no KML document in “{file_name}”.")
            # Archives may say less than they unpack to: never more than this is read.
            with archive.open(names[0]) as member:
                text = member.read(LARGEST_TEXT_BYTES + 1)
    except (
        zipfile.BadZipFile,
        NotImplementedError,
        RuntimeError,
        OSError,
        zlib.error,
    ) as error:
        raise UserError(
            f"“{file_name}” is damaged or locked, so nothing was taken from it."
        ) from error
    return read_kml(text, file_name, progress)


def kml_bytes(places: Sequence[FoundPlace], name: str) -> bytes:
    """Places as one KML document."""
    root = ET.Element("kml", {"xmlns": NAMESPACE})
    folder = add(root, "Document")
    add(folder, "name", name)
    for place in places:
        if place.kind is not PlaceKind.ROUTE:
            _add_placemark(folder, place)
            continue
        legs = add(folder, "Folder")  # a route with its legs
        add(legs, "name", place.name)
        _add_placemark(legs, replace(place, parts=()))
        for part in place.parts:
            facts = (("kind", LEG), *part.facts)
            leg_name = dict(part.facts).get("name", "")
            leg = FoundPlace(
                shape=Shape.LINE, parts=(part,), name=leg_name, facts=facts
            )
            _add_placemark(legs, leg)
    return document(root)


def _add_placemark(folder: ET.Element, place: FoundPlace) -> None:
    """A placemark, its children in the schema's order."""
    mark = add(folder, "Placemark")
    add(mark, "name", place.name)
    if place.notes:  # readers take a description for HTML
        add(mark, "description", escape(place.notes, quote=False))
    data = add(mark, "ExtendedData")
    for name, value in place.facts:
        add(add(data, "Data", name=name), "value", value)
    for part in place.parts:
        if place.shape is Shape.POINT:
            _add_coordinates(add(mark, "Point"), part.line)
        elif place.shape is Shape.LINE:
            line = add(mark, "LineString")
            add(line, "tessellate", "1")
            _add_coordinates(line, part.line)
        else:
            outer = add(add(mark, "Polygon"), "outerBoundaryIs")
            ring = add(outer, "LinearRing")
            _add_coordinates(ring, (*part.line, part.line[0]))


def _add_coordinates(shape: ET.Element, line: Line) -> None:
    pairs = (f"{position.lon_deg!r},{position.lat_deg!r}" for position in line)
    add(shape, "coordinates", " ".join(pairs))


class _Reader:
    """Follows the document; `places` grows by each placemark that ends."""

    def __init__(self, file_name: str, line: Callable[[], int]) -> None:
        self.text: list[str] = []
        self.places: list[FoundPlace] = []
        self.lost_times = 0
        self.has_holes = False
        self.has_links = False
        self._file_name = file_name
        self._line = line
        self._path: list[str] = []
        self._told: dict[str, str] = {}
        self._facts: list[tuple[str, str]] = []
        self._fact_name = ""
        self._shapes: list[tuple[Shape, Line]] = []

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Begin a placemark, or note of what data the value comes."""
        self.text.clear()
        local = local_name(name)
        if not self._path and local not in ("kml", "Document", "Placemark"):
            raise UserError(
                f"“{self._file_name}” is no KML: it begins with “{local[:40]}”."
            )
        self._path.append(local)
        if len(self._path) > DEEPEST:
            refuse_too_deep(len(self._path), self._file_name)
        if local == "Placemark":
            self._told, self._facts, self._shapes = {}, [], []
        elif local in ("Data", "SimpleData"):
            self._fact_name = attributes.get("name", "")
        elif local == "NetworkLink":
            self.has_links = True

    def end(self, _name: str) -> None:
        """Keep what an element said."""
        local = self._path.pop()
        parent = self._path[-1] if self._path else ""
        if local == "coordinates":
            self._end_coordinates(parent)
        elif (parent, local) in _TOLD:
            self._told[local] = "".join(self.text)
        elif local == "SimpleData" or (local == "value" and parent == "Data"):
            self._facts.append((self._fact_name, "".join(self.text)))
        elif local == "Placemark":
            self._end_placemark()

    def _end_coordinates(self, parent: str) -> None:
        shape = _SHAPES.get(parent)
        if shape is None or "Placemark" not in self._path:
            return
        if "innerBoundaryIs" in self._path:
            self.has_holes = True
            return
        line = tuple(self._position(one) for one in "".join(self.text).split())
        if shape is Shape.AREA:
            line = open_ring(line)
        if line:
            self._shapes.append((shape, line))

    def _position(self, text: str) -> Position:
        numbers = text.split(",")
        try:
            lon_deg, lat_deg = float(numbers[0]), float(numbers[1])
        except (ValueError, IndexError) as error:
            raise UserError(
                f"{self._where()}: “{text[:40]}” is no longitude and latitude, which "
                "are written as -8.4,49.6."
            ) from error
        return position_of(lat_deg, lon_deg, self._where())

    def _where(self) -> str:
        return f"“{self._file_name}”, line {self._line()}"

    def _end_placemark(self) -> None:
        told, facts = self._told, tuple(self._facts)
        if dict(facts).get("kind") == LEG:
            own = tuple(fact for fact in facts if fact[0] != "kind")
            lines = (line for shape, line in self._shapes if shape is Shape.LINE)
            if add_leg(self.places, tuple(Part(line, own) for line in lines)):
                return
        kind = kind_of(facts)
        name, notes = told.get("name", ""), told.get("description", "")
        if kind is None:
            facts, name, notes = (), tidy(name), plain_text(notes)
        else:
            notes = unescape(notes)
        instant = instant_of(told.get("when", ""))
        self.lost_times += instant is None and bool(told.get("when", "").strip())
        self.places += (
            FoundPlace(
                shape=shape,
                parts=parts,
                name=name,
                notes=notes,
                time=instant,
                kind=kind,
                facts=facts,
            )
            for shape, parts in self._gathered(kind, bool(name or notes))
        )

    def _gathered(
        self, kind: PlaceKind | None, has_words: bool
    ) -> list[tuple[Shape, tuple[Part, ...]]]:
        """The placemark's shapes, its lines as one; a shape of nothing for words."""
        lines = tuple(Part(line) for shape, line in self._shapes if shape is Shape.LINE)
        gathered: list[tuple[Shape, tuple[Part, ...]]] = [
            (shape, (Part(line),))
            for shape, line in self._shapes
            if shape is not Shape.LINE
        ]
        if lines:
            gathered.append((Shape.LINE, lines))
        if not gathered and has_words:
            is_route = kind is PlaceKind.ROUTE
            gathered.append((Shape.LINE if is_route else Shape.POINT, ()))
        return gathered


def plain_text(html: str) -> str:
    """What a description says, without its tags; a text without any as it is."""
    reader = _Text()
    reader.feed(html)
    reader.close()
    lines = (" ".join(line.split()) for line in "".join(reader.words).splitlines())
    return "\n".join(line for line in lines if line)


class _Text(HTMLParser):
    """Gathers words, a new line for each paragraph; no style and no script."""

    _BLOCKS = frozenset({"br", "p", "div", "tr", "li", "h1", "h2", "h3", "table"})
    _SILENT = frozenset({"script", "style"})

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, _attrs: object) -> None:
        """Break the line before a paragraph."""
        if tag in self._BLOCKS:
            self.words.append("\n")
        self._silent += tag in self._SILENT

    def handle_endtag(self, tag: str) -> None:
        """Speak again after a script."""
        self._silent -= tag in self._SILENT and self._silent > 0

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        if not self._silent:
            self.words.append(data)
