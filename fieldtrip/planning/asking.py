"""A trip's records as the scheduler's question."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.places.records import Ground, Leg, StartPlace, VantagePoint
from fieldtrip.planning.daylight_spans import Daylight, daylight_of
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.open_spans import OpenSpans, leg_open, spot_open
from fieldtrip.times import Span, local_day
from fieldtrip.trips.conditions import wanted_spans
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.gates import time_before_walking
from fieldtrip.trips.network import Drive, Network, Spot, network_of
from fieldtrip.trips.opening import open_span
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.question import (
    LONGEST,
    LimitKind,
    OpenIn,
    PlanNote,
    Question,
    Way,
    WayKind,
    Wish,
)
from fieldtrip.trips.records import GateKind, Stop, Trip
from fieldtrip.trips.situation import situation_of
from fieldtrip.trips.spans import intersection, merged
from fieldtrip.trips.walking import Heights, pace_of

_HOUR = timedelta(hours=1)
_MINUTE = timedelta(minutes=1)
_DAY = timedelta(days=1)
_LATEST = 4 * _HOUR  # after the day, where nobody said when to be back: no night out
_ROOM = 6 * _HOUR  # in which a later return or an earlier start can be proposed


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a person adds to a trip's records when a plan is asked for."""

    limits: Limits = field(default_factory=Limits)
    # Why each leg is crossed, or spot stood on, although nothing is known of its tide,
    # by its id.
    accepted: Mapping[UUID, str] = field(default_factory=dict)
    heights: Mapping[UUID, Heights] = field(default_factory=dict)  # of the legs, by id
    drives: tuple[Drive, ...] = ()
    keeps_order: bool = False  # the stops stay in the order of their numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Sought:
    """A question, with what it was made of."""

    question: Question
    network: Network
    facts: TripFacts  # of the trip without its stops and walks


def walking_network(dossier: Dossier, trip: Trip, asked: Asked) -> Network:
    """The walking graph of a location, with a trip's vantage points and starts.

    It depends on the day in nothing, so that many days can share it.
    """
    used = {stop.vantage_point_id for stop in dossier.stops_of(trip)}
    used |= {each for drive in asked.drives for each in (drive.from_id, drive.to_id)}
    ends = {trip.start_place_id, trip.end_place_id, *used}
    spots = [
        Spot(v.id, v.name, v.position) for v in dossier.vantage_points if v.id in used
    ]
    spots += [
        Spot(s.id, s.name, s.position) for s in dossier.start_places if s.id in ends
    ]
    return network_of(
        dossier.legs,
        spots,
        pace_of(trip),
        heights={**dossier.ground.heights, **asked.heights},
        drives=asked.drives,
    )


def question_of(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    asked: Asked | None = None,
    network: Network | None = None,
    daylight: Daylight | None = None,
) -> Sought:
    """The question of a trip: its stops as wishes, and every way with its limits.

    Raises `UserError` for a trip that cannot be planned: no stops, one whose vantage
    point is gone, a return before the start, a day whose Sun is not known.
    """
    asked = asked or Asked()
    heights = {**dossier.ground.heights, **asked.heights}
    asked = replace(asked, heights=heights)
    stops = dossier.stops_of(trip)
    _refuse(stops, dossier)
    span, known, has_return = _spans(dossier, trip)
    bare = replace(dossier, stops=(), walks=())
    facts = facts_of(bare, trip, now)
    net = network or walking_network(dossier, trip, asked)
    light = daylight or daylight_of(facts, asked.limits, known)
    ways, unknown = _limited(net.ways, dossier, facts, asked, light, known)
    wished = [_wish(stop, dossier, trip, facts, asked, net, known) for stop in stops]
    wishes = tuple(wish for wish, _ in wished)
    unknown += tuple(wish.id for wish, is_unknown in wished if is_unknown)
    start = by_id(dossier.start_places, trip.start_place_id)
    end = by_id(dossier.start_places, trip.end_place_id or trip.start_place_id)
    return Sought(
        question=Question(
            span=span,
            known=known,
            wishes=wishes,
            ways=ways,
            places=net.places,
            dark=light.dark,
            start=None if start is None else net.place_of[start.id],
            finish=None if end is None else net.place_of[end.id],
            start_open=_start_limits(start, facts, known),
            finish_open=_hours(end, facts, known, 0.0),
            has_latest_return=has_return,
            order=tuple(stop.id for stop in stops) if asked.keeps_order else (),
            break_min=trip.break_min,
            unknown=unknown,
        ),
        network=net,
        facts=facts,
    )


