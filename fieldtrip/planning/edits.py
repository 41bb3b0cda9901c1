"""A plan as records: what to write into the library as one step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from uuid import UUID, uuid5

from fieldtrip.trips.answer import Plan, PlannedWalk
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop, Trip, Walk

Edits = list[tuple[Stop | Walk | None, Stop | Walk | None]]  # before, after


def stops_of_plan(dossier: Dossier, trip: Trip, plan: Plan) -> tuple[Stop, ...]:
    """The trip's stops at their planned times, numbered in order; none left out."""
    records = {stop.id: stop for stop in dossier.stops_of(trip)}
    return tuple(
        replace(
            records[stop.stop_id],
            number=number,
            arrive=stop.arrive,
            leave=stop.leave,
        )
        for number, stop in enumerate(plan.stops, start=1)
    )


def walks_of_plan(trip: Trip, plan: Plan) -> tuple[Walk, ...]:
    """A walk for every leg of a plan; where no route is known there is no record.

    Pieces of one leg walked right after one another are one walk.  The same plan
    gives the same ids.
    """
    found: list[Walk] = []
    for planned in plan.walks:
        if planned.leg_id is None:
            continue
        walk = Walk(
            trip_id=trip.id,
            leg_id=planned.leg_id,
            start=planned.start,
            finish=planned.finish,
            is_reversed=planned.is_reversed,
            from_share=planned.from_share,
            to_share=planned.to_share,
            id=_id(trip, len(found)),
        )
        if found and _goes_on(found[-1], planned):
            last = found[-1]
            found[-1] = replace(
                last,
                finish=walk.finish,
                from_share=min(last.from_share, walk.from_share),
                to_share=max(last.to_share, walk.to_share),
            )
        else:
            found.append(walk)
    return tuple(found)


def with_plan(dossier: Dossier, trip: Trip, plan: Plan) -> Dossier:
    """The location's records with the plan written into its trip."""
    others = tuple(stop for stop in dossier.stops if stop.trip_id != trip.id)
    walks = tuple(walk for walk in dossier.walks if walk.trip_id != trip.id)
    return replace(
        dossier,
        stops=(*others, *stops_of_plan(dossier, trip, plan)),
        walks=(*walks, *walks_of_plan(trip, plan)),
    )


def changes_for(dossier: Dossier, trip: Trip, plan: Plan) -> Edits:
    """Records before and after: the plan's stops and walks in place of the trip's.

    Stops that the plan leaves out go, and come back with undo.  What stays as it is
    is not among them; nothing is where the plan is written down already.
    """
    stops = _exchanged(dossier.stops_of(trip), stops_of_plan(dossier, trip, plan))
    return stops + _exchanged(dossier.walks_of(trip), walks_of_plan(trip, plan))


def _exchanged(before: Iterable[Stop | Walk], after: Iterable[Stop | Walk]) -> Edits:
    old = {record.id: record for record in before}
    new = {record.id: record for record in after}
    edits: Edits = [(record, None) for key, record in old.items() if key not in new]
    for key, record in new.items():
        if old.get(key) != record:
            edits.append((old.get(key), record))
    return edits


def _goes_on(walk: Walk, planned: PlannedWalk) -> bool:
    """Whether a piece goes on where a walk over the same leg ended."""
    meets = (
        walk.from_share == planned.to_share
        if walk.is_reversed
        else walk.to_share == planned.from_share
    )
    return (
        walk.leg_id == planned.leg_id
        and walk.is_reversed == planned.is_reversed
        and walk.finish == planned.start
        and meets
    )


def _id(trip: Trip, index: int) -> UUID:
    return uuid5(trip.id, f"walk {index}")
