"""From where a body stands over a subject on a day: vantage points, and ways.

The reverse of an alignment.  Each place has its own bearing to the subject; a way is
looked at in steps so short that a stretch from which it works is not stepped over.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from uuid import UUID

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.geo import Position, bearing_deg, destination, distance_m
from fieldtrip.places.records import AccessRoute, Ground, Leg, Subject, VantagePoint
from fieldtrip.sky.alignment import Aim, AlignedWindow, alignments
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.times import Span, local_day
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.sight import apparent_altitude_deg
from fieldtrip.trips.walking import time_for_leg, walking_time

EYE_M = 1.6  # of a camera on a way, above the ground
LONGEST_STEP_M, SHORTEST_STEP_M = 25.0, 2.0
_LOOK_S = 10.0  # the sky turns 0.04 degrees
_SLACK_DEG = 0.03  # for that, and for the length of a leg

GroundAt = Callable[[Position], float | None]  # metres above mean sea level


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignedPlace:
    """A place from which a body is aligned, when, and how far it is to walk there."""

    name: str  # of the vantage point, or of the leg
    position: Position
    vantage_point_id: UUID | None  # None: on a way
    leg_id: UUID | None  # the leg on which it lies, or that comes nearest to it
    stretch_m: tuple[float, float] | None  # along that leg; None: a vantage point
    windows: tuple[AlignedWindow, ...]  # on the day, by time
    bearing_deg: float  # towards the subject
    distance_m: float  # to the subject
    top_deg: float | None  # apparent altitude of its top; None: not known
    walk: timedelta | None  # from the start of its route; None: no route
    off_way_m: float  # of which, away from any way
    is_climb_known: bool  # of all legs that are walked


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSky:
    """What is to stand over the subject, and how near."""

    body: Body
    tolerance_deg: float = 0.5  # to either side
    altitude_min_deg: float = -0.5  # apparent
    altitude_max_deg: float = 5.0
    over_top: bool = False  # above the subject's top where that is known


@dataclass(frozen=True, slots=True)
class _Point:
    """A point on a way, and how long it takes to walk there."""

    position: Position
    leg: Leg
    along_m: float
    walk: timedelta
    is_climb_known: bool


def aligned_places(
    dossier: Dossier,
    subject: Subject,
    wanted: WantedSky,
    day: date,
    *,
    ground_at: GroundAt | None = None,
    pace_factor: float = 1.0,
) -> tuple[AlignedPlace, ...]:
    """Vantage points and stretches of ways that give it on a day, the nearest first.

    By the time of the walk; those to which no way is known come last.  Of a stretch
    its middle is given.  Over a level horizon.  `ground_at` gives the height of ways,
    without which no top is known from them.  Raises `UserError` outside the years
    1900 to 2099.
    """
    span = local_day(day, dossier.location.zone)
    step_m = _step_m(dossier, subject, wanted)
    ways = [_points(dossier, route, step_m, pace_factor) for route in dossier.routes]
    found: list[AlignedPlace] = []
    for vantage in dossier.vantage_points:
        place = _of_vantage(vantage, subject, wanted, span, ways)
        if place is not None:
            found.append(place)
    for way in ways:
        found += _of_way(way, subject, wanted, span, ground_at)
    far = timedelta.max
    found.sort(key=lambda place: (place.walk or far, place.name))
    return tuple(found)


def _of_vantage(
    vantage: VantagePoint,
    subject: Subject,
    wanted: WantedSky,
    span: Span,
    ways: Sequence[Sequence[_Point]],
) -> AlignedPlace | None:
    if vantage.position == subject.position:
        return None
    eye_m = None
    if vantage.ground_m is not None:
        eye_m = vantage.ground_m + vantage.eye_height_m
    top_deg = _top_deg(vantage.position, eye_m, subject)
    windows = _windows(
        Site(vantage.position, vantage.ground_m or 0.0), subject, wanted, span, top_deg
    )
    if not windows:
        return None
    near, off_m = _nearest(vantage.position, ways)
    walk = None
    if near is not None:
        walk = near.walk + walking_time(off_m, None, None, Ground.PATHLESS)
    return AlignedPlace(
        name=vantage.name,
        position=vantage.position,
        vantage_point_id=vantage.id,
        leg_id=None if near is None else near.leg.id,
        stretch_m=None,
        windows=windows,
        bearing_deg=bearing_deg(vantage.position, subject.position),
        distance_m=distance_m(vantage.position, subject.position),
        top_deg=top_deg,
        walk=walk,
        off_way_m=off_m,
        is_climb_known=near is not None and near.is_climb_known,
    )


def _of_way(
    way: Sequence[_Point],
    subject: Subject,
    wanted: WantedSky,
    span: Span,
    ground_at: GroundAt | None,
) -> list[AlignedPlace]:
    """One place for each stretch of a leg from which it works."""
    tops = [_top_deg(p.position, _eye_m(p, ground_at), subject) for p in way]
    skies = {point.leg.id: point.leg.line[len(point.leg.line) // 2] for point in way}
    over = {leg_id: _Sky(middle, wanted, span) for leg_id, middle in skies.items()}
    works = [
        p.position != subject.position
        and over[p.leg.id].may_give(p.position, subject, top)
        for p, top in zip(way, tops, strict=True)
    ]
    found: list[AlignedPlace] = []
    for first, last in _stretches(way, works):
        # From the middle outwards: at its very ends it may only just not work.
        for number in sorted(
            range(first, last + 1), key=lambda n: abs(n - (first + last) / 2)
        ):
            point, top_deg = way[number], tops[number]
            windows = _windows(Site(point.position), subject, wanted, span, top_deg)
            if windows:
                found.append(
                    AlignedPlace(
                        name=point.leg.name,
                        position=point.position,
                        vantage_point_id=None,
                        leg_id=point.leg.id,
                        stretch_m=(way[first].along_m, way[last].along_m),
                        windows=windows,
                        bearing_deg=bearing_deg(point.position, subject.position),
                        distance_m=distance_m(point.position, subject.position),
                        top_deg=top_deg,
                        walk=point.walk,
                        off_way_m=0.0,
                        is_climb_known=point.is_climb_known,
                    )
                )
                break
    return found


def _windows(
    site: Site, subject: Subject, wanted: WantedSky, span: Span, top_deg: float | None
) -> tuple[AlignedWindow, ...]:
    low_deg = _low_deg(wanted, top_deg)
    if low_deg >= wanted.altitude_max_deg:
        return ()
    aim = Aim(
        bearing_deg=bearing_deg(site.position, subject.position),
        tolerance_deg=wanted.tolerance_deg,
        altitude_min_deg=low_deg,
        altitude_max_deg=wanted.altitude_max_deg,
    )
    return alignments(wanted.body, site, span.start, span.stop, aim)


def _low_deg(wanted: WantedSky, top_deg: float | None) -> float:
    if wanted.over_top and top_deg is not None:
        return top_deg
    return wanted.altitude_min_deg


class _Sky:
    """The body's way over a leg on a day, to sort out what cannot work."""

    def __init__(self, position: Position, wanted: WantedSky, span: Span) -> None:
        count = int(span.length.total_seconds() // _LOOK_S) + 1
        track = uniform_track(wanted.body, Site(position), span.start, _LOOK_S, count)
        apparent = track.apparent_altitude_deg
        is_low_enough = apparent <= wanted.altitude_max_deg + _SLACK_DEG
        self._azimuth_deg: Array = track.azimuth_deg[is_low_enough]
        self._altitude_deg: Array = apparent[is_low_enough]
        self._wanted = wanted

    def may_give(
        self, position: Position, subject: Subject, top_deg: float | None
    ) -> bool:
        """Whether a place may see the body aligned with a subject."""
        off = self._azimuth_deg - bearing_deg(position, subject.position)
        off = np.abs((off + 180.0) % 360.0 - 180.0)
        is_high = self._altitude_deg >= _low_deg(self._wanted, top_deg) - _SLACK_DEG
        return bool(np.any((off <= self._wanted.tolerance_deg + _SLACK_DEG) & is_high))


def _stretches(way: Sequence[_Point], works: Sequence[bool]) -> list[tuple[int, int]]:
    """First and last number of points that follow one another on one leg and work."""
    found: list[tuple[int, int]] = []
    for number, is_working in enumerate(works):
        if not is_working:
            continue
        if (
            found
            and found[-1][1] == number - 1
            and way[number - 1].leg.id == way[number].leg.id
        ):
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return found


def _points(
    dossier: Dossier, route: AccessRoute, step_m: float, pace_factor: float
) -> list[_Point]:
    """Points along a route, each with the walk from its start."""
    found: list[_Point] = []
    reached, is_climb_known = timedelta(), True
    for leg in sorted(dossier.legs_of(route), key=lambda each: each.number):
        time = time_for_leg(leg, pace_factor=pace_factor)
        is_climb_known &= time.is_climb_known
        along = _along(leg, step_m)
        drawn_m = along[-1][1] or 1.0
        for position, along_m in along:
            walk = reached + time.length * (along_m / drawn_m)
            found.append(_Point(position, leg, along_m, walk, is_climb_known))
        reached += time.length
    return found


def _along(leg: Leg, step_m: float) -> list[tuple[Position, float]]:
    """Points along a leg's line, at most a step apart, with how far along they are."""
    found: list[tuple[Position, float]] = [(leg.line[0], 0.0)]
    reached_m = 0.0
    for a, b in pairwise(leg.line):
        length_m = distance_m(a, b)
        parts = max(1, math.ceil(length_m / step_m))
        towards = bearing_deg(a, b)
        for part in range(1, parts):
            on_m = length_m * part / parts
            found.append((destination(a, towards, on_m), reached_m + on_m))
        reached_m += length_m
        found.append((b, reached_m))
    return found


def _nearest(
    position: Position, ways: Sequence[Sequence[_Point]]
) -> tuple[_Point | None, float]:
    """The point of any way that is nearest to a position, and how far that is."""
    points = [point for way in ways for point in way]
    if not points:
        return None, 0.0
    narrow = math.cos(math.radians(position.lat_deg))

    def square(point: _Point) -> float:
        east = (point.position.lon_deg - position.lon_deg + 180.0) % 360.0 - 180.0
        north = point.position.lat_deg - position.lat_deg
        return (east * narrow) ** 2 + north**2

    near = min(points, key=square)
    return near, distance_m(position, near.position)


def _step_m(dossier: Dossier, subject: Subject, wanted: WantedSky) -> float:
    """So short that half the tolerance is not stepped over at the nearest corner."""
    corners = [position for leg in dossier.legs for position in leg.line]
    nearest_m = min(
        (distance_m(corner, subject.position) for corner in corners), default=0.0
    )
    width_m = nearest_m * math.tan(math.radians(min(wanted.tolerance_deg, 45.0)))
    return min(LONGEST_STEP_M, max(SHORTEST_STEP_M, width_m / 2.0))


def _eye_m(point: _Point, ground_at: GroundAt | None) -> float | None:
    ground_m = None if ground_at is None else ground_at(point.position)
    return None if ground_m is None else ground_m + EYE_M


def _top_deg(position: Position, eye_m: float | None, subject: Subject) -> float | None:
    if eye_m is None or subject.ground_m is None or subject.height_m is None:
        return None
    away_m = distance_m(position, subject.position)
    return apparent_altitude_deg(eye_m, subject.ground_m + subject.height_m, away_m)