def _refuse(stops: Iterable[Stop], dossier: Dossier) -> None:
    """Refuse stops of which nobody knows where they are."""
    for stop in stops:
        if by_id(dossier.vantage_points, stop.vantage_point_id) is None:
            raise UserError(
                f"The vantage point of stop {stop.number} is gone. Choose another one "
                "for it, or remove the stop."
            )


def _spans(dossier: Dossier, trip: Trip) -> tuple[Span, Span, bool]:
    """In which the trip happens, for how long all is looked at, and if it must end."""
    day = local_day(trip.day, dossier.location.zone)
    start = _minute_up(trip.earliest_start or day.start)
    stop = trip.latest_return or _usual_end(dossier, trip, day)
    if stop <= start:
        raise UserError("The latest return must come after the earliest start.")
    if not (day.start - _DAY <= start < day.stop + _DAY) or stop - start > LONGEST:
        raise UserError(
            "The earliest start and the latest return must lie about the day of the "
            "trip, at most 60 hours apart."
        )
    first = start if trip.earliest_start is None else start - _ROOM
    return Span(start, stop), Span(first, stop + _ROOM), trip.latest_return is not None


def _usual_end(dossier: Dossier, trip: Trip, day: Span) -> datetime:
    """Until when a trip is planned of which nobody said when it must be back."""
    pinned = [stop.leave for stop in dossier.stops_of(trip) if stop.is_pinned]
    return max([day.stop, *pinned]) + _LATEST


def _minute_up(at: datetime) -> datetime:
    down = at.replace(second=0, microsecond=0)
    return down if down == at else down + _MINUTE


# Stops


def _wish(
    stop: Stop,
    dossier: Dossier,
    trip: Trip,
    facts: TripFacts,
    asked: Asked,
    net: Network,
    known: Span,
) -> tuple[Wish, bool]:
    """A stop as it is wanted, and whether it is shut as nobody knows when it floods."""
    vantage = by_id(dossier.vantage_points, stop.vantage_point_id)
    assert vantage is not None  # refused before
    situation = situation_of(
        dossier,
        known,
        vantage_point=vantage,
        subject=by_id(dossier.subjects, stop.subject_id),
        trip=trip,
    )
    wanted = wanted_spans(stop.conditions, situation)
    dry = spot_open(vantage, facts, asked.limits, known)
    notes = [PlanNote.WANTED_NOT_KNOWN] if wanted.unknown else []
    if dry is not None and dry.unknown is not None:
        notes.append(PlanNote.ACCEPTED_UNKNOWN)
    elif dry is not None and not dry.is_sure:
        notes.append(PlanNote.TIDE_UNSURE)
    opened = _dry(vantage, dry, asked)
    wish = Wish(
        id=stop.id,
        name=vantage.name,
        place=net.place_of[vantage.id],
        wanted=wanted.spans,
        is_must=stop.is_must,
        least_min=stop.least_min,
        wish_min=stop.wish_min,
        setup_min=stop.setup_min,
        pinned=Span(stop.arrive, stop.leave) if stop.is_pinned else None,
        by=_decided_by(dossier, trip, vantage),
        dry=opened,
        notes=tuple(notes),
    )
    is_unknown = dry is not None and dry.unknown is not None and opened is not None
    return wish, is_unknown


def _dry(vantage: VantagePoint, dry: OpenSpans | None, asked: Asked) -> OpenIn | None:
    if dry is None:
        return None
    if dry.unknown is not None and asked.accepted.get(vantage.id, "").strip():
        return None
    reserve = asked.limits.tide_reserve
    return OpenIn(kind=LimitKind.FLOODED, spans=dry.spans, reserve=reserve)


