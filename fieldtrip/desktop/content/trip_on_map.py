"""A trip on the map at a minute: where one is, and which ways the sea has shut."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from fieldtrip.almanac.tide_day import LegTide
from fieldtrip.desktop.content.map_features import (
    Feature,
    FeatureCollection,
    feature_of_line,
    feature_of_point,
)
from fieldtrip.geo import Line, Position, bearing_deg, destination, distance_m
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.network import walked_line
from fieldtrip.trips.records import Trip
from fieldtrip.wording import clock_text, window_text


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where the plan has one at a minute."""

    position: Position
    words: str  # "at Bar end until 19:40"


def whereabouts(
    dossier: Dossier, trip: Trip, instant: datetime, settings: Settings
) -> Whereabouts | None:
    """Where the plan has one; None before it begins, after it ends, and in gaps.

    On a walk the share of its time is taken for the share of the way.
    """
    zone = dossier.location.zone
    for walk in dossier.walks_of(trip):
        leg = by_id(dossier.legs, walk.leg_id)
        if (
            leg is not None
            and len(leg.line) > 1
            and walk.start <= instant < walk.finish
        ):
            share = (instant - walk.start) / (walk.finish - walk.start)
            line = walked_line(leg, walk)
            until = clock_text(walk.finish, zone, settings)
            return Whereabouts(along(line, share), f"on {leg.name} until {until}")
    for stop in dossier.stops_of(trip):
        spot = by_id(dossier.vantage_points, stop.vantage_point_id)
        if spot is not None and stop.arrive <= instant <= stop.leave:
            until = clock_text(stop.leave, zone, settings)
            return Whereabouts(spot.position, f"at {spot.name} until {until}")
    return None


def along(line: Line, share: float) -> Position:
    """The position at a share, 0 to 1, of the length of a line."""
    pieces = [(a, b, distance_m(a, b)) for a, b in pairwise(line)]
    left = share * sum(length for _, _, length in pieces)
    for a, b, length in pieces:
        if left <= length:
            if length == 0.0:
                return a
            return destination(a, bearing_deg(a, b), left)
        left -= length
    return line[-1]


def minute_features(
    dossier: Dossier,
    trip: Trip | None,
    instant: datetime,
    tides: Mapping[UUID, LegTide],
    settings: Settings,
) -> FeatureCollection:
    """What holds at a minute: the legs that are shut, and where the plan has one.

    A leg of which nothing is known is not struck through: its words say so.
    """
    zone, near = dossier.location.zone, dossier.location.position
    found: list[Feature] = []
    for leg in dossier.legs:
        tide = tides.get(leg.id)
        if tide is None or not tide.is_known or len(leg.line) < 2:
            continue
        if any(span.start <= instant < span.stop for span in tide.windows):
            continue
        later = [span for span in tide.windows if span.start > instant]
        opens = window_text(later[0], zone, settings) if later else ""
        words = f"shut now, open {opens}" if opens else "shut now"
        found.append(
            feature_of_line(leg.line, near, kind="struck", label=words, note="")
        )
    at = None if trip is None else whereabouts(dossier, trip, instant, settings)
    if at is not None:
        found.append(
            feature_of_point(at.position, near, kind="here", label="", note=at.words)
        )
    return {"type": "FeatureCollection", "features": found}
