"""Every check of a trip of six stops, and what the checks are given."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

from fieldtrip.geo import destination
from fieldtrip.safety.checklist import check
from fieldtrip.safety.limits import Limits
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from tests.bench.rows import Row, best_s
from tests.safety.story import CLEAR, LEG, LOCATION, VANTAGE, at, edge_at, stop, walk

STOPS = 6


def run() -> list[Row]:
    """Milliseconds for the whole checklist."""
    dossier, trip = _six_stops(), CLEAR.trip
    facts = facts_of(dossier, trip, CLEAR.now)
    limits = Limits()
    found = len(check(facts, limits).findings)
    return [
        Row(
            f"checklist of {STOPS} stops, {len(facts.walks)} walks, {found} findings",
            1e3 * best_s(lambda: check(facts, limits), 10),
            "ms",
        ),
        Row(
            "facts gathered for it",
            1e3 * best_s(lambda: facts_of(dossier, trip, CLEAR.now), 10),
            "ms",
        ),
    ]


def _six_stops() -> Dossier:
    """The story with six vantage points, tidal legs between them, and twelve edges."""
    points = [
        replace(
            VANTAGE,
            id=_id(10 + i),
            name=f"Step {i}",
            position=destination(VANTAGE.position, 0.0, 60.0 * i),
            flooded_above_m=2.0,
            level_datum="MLLW",
        )
        for i in range(STOPS)
    ]
    legs = [
        replace(LEG, id=_id(30 + i), number=i + 1, name=f"Bar {i}")
        for i in range(STOPS)
    ]
    start = at(13, 50)
    stops, walks = [], []
    for i, (point, leg) in enumerate(zip(points, legs, strict=True)):
        begin = start + timedelta(minutes=20 * i)
        walks.append(
            replace(
                walk(14, 0), id=_id(50 + i), leg_id=leg.id, start=begin,
                finish=begin + timedelta(minutes=10),
            )
        )  # fmt: skip
        stops.append(
            replace(
                stop(begin + timedelta(minutes=10), begin + timedelta(minutes=20)),
                id=_id(70 + i), number=i + 1, vantage_point_id=point.id,
            )
        )  # fmt: skip
    edges = tuple(
        replace(edge_at(10.0 + 3.0 * i), id=_id(90 + i), location_id=LOCATION.id)
        for i in range(2 * STOPS)
    )
    return replace(
        CLEAR.dossier(),
        vantage_points=tuple(points),
        legs=tuple(legs),
        stops=tuple(stops),
        walks=(*walks, replace(walks[-1], id=_id(99), is_reversed=True,
                               start=at(15, 50), finish=at(16))),
        hazards=edges,
    )  # fmt: skip


def _id(number: int) -> UUID:
    return UUID(int=number)
