"""What is done with a plan: the changes of each deed, and what a drag means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from fieldtrip.desktop.content.trip import new_stop, without_stop
from fieldtrip.errors import UserError
from fieldtrip.plan_phrasing import obstacle_text, spare_text
from fieldtrip.planning.asking import Asked
from fieldtrip.planning.edits import changes_for
from fieldtrip.planning.planned import Planned, after_drag, planned
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change, Record
from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    Alternative,
    Conflict,
    ObstacleKind,
    Plan,
    Relaxation,
    Step,
    StepKind,
)
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.wording import clock_text, short_date_text

GONE = "That stop is not in the trip any more."
_MINUTE = timedelta(minutes=1)


# Using a plan


def using(dossier: Dossier, trip: Trip, plan: Plan) -> list[Change]:
    """The plan's stops and walks in place of the trip's."""
    return [Change(before, after) for before, after in changes_for(dossier, trip, plan)]


def left_out_words(dossier: Dossier, trip: Trip, changes: Iterable[Change]) -> str:
    """Which stops the changes take out of a trip; empty for none."""
    going = {c.before.id for c in changes if c.before is not None and c.after is None}
    names = [
        spot_name(dossier, stop) for stop in dossier.stops_of(trip) if stop.id in going
    ]
    return f"Left out: {', '.join(names)}." if names else ""


def planned_as(
    dossier: Dossier, trip: Trip, now: datetime, asked: Asked, other: Alternative
) -> Planned:
    """The whole plan of an alternative: its stops, in its order."""
    numbers = {stop_id: place for place, stop_id in enumerate(other.order, start=1)}
    stops = sorted(
        (
            replace(stop, number=numbers[stop.id])
            for stop in dossier.stops_of(trip)
            if stop.id in numbers
        ),
        key=lambda stop: stop.number,
    )
    others = tuple(stop for stop in dossier.stops if stop.trip_id != trip.id)
    return planned(
        replace(dossier, stops=(*others, *stops)),
        trip,
        now,
        replace(asked, keeps_order=True),
        in_full=False,
    )


# Giving something up


def relaxing(
    dossier: Dossier,
    trip: Trip,
    relaxation: Relaxation,
    removals: Mapping[UUID, Sequence[Change]],
) -> list[Change]:
    """What a relaxation gives up, as changes of the trip and its stops.

    `removals` are the removals of the stops that are left out, by id.
    """
    after = trip
    changes: list[Change] = []
    for step in relaxation.steps:
        after = _changed_trip(after, step)
        stop = by_id(dossier.stops_of(trip), step.stop_id)
        match step.kind:
            case StepKind.DROP if stop is not None:
                stops = dossier.stops_of(trip)
                changes += without_stop(stops, stop, removals[stop.id])
            case StepKind.LESS_LIGHT if stop is not None:
                least = max(stop.least_min - step.minutes, 0.0)
                changes.append(Change(stop, replace(stop, least_min=least)))
            case StepKind.UNPIN if stop is not None:
                changes.append(Change(stop, replace(stop, is_pinned=False)))
    if after != trip:
        changes.append(Change(trip, after))
    return merged(changes)


def _changed_trip(trip: Trip, step: Step) -> Trip:
    minutes = step.minutes * _MINUTE
    if step.kind is StepKind.EARLIER_START and trip.earliest_start is not None:
        return replace(trip, earliest_start=trip.earliest_start - minutes)
    if step.kind is StepKind.LATER_RETURN and trip.latest_return is not None:
        back, alarm = trip.latest_return + minutes, trip.raise_alarm
        # Who waits must not call for help before one is due back.
        later = None if alarm is None else alarm + minutes
        return replace(trip, latest_return=back, raise_alarm=later)
    return trip


def lets_order_go(relaxation: Relaxation) -> bool:
    """Whether it asks that the stops may come in another order."""
    return any(step.kind is StepKind.FREE_ORDER for step in relaxation.steps)


# A vantage point dropped on the plan


@dataclass(frozen=True, slots=True)
class Dropped:
    """What a dropped vantage point makes."""

    trip: Trip
    stop: Stop
    changes: tuple[Change, ...]
    words: str  # what was done


def dropping(
    dossier: Dossier,
    trip: Trip | None,
    day: date,
    vantage_point_id: UUID,
    minute: datetime,
    settings: Settings,
) -> Dropped:
    """A vantage point as a stop from a minute on; without a trip, of a new one.

    Raises `UserError` for one of another place, or a trip of another day.
    """
    spot = by_id(dossier.vantage_points, vantage_point_id)
    if spot is None:
        raise UserError(
            f"Only vantage points of {dossier.location.name} can be dropped on its day."
        )
    if trip is not None and trip.day != day:
        raise UserError(
            f"“{trip.name}” is planned for {short_date_text(trip.day)}: go to that day "
            "to drop stops on it, or draft another trip here: Trip ▸ New trip."
        )
    is_new = trip is None
    if trip is None:
        trip = Trip(location_id=dossier.location.id, name="New trip", day=day)
    stops = dossier.stops_of(trip)
    usual = Stop(
        trip_id=trip.id,
        number=1 + sum(stop.arrive <= minute for stop in stops),
        vantage_point_id=spot.id,
        arrive=minute,
        leave=minute,
    )
    stay = (usual.setup_min + usual.wish_min) * _MINUTE
    made = replace(usual, leave=minute + stay)
    later = [stop for stop in stops if stop.arrive > minute]
    changes = [Change(None, trip)] if is_new else []
    changes += [
        Change(stop, replace(stop, number=made.number + place))
        for place, stop in enumerate(later, start=1)
        if stop.number != made.number + place
    ]
    at = clock_text(minute, dossier.location.zone, settings)
    words = (
        f"{spot.name} is a stop at {at}. Say with “…” on its line what it needs; "
        "Trip ▸ Make the plan finds the best times."
    )
    return Dropped(trip, made, (*changes, Change(None, made)), words)


def stops_at(
    dossier: Dossier, trip: Trip, spots: Sequence[UUID], minute: datetime
) -> list[Change]:
    """A stop at each of some vantage points, one after the other.

    Raises `UserError` for a vantage point that is gone.
    """
    made: list[Stop] = []
    for spot_id in spots:
        if by_id(dossier.vantage_points, spot_id) is None:
            raise UserError("One of these vantage points is no longer there.")
        with_made = replace(dossier, stops=(*dossier.stops, *made))
        made.append(new_stop(with_made, trip, spot_id, minute))
    return [Change(None, stop) for stop in made]


# A stop moved by hand


@dataclass(frozen=True, slots=True)
class Moved:
    """What a moved stop means for the rest."""

    stop_id: UUID
    span: Span
    planned: Planned
    is_stuck: bool = False  # there was no plan before it was moved either


def moving(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    asked: Asked,
    stop_id: UUID,
    arrive: datetime,
    *,
    is_final: bool = False,
) -> Moved:
    """Plan around a stop that would be reached at a time, and stays as long as now.

    Raises `UserError` for a stop that is gone, and a trip that cannot be planned.
    """
    stop = by_id(dossier.stops_of(trip), stop_id)
    if stop is None:
        raise UserError(GONE)
    span = Span(arrive, arrive + (stop.leave - stop.arrive))
    found = after_drag(dossier, trip, now, stop_id, span, asked)
    if found.plan is not None or not is_final:
        return Moved(stop_id, span, found)
    before = planned(dossier, trip, now, asked, in_full=False)
    return Moved(stop_id, span, found, is_stuck=before.plan is None)


def moved_words(dossier: Dossier, trip: Trip, moved: Moved) -> str:
    """What the new time means, shown while the stop is moved."""
    answer = moved.planned.answer
    if isinstance(answer, Conflict):
        return f"Does not fit: {breaks_words(answer, moved.stop_id)}."
    spare = "it hangs on nothing"
    if answer.slack is not None:
        spare = f"{spare_text(answer.slack)} in hand"
    names = {stop.id: spot_name(dossier, stop) for stop in dossier.stops_of(trip)}
    left = ", ".join(names[each] for each in answer.left_out if each in names)
    return f"Fits, {spare}{f', without {left}' if left else ''}."


def breaks_words(conflict: Conflict, stop_id: UUID) -> str:
    """What cannot be kept with a stop pinned, the stop itself aside."""
    told = [
        obstacle_text(each)
        for each in conflict.obstacles
        if not (each.kind is ObstacleKind.PINNED and each.record_id == stop_id)
    ]
    return "; ".join(told) or "nobody can be there at that time"


def pinning(stop: Stop, arrive: datetime) -> Change:
    """A stop pinned to a time, for as long as it stays now."""
    leave = arrive + (stop.leave - stop.arrive)
    return Change(stop, replace(stop, arrive=arrive, leave=leave, is_pinned=True))


def moved_changes(dossier: Dossier, trip: Trip, moved: Moved) -> list[Change]:
    """The stop pinned where it was put, and the rest as it fits to it.

    Where nothing fits, the stop alone.  Raises `UserError` for a stop that is gone.
    """
    stop = by_id(dossier.stops_of(trip), moved.stop_id)
    if stop is None:
        raise UserError(GONE)
    change, plan = pinning(stop, moved.span.start), moved.planned.plan
    if plan is None:
        return [change]
    pinned = change.after
    assert isinstance(pinned, Stop)
    stops = tuple(pinned if each.id == stop.id else each for each in dossier.stops)
    fitted = replace(dossier, stops=stops)
    return merged([change, *using(fitted, trip, plan)])


# Changes


def merged(changes: Iterable[Change]) -> list[Change]:
    """Changes with those of one record as one; what ends as it began is left out."""
    ends: dict[tuple[type, UUID], tuple[Record | None, Record | None]] = {}
    for change in changes:
        key = type(change.record), change.record.id
        before = ends[key][0] if key in ends else change.before
        ends[key] = before, change.after
    return [Change(*pair) for pair in ends.values() if pair[0] != pair[1]]


def spot_name(dossier: Dossier, stop: Stop) -> str:
    """Where a stop is, or its number where that is gone."""
    spot = by_id(dossier.vantage_points, stop.vantage_point_id)
    return f"stop {stop.number}" if spot is None else spot.name
