"""GPX 1.1: way points, routes and tracks in, and out.

Source: GPX 1.1 schema, www.topografix.com/GPX/1/1 (Foster, 2004).
What this program knows beyond the standard stands in ``extensions``, in a name
space of its own, where other readers pass over it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from decimal import Decimal
from functools import partial
from xml.etree import ElementTree as ET

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import (
    Facts,
    Found,
    FoundPlace,
    Part,
    PlaceKind,
    Progress,
    Source,
    finished,
    instant_of,
    kind_of,
    kind_words,
    open_ring,
    position_of,
    shape_of,
    tidy,
)
from fieldtrip.exchange.xml_reader import (
    DEEPEST,
    local_name,
    parse_xml,
    refuse_too_deep,
)
from fieldtrip.exchange.xml_writer import add, document
from fieldtrip.geo import Position
from fieldtrip.places.records import Shape

NAMESPACE = "http://www.topografix.com/GPX/1/1"
FACTS = "urn:fieldtrip:facts"
_FACT = f"{FACTS} fact"
_ITEMS = ("wpt", "rte", "trk")
_LINE_POINTS = ("trkpt", "rtept")
_NOWHERE = ("at", "no place of its own")  # of a note, which GPX must put somewhere
_PLACELESS = (PlaceKind.NOTE, PlaceKind.ROUTE, PlaceKind.CLOSURE)
_TOLD = frozenset({"name", "desc", "cmt", "time", "ele"})


def read_gpx(data: bytes, file_name: str, progress: Progress | None = None) -> Found:
    """Read a GPX document.

    A way point is a point; a route or track is a line whose parts are its segments.
    Raises `UserError`, and gives nothing, for a document that is none or in which
    one position is no position.
    """
    reader = parse_xml(data, partial(_Reader, file_name), file_name, progress)
    return finished(Source.GPX, file_name, reader.places, reader.lost_times)


def gpx_bytes(places: Sequence[FoundPlace], name: str, near: Position) -> bytes:
    """Places as GPX; what has no position of its own is put at `near`."""
    root = ET.Element(
        "gpx",
        {
            "version": "1.1",
            "creator": "Fieldtrip",
            "xmlns": NAMESPACE,
            "xmlns:facts": FACTS,
        },
    )
    add(add(root, "metadata"), "name", name)
    # The schema's order: way points, then routes, then tracks.
    for place in places:
        if place.shape is Shape.POINT:
            position = (*place.positions, near)[0]
            point = add(root, "wpt", **_lat_lon(position))
            if place.height_m is not None:
                add(point, "ele", _decimal(place.height_m))
            _tell(point, place)
    for place in places:
        if place.shape is Shape.AREA or _is_plain_line(place):
            ring = place.shape is Shape.AREA
            for part in place.parts:
                made = add(root, "rte")
                _tell(made, place)
                for position in (*part.line, *part.line[:1]) if ring else part.line:
                    add(made, "rtept", **_lat_lon(position))
    for place in places:
        if place.shape is Shape.LINE and not _is_plain_line(place):
            track = add(root, "trk")
            _tell(track, place)
            for part in place.parts:
                segment = add(track, "trkseg")
                for position in part.line:
                    add(segment, "trkpt", **_lat_lon(position))
                _add_facts(segment, part.facts)
    return document(root)


class _Reader:
    """Follows the document; `places` grows by each item that ends."""

    def __init__(self, file_name: str, line: Callable[[], int]) -> None:
        self.text: list[str] = []
        self.places: list[FoundPlace] = []
        self.lost_times = 0
        self._file_name = file_name
        self._line = line
        self._path: list[str] = []
        self._told: dict[str, str] = {}
        self._facts: list[tuple[str, str]] = []
        self._part_facts: list[tuple[str, str]] = []
        self._points: list[Position] = []
        self._parts: list[Part] = []
        self._fact_name = ""
        self._locals: dict[str, str] = {}
        self._inside = 0  # elements within which a point of a line is told

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Begin an item, or note a point's position."""
        if self._inside:  # a line's points: what they say besides is not kept
            self._inside += 1
            if self._inside > DEEPEST:
                refuse_too_deep(self._inside, self._file_name)
            return
        self.text.clear()
        local = self._locals.get(name) or self._local(name)
        if local in _LINE_POINTS:
            self._points.append(self._position(attributes))
            self._inside = 1
            return
        if not self._path and local != "gpx":
            raise UserError(
                f"“{self._file_name}” is no GPX: it begins with “{local[:40]}”."
            )
        self._path.append(local)
        if len(self._path) > DEEPEST:
            refuse_too_deep(len(self._path), self._file_name)
        if local == "wpt":
            self._points.append(self._position(attributes))
        if name == _FACT:
            self._fact_name = attributes.get("name", "")
        elif local in _ITEMS and len(self._path) == 2:
            self._told, self._facts, self._parts = {}, [], []
            if local != "wpt":
                self._points = []

    def end(self, name: str) -> None:
        """Keep what an element said."""
        if self._inside:
            self._inside -= 1
            return
        local = self._path.pop()
        parent = self._path[-1] if self._path else ""
        if local in _TOLD:
            if parent in _ITEMS and len(self._path) == 2:
                self._told[local] = "".join(self.text)
        elif name == _FACT:
            fact = (self._fact_name, "".join(self.text))
            (self._part_facts if "trkseg" in self._path else self._facts).append(fact)
        elif local == "trkseg":
            self._end_part()
        elif local in _ITEMS and len(self._path) == 1:
            if local != "trk":
                self._end_part()
            self._end_item(local)

    def _local(self, name: str) -> str:
        """A name without its namespace, kept: a track has few names, and often."""
        return self._locals.setdefault(name, local_name(name))

    def _position(self, attributes: dict[str, str]) -> Position:
        try:
            lat_deg, lon_deg = float(attributes["lat"]), float(attributes["lon"])
        except (KeyError, ValueError) as error:
            raise UserError(
                f"{self._where()}: a point has no latitude and longitude in numbers, "
                "so nothing was taken from this file."
            ) from error
        try:
            return Position(lat_deg, lon_deg)
        except ValueError:  # say where, which takes longer
            return position_of(lat_deg, lon_deg, self._where())

    def _where(self) -> str:
        return f"“{self._file_name}”, line {self._line()}"

    def _end_part(self) -> None:
        if self._points:
            self._parts.append(Part(tuple(self._points), tuple(self._part_facts)))
        self._points, self._part_facts = [], []

    def _end_item(self, local: str) -> None:
        told, facts = self._told, tuple(self._facts)
        kind = kind_of(facts)
        shape = Shape.POINT if local == "wpt" else Shape.LINE
        parts = tuple(self._parts)
        name, notes = told.get("name", ""), told.get("desc", "")
        if kind is None:
            name, notes = tidy(name), _both(notes, told.get("cmt", ""))
        else:
            shape = shape_of(facts, shape)
            if shape is Shape.AREA:
                parts = tuple(Part(open_ring(part.line), part.facts) for part in parts)
            if _NOWHERE in facts:
                shape, parts = Shape.POINT, ()
                facts = tuple(fact for fact in facts if fact != _NOWHERE)
        if parts or kind in _PLACELESS:
            self.places.append(
                FoundPlace(
                    shape=shape,
                    parts=parts,
                    name=name,
                    notes=notes,
                    time=self._time(told.get("time", "")),
                    height_m=_height_m(told.get("ele", "")),
                    kind=kind,
                    facts=facts,
                )
            )
        self._parts, self._points = [], []

    def _time(self, text: str) -> datetime | None:
        instant = instant_of(text)
        if instant is None and text.strip():
            self.lost_times += 1
        return instant