# Ways


def _limited(
    ways: tuple[Way, ...],
    dossier: Dossier,
    facts: TripFacts,
    asked: Asked,
    light: Daylight,
    known: Span,
) -> tuple[tuple[Way, ...], tuple[UUID, ...]]:
    """The ways with what shuts them, and the legs of whose tide nothing is known."""
    legs = {leg.id: leg for leg in dossier.legs}
    opened = {leg.id: leg_open(leg, facts, asked.limits, known) for leg in dossier.legs}
    found: list[Way] = []
    unknown: dict[UUID, None] = {}
    for way in ways:
        if way.kind is WayKind.DRIVE:
            found.append(way)
            continue
        if way.leg_id is None:  # nobody knows what is there, so by day only
            found.append(replace(way, limits=light.by_day()))
            continue
        leg, tide = legs[way.leg_id], opened[way.leg_id]
        limits, notes = list(light.limits_of(leg)), _notes(leg, tide, asked)
        if tide is not None and PlanNote.ACCEPTED_UNKNOWN not in notes:
            if tide.unknown is not None:
                unknown[leg.id] = None
            reserve = asked.limits.tide_reserve
            limits.append(
                OpenIn(kind=LimitKind.TIDE, spans=tide.spans, reserve=reserve)
            )
        found.append(replace(way, limits=tuple(limits), notes=notes))
    return tuple(found), tuple(unknown)


def _notes(leg: Leg, tide: OpenSpans | None, asked: Asked) -> tuple[PlanNote, ...]:
    notes: list[PlanNote] = []
    if leg.is_tidal is None:
        notes.append(PlanNote.TIDAL_NOT_SAID)
    if (
        tide is not None
        and tide.unknown is not None
        and asked.accepted.get(leg.id, "").strip()
    ):
        notes.append(PlanNote.ACCEPTED_UNKNOWN)
    elif tide is not None and not tide.is_sure:
        notes.append(PlanNote.TIDE_UNSURE)
    has_climb = leg.ascent_m is not None and leg.descent_m is not None
    if leg.ground is Ground.UNKNOWN or not (has_climb or leg.id in asked.heights):
        notes.append(PlanNote.WALK_UNSURE)
    return tuple(notes)


def _start_limits(
    place: StartPlace | None, facts: TripFacts, known: Span
) -> OpenIn | None:
    """When one may set out: while the start is open, and decided in time."""
    hours = _hours(place, facts, known, facts.trip.kit_up_min or 0.0)
    ahead, _ = time_before_walking(facts.trip)
    typed = [
        gate.decide_by + (ahead if gate.kind is GateKind.HOME else timedelta())
        for gate in facts.gates
        if gate.decide_by is not None
        and gate.kind in (GateKind.HOME, GateKind.START)
        and gate.leg_id is None
        and gate.vantage_point_id is None
    ]
    if not typed:
        return hours
    early = Span(min(known.start, min(typed)) - _DAY, min(typed))
    spans = (early,) if hours is None else intersection(hours.spans, (early,))
    return OpenIn(kind=LimitKind.PARKING, spans=spans)


def _decided_by(dossier: Dossier, trip: Trip, vantage: VantagePoint) -> datetime | None:
    """By when a stop must be reached for its gate to be decided in time."""
    typed = [
        gate.decide_by
        for gate in dossier.gates_of(trip)
        if gate.decide_by is not None
        and gate.leg_id is None
        and gate.vantage_point_id == vantage.id
    ]
    return min(typed, default=None)


def _hours(
    place: StartPlace | None, facts: TripFacts, known: Span, kit_up_min: float
) -> OpenIn | None:
    """When a start is open; one must be there before the boots are on."""
    if place is None or place.hours is None:
        return None
    zone, kit_up = facts.location.zone, timedelta(minutes=kit_up_min)
    days = range(-1, known.length // _DAY + 2)
    spans = [
        open_span(place.hours, facts.trip.day + shift * _DAY, zone) for shift in days
    ]
    return OpenIn(
        kind=LimitKind.PARKING,
        spans=merged(Span(s.start + kit_up, s.stop) for s in spans),
    )
