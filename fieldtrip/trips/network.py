"""The walking graph of a location: every leg both ways, and what joins them.

Ends of legs that meet are one place.  A vantage point or a start stands on the leg
it is next to; one that is next to none is reached in a straight line, of which
nobody knows whether it can be walked.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position, distance_m
from fieldtrip.places.records import Ground, Leg
from fieldtrip.trips.question import Way, WayKind
from fieldtrip.trips.records import Walk
from fieldtrip.trips.route_edits import MEETING_M
from fieldtrip.trips.walking import Heights, Pace, time_for_leg, walking_time

JUNCTION_M = 10.0  # an end so near the middle of another leg begins there
_NEARER_END_M = 10.0  # an end is chosen although the leg itself is nearer by less
_SHORT_M = 3.0 * MEETING_M  # the two ends of so short a leg never become one place
_Flat = tuple[float, float]  # metres east and north of an origin


@dataclass(frozen=True, slots=True)
class Spot:
    """A vantage point or a start place, as the graph sees it."""

    id: UUID
    name: str
    position: Position


@dataclass(frozen=True, slots=True)
class Drive:
    """A way by car between two spots, in the typed minutes, either way."""

    from_id: UUID
    to_id: UUID
    minutes: float
    name: str = "drive"


@dataclass(frozen=True, eq=False)
class Network:
    """Places and the ways between them, without anything that shuts."""

    places: int
    place_of: Mapping[UUID, int]  # of each spot
    ways: tuple[Way, ...]


def network_of(
    legs: Sequence[Leg],
    spots: Sequence[Spot],
    pace: Pace | None = None,
    *,
    heights: Mapping[UUID, Heights] | None = None,
    drives: Iterable[Drive] = (),
) -> Network:
    """The graph of some legs and spots; times by day, by the pace given.

    `heights` are the profiles of legs whose climb nobody typed.
    Raises `UserError` for a drive that takes no time or leads nowhere.
    """
    pace = pace or Pace()
    making = _Making([leg for leg in legs if len(leg.line) >= 2], list(spots))
    making.join_ends()
    making.join_middles()
    making.place_spots()
    ways = [*making.leg_ways(pace, heights or {}), *making.line_ways(pace)]
    ways += making.bridges(ways, pace)
    place_of = making.place_of()
    for drive in drives:
        ways += _drive_ways(drive, place_of)
    return Network(making.places(), place_of, tuple(ways))


def walked_line(leg: Leg, walk: Walk) -> Line:
    """What a walk goes over, in the direction in which it is walked."""
    if walk.from_share <= 0.0 and walk.to_share >= 1.0:
        return leg.line[::-1] if walk.is_reversed else leg.line
    return way_line(leg, walk.from_share, walk.to_share, reverse=walk.is_reversed)


def way_line(leg: Leg, from_share: float, to_share: float, *, reverse: bool) -> Line:
    """The part of a leg's line between two shares of its length, as it is walked."""
    lengths = [distance_m(a, b) for a, b in pairwise(leg.line)]
    total = sum(lengths)
    points = [_along(leg.line, lengths, from_share * total)]
    passed = 0.0
    for position, length in zip(leg.line[1:], lengths, strict=True):
        passed += length
        if from_share * total < passed < to_share * total:
            points.append(position)
    points.append(_along(leg.line, lengths, to_share * total))
    return tuple(points[::-1] if reverse else points)


def _along(line: Line, lengths: Sequence[float], at_m: float) -> Position:
    """The point so far along a line."""
    for (a, b), length in zip(pairwise(line), lengths, strict=True):
        if at_m <= length and length > 0.0:
            part = max(at_m, 0.0) / length
            return Position(
                a.lat_deg + (b.lat_deg - a.lat_deg) * part,
                a.lon_deg + (b.lon_deg - a.lon_deg) * part,
            )
        at_m -= length
    return line[-1]


@dataclass(frozen=True, slots=True)
class _OnLeg:
    """A point on a leg's line."""

    away_m: float
    leg: int
    share: float


