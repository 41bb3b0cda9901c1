"""Where a trip goes on from one place to the next without a recorded leg."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from fieldtrip.desktop.content.map_features import Feature, feature_of_line
from fieldtrip.geo import Position, distance_m
from fieldtrip.planning.asking import Asked, walking_network
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.network import Network
from fieldtrip.trips.question import WayKind
from fieldtrip.trips.records import Trip
from fieldtrip.trips.way_gaps import gaps_between, parts_of
from fieldtrip.wording import distance_text

NO_ROUTE, NO_WALK = "no route known", "no walk planned"


@dataclass(frozen=True, slots=True)
class Gap:
    """A straight line that nobody recorded as a way."""

    start: Position
    stop: Position
    is_route_known: bool  # there is one, and the trip has no walk over it


def gaps_of(dossier: Dossier, trip: Trip) -> tuple[Gap, ...]:
    """The gaps of a trip in order; none of one that has no walks yet."""
    parts = parts_of(
        [(walk, by_id(dossier.legs, walk.leg_id)) for walk in dossier.walks_of(trip)],
        [
            (stop, by_id(dossier.vantage_points, stop.vantage_point_id))
            for stop in dossier.stops_of(trip)
        ],
        by_id(dossier.start_places, trip.start_place_id),
        by_id(dossier.start_places, trip.end_place_id or trip.start_place_id),
    )
    apart = [(gap.before, gap.after) for gap in gaps_between(parts)]
    if not apart or not dossier.walks_of(trip):
        return ()
    network = walking_network(dossier, trip, Asked())
    found = {
        frozenset((one.last, other.first)): Gap(
            one.last, other.first, _is_route_known(network, one.spot_id, other.spot_id)
        )
        for one, other in apart
    }
    return tuple(found.values())


def gap_features(dossier: Dossier, trip: Trip, settings: Settings) -> Iterable[Feature]:
    """The gaps as dotted lines with their words; there and back is one."""
    for gap in gaps_of(dossier, trip):
        away = distance_text(distance_m(gap.start, gap.stop), settings)
        yield feature_of_line(
            (gap.start, gap.stop),
            dossier.location.position,
            kind="no-route",
            label=NO_WALK if gap.is_route_known else NO_ROUTE,
            note=f"{away} straight",
        )


def _is_route_known(
    network: Network, spot_id: UUID | None, other_id: UUID | None
) -> bool:
    """Whether recorded legs lead from one end of a gap to the other."""
    ends = [
        network.place_of[each]
        for each in (spot_id, other_id)
        if each is not None and each in network.place_of
    ]
    for way in network.ways:
        if way.kind is not WayKind.LINE:
            continue
        if len(ends) == 1 and way.start == ends[0]:
            return False
        if len(ends) == 2 and (way.start in ends or {way.start, way.stop} == {*ends}):
            return False
    return True
