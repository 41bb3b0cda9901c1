"""Where in the plan a gate stands, and in what order the day comes to them.

By when each must be decided is reckoned in `fieldtrip.safety.decision_times`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldtrip.trips.plan import StopFacts, TripFacts
from fieldtrip.trips.records import Gate, GateKind, Trip

_FIRST = {GateKind.HOME: 0, GateKind.START: 1}
_IN_THE_PLAN = 2
_NOWHERE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class GatePlace:
    """What a gate stands before, in the plan as it is now."""

    planned: datetime | None  # when the plan comes to it; None: not known
    walk: int | None = None  # the first walk after it, as an index into the facts'
    stop: StopFacts | None = None  # the stay at which it stands
    ahead: timedelta = timedelta()  # what lies between it and that walk
    is_ahead_known: bool = True  # if not, `ahead` is too short
    is_gone: bool = False  # what it names is in the plan no more
    is_named: bool = True  # if not, it says of no walk or stay that it stands there


def gate_place(facts: TripFacts, gate: Gate) -> GatePlace:
    """What a gate stands before: a leg by its first walk, a stop by its first stay."""
    if gate.leg_id is not None:
        return _before_leg(facts, gate)
    if gate.vantage_point_id is not None:
        return _at_stop(facts, gate)
    if gate.kind not in _FIRST:
        return GatePlace(planned=None, is_named=False)
    if not facts.walks:
        return GatePlace(planned=None, is_gone=True)
    start = facts.walks[0].walk.start
    if gate.kind is GateKind.START:
        return GatePlace(planned=start, walk=0)
    ahead, is_known = time_before_walking(facts.trip)
    return GatePlace(
        planned=start - ahead if is_known else None,
        walk=0,
        ahead=ahead,
        is_ahead_known=is_known,
    )


def gates_in_order(facts: TripFacts, gates: Iterable[Gate]) -> tuple[Gate, ...]:
    """Gates as the day comes to them; those that are nowhere in the plan are last."""

    def key(gate: Gate) -> tuple[int, float, int]:
        place = gate_place(facts, gate)
        at = place.planned or gate.decide_by
        rank = _FIRST.get(gate.kind, _IN_THE_PLAN)
        if rank == _IN_THE_PLAN and at is None:
            rank = _NOWHERE
        is_timed = rank == _IN_THE_PLAN and at is not None
        return rank, at.timestamp() if is_timed and at else 0.0, gate.number

    return tuple(sorted(gates, key=key))


def time_before_walking(trip: Trip) -> tuple[timedelta, bool]:
    """From leaving home to the first step, and whether all of it was said."""
    parts = (trip.drive_out_min, trip.kit_up_min)
    known = [part for part in parts if part is not None]
    return timedelta(minutes=sum(known)), len(known) == len(parts)


def _before_leg(facts: TripFacts, gate: Gate) -> GatePlace:
    for index, walk in enumerate(facts.walks):
        if walk.walk.leg_id == gate.leg_id:
            return GatePlace(planned=walk.walk.start, walk=index)
    return GatePlace(planned=None, is_gone=True)


def _at_stop(facts: TripFacts, gate: Gate) -> GatePlace:
    for stop in facts.stops:
        if stop.stop.vantage_point_id != gate.vantage_point_id:
            continue
        after = [
            index
            for index, walk in enumerate(facts.walks)
            if walk.walk.start >= stop.stop.arrive
        ]
        return GatePlace(
            planned=stop.stop.arrive, walk=next(iter(after), None), stop=stop
        )
    return GatePlace(planned=None, is_gone=True)