class _Making:
    """The graph while it is made: places joined step by step."""

    def __init__(self, legs: list[Leg], spots: list[Spot]) -> None:
        self._legs, self._spots = legs, spots
        origin = legs[0].line[0] if legs else spots[0].position if spots else None
        self._origin = origin or Position(0.0, 0.0)
        self._flat = [[self._offset(p) for p in leg.line] for leg in legs]
        self._lengths = [
            sum(math.dist(a, b) for a, b in pairwise(f)) for f in self._flat
        ]
        self._boxes = [
            (
                min(x for x, _ in flat),
                min(y for _, y in flat),
                max(x for x, _ in flat),
                max(y for _, y in flat),
            )
            for flat in self._flat
        ]
        self._parent: list[int] = []
        self._cuts: list[list[tuple[float, int]]] = []
        for _ in legs:
            self._cuts.append([(0.0, self._new()), (1.0, self._new())])
        self._at: dict[UUID, int] = {}
        self._lines: list[tuple[int, int, Spot, float]] = []
        self._numbers: dict[int, int] = {}

    def join_ends(self) -> None:
        """Make one place of ends that meet, the nearest first."""
        ends = [
            (index, self._cuts[index][side][1], self._flat[index][-side])
            for index in range(len(self._legs))
            for side in (0, 1)
        ]
        pairs = [
            (math.dist(a, b), one, other)
            for (_, one, a), (_, other, b) in combinations(ends, 2)
            if math.dist(a, b) <= MEETING_M
        ]
        for _, one, other in sorted(pairs):
            if not self._would_vanish(one, other):
                self._parent[self._root(one)] = self._root(other)

    def join_middles(self) -> None:
        """Let a leg begin in the middle of another where its end lies on that."""
        for index, flat in enumerate(self._flat):
            for side in (0, 1):
                place = self._cuts[index][side][1]
                for other in range(len(self._legs)):
                    ends = {self._root(p) for _, p in self._cuts[other]}
                    if other == index or self._root(place) in ends:
                        continue
                    if self._box_away(flat[-side], other) > JUNCTION_M:
                        continue
                    found = self._nearest(flat[-side], other)
                    if found.away_m <= JUNCTION_M and 0.0 < found.share < 1.0:
                        self._cuts[other].append((found.share, place))

    def place_spots(self) -> None:
        """Put every spot on the leg it is next to, or on a straight line to one."""
        for spot in self._spots:
            flat = self._offset(spot.position)
            best = self._nearest_of_all(flat)
            if best is None:
                self._at[spot.id] = self._new()
                continue
            end = self._nearest_end(flat)
            if end[0] <= min(MEETING_M, best.away_m + _NEARER_END_M):
                self._at[spot.id] = end[1]
                continue
            place = self._cut(best)
            if best.away_m <= MEETING_M:
                self._at[spot.id] = place
            else:
                self._at[spot.id] = self._new()
                self._lines.append((place, self._at[spot.id], spot, best.away_m))

    def leg_ways(self, pace: Pace, heights: Mapping[UUID, Heights]) -> list[Way]:
        """Every piece of every leg, in both directions."""
        ways: list[Way] = []
        for leg, cuts in zip(self._legs, self._cuts, strict=True):
            is_tidal = leg.is_tidal is True or leg.shut_above_m is not None
            for is_reversed in (False, True):
                plain = time_for_leg(leg, is_reversed=is_reversed, pace=pace)
                whole = time_for_leg(
                    leg, is_reversed=is_reversed, pace=pace, heights=heights.get(leg.id)
                )
                # The checks know no profile: never be quicker than they reckon.
                length = max(plain.length, whole.length)
                for (low, a), (high, b) in pairwise(sorted(cuts)):
                    start, stop = (b, a) if is_reversed else (a, b)
                    ways.append(
                        Way(
                            start=self._number(start),
                            stop=self._number(stop),
                            name=leg.name,
                            minutes=max(
                                length.total_seconds() / 60.0 * (high - low), 0.1
                            ),
                            leg_id=leg.id,
                            is_reversed=is_reversed,
                            from_share=low,
                            to_share=high,
                            distance_m=leg.length_m * (high - low),
                            is_on_sands=is_tidal,
                        )
                    )
        return [way for way in ways if way.start != way.stop]

    def line_ways(self, pace: Pace) -> list[Way]:
        """The straight lines to spots that are next to no leg."""
        return [
            way
            for place, spot_place, spot, away_m in self._lines
            for way in self._line_pair(place, spot_place, away_m, spot.name, pace)
        ]

    def bridges(self, ways: Sequence[Way], pace: Pace) -> list[Way]:
        """Straight lines between spots that no way joins."""
        group = list(range(self.places()))

        def root(place: int) -> int:
            while group[place] != place:
                place = group[place]
            return place

        for way in ways:
            group[root(way.start)] = root(way.stop)
        apart = [
            (one, other)
            for one, other in combinations(self._spots, 2)
            if root(self._number(self._at[one.id]))
            != root(self._number(self._at[other.id]))
        ]
        return [
            way
            for one, other in apart
            for way in self._line_pair(
                self._at[one.id],
                self._at[other.id],
                distance_m(one.position, other.position),
                f"{one.name} and {other.name}",
                pace,
            )
        ]

    def place_of(self) -> dict[UUID, int]:
        """The place of each spot."""
        return {spot.id: self._number(self._at[spot.id]) for spot in self._spots}

    def places(self) -> int:
        """How many places there are."""
        for place in range(len(self._parent)):
            self._number(place)
        return len(self._numbers)

    def _line_pair(
        self, place: int, other: int, away_m: float, name: str, pace: Pace
    ) -> list[Way]:
        slow = pace.factor * pace.pack_factor
        length = walking_time(away_m, None, None, Ground.UNKNOWN, slow)
        return [
            Way(
                start=self._number(start),
                stop=self._number(stop),
                name=name,
                minutes=max(length.total_seconds() / 60.0, 0.1),
                kind=WayKind.LINE,
                distance_m=away_m,
            )
            for start, stop in ((place, other), (other, place))
        ]

    def _would_vanish(self, one: int, other: int) -> bool:
        """Whether joining two places would make a short leg lead nowhere."""
        roots = {self._root(one), self._root(other)}
        return any(
            {self._root(place) for _, place in cuts} == roots
            for cuts, length in zip(self._cuts, self._lengths, strict=True)
            if length <= _SHORT_M
        )

    def _cut(self, at: _OnLeg) -> int:
        """The place at a point of a leg: a new one, unless one is next to it."""
        length_m = self._lengths[at.leg]
        for share, place in self._cuts[at.leg]:
            if abs(share - at.share) * length_m <= 1.0:
                return place
        place = self._new()
        self._cuts[at.leg].append((at.share, place))
        return place

    def _nearest_end(self, flat: _Flat) -> tuple[float, int]:
        return min(
            (math.dist(flat, self._flat[index][-side]), cuts[side][1])
            for index, cuts in enumerate(self._cuts)
            for side in (0, 1)
        )

    def _nearest_of_all(self, flat: _Flat) -> _OnLeg | None:
        """The point of any leg that is nearest to another; None without legs."""
        best: _OnLeg | None = None
        for index in range(len(self._legs)):
            if best is None or self._box_away(flat, index) < best.away_m:
                found = self._nearest(flat, index)
                best = found if best is None or found.away_m < best.away_m else best
        return best

    def _box_away(self, flat: _Flat, index: int) -> float:
        """How far a point is from the box about a leg, which is no farther."""
        west, south, east, north = self._boxes[index]
        return math.hypot(
            max(west - flat[0], 0.0, flat[0] - east),
            max(south - flat[1], 0.0, flat[1] - north),
        )

    def _nearest(self, flat: _Flat, index: int) -> _OnLeg:
        """The point of a leg that is nearest to another."""
        best = _OnLeg(math.inf, index, 0.0)
        passed, total = 0.0, self._lengths[index] or 1.0
        for a, b in pairwise(self._flat[index]):
            length = math.dist(a, b)
            along = (flat[0] - a[0]) * (b[0] - a[0]) + (flat[1] - a[1]) * (b[1] - a[1])
            part = 0.0 if length == 0.0 else min(max(along / length**2, 0.0), 1.0)
            foot = a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])
            away = math.dist(flat, foot)
            if away < best.away_m:
                best = _OnLeg(away, index, min((passed + part * length) / total, 1.0))
            passed += length
        return best

    def _offset(self, p: Position) -> _Flat:
        """Metres east and north of the first point; within 0.1 % over 20 km."""
        middle = math.radians((p.lat_deg + self._origin.lat_deg) / 2.0)
        d_lon = (p.lon_deg - self._origin.lon_deg + 180.0) % 360.0 - 180.0
        # Lengths of a degree on WGS 84, to the second term.
        east = 111_412.84 * math.cos(middle) - 93.5 * math.cos(3.0 * middle)
        north = 111_132.92 - 559.82 * math.cos(2.0 * middle)
        return d_lon * east, (p.lat_deg - self._origin.lat_deg) * north

    def _new(self) -> int:
        self._parent.append(len(self._parent))
        return len(self._parent) - 1

    def _root(self, place: int) -> int:
        while self._parent[place] != place:
            place = self._parent[place]
        return place

    def _number(self, place: int) -> int:
        """Places that are one have one number, in order of first use."""
        return self._numbers.setdefault(self._root(place), len(self._numbers))


def _drive_ways(drive: Drive, place_of: Mapping[UUID, int]) -> list[Way]:
    if not 0.0 < drive.minutes <= 2880.0:
        raise UserError(
            f"{drive.name}: a drive takes up to 2880 minutes, and more than none."
        )
    if drive.from_id not in place_of or drive.to_id not in place_of:
        raise UserError(f"{drive.name}: one of its ends is gone.")
    a, b = place_of[drive.from_id], place_of[drive.to_id]
    return [
        Way(
            start=start,
            stop=stop,
            name=drive.name,
            minutes=drive.minutes,
            kind=WayKind.DRIVE,
        )
        for start, stop in ((a, b), (b, a))
        if a != b
    ]
