"""What a file holds, before anyone has said what is to become of it.

Every reader gives a `Found`, every writer takes `FoundPlace`s; what lies between
them and the records is in `record_facts`, `proposals` and `incoming`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import StrEnum

from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import Shape

LARGEST_TEXT_BYTES = 64_000_000  # a track point takes 100 to 200 bytes
MOST_PLACES = 10_000  # in one file; a scouted coast has some hundred
LARGEST_PHOTO_BYTES = 300_000_000
LEG = "leg"  # the kind of one part of a route, where each is told apart
Facts = tuple[tuple[str, str], ...]  # name and value, as a file carries them
Progress = Callable[[float], object]  # told a fraction; may raise `Cancelled`


class Source(StrEnum):
    """What sort of file something was read from."""

    GPX = "GPX"
    GEOJSON = "GeoJSON"
    KML = "KML"
    PHOTO = "photograph"


class PlaceKind(StrEnum):
    """As what something in a file can come in."""

    LOCATION = "location"
    VANTAGE_POINT = "vantage point"
    SUBJECT = "subject"
    REFUGE = "refuge"
    START_PLACE = "start place"
    ROUTE = "access route"
    HAZARD = "hazard"
    CLOSURE = "closure"
    NOTE = "access note"


@dataclass(frozen=True, slots=True)
class Part:
    """One stretch of a line, with what the file says of this stretch alone."""

    line: Line
    facts: Facts = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """What a photograph's own data say of it; None is not known."""

    clock: datetime | None = None  # as its clock showed it, without a zone
    direction_deg: float | None = None
    direction_is_true: bool | None = None  # False: magnetic
    thumbnail: bytes = b""  # a small JPEG


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPlace:
    """A point, a line in one or more parts, or an area; without parts, only words.

    An area's ring is not closed.  `kind` and `facts` are there where a file was
    written by this program.
    """

    shape: Shape
    parts: tuple[Part, ...]
    name: str = ""
    notes: str = ""
    time: datetime | None = None  # UTC
    height_m: float | None = None  # of a point, above mean sea level
    position_error_m: float | None = None
    kind: PlaceKind | None = None
    facts: Facts = ()
    photo: Photo | None = None

    @property
    def positions(self) -> Line:
        """All its positions, in order."""
        return tuple(position for part in self.parts for position in part.line)

    def fact(self, name: str) -> str | None:
        """One fact by its name."""
        return dict(self.facts).get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """All that one file holds, and what ought to be said about reading it."""

    source: Source
    file_name: str
    places: tuple[FoundPlace, ...]
    remarks: tuple[str, ...] = ()


def position_of(lat_deg: float, lon_deg: float, where: str) -> Position:
    """A position, or a `UserError` that says where the numbers stand.

    Written so that nan is refused too.
    """
    if not -90.0 <= lat_deg <= 90.0:
        raise UserError(
            f"{where}: {lat_deg:g} is no latitude from −90 to 90, so nothing was taken "
            "from this file."
        )
    if not -180.0 <= lon_deg <= 180.0:
        raise UserError(
            f"{where}: {lon_deg:g} is no longitude from −180 to 180, so nothing was "
            "taken from this file."
        )
    return Position(lat_deg, lon_deg)


def open_ring(line: Line) -> Line:
    """A ring without the last position that repeats its first."""
    return line[:-1] if len(line) > 1 and line[0] == line[-1] else line


def kind_of(facts: Facts) -> PlaceKind | None:
    """The kind that a file of this program's own says, or None."""
    word = dict(facts).get("kind")
    return PlaceKind(word) if word in set(PlaceKind) else None


def shape_of(facts: Facts, otherwise: Shape) -> Shape:
    """The shape that a file of this program's own says, or another."""
    word = dict(facts).get("shape")
    return Shape(word) if word in set(Shape) else otherwise


def kind_words(place: FoundPlace) -> str:
    """What a place is, for people who read the file in another program."""
    sort = place.fact("sort")
    return f"{place.kind or place.shape}: {sort}" if sort else f"{place.kind}"


def tidy(text: str) -> str:
    """A name as one line without needless blanks."""
    return " ".join(text.split())


def instant_of(text: str) -> datetime | None:
    """An XML instant in UTC; None where it is none or does not say its zone.

    Source: XML Schema part 2, dateTime, as GPX 1.1 and KML 2.2 use it.
    """
    try:
        instant = datetime.fromisoformat(text.strip())
        return instant.astimezone(UTC) if instant.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None


def add_leg(places: list[FoundPlace], parts: tuple[Part, ...]) -> bool:
    """Add parts to the route that was read last; False where none was."""
    if not places or places[-1].kind is not PlaceKind.ROUTE:
        return False
    route = places[-1]
    places[-1] = replace(route, shape=Shape.LINE, parts=(*route.parts, *parts))
    return True


def finished(
    source: Source,
    file_name: str,
    places: Sequence[FoundPlace],
    lost_times: int = 0,
    remarks: tuple[str, ...] = (),
) -> Found:
    """What was read, without lines of one point; `UserError` where that is nothing."""
    whole = [_whole(place) for place in places]
    short = sum(len(a.parts) - len(b.parts) for a, b in zip(places, whole, strict=True))
    kept = tuple(
        after
        for before, after in zip(places, whole, strict=True)
        if after.parts or not before.parts
    )
    if not kept:
        raise UserError(
            f"There are no points, lines or areas in “{file_name}”, so nothing came in."
        )
    if len(kept) > MOST_PLACES:
        raise UserError(
            f"“{file_name}” holds {len(kept):,} things; up to {MOST_PLACES:,} come in "
            "from one file, so nothing was taken from it."
        )
    if short:
        what = "One line or area has" if short == 1 else f"{short} lines or areas have"
        remarks = (*remarks, f"{what} too few points to be one, and did not come in.")
    return Found(
        source=source,
        file_name=file_name,
        places=kept,
        remarks=(*_left_out_times(lost_times), *remarks),
    )


def _whole(place: FoundPlace) -> FoundPlace:
    least = {Shape.POINT: 1, Shape.LINE: 2, Shape.AREA: 3}[place.shape]
    parts = tuple(part for part in place.parts if len(part.line) >= least)
    return place if len(parts) == len(place.parts) else replace(place, parts=parts)


def _left_out_times(count: int) -> tuple[str, ...]:
    if not count:
        return ()
    some = "One time does" if count == 1 else f"{count} times do"
    them = "it was" if count == 1 else "they were"
    return (f"{some} not say in which zone, or cannot be read, so {them} left out.",)