def _height_m(text: str) -> float | None:
    """An elevation, or None for what cannot be one."""
    try:
        height_m = float(text)
    except ValueError:
        return None
    return height_m if -500.0 <= height_m <= 9_000.0 else None  # nan fails too


def _both(desc: str, cmt: str) -> str:
    """Description and comment, which many programs fill with the same words."""
    texts = dict.fromkeys(text.strip() for text in (desc, cmt))
    return "\n\n".join(text for text in texts if text)


def _is_plain_line(place: FoundPlace) -> bool:
    """Whether it is a line with nothing but a course, which is a GPX route."""
    return place.shape is Shape.LINE and place.kind is not PlaceKind.ROUTE


def _tell(item: ET.Element, place: FoundPlace) -> None:
    """Name, notes, kind and facts, in the schema's order."""
    add(item, "name", place.name)
    if place.notes:
        add(item, "desc", place.notes)
    if place.kind is not None:
        add(item, "type", kind_words(place))
    facts = place.facts
    if not place.parts and place.shape is Shape.POINT:
        facts = (*facts, _NOWHERE)
    _add_facts(item, facts)


def _add_facts(item: ET.Element, facts: Facts) -> None:
    if not facts:
        return
    extensions = add(item, "extensions")
    for name, value in facts:
        add(extensions, "facts:fact", value, name=name)


def _lat_lon(position: Position) -> dict[str, str]:
    # The schema's longitudes end before 180, which is the same meridian as -180.
    lon_deg = -180.0 if position.lon_deg == 180.0 else position.lon_deg
    return {"lat": _decimal(position.lat_deg), "lon": _decimal(lon_deg)}


def _decimal(value: float) -> str:
    """All digits of a number, without an exponent, which xsd:decimal does not know."""
    return format(Decimal(repr(value)), "f")
