"""Records and sky as GeoJSON for the map; the page draws what each `kind` says.

Every feature has the properties `kind`, `label` (words) and `note` (smaller words
below); those of a record have its id, `is_chosen` and, points, `draggable`.
Longitudes go on past the date line near the location, so that nothing is torn.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Any
from uuid import UUID

from fieldtrip import geo
from fieldtrip.geo import Line, Position
from fieldtrip.places.closures import Force, closure_state
from fieldtrip.places.records import (
    LEAST_POINTS,
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Leg,
    Refuge,
    Shape,
    Subject,
)
from fieldtrip.settings import Settings
from fieldtrip.sky.events import DayEvents, EventName
from fieldtrip.sky.light import shadow
from fieldtrip.sky.positions import SkyPosition
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip
from fieldtrip.wording import (
    altitude_text,
    bearing_text,
    clock_text,
    closure_text,
    distance_text,
    duration_text,
    height_text,
    span_text,
)

Feature = dict[str, Any]
FeatureCollection = dict[str, Any]

# The map's teeth stand on this side: whoever draws an edge must know it.
EDGE_HINT = "Draw it with the drop on your right hand."
RAY_LENGTH_M = 40_000.0  # past the edge of any view in which one places a tripod
LONGEST_SHADOW_M = 10_000.0  # longer ones are said to be longer, and no more
_FIRST_VERTEX_M = 25.0
_VERTEX_GROWTH = 1.4  # chords this short keep the bearing to a thousandth of a degree

# How each event's ray is drawn: never by a hue.
_SUN_STROKES = {EventName.SUNRISE: "solid", EventName.SUNSET: "dash"}
_MOON_STROKES = {EventName.MOONRISE: "dots", EventName.MOONSET: "dots-wide"}


def places_features(
    dossier: Dossier, chosen: Collection[UUID] = ()
) -> FeatureCollection:
    """The location, its vantage points, subjects, refuges and start places.

    A point can be dragged once it is chosen: a careless pull moves nothing.
    """
    near = dossier.location.position
    records: list[tuple[str, Any, str]] = [("location", dossier.location, "")]
    records += [("vantage", vantage, "") for vantage in dossier.vantage_points]
    records += [("subject", subject, "") for subject in dossier.subjects]
    records += [("refuge", refuge, _refuge_note(refuge)) for refuge in dossier.refuges]
    records += [("start", start, str(start.kind)) for start in dossier.start_places]
    return _collection(
        _feature(
            _point(record.position, near),
            kind=kind,
            label=record.name,
            note=note,
            record_id=record.id,
            is_chosen=record.id in chosen,
            draggable=record.id in chosen,
        )
        for kind, record, note in records
    )


def routes_features(
    dossier: Dossier,
    settings: Settings,
    chosen: Collection[UUID] = (),
    windows: Mapping[UUID, str] | None = None,
) -> FeatureCollection:
    """The legs of every access route; choosing a route chooses its legs.

    `windows` gives for a leg, by its id, words such as ``open 15:05 to 17:50``.
    """
    extra = windows or {}
    return _collection(
        _feature(
            _line(leg.line, dossier.location.position),
            kind="tidal" if leg.is_tidal else "leg",
            label=leg.name,
            note=_comma(*_leg_notes(leg, settings), extra.get(leg.id, "")),
            record_id=leg.id,
            is_chosen=leg.id in chosen or leg.route_id in chosen,
        )
        for leg in dossier.legs
        if len(leg.line) > 1
    )


def hazards_features(
    dossier: Dossier, chosen: Collection[UUID] = ()
) -> FeatureCollection:
    """Every hazard, with what is known of it and what is not."""
    return _collection(
        _feature(
            _shape(hazard, dossier.location.position),
            kind=_hazard_kind(hazard),
            label=hazard.name,
            note=_hazard_note(hazard),
            record_id=hazard.id,
            is_chosen=hazard.id in chosen,
            draggable=hazard.shape is Shape.POINT and hazard.id in chosen,
        )
        for hazard in dossier.hazards
        if len(hazard.line) >= LEAST_POINTS[hazard.shape]
    )


def closures_features(
    dossier: Dossier, day: date, settings: Settings, chosen: Collection[UUID] = ()
) -> FeatureCollection:
    """The closures that are drawn and hold on a day, or may; and a chosen one.

    Each says in words what it does that day.
    """
    return _collection(
        _feature(
            _shape(closure, dossier.location.position),
            kind=f"shut-{closure.shape}",
            label=closure.name,
            note=_closure_note(closure, day, settings),
            record_id=closure.id,
            is_chosen=closure.id in chosen,
            is_faint=closure_state(closure, day).force is Force.NONE,
            draggable=closure.shape is Shape.POINT and closure.id in chosen,
        )
        for closure in dossier.closures
        if len(closure.line) >= LEAST_POINTS[closure.shape]
        and (
            closure.id in chosen or closure_state(closure, day).force is not Force.NONE
        )
    )


def plan_features(
    dossier: Dossier, trip: Trip, settings: Settings
) -> FeatureCollection:
    """What a trip does on the map: legs walked and stops numbered, with their times."""
    near, zone = dossier.location.position, dossier.location.zone
    walked: dict[UUID, list[str]] = {}
    for walk in dossier.walks_of(trip):
        start = clock_text(walk.start, zone, settings)
        way = "back" if walk.is_reversed else "out"
        length = duration_text(walk.finish - walk.start)
        walked.setdefault(walk.leg_id, []).append(f"{way} {start}, {length}")
    found = [
        _feature(_line(leg.line, near), kind="walk", label="", note=" · ".join(words))
        for leg_id, words in walked.items()
        if (leg := by_id(dossier.legs, leg_id)) is not None and len(leg.line) > 1
    ]
    for stop in dossier.stops_of(trip):
        vantage = by_id(dossier.vantage_points, stop.vantage_point_id)
        if vantage is not None:
            times = span_text(Span(stop.arrive, stop.leave), zone, settings)
            label, at = f"{stop.number}: {times}", _point(vantage.position, near)
            found.append(_feature(at, kind="stop", label=label, note=""))
    return _collection(found)


def sun_features(
    vantage: Position,
    *,
    events: DayEvents,
    instant: datetime,
    sun: SkyPosition,
    zone: str,
    settings: Settings,
    subject: Subject | None = None,
    near: Position | None = None,
) -> FeatureCollection:
    """Rays toward sunrise, sunset and the Sun of the minute, and a subject's shadow.

    `near` is the location, whose longitude decides on which side of the date line
    all is drawn; without it, the vantage point's own.
    """
    middle = near or vantage
    found = _event_rays(vantage, middle, events, _SUN_STROKES, zone, settings)
    words = f"{clock_text(instant, zone, settings)} · {_direction_text(sun)}"
    found.append(_minute_ray(vantage, middle, sun, "taper", words))
    if subject is not None:
        found += _shadow(subject, sun, settings, middle)
    return _collection(found)


def moon_features(
    vantage: Position,
    *,
    events: DayEvents,
    instant: datetime,
    moon: SkyPosition,
    zone: str,
    settings: Settings,
    near: Position | None = None,
) -> FeatureCollection:
    """Rays toward moonrise, moonset and the Moon of the minute; `near` as above."""
    middle = near or vantage
    found = _event_rays(vantage, middle, events, _MOON_STROKES, zone, settings)
    words = f"Moon {clock_text(instant, zone, settings)} · {_direction_text(moon)}"
    found.append(_minute_ray(vantage, middle, moon, "taper-dots", words))
    return _collection(found)


# What is said of records


def _refuge_note(refuge: Refuge) -> str:
    if refuge.stays_dry is None:
        return "refuge, not known to stay dry"
    return "refuge, stays dry" if refuge.stays_dry else "refuge, the sea can reach it"


def _leg_notes(leg: Leg, settings: Settings) -> Iterable[str]:
    if leg.is_tidal is None:
        yield "tide not known"
    elif leg.is_tidal and leg.shut_above_m is None:
        yield "closing level not known"
    elif leg.is_tidal and leg.shut_above_m is not None:
        yield f"shut above {height_text(leg.shut_above_m, settings)}"
    if leg.is_exposed:
        yield "exposed"
    if leg.daylight_only:
        yield "in daylight only"


def _hazard_kind(hazard: Hazard) -> str:
    if hazard.shape is Shape.POINT:
        return "danger"
    if hazard.shape is Shape.AREA:
        return "area"
    return "edge" if hazard.kind is HazardKind.CLIFF_EDGE else "line"


def _hazard_note(hazard: Hazard) -> str:
    if hazard.kind is not HazardKind.CLIFF_EDGE:
        what = "" if hazard.kind is HazardKind.OTHER else str(hazard.kind)
        return _comma(what, hazard.applies)
    fence = {True: "fenced", False: "unfenced", None: "fence not known"}
    soft = "soft or undercut" if hazard.is_soft else ""
    return _comma(f"cliff edge, {fence[hazard.is_fenced]}", soft, hazard.applies)


def _closure_note(closure: Closure, day: date, settings: Settings) -> str:
    is_plain = closure.kind in (ClosureKind.OTHER, ClosureKind.HOURS)
    what = "" if is_plain else str(closure.kind)
    return _comma(what, closure_text(closure, day, settings))


def _direction_text(body: SkyPosition) -> str:
    altitude = altitude_text(body.apparent_altitude_deg)
    return f"{bearing_text(body.azimuth_deg)} · {altitude}"


def _comma(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


# Rays


def _event_rays(
    vantage: Position,
    near: Position,
    events: DayEvents,
    strokes: Mapping[EventName, str],
    zone: str,
    settings: Settings,
) -> list[Feature]:
    return [
        _ray(
            vantage,
            near,
            event.azimuth_deg,
            kind="ray",
            stroke=strokes[event.name],
            label=(
                f"{event.name.value.capitalize()} "
                f"{clock_text(event.instant, zone, settings)} · "
                f"{bearing_text(event.azimuth_deg)}"
            ),
        )
        for event in events.events
        if event.name in strokes
    ]


def _minute_ray(
    vantage: Position, near: Position, body: SkyPosition, stroke: str, label: str
) -> Feature:
    return _ray(
        vantage,
        near,
        body.azimuth_deg,
        kind="ray",
        stroke=stroke,
        label=label,
        is_faint=body.apparent_altitude_deg < 0.0,
    )


def _shadow(
    subject: Subject, sun: SkyPosition, settings: Settings, near: Position
) -> list[Feature]:
    cast = shadow(sun, subject.height_m)
    if cast is None:
        return []
    if cast.length_m is None:
        length_m, words = None, "height not known"
    elif cast.length_m > LONGEST_SHADOW_M:
        length_m, words = None, f"over {distance_text(LONGEST_SHADOW_M, settings)}"
    else:
        length_m, words = cast.length_m, distance_text(cast.length_m, settings)
    return [
        _ray(
            subject.position,
            near,
            cast.bearing_deg,
            LONGEST_SHADOW_M if length_m is None else length_m,
            kind="shadow",
            stroke="hatch",
            label=f"shadow {bearing_text(cast.bearing_deg)}, {words}",
            is_open=length_m is None,
        )
    ]


def _ray(
    start: Position,
    near: Position,
    azimuth_deg: float,
    length_m: float = RAY_LENGTH_M,
    **properties: Any,
) -> Feature:
    line = ray_line(start, azimuth_deg, length_m)
    return _feature(_line(line, near), azimuth_deg=azimuth_deg, **properties)


@lru_cache(maxsize=64)  # the day's events stay while the minute moves
def ray_line(start: Position, azimuth_deg: float, length_m: float) -> Line:
    """Positions along the geodesic that leaves `start` at a true bearing."""
    distances, distance = [], _FIRST_VERTEX_M
    while distance < length_m:
        distances.append(distance)
        distance *= _VERTEX_GROWTH
    steps = (*distances, length_m)
    return (start, *(geo.destination(start, azimuth_deg, step) for step in steps))


# GeoJSON


def feature_of_line(line: Line, near: Position, **properties: Any) -> Feature:
    """A line on the map, near a position whose side of the date line it keeps."""
    return _feature(_line(line, near), **properties)


def feature_of_point(position: Position, near: Position, **properties: Any) -> Feature:
    """A point on the map, near a position whose side of the date line it keeps."""
    return _feature(_point(position, near), **properties)


def _collection(features: Iterable[Feature]) -> FeatureCollection:
    return {"type": "FeatureCollection", "features": list(features)}


def _feature(
    geometry: Mapping[str, Any], *, record_id: UUID | None = None, **properties: Any
) -> Feature:
    made = {"type": "Feature", "geometry": geometry, "properties": properties}
    return made if record_id is None else {**made, "id": str(record_id)}


def _point(position: Position, near: Position) -> Mapping[str, Any]:
    return {"type": "Point", "coordinates": _coordinates(position, near.lon_deg)}


def _line(line: Line, near: Position) -> Mapping[str, Any]:
    coordinates, lon_deg = [], near.lon_deg
    for position in line:
        coordinates.append(_coordinates(position, lon_deg))
        lon_deg = coordinates[-1][0]
    return {"type": "LineString", "coordinates": coordinates}


def _shape(drawn: Hazard | Closure, near: Position) -> Mapping[str, Any]:
    match drawn.shape:
        case Shape.POINT:
            return _point(drawn.line[0], near)
        case Shape.LINE:
            return _line(drawn.line, near)
        case Shape.AREA:
            ring = _line((*drawn.line, drawn.line[0]), near)["coordinates"]
            return {"type": "Polygon", "coordinates": [ring]}


def _coordinates(position: Position, near_lon_deg: float) -> list[float]:
    """Longitude and latitude, the longitude within half a turn of another's."""
    turn = math.remainder(position.lon_deg - near_lon_deg, 360.0)
    is_same_side = abs(position.lon_deg - near_lon_deg) <= 180.0
    # Untouched where it can be: near + turn would cost the last digits.
    lon_deg = position.lon_deg if is_same_side else near_lon_deg + turn
    return [lon_deg, position.lat_deg]
