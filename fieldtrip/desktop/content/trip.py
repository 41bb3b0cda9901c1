"""What the trip page says, and the changes that its edits make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.desktop.content.typed import moved_to_day
from fieldtrip.desktop.content.wanting import called_at
from fieldtrip.errors import UserError
from fieldtrip.places.records import Leg
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.times import at_clock, local_date
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import walk_time
from fieldtrip.trips.records import Stop, Trip, Walk
from fieldtrip.trips.walking import LegTime, pace_of, time_for_leg
from fieldtrip.wanted_words import wanted_text
from fieldtrip.wording import (
    distance_text,
    duration_text,
    zone_text,
)

NO_TRIP = "Choose or draft a trip: Trip ▸ New trip."
_USUAL_STAY = timedelta(minutes=30)


@dataclass(frozen=True, slots=True)
class StopRow:
    """One stop, and what strikes the eye about it."""

    stop: Stop
    number: str
    remark: str
    needs: str  # "needs the Sun between −6° and −4°, 15 to 45 min"; empty: nothing


@dataclass(frozen=True, slots=True)
class WalkRow:
    """One walk, and what the walking rule says about it."""

    walk: Walk
    rule: str  # "by the walking rule 25 min"
    rule_finish: datetime | None  # None: the rule cannot tell
    use_rule: str  # "Use 25 min"
    remark: str


@dataclass(frozen=True, slots=True)
class TripContent:
    """Every text of the trip page, and what its fields offer."""

    zone_words: str
    trip: Trip
    zone: str
    stops: tuple[StopRow, ...]
    walks: tuple[WalkRow, ...]
    vantage_points: tuple[tuple[UUID, str], ...]
    subjects: tuple[tuple[UUID | None, str], ...]
    legs: tuple[tuple[UUID, str], ...]
    stops_hint: str  # empty: stops can be added
    walks_hint: str


def trip_content(dossier: Dossier, trip: Trip, settings: Settings) -> TripContent:
    """What the page shows of a trip."""
    zone = dossier.location.zone
    stops, walks = dossier.stops_of(trip), dossier.walks_of(trip)
    noon = at_clock(trip.day, time(12), zone)
    return TripContent(
        zone_words=(
            f"Times are those of {zone}, {zone_text(noon, zone)} on that day. "
            "Write 00:40 +1 for the day after."
        ),
        trip=trip,
        zone=zone,
        stops=_stop_rows(dossier, stops, settings),
        walks=tuple(_walk_row(dossier, trip, walk, settings) for walk in walks),
        vantage_points=tuple((v.id, v.name) for v in dossier.vantage_points),
        subjects=(
            (None, "no subject"),
            *((subject.id, subject.name) for subject in dossier.subjects),
        ),
        legs=tuple((leg.id, leg_name(dossier, leg)) for leg in dossier.legs),
        stops_hint=(
            ""
            if dossier.vantage_points
            else "A stop needs a vantage point. Add one on the map first."
        ),
        walks_hint=(
            ""
            if dossier.legs
            else "A walk needs a leg of an access route. Draw one on the map first."
        ),
    )


def leg_name(dossier: Dossier, leg: Leg) -> str:
    """A leg and then its route, as in ``car park to ledge (Gully path)``."""
    route = by_id(dossier.routes, leg.route_id)
    return leg.name if route is None else f"{leg.name} ({route.name})"


def on_another_day(dossier: Dossier, trip: Trip, day: date) -> list[Change]:
    """Move a trip: every time of it keeps what the clock shows.

    Raises `UserError` where the clock skips one of the times on the new day.
    """
    zone = dossier.location.zone

    def moved(instant: datetime) -> datetime:
        return moved_to_day(instant, trip.day, day, zone)

    def moved_or_none(instant: datetime | None) -> datetime | None:
        return None if instant is None else moved(instant)

    after = replace(
        trip,
        day=day,
        latest_return=moved_or_none(trip.latest_return),
        raise_alarm=moved_or_none(trip.raise_alarm),
        earliest_start=moved_or_none(trip.earliest_start),
        wake=moved_or_none(trip.wake),
    )
    return [
        Change(trip, after),
        *(
            Change(s, replace(s, arrive=moved(s.arrive), leave=moved(s.leave)))
            for s in dossier.stops_of(trip)
        ),
        *(
            Change(w, replace(w, start=moved(w.start), finish=moved(w.finish)))
            for w in dossier.walks_of(trip)
        ),
        *(
            Change(g, replace(g, decide_by=moved_or_none(g.decide_by)))
            for g in dossier.gates_of(trip)
            if g.decide_by is not None
        ),
    ]


def new_stop(
    dossier: Dossier, trip: Trip, vantage_point_id: UUID | None, minute: datetime
) -> Stop:
    """A stop after the others, where one stands now, else at the first spot."""
    spots = dossier.vantage_points
    spot = by_id(spots, vantage_point_id) or (spots[0] if spots else None)
    if spot is None:
        raise UserError("A stop needs a vantage point. Add one on the map first.")
    arrive = _next_start(dossier, trip, minute)
    return Stop(
        trip_id=trip.id,
        number=len(dossier.stops_of(trip)) + 1,
        vantage_point_id=spot.id,
        arrive=arrive,
        leave=arrive + _USUAL_STAY,
    )


def new_walk(dossier: Dossier, trip: Trip, minute: datetime) -> Walk:
    """A walk after what is planned already: the first leg not yet walked."""
    if not dossier.legs:
        raise UserError(
            "A walk needs a leg of an access route. Draw one on the map first."
        )
    walked = {walk.leg_id for walk in dossier.walks_of(trip)}
    leg = next((leg for leg in dossier.legs if leg.id not in walked), dossier.legs[0])
    start = _next_start(dossier, trip, minute)
    length = time_for_leg(leg, pace=pace_of(trip)).length
    finish = max(whole_minutes(start, length), start + timedelta(minutes=1))
    return Walk(trip_id=trip.id, leg_id=leg.id, start=start, finish=finish)


def without_stop(
    stops: Sequence[Stop], stop: Stop, removal: Sequence[Change]
) -> list[Change]:
    """Remove a stop and close the gap in the numbers."""
    left = [other for other in stops if other.id != stop.id]
    return [*removal, *_numbered(left)]


def moved_stop(stops: Sequence[Stop], stop: Stop, by: int) -> list[Change]:
    """Move a stop by so many places; nothing where it would leave the list."""
    order = list(stops)
    at = next(i for i, other in enumerate(order) if other.id == stop.id)
    to = at + by
    if not 0 <= to < len(order):
        return []
    order.insert(to, order.pop(at))
    return _numbered(order)


def whole_minutes(start: datetime, length: timedelta) -> datetime:
    """When something ends that starts then, the last begun minute counted whole."""
    seconds = length.total_seconds()
    return start + timedelta(minutes=-(-seconds // 60))


def _numbered(stops: Sequence[Stop]) -> list[Change]:
    return [
        Change(stop, replace(stop, number=number))
        for number, stop in enumerate(stops, 1)
        if stop.number != number
    ]


def _next_start(dossier: Dossier, trip: Trip, minute: datetime) -> datetime:
    """After all that is planned; else the chosen minute, if on that day, else noon."""
    ends = [stop.leave for stop in dossier.stops_of(trip)]
    ends += [walk.finish for walk in dossier.walks_of(trip)]
    if ends:
        return max(ends)
    zone = dossier.location.zone
    if local_date(minute, zone) == trip.day:
        return minute
    return at_clock(trip.day, time(12), zone)


def needs_text(dossier: Dossier, stop: Stop, settings: Settings) -> str:
    """What a stop needs and for how long; empty where nothing is asked for."""
    said = []
    if stop.conditions:
        names = called_at(dossier, stop.subject_id).names
        said.append(f"Needs {wanted_text(stop.conditions, names, settings)}")
        said.append(f"for {stop.least_min:g} to {stop.wish_min:g} min")
    if not stop.is_must:
        said.append("may be left out" if said else "May be left out")
    if stop.is_pinned:
        said.append("times stay as typed" if said else "Times stay as typed")
    return f"{', '.join(said)}." if said else ""


def _stop_rows(
    dossier: Dossier, stops: Sequence[Stop], settings: Settings
) -> tuple[StopRow, ...]:
    remarks = [""] + [
        f"Reached before stop {a.number} is left." if b.arrive < a.leave else ""
        for a, b in pairwise(stops)
    ]
    return tuple(
        StopRow(stop, str(stop.number), remark, needs_text(dossier, stop, settings))
        for stop, remark in zip(stops, remarks, strict=False)
    )


def _walk_time(dossier: Dossier, trip: Trip, walk: Walk, leg: Leg) -> LegTime:
    """The time by the walking rule; by day in a year whose Sun nobody knows."""
    try:
        return walk_time(dossier, trip, walk, leg)
    except UserError:
        return time_for_leg(
            leg, is_reversed=walk.is_reversed, share=walk.share, pace=pace_of(trip)
        )


def _walk_row(dossier: Dossier, trip: Trip, walk: Walk, settings: Settings) -> WalkRow:
    leg = by_id(dossier.legs, walk.leg_id)
    if leg is None:
        return WalkRow(walk, "", None, "", "The leg is no longer there.")
    distance = distance_text(leg.length_m * walk.share, settings)
    needed = _walk_time(dossier, trip, walk, leg)
    finish = whole_minutes(walk.start, needed.length)
    length = duration_text(finish - walk.start)
    light = "some of it in the dark" if needed.is_in_dark else "in daylight"
    rule = f"{distance}; by the walking rule {length}, {light}"
    if not needed.is_climb_known:
        rule = f"{distance}; by the walking rule {length} or more: climb not known"
    short = finish - walk.finish
    remark = (
        f"Planned {duration_text(short)} shorter than that."
        if short > timedelta()
        else ""
    )
    return WalkRow(walk, rule, finish, f"Use {length}", remark)
