"""What the trip page says of gates and of the day from door to door, and its edits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from fieldtrip.almanac.day_plan import DayPlan, day_plan
from fieldtrip.almanac.gates import NO_GATES, GateWords, gates_in_words
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.gates import gates_in_order
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Gate, GateKind, Trip

Stands = tuple[GateKind, UUID | None]
_GONE = "no longer in the plan"
_STARTS_HINT = (
    "Add car parks, landings and meeting points with Place ▸ Add start place…"
)


@dataclass(frozen=True, slots=True)
class TripDayContent:
    """What the fields show and offer, at once."""

    trip: Trip
    zone: str
    gates: tuple[Gate, ...]  # by number
    stands: tuple[tuple[Stands, str], ...]  # where a gate can stand
    places: tuple[tuple[UUID | None, str], ...]  # to start from
    ends: tuple[tuple[UUID | None, str], ...]
    meetings: tuple[tuple[UUID | None, str], ...]
    gates_hint: str  # what a trip without gates is told; else empty
    places_hint: str  # the same without places to start from


@dataclass(frozen=True, slots=True)
class TripDayWords:
    """What is reckoned from the plan, a moment later."""

    trip_id: UUID
    gates: tuple[GateWords, ...]  # as the day comes to them
    day: DayPlan
    is_ordered: bool  # whether the gates are numbered as the day comes to them


def trip_day_content(dossier: Dossier, trip: Trip) -> TripDayContent:
    """What the fields show of a trip."""
    starts = tuple((place.id, place.name) for place in dossier.start_places)
    gates = dossier.gates_of(trip)
    return TripDayContent(
        trip=trip,
        zone=dossier.location.zone,
        gates=gates,
        stands=_stands(dossier, trip, gates),
        places=((None, "not said"), *starts),
        ends=((None, "where it started"), *starts),
        meetings=((None, "none"), *starts),
        gates_hint="" if gates else NO_GATES,
        places_hint="" if starts else _STARTS_HINT,
    )


def trip_day_words(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    settings: Settings,
    limits: Limits | None = None,
) -> TripDayWords:
    """By when each gate must be decided, and the day step by step."""
    facts = facts_of(dossier, trip, now)
    gates = gates_in_words(facts, settings, limits)
    numbers = [one.gate.number for one in gates]
    return TripDayWords(
        trip_id=trip.id,
        gates=gates,
        day=day_plan(facts, settings),
        is_ordered=numbers == sorted(numbers),
    )


def new_gate(dossier: Dossier, trip: Trip) -> Gate:
    """A gate where the plan has none yet: at the start, then before each tidal leg."""
    taken = {gate.stands for gate in dossier.gates_of(trip)}
    walked = [by_id(dossier.legs, walk.leg_id) for walk in dossier.walks_of(trip)]
    wanted: list[tuple[Stands, str]] = [((GateKind.START, None), "At the car")]
    wanted += [
        ((GateKind.LEG, leg.id), leg.name)
        for leg in walked
        if leg is not None and leg.is_tidal is not False
    ]
    stands, name = next(
        (one for one in wanted if one[0] not in taken),
        ((GateKind.OTHER, None), "New gate"),
    )
    number = max((gate.number for gate in dossier.gates_of(trip)), default=0) + 1
    gate = Gate(trip_id=trip.id, number=number, name=name, kind=stands[0])
    return standing_at(gate, stands)


def standing_at(gate: Gate, stands: Stands) -> Gate:
    """The same gate somewhere else."""
    kind, record_id = stands
    return replace(
        gate,
        kind=kind,
        leg_id=record_id if kind is GateKind.LEG else None,
        vantage_point_id=record_id if kind is GateKind.STOP else None,
    )


def moved_gate(gates: Sequence[Gate], gate_id: UUID, by: int) -> list[Change]:
    """Move a gate by so many places; nothing where it would leave the list."""
    order = list(gates)
    at = next((i for i, gate in enumerate(order) if gate.id == gate_id), None)
    if at is None or not 0 <= at + by < len(order):
        return []
    order.insert(at + by, order.pop(at))
    return _numbered(order)


def without_gate(
    gates: Sequence[Gate], gate: Gate, removal: Sequence[Change]
) -> list[Change]:
    """Remove a gate and close the gap in the numbers."""
    return [*removal, *_numbered([other for other in gates if other.id != gate.id])]


def gates_by_the_day(dossier: Dossier, trip: Trip, now: datetime) -> list[Change]:
    """Number the gates as the day comes to them."""
    facts = facts_of(dossier, trip, now)
    return _numbered(gates_in_order(facts, facts.gates))


def _numbered(gates: Sequence[Gate]) -> list[Change]:
    return [
        Change(gate, replace(gate, number=number))
        for number, gate in enumerate(gates, 1)
        if gate.number != number
    ]


def _stands(
    dossier: Dossier, trip: Trip, gates: Sequence[Gate]
) -> tuple[tuple[Stands, str], ...]:
    """Home, start, every leg that is walked and every stop, and elsewhere."""
    found: dict[Stands, str] = {
        (GateKind.HOME, None): "before leaving home",
        (GateKind.START, None): "at the start",
    }
    for walk in dossier.walks_of(trip):
        leg = by_id(dossier.legs, walk.leg_id)
        if leg is not None:
            found[GateKind.LEG, leg.id] = f"before {leg.name}"
    for stop in dossier.stops_of(trip):
        spot = by_id(dossier.vantage_points, stop.vantage_point_id)
        if spot is not None:
            found[GateKind.STOP, spot.id] = f"at {spot.name}"
    found[GateKind.OTHER, None] = "elsewhere"
    for gate in gates:
        found.setdefault(gate.stands, _GONE)
    return tuple(found.items())
