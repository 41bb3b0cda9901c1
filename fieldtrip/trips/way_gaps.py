"""Where a trip goes on from one place to the next without a walk between them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from fieldtrip.geo import Position, distance_m
from fieldtrip.places.records import Leg, StartPlace, VantagePoint
from fieldtrip.times import Span
from fieldtrip.trips.network import way_line
from fieldtrip.trips.records import Stop, Walk
from fieldtrip.trips.route_edits import MEETING_M

NEAR_M = 2.0 * MEETING_M  # a spot on either side of where two legs meet


@dataclass(frozen=True, slots=True)
class Part:
    """A walk, a stay, or the place where the trip begins or ends."""

    start: datetime
    stop: datetime
    first: Position
    last: Position
    name: str
    spot_id: UUID | None = None  # of a stay or an end: its record


@dataclass(frozen=True, slots=True)
class WayGap:
    """Two parts that follow one another, and lie apart."""

    before: Part
    after: Part

    @property
    def distance_m(self) -> float:
        """How far, straight."""
        return distance_m(self.before.last, self.after.first)

    @property
    def span(self) -> Span:
        """From the end of the one to the start of the other."""
        return Span(min(self.before.stop, self.after.start), self.after.start)


def parts_of(
    walks: Iterable[tuple[Walk, Leg | None]],
    stops: Iterable[tuple[Stop, VantagePoint | None]],
    start: StartPlace | None,
    end: StartPlace | None,
) -> list[Part]:
    """Where a trip is, from its start to its end, by time; what is gone is left out."""
    found: list[Part] = []
    for walk, leg in walks:
        if leg is not None and len(leg.line) > 1:
            line = way_line(
                leg, walk.from_share, walk.to_share, reverse=walk.is_reversed
            )
            found.append(Part(walk.start, walk.finish, line[0], line[-1], leg.name))
    for stop, spot in stops:
        if spot is not None:
            at = spot.position
            found.append(Part(stop.arrive, stop.leave, at, at, spot.name, spot.id))
    found.sort(key=lambda part: (part.start, part.stop))
    if not found:
        return []
    if start is not None:
        when, at = found[0].start, start.position
        found.insert(0, Part(when, when, at, at, start.name, start.id))
    if end is not None:
        when, at = max(part.stop for part in found), end.position
        found.append(Part(when, when, at, at, end.name, end.id))
    return found


def gaps_between(parts: Sequence[Part]) -> list[WayGap]:
    """Every gap among parts in order of time."""
    return [
        WayGap(one, other)
        for one, other in pairwise(parts)
        if distance_m(one.last, other.first) > NEAR_M
    ]
